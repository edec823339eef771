"""The legs of a quick start: high and wide enough that nothing but wheels touches the ground."""

from __future__ import annotations

import math
from typing import Any

SMALLEST_WHEEL = 0.025
"""Smaller wheels are hard to buy and stick in grass [m] (common practice, no source)."""
BANK_ON_WHEELS = math.radians(10.5)
GROUND_GAP = 0.030


WHEEL_ANGLE = math.radians(15.0)
"""Main wheels so far ahead of the balance point, seen from where they touch (common practice, no source)."""


def _aft(s: Any, floor: float) -> float:
    return max(s.balance_aft + math.tan(WHEEL_ANGLE) * floor, 0.02)  # the balance point lies near the nose's height


def wheels_aft(s: Any) -> float:
    """Return how far aft of the nose the main wheels stand [m]."""
    return _aft(s, gear(s)[0] - 0.5 * s.wheel_diameter)


def tail_wheel_up(s: Any) -> float:
    """Return how high the hub of the tail wheel sits [m]."""
    return -0.35 * s.wheel_diameter - 0.02


def gear(s: Any) -> tuple[float, float]:
    """Return how high the main wheels' hubs sit and how far out they stand [m].

    Parameters
    ----------
    s : QuickStartSizes
        Of `rotorwright.design.quick_start`.

    Notes
    -----
    The ground under the rotors lies so low that the aeroplane can bank by `BANK_ON_WHEELS` on its outer wheel before a
    tip touches, and that rotors and propeller clear it by `GROUND_GAP`. Source: geometry; the angle and gaps are
    common practice, no source.
    """
    radius = 0.5 * s.wheel_diameter
    tail_aft = s.tail_aft + 0.5 * s.tail_chord
    tail_foot = tail_wheel_up(s) - 0.5 * max(0.5 * s.wheel_diameter, SMALLEST_WHEEL)
    tip = s.rotor_side + 0.5 * s.rotor_span + 0.005
    body, floor = -0.5 * s.body_height - 0.8 * s.wheel_diameter - radius, -0.3
    track = 0.5 * s.body_width
    for _ in range(40):
        aft = _aft(s, floor)
        share = (s.rotor_aft - aft) / (tail_aft - aft)  # of the way from the main wheels to the tail wheel
        track = 0.5 * s.body_width + 0.6 * abs(floor + radius)
        lever = max(tip - track, 0.0)
        slope = (tail_foot - floor) / (tail_aft - aft)
        tilted = math.sqrt(1.0 + slope**2)
        gap = max(GROUND_GAP * tilted + 0.5 * s.disc_diameter * (tilted - 1.0), math.tan(BANK_ON_WHEELS) * lever)
        under_rotors = s.rotor_up - 0.5 * s.disc_diameter - gap
        wanted = min(body, (under_rotors - share * tail_foot) / (1.0 - share))
        if s.thrust_source == "propeller":
            wanted = min(wanted, s.thrust_line_up - 0.5 * s.thruster_diameter - GROUND_GAP)
        floor += 0.7 * (wanted - floor)
    return floor + radius, track
