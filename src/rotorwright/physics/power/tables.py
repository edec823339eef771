"""Tables of the power room: propeller shapes by pitch class, rest voltage over charge."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.curves import curve

Floats = npt.NDArray[np.float64]

PITCH_CLASSES = (0.35, 0.50, 0.625, 0.775, 1.05)
"""Middle of each class of pitch over diameter."""

_ADVANCE = np.linspace(0.0, 1.0, 11)
# thrust and power coefficient over their static values, at advance ratio over zero-thrust advance ratio 0, 0.1 … 1
_THRUST = (
    (1.0, 0.926, 0.883, 0.807, 0.717, 0.615, 0.508, 0.387, 0.263, 0.136, 0.0),
    (1.0, 0.949, 0.902, 0.830, 0.737, 0.629, 0.512, 0.395, 0.272, 0.136, 0.0),
    (1.0, 0.952, 0.916, 0.851, 0.763, 0.666, 0.550, 0.423, 0.289, 0.150, 0.0),
    (1.0, 0.981, 0.957, 0.902, 0.821, 0.729, 0.609, 0.465, 0.315, 0.161, 0.0),
    (1.0, 0.979, 0.968, 0.943, 0.888, 0.804, 0.681, 0.525, 0.357, 0.179, 0.0),
)
_POWER = (
    (1.0, 1.004, 1.002, 0.989, 0.951, 0.905, 0.836, 0.740, 0.635, 0.509, 0.33),
    (1.0, 1.026, 1.025, 1.026, 0.996, 0.946, 0.858, 0.746, 0.620, 0.458, 0.29),
    (1.0, 1.021, 1.030, 1.037, 1.027, 0.983, 0.906, 0.787, 0.641, 0.472, 0.31),
    (1.0, 1.007, 1.013, 1.023, 1.027, 1.003, 0.920, 0.800, 0.645, 0.460, 0.28),
    (1.0, 0.985, 0.954, 0.931, 0.925, 0.914, 0.856, 0.763, 0.625, 0.454, 0.29),
)
_CHARGE = np.linspace(0.0, 1.0, 21)
_REST_VOLTAGE = (
    3.27, 3.61, 3.69, 3.71, 3.73, 3.75, 3.77, 3.79, 3.80, 3.82, 3.84,
    3.85, 3.87, 3.91, 3.95, 3.98, 4.02, 4.08, 4.11, 4.15, 4.20,
)  # fmt: skip


class PowerTables(NamedTuple):
    """Arrays the power kernels read."""

    thrust_shape: Any
    """One `curve` per pitch class, shape (5, 3, 11)."""
    power_shape: Any
    """One `curve` per pitch class, shape (5, 3, 11)."""
    pitch_classes: Any
    """Middle of each class, shape (5,)."""
    rest_voltage: Any
    """`curve` of cell rest voltage [V] over charge 0…1, shape (3, 21)."""


@lru_cache(maxsize=1)
def power_tables() -> PowerTables:
    """Return the tables.

    Notes
    -----
    Propeller shapes: means over 193 two-blade propellers of 7–19 in of the UIUC propeller data site (Brandt, Deters,
    Ananda, Dantsker, Selig, University of Illinois, volumes 1–3), read secondary; 1σ of the population 0.04–0.06 in
    thrust and 0.05–0.10 in power. Rest voltage: the 21-point table in wide use in hobby firmware (no laboratory origin
    known), read secondary; ±0.03 V.
    """
    return PowerTables(
        thrust_shape=np.stack([curve(_ADVANCE, row) for row in _THRUST]),
        power_shape=np.stack([curve(_ADVANCE, row) for row in _POWER]),
        pitch_classes=np.array(PITCH_CLASSES),
        rest_voltage=curve(_CHARGE, _REST_VOLTAGE),
    )
