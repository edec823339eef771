"""Second moments of tubes, drums and vanes about the spin axis, and the shear form factor of round tubes."""

from __future__ import annotations

import math
from typing import NamedTuple


class SecondMoments(NamedTuple):
    """Second moments of area about two axes that turn with the section [m⁴], and the area of the section [m²]."""

    first: float
    second: float
    product: float
    area: float


def tube_second_moment(outer: float, inner: float) -> float:
    """Return the second moment of area of a round tube.

    Parameters
    ----------
    outer, inner : float
        Diameters [m].

    Returns
    -------
    float
        π(D⁴ − d⁴)/64 [m⁴].
    """
    return math.pi * (outer**4 - inner**4) / 64.0


def shear_form_factor(outer: float, inner: float, poisson: float) -> float:
    """Return the share of a round tube's area that carries shear evenly.

    Parameters
    ----------
    outer, inner : float
        Diameters [m].
    poisson : float
        Poisson's ratio.

    Returns
    -------
    float
        κ = 6(1+ν)(1+r²)² / ((7+6ν)(1+r²)² + (20+12ν)r²), r = inner/outer.

    Notes
    -----
    Source: G. R. Cowper, The shear coefficient in Timoshenko's beam theory, J. Appl. Mech. 33 (1966) (from memory; the
    values reached with it are checked against published rotors).
    """
    ratio = inner / outer
    full = (1.0 + ratio * ratio) ** 2
    return 6.0 * (1.0 + poisson) * full / ((7.0 + 6.0 * poisson) * full + (20.0 + 12.0 * poisson) * ratio * ratio)


def drum_second_moments(diameter: float, thickness: float) -> SecondMoments:
    """Return the second moments of a thin closed drum.

    Parameters
    ----------
    diameter, thickness : float
        Of the skin [m].

    Returns
    -------
    SecondMoments
        π r³ t both ways.
    """
    radius = 0.5 * diameter
    moment = math.pi * radius**3 * thickness
    return SecondMoments(moment, moment, 0.0, 2.0 * math.pi * radius * thickness)


def plate_second_moments(width: float, thickness: float) -> SecondMoments:
    """Return the second moments of a flat vane through the axis; the first is across the plate, the second along it.

    Parameters
    ----------
    width, thickness : float
        Of the plate [m].

    Returns
    -------
    SecondMoments
    """
    return SecondMoments(width * thickness**3 / 12.0, width**3 * thickness / 12.0, 0.0, width * thickness)


def bucket_second_moments(diameter: float, buckets: int, overlap: float, thickness: float) -> SecondMoments:
    """Return the second moments of half-tube buckets set evenly round the axis (two without overlap: an S-section).

    Parameters
    ----------
    diameter : float
        Of the circle the tips run on [m].
    buckets : int
        At least 2.
    overlap : float
        Gap by which two buckets overlap [m]; counts for two buckets only.
    thickness : float
        Of the sheet [m].

    Returns
    -------
    SecondMoments
        About the spin axis; three or more buckets have the same both ways.

    Notes
    -----
    One bucket is a half circle of radius r centred a distance c out: ∫x² = πr(c² + r²/2), ∫y² = πr³/2, ∫xy = 2cr² per
    unit of thickness, x outwards; each bucket is turned by 2π/n and the squares and products turn with it.
    """
    bucket = (diameter + (overlap if buckets == 2 else 0.0)) / 2.0
    radius, out = 0.5 * bucket, 0.5 * (diameter - bucket)
    xx = math.pi * radius * (out * out + 0.5 * radius * radius)
    yy = 0.5 * math.pi * radius**3
    xy = 2.0 * out * radius * radius
    first = second = product = 0.0
    for number in range(buckets):
        angle = 2.0 * math.pi * number / buckets
        cos, sin = math.cos(angle), math.sin(angle)
        first += xx * cos * cos + yy * sin * sin - 2.0 * xy * sin * cos
        second += xx * sin * sin + yy * cos * cos + 2.0 * xy * sin * cos
        product += (xx - yy) * sin * cos + xy * (cos * cos - sin * sin)
    area = buckets * math.pi * radius
    return SecondMoments(first * thickness, second * thickness, product * thickness, area * thickness)


def turned(moments: SecondMoments, angle: float) -> SecondMoments:
    """Return the second moments of a section turned about the axis.

    Parameters
    ----------
    moments : SecondMoments
        Of the section as it stands.
    angle : float
        [rad]

    Returns
    -------
    SecondMoments
    """
    mean, half = 0.5 * (moments.first + moments.second), 0.5 * (moments.first - moments.second)
    cos, sin = math.cos(2.0 * angle), math.sin(2.0 * angle)
    difference = half * cos - moments.product * sin
    return SecondMoments(mean + difference, mean - difference, half * sin + moments.product * cos, moments.area)


def inequality(moments: SecondMoments) -> float:
    """Return how unequal a section is: difference over sum of its principal second moments.

    Parameters
    ----------
    moments : SecondMoments
        Of the section.

    Returns
    -------
    float
        0 for round and many-vaned sections, towards 1 for a thin plate.
    """
    half = math.hypot(0.5 * (moments.first - moments.second), moments.product)
    return half / (0.5 * (moments.first + moments.second))
