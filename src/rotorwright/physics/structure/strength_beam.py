"""A shaft as a beam on any number of bearings: deflection, slope, moment and bearing forces under spread loads.

Straight two-node beam elements without shear, many stiffnesses and load cases at once; LAPACK through numpy.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

CLOSE = 1e-9
"""Places nearer than this share of the length are one node."""


class Bent(NamedTuple):
    """A bent shaft; every array has the samples first, then the load cases."""

    deflection: Floats
    """Shape (samples, cases, nodes) [m]."""
    slope: Floats
    """Shape (samples, cases, nodes) [rad]."""
    moment: Floats
    """Shape (samples, cases, elements, 2): at both ends of each element [N m]."""
    reactions: Floats
    """Shape (samples, cases, supports): force the supports give [N]."""


def nodes_of(length: float, marks: Sequence[float], elements: int = 24) -> Floats:
    """Return node places along a shaft: evenly spaced ones and all that are marked [m].

    Parameters
    ----------
    length : float
        [m]
    marks : sequence of float
        Places that must be nodes (bearings, ends of the rotor, discs) [m].
    elements : int
        Elements of the even spacing.
    """
    even = np.linspace(0.0, length, elements + 1)
    wanted = np.clip(np.asarray(marks, dtype=np.float64), 0.0, length)
    far = np.array([x for x in even if np.abs(wanted - x).min(initial=np.inf) > 0.2 * length / elements])
    places = np.sort(np.concatenate([far, wanted]))
    return np.asarray(places[np.concatenate([[True], np.diff(places) > CLOSE * length])])


def bend(nodes: Floats, stiffness: Floats, loads: Floats, supports: Sequence[int], clamped: Sequence[int] = ()) -> Bent:
    """Return how a shaft bends.

    Parameters
    ----------
    nodes : array, shape (n,)
        Places along the shaft, rising [m].
    stiffness : array, shape (samples, n − 1)
        E I of each element [N m²].
    loads : array, shape (samples, cases, n − 1)
        Even load of each element, across the shaft [N/m].
    supports : sequence of int
        Nodes that are held (free to tilt).
    clamped : sequence of int
        Those of them that cannot tilt either.

    Returns
    -------
    Bent

    Notes
    -----
    Hermite elements with consistent loads: exact at the nodes for even loads on even elements (closed forms of every
    handbook, for example W. C. Young, Roark's Formulas for Stress and Strain; from memory).
    """
    length = np.diff(nodes)
    count, samples, cases = len(nodes), stiffness.shape[0], loads.shape[1]
    matrix = np.zeros((samples, 2 * count, 2 * count))
    force = np.zeros((samples, cases, 2 * count))
    shapes, pushes = [], []
    for place, step in enumerate(length):
        shape = (
            np.array(
                [
                    [12.0, 6.0 * step, -12.0, 6.0 * step],
                    [6.0 * step, 4.0 * step**2, -6.0 * step, 2.0 * step**2],
                    [-12.0, -6.0 * step, 12.0, -6.0 * step],
                    [6.0 * step, 2.0 * step**2, -6.0 * step, 4.0 * step**2],
                ]
            )
            / step**3
        )
        push = np.array([step / 2.0, step**2 / 12.0, step / 2.0, -(step**2) / 12.0])
        rows = slice(2 * place, 2 * place + 4)
        matrix[:, rows, rows] += stiffness[:, place, None, None] * shape
        force[:, :, rows] += loads[:, :, place, None] * push
        shapes.append(shape)
        pushes.append(push)
    held = sorted({2 * node for node in supports} | {2 * node for node in clamped} | {2 * node + 1 for node in clamped})
    free = np.setdiff1d(np.arange(2 * count), held)
    moved = np.zeros((samples, cases, 2 * count))
    inner = matrix[:, free[:, None], free[None, :]]
    moved[:, :, free] = np.swapaxes(np.linalg.solve(inner, np.swapaxes(force[:, :, free], 1, 2)), 1, 2)
    left = np.einsum("sij,scj->sci", matrix, moved) - force
    moment = np.zeros((samples, cases, count - 1, 2))
    for place in range(count - 1):
        rows = slice(2 * place, 2 * place + 4)
        ends = np.einsum("ij,scj->sci", shapes[place], moved[:, :, rows]) * stiffness[:, place, None, None]
        ends -= loads[:, :, place, None] * pushes[place]
        moment[:, :, place, 0], moment[:, :, place, 1] = -ends[:, :, 1], ends[:, :, 3]
    every = [*supports, *(node for node in clamped if node not in supports)]
    return Bent(moved[:, :, 0::2], moved[:, :, 1::2], moment, left[:, :, [2 * node for node in every]])


def even_beam(*, load: float, length: float, stiffness: float, held: str = "pinned") -> dict[str, float]:
    """Return deflection, slope and moment of an even beam under an even load.

    Parameters
    ----------
    load : float
        [N/m]
    length : float
        [m]
    stiffness : float
        E I [N m²].
    held : str
        "pinned" at both ends, "overhung" (one end clamped, the other free) or "clamped" at both ends.

    Returns
    -------
    dict
        ``deflection`` [m], ``slope`` at the end that tilts most [rad], ``moment`` [N m], all largest values and
        positive, and ``reaction`` of the first end [N].
    """
    nodes = np.linspace(0.0, length, 13)
    last = len(nodes) - 1
    supports, clamped = {"pinned": ((0, last), ()), "overhung": ((), (0,)), "clamped": ((0, last), (0, last))}[held]
    bent = bend(nodes, np.full((1, last), stiffness), np.full((1, 1, last), load), supports, clamped)
    return {
        "deflection": float(np.abs(bent.deflection).max()),
        "slope": float(np.abs(bent.slope[0, 0, [0, last]]).max()),
        "moment": float(np.abs(bent.moment).max()),
        "reaction": float(abs(bent.reactions[0, 0, 0])),
    }
