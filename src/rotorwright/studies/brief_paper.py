"""A brief sized on paper: the lift equation and momentum theory, to hold the computed sizes against."""

from __future__ import annotations

import math
from typing import NamedTuple

from rotorwright.base.constants import GRAVITY


class OnPaper(NamedTuple):
    """What a pocket calculator gives."""

    area: float
    """Lifting area at which lift is weight [m²]."""
    thrust: float
    """Thrust for level flight, weight over lift-to-drag [N]."""
    induced_speed: float
    """Of air through the propeller disc, standing still, at that thrust [m/s]."""
    ideal_power: float
    """No propeller of that size gives the thrust for less, standing still [W]."""
    flight_power: float
    """Thrust times airspeed [W]."""


def sized_on_paper(
    *, mass: float, airspeed: float, lift_coefficient: float, lift_to_drag: float, disc_diameter: float,
    air_density: float = 1.225,
) -> OnPaper:  # fmt: skip
    """Size an aeroplane with the lift equation and momentum theory.

    Parameters
    ----------
    mass : float
        [kg].
    airspeed : float
        Of level flight [m/s].
    lift_coefficient, lift_to_drag : float
        Of the whole aeroplane on its rotor area [1].
    disc_diameter : float
        Of the propeller [m].
    air_density : float
        [kg/m³].

    Notes
    -----
    S = 2 m g / (ρ V² C_L), T = m g / (L/D), v = √(T / (2 ρ A)), P = T v. NaN when a speed, coefficient or disc is zero.

    Source: mechanics; R. E. Froude (1889), momentum theory of a disc (read secondary).
    """
    if min(mass, airspeed, lift_coefficient, lift_to_drag, disc_diameter, air_density) <= 0.0:
        return OnPaper(math.nan, math.nan, math.nan, math.nan, math.nan)
    area = 2.0 * mass * GRAVITY / (air_density * airspeed**2 * lift_coefficient)
    thrust = mass * GRAVITY / lift_to_drag
    induced = math.sqrt(thrust / (2.0 * air_density * math.pi / 4.0 * disc_diameter**2))
    return OnPaper(area, thrust, induced, thrust * induced, thrust * airspeed)
