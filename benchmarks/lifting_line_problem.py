"""A four-rotor aeroplane for timing the span-wise trim: two pairs of driven drums one behind the other, tail, fin."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base import records
from rotorwright.flight.alone import assemble_parts
from rotorwright.flight.numbers import Case, case_of
from rotorwright.flight.span_wise import Motion

DRUM = {
    "kind": records.DRUM, "span": 0.62, "diameter": 0.11, "disc_diameter": 0.19, "disc_thickness": 0.003,
    "end_discs": 2.0, "discs_turn": 1.0, "stages": 1.0, "flow": records.OUTDOOR, "bearing_torque": 0.002,
    "turning": 1.0, "drive": 0.0,
}  # fmt: skip
TAIL = {
    "kind": records.TAIL, "area": 0.1105, "span": 0.65, "chord": 0.17, "x": -1.45, "z": -0.2, "max_lift": 0.9,
    "section_drag": 0.02, "control": records.ELEVATOR, "control_share": 0.35, "control_travel": 0.4,
    "control_sign": 1.0,
}  # fmt: skip
FIN = TAIL | {
    "kind": records.FIN,
    "area": 0.05,
    "span": 0.28,
    "chord": 0.18,
    "tilt": 0.5 * math.pi,
    "control": records.RUDDER,
    "z": -0.22,
}
BODY = {"length": 0.9, "width": 0.1, "height": 0.12, "x": -0.5, "drag_area": 0.004, "side_area": 0.06, "top_area": 0.05}
PROPELLER = {"kind": records.PROPELLER, "z": -0.05, "diameter": 0.3, "pitch": 0.16, "blades": 2.0}
PLACES = ((-0.35, -0.05), (-0.85, -0.12))
"""Of the two pairs, along and across the body [m]."""
SPEED, INCIDENCE, SPIN = 11.0, 0.03, 260.0


def four_rotors() -> tuple[Case, Motion]:
    """Return the aeroplane and a first guess of its level flight."""
    rotors = [DRUM | {"x": along, "y": side * 0.38, "z": across} for along, across in PLACES for side in (-1.0, 1.0)]
    parts: dict[str, list[dict[str, Any]]] = {
        "rotors": rotors,
        "surfaces": [TAIL, FIN],
        "bodies": [BODY],
        "thrusters": [PROPELLER],
        "masses": [{"mass": 3.4, "x": -0.56, "z": -0.05, "ixx": 0.15, "iyy": 0.25, "izz": 0.35}],
    }
    numbers = assemble_parts(parts, 1.2)
    velocity = (SPEED * math.cos(INCIDENCE), 0.0, SPEED * math.sin(INCIDENCE))
    return case_of(numbers, 0), Motion(velocity, rotor_speeds=(SPIN,) * 4, thrusts=(15.0,))
