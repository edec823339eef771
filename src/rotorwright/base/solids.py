"""Moments of inertia of simple solids about their own centre, as plain functions of mass and size.

Closed forms of every mechanics textbook (for example J. L. Meriam and L. G. Kraige, *Engineering Mechanics:
Dynamics*, table of mass moments of inertia; from memory, and checked in the tests by numerical integration).
"""

from __future__ import annotations

from typing import NamedTuple

from rotorwright.base.traced import hypot


class Round(NamedTuple):
    """Inertia of a body of revolution: about its axis and about any line through its centre square to it [kg m²]."""

    axial: float
    transverse: float


class Block(NamedTuple):
    """Principal inertia of a body with three planes of symmetry, about its x, y and z axes [kg m²]."""

    xx: float
    yy: float
    zz: float


def cylinder(mass: float, diameter: float, length: float) -> Round:
    """Return the inertia of a solid round bar, disc or rod (mass [kg], diameter and length [m])."""
    return tube(mass, diameter, 0.0, length)


def tube(mass: float, outer: float, inner: float, length: float) -> Round:
    """Return the inertia of a round tube (mass [kg], outer and inner diameter and length [m])."""
    axial = mass * (outer**2 + inner**2) / 8.0
    return Round(axial, axial / 2.0 + mass * length**2 / 12.0)


def shell(mass: float, diameter: float, length: float) -> Round:
    """Return the inertia of a thin open drum skin (mass [kg], mean diameter and length [m])."""
    return tube(mass, diameter, diameter, length)


def sphere(mass: float, diameter: float) -> Round:
    """Return the inertia of a solid ball (mass [kg], diameter [m])."""
    inertia = mass * diameter**2 / 10.0
    return Round(inertia, inertia)


def box(mass: float, length: float, width: float, height: float) -> Block:
    """Return the inertia of a solid block, length along x, width along y, height along z (mass [kg], sizes [m])."""
    x2, y2, z2 = length**2, width**2, height**2
    return Block(mass * (y2 + z2) / 12.0, mass * (x2 + z2) / 12.0, mass * (x2 + y2) / 12.0)


def box_shell(mass: float, length: float, width: float, height: float) -> Block:
    """Return the inertia of a closed thin-walled box of even areal mass (mass [kg], outer sizes [m]).

    Notes
    -----
    Six plates, each with its own inertia and its distance from the centre.
    """
    sides = (length, width, height)
    areas = (width * height, length * height, length * width)
    total = 2.0 * sum(areas)
    second = [0.0, 0.0, 0.0]  # mean square of each coordinate, weighted by plate area
    for normal in range(3):
        for axis in range(3):
            mean_square = sides[axis] ** 2 / (4.0 if axis == normal else 12.0)
            second[axis] += 2.0 * areas[normal] * mean_square
    xx, yy, zz = (mass * part / total if total > 0.0 else 0.0 for part in second)
    return Block(yy + zz, xx + zz, xx + yy)


def half_tube_radius_of_gyration(diameter: float, offset: float) -> float:
    """Return the radius of gyration of a thin half-tube about a line parallel to its axis [m].

    Parameters
    ----------
    diameter : float
        Of the half-tube [m].
    offset : float
        Distance of that line from the tube's own axis, measured along the half-tube's chord [m].

    Notes
    -----
    The half-tube is symmetrical about the plane square to its chord, so the cross term vanishes: k² = r² + offset².
    """
    return hypot(diameter / 2.0, offset)
