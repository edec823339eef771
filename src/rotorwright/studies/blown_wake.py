"""The wake a rotor leaves for a propeller behind it: how much of the airspeed is missing over the propeller disc."""

from __future__ import annotations

import math

import numpy as np

STRIPS = 41
WIDENING = 0.25
"""Half-width of a plane wake over the root of drag coefficient × thickness × distance."""
LARGEST_DEFICIT = 0.5
"""Share of the airspeed missing in the middle where the wake begins: thinner wakes would not carry the drag
(judgement)."""


def wake_spread(drag_per_span: float, dynamic_pressure: float, distance_aft: float) -> float:
    """Return the standard deviation of the wake's profile across it [m].

    Parameters
    ----------
    drag_per_span : float
        [N/m]
    dynamic_pressure : float
        [Pa]
    distance_aft : float
        Behind the rotor axis [m], ≥ 0.

    Notes
    -----
    Half-width b = 0.25 sqrt(c_D d x), σ = b/1.177, added in squares to the σ at which the wake carries the drag with
    half of the airspeed missing in its middle. Source: H. Schlichting, Boundary-Layer Theory, chapter on free turbulent
    flows
    (from memory).
    """
    size = drag_per_span / dynamic_pressure  # drag coefficient × thickness
    grown = WIDENING * math.sqrt(size * max(distance_aft, 0.0)) / math.sqrt(2.0 * math.log(2.0))
    carried = 2.0 * LARGEST_DEFICIT * math.sqrt(2.0 * math.pi) - 2.0 * LARGEST_DEFICIT**2 * math.sqrt(math.pi)
    return math.hypot(grown, size / carried)


def middle_deficit(drag_per_span: float, dynamic_pressure: float, spread: float) -> float:
    """Return the share of airspeed missing in the middle of a wake of this spread.

    Parameters
    ----------
    drag_per_span : float
        [N/m]
    dynamic_pressure : float
        [Pa]
    spread : float
        Standard deviation of the profile [m].

    Notes
    -----
    Momentum: c_D d = 2 u σ sqrt(2π) − 2 u² σ sqrt(π), u the share missing in the middle of a bell-shaped profile
    (closed form); its smaller root.
    """
    size = drag_per_span / dynamic_pressure
    a, b = 2.0 * spread * math.sqrt(math.pi), 2.0 * spread * math.sqrt(2.0 * math.pi)
    return (b - math.sqrt(max(b * b - 4.0 * a * size, 0.0))) / (2.0 * a)


def mean_wake_deficit(
    *,
    drag: float,
    lift: float,
    span: float,
    airspeed: float,
    air_density: float,
    distance_aft: float,
    above: float,
    disc_diameter: float,
) -> float:
    """Return the mean share of airspeed missing over a propeller disc behind a rotor as wide as the disc.

    Parameters
    ----------
    drag, lift : float
        Of the rotors [N].
    span : float
        Of all rotors together [m].
    airspeed, air_density : float
        [m/s], [kg/m³]
    distance_aft, above : float
        Propeller disc behind and above the rotor axis [m].
    disc_diameter : float
        Of the propeller [m].

    Returns
    -------
    deficit : float
        NaN without airspeed or drag.

    Notes
    -----
    The wake sinks with half of the far downwash angle 2 C_L/(π A) of elliptic loading on the way (Prandtl's lifting
    line, closed form). Bell-shaped profile, averaged over the disc by strips; no pull of the propeller on the rotor.
    """
    if not (airspeed > 0.0 and drag > 0.0 and span > 0.0):
        return math.nan
    pressure = 0.5 * air_density * airspeed * airspeed
    spread = wake_spread(drag / span, pressure, distance_aft)
    deficit = middle_deficit(drag / span, pressure, spread)
    sunk = min(lift / (math.pi * pressure * span * span), 0.5) * distance_aft
    radius = 0.5 * disc_diameter
    heights = radius * np.linspace(-1.0, 1.0, STRIPS)
    widths = np.sqrt(np.maximum(radius * radius - heights * heights, 0.0))
    profile = np.exp(-0.5 * ((heights + above + sunk) / spread) ** 2)
    return float(deficit * (profile * widths).sum() / widths.sum())
