"""Loads on a body: drag along, cross-flow drag, and the turning moment of a slender body in slanting flow."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit

FULLNESS = 0.6  # volume over length × width × height; an ellipsoid has 0.52, a box 1 (common practice, no source)


@jit
def apparent_mass_difference(fineness: float) -> float:
    """Return k₂ − k₁, cross-flow minus along-flow apparent-mass coefficient of a spheroid of this length/diameter.

    Parameters
    ----------
    fineness : float
        Length over diameter [1].

    Notes
    -----
    Rational fit (f² − 1)/(f² + 0.6 f + 0.9), within 0.02 of the exact coefficients for f = 1…20 (the tests compare).
    Source: fit to H. Lamb, Hydrodynamics, art. 114–115 (closed form), as used by M. M. Munk, NACA TR 184 (1924).
    """
    square = fineness * fineness
    return (square - 1.0) / (square + 0.6 * fineness + 0.9)


@jit
def body_loads(
    body: Any, u: float, v: float, w: float, air_density: float, factors: Any
) -> tuple[float, float, float, float, float, float]:
    """Return force and moment of a body about its own centre.

    Parameters
    ----------
    body : BODY record
    u, v, w : float
        Motion of the body's centre through the air, body axes [m/s].
    air_density : float
        [kg/m³]
    factors : FACTORS record
        Reads ``body_drag``.

    Returns
    -------
    fx, fy, fz, mx, my, mz : float
        Body axes, [N] and [N m].

    Notes
    -----
    Along: −½ρ A_along u|u|. Across: −½ρ (A_side v, A_top w) sqrt(v² + w²) (independence of cross flow).
    Turning moment in ideal flow: m_y = ρ k 𝒱 u w, m_z = −ρ k 𝒱 u v, unstable both; 𝒱 the volume, k = k₂ − k₁.
    Validity: any direction; the moment is an upper bound (real bodies lose part of it to separation).
    Source: M. M. Munk, NACA TR 184 (1924) for the moment (from memory); cross-flow principle as in common use.
    """
    return body_loads_given(body, turning_volume(body), u, v, w, air_density, factors)


@jit
def turning_volume(body: Any) -> float:
    """Return volume times difference of the apparent-mass coefficients [m³], which stays the same of a body.

    Parameters
    ----------
    body : BODY record
        Length, width and height [m].
    """
    thickness = math.sqrt(max(body.width * body.height, 0.0))
    if not (thickness > 0.0 and body.length > 0.0):
        return 0.0
    volume = FULLNESS * body.length * body.width * body.height
    return volume * max(apparent_mass_difference(body.length / thickness), 0.0)


@jit
def body_loads_given(
    body: Any, turning_volume: float, u: float, v: float, w: float, air_density: float, factors: Any
) -> tuple[float, float, float, float, float, float]:
    """Return `body_loads` of a body whose `turning_volume` is known.

    Parameters
    ----------
    body : BODY record
    turning_volume : float
        From `turning_volume` [m³].
    u, v, w : float
        Velocity of the body through the air, body axes [m/s].
    air_density : float
        [kg/m³]
    factors : FACTORS record
    """
    half = 0.5 * air_density * factors.body_drag
    cross = math.sqrt(v * v + w * w)
    fx = -half * body.drag_area * u * abs(u)
    fy = -half * body.side_area * v * cross
    fz = -half * body.top_area * w * cross
    turning = air_density * turning_volume
    return fx, fy, fz, 0.0, turning * u * w, -turning * u * v
