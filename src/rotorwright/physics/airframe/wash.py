"""The wash of a propeller or fan: how fast, how wide, and how much of a rotor or surface it covers."""

from __future__ import annotations

import math

from rotorwright.base.jit import jit

STILL_SPEED = 0.1  # [m/s] rounds the square root of momentum theory in still air; 0.05 m/s of a static wash
WIDEST = 2.0  # wash radius over disc radius where the inflow is drawn in from all round


@jit
def disc_induced_speed(thrust: float, disc_area: float, airspeed: float, air_density: float) -> float:
    """Return the speed a thrusting disc adds at its own plane [m/s], by momentum.

    Parameters
    ----------
    thrust : float
        [N]
    disc_area : float
        [m²]
    airspeed : float
        [m/s]
    air_density : float
        [kg/m³]

    Notes
    -----
    v = ½ (−V + sqrt(V² + 2 T/(ρ A))), V² softened by (0.1 m/s)². A braking disc gets the same law with the sign turned:
    right to first order, gentle beyond. Source: Rankine–Froude momentum theory (closed form).
    """
    if not disc_area > 0.0:
        return 0.0
    stream2 = airspeed * airspeed + STILL_SPEED * STILL_SPEED
    stream = math.sqrt(stream2)
    added = 2.0 * abs(thrust) / (air_density * disc_area)
    speed = 0.5 * added / (stream + math.sqrt(stream2 + added))  # the same root without loss of digits
    return speed if thrust >= 0.0 else -speed


@jit
def disc_wash(
    thrust: float, disc_radius: float, airspeed: float, air_density: float, distance_aft: float
) -> tuple[float, float]:
    """Return added speed and radius of the wash at a distance behind the disc.

    Parameters
    ----------
    thrust : float
        [N], negative when braking.
    disc_radius : float
        [m]
    airspeed : float
        Stream along the axis [m/s].
    air_density : float
        [kg/m³]
    distance_aft : float
        Behind the disc along its axis [m]; negative ahead.

    Returns
    -------
    extra_speed, wash_radius : float
        [m/s] along the axis, aft positive, to be scaled by the Unknown ``wash_force``; [m].

    Notes
    -----
    Added speed v (1 + x/sqrt(x² + R²)): v at the disc, 2 v far behind, fading ahead; radius by continuity, at most
    2 R ahead. No swirl, no mixing with the air outside: valid to about three diameters behind.
    Source: momentum theory with the axial growth of a vortex cylinder (closed form).
    """
    area = math.pi * disc_radius * disc_radius
    speed = disc_induced_speed(thrust, area, airspeed, air_density)
    reach = math.sqrt(distance_aft * distance_aft + disc_radius * disc_radius)
    growth = 1.0 + (distance_aft / reach if reach > 0.0 else 0.0)
    stream = math.sqrt(airspeed * airspeed + STILL_SPEED * STILL_SPEED)
    # |v| < the speed a braking disc could take out is not guaranteed far behind: round the flow speed off above zero
    least = 0.2 * stream
    there = stream + speed * growth - least
    there = 0.5 * (there + math.sqrt(there * there + least * least)) + least
    here = stream + speed - least
    here = 0.5 * (here + math.sqrt(here * here + least * least)) + least
    widening2 = here / there
    widening8 = widening2 * widening2 * widening2 * widening2
    limited = math.sqrt(widening2) / math.sqrt(math.sqrt(math.sqrt(1.0 + widening8 / WIDEST**8)))
    return speed * growth, disc_radius * limited


@jit
def _circle_corner(a: float, b: float, radius: float) -> float:
    """Return the signed area of a circle about the origin inside the box from the origin to (a, b)."""
    sign = 1.0
    if a < 0.0:
        sign = -sign
        a = -a
    if b < 0.0:
        sign = -sign
        b = -b
    a = min(a, radius)
    b = min(b, radius)
    if a * a + b * b <= radius * radius:
        return sign * a * b
    radius2 = radius * radius
    edge = math.sqrt(max(radius2 - b * b, 0.0))
    whole = 0.5 * (a * math.sqrt(max(radius2 - a * a, 0.0)) + radius2 * math.asin(a / radius))
    part = 0.5 * (edge * b + radius2 * math.asin(min(edge / radius, 1.0)))
    return sign * (b * edge + whole - part)


@jit
def wash_cover(wash_radius: float, offset_y: float, offset_z: float, span: float, height: float) -> float:
    """Return the share 0…1 of a spanwise rotor or surface that lies inside a round wash.

    Parameters
    ----------
    wash_radius : float
        [m]
    offset_y, offset_z : float
        Middle of the rotor or surface from the wash axis, along the span and across it [m].
    span, height : float
        Its extent seen along the axis [m]; height = diameter for a rotor, thickness for a flat surface (at least 1 % of
        the span is used, so that a sheet does not jump in and out).

    Notes
    -----
    Area shared by circle and rectangle over that of the rectangle; C1 in every argument. Source: closed form.
    """
    if not (wash_radius > 0.0 and span > 0.0):
        return 0.0
    height = max(height, 0.01 * span)
    right = offset_y + 0.5 * span
    left = offset_y - 0.5 * span
    top = offset_z + 0.5 * height
    bottom = offset_z - 0.5 * height
    shared = (
        _circle_corner(right, top, wash_radius)
        - _circle_corner(left, top, wash_radius)
        - _circle_corner(right, bottom, wash_radius)
        + _circle_corner(left, bottom, wash_radius)
    )
    return min(max(shared / (span * height), 0.0), 1.0)
