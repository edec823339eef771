"""Mass, centre of gravity and inertia of the aeroplane and its rotors, from the list of masses."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from rotorwright.base.jit import jit
from rotorwright.base.records import MASS, NONE, ROTOR, VEHICLE
from rotorwright.base.unknown import nominal_factors

COMPUTED_MASS_DEVIATION = 0.087
"""One standard deviation, relative, that the band of ``computed_mass`` stands for: ln(1.15/0.92) / (2 × 1.2816)."""


@jit
def mass_factor(part: Any, factors: Any) -> float:
    """Return the factor on one part's mass in this sample.

    Parameters
    ----------
    part : MASS record
    factors : FACTORS record
        Reads ``computed_mass`` and ``weighed_mass``.

    Notes
    -----
    Weighed parts follow ``weighed_mass``; computed ones ``computed_mass``, whose departure from 1 is widened or
    narrowed to the part's own stated ``spread`` (0: as it stands). All computed parts go up and down together: the
    same hands, glue and sheet made them.
    """
    if part.weighed == 1.0:
        return factors.weighed_mass
    widen = 1.0
    if part.spread > 0.0:
        widen = min(part.spread / COMPUTED_MASS_DEVIATION, 3.0)
    return max(1.0 + widen * (factors.computed_mass - 1.0), 0.05)


@jit
def mass_properties(masses: Any, rotors: Any, factors: Any, vehicle: Any) -> None:
    """Fill the vehicle's mass, centre of gravity and inertia, and each rotor's turning mass and polar inertia.

    Parameters
    ----------
    masses : MASS records, shape (n,)
    rotors : ROTOR records, shape (r,)
        ``mass`` and ``polar_inertia`` are filled from the masses that turn with each, about its own spin axis
        (through its mid-span, along y).
    factors : FACTORS record
        Reads ``computed_mass``, ``weighed_mass``, ``centre_of_gravity_shift``.
    vehicle : VEHICLE record
        Filled in place; ``extra_mass`` counts in the mass and, sitting at the centre of gravity, in nothing else.

    Notes
    -----
    I = Σ f (I_part + m (d·d 1 − d dᵀ)), products as ixy = Σ m x y; rotors count as if locked. The shift moves the
    centre of gravity alone: at 3 mm its effect on the inertia is far below the spread of the masses.
    Without any mass everything is zero.
    Source: parallel-axis theorem (closed form).
    """
    total = 0.0
    sx = 0.0
    sy = 0.0
    sz = 0.0
    for i in range(len(masses)):
        part = masses[i]
        mass = part.mass * mass_factor(part, factors)
        total += mass
        sx += mass * part.x
        sy += mass * part.y
        sz += mass * part.z
    share = 1.0 / total if total > 0.0 else 0.0
    cx = sx * share
    cy = sy * share
    cz = sz * share
    for r in range(len(rotors)):
        rotors[r].mass = 0.0
        rotors[r].polar_inertia = 0.0
    ixx = 0.0
    iyy = 0.0
    izz = 0.0
    ixy = 0.0
    ixz = 0.0
    iyz = 0.0
    for i in range(len(masses)):
        part = masses[i]
        factor = mass_factor(part, factors)
        mass = part.mass * factor
        dx = part.x - cx
        dy = part.y - cy
        dz = part.z - cz
        ixx += factor * part.ixx + mass * (dy * dy + dz * dz)
        iyy += factor * part.iyy + mass * (dx * dx + dz * dz)
        izz += factor * part.izz + mass * (dx * dx + dy * dy)
        ixy += factor * part.ixy + mass * dx * dy
        ixz += factor * part.ixz + mass * dx * dz
        iyz += factor * part.iyz + mass * dy * dz
        if part.rotor != NONE:
            rotor = rotors[int(part.rotor)]
            ox = part.x - rotor.x
            oz = part.z - rotor.z
            rotor.mass += mass
            rotor.polar_inertia += factor * part.iyy + mass * (ox * ox + oz * oz)
    vehicle.mass = total + vehicle.extra_mass
    vehicle.x = cx + factors.centre_of_gravity_shift
    vehicle.y = cy
    vehicle.z = cz
    vehicle.ixx = ixx
    vehicle.iyy = iyy
    vehicle.izz = izz
    vehicle.ixy = ixy
    vehicle.ixz = ixz
    vehicle.iyz = iyz


def mass_properties_alone(
    *, masses: Sequence[float], positions: Sequence[Sequence[float]], inertias: Sequence[Sequence[float]] | None = None
) -> dict[str, float]:
    """Return mass, centre of gravity and inertia of a list of bodies, as on a workbench.

    Parameters
    ----------
    masses : sequence of float
        [kg]
    positions : sequence of (x, y, z)
        Their centres of mass [m].
    inertias : sequence of (ixx, iyy, izz), optional
        Their own moments of inertia [kg m²]; None: point masses.

    Returns
    -------
    dict
        ``mass``; ``x``, ``y``, ``z`` of the centre of gravity; ``ixx``, ``iyy``, ``izz``, ``ixy``, ``ixz``, ``iyz``
        about it.

    Notes
    -----
    Calls `mass_properties` with every mass as weighed and every Unknown at its median. Source: closed form.
    """
    rows = np.zeros(len(masses), dtype=MASS)
    rows["mass"] = masses
    rows["x"], rows["y"], rows["z"] = np.asarray(positions, dtype=np.float64).T
    if inertias is not None:
        rows["ixx"], rows["iyy"], rows["izz"] = np.asarray(inertias, dtype=np.float64).T
    rows["weighed"] = 1.0
    rows["rotor"] = NONE
    vehicle = np.zeros(1, dtype=VEHICLE)
    mass_properties(rows, np.zeros(0, dtype=ROTOR), nominal_factors(1)[0], vehicle[0])
    wanted = ("mass", "x", "y", "z", "ixx", "iyy", "izz", "ixy", "ixz", "iyz")
    return {name: float(vehicle[0][name]) for name in wanted}
