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
    stream, speed, here = disc_flow(thrust, disc_radius, airspeed, air_density)
    return wash_behind(stream, speed, here, disc_radius, distance_aft)


@jit
def disc_flow(thrust: float, disc_radius: float, airspeed: float, air_density: float) -> tuple[float, float, float]:
    """Return softened stream, added speed and rounded flow speed at a disc's own plane [m/s], for `wash_behind`.

    Parameters
    ----------
    thrust, disc_radius, airspeed, air_density : float
        As `disc_wash`.
    """
    stream = math.sqrt(airspeed * airspeed + STILL_SPEED * STILL_SPEED)
    speed = disc_induced_speed(thrust, math.pi * disc_radius * disc_radius, airspeed, air_density)
    return stream, speed, _above_zero(stream + speed, stream)


@jit
def wash_behind(
    stream: float, speed: float, here: float, disc_radius: float, distance_aft: float
) -> tuple[float, float]:
    """Return what `disc_wash` does, from what `disc_flow` has worked out once for all places behind a disc.

    Parameters
    ----------
    stream, speed, here : float
        From `disc_flow` [m/s].
    disc_radius, distance_aft : float
        As `disc_wash` [m].
    """
    reach = math.sqrt(distance_aft * distance_aft + disc_radius * disc_radius)
    growth = 1.0 + (distance_aft / reach if reach > 0.0 else 0.0)
    widening2 = here / _above_zero(stream + speed * growth, stream)
    widening8 = widening2 * widening2 * widening2 * widening2
    limited = math.sqrt(math.sqrt(math.sqrt(widening8 / (1.0 + widening8 / WIDEST**8))))
    return speed * growth, disc_radius * limited


@jit
def _above_zero(flow: float, stream: float) -> float:
    """Round a flow speed off above zero: a braking disc may ask more of the stream than it has."""
    least = 0.2 * stream
    over = flow - least
    return 0.5 * (over + math.sqrt(over * over + least * least)) + least


@jit
def _half_segment(reach: float, radius: float) -> float:
    """Return the area of a quarter circle nearer to its one edge than ``reach``, 0 ≤ reach ≤ radius."""
    if reach >= radius:
        return 0.25 * math.pi * radius * radius
    return 0.5 * (reach * math.sqrt(radius * radius - reach * reach) + radius * radius * math.asin(reach / radius))


@jit
def _circle_corner(a: float, b: float, area_a: float, area_b: float, radius: float) -> float:
    """Return the signed area of a circle about the origin inside the box from the origin to (a, b).

    ``area_a`` and ``area_b`` are `_half_segment` of the sides' lengths, both at most ``radius``.
    """
    size = math.fabs(a * b)
    if a * a + b * b > radius * radius:
        size = area_a + area_b - 0.25 * math.pi * radius * radius
    return size if (a < 0.0) == (b < 0.0) else -size


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
    right = min(max(offset_y + 0.5 * span, -wash_radius), wash_radius)
    left = min(max(offset_y - 0.5 * span, -wash_radius), wash_radius)
    top = min(max(offset_z + 0.5 * height, -wash_radius), wash_radius)
    bottom = min(max(offset_z - 0.5 * height, -wash_radius), wash_radius)
    if right <= left or top <= bottom:
        return 0.0
    if max(right * right, left * left) + max(top * top, bottom * bottom) <= wash_radius * wash_radius:
        return 1.0
    area_right = _half_segment(math.fabs(right), wash_radius)
    area_left = _half_segment(math.fabs(left), wash_radius)
    area_top = _half_segment(math.fabs(top), wash_radius)
    area_bottom = _half_segment(math.fabs(bottom), wash_radius)
    shared = (
        _circle_corner(right, top, area_right, area_top, wash_radius)
        - _circle_corner(left, top, area_left, area_top, wash_radius)
        - _circle_corner(right, bottom, area_right, area_bottom, wash_radius)
        + _circle_corner(left, bottom, area_left, area_bottom, wash_radius)
    )
    return min(max(shared / (span * height), 0.0), 1.0)
