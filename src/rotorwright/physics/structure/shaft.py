"""A shaft as matrices: beams, discs and bearings put together for one plane of bending, many cases at once.

Freedoms of one plane are deflection and slope of every node in turn. The second plane has the same shaft; only its
bearings may differ. Turning is positive from the first plane to the second.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.physics.structure.elements import BeamElements, element_matrices

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]


class Bonds(NamedTuple):
    """Springs and dampers at nodes, to the ground or to another node; the numbers have shape (..., bonds)."""

    node: Whole
    """Shape (bonds,)."""
    other: Whole
    """Node at the far end, or −1 for the ground; shape (bonds,)."""
    first_stiffness: Floats
    """In the first plane [N/m]; infinite to the ground: held."""
    second_stiffness: Floats
    """In the second plane [N/m]"""
    first_damping: Floats
    """[N s/m]"""
    second_damping: Floats
    tilt_stiffness: Floats
    """Against tilting, both planes [N m/rad]"""


class ShaftModel(NamedTuple):
    """Matrices of a shaft on its bearings; leading axes are cases, the last two have 2 × nodes.

    ``kept`` and ``kept_second`` mark the freedoms of either plane that no rigid bearing holds.
    """

    places: Floats
    """Of the nodes along the axis [m], shape (nodes,)."""
    first_stiffness: Floats
    """Shaft and bearings, first plane."""
    second_stiffness: Floats
    mass: Floats
    gyroscopic: Floats
    """Per rad/s of spin."""
    first_damping: Floats
    """Of the bearings, first plane."""
    second_damping: Floats
    kept: npt.NDArray[np.bool_]
    kept_second: npt.NDArray[np.bool_]
    bonds: Bonds

    @property
    def even(self) -> bool:
        """Whether both planes are alike, so that whirl is circular."""
        return (
            np.array_equal(self.first_stiffness, self.second_stiffness)
            and np.array_equal(self.first_damping, self.second_damping)
            and np.array_equal(self.kept, self.kept_second)
        )

    @property
    def damped(self) -> bool:
        """Whether any bearing damps."""
        return bool(self.first_damping.any() or self.second_damping.any())


def _add(matrix: Floats, start: int, other: int, block: Floats) -> None:
    """Add an element's 4 × 4 block between two nodes."""
    a, b = slice(2 * start, 2 * start + 2), slice(2 * other, 2 * other + 2)
    matrix[..., a, a] += block[..., :2, :2]
    matrix[..., a, b] += block[..., :2, 2:]
    matrix[..., b, a] += block[..., 2:, :2]
    matrix[..., b, b] += block[..., 2:, 2:]


def beam_matrices(beam: BeamElements, ends: Sequence[tuple[int, int]], nodes: int) -> tuple[Floats, Floats, Floats]:
    """Return stiffness, mass and gyroscopic matrix of beam elements between nodes.

    Parameters
    ----------
    beam : BeamElements
        Elements; leading axes are cases.
    ends : sequence of (int, int)
        The nodes each element joins.
    nodes : int
        How many nodes there are.

    Returns
    -------
    tuple of arrays, each of shape (..., 2 nodes, 2 nodes)
    """
    blocks = element_matrices(beam)
    return (
        assembled(blocks.stiffness, ends, nodes),
        assembled(blocks.mass, ends, nodes),
        assembled(blocks.gyroscopic, ends, nodes),
    )


def assembled(blocks: Floats, ends: Sequence[tuple[int, int]], nodes: int) -> Floats:
    """Return the matrix that element matrices add up to.

    Parameters
    ----------
    blocks : array, shape (..., elements, 4, 4)
        Of the elements.
    ends : sequence of (int, int)
        The nodes each element joins.
    nodes : int
        How many nodes there are.

    Returns
    -------
    array, shape (..., 2 nodes, 2 nodes)
    """
    matrix = np.zeros((*blocks.shape[:-3], 2 * nodes, 2 * nodes))
    for number, (start, other) in enumerate(ends):
        _add(matrix, start, other, blocks[..., number, :, :])
    return matrix


def add_disc(
    mass_matrix: Floats, gyroscopic: Floats, node: int, mass: Floats, diametral: Floats, polar: Floats
) -> None:
    """Put a rigid disc on a node, in place.

    Parameters
    ----------
    mass_matrix, gyroscopic : array
        Of the shaft, shape (..., 2 nodes, 2 nodes).
    node : int
        Where it sits.
    mass, diametral, polar : array
        Mass [kg], moments of inertia about a diameter and about the axis [kg m²], shape (...).
    """
    mass_matrix[..., 2 * node, 2 * node] += mass
    mass_matrix[..., 2 * node + 1, 2 * node + 1] += diametral
    gyroscopic[..., 2 * node + 1, 2 * node + 1] += polar


