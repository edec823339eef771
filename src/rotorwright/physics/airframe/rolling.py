"""Rolling over ground: friction by surface, and what small wheels make of it."""

from __future__ import annotations

from typing import NamedTuple


class Rolling(NamedTuple):
    """Rolling friction of a surface: force along over force on the wheels."""

    printed: float
    """As printed for full-size wheels [1]."""
    low: float
    median: float
    high: float
    """80 % band for the small wheels of a model [1]."""


SURFACES = {
    "hard": Rolling(0.02, 0.015, 0.025, 0.05),
    "short grass": Rolling(0.05, 0.05, 0.085, 0.15),
    "long grass": Rolling(0.10, 0.10, 0.17, 0.30),
    "sand": Rolling(0.20, 0.15, 0.28, 0.45),
    "snow": Rolling(0.10, 0.05, 0.12, 0.25),
}
"""By the words of the aircraft file. Water is none of them: floats make waves, which this model does not know."""

BRAKED = 0.35
"""Friction of a braked or skidding wheel on a hard runway [1]: 0.3 to 0.4 (W. H. Mason 1997, read)."""


def rolling_friction(surface: str) -> Rolling:
    """Return the rolling friction of a surface.

    Parameters
    ----------
    surface : str
        One of `SURFACES`.

    Notes
    -----
    Printed: dry concrete or asphalt 0.02, short dry grass 0.05, long grass 0.10, soft ground 0.10 to 0.30. Small wheels
    sink in more for their size: 1 to 3 times the printed figure on grass. Measure your own: pull at walking pace over
    weight.
    Source: W. H. Mason, lecture notes on take-off, Virginia Tech (1997), list of rolling friction (read); factor for
    small wheels and snow: from memory, common practice, no source.
    """
    return SURFACES[surface]
