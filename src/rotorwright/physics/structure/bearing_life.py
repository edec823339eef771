"""Ball bearings: equivalent load, rated life, least load against skidding, permitted slope of the shaft."""

from __future__ import annotations

import math
from typing import Any

LEAST_SLOPE, MOST_SLOPE = 2.0 / 60.0 * math.pi / 180.0, 10.0 / 60.0 * math.pi / 180.0
"""Deep-groove bearings stand 2 to 10 minutes of arc of misalignment [rad] (SKF, Rolling bearings, 2018, read)."""
AXIAL_SHARE = 0.25
"""Small bearings (bore to 12 mm): axial load at most this share of the static rating (SKF 2018, read)."""
RADIAL_FACTOR = 0.56
_RELATIVE = (0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89)
_LIMIT = (0.19, 0.22, 0.26, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44)
_AXIAL_FACTOR = (2.30, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00)
"""e and Y over f₀ Fa/C₀, normal clearance, X = 0.56 (SKF general catalogue, deep-groove table 5, read)."""


def _between(x: float, table: tuple[float, ...]) -> float:
    """Straight line between the nodes of the relative axial load, held at the ends."""
    if x <= _RELATIVE[0]:
        return table[0]
    for place in range(1, len(_RELATIVE)):
        if x <= _RELATIVE[place]:
            share = (x - _RELATIVE[place - 1]) / (_RELATIVE[place] - _RELATIVE[place - 1])
            return table[place - 1] + share * (table[place] - table[place - 1])
    return table[-1]


def axial_limit_ratio(*, axial: float, static_rating: float, geometry_factor: float) -> float:
    """Return e: the ratio of axial to radial load up to which the axial load does not count.

    Parameters
    ----------
    axial : float
        [N]
    static_rating : float
        C₀ of the catalogue [N].
    geometry_factor : float
        f₀ of the catalogue.
    """
    return _between(geometry_factor * axial / static_rating, _LIMIT)


def axial_factor(*, axial: float, static_rating: float, geometry_factor: float) -> float:
    """Return Y, the factor on the axial load beyond the limit ratio.

    Parameters
    ----------
    axial : float
        [N]
    static_rating : float
        C₀ of the catalogue [N].
    geometry_factor : float
        f₀ of the catalogue.
    """
    return _between(geometry_factor * axial / static_rating, _AXIAL_FACTOR)


def equivalent_load(*, radial: float, axial: float, static_rating: float, geometry_factor: float) -> float:
    """Return the dynamic equivalent load of a deep-groove ball bearing [N].

    Parameters
    ----------
    radial, axial : float
        [N]
    static_rating : float
        C₀ of the catalogue [N].
    geometry_factor : float
        f₀ of the catalogue.

    Returns
    -------
    float

    Notes
    -----
    P = F_r while F_a/F_r ≤ e, else 0.56 F_r + Y F_a. Source: ISO 281 by the SKF catalogue (read), normal clearance.
    """
    limit = axial_limit_ratio(axial=axial, static_rating=static_rating, geometry_factor=geometry_factor)
    if axial <= limit * radial:
        return radial
    factor = axial_factor(axial=axial, static_rating=static_rating, geometry_factor=geometry_factor)
    return RADIAL_FACTOR * radial + factor * axial


def static_equivalent_load(*, radial: Any, axial: Any) -> Any:
    """Return the static equivalent load [N]: the larger of F_r and 0.6 F_r + 0.5 F_a.

    Parameters
    ----------
    radial, axial : float or array
        [N]

    Notes
    -----
    Source: ISO 76 by the SKF catalogue (read). The maximum is written as mean plus half difference, for arrays.
    """
    other = 0.6 * radial + 0.5 * axial
    return 0.5 * (radial + other + abs(radial - other))


def rated_revolutions(*, load_rating: Any, load: Any, exponent: float = 3.0) -> Any:
    """Return the turns that nine bearings of ten outlive: 10⁶ (C/P)^p.

    Parameters
    ----------
    load_rating : float or array
        C of the catalogue [N].
    load : float or array
        Equivalent load [N], > 0.
    exponent : float
        3 for balls, 10/3 for rollers.

    Notes
    -----
    Source: ISO 281 by the SKF catalogue (read).
    """
    return 1.0e6 * (load_rating / load) ** exponent


def least_load(
    *, bore: float, outer: float, viscosity: float, rotor_speed: float, series_factor: float = 0.025
) -> float:
    """Return the radial load below which balls may skid [N].

    Parameters
    ----------
    bore, outer : float
        Diameters [m].
    viscosity : float
        Kinematic, of the oil at running temperature [m²/s].
    rotor_speed : float
        [rad/s]
    series_factor : float
        k_r of the catalogue; 0.015 for the thinnest series.

    Notes
    -----
    F = k_r (ν n/1000)^(2/3) (d_m/100)² kN with ν in mm²/s, n in rpm, d_m in mm. Source: SKF catalogue 2018 (read).
    """
    speed = abs(rotor_speed) * 30.0 / math.pi
    mean = 500.0 * (bore + outer)
    return float(1000.0 * series_factor * (1.0e6 * viscosity * speed / 1000.0) ** (2.0 / 3.0) * (mean / 100.0) ** 2)
