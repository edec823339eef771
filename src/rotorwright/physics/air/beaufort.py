"""Wind in words: the Beaufort scale, and what a wind makes along and across a runway."""

from __future__ import annotations

import math

KNOT = 1852.0 / 3600.0
UPPER_KNOTS = (1.0, 3.0, 6.0, 10.0, 16.0, 21.0, 27.0, 33.0, 40.0, 47.0, 55.0, 63.0)
"""Greatest whole knot of each force; force 0 ends below one knot, force 12 is open."""
NAMES = (
    "calm", "light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze",
    "near gale", "gale", "strong gale", "storm", "violent storm", "hurricane force",
)  # fmt: skip
SIGNS = (
    "smoke goes straight up",
    "smoke drifts, vanes stand still",
    "felt on the face, leaves rustle",
    "leaves and twigs always move, a light flag stands out",
    "dust and loose paper fly up, small branches move",
    "small trees in leaf sway",
    "large branches move, wires whistle",
    "whole trees move, walking against it is hard",
    "twigs break off trees",
    "slight damage to roofs",
    "trees are uprooted",
    "damage far and wide",
    "devastation",
)


def beaufort_force(wind: float) -> int:
    """Return the Beaufort force of a mean wind.

    Parameters
    ----------
    wind : float
        Ten-minute mean at 10 m [m/s], ≥ 0.

    Returns
    -------
    force : int
        0…12.

    Notes
    -----
    The printed table gives whole knots; the wind is rounded to the nearest knot first.
    Source: World Meteorological Organization, Beaufort scale, as printed by several weather and sailing pages
    (secondary).
    """
    knots = wind / KNOT
    if knots < UPPER_KNOTS[0] - 0.5:
        return 0
    whole = math.floor(knots + 0.5)
    for force in range(1, 12):
        if whole <= UPPER_KNOTS[force]:
            return force
    return 12


def wind_components(wind: float, wind_from: float, heading: float) -> tuple[float, float]:
    """Return headwind and crosswind of a wind for a runway heading.

    Parameters
    ----------
    wind : float
        [m/s]
    wind_from : float
        Direction it comes from, from north over east [rad].
    heading : float
        Direction of the run, from north over east [rad].

    Returns
    -------
    headwind, crosswind : float
        [m/s]; a headwind against the run, a crosswind from the right positive.
    """
    angle = wind_from - heading
    return wind * math.cos(angle), wind * math.sin(angle)
