"""What take-off, throw, landing and wind limits all begin with: an aeroplane flown level, ready to be moved in time."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.status import OK
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.clearances import ground
from rotorwright.flight.envelope import LEVEL
from rotorwright.flight.layout import OFF
from rotorwright.flight.linear import Linear, linearise
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.straight import Straight, settle
from rotorwright.physics.air.wind import ROUGHNESS, wind_at_height
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.sampling import normal_scores

Floats = npt.NDArray[np.float64]

COLUMNS = 80
FRICTION, THROW, GROUND, BAND = 76, 77, 78, 79
"""Columns of the table of scores that no Unknown of the physics takes: what differs between fields and throwers."""


@dataclass(frozen=True)
class Field:
    """Where and in what wind it starts; the wind as forecasts tell it, at 10 m."""

    surface: str
    wind: float = 0.0
    """Steady, along the run [m/s]."""
    gust: float = 0.0
    """By how much gusts exceed it [m/s]."""
    slope: float = 0.0
    """Uphill [rad]."""
    strip: float | None = None
    """Length that can be used [m]."""
    obstacle: tuple[float, float] | None = None
    """Height, and distance from the start [m]."""
    around: str = "open"

    def wind_at(self, height: float) -> float:
        """Return the steady wind at a height [m/s]."""
        return float(wind_at_height(self.wind, height, ROUGHNESS[self.around]))


@dataclass(frozen=True)
class Ready:
    """An aeroplane flown level in every sample, with what a pilot holds in each."""

    flown: Flown
    level: Any
    """STEADY records, shape (cases,)."""
    rows: Solutions
    """The same, settled."""
    reader: Reader
    seed: int

    @property
    def cases(self) -> int:
        """Return how many cases there are, the nominal one first."""
        return len(self.flown.numbers.vehicle)

    @property
    def weight(self) -> Floats:
        """Return the weight of every case [N]."""
        return np.asarray(self.flown.numbers.vehicle["mass"] * self.flown.numbers.air["gravity"], dtype=np.float64)

    @property
    def airspeed(self) -> Floats:
        """Return the airspeed of level flight of every case [m/s]."""
        return np.asarray(self.level["airspeed"], dtype=np.float64)

    @property
    def flies(self) -> npt.NDArray[np.bool_]:
        """Return which cases hold their height."""
        return np.asarray(self.flown.envelope.steady["status"][:, LEVEL] == OK)

    @property
    def surplus(self) -> Floats:
        """Return thrust to spare at full throttle in level flight [N], negative where it cannot hold its height."""
        spare = self.flown.envelope.figures["surplus"]
        return np.asarray(np.where(np.isfinite(spare), spare, self.flown.envelope.figures["untrimmed_surplus"]))

    def scores(self, column: int) -> Floats:
        """Return standard-normal scores for what is no Unknown of the physics, nominal (0) first."""
        if not self.flown.samples:
            return np.zeros(1)
        return np.concatenate([[0.0], normal_scores(self.flown.samples, COLUMNS, self.seed)[:, column]])

    @cached_property
    def models(self) -> tuple[Linear, ...]:
        """Return the small motions about level flight of every case."""
        return tuple(linearise(self.rows, case) for case in range(self.cases))

    @cached_property
    def grid(self) -> Floats:
        """Return airspeeds from nearly nothing to well above level flight [m/s]."""
        top = 1.7 * float(np.nanmax(self.airspeed))
        return np.concatenate([[0.3], np.linspace(0.0, top, 9)[1:]])

    def straight(self, *, throttle: float | None, drive: bool, incidence: Floats | None = None) -> list[Straight]:
        """Return every case with controls held: throttle (None: off), rotor drive on or off."""
        held = np.stack(
            [
                self.level["incidence"] if incidence is None else incidence,
                self.level["elevator"],
                np.full(self.cases, OFF if throttle is None else throttle),
                self.level["command"] if drive else np.full(self.cases, OFF),
            ],
            axis=1,
        )
        rows = settle(self.flown.numbers, self.grid, held)
        return [Straight(rows, case, self.grid) for case in range(self.cases)]


def make_ready(aeroplane: Aeroplane, *, samples: int, seed: int) -> Ready:
    """Fly an aeroplane and settle its level flight in every sample.

    Raises
    ------
    InputError
        If it has no balance at any speed.
    """
    flown = fly(aeroplane, samples=samples, seed=seed)
    level = level_or_held(flown)
    if level is None:
        raise InputError("has no balance at any speed, so there is no flight to launch", place=aeroplane.source)
    rows = held_flight(flown.numbers, level).solve((), GUESS_INNER)
    return Ready(flown, level, rows, Reader(flown, design_support(flown)), seed)


def rotor_height(aeroplane: Aeroplane, flown: Flown) -> float:
    """Return how high the lifting parts' middle stands over the ground on its wheels [m]; 1 m without wheels."""
    floor = ground(aeroplane)
    lifting = flown.rows.rotors if len(flown.rows.rotors) else flown.rows.surfaces[:1]
    if floor is None or not len(lifting):
        return 1.0
    return float(np.mean([-row["z"] - floor.under(-float(row["x"])) for row in lifting]))


def whole_span(flown: Flown) -> float:
    """Return the span over the tips of rotors and surfaces [m]."""
    tips = [
        float((np.abs(rows["y"]) + 0.5 * rows["span"]).max())
        for rows in (flown.rows.rotors, flown.rows.surfaces)
        if len(rows)
    ]
    return 2.0 * max(tips)
