"""What a change may do to an aeroplane: the results that levers and comparisons look at, one number per case."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.status import OK
from rotorwright.flight.envelope import FULL, HEAVY, HEAVY_RESERVE
from rotorwright.physics.structure.critical import mixed_criticals, whirl_criticals
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.levers import reserve_of
from rotorwright.studies.shake_bands import first_forward
from rotorwright.studies.shake_model import RotorShaft, rotor_shaft
from rotorwright.studies.shake_speeds import rotor_speeds
from rotorwright.studies.sources import FLIGHT, MASS

Floats = npt.NDArray[np.float64]
Edges = dict[str, tuple[Floats, Floats]]
"""Rotor → lower and upper edge of its first critical, one per case [rad/s]."""


@dataclass(frozen=True)
class Outcome:
    """One result that a change may move."""

    name: str
    said: str
    """In words, for heads and sentences."""
    unit: str
    better: float
    """+1 if more is better, −1 if less is."""
    read: Callable[[Flown, Edges], Floats]
    """One number per case, nominal first; NaN where it does not exist."""
    sources: tuple[str, ...]


def _figure(name: str) -> Callable[[Flown, Edges], Floats]:
    def read(flown: Flown, edges: Edges) -> Floats:
        return np.asarray(flown.envelope.figures[name], dtype=np.float64)

    return read


def _steady(flown: Flown, which: int, name: str) -> Floats:
    steady = flown.envelope.steady[:, which]
    return np.asarray(np.where(steady["status"] == OK, steady[name], np.nan), dtype=np.float64)


def _mass(flown: Flown, edges: Edges) -> Floats:
    return np.asarray(flown.numbers.vehicle["mass"], dtype=np.float64)


def _weight_limit(flown: Flown, edges: Edges) -> Floats:
    extra = np.fmax(_steady(flown, HEAVY, "extra_mass"), _steady(flown, HEAVY_RESERVE, "extra_mass"))
    return np.asarray(flown.numbers.vehicle["mass"] + extra, dtype=np.float64)


def _climb(flown: Flown, edges: Edges) -> Floats:
    return _steady(flown, FULL, "climb")


def _flies(flown: Flown, edges: Edges) -> Floats:
    """Return 1 where level flight with the reserve exists, else 0: its mean over the samples is the chance."""
    return (flown.envelope.figures["reserve_surplus"] >= 0.0).astype(np.float64)


def keep_out_margin(flown: Flown, edges: Edges) -> Floats:
    """Return how far the rotor speeds of flight stay from the first critical, of the worst rotor [1].

    Notes
    -----
    The gap between the range of rotor speeds in flight and the edges of the first critical, as a share of its lower
    edge; negative where the flight crosses it, by how far it would have to move to be clear. NaN where the aeroplane
    has no rotor or nothing holds its height.
    """
    if not edges:
        return np.full(len(flown.numbers.vehicle), np.nan)
    speeds = rotor_speeds(flown)
    margins = []
    for low, high in edges.values():
        margins.append(np.maximum(low - speeds.fastest, speeds.slowest - high) / low)
    return np.asarray(np.min(margins, axis=0), dtype=np.float64)


OUTCOMES = (
    Outcome("reserve_thrust", "thrust left after the reserve", "N", 1.0, _figure("reserve_surplus"), FLIGHT),
    Outcome("thrust_to_spare", "thrust to spare", "N", 1.0, _figure("surplus"), FLIGHT),
    Outcome("weight_limit", "weight limit", "kg", 1.0, _weight_limit, FLIGHT),
    Outcome("slowest_level_speed", "lowest speed", "m/s", -1.0, _figure("slowest_level"), FLIGHT),
    Outcome("best_climb", "climb", "m/s", 1.0, _climb, FLIGHT),
    Outcome("keep_out_margin", "keep-out margin", "1", 1.0, keep_out_margin, ("friswell2010", "mechanics")),
    Outcome("mass", "mass", "kg", -1.0, _mass, MASS),
    Outcome("chance_of_flight", "chance of flight", "1", 1.0, _flies, FLIGHT),
)
"""`chance_of_flight` is 0 or 1 in every case; all else is the number itself."""
CHANCE = "chance_of_flight"


def critical_edges(flown: Flown) -> Edges:
    """Return the edges of the first critical of every rotor of a flown aeroplane, all cases at once."""
    factors: npt.NDArray[Any] = flown.numbers.factors
    shafts = (rotor_shaft(flown.aeroplane, flown.rows, name, factors) for name in flown.aeroplane.tables.rotor)
    return {shaft.name: first_forward(shaft, _forward(shaft)) for shaft in shafts}


def _forward(shaft: RotorShaft) -> Floats:
    if shaft.unequal is not None:  # the edges come from another problem: no need to solve this one
        return np.empty((0, 0))
    return whirl_criticals(shaft.model, 1.0) if shaft.model.even else mixed_criticals(shaft.model, 1.0)


def read_outcomes(flown: Flown, edges: Edges) -> dict[str, Floats]:
    """Return every outcome of a flown aeroplane by name, one number per case."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return {outcome.name: outcome.read(flown, edges) for outcome in OUTCOMES}


def judged_outcomes(flown: Flown) -> dict[str, Floats]:
    """Return the outcomes of a flight that judged the reserve only (``thorough=False``), one number per case.

    The thrust left after the reserve is then the figure without jumps, which exists for every aeroplane.
    """
    return {
        "reserve_thrust": reserve_of(flown),
        "thrust_to_spare": _figure("surplus")(flown, {}),
        CHANCE: _flies(flown, {}),
    }
