"""Horseshoe vortices: what air a lifting line and its straight wake set in motion, at points and far behind.

A vortex here is a bound piece from ``start`` to ``end`` and two legs that leave its ends along the free stream. It
hangs on a strip: vortex j carries ``coefficient[j]`` times the circulation of strip ``parent[j]``, so that images in
the ground, pieces along end discs and carry-over across a body are no unknowns of their own.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

EVERYTHING, OTHERS, ITSELF = 0, 1, 2
"""Which vortices count at a point: all that are there, all but those of the point's own element, or only those."""
REAL, TWIN = 0, 1
"""A vortex that is there, or the mirrored half that a rotor sealed by a body is thought to have when alone."""
IMAGE = -2
"""Element of the images in the ground."""
NEAR_CORE = 1.0e-6  # core over bound length within one straight line: keeps 0/0 out, changes nothing


class Vortices(NamedTuple):
    """Horseshoe vortices, one row each."""

    start: Floats  # left end of the bound piece, body axes from the nose point [m], shape (vortices, 3)
    end: Floats
    middle: Floats  # where the bound piece feels the air
    parent: Ints  # strip whose circulation it carries
    coefficient: Floats  # times this
    core: Floats  # radius within which its pull is smoothed, for other lines [m]
    element: Ints  # rotor or surface it belongs to
    line: Ints  # elements on one straight line share a number and see each other without cores
    kind: Ints  # REAL or TWIN


def some_vortices(vortices: Vortices, rows: npt.NDArray[np.bool_]) -> Vortices:
    """Return some rows of the vortices."""
    return Vortices._make(part[rows] for part in vortices)


def real_vortices(vortices: Vortices) -> Vortices:
    """Return the vortices that are there: no twins, no images."""
    return some_vortices(vortices, (vortices.kind == REAL) & (vortices.element >= 0))


@jit
def add_horseshoe(
    x: float, y: float, z: float, start: Any, end: Any, stream: Any, core: float, strength: float, velocity: Any
) -> None:
    """Add the velocity of one horseshoe vortex at a point to ``velocity`` (length 3).

    Parameters
    ----------
    x, y, z : float
        The point [m].
    start, end, stream : array, shape (3,)
        Ends of the bound piece [m], unit vector along which the air moves.
    core : float
        [m], > 0.
    strength : float
        Circulation [m²/s], positive about start → end.
    velocity : array, shape (3,)
        [m/s]

    Notes
    -----
    Law of Biot and Savart for a straight piece and two half-infinite legs; squared distance from a line + core².
    Source: closed form (for example J. Katz and A. Plotkin, Low-Speed Aerodynamics, 1991, from memory).
    """
    ax, ay, az = x - start[0], y - start[1], z - start[2]
    bx, by, bz = x - end[0], y - end[1], z - end[2]
    ex, ey, ez = stream[0], stream[1], stream[2]
    core2 = core * core
    to_a = math.sqrt(ax * ax + ay * ay + az * az + 1.0e-300)
    to_b = math.sqrt(bx * bx + by * by + bz * bz + 1.0e-300)
    share = strength / (4.0 * math.pi)

    lx, ly, lz = ax - bx, ay - by, az - bz
    length2 = lx * lx + ly * ly + lz * lz
    cx, cy, cz = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    dot = ax * bx + ay * by + az * bz
    scale = share * (to_a + to_b) * (1.0 - dot / (to_a * to_b))
    scale /= cx * cx + cy * cy + cz * cz + core2 * length2 + 1.0e-300
    velocity[0] += scale * cx
    velocity[1] += scale * cy
    velocity[2] += scale * cz

    cx, cy, cz = ey * bz - ez * by, ez * bx - ex * bz, ex * by - ey * bx
    scale = share * (1.0 + (ex * bx + ey * by + ez * bz) / to_b) / (cx * cx + cy * cy + cz * cz + core2)
    velocity[0] += scale * cx
    velocity[1] += scale * cy
    velocity[2] += scale * cz

    cx, cy, cz = ey * az - ez * ay, ez * ax - ex * az, ex * ay - ey * ax
    scale = -share * (1.0 + (ex * ax + ey * ay + ez * az) / to_a) / (cx * cx + cy * cy + cz * cz + core2)
    velocity[0] += scale * cx
    velocity[1] += scale * cy
    velocity[2] += scale * cz


