"""Spur gears: sizes by module, contact ratio, tooth forces and bending, losses."""

from __future__ import annotations

import math

PRESSURE_ANGLE = math.radians(20.0)
"""Of the basic rack of ISO 53."""
MODULES = (0.5e-3, 0.6e-3, 0.8e-3, 1.0e-3, 1.25e-3, 1.5e-3, 2.0e-3)
"""Preferred modules of small gears by ISO 54, first series [m] (from memory)."""
STAGE_EFFICIENCY = (0.97, 0.96, 0.98)
"""Of one spur stage, with its band (common practice, no source)."""
_TEETH = (12, 13, 14, 15, 16, 17, 18, 19, 20, 22, 24, 26, 28, 30, 34, 38, 43, 50, 60, 75, 100, 150, 300)
_FORM = (
    0.245, 0.261, 0.277, 0.290, 0.296, 0.303, 0.309, 0.314, 0.322, 0.331, 0.337, 0.346, 0.353, 0.359, 0.371, 0.384,
    0.397, 0.409, 0.422, 0.435, 0.447, 0.460, 0.472,
)  # fmt: skip


def gear_geometry(*, module: float, pinion_teeth: int, wheel_teeth: int) -> dict[str, float]:
    """Return the sizes of a pair of standard spur gears, 20° pressure angle, no profile shift.

    Parameters
    ----------
    module : float
        [m].
    pinion_teeth, wheel_teeth : int
        Of the small and the large gear.

    Returns
    -------
    geometry : dict
        pinion_diameter, wheel_diameter (pitch), pinion_outside, wheel_outside, pinion_base, wheel_base, centre [m],
        contact_ratio, ratio.

    Notes
    -----
    d = m z, d_a = d + 2 m, d_b = d cos α, a = m (z₁ + z₂)/2,
    ε = (√(r_a1² − r_b1²) + √(r_a2² − r_b2²) − a sin α)/(π m cos α). Below 17 teeth the tooth is undercut.
    Source: closed form, proportions of ISO 53.
    """
    small, large = module * pinion_teeth, module * wheel_teeth
    base = math.cos(PRESSURE_ANGLE)
    centre = 0.5 * (small + large)
    path = -centre * math.sin(PRESSURE_ANGLE)
    for diameter in (small, large):
        path += 0.5 * math.sqrt((diameter + 2.0 * module) ** 2 - (diameter * base) ** 2)
    return {
        "pinion_diameter": small,
        "wheel_diameter": large,
        "pinion_outside": small + 2.0 * module,
        "wheel_outside": large + 2.0 * module,
        "pinion_base": small * base,
        "wheel_base": large * base,
        "centre": centre,
        "contact_ratio": path / (math.pi * module * base),
        "ratio": wheel_teeth / pinion_teeth,
    }


def form_factor(teeth: int) -> float:
    """Return the form factor of a tooth in bending, 20° full depth [1].

    Parameters
    ----------
    teeth : int
        At least 12; fewer count as 12.

    Notes
    -----
    Straight lines between 0.245 at 12, 0.322 at 20, 0.409 at 50, 0.472 at 300 teeth.
    Source: W. Lewis's form factors as tabulated in machine-design textbooks (from memory).
    """
    if teeth <= _TEETH[0]:
        return _FORM[0]
    for low in range(len(_TEETH) - 1):
        if teeth <= _TEETH[low + 1]:
            share = (teeth - _TEETH[low]) / (_TEETH[low + 1] - _TEETH[low])
            return _FORM[low] + share * (_FORM[low + 1] - _FORM[low])
    return _FORM[-1]


def tooth_stress(module: float, width: float, teeth: int, tangential_force: float, pitch_line_speed: float) -> float:
    """Return the bending stress at the foot of a tooth [Pa].

    Parameters
    ----------
    module, width : float
        [m].
    teeth : int
        Of the weaker gear (the smaller, if of one material).
    tangential_force : float
        [N].
    pitch_line_speed : float
        [m/s].

    Notes
    -----
    σ = K_v F/(b m Y), K_v = (6.1 + v)/6.1 for cut teeth.
    Source: W. Lewis (1892) and C. G. Barth's speed factor as used in machine-design textbooks (from memory).
    """
    return (6.1 + abs(pitch_line_speed)) / 6.1 * tangential_force / (width * module * form_factor(teeth))


def gear_side_load(tangential_force: float) -> float:
    """Return the force a spur gear puts on its bearings [N].

    Parameters
    ----------
    tangential_force : float
        [N].

    Notes
    -----
    F/cos 20°. Source: closed form.
    """
    return tangential_force / math.cos(PRESSURE_ANGLE)
