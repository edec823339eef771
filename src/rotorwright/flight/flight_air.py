"""The air a flight meets at a moment: wind, gusts, and what the ground below does to the wing."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit_into_caller
from rotorwright.flight.equation import velocity_through_air
from rotorwright.flight.layout import VELOCITY
from rotorwright.physics.air.wind import single_gust, wind_at_height
from rotorwright.physics.airframe.ground import GONE, ground_help

LOWEST = 0.3
"""Height down to which the wind's law is followed [m]."""


@jit_into_caller
def meet_air(
    script: Any, gusts: Any, moment: int, time: float, height: float, state: Any, air_velocity: Any
) -> tuple[float, float]:
    """Fill the velocity through the air; return the wind along its mean direction and the airspeed [m/s].

    Parameters
    ----------
    script : SCRIPT record
    gusts : array, shape (4, moments)
    moment : int
        Which of the gusts blows.
    time : float
        [s]
    height : float
        Above ground [m].
    state, air_velocity : arrays
    """
    blowing = wind_at_height(script.wind, max(height, LOWEST), script.roughness) + gusts[0, moment]
    if script.gust != 0.0:
        blowing += single_gust((time - script.gust_time) * max(script.wind, 5.0), script.gust_length, script.gust)
    across = gusts[1, moment]
    cw, sw = math.cos(script.wind_from), math.sin(script.wind_from)
    down = gusts[2, moment] * height / (height + 1.0) if height > 0.0 else 0.0
    velocity_through_air(state, -blowing * cw + across * sw, -blowing * sw - across * cw, down, air_velocity)
    u, v, w = air_velocity[VELOCITY], air_velocity[VELOCITY + 1], air_velocity[VELOCITY + 2]
    return blowing, math.sqrt(u * u + v * v + w * w)


@jit_into_caller
def feel_ground(case: Any, script: Any, height: float, upright: float) -> None:
    """Fill what the ground does to the wing, from the balance point's height [m] and the upward part of its own up."""
    air = case.air[0]
    above = height + script.wing_above * upright
    if above < GONE * script.span:
        relief, slowing, nearness = ground_help(above, script.span, script.ground_share)
        air.ground_relief, air.ground_slowing, air.ground_nearness = relief, slowing, nearness
    elif air.ground_nearness > 0.0:
        air.ground_relief, air.ground_slowing, air.ground_nearness = 0.0, 0.0, 0.0
