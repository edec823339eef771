"""What a turn costs in height, by bank and throttle."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.quantity import Quantity
from rotorwright.base.status import OK
from rotorwright.flight.solver import AS_GIVEN, GUESS_INNER
from rotorwright.flight.steady import AIRSPEED, BANK, CLIMB, INCIDENCE, THROTTLE
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.sources import FLIGHT, lift_sources

BANKS = (math.radians(15.0), math.radians(30.0), math.radians(45.0))
QUARTER = 0.5 * math.pi


@dataclass(frozen=True)
class Turn:
    """A turn through 90° at one bank and throttle."""

    bank: float
    """[rad]"""
    throttle: str
    """``level``: as for level flight, or ``full``."""
    height_lost: Quantity
    """[m]; negative: gained."""
    airspeed: Quantity
    """[m/s]"""
    radius: Quantity
    """[m]"""
    time: Quantity
    """[s]"""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        numbers = {name: getattr(self, name).as_dict() for name in ("height_lost", "airspeed", "radius", "time")}
        return {"bank": self.bank, "throttle": self.throttle, **numbers}


def turns(flown: Flown, level: Any, reader: Reader) -> tuple[Turn, ...]:
    """Return turns through 90° with the elevator left as in level flight.

    Parameters
    ----------
    flown : Flown
    level : array of STEADY records, shape (cases,)
        From `level_or_held`.
    reader : Reader

    Notes
    -----
    Steady coordinated turns of the equation of motion, bank and throttle held, airspeed, path and incidence free. The
    height lost is the steady sink times the time for 90°; rolling in and out comes on top.
    """
    found = []
    gravity = flown.numbers.air["gravity"]
    for throttle in ("level", "full"):
        rows = held_flight(flown.numbers, level)
        if throttle == "full":
            rows.flight[:, THROTTLE] = 1.0
        start = GUESS_INNER
        for bank in BANKS:
            rows.flight[:, BANK] = bank
            rows.solve((AIRSPEED, CLIMB, INCIDENCE), start)
            start = AS_GIVEN
            there = rows.status == OK
            speed = np.where(there, rows.flight[:, AIRSPEED], np.nan)
            rate = gravity * math.tan(bank) / speed
            time = QUARTER / rate
            why = "no steady turn was found" if throttle == "level" else "it climbs too steeply for a steady turn"
            sources = lift_sources(flown) + FLIGHT
            found.append(
                Turn(
                    bank,
                    throttle,
                    reader.quantity(-np.where(there, rows.flight[:, CLIMB], np.nan) * time, "m", sources, why),
                    reader.quantity(speed, "m/s", sources, why),
                    reader.quantity(speed / rate, "m", sources, why),
                    reader.quantity(time, "s", sources, why),
                )
            )
    return tuple(found)