@jit
def fill_influence(points: Any, elements: Any, lines: Any, vortices: Any, stream: Any, which: int, matrix: Any) -> None:
    """Fill ``matrix[:, i, k]``, the velocity at point i for unit circulation of strip k.

    Parameters
    ----------
    points : array, shape (points, 3)
        [m]
    elements, lines : array of int64, shape (points,)
        Element and line each point belongs to; −1: none.
    vortices : Vortices
    stream : array, shape (3,)
        Unit vector along which the air moves.
    which : int
        `EVERYTHING`, `OTHERS` or `ITSELF`. A `TWIN` belongs to what an element does to itself, so that `OTHERS` takes
        it away again from what is really there.
    matrix : array, shape (3, points, strips)
        [1/m]
    """
    matrix[:] = 0.0
    for i in range(points.shape[0]):
        for j in range(vortices.parent.shape[0]):
            own = vortices.element[j] == elements[i]
            twin = vortices.kind[j] == TWIN
            sign = vortices.coefficient[j]
            if which == EVERYTHING:
                if twin:
                    continue
            elif which == ITSELF:
                if not own:
                    continue
            elif twin:
                if not own:
                    continue
                sign = -sign
            elif own:
                continue
            core = vortices.core[j]
            if vortices.line[j] == lines[i]:
                core = NEAR_CORE * math.sqrt(
                    (vortices.end[j, 0] - vortices.start[j, 0]) ** 2
                    + (vortices.end[j, 1] - vortices.start[j, 1]) ** 2
                    + (vortices.end[j, 2] - vortices.start[j, 2]) ** 2
                )
            velocity = matrix[:, i, vortices.parent[j]]
            add_horseshoe(
                points[i, 0], points[i, 1], points[i, 2], vortices.start[j], vortices.end[j], stream, core, sign,
                velocity,
            )  # fmt: skip


@jit
def wake_drag(vortices: Any, stream: Any, circulation: Any, air_density: float) -> float:
    """Return the induced drag read from the wake far behind (Trefftz plane) [N]; images count as wake, not as wings.

    Parameters
    ----------
    vortices : Vortices
        Images in the ground have ``element`` `IMAGE`.
    stream : array, shape (3,)
        Unit vector along which the air moves.
    circulation : array, shape (strips,)
        [m²/s]
    air_density : float
        [kg/m³]

    Notes
    -----
    D = ½ ρ Σ Γ (v × l)·e over all bound pieces, v the velocity of the plane vortices that the legs are far behind, two
    half-infinite legs ahead of and behind the plane. Source: L. Prandtl and M. M. Munk (closed form).
    """
    count = vortices.parent.shape[0]
    ex, ey, ez = stream[0], stream[1], stream[2]
    drag = 0.0
    for i in range(count):
        if vortices.kind[i] == TWIN or vortices.element[i] == IMAGE:
            continue
        strength = vortices.coefficient[i] * circulation[vortices.parent[i]]
        vx, vy, vz = 0.0, 0.0, 0.0
        mx, my, mz = vortices.middle[i, 0], vortices.middle[i, 1], vortices.middle[i, 2]
        for j in range(count):
            if vortices.kind[j] == TWIN:
                continue
            other = vortices.coefficient[j] * circulation[vortices.parent[j]] / (2.0 * math.pi)
            for side in range(2):
                place = vortices.end[j] if side == 0 else vortices.start[j]
                rx, ry, rz = mx - place[0], my - place[1], mz - place[2]
                cx, cy, cz = ey * rz - ez * ry, ez * rx - ex * rz, ex * ry - ey * rx
                scale = (other if side == 0 else -other) / (cx * cx + cy * cy + cz * cz + 1.0e-12)
                vx += scale * cx
                vy += scale * cy
                vz += scale * cz
        lx = vortices.end[i, 0] - vortices.start[i, 0]
        ly = vortices.end[i, 1] - vortices.start[i, 1]
        lz = vortices.end[i, 2] - vortices.start[i, 2]
        drag += strength * ((vy * lz - vz * ly) * ex + (vz * lx - vx * lz) * ey + (vx * ly - vy * lx) * ez)
    return 0.5 * air_density * drag
