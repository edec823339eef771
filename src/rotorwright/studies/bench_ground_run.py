"""A take-off run alone, as textbooks set it: constant thrust, lift and drag by area, rolled by the run's own steps."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from rotorwright.base.errors import InputError
from rotorwright.flight.straight import Floats, Ground, rolling_gain, stepped

STEP = 0.01


class GroundRun(NamedTuple):
    """A run along the ground."""

    distance: float
    """To lift-off [m]; NaN if it never gets there."""
    time: float
    """[s]"""
    fastest: float
    """Greatest airspeed reached [m/s]."""


def ground_run_alone(
    *, mass: float, thrust: float, lift_off_speed: float, friction: float = 0.0, lift_area: float = 0.0,
    drag_area: float = 0.0, headwind: float = 0.0, slope: float = 0.0, air_density: float = 1.225,
    gravity: float = 9.80665, longest: float = 120.0,
) -> GroundRun:  # fmt: skip
    """Return the run to a lift-off speed under constant thrust.

    Parameters
    ----------
    mass, thrust : float
        [kg], [N]
    lift_off_speed : float
        Airspeed at which it lifts off [m/s].
    friction : float
        Of rolling [1].
    lift_area, drag_area : float
        Lift and drag over dynamic pressure on the ground [m²].
    headwind, slope : float
        [m/s]; uphill positive [rad].
    air_density, gravity, longest : float
        [kg/m³], [m/s²], [s]

    Raises
    ------
    InputError
        If mass or lift-off speed is not above zero.
    """
    for name, value in (("mass", mass), ("lift_off_speed", lift_off_speed)):
        if not (value > 0.0 and math.isfinite(value)):
            raise InputError("must be above zero", place="ground_run_alone", field=name, found=f"{value:g}")
    ground = Ground(friction, slope, headwind)

    def rates(now: Floats) -> tuple[Floats, float]:
        pressure = 0.5 * air_density * now[0] * now[0]
        over = now[0] - headwind
        gain = rolling_gain(thrust - pressure * drag_area, pressure * lift_area, over, ground, mass, gravity)
        return np.array([gain, 0.0, over, 0.0]), float(now[0])

    def until(now: Floats, change: Floats, lift: float) -> bool:
        return bool(now[0] >= lift_off_speed or change[0] < 1e-4)

    moments = stepped(rates, np.array([headwind, 0.0, 0.0, 0.0]), STEP, until, int(longest / STEP))
    fastest = float(moments.airspeed.max())
    if fastest < lift_off_speed:
        return GroundRun(math.nan, math.nan, fastest)
    before, after = float(moments.airspeed[-2]), float(moments.airspeed[-1])
    share = (lift_off_speed - before) / (after - before)
    way, time = (float(row[-2] + share * (row[-1] - row[-2])) for row in (moments.way, moments.time))
    return GroundRun(way, time, lift_off_speed)
