"""Friction of the rotor's bearings and seals."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit

CREEP_SPEED = 1.0
"""Speed [rad/s] over which dry friction changes sign: far below any running speed, smooth for the solvers."""


@jit
def bearing_friction(rotor: Any, rotor_speed: float, factors: Any) -> float:
    """Return the friction torque of the bearings, signed as the spin (it opposes it) [N m].

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    rotor_speed : float
        [rad/s].
    factors : record of base.unknown.FACTORS

    Notes
    -----
    f (M0 ω/√(ω² + ω_c²) + M1 ω), M0 = rotor.bearing_torque, M1 = rotor.bearing_drag, ω_c = 1 rad/s, f = factor
    bearing_friction.
    """
    direction = rotor_speed / math.sqrt(rotor_speed * rotor_speed + CREEP_SPEED * CREEP_SPEED)
    return float(factors.bearing_friction * (rotor.bearing_torque * direction + rotor.bearing_drag * rotor_speed))


@jit
def ball_bearing_torque(friction_coefficient: float, load: float, bore: float) -> float:
    """Return the load torque of one ball bearing without seals [N m].

    Parameters
    ----------
    friction_coefficient : float
        [1], 0.0010–0.0015 for deep-groove balls.
    load, bore : float
        [N], [m].

    Notes
    -----
    ½ μ P d with bore d. Source: Koyo, EZO and Roymech technical pages (read); grease and seals come on top.
    """
    return 0.5 * friction_coefficient * load * bore
