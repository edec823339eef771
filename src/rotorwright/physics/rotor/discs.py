"""Discs: windage torque of turning discs in an edgewise stream, and their drag."""

from __future__ import annotations

import math

from rotorwright.base.curves import smooth_step
from rotorwright.base.jit import jit

EDGE_DRAG = 0.6
"""Drag coefficient of the cut edge on thickness times diameter (from memory, blunt thin section; small)."""


@jit
def disc_moment_coefficient(reynolds_number: float) -> float:
    """Return the moment coefficient of a free disc, both faces: torque / (½ ρ ω² a⁵).

    Parameters
    ----------
    reynolds_number : float
        ω a²/ν [1], ≥ 0.

    Notes
    -----
    Laminar 3.87 R^−½ below 2e5, turbulent 0.146 R^−1/5 above 3e5, C1 blend between. Below R of about 100 the laminar
    law is held level so that the torque stays finite.

    Source: von Kármán and Cochran's solutions as quoted in Bird, Stewart & Lightfoot (read-secondary).
    """
    reynolds = math.sqrt(reynolds_number * reynolds_number + 1.0e4)
    laminar = 3.87 / math.sqrt(reynolds)
    weight = smooth_step(reynolds, 2.0e5, 3.0e5)
    if weight == 0.0:
        return laminar
    return laminar + (0.146 * reynolds**-0.2 - laminar) * weight


@jit
def free_disc_torque(
    radius: float, rotor_speed: float, airspeed: float, air_density: float, air_viscosity: float
) -> float:
    """Return the torque that a free disc, both faces, takes from its shaft [N m], signed as the spin.

    Notes
    -----
    ½ ρ ω ω_e a⁵ Cm(ω_e a²/ν) with ω_e² = ω² + 1.875 (V/a)²: for turbulent friction along the local relative velocity
    this is 1 + 0.75 (V/ωa)² at small V/ωa, and stays finite when the spin goes to zero.
    """
    edge = airspeed / radius
    effective = math.sqrt(rotor_speed * rotor_speed + 1.875 * edge * edge)
    moment = disc_moment_coefficient(effective * radius * radius * (air_density / air_viscosity))
    square = radius * radius
    return 0.5 * air_density * rotor_speed * effective * square * square * radius * moment


@jit
def disc_drag(
    radius: float, thickness: float, rotor_speed: float, airspeed: float, air_density: float, air_viscosity: float
) -> float:
    """Return the drag of one disc standing edgewise in the stream, both faces and edge [N].

    Notes
    -----
    Friction ½ ρ Cf 2πa² V √(V² + (1.5 ω r_m)²), r_m = 2a/3, Cf = 0.074 Re^−1/5 on the diameter (turbulent, because of
    edges and the body's wake); edge 0.6 · ½ ρ V² · thickness · diameter.

    Source: Prandtl's turbulent plate law (from memory); the spin term is the mean of |u| u_x over a fast disc.
    """
    fast = 1.5 * rotor_speed * radius * (2.0 / 3.0)
    speed = math.sqrt(airspeed * airspeed + fast * fast)
    reynolds = 2.0 * speed * radius * (air_density / air_viscosity) + 1.0e4
    friction = 0.074 * reynolds**-0.2
    faces = 0.5 * air_density * friction * 6.283185307179586 * radius * radius * airspeed * speed
    return faces + 0.5 * air_density * airspeed * airspeed * EDGE_DRAG * thickness * 2.0 * radius
