"""Trim over speed: where the elevator stands at other speeds and throttles, and how much of its travel is left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.base.status import OK
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.steady import AIRSPEED, CLIMB, COMMAND, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.sources import FLIGHT, lift_sources

Floats = npt.NDArray[np.float64]

SPEEDS = (0.8, 0.9, 1.0, 1.1, 1.25)
"""Speeds that level flight is tried at, over the usual one."""
THROTTLES = (0.0, 0.5, 1.0)
LEVEL_AT = (THROTTLE, INCIDENCE, ELEVATOR)
LEVEL_AT_BY_ROTORS = (THROTTLE, COMMAND, ELEVATOR)
ATTITUDE_KEPT = (AIRSPEED, CLIMB, ELEVATOR)
ROUNDING = 1e-9
STEPS = 3
"""Steps in which a search walks from level flight to another speed or throttle."""


@dataclass(frozen=True)
class SpeedTrim:
    """One steady flight and where its elevator stands."""

    kind: str
    """``level`` at a speed asked for, or ``throttle``: speed and climb are what comes of it."""
    asked: float
    """Airspeed [m/s], or throttle."""
    airspeed: Quantity
    """[m/s]"""
    climb: Quantity
    """[m/s]"""
    throttle: Quantity
    """Share."""
    elevator: Quantity
    """Share of travel, trailing edge down positive."""
    left: Quantity
    """Share of travel that is left to the nearer stop."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        names = ("airspeed", "climb", "throttle", "elevator", "left")
        return {"kind": self.kind, "asked": self.asked} | {name: getattr(self, name).as_dict() for name in names}


def speed_trims(flown: Flown, level: Any, reader: Reader) -> tuple[SpeedTrim, ...]:
    """Return where the elevator stands in level flight at other speeds, and at other throttles.

    Parameters
    ----------
    flown : Flown
    level : array of STEADY records, shape (cases,)
        From `level_or_held`.
    reader : Reader

    Notes
    -----
    Level at a speed: throttle, incidence and elevator are solved for; with governed rotor drives the rotor command in
    place of the incidence, since there the spin makes the lift. Throttle: the nose keeps its angle to the air as in
    level flight; airspeed, climb and elevator are solved for. One solver for both, each walked to from level flight.
    """
    usual = float(level["airspeed"][0])
    found = []
    governed = bool((flown.rows.drives["governed"] == 1.0).any()) if len(flown.rows.drives) else False
    level_at = LEVEL_AT_BY_ROTORS if governed else LEVEL_AT
    for share in SPEEDS:
        rows = _walk(flown, level, lambda rows, part, to=share * usual: _to_speed(rows, level, part, to), level_at)
        found.append(_read("level", share * usual, rows, reader, "no steady level flight at this speed"))
    for throttle in THROTTLES:
        rows = _walk(flown, level, lambda rows, part, to=throttle: _to_throttle(rows, level, part, to), ATTITUDE_KEPT)
        found.append(_read("throttle", throttle, rows, reader, "no steady flight with the nose kept so"))
    return tuple(found)


def _walk(flown: Flown, level: Any, put: Any, free: tuple[int, ...]) -> Solutions:
    """Return rows solved at the end of a walk; ``put`` sets them a share of the way."""
    rows = held_flight(flown.numbers, level)
    rows.solve((), GUESS_INNER)
    for step in range(1, STEPS + 1):
        put(rows, step / STEPS)
        rows.solve(free)
    return rows


def _to_speed(rows: Solutions, level: Any, part: float, speed: float) -> None:
    now = level["airspeed"] + part * (speed - level["airspeed"])
    rows.flight[:, AIRSPEED], rows.flight[:, CLIMB] = now, 0.0


def _to_throttle(rows: Solutions, level: Any, part: float, throttle: float) -> None:
    rows.flight[:, INCIDENCE] = level["incidence"]
    rows.flight[:, THROTTLE] = level["throttle"] + part * (throttle - level["throttle"])


def _read(kind: str, asked: float, rows: Solutions, reader: Reader, why: str) -> SpeedTrim:
    there = (rows.status == OK) & (rows.flight[:, COMMAND] <= 1.0 + ROUNDING)
    sources = lift_sources(reader.flown) + FLIGHT

    def read(numbers: Floats, unit: str) -> Quantity:
        return reader.quantity(np.where(there, numbers, np.nan), unit, sources, why)

    flight = rows.flight
    return SpeedTrim(
        kind, asked, read(flight[:, AIRSPEED], "m/s"), read(flight[:, CLIMB], "m/s"), read(flight[:, THROTTLE], "1"),
        read(flight[:, ELEVATOR], "1"), read(1.0 - np.abs(flight[:, ELEVATOR]), "1"),
    )  # fmt: skip
