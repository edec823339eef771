"""What each page asks about an aeroplane, and the answers already given: a page shown twice is not reckoned twice."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from threading import Lock
from typing import Any

from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.faces.web.latest import Progress
from rotorwright.faces.web.long_work import LongWorks
from rotorwright.sheets.content import Sheet
from rotorwright.sheets.numbers import shown_in

KEPT = 60
"""Answers held in memory, the least lately asked go first."""
SAMPLES = 128


@dataclass(frozen=True)
class Answer:
    """What a study found, the quantities in it by name, and what makes its sheet."""

    result: Any
    quantities: Mapping[str, Quantity]
    make_sheet: Callable[[Any], Sheet]
    _made: dict[str, Sheet] = field(default_factory=dict)

    @property
    def sheet(self) -> Sheet:
        """Return the sheet; made when it is first shown in some units, which the line at the top never does."""
        system = shown_in()
        if system not in self._made:
            self._made[system] = self.make_sheet(self.result)
        return self._made[system]


Question = Callable[[Aeroplane, Progress], Answer]


def quick_balance(aeroplane: Aeroplane, progress: Progress) -> Answer:
    """Return the balance with every Unknown at its median: in time for a slider."""
    from rotorwright.sheets.balance import balance_sheet
    from rotorwright.studies.balance import balance

    found = balance(aeroplane, nominal_only=True, progress=progress)
    return Answer(found, found.quantities, partial(balance_sheet, short=True))


def whole_balance(aeroplane: Aeroplane, progress: Progress) -> Answer:
    """Return the balance with bands, verdict and what to change first."""
    from rotorwright.sheets.balance import balance_sheet
    from rotorwright.studies.balance import balance

    found = balance(aeroplane, samples=SAMPLES, progress=progress)
    return Answer(found, found.quantities, partial(balance_sheet, more=True))


def checked(aeroplane: Aeroplane, progress: Progress) -> Answer:
    """Return mass, balance point, spin and clearances."""
    from rotorwright.sheets.check import check_sheet
    from rotorwright.studies.check import check

    found = check(aeroplane)
    return Answer(found, found.quantities, check_sheet)


def rotors(aeroplane: Aeroplane, progress: Progress) -> Answer:
    """Return drum driven, vanes free and vanes driven side by side, for this aeroplane."""
    from rotorwright.sheets.drive_choice import drive_choice_sheet
    from rotorwright.studies.drive_choice import drive_choice

    found = drive_choice(aeroplane, samples=48, progress=progress)
    return Answer(found, {}, drive_choice_sheet)


def powered(aeroplane: Aeroplane, progress: Progress) -> Answer:
    """Return thrust, heat, packs and fail-safe."""
    from rotorwright.sheets.power import power_sheet
    from rotorwright.studies.power import power

    found = power(aeroplane, progress=progress)
    return Answer(found, found.quantities, partial(power_sheet, everything=True))


def shaken(aeroplane: Aeroplane, progress: Progress) -> Answer:
    """Return keep-out bands and what moves them."""
    from rotorwright.sheets.shake import shake_sheet
    from rotorwright.studies.shake import shake

    found = shake(aeroplane)
    named = {name: quantity for rotor in found.rotors for name, quantity in rotor.quantities.items()}
    return Answer(found, named, shake_sheet)


def handled(aeroplane: Aeroplane, progress: Progress) -> Answer:
    """Return what it is like to fly."""
    from rotorwright.sheets.handling import handling_sheet
    from rotorwright.studies.handling import handling

    found = handling(aeroplane)
    return Answer(found, found.quantities, partial(handling_sheet, more=True))


class Answers:
    """Answers by aeroplane revision and question."""

    def __init__(self) -> None:
        self._held: OrderedDict[tuple[str, Question], Answer] = OrderedDict()
        self._asked: dict[tuple[str, Question], Lock] = {}
        self._lock = Lock()
        self.works = LongWorks()
        """Long work, which outlives the page that began it."""

    def ask(self, question: Question, aeroplane: Aeroplane, progress: Progress) -> Answer:
        """Return the answer to a question, from memory if it was given before.

        Who asks what is being reckoned already waits for it; if that work is given up, it is begun anew.
        """
        key = (aeroplane.revision, question)
        with self._lock:
            asked = self._asked.setdefault(key, Lock())
        with asked:
            with self._lock:
                if key in self._held:
                    self._held.move_to_end(key)
                    return self._held[key]
            found = question(aeroplane, progress)
            with self._lock:
                self._held[key] = found
                while len(self._held) > KEPT:
                    gone, _ = self._held.popitem(last=False)
                    self._asked.pop(gone, None)
        return found
