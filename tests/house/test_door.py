"""The package door: what it exports is pinned, lazy and really there."""

from __future__ import annotations

import subprocess
import sys

import rotorwright

EXPORTED = [
    "InputError",
    "InputProblems",
    "Quantity",
    "__version__",
    "balance",
    "balance_planes",
    "band_shares",
    "bearing_life",
    "brief",
    "choose_parts",
    "compare",
    "drive_choice",
    "explore",
    "fan_alone",
    "first_flights",
    "flight_conditions",
    "fly",
    "launch",
    "levers",
    "load",
    "modes_of",
    "motor_and_propeller_alone",
    "power",
    "propeller_alone",
    "rigid_body_alone",
    "rotor_alone",
    "rotor_start",
    "scale",
    "shaft_alone",
    "span_wise",
]


def test_exported_names_are_pinned() -> None:
    assert sorted(rotorwright.__all__) == EXPORTED
    assert dir(rotorwright) == EXPORTED


def test_every_exported_name_is_there() -> None:
    missing = []
    for name in EXPORTED:
        try:
            getattr(rotorwright, name)
        except (ImportError, AttributeError) as problem:
            missing.append(f"{name}: {problem}")
    assert not missing


def test_the_door_is_lazy() -> None:
    code = "import rotorwright, sys; print([m for m in ('numpy', 'numba', 'pydantic', 'scipy') if m in sys.modules])"
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "[]"
