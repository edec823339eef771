"""Many first flights flown, kept and counted: what became of them and what it hangs on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.unknown import unknowns
from rotorwright.flight.batch import Progress
from rotorwright.studies import scatter
from rotorwright.studies.chance import Driver, counted, find_drivers
from rotorwright.studies.first_flights_draws import PHYSICS, Draws, draw, spreads
from rotorwright.studies.flight_outcomes import CODE, FIGURES, OUTCOMES, Outcome
from rotorwright.studies.kept_flights import KeptFlights

Floats = npt.NDArray[np.float64]
Fly = Callable[[Draws], Mapping[str, Floats]]
"""Flies drawn flights and returns their figures (`FIGURES`)."""

SITTING = 128
"""Flights flown between two looks at the keyboard and the file."""
INPUT = "met_"
OUTCOME = "outcome"


@dataclass(frozen=True)
class Became:
    """How often flights ended one way, and what that hangs on."""

    outcome: Outcome
    flights: int
    chance: Quantity
    drivers: tuple[Driver, ...]

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "outcome": self.outcome.name,
            "words": self.outcome.words,
            "good": self.outcome.good,
            "flights": self.flights,
            "chance": self.chance.as_dict(),
            "drivers": [each.as_dict() for each in self.drivers],
        }


@dataclass(frozen=True)
class Counted:
    """What became of flights: chances, outcomes most frequent first, what all failures hang on."""

    quantities: dict[str, Quantity]
    outcomes: tuple[Became, ...]
    drivers: tuple[Driver, ...]


def input_words() -> dict[str, tuple[str, str, str]]:
    """Return every drawn input by name: group, unit, what it is called."""
    physics = {unknown.name: (PHYSICS, unknown.unit, unknown.words) for unknown in unknowns()}
    return {**physics, **{spread.name: (spread.room, spread.unit, spread.words) for spread in spreads()}}


def column_words() -> dict[str, tuple[str, str]]:
    """Return every column that is kept of a flight: unit, what it is."""
    inputs = {f"{INPUT}{name}": (unit, words) for name, (_, unit, words) in input_words().items()}
    meanings = ", ".join(f"{code} {outcome.name}" for code, outcome in enumerate(OUTCOMES))
    return {OUTCOME: ("1", f"what became of it: {meanings}"), **FIGURES, **inputs}


def fly_sitting(fly: Fly, seed: int, sitting: tuple[int, int]) -> tuple[dict[str, Floats], dict[str, Floats]]:
    """Fly the flights from a first to before a last one; return their figures and what they met."""
    draws = draw(*sitting, seed=seed)
    figures = dict(fly(draws))
    return figures, {f"{INPUT}{name}": values for name, values in draws.inputs().items()}


def fly_many(
    fly: Fly, judge: Callable[[Mapping[str, Floats]], Any], kept: KeptFlights, flights: int, seed: int,
    progress: Progress | None = None, scheduler: str | None = None,
) -> bool:  # fmt: skip
    """Fly until so many flights are kept.

    Parameters
    ----------
    fly : callable
    judge : callable
        Returns the codes of the outcomes of figures.
    kept : KeptFlights
        Flights already there are not flown again; what is flown is added.
    flights, seed : int
    progress : callable, optional
        Called with (flights done, flights in all).
    scheduler : str, optional
        Address of a Dask scheduler whose workers fly; ``fly`` must then be something they can import by name.

    Returns
    -------
    stopped : bool
        True if the keyboard stopped it; what was flown till then without a gap is kept.
    """
    stopped = False
    sittings = [(first, min(first + SITTING, flights)) for first in range(len(kept), flights, SITTING)]
    waiting: dict[int, tuple[dict[str, Floats], dict[str, Floats]]] = {}
    following = 0
    try:
        for place, flown in scatter.run(partial(fly_sitting, fly, seed), sittings, scheduler=scheduler):
            waiting[place] = flown  # a cluster answers in any order, the file holds flights in theirs
            while following in waiting:
                figures, met = waiting.pop(following)
                following += 1
                codes = np.asarray(judge(figures), dtype=np.float64)
                kept.add({OUTCOME: codes, **{name: figures[name] for name in FIGURES}, **met})
                if progress is not None:
                    progress(len(kept), flights)
    except KeyboardInterrupt:
        stopped = True
    finally:
        kept.save()
    return stopped


def count(columns: Mapping[str, Floats], *, seed: int = 0, watched: frozenset[str] | None = None) -> Counted:
    """Count what became of flights and name what it hangs on.

    Parameters
    ----------
    columns : mapping
        As kept: outcome, figures, inputs.
    seed : int
        Of the search for drivers.
    watched : frozenset of str, optional
        Inputs that can matter for this aeroplane; all by default.

    Returns
    -------
    Counted
    """
    codes = columns[OUTCOME].astype(np.int64)
    total = len(codes)
    inputs = {
        name.removeprefix(INPUT): values
        for name, values in columns.items()
        if name.startswith(INPUT) and (watched is None or name.removeprefix(INPUT) in watched)
    }
    became = []
    for code, outcome in enumerate(OUTCOMES):
        here = codes == code
        if not here.any():
            continue
        drivers = () if outcome.good else find_drivers(inputs, here, seed=seed + code + 1)
        became.append(Became(outcome, int(here.sum()), counted(int(here.sum()), total), drivers))
    became.sort(key=lambda each: (-each.flights, CODE[each.outcome.name]))
    failed = np.isin(codes, [code for code, outcome in enumerate(OUTCOMES) if not outcome.good])
    return Counted(_quantities(columns, codes), tuple(became), find_drivers(inputs, failed, seed=seed))


def _quantities(columns: Mapping[str, Floats], codes: npt.NDArray[np.int64]) -> dict[str, Quantity]:
    total = len(codes)

    def chance(wanted: Callable[[Outcome], bool]) -> Quantity:
        among = [code for code, outcome in enumerate(OUTCOMES) if wanted(outcome)]
        return counted(int(np.isin(codes, among).sum()), total)

    found = {
        "chance_of_take_off": chance(lambda outcome: outcome.took_off),
        "chance_of_circuit": chance(lambda outcome: outcome.circuit),
        "chance_of_return": chance(lambda outcome: outcome.good),
    }
    sources = ("mechanics",)
    reasons = "fewer than half of the flights left the ground", "fewer than half of the flights landed"
    for name, column, unit, reason in (
        ("flown_lift_off_speed", "lift_off_speed", "m/s", reasons[0]),
        ("flown_lift_off_distance", "lift_off_distance", "m", reasons[0]),
        ("flown_slowest_airspeed", "slowest_airspeed", "m/s", reasons[0]),
        ("flown_steepest_bank", "steepest_bank", "rad", reasons[0]),
        ("flown_touch_down_sink", "touch_sink", "m/s", reasons[1]),
    ):
        quantity = from_samples(columns[column], None, unit, sources=sources, reason=reason)
        found[name] = replace(quantity, nominal=quantity.value)
    return found
