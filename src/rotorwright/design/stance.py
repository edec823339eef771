"""How an aeroplane stands on its wheels: where they lie against the balance point, and how far it may pitch.

Plain geometry in file axes (aft, right, up).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.clearances import solid_parts
from rotorwright.design.parts.site import AircraftTables

TAIL_WHEEL_ANGLES = (math.radians(8.0), math.radians(15.0), math.radians(28.0))
NOSE_WHEEL_ANGLES = (math.radians(5.0), math.radians(15.0), math.radians(28.0))
"""Least, good and greatest angle of the line from where the main wheels touch to the balance point against the
vertical, thrust line level (common practice, no source; textbooks on design give about 15°)."""
NEAR = 0.03
"""Parts nearer than this fore and aft to where the wheels touch do not strike when it pitches [m]."""
ACROSS = 0.02


@dataclass(frozen=True)
class Stance:
    """An aeroplane on its wheels, balance point as stated."""

    tail_wheel: bool
    """Main wheels ahead of the third one."""
    third_wheel: bool
    """Whether there is one at all."""
    wheels_ahead: float
    """Main wheels ahead of the balance point [m]; negative: behind it."""
    wheel_angle: float
    """Of the line from where they touch to the balance point against the vertical, ahead positive [rad]."""
    nose_up: float
    """How far the nose stands up at rest [rad]."""
    nose_up_limit: float
    """Nose-up attitude at which something behind the main wheels touches [rad]; a tail wheel counts."""
    nose_down_limit: float
    """Attitude (negative: nose down) at which something ahead of the main wheels touches [rad]."""
    first_ahead: str
    """What touches first ahead, and behind."""
    first_behind: str

    @property
    def angles(self) -> tuple[float, float, float]:
        """Return least, good and greatest wheel angle for this kind of gear [rad]."""
        return TAIL_WHEEL_ANGLES if self.tail_wheel else NOSE_WHEEL_ANGLES

    def trouble(self) -> str:
        """Return what is wrong with the fore-and-aft place of the wheels, in words; empty if nothing is."""
        least, _, most = self.angles
        angle = self.wheel_angle if self.tail_wheel else -self.wheel_angle
        where = "ahead of" if self.tail_wheel else "behind"
        far = abs(1000.0 * self.wheels_ahead)
        told = f"the main wheels touch {far:.0f} mm ({abs(math.degrees(self.wheel_angle)):.0f}°) "
        told += "ahead of" if self.wheels_ahead >= 0.0 else "behind"
        told += " the balance point"
        should = f": {math.degrees(least):.0f}° to {math.degrees(most):.0f}° {where} it is usual"
        if angle < least:
            return told + (
                f"{should}; so it tips onto its nose with thrust, in grass or on braking"
                if self.tail_wheel
                else f"{should}; so it sits down on its tail"
            )
        if angle > most:
            return told + (
                f"{should}; so the tail is hard to lift and it swings round (ground loop)"
                if self.tail_wheel
                else f"{should}; so the nose will not come up and steering is heavy"
            )
        return ""


def stance(aeroplane: Aeroplane, balance_aft: float, balance_up: float) -> Stance | None:
    """Return how an aeroplane stands, or None without a main wheel.

    Parameters
    ----------
    aeroplane : Aeroplane
    balance_aft, balance_up : float
        Of the balance point from the nose point [m].

    Notes
    -----
    Main wheels are those furthest from the middle (else the largest). Limits of pitch: the aeroplane turns about where
    the main wheels touch.
    """
    tables = aeroplane.tables
    if not tables.wheel:
        return None
    main, third = _wheels(tables)
    aft, foot = main
    height = max(balance_up - foot, 1e-3)
    ahead = balance_aft - aft
    nose_up = math.atan2(third[1] - foot, third[0] - aft) if third and third[0] > aft else 0.0
    if third and third[0] < aft:
        nose_up = math.atan2(foot - third[1], aft - third[0])
    up, down = (math.pi / 2.0, "nothing"), (-math.pi / 2.0, "nothing")
    for part in solid_parts(aeroplane):
        angle = math.atan2(part.low - foot, abs(part.aft - aft)) if abs(part.aft - aft) > NEAR else None
        if angle is None:
            continue
        if part.aft > aft and angle < up[0]:
            up = angle, part.name
        if part.aft < aft and -angle > down[0]:
            down = -angle, part.name
    if third:
        angle = math.atan2(third[1] - foot, abs(third[0] - aft))
        if third[0] > aft and angle < up[0]:
            up = angle, "the tail wheel"
        if third[0] < aft and -angle > down[0]:
            down = -angle, "the nose wheel"
    tail = third is None or third[0] > aft
    return Stance(tail, third is not None, ahead, math.atan2(ahead, height), nose_up, up[0], down[0], down[1], up[1])


def _wheels(tables: AircraftTables) -> tuple[tuple[float, float], tuple[float, float] | None]:
    """Return place aft and foot of the main wheels, and of the third wheel if there is one."""
    feet = [
        (abs(wheel.position[1]), wheel.diameter, wheel.position[0], wheel.position[2] - wheel.diameter / 2.0)
        for wheel in tables.wheel.values()
    ]
    feet.sort(key=lambda foot: (foot[0] > ACROSS, foot[0], foot[1]), reverse=True)
    main = feet[0]
    others = [foot for foot in feet[1:] if abs(foot[2] - main[2]) > ACROSS]
    return (main[2], main[3]), ((others[0][2], others[0][3]) if others else None)
