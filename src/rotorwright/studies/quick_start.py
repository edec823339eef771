"""Quick start: from a handful of numbers to a complete aircraft file that should fly, or an honest word why not.

The first guess of `rotorwright.design.quick_start` is laid out, weighed and flown; a small deterministic search changes
a few design numbers until four samples in five fly with the reserve, and the balance's own grid and samples confirm it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from rotorwright.base.digits import percent_text
from rotorwright.base.errors import InputError
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.quick_start import QuickStartSizes, quick_start_file
from rotorwright.studies import shortfall as missing
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.quick_start_asks import NearestAsk, cautions_of, nearest_asks
from rotorwright.studies.quick_start_search import ENOUGH, Tried, improve, judge_shape, light_enough
from rotorwright.studies.quick_start_shape import SPARE_LEAST, SPARE_SHARE, Shape, first_shape
from rotorwright.studies.verdict import probability_of_flight, word_for

Progress = Callable[[int, int], None]

WANTED = 0.7
"""Least probability of flying with the reserve: `should fly`."""
CONFIRM_SAMPLES = 128
STEPS_AT_MOST = 150
SHORT_NAMES = {"vaned": "free vaned", "drum": "driven drum"}
"""What a maker says first, and the kind of rotor it stands for."""
STARTS = ((1.0, 1.0), (1.25, 1.0), (1.55, 1.0), (1.0, 1.5), (0.75, 0.8), (0.85, 1.3), (1.0, 0.55))
"""Rotor diameter and motor power of the shapes the search may start from, over those of the first guess."""
SECOND_TRIES = 2
MORE = 1.2
_VERB = {"a gamble": "was a gamble", "unlikely": "was unlikely to fly"}


@dataclass(frozen=True)
class QuickStart:
    """A quick-start file and what the balance says of it."""

    text: str
    """The aircraft file, complete and commented."""
    aeroplane: Aeroplane
    sizes: QuickStartSizes
    flown: Flown
    probability: float
    """Of level flight with the reserve, by the samples that `balance` uses."""
    word: str
    shortage: str
    """The verdict in plain words: what is in hand, or what is short by how much at the best sizes found."""
    tried: int
    """How many layouts were flown."""
    asks: tuple[NearestAsk, ...] = ()
    """If it should not fly: what else to ask for, each alone, least stretched first."""

    @property
    def cautions(self) -> tuple[str, ...]:
        """Return what a maker would shake the head at, in words."""
        return cautions_of(self.sizes)

    @property
    def good(self) -> bool:
        """Tell whether the verdict is at least `should fly`."""
        return self.probability >= WANTED


def quick_start(
    mass: float,
    span_limit: float,
    elevation: float,
    temperature: float,
    rotor_kind: str,
    thrust_source: str = "propeller",
    cells: int = 3,
    *,
    name: str = "Quick start",
    layout: Mapping[str, Any] | None = None,
    progress: Progress | None = None,
) -> QuickStart:
    """Size an aeroplane from a handful of numbers.

    Parameters
    ----------
    mass : float
        Ready to fly [kg]; the sum of the parts is kept to it.
    span_limit : float
        Largest span over everything [m].
    elevation : float
        Of the field [m].
    temperature : float
        Of the air [K].
    rotor_kind : str
        ``"free vaned"``, ``"driven vaned"`` or ``"driven drum"``; ``"vaned"`` and ``"drum"`` stand for the first and
        the last.
    thrust_source : str
        ``"propeller"`` or ``"fan"``.
    cells : int
        Battery cells in series.
    name : str
        What to call the aeroplane.
    layout : mapping, optional
        Other fields of `QuickStartSizes` that are settled beforehand: ``rotor_count``, ``discs``, ``payload``,
        ``sheet``, ``length_limit``.
    progress : callable, optional
        Called with (steps done, steps in all); an exception it raises stops the work.

    Returns
    -------
    answer : QuickStart
        Also if no sizes were found that should fly: then ``good`` is false and ``shortage`` says what is short.

    Raises
    ------
    InputProblems
        If a number cannot be used, or if the lightest layout is heavier than the aeroplane is to be.

    Notes
    -----
    Generic sizes and rules of thumb; the same numbers always give the same file.
    """
    kind = SHORT_NAMES.get(rotor_kind, rotor_kind)
    guess = QuickStartSizes.guess(mass, span_limit, elevation, temperature, kind, thrust_source, cells, name=name)
    guess = replace(guess, **(layout or {}))
    steps = _Steps(progress)
    best = _search(guess, steps)
    if best.flown is None or best.aeroplane is None or best.sizes is None:
        raise _too_heavy(guess, best)
    flown = fly(best.aeroplane, samples=CONFIRM_SAMPLES)
    chance = probability_of_flight(flown) or 0.0
    sentence = _sentence(guess, best, flown, chance)
    word = word_for(chance)
    verdict = f"it {_VERB.get(word, word)}, {percent_text(chance)}. {sentence}"
    text = _with_verdict(quick_start_file(best.sizes), verdict)
    steps.over()
    asks = () if chance >= WANTED else nearest_asks(guess, best.shape)
    return QuickStart(text, best.aeroplane, best.sizes, flown, chance, word, sentence, steps.done, asks)


class _Steps:
    """Counts the layouts flown and passes the count on."""

    def __init__(self, progress: Progress | None) -> None:
        self.done = 0
        self._progress = progress

    def __call__(self) -> bool:
        """Count one more; tell whether there may be another."""
        self.done += 1
        if self._progress is not None:
            self._progress(min(self.done, STEPS_AT_MOST - 1), STEPS_AT_MOST)
        return self.done < STEPS_AT_MOST

    def over(self) -> None:
        """Tell that all is done."""
        if self._progress is not None:
            self._progress(STEPS_AT_MOST, STEPS_AT_MOST)


def _search(guess: QuickStartSizes, steps: _Steps) -> Tried:
    """Return the best layout, searching from the most promising starts until one is good."""
    starts = []
    first = first_shape(guess)
    for larger, stronger in STARTS:
        shape = replace(first, diameter=first.diameter * larger, shaft_power=first.shaft_power * stronger)
        starts.append(judge_shape(guess, light_enough(guess, shape)))
        steps()
    starts.sort(key=lambda tried: -tried.score)
    best = starts[0]
    for start in starts[:SECOND_TRIES]:
        best = max(best, improve(guess, start, steps), key=lambda tried: tried.score)
        if best.score >= ENOUGH:
            break
    return best


def _too_heavy(guess: QuickStartSizes, best: Tried) -> InputError:
    spare = SPARE_SHARE * guess.mass + SPARE_LEAST
    return InputError(
        f"cannot be met: the lightest layout found is {math.ceil(best.overweight * 1000)} g too heavy",
        field="mass",
        found=f"{guess.mass * 1000:.0f} g, of which {spare * 1000:.0f} g are for receiver, servos, mounts and glue",
        hint="Allow more mass, or fewer cells",
    )


def _sentence(guess: QuickStartSizes, best: Tried, flown: Flown, chance: float) -> str:
    found = missing.shortfall_of(flown)
    short = found.sentence()
    if chance >= WANTED:
        return short
    if found.kind == missing.ENOUGH:
        short += " That is the middle of the samples that balance; too many others do not balance or fall short."
    limits = f"Best found within {guess.span_limit:.2f} m of span and {guess.mass * 1000:.0f} g. "
    return f"{limits}{short} {_what_would_help(guess, best)}".strip()


def _what_would_help(guess: QuickStartSizes, best: Tried) -> str:
    """Return which of the maker's own numbers, a step further, would bring most; tried, not guessed."""
    shape = best.shape
    wider = replace(guess, span_limit=guess.span_limit * MORE)
    more_cells = replace(guess, cells=guess.cells + 1)
    heavier = replace(guess, mass=guess.mass * MORE)
    bigger = replace(
        shape, thruster_diameter=shape.thruster_diameter * MORE**0.4, shaft_power=shape.shaft_power * MORE**1.5
    )
    trials: list[tuple[str, QuickStartSizes, Shape]] = [
        (f"a span of {wider.span_limit:.2f} m", wider, replace(shape, span=shape.span * MORE)),
        (f"{more_cells.cells} cells", more_cells, shape),
        (f"{heavier.mass * 1000:.0f} g, spent on motor and battery", heavier, bigger),
    ]
    found = [(judge_shape(other, changed).score, words) for words, other, changed in trials]
    score, words = max(found)
    return f"More would come from {words}." if score > best.score + 0.02 else ""


def _with_verdict(text: str, sentence: str) -> str:
    """Return the file with the verdict as a comment below its first line."""
    first, rest = text.split("\n", 1)
    words, lines, line = sentence.split(), [], "# When it was written:"
    for word in words:
        if len(line) + 1 + len(word) > 118:
            lines.append(line)
            line = "#"
        line += " " + word
    return "\n".join([first, *lines, line, rest])
