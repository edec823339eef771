"""A four-rotor aeroplane for timing the span-wise trim: two pairs of free S-rotors one behind the other, tail, fin."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base import records
from rotorwright.flight.alone import assemble_parts
from rotorwright.flight.numbers import Case, case_of
from rotorwright.flight.span_wise import Motion

S_ROTOR = {
    "kind": records.VANED, "section": records.S_SECTION, "buckets": 2.0, "span": 0.62, "diameter": 0.16,
    "disc_diameter": 0.22, "disc_thickness": 0.003, "end_discs": 2.0, "discs_turn": 1.0, "stages": 1.0,
    "flow": records.OUTDOOR, "bearing_torque": 0.002, "turning": 1.0, "drive": records.NONE,
}  # fmt: skip
TAIL = {
    "kind": records.TAIL, "area": 0.1105, "span": 0.65, "chord": 0.17, "x": -1.45, "z": -0.2, "max_lift": 0.9,
    "section_drag": 0.02, "control": records.ELEVATOR, "control_share": 0.35, "control_travel": 0.4,
    "control_sign": 1.0,
}  # fmt: skip
FIN = TAIL | {
    "kind": records.FIN, "area": 0.05, "span": 0.28, "chord": 0.18, "tilt": 0.5 * math.pi, "control": records.RUDDER,
    "z": -0.22,
}  # fmt: skip
BODY = {
    "length": 0.9, "width": 0.1, "height": 0.12, "x": -0.5, "drag_area": 0.004, "side_area": 0.06, "top_area": 0.05
}  # fmt: skip
FAN = {"kind": records.FAN, "z": -0.05, "diameter": 0.07, "exit_area": 0.003}
"""A fan: its jet is thin and reaches no strip, so that both ways of solving leave slipstreams out."""
PLACES = ((-0.35, -0.05), (-0.95, -0.12))
"""Of the two pairs, along and across the body [m]."""
SPEED, INCIDENCE, SPIN_RATIO = 9.0, 0.03, 0.95


def four_rotors() -> tuple[Case, Motion]:
    """Return the aeroplane and a first guess of its level flight."""
    parts: dict[str, list[dict[str, Any]]] = {
        "rotors": [
            S_ROTOR | {"x": along, "y": side * 0.38, "z": across} for along, across in PLACES for side in (-1.0, 1.0)
        ],
        "surfaces": [TAIL, FIN],
        "bodies": [BODY],
        "thrusters": [FAN],
        "masses": [{"mass": 1.5, "x": -0.68, "z": -0.05, "ixx": 0.15, "iyy": 0.25, "izz": 0.35}],
    }  # fmt: skip
    case = case_of(assemble_parts(parts, 1.2), 0)
    velocity = (SPEED * math.cos(INCIDENCE), 0.0, SPEED * math.sin(INCIDENCE))
    spin = 2.0 * SPIN_RATIO * SPEED / S_ROTOR["diameter"]
    return case, Motion(velocity, rotor_speeds=(spin,) * 4, thrusts=(10.0,))
