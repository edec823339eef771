"""Whirl frequencies over the spin: all freedoms at one speed, or a reduced model for a whole speed map."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.physics.structure.shaft import ShaftModel, both_planes

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]

REDUCED_MODES = 16
"""Modes kept for a speed map, half of them in each plane."""
FLOATING = 1.0e-7
"""Roots of a floating shaft below this share of the largest are rounding of its free drift."""
SINGULAR = 1.0e12
"""A stiffness matrix worse conditioned than this stands for a shaft that floats."""


class Whirl(NamedTuple):
    """Lateral whirls of a shaft at one speed, slowest first."""

    frequencies: Floats
    """[rad/s]"""
    damping: Floats
    """Damping ratio of each."""


def _roots(stiffness: Floats, mass: Floats, damping: Floats) -> Complexes:
    """Return the roots s of det(s² M + s C + K) = 0, precise for the slow ones; batched over leading axes of C."""
    size = stiffness.shape[-1]
    shape = np.broadcast_shapes(stiffness.shape, mass.shape, damping.shape)
    state = np.zeros((*shape[:-2], 2 * size, 2 * size))
    if np.linalg.cond(stiffness) < SINGULAR:
        inverse = np.linalg.inv(stiffness)
        state[..., :size, :size] = -inverse @ damping
        state[..., :size, size:] = -inverse @ mass
        state[..., size:, :size] = np.eye(size)
        values = np.linalg.eigvals(state)
        return np.asarray(1.0 / np.where(values == 0.0, np.inf, values))
    inverse = np.linalg.inv(mass)
    state[..., :size, size:] = np.eye(size)
    state[..., size:, :size] = -inverse @ stiffness
    state[..., size:, size:] = -inverse @ damping
    values = np.linalg.eigvals(state)
    drift = FLOATING * np.abs(values).max(axis=-1, keepdims=True)
    return np.asarray(np.where(np.abs(values) < drift, 0.0, values), dtype=np.complex128)


def whirl_at(model: ShaftModel, speed: float) -> Whirl:
    """Return all lateral whirls at one speed from the full matrices.

    Parameters
    ----------
    model : ShaftModel
        One case.
    speed : float
        Of the shaft [rad/s].

    Returns
    -------
    Whirl
        Motions that do not swing (overdamped) are left out.
    """
    both = both_planes(model)
    return _sorted(_roots(both.stiffness, both.mass, both.damping + speed * both.gyroscopic))


def _sorted(roots: Complexes) -> Whirl:
    swinging = roots[(roots.imag > 1.0e-9 * np.abs(roots)) & (roots.imag > 0.0)]
    order = np.argsort(swinging.imag)
    found = swinging[order]
    return Whirl(found.imag.copy(), -found.real / np.abs(found))


class Reduced(NamedTuple):
    """A shaft in its own modes at rest, both planes: stiffness and mass are diagonal, the rest is small and full."""

    stiffness: Floats
    """Squares of the frequencies at rest, shape (modes,)."""
    gyroscopic: Floats
    damping: Floats
    shapes: Floats
    """Deflections and slopes of both planes, shape (4 × nodes, modes)."""


def reduced(model: ShaftModel, modes: int = REDUCED_MODES) -> Reduced:
    """Return a reduced model of one case.

    Parameters
    ----------
    model : ShaftModel
        One case.
    modes : int
        Modes kept, half in each plane.

    Returns
    -------
    Reduced

    Notes
    -----
    The slowest modes of either plane without spin, bearing damping left out, each scaled to unit modal mass.
    """
    from scipy.linalg import eigh

    half = len(model.kept)
    shapes, squares = [], []
    for number, (stiffness, kept) in enumerate(
        ((model.first_stiffness, model.kept), (model.second_stiffness, model.kept_second))
    ):
        pick = np.ix_(kept, kept)
        keep = min(modes // 2, int(kept.sum()))
        values, vectors = eigh(stiffness[pick], model.mass[pick], subset_by_index=[0, keep - 1])
        whole = np.zeros((2 * half, keep))
        whole[number * half : (number + 1) * half][kept] = vectors
        shapes.append(whole)
        squares.append(values)
    basis = np.concatenate(shapes, axis=1)
    one, two = basis[:half], basis[half:]
    across = one.T @ model.gyroscopic @ two
    damping = one.T @ model.first_damping @ one + two.T @ model.second_damping @ two
    return Reduced(np.concatenate(squares), across - across.T, damping, basis)


def speed_map(model: Reduced, speeds: Floats, *, many: int = 8) -> tuple[Floats, Floats]:
    """Return whirl frequencies and damping ratios over a range of speeds.

    Parameters
    ----------
    model : Reduced
        From `reduced`.
    speeds : array, shape (speeds,)
        Of the shaft [rad/s].
    many : int
        Whirls wanted at each speed.

    Returns
    -------
    frequencies, damping : arrays, shape (speeds, many)
        Rising [rad/s]; NaN where there are fewer.
    """
    size = len(model.stiffness)
    coupling = model.damping + np.asarray(speeds)[:, None, None] * model.gyroscopic
    state = np.zeros((len(speeds), 2 * size, 2 * size))
    state[:, :size, size:] = np.eye(size)
    state[:, size:, :size] = -np.diag(model.stiffness)
    state[:, size:, size:] = -coupling
    roots = np.linalg.eigvals(state)
    frequencies, damping = np.full((len(speeds), many), np.nan), np.full((len(speeds), many), np.nan)
    for number, row in enumerate(roots):
        found = _sorted(row)
        there = min(many, len(found.frequencies))
        frequencies[number, :there] = found.frequencies[:there]
        damping[number, :there] = found.damping[:there]
    return frequencies, damping