def on_bearings(places: Floats, stiffness: Floats, mass: Floats, gyroscopic: Floats, bonds: Bonds) -> ShaftModel:
    """Return a shaft put on its bearings.

    Parameters
    ----------
    places : array, shape (nodes,)
        Of the nodes [m].
    stiffness, mass, gyroscopic : array, shape (..., 2 nodes, 2 nodes)
        Of shaft and discs.
    bonds : Bonds
        Bearings, mounts and joints.

    Returns
    -------
    ShaftModel
    """
    planes, dampings, keeps = [], [], []
    for springs, dampers in (
        (bonds.first_stiffness, bonds.first_damping),
        (bonds.second_stiffness, bonds.second_damping),
    ):
        plane, damping = stiffness.copy(), np.zeros_like(stiffness)
        kept = np.ones(2 * len(places), dtype=bool)
        for number, (node, other) in enumerate(zip(bonds.node, bonds.other, strict=True)):
            spring, tilt = springs[..., number], bonds.tilt_stiffness[..., number]
            if np.isinf(spring).all() and other < 0:
                kept[2 * node] = False
            else:
                _bond(plane, 2 * node, 2 * other if other >= 0 else -1, spring)
            if np.isinf(tilt).all() and other < 0:
                kept[2 * node + 1] = False
            else:
                _bond(plane, 2 * node + 1, 2 * other + 1 if other >= 0 else -1, tilt)
            _bond(damping, 2 * node, 2 * other if other >= 0 else -1, dampers[..., number])
        planes.append(plane)
        dampings.append(damping)
        keeps.append(kept)
    return ShaftModel(
        places, planes[0], planes[1], mass, gyroscopic, dampings[0], dampings[1], keeps[0], keeps[1], bonds
    )


def _bond(matrix: Floats, freedom: int, other: int, value: Floats) -> None:
    matrix[..., freedom, freedom] += value
    if other >= 0:
        matrix[..., other, other] += value
        matrix[..., freedom, other] -= value
        matrix[..., other, freedom] -= value


def case_of(model: ShaftModel, case: int) -> ShaftModel:
    """Return one case of a batch.

    Parameters
    ----------
    model : ShaftModel
        With one leading axis.
    case : int
        Which.

    Returns
    -------
    ShaftModel
    """
    bonds = model.bonds
    one = Bonds(bonds.node, bonds.other, *(field[case] for field in bonds[2:]))
    return ShaftModel(
        model.places, model.first_stiffness[case], model.second_stiffness[case], model.mass[case],
        model.gyroscopic[case], model.first_damping[case], model.second_damping[case], model.kept, model.kept_second,
        one,
    )  # fmt: skip


class Plane(NamedTuple):
    """The matrices of one plane without the freedoms that rigid bearings hold."""

    stiffness: Floats
    mass: Floats
    gyroscopic: Floats
    damping: Floats


def trimmed(matrix: Floats, kept: npt.NDArray[np.bool_]) -> Floats:
    """Return a matrix without the rows and columns that are not kept; batched.

    Parameters
    ----------
    matrix : array, shape (..., n, n)
        Any.
    kept : array of bool, shape (n,)
        What stays.

    Returns
    -------
    array
    """
    return np.asarray(matrix[..., kept, :][..., :, kept])


def first_plane(model: ShaftModel) -> Plane:
    """Return the first plane of a shaft; with even bearings it stands for both.

    Parameters
    ----------
    model : ShaftModel
        Even or not.

    Returns
    -------
    Plane
    """
    matrices = (model.first_stiffness, model.mass, model.gyroscopic, model.first_damping)
    return Plane(*(trimmed(matrix, model.kept) for matrix in matrices))


class BothPlanes(NamedTuple):
    """Both planes together, freedoms of the first before those of the second; held freedoms left out."""

    stiffness: Floats
    mass: Floats
    gyroscopic: Floats
    """Antisymmetric: +G couples the first plane to the second, −G the second to the first."""
    damping: Floats
    kept: npt.NDArray[np.bool_]


def both_planes(model: ShaftModel) -> BothPlanes:
    """Return both planes of a shaft as one set of matrices.

    Parameters
    ----------
    model : ShaftModel
        Even or not.

    Returns
    -------
    BothPlanes
    """
    kept = np.concatenate([model.kept, model.kept_second])
    zero = np.zeros_like(model.mass)

    def joined(one: Floats, two: Floats, cross: Floats) -> Floats:
        upper = np.concatenate([one, cross], axis=-1)
        lower = np.concatenate([-cross, two], axis=-1)
        return trimmed(np.concatenate([upper, lower], axis=-2), kept)

    return BothPlanes(
        joined(model.first_stiffness, model.second_stiffness, zero),
        joined(model.mass, model.mass, zero),
        joined(zero, zero, model.gyroscopic),
        joined(model.first_damping, model.second_damping, zero),
        kept,
    )
