"""The Earth under a long flight: the WGS-84 ellipsoid, its gravity with J2, and its turning.

Short flights of models use the flat Earth of the equation of motion; this is for published check cases and for
judging what the flat Earth leaves out.
"""

from __future__ import annotations

import math

from rotorwright.base.jit import jit

# World Geodetic System 1984 (defining constants; in every public description of the standard)
EQUATOR_RADIUS = 6378137.0
FLATTENING = 1.0 / 298.257223563
GRAVITATION = 3.986004418e14
EARTH_RATE = 7.292115e-5
SECOND_HARMONIC = 1.08262982e-3
"""J2, from the normalised harmonic −0.484165371736e-3 of the same standard times −√5."""
POLE_SHARE = (1.0 - FLATTENING) ** 2
"""(polar over equatorial radius)²."""
ITERATIONS = 6


@jit
def gravitation(x: float, y: float, z: float) -> tuple[float, float, float]:
    """Return the gravitational acceleration [m/s²] at a point from the Earth's centre, z along the axis [m].

    Notes
    -----
    Point mass and second zonal harmonic; without the centrifugal part, which belongs to whoever turns with the Earth.
    Source: World Geodetic System 1984 (constants), form from memory; held by the published check cases.
    """
    square = x * x + y * y + z * z
    radius = math.sqrt(square)
    central = -GRAVITATION / (square * radius)
    wide = 1.5 * SECOND_HARMONIC * EQUATOR_RADIUS * EQUATOR_RADIUS / square
    tilt = 5.0 * z * z / square
    return (
        central * x * (1.0 + wide * (1.0 - tilt)),
        central * y * (1.0 + wide * (1.0 - tilt)),
        central * z * (1.0 + wide * (3.0 - tilt)),
    )


@jit
def place_of(latitude: float, longitude: float, height: float) -> tuple[float, float, float]:
    """Return Earth-fixed coordinates [m] of a geodetic latitude, longitude [rad] and height [m]."""
    lost = 1.0 - POLE_SHARE
    sine = math.sin(latitude)
    normal = EQUATOR_RADIUS / math.sqrt(1.0 - lost * sine * sine)
    level = (normal + height) * math.cos(latitude)
    return (
        level * math.cos(longitude),
        level * math.sin(longitude),
        (normal * POLE_SHARE + height) * sine,
    )


@jit
def geodetic(x: float, y: float, z: float) -> tuple[float, float, float]:
    """Return geodetic latitude, longitude [rad] and height [m] of Earth-fixed coordinates [m].

    Notes
    -----
    Fixed-point iteration on the latitude; each round gains a factor of 300, six are below the rounding of doubles near
    the surface. Validity: anywhere but the Earth's axis below the surface.
    """
    lost = 1.0 - POLE_SHARE
    level = math.hypot(x, y)
    latitude = math.atan2(z, level * POLE_SHARE)
    normal = EQUATOR_RADIUS
    for _ in range(ITERATIONS):
        sine = math.sin(latitude)
        normal = EQUATOR_RADIUS / math.sqrt(1.0 - lost * sine * sine)
        latitude = math.atan2(z + lost * normal * sine, level)
    sine, cosine = math.sin(latitude), math.cos(latitude)
    normal = EQUATOR_RADIUS / math.sqrt(1.0 - lost * sine * sine)
    height = level * cosine + z * sine - normal * (1.0 - lost * sine * sine)
    return latitude, math.atan2(y, x), height
