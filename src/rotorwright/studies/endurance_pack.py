"""What a heavier or lighter pack really buys: endurance, thrust left, and the pack of longest flight."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.flight.batch import run_chunks
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.solver import AS_GIVEN, GUESS_INNER, Solutions
from rotorwright.flight.steady import AIRSPEED, INCIDENCE, THROTTLE
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.sources import BATTERY, lift_sources, power_sources

Floats = npt.NDArray[np.float64]

SIZES = np.array([0.4, 0.6, 0.8, 1.0, 1.3, 1.7, 2.2, 3.0])
"""Capacities tried, over that of the file; mass goes with capacity."""
HOLDING = (AIRSPEED, INCIDENCE, THROTTLE)
WORTH = 0.98
"""Of the longest endurance: the lightest pack that gives it is the one to buy."""


@dataclass(frozen=True)
class PackSizes:
    """Endurance over the size of all packs."""

    mass: tuple[float, ...]
    """Of all packs [kg]."""
    endurance: tuple[Quantity, ...]
    """Level flight down to the planned reserve [s]."""
    spare: tuple[Quantity, ...]
    """Thrust to spare at level speed [N]."""
    best_mass: Quantity
    """Of the packs with the longest level flight [kg]."""
    best_endurance: Quantity
    doubled_gain: Quantity
    """Endurance that twice the pack adds [s]; negative: it costs."""

    @property
    def quantities(self) -> dict[str, Quantity]:
        """Return the figures by name."""
        return {
            "best_pack_mass": self.best_mass,
            "best_pack_endurance": self.best_endurance,
            "doubled_pack_gain": self.doubled_gain,
        }


def pack_sizes(reader: Reader, level: npt.NDArray[Any]) -> PackSizes:
    """Fly the aeroplane level with smaller and larger packs.

    Parameters
    ----------
    reader : Reader
        Of the flown aeroplane.
    level : array of STEADY records, shape (cases,)
        From `level_or_held`.

    Returns
    -------
    PackSizes

    Notes
    -----
    Mass of all packs goes with capacity (same cells, same energy per mass), resistance against it; the difference is
    added at the balance point. Each size is flown level by the equation of motion; endurance is integrated at constant
    power down to the planned reserve.
    """
    numbers = reader.flown.numbers
    cases, sizes = len(numbers.vehicle), len(SIZES)
    packs = numbers.batteries["mass"].sum(axis=1)
    many = AeroplaneNumbers(*(np.repeat(array, sizes, axis=0) for array in numbers))
    factor = np.tile(SIZES, cases)
    for name in ("capacity", "current_limit", "mass"):
        many.batteries[name] *= factor[:, None]
    mass = many.vehicle["mass"] + np.repeat(packs, sizes) * (factor - 1.0)
    heavier = mass / many.vehicle["mass"]
    many.vehicle["mass"] = mass
    rows = held_flight(many, np.repeat(level, sizes))
    rows.flight[:, AIRSPEED] *= np.sqrt(heavier)
    full = rows.take(slice(None))
    _solve(rows, full)
    able = (rows.status == 0).reshape(cases, sizes)
    endurance = np.where(able, rows.steady["endurance"].reshape(cases, sizes), 0.0)
    spare = np.where(
        (rows.holdable & full.found).reshape(cases, sizes),
        (full.steady["thrust"] - rows.steady["thrust"]).reshape(cases, sizes),
        np.nan,
    )
    best, longest = _best(endurance)
    there = longest > 0.0
    sources = power_sources(reader.flown) + BATTERY
    both = lift_sources(reader.flown) + sources
    why = "it cannot hold its height with a pack of any size"
    one = int(np.flatnonzero(SIZES == 1.0)[0])
    doubled = np.array([np.interp(2.0, SIZES, row) for row in endurance])
    doubled = np.where(endurance[:, one] > 0.0, doubled - endurance[:, one], np.nan)
    return PackSizes(
        mass=tuple(float(packs[0] * size) for size in SIZES),
        endurance=tuple(
            reader.quantity(np.where(able[:, k], endurance[:, k], np.nan), "s", both, "it cannot hold its height")
            for k in range(sizes)
        ),
        spare=tuple(reader.quantity(spare[:, k], "N", both, "no balance") for k in range(sizes)),
        best_mass=reader.quantity(np.where(there, packs * best, np.nan), "kg", both, why),
        best_endurance=reader.quantity(np.where(there, longest, np.nan), "s", both, why),
        doubled_gain=reader.quantity(doubled, "s", both, why),
    )


def _solve(rows: Solutions, full: Solutions) -> None:
    """Solve level flight of all rows, and full throttle at the same speed, in place."""

    def chunk(first: int, last: int) -> None:
        span = slice(first, last)
        part = rows.take(span).solve((), GUESS_INNER)
        rows.put(span, part.solve(HOLDING, AS_GIVEN))
        opened = part.take(slice(None))
        opened.flight[:, THROTTLE] = 1.0
        full.put(span, opened.solve((), AS_GIVEN))

    run_chunks(chunk, len(rows.cases))


def _best(endurance: Floats) -> tuple[Floats, Floats]:
    """Return, for each case, the size of the lightest pack that gives nearly the longest flight, and that flight.

    Notes
    -----
    Straight lines between the sizes on a fine grid; lightest size within `WORTH` of the longest.
    """
    fine = np.linspace(float(SIZES[0]), float(SIZES[-1]), 131)
    best, longest = np.zeros(len(endurance)), np.zeros(len(endurance))
    for case, row in enumerate(endurance):
        curve = np.interp(fine, SIZES, row)
        place = int(np.argmax(curve >= WORTH * curve.max()))
        best[case], longest[case] = fine[place], curve[place]
    return best, longest
