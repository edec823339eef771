"""Critical speeds by the direct eigenproblem: speeds at which a whirl keeps step with a multiple of the spin."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.physics.structure.shaft import ShaftModel, both_planes, first_plane

Floats = npt.NDArray[np.float64]

WORTH_HAVING = 1.0e-12
"""Eigenvalues below this share of the largest are rounding, not speeds."""


def _speeds(stiffness: npt.NDArray, inertia: npt.NDArray) -> Floats:  # type: ignore[type-arg]
    """Return all Ω with stiffness q = Ω² inertia q, rising, NaN behind the last; batched.

    The stiffness must be positive definite, the inertia need not be: a flat disc may have no forward critical.
    """
    inverse = np.linalg.inv(np.linalg.cholesky(stiffness))
    across = np.conj(np.swapaxes(inverse, -1, -2))
    values = np.linalg.eigvalsh(inverse @ inertia @ across)[..., ::-1]
    floor = WORTH_HAVING * np.abs(values).max(axis=-1, keepdims=True)
    return np.asarray(1.0 / np.sqrt(np.where(values > floor, values, np.nan)))


def whirl_criticals(model: ShaftModel, order: float = 1.0, *, forward: bool = True) -> Floats:
    """Return the speeds at which a circular whirl turns ``order`` times as fast as the shaft.

    Parameters
    ----------
    model : ShaftModel
        With even bearings; leading axes are cases.
    order : float
        1 unbalance, 2 the half-critical, n vanes passing.
    forward : bool
        Whirl with the spin (True) or against it.

    Returns
    -------
    array, shape (..., freedoms)
        Rising [rad/s]; NaN behind the last.

    Notes
    -----
    K q = Ω² (n² M ∓ n G) q, upper sign forward: the eigenproblem in Ω itself, no search over speeds.
    Source: M. I. Friswell, J. E. T. Penny, S. D. Garvey, A. W. Lees, Dynamics of Rotating Machines (2010), ch. 6
    (secondary).
    """
    plane = first_plane(model)
    sign = -order if forward else order
    return _speeds(plane.stiffness, order * order * plane.mass + sign * plane.gyroscopic)


def mixed_criticals(model: ShaftModel, order: float = 1.0) -> Floats:
    """Return the speeds at which any whirl, circular or not, turns ``order`` times as fast as the shaft.

    Parameters
    ----------
    model : ShaftModel
        Bearings may be uneven; leading axes are cases.
    order : float
        As `whirl_criticals`.

    Returns
    -------
    array, shape (..., freedoms)
        Rising [rad/s]; NaN behind the last.

    Notes
    -----
    K q = Ω² (n² M − i n G) q with the antisymmetric G of both planes: a Hermitian problem.
    """
    both = both_planes(model)
    return _speeds(both.stiffness, order * order * both.mass - 1j * order * both.gyroscopic)


class CriticalShape(NamedTuple):
    """A critical speed with the shape of the shaft at it."""

    speed: float
    """[rad/s]"""
    forward: bool
    first: Floats
    """Deflection of every node in the first plane, shape (nodes,), largest 1."""
    slope: Floats
    """Slope of every node, same scale [1/m]."""
    direction: float
    """+1 circular forward, −1 circular backward, 0 straight up and down, anything between: an ellipse."""


def critical_shapes(model: ShaftModel, order: float = 1.0, *, many: int = 6) -> list[CriticalShape]:
    """Return critical speeds of one case with their shapes, forward and backward, rising.

    Parameters
    ----------
    model : ShaftModel
        One case, no leading axes.
    order : float
        As `whirl_criticals`.
    many : int
        At most so many.

    Returns
    -------
    list of CriticalShape
    """
    from scipy.linalg import eigh

    found: list[CriticalShape] = []
    both = both_planes(model)
    inertia = order * order * both.mass - 1j * order * both.gyroscopic
    values, vectors = eigh(inertia, both.stiffness)
    floor = WORTH_HAVING * np.abs(values).max()
    half = len(model.kept)
    for place in range(len(values) - 1, -1, -1):
        if values[place] <= floor or len(found) >= many:
            break
        whole = np.zeros(2 * half, dtype=complex)
        whole[both.kept] = vectors[:, place]
        x, y = whole[:half:2], whole[half::2]
        slopes = (whole[1:half:2], whole[half + 1 :: 2])
        area = float(np.sum(2.0 * np.imag(np.conj(x) * y)))
        size = float(np.sum(np.abs(x) ** 2 + np.abs(y) ** 2))
        larger, tilt = (x, slopes[0]) if np.linalg.norm(x) >= np.linalg.norm(y) else (y, slopes[1])
        peak = larger[int(np.argmax(np.abs(larger)))]
        direction = -area / size if size > 0.0 else 0.0
        found.append(
            CriticalShape(
                1.0 / float(np.sqrt(values[place])),
                direction > 0.0,
                np.real(larger / peak),
                np.real(tilt / peak),
                direction,
            )
        )
    return found
