"""Hobby rules of thumb beside the physics, each with what it silently supposes and whether that holds for rotors."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.digits import percent_text
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import PROPELLER
from rotorwright.flight.batch import sweep_airspeed
from rotorwright.flight.envelope import OPENED
from rotorwright.studies.evaluate import Flown


@dataclass(frozen=True)
class RuleOfThumb:
    """One rule: what it gives for this aeroplane, what the hobby asks, and whether it applies to rotors."""

    name: str
    value: float | None
    unit: str
    usual: str
    applies: bool
    note: str
    source: str
    usual_range: tuple[float, float] | None = None
    """What the hobby asks, in ``unit``, where that has a unit a maker may want in another one."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "name": self.name,
            "value": self.value,
            "unit": self.unit,
            "usual": self.usual,
            "usual_range": None if self.usual_range is None else list(self.usual_range),
            "applies": self.applies,
            "note": self.note,
            "source": self.source,
        }


def middle_of(flown: Flown, numbers: Any) -> float:
    """Return the median over the samples, or the nominal number of a run without samples; NaN if none exists."""
    there = numbers[1:] if flown.samples else numbers[:1]
    there = there[np.isfinite(there)]
    return float(np.median(there)) if len(there) else math.nan


def static_thrust(flown: Flown) -> float:
    """Return the thrust at standstill with full throttle, median of the samples [N]."""
    zero = np.zeros(len(flown.numbers.vehicle))
    rows = sweep_airspeed(flown.numbers, np.array([0.3]), zero, zero, np.full(len(zero), -1.0))
    return middle_of(flown, rows["thrust"][:, 0])


def rules_of_thumb(flown: Flown, quantities: dict[str, Quantity]) -> tuple[RuleOfThumb, ...]:
    """Return the usual rules of thumb for this aeroplane, with the medians that its sheet prints."""
    mass, weight = quantities["mass"].value, quantities["weight"].value
    if mass is None or weight is None:
        return ()
    rotors = len(flown.rows.rotors) > 0
    found: list[RuleOfThumb] = []
    area = quantities["lifting_area"].value if "lifting_area" in quantities else None
    if area:
        found.append(
            RuleOfThumb(
                "area loading", mass / area, "kg/m2", "for 0.9–1.4 m models", not rotors,
                "supposes a wing's lift coefficient; rotors work at other ones, on their projected area",
                "P. Langton, club notes on electric flight (secondary)", (4.6, 8.0),
            )
        )  # fmt: skip
        found.append(
            RuleOfThumb(
                "cubic loading", mass / area**1.5, "kg/m3", "under 4 to over 15 by class", not rotors,
                "disputed even for wings; the area of a rotor is not a wing's area",
                "model magazines, 1989–2022 (secondary)",
            )
        )  # fmt: skip
        found.append(
            RuleOfThumb(
                "stall-speed rule", 3.24 * math.sqrt(mass / area), "m/s", "level speed well above it", not rotors,
                "hides a lift coefficient of 1.53; a rotor does not stall with angle of attack",
                "hobby magazine, 2004 (secondary)",
            )
        )  # fmt: skip
    power = quantities["full_throttle_power"].value
    if power is not None:
        found.append(
            RuleOfThumb(
                "full-throttle power per mass", power / mass, "W/kg", "80–100 gentle, 150–200 sport", not rotors,
                "supposes the lift to drag of a wing (about 6–10); a rotor aeroplane needs two to four times that",
                "builders' motor guides (secondary)",
            )
        )  # fmt: skip
    thrust = static_thrust(flown) if len(flown.rows.thrusters) else 0.0
    in_flight = quantities["full_throttle_thrust"].value
    found.append(
        RuleOfThumb(
            "static thrust to weight", thrust / weight, "1", "0.25 least, 0.33–0.5 better", not rotors,
            "static thrust misleads: "
            + (f"{percent_text(in_flight / thrust)} of it is left in flight here" if thrust > 0.0 and in_flight
               else "a propeller may keep a third of it at speed"),
            "S. Vorkoetter, Sailplane & Electric Modeler, 2001 (secondary)",
        )
    )  # fmt: skip
    found += _pitch_speed(flown, quantities)
    return tuple(found)


def _pitch_speed(flown: Flown, quantities: dict[str, Quantity]) -> list[RuleOfThumb]:
    level = quantities["level_speed"].value
    shaft = middle_of(flown, flown.envelope.steady["thruster_speed"][:, OPENED])
    propellers = flown.rows.thrusters[flown.rows.thrusters["kind"] == PROPELLER]
    if level is None or not len(propellers) or not math.isfinite(shaft):
        return []
    pitch_speed = shaft / (2.0 * math.pi) * float(propellers["pitch"].mean())
    return [
        RuleOfThumb(
            "pitch speed over level speed", pitch_speed / level, "1", "2.5–3 times the stall speed", True,
            "level speed stands for the stall speed here, which a rotor does not have",
            "S. Vorkoetter, Sailplane & Electric Modeler, 2001 (secondary)",
        )
    ]  # fmt: skip
