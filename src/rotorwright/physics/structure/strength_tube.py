"""Round tubes and bars: section values, twist, crushing under clamps, and the ways a thin wall buckles.

Plain formulas; every argument may be a number or an array of samples.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from rotorwright.physics.structure.sections import tube_second_moment


def section_area(*, outer: Any, inner: Any) -> Any:
    """Return the area of a round tube's section [m²].

    Parameters
    ----------
    outer, inner : float or array
        Diameters [m].
    """
    return math.pi / 4.0 * (outer**2 - inner**2)


def bending_stress(*, moment: Any, outer: Any, inner: Any) -> Any:
    """Return the stress at the outer fibre of a tube [Pa].

    Parameters
    ----------
    moment : float or array
        [N m]
    outer, inner : float or array
        Diameters [m].
    """
    return moment * 0.5 * outer / tube_second_moment(outer, inner)


def shear_stress(*, torque: Any, outer: Any, inner: Any) -> Any:
    """Return the shear stress at the outer fibre of a twisted tube [Pa].

    Parameters
    ----------
    torque : float or array
        [N m]
    outer, inner : float or array
        Diameters [m].
    """
    return torque * 0.25 * outer / tube_second_moment(outer, inner)


def twist(*, torque: Any, length: Any, outer: Any, inner: Any, shear_modulus: Any) -> Any:
    """Return the angle by which a tube is twisted [rad]: T L/(G J).

    Parameters
    ----------
    torque : float or array
        [N m]
    length : float or array
        Twisted length [m].
    outer, inner : float or array
        Diameters [m].
    shear_modulus : float or array
        [Pa]; 3.5 to 5 GPa for tubes with all fibres along (from memory and a laminate data set, read).
    """
    return torque * length / (shear_modulus * 2.0 * tube_second_moment(outer, inner))


def torsion_frequency(*, stiffness: float, first_inertia: float, second_inertia: float) -> float:
    """Return the frequency at which two masses twist against each other through a shaft [Hz].

    Parameters
    ----------
    stiffness : float
        G J/L of the free length [N m/rad].
    first_inertia, second_inertia : float
        Polar inertias at both ends [kg m²]; infinity for a fixed end.

    Notes
    -----
    f = √(k (1/I₁ + 1/I₂))/2π, closed form.
    """
    return math.sqrt(stiffness * (1.0 / first_inertia + 1.0 / second_inertia)) / (2.0 * math.pi)


def crushing_load(*, outer: Any, inner: Any, transverse_strength: Any) -> Any:
    """Return the load per length between opposite jaws at which the wall of an empty tube splits [N/m].

    Parameters
    ----------
    outer, inner : float or array
        Diameters [m].
    transverse_strength : float or array
        Of the wall across the fibres [Pa]; about 40 MPa for pultruded carbon (from memory).

    Notes
    -----
    Thin ring under two opposed line loads p: M = p R/π per length, σ = 6 M/t². Closed form, R of the middle of the
    wall. A plug under the clamp takes the load instead.
    """
    wall = 0.5 * (outer - inner)
    radius = 0.25 * (outer + inner)
    return math.pi * transverse_strength * wall**2 / (6.0 * radius)


def ovalising_moment(*, outer: Any, inner: Any, modulus_along: Any, modulus_around: Any, poisson: float = 0.3) -> Any:
    """Return the bending moment at which a long thin tube flattens and folds [N m].

    Parameters
    ----------
    outer, inner : float or array
        Diameters [m].
    modulus_along, modulus_around : float or array
        Of the wall [Pa]; equal for metals and plastics.
    poisson : float

    Notes
    -----
    0.987 √(E_x E_y) r t²/√(1 − ν²). Source: L. G. Brazier, On the flexure of thin cylindrical shells, 1927 (from
    memory). Not decisive for walls thicker than a tenth of the radius.
    """
    wall = 0.5 * (outer - inner)
    radius = 0.25 * (outer + inner)
    return 0.987 * np.sqrt(modulus_along * modulus_around) * radius * wall**2 / math.sqrt(1.0 - poisson**2)


def column_load(*, length: float, outer: float, inner: float, modulus: float, end_factor: float = 1.0) -> float:
    """Return the push at which a slender strut bows out [N].

    Parameters
    ----------
    length : float
        [m]
    outer, inner : float
        Diameters [m].
    modulus : float
        Along the strut [Pa].
    end_factor : float
        1 with both ends hinged, 0.5 both clamped, 2 with one end free.

    Notes
    -----
    π² E I/(K L)². Source: L. Euler, closed form.
    """
    return math.pi**2 * modulus * tube_second_moment(outer, inner) / (end_factor * length) ** 2


def shell_buckling_stress(*, radius: Any, thickness: Any, modulus: Any, poisson: float = 0.3) -> Any:
    """Return the bending stress at which a thin drum skin buckles [Pa].

    Parameters
    ----------
    radius, thickness : float or array
        Of the skin [m].
    modulus : float or array
        Along the span [Pa].
    poisson : float

    Notes
    -----
    γ E t/(r √(3 (1 − ν²))), γ = 1 − 0.731 (1 − e^(−φ)), φ = √(r/t)/16. Source: NASA SP-8007 (form and axial knock-down
    read in public code; the constant for bending from memory). Validity: round, closed skins held in shape by discs.
    """
    shape = np.sqrt(radius / thickness) / 16.0
    knock_down = 1.0 - 0.731 * (1.0 - np.exp(-shape))
    return knock_down * modulus * thickness / (radius * math.sqrt(3.0 * (1.0 - poisson**2)))


def shell_buckling_moment(*, radius: float, thickness: float, modulus: float, poisson: float = 0.3) -> float:
    """Return the bending moment at which a thin drum skin buckles [N m]: π r² t times the buckling stress.

    Parameters
    ----------
    radius, thickness : float
        Of the skin [m].
    modulus : float
        Along the span [Pa].
    poisson : float
    """
    stress = shell_buckling_stress(radius=radius, thickness=thickness, modulus=modulus, poisson=poisson)
    return float(math.pi * radius**2 * thickness * stress)


def sleeve_torque(*, radius: Any, length: Any, shear_strength: Any) -> Any:
    """Return the torque a glued sleeve round a tube carries [N m].

    Parameters
    ----------
    radius : float or array
        Of the glued surface [m].
    length : float or array
        Of the glue line along the tube [m].
    shear_strength : float or array
        Design value of the glue line [Pa]: 3 MPa for hobby epoxy on abraded tube (from memory).

    Notes
    -----
    τ 2π r² l, even shear.
    """
    return shear_strength * 2.0 * math.pi * radius**2 * length


def sleeve_push(*, radius: Any, length: Any, shear_strength: Any) -> Any:
    """Return the push along the tube a glued sleeve carries [N]: τ 2π r l.

    Parameters
    ----------
    radius : float or array
        Of the glued surface [m].
    length : float or array
        Of the glue line along the tube [m].
    shear_strength : float or array
        Design value of the glue line [Pa].
    """
    return shear_strength * 2.0 * math.pi * radius * length
