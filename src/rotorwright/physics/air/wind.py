"""Wind over a field: how it grows with height, how it gusts, and one gust alone.

Turbulence is that of the low-altitude model of MIL-F-8785C. Its lengths and intensities are printed in feet; here
they are metres. Below 3 m (10 ft) and behind trees it is outside its range.
"""

from __future__ import annotations

import math

from rotorwright.base.jit import jit

FOOT = 0.3048
LOWEST = 10.0
"""Height below which the turbulence model is not told [ft]."""
HIGHEST = 1000.0
"""Height above which another model holds [ft]."""
METEOROLOGICAL_HEIGHT = 10.0
"""Height of a forecast's wind [m]."""
ROUGHNESS = {"open": 0.03, "hedges": 0.10, "trees": 0.25}
"""Roughness length of the country around a field [m]: open grass, hedges and low crops, scattered trees; source as in
`wind_at_height`."""


@jit
def wind_at_height(wind: float, height: float, roughness: float) -> float:
    """Return the mean wind [m/s] at a height [m] where a forecast says ``wind`` [m/s] at 10 m.

    Parameters
    ----------
    wind : float
        [m/s]
    height : float
        Above ground [m].
    roughness : float
        Roughness length of the ground [m], > 0: 0.0002 water or tarmac, 0.03 open grass, 0.1 low crops, 0.25 scattered
        trees, 0.5 clumps of trees, 1 suburb or forest.

    Notes
    -----
    u = u10 ln(z/z0)/ln(10/z0); nothing below the roughness length.
    Validity: neutral layer, a few hundred metres up, no obstacle near. Source: logarithmic law; roughness classes of
    Davenport and Wieringa, as printed in R. Stull, Meteorology for Scientists and Engineers (read in part).
    """
    if height <= roughness:
        return 0.0
    return wind * math.log(height / roughness) / math.log(METEOROLOGICAL_HEIGHT / roughness)


@jit
def turbulence_scales(height: float, wind: float) -> tuple[float, float, float, float]:
    """Return lengths and intensities of turbulence at a height.

    Parameters
    ----------
    height : float
        Above ground [m]; 3 m to 305 m, taken at the ends outside.
    wind : float
        Mean wind at 6 m (20 ft) [m/s].

    Returns
    -------
    length_along, length_up, intensity_along, intensity_up : float
        Scale lengths of the gusts along (and across) the flight and vertical [m], and their root mean squares [m/s].

    Notes
    -----
    With h in feet and k = 0.177 + 0.000823 h: L_w = h, L_u = L_v = h/k^1.2, σ_w = 0.1 W20, σ_u = σ_v = σ_w/k^0.4.
    Source: MIL-F-8785C (1980), low-altitude model, as printed in public documentation of a simulation library (read in
    a secondary source).
    """
    feet = min(max(height / FOOT, LOWEST), HIGHEST)
    spread = 0.177 + 0.000823 * feet
    up = 0.1 * wind
    return feet / spread**1.2 * FOOT, feet * FOOT, up / spread**0.4, up


@jit
def spectrum_along(frequency: float, airspeed: float, length: float, intensity: float) -> float:
    """Return the one-sided spectrum of gusts along the flight [m²/s² per rad/s] at a frequency [rad/s].

    Notes
    -----
    Φ = σ² (2L/πV)/(1 + (Lω/V)²); its integral over all frequencies is σ². Source: MIL-F-8785C (1980), Dryden
    form (secondary).
    """
    reach = length / airspeed
    return intensity * intensity * 2.0 * reach / math.pi / (1.0 + (reach * frequency) ** 2)


@jit
def spectrum_across(frequency: float, airspeed: float, length: float, intensity: float) -> float:
    """Return the one-sided spectrum of gusts across the flight or vertical [m²/s² per rad/s].

    Notes
    -----
    Φ = σ² (L/πV)(1 + 3(Lω/V)²)/(1 + (Lω/V)²)². Source: MIL-F-8785C (1980), Dryden form (secondary).
    """
    reach = length / airspeed
    square = (reach * frequency) ** 2
    return intensity * intensity * reach / math.pi * (1.0 + 3.0 * square) / (1.0 + square) ** 2


@jit
def single_gust(way: float, length: float, peak: float) -> float:
    """Return the speed of a single gust [m/s] after a way into it [m].

    Parameters
    ----------
    way : float
        Flown into the gust [m].
    length : float
        Over which it builds up [m].
    peak : float
        [m/s]

    Notes
    -----
    (peak/2)(1 − cos(π way/length)), and the peak from there on. Source: MIL-F-8785C (1980), discrete gust (secondary).
    """
    if way <= 0.0:
        return 0.0
    if way >= length:
        return peak
    return 0.5 * peak * (1.0 - math.cos(math.pi * way / length))
