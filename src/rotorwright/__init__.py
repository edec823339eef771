"""Rotorwright: from one text file to an honest flight verdict for aeroplanes that hang from spinning rotors.

The door is lazy: nothing heavy is imported until it is asked for.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

__version__ = "0.1.0"

_DOOR = {
    "load": "rotorwright.design.aircraft_file",
    "balance": "rotorwright.studies.balance",
    "explore": "rotorwright.studies.explore",
    "levers": "rotorwright.studies.lever_table",
    "compare": "rotorwright.studies.compare",
    "band_shares": "rotorwright.studies.band_shares",
    "launch": "rotorwright.studies.launch",
    "brief": "rotorwright.studies.brief",
    "power": "rotorwright.studies.power",
    "rotor_alone": "rotorwright.studies.bench_rotor",
    "rotor_start": "rotorwright.studies.rotor_start",
    "scale": "rotorwright.studies.scale",
    "drive_choice": "rotorwright.studies.drive_choice",
    "span_wise": "rotorwright.studies.span_wise",
    "propeller_alone": "rotorwright.studies.bench_power",
    "motor_and_propeller_alone": "rotorwright.studies.bench_power",
    "choose_parts": "rotorwright.studies.choose_parts",
    "fan_alone": "rotorwright.studies.bench_power",
    "rigid_body_alone": "rotorwright.studies.bench_motion",
    "modes_of": "rotorwright.studies.bench_modes",
    "balance_planes": "rotorwright.studies.balancing",
    "bearing_life": "rotorwright.studies.bearing_life",
    "shaft_alone": "rotorwright.studies.shaft_alone",
    "fly": "rotorwright.studies.fly",
    "first_flights": "rotorwright.studies.first_flights",
    "flight_conditions": "rotorwright.studies.fly",
    "InputError": "rotorwright.base.errors",
    "InputProblems": "rotorwright.base.errors",
    "Quantity": "rotorwright.base.quantity",
}

__all__ = ["__version__", *sorted(_DOOR)]


def __getattr__(name: str) -> Any:
    if name in _DOOR:
        return getattr(import_module(_DOOR[name]), name)
    raise AttributeError(f"module 'rotorwright' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
