"""Side force of a rotor in sideslip: its discs are round plates that meet the air at a small angle."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.physics.rotor.span import disc_ratio

PLATE_SLOPE = 1.790
"""Normal force of a thin round plate per radian, on its area (lifting-surface theory; the tests work it out anew)."""
PLATE_AHEAD = 0.26
"""The force of small angles acts this far ahead of the plate's middle, in diameters (the same theory)."""
BROADSIDE_DISC, BROADSIDE_DRUM = 1.12, 0.85
"""Drag coefficient of a disc square to the wind, and of a cylinder with its end to the wind, on the frontal area."""
STILL = 1.0e-12


@jit
def plate_area(rotor: Any) -> float:
    """Return the area of all discs that counts in sideslip [m²].

    Parameters
    ----------
    rotor : record of base.records.ROTOR

    Notes
    -----
    π/4 (end discs (D² − ½ d²) + discs between (D² − d²)): what the turning body covers of a face, no air passes along.
    A plain end counts as nothing: whether air that grazes a blunt end pushes or pulls was not found.
    """
    if rotor.disc_diameter <= rotor.diameter:
        return 0.0
    disc = rotor.disc_diameter * rotor.disc_diameter
    body = rotor.diameter * rotor.diameter
    return 0.25 * math.pi * float(rotor.end_discs * (disc - 0.5 * body) + rotor.middle_discs * (disc - body))


@jit
def side_constants(rotor: Any, factors: Any) -> tuple[float, float, float]:
    """Return what `side_loads` needs of a rotor: sliding and broadside area [m²] and the lead of the force [m].

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    factors : record of base.unknown.FACTORS
        Reads ``disc_side_force``.
    """
    slide = 0.5 * PLATE_SLOPE * plate_area(rotor) * factors.disc_side_force
    wide = rotor.diameter * disc_ratio(rotor)
    square_on = BROADSIDE_DISC if wide > rotor.diameter else BROADSIDE_DRUM
    broadside = 0.5 * square_on * 0.25 * math.pi * wide * wide
    return float(slide), float(broadside), float(PLATE_AHEAD * rotor.disc_diameter)


@jit
def side_loads(
    slide: float, broadside: float, ahead: float, u: float, v: float, w: float, air_density: float
) -> tuple[float, float, float]:
    """Return side force of a rotor [N] and its moments round body x and z about the rotor's own middle [N m].

    Parameters
    ----------
    slide, broadside, ahead : float
        From `side_constants`.
    u, v, w : float
        The rotor's own motion through the air, body axes (forward, right, down) [m/s].
    air_density : float
        [kg/m³]

    Notes
    -----
    Y = −ρ v (slide √(u² + w²) + broadside |v|), slide = ½ 1.790 Σ A, broadside = ½ C_D A. The first part is the lift of
    round plates at a small angle, the second the drag of the largest frontal area, once for the whole rotor: behind the
    first disc the others stand in its wake. The first part acts 0.26 diameters ahead of the axis, so Mz = ahead · Y and
    Mx likewise for air from below. Every term is C1 through v = 0 and through still air.

    Validity: up to 40° of sideslip; beyond, a stalled plate has up to a third less. Unmeasured on rotors: interference
    of drum, spin, wake and neighbouring discs are the factor's band.

    Source: W. Kinner (1937) and P. F. Jordan (1973) for the round plate (from memory, worked out anew in the tests);
    S. F. Hoerner, Fluid-Dynamic Drag (1965) for disc and blunt cylinder (from memory).
    """
    across = math.sqrt(u * u + w * w + STILL)
    sliding = -air_density * slide * v
    force = sliding * across - air_density * broadside * v * abs(v)
    return force, -ahead * sliding * w, ahead * sliding * u
