"""The curves behind the rotor laws, made once from published points and handed to the kernels as arrays."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.curves import curve, monotone_slopes, points_on

Floats = npt.NDArray[np.float64]


QUIET_LIFT, TURBULENT_LIFT, QUIET_DRAG, SKIN_FRICTION = 0, 1, 2, 3
BUCKET_TORQUE, SLOW_BUCKET_TORQUE, THREE_BUCKET_TORQUE, OVERLAP_TORQUE, OVERLAP_SLOPE = 4, 5, 6, 7, 8
"""Which curve of `RotorTables.curves` is which."""


class RotorTables(NamedTuple):
    """Arrays the rotor kernels read: few, because each array handed on costs time in every call.

    ``curves``, shape (9, 3, n): ``[x, y, slope]`` of every curve, padded straight on. ``dip_reynolds``, shape (m,), and
    ``dip``, shape (m, 2, k): the lift lost at low spin, see `lift_dip`.
    """

    curves: Floats
    dip_reynolds: Floats
    dip: Floats


# Section lift of a smooth drum in quiet air. Source: fit through Swanson 1961 (spin ratio ≤ 1, digitised from Gowree &
# Prince 2012), Reid 1924 and Tokumaru & Dimotakis 1993 (digitised from the latter), both freed from the effect of their
# finite span by `capped_lift`; 12 is extrapolated.
_QUIET_LIFT = (
    (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.2, 1.5, 1.8, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0,
     6.0, 8.0, 10.0, 12.0),
    (0.0, 0.08, 0.15, 0.23, 0.30, 0.37, 0.39, 0.44, 0.55, 0.72, 0.95, 1.46, 2.36, 3.28, 4.0, 5.9, 7.7, 9.0, 10.1, 12.1,
     13.7, 16.2, 18.3, 20.0),
)  # fmt: skip

# Section lift of a drum in a turbulent stream or at high Reynolds number. Source: fit through Bordogna et al. 2019
# (Re ≥ 3.6e5, mid-span, digitised) and Östman 2023 (two-dimensional computation, third-party data file); 10 and 12 are
# extrapolated.
_TURBULENT_LIFT = (
    (0.0, 0.25, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0),
    (0.0, 0.68, 1.41, 2.98, 4.6, 5.95, 7.05, 8.05, 9.7, 11.6, 13.2, 16.2, 18.3, 20.0),
)

# Profile drag of a smooth drum in quiet air. Source: Badalamenti & Prince 2008 less end drag at efficiency 0.6, and
# Karabelas 2010; both digitised.
_QUIET_DRAG = (
    (0.0, 0.3, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 12.0),
    (1.05, 1.00, 0.92, 0.72, 0.66, 0.52, 0.38, 0.16, 0.12, 0.10, 0.09, 0.09),
)

# Lift of a smooth drum below spin ratio 1 at rising Reynolds number: (spin ratio, lift) points per curve.
# Source: Swanson 1961, digitised (±0.02) from the reprint in Gowree & Prince 2012, figure 3. All curves join at 0.9.
_LOW_SPIN_LIFT: dict[float, tuple[tuple[float, float], ...]] = {
    4.9e4: ((0.5, 0.375), (0.6, 0.375), (0.7, 0.42), (0.8, 0.53)),
    6.1e4: ((0.3, 0.23), (0.4, 0.305), (0.49, 0.375), (0.55, 0.31), (0.61, 0.24), (0.7, 0.325)),
    7.9e4: ((0.3, 0.23), (0.4, 0.305), (0.47, 0.36), (0.51, 0.25), (0.555, 0.145), (0.6, 0.19), (0.7, 0.32)),
    9.9e4: ((0.2, 0.15), (0.3, 0.23), (0.37, 0.275), (0.41, 0.14), (0.46, 0.015), (0.7, 0.30)),
    1.28e5: ((0.1, 0.08), (0.2, 0.15), (0.29, 0.215), (0.35, -0.10), (0.45, 0.0)),
    1.52e5: ((0.1, 0.07), (0.17, 0.095), (0.23, -0.05), (0.30, -0.20), (0.53, 0.0)),
    1.82e5: ((0.06, 0.025), (0.12, 0.035), (0.2, -0.12), (0.285, -0.265), (0.56, 0.0)),
    2.25e5: ((0.15, -0.18), (0.325, -0.41), (0.54, 0.0)),
    2.60e5: ((0.1, -0.30), (0.22, -0.56), (0.54, 0.0)),
    2.95e5: ((0.08, -0.38), (0.165, -0.62), (0.535, 0.0)),
    3.25e5: ((0.07, -0.33), (0.145, -0.565), (0.52, 0.0)),
    3.65e5: ((0.09, -0.28), (0.19, -0.495), (0.49, 0.0)),
    4.20e5: ((0.095, 0.18), (0.18, -0.10), (0.26, -0.30), (0.46, 0.0)),
    4.50e5: ((0.16, 0.315), (0.23, 0.10), (0.30, -0.11), (0.40, 0.0)),
    5.01e5: ((0.185, 0.37), (0.25, 0.17), (0.31, -0.015)),
}
DIP_START, DIP_END, DIP_NODES = 3.6e4, 1.0, 41

# Torque of vaned rotors over spin ratio, both divided so that the working line is 1 − x (x = spin ratio over the zero
# of that line). Source: Sheldahl, Blackwell & Feltz 1978, runs 14 to 37 (two buckets) and 42 (three), digitised;
# Kamoji et al. 2008 single stage at Reynolds number 8e4, digitised from Didane et al. 2024. Backwards: judgement.
_BUCKET_TORQUE = (
    (-1.0, -0.5, 0.0, 0.08, 0.115, 0.17, 0.235, 0.30, 0.4, 0.6, 0.8, 1.0, 1.1),
    (0.90, 0.70, 0.57, 0.575, 0.65, 0.70, 0.725, 0.69, 0.6, 0.4, 0.2, 0.0, -0.1),
)
_SLOW_BUCKET_TORQUE = (
    (-1.0, -0.5, 0.0, 0.11, 0.25, 0.35, 0.403, 0.451, 0.495, 0.528, 0.588, 0.637, 0.687, 0.729, 0.789, 0.838, 0.867,
     0.888, 0.932, 0.98),
    (0.80, 0.60, 0.45, 0.512, 0.575, 0.58, 0.565, 0.542, 0.510, 0.477, 0.417, 0.367, 0.319, 0.275, 0.227, 0.181, 0.145,
     0.108, 0.0, -0.10),
)  # fmt: skip
_THREE_BUCKET_TORQUE = (
    (-1.0, -0.5, 0.0, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.0, 1.1),
    (1.05, 0.88, 0.79, 0.83, 0.825, 0.795, 0.70, 0.6, 0.4, 0.2, 0.0, -0.1),
)
# Working line of a two-bucket rotor, torque_coefficient = torque − slope · spin_ratio, over overlap / bucket diameter
# at Reynolds number 4e5. Source: linear fits to the four runs above; beyond 0.2 extrapolated.
_OVERLAP = (0.0, 0.10, 0.15, 0.20, 0.35)
_OVERLAP_TORQUE = (0.556, 0.543, 0.548, 0.522, 0.47)
_OVERLAP_SLOPE = (0.340, 0.302, 0.312, 0.304, 0.30)


def smooth_cylinder_friction(spin_reynolds_number: float) -> float:
    """Return the skin friction coefficient of a smooth cylinder spinning in still air.

    Parameters
    ----------
    spin_reynolds_number : float
        Angular speed times radius squared over kinematic viscosity [1].

    Returns
    -------
    friction : float
        Wall shear stress over dynamic pressure of the surface speed [1].

    Notes
    -----
    Turbulent: 1/√Cf = −0.6 + 4.07 log10(Re_w √Cf); laminar: Cf = 4/Re_w; joined as the fourth root of the sum of their
    fourth powers, which leaves each within 0.1 % where it rules.

    Source: T. Theodorsen, A. Regier, NACA Report 793 (1944): constants from memory, slope confirmed by Vrancik,
    NASA TN D-4849 (1968), read in open code. The laminar limit is exact.
    """
    reynolds = max(spin_reynolds_number, 1e-9)
    laminar = 4.0 / reynolds
    if reynolds < 20.0:
        return laminar
    root = 10.0  # 1/√Cf; the law is rising and concave in it, so Newton's steps settle from any start
    for _ in range(12):
        gap = root + 0.6 - 4.07 * math.log10(reynolds / root)
        root -= gap / (1.0 + 4.07 / (root * math.log(10.0)))
        root = max(root, 1.0e-3)
    return float((root**-8.0 + laminar**4.0) ** 0.25)


def _friction_curve() -> Floats:
    reynolds = np.concatenate([[1.0, 3.0, 10.0], np.geomspace(20.0, 2e8, 57)])
    return curve(np.log(reynolds), [math.log(smooth_cylinder_friction(float(number))) for number in reynolds])


def _even_curve(x: Any, y: Any) -> Floats:
    table = curve(x, y)
    table[2, 0] = 0.0  # even in the spin ratio: no kink at zero
    return table


def _dip_table() -> tuple[Floats, Floats]:
    """Return ln Re of the rows, and the lift lost against the quiet curve, shape (rows, 2, nodes): value and slope."""
    spin = np.linspace(0.0, DIP_END, DIP_NODES)
    quiet = points_on(curve(*_QUIET_LIFT), spin)
    rows = [np.zeros((2, DIP_NODES))]  # at the lowest Reynolds number nothing is lost
    for points in _LOW_SPIN_LIFT.values():
        x = np.array([0.0, *(point[0] for point in points), 0.9, 1.0])
        y = np.array([0.0, *(point[1] for point in points), 0.72, 0.95])
        lost = quiet - points_on(curve(x, y), spin)
        lost[spin >= 0.9] = 0.0
        slopes = monotone_slopes(spin, lost)
        slopes[-1] = 0.0
        rows.append(np.vstack([lost, slopes]))
    return np.log(np.array([DIP_START, *_LOW_SPIN_LIFT])), np.stack(rows)


def packed(curves: list[Floats]) -> Floats:
    """Return curves of unequal length as one array; short ones go on straight, as `read_curve` would take them."""
    longest = max(table.shape[1] for table in curves)
    rows = []
    for table in curves:
        more = np.arange(1.0, longest - table.shape[1] + 1.0)
        x, y, slope = table[:, -1]
        rest = np.vstack([x + more, y + slope * more, np.full_like(more, slope)])
        rows.append(np.hstack([table, rest]))
    return np.stack(rows)


@lru_cache(maxsize=1)
def rotor_tables() -> RotorTables:
    """Return the tables every rotor kernel takes; made once, not to be written to."""
    dip_reynolds, dip = _dip_table()
    curves = [
        curve(*_QUIET_LIFT),
        curve(*_TURBULENT_LIFT),
        _even_curve(*_QUIET_DRAG),
        _friction_curve(),
        curve(*_BUCKET_TORQUE),
        curve(*_SLOW_BUCKET_TORQUE),
        curve(*_THREE_BUCKET_TORQUE),
        curve(_OVERLAP, _OVERLAP_TORQUE),
        curve(_OVERLAP, _OVERLAP_SLOPE),
    ]
    return RotorTables(packed(curves), dip_reynolds, dip)
