"""Shafts that bend more easily one way than the other: the unstable band, and the resonance at half the critical.

A plate-like rotor (two vanes) is such a shaft. Its matrices are steady only in axes that turn with it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.physics.structure.shaft import ShaftModel, trimmed

Floats = npt.NDArray[np.float64]

MODES = 16
"""Modes kept in each plane."""


class UnequalShaft(NamedTuple):
    """A shaft with unequal stiffness in its own modes at rest, in axes that turn with it; leading axes are cases.

    Fields ``mean``, ``difference`` and ``product`` are the stiffness of mean, half difference and coupling of the two
    turning planes, ``inertia`` is M − G and ``turning`` 2M − G, each of shape (..., modes, modes).
    """

    mean: Floats
    difference: Floats
    product: Floats
    inertia: Floats
    turning: Floats
    mass: Floats


def unequal_shaft(model: ShaftModel, difference: Floats, product: Floats, modes: int = MODES) -> UnequalShaft:
    """Return the reduced model of a shaft with unequal stiffness on even bearings.

    Parameters
    ----------
    model : ShaftModel
        The mean shaft on its bearings; leading axes are cases.
    difference, product : array, shape (..., 2 nodes, 2 nodes)
        What is added to the stiffness of the first turning plane and taken from the second; what couples both.
    modes : int
        Modes kept in each plane.

    Returns
    -------
    UnequalShaft

    Notes
    -----
    Modes of the mean shaft at rest. Validity: bearings alike in both planes; with uneven bearings the band splits.
    """
    kept = model.kept
    stiffness, mass = trimmed(model.first_stiffness, kept), trimmed(model.mass, kept)
    inverse = np.linalg.inv(np.linalg.cholesky(mass))
    _, vectors = np.linalg.eigh(inverse @ stiffness @ np.swapaxes(inverse, -1, -2))
    keep = min(modes, stiffness.shape[-1])
    basis = np.swapaxes(inverse, -1, -2) @ vectors[..., :keep]
    turned = np.swapaxes(basis, -1, -2)

    def small(matrix: Floats) -> Floats:
        return np.asarray(turned @ trimmed(matrix, kept) @ basis)

    gyroscopic = small(model.gyroscopic)
    one = small(model.mass)
    return UnequalShaft(
        small(model.first_stiffness), small(difference), small(product), one - gyroscopic, 2.0 * one - gyroscopic, one
    )


def _both(shaft: UnequalShaft) -> tuple[Floats, Floats]:
    """Return stiffness and M − G of both turning planes together."""
    upper = np.concatenate([shaft.mean + shaft.difference, shaft.product], axis=-1)
    lower = np.concatenate([np.swapaxes(shaft.product, -1, -2), shaft.mean - shaft.difference], axis=-1)
    zero = np.zeros_like(shaft.mean)
    inertia = np.concatenate(
        [np.concatenate([shaft.inertia, zero], axis=-1), np.concatenate([zero, shaft.inertia], axis=-1)], axis=-2
    )
    return np.concatenate([upper, lower], axis=-2), inertia


def unstable_edges(shaft: UnequalShaft) -> tuple[Floats, Floats]:
    """Return the lower and upper edge of the first unstable band of an undamped shaft.

    Parameters
    ----------
    shaft : UnequalShaft
        From `unequal_shaft`.

    Returns
    -------
    low, high : arrays, shape (...)
        [rad/s]; NaN if there is no critical.

    Notes
    -----
    The edges are where the stiffness in turning axes, K − Ω²(M − G), becomes singular: the forward critical speeds of
    the two directions of the section. Balancing does not move them.
    Source: H. Ota, K. Mizutani (1983); M. I. Friswell et al. (2010), ch. 7 (secondary).
    """
    stiffness, inertia = _both(shaft)
    inverse = np.linalg.inv(np.linalg.cholesky(stiffness))
    values = np.linalg.eigvalsh(inverse @ inertia @ np.swapaxes(inverse, -1, -2))[..., ::-1]
    speeds = 1.0 / np.sqrt(np.where(values > 0.0, values, np.nan))
    return speeds[..., 0], speeds[..., 1]


def growth_rate(shaft: UnequalShaft, speed: float, damping_ratio: float) -> float:
    """Return how fast the quickest growing motion grows at one speed.

    Parameters
    ----------
    shaft : UnequalShaft
        One case.
    speed : float
        [rad/s]
    damping_ratio : float
        Of every mode, by what does not turn (mounts, air).

    Returns
    -------
    float
        [1/s]; negative: it dies away.

    Notes
    -----
    M ζ̈ + (C + Ω J(2M − G)) ζ̇ + (K − Ω²(M − G) + Ω J C) ζ = 0 in turning axes, J a quarter turn.
    """
    size = shaft.mean.shape[-1]
    damping = 2.0 * damping_ratio * np.diag(np.sqrt(np.maximum(np.diag(shaft.mean), 0.0)))
    stiffness, inertia = _both(shaft)
    stiffness = stiffness - speed**2 * inertia
    stiffness[:size, size:] -= speed * damping
    stiffness[size:, :size] += speed * damping
    rate = np.zeros((2 * size, 2 * size))
    rate[:size, :size] = rate[size:, size:] = damping
    rate[:size, size:] = -speed * shaft.turning
    rate[size:, :size] = speed * shaft.turning
    both = np.zeros_like(rate)
    both[:size, :size] = both[size:, size:] = np.linalg.inv(shaft.mass)
    state = np.zeros((4 * size, 4 * size))
    state[: 2 * size, 2 * size :] = np.eye(2 * size)
    state[2 * size :, : 2 * size] = -both @ stiffness
    state[2 * size :, 2 * size :] = -both @ rate
    return float(np.linalg.eigvals(state).real.max())


def damping_to_be_stable(inequality: float) -> float:
    """Return the damping ratio above which a single heavy disc on an unequal shaft has no unstable band.

    Parameters
    ----------
    inequality : float
        μ, difference over sum of the two stiffnesses.

    Returns
    -------
    float
        √((1 − √(1 − μ²))/2), about μ/2.
    """
    return math.sqrt(0.5 * (1.0 - math.sqrt(max(1.0 - inequality * inequality, 0.0))))


def single_disc_band(inequality: float) -> tuple[float, float]:
    """Return the unstable band of a single heavy disc over its mean critical speed.

    Parameters
    ----------
    inequality : float
        μ, difference over sum of the two stiffnesses.

    Returns
    -------
    low, high : float
        √(1 − μ), √(1 + μ).
    """
    return math.sqrt(1.0 - inequality), math.sqrt(1.0 + inequality)


def twice_per_turn(inequality: float, deflection: float, ratio: float, damping_ratio: float) -> float:
    """Return the twice-per-turn swing of an unequal shaft under a steady load.

    Parameters
    ----------
    inequality : float
        μ, difference over sum of the two stiffnesses.
    deflection : float
        Steady deflection F/k under the load [m].
    ratio : float
        Speed over critical speed.
    damping_ratio : float
        ζ

    Returns
    -------
    float
        μ (F/k)/√((1 − 4r²)² + (4ζr)²) [m]; to first order in μ.
    """
    return inequality * deflection / math.hypot(1.0 - 4.0 * ratio * ratio, 4.0 * damping_ratio * ratio)
