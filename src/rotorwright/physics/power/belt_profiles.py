"""Tooth belts by their profile: pitch, pitch line, smallest pulley, mass, what a tooth carries."""

from __future__ import annotations

from typing import NamedTuple

MILLI = 1.0e-3
_SPEEDS = (0.0, 100.0, 500.0, 1000.0, 1500.0, 2000.0, 3000.0, 4000.0, 5000.0, 6000.0, 8000.0, 10000.0)
_TOOTH_FORCES = (25.2, 22.7, 19.1, 16.2, 14.1, 12.4, 9.8, 7.9, 6.3, 5.0, 3.0, 1.35)
"""Allowed force of one tooth of a 3 mm polyurethane belt [N per cm of width] over pulley speed [rpm]."""


class BeltProfile(NamedTuple):
    """One belt profile of the trade."""

    name: str
    """As the trade calls it."""
    pitch: float
    """[m]"""
    line_offset: float
    """Pitch diameter less outside diameter of a pulley [m]."""
    least_teeth: int
    """Smallest pulley that a drive should use."""
    pulleys: tuple[int, ...]
    """Tooth counts usually on the shelf."""
    widths: tuple[float, ...]
    """Usual belt widths [m]."""
    areal_mass: float
    """Mass per length and width [kg/m²]."""
    tension_per_width: float
    """Usual installation tension of one span [N/m]."""
    strength: float
    """What a tooth carries against the tabulated 3 mm belt, at equal width [1]."""
    measured: bool
    """Whether strength and mass are printed for this profile, not scaled from it."""
    standard: str
    """Where pitch and grooves are laid down."""


def _widths(*millimetres: float) -> tuple[float, ...]:
    return tuple(MILLI * width for width in millimetres)


PROFILES: tuple[BeltProfile, ...] = (
    BeltProfile(
        "MXL", 2.032 * MILLI, 0.508 * MILLI, 12,
        (10, 11, 12, 14, 15, 16, 18, 20, 22, 24, 28, 30, 32, 36, 40, 42, 44, 48, 60, 72),
        _widths(3.2, 4.8, 6.4), 1.3, 3300.0, 0.55, False, "ISO 5296",
    ),
    BeltProfile(
        "GT2", 2.0 * MILLI, 0.508 * MILLI, 16,
        (16, 18, 20, 22, 24, 25, 28, 30, 32, 36, 40, 48, 50, 60, 72, 80, 100),
        _widths(6.0, 9.0, 10.0), 1.35, 3300.0, 0.67, False, "round 2 mm tooth in wide use, no ISO standard",
    ),
    BeltProfile(
        "T2.5", 2.5 * MILLI, 0.52 * MILLI, 12,
        (10, 12, 14, 15, 16, 18, 19, 20, 22, 24, 25, 26, 28, 30, 32, 36, 40, 44, 48, 60),
        _widths(4.0, 6.0, 10.0), 1.5, 3500.0, 0.65, False, "DIN 7721",
    ),
    BeltProfile(
        "HTD 3M", 3.0 * MILLI, 0.762 * MILLI, 12,
        (10, 12, 14, 15, 16, 18, 20, 22, 24, 26, 28, 30, 32, 34, 36, 38, 40, 44, 48, 50, 56, 60, 62, 72),
        _widths(6.0, 9.0, 15.0), 2.0, 4900.0, 1.0, True, "ISO 13050",
    ),
    BeltProfile(
        "T5", 5.0 * MILLI, 0.84 * MILLI, 12,
        (10, 12, 14, 15, 16, 18, 19, 20, 22, 24, 25, 26, 27, 28, 30, 32, 36, 40, 42, 44, 48, 60),
        _widths(10.0, 16.0), 2.4, 6000.0, 1.3, False, "DIN 7721",
    ),
    BeltProfile(
        "HTD 5M", 5.0 * MILLI, 1.143 * MILLI, 14,
        (12, 14, 15, 16, 18, 20, 21, 22, 24, 25, 26, 28, 30, 32, 34, 36, 38, 40, 44, 48, 50, 60, 72, 80),
        _widths(9.0, 15.0, 25.0), 3.6, 9000.0, 1.67, False, "ISO 13050",
    ),
)  # fmt: skip
"""The profiles of small drives, by rising pitch."""


def profile_named(name: str) -> BeltProfile:
    """Return a profile by its trade name.

    Parameters
    ----------
    name : str
        Such as ``"HTD 3M"``; letter case and blanks do not matter.

    Returns
    -------
    profile : BeltProfile

    Raises
    ------
    KeyError
        If there is none of that name.

    Notes
    -----
    Pitch by the standard each profile names: ISO 5296 (MXL), DIN 7721 (T2.5, T5), ISO 13050 (3M, 5M).
    Source: pitch-line offsets 0.76 and 1.14 mm (3M, 5M), 0.51 mm (MXL, GT2) and 0.84 mm (T5) from printed pulley tables
    (read secondary), T2.5 from memory; areal mass and tooth force printed for 3M only (belt maker's data page to
    ISO 13050, read secondary), the others scaled by pitch; shelf tooth counts and widths common practice, no source.
    """
    wanted = name.replace(" ", "").lower()
    for profile in PROFILES:
        if profile.name.replace(" ", "").lower() == wanted:
            return profile
    raise KeyError(name)


def tooth_force(profile: BeltProfile, pulley_turns: float) -> float:
    """Return what one tooth in mesh may carry per metre of belt width.

    Parameters
    ----------
    profile : BeltProfile
        Of the belt.
    pulley_turns : float
        Speed of the small pulley [1/s], its sense does not matter.

    Returns
    -------
    force : float
        [N/m]; at least 100 N/m beyond the table.

    Notes
    -----
    Straight lines between the printed points, × the profile's strength.

    Validity: 0–10 000 rpm, 3 mm profile; the others are scaled by pitch, ±40 %.
    Source: belt maker's data page of a polyurethane 3 mm belt to ISO 13050 (read secondary).
    """
    speed = abs(pulley_turns) * 60.0
    force = _TOOTH_FORCES[-1] - (speed - _SPEEDS[-1]) * 0.0008
    for low in range(len(_SPEEDS) - 1):
        if speed < _SPEEDS[low + 1]:
            share = (speed - _SPEEDS[low]) / (_SPEEDS[low + 1] - _SPEEDS[low])
            force = _TOOTH_FORCES[low] + share * (_TOOTH_FORCES[low + 1] - _TOOTH_FORCES[low])
            break
    return 100.0 * max(force, 1.0) * profile.strength
