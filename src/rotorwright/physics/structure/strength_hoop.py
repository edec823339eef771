"""What spinning does to rings, skins and discs: hoop stress, burst speed, outward pressure.

Plain formulas; every argument may be a number or an array of samples.
"""

from __future__ import annotations

from typing import Any

import numpy as np


def ring_stress(*, density: Any, rotor_speed: Any, radius: Any) -> Any:
    """Return the hoop stress of a thin spinning ring or skin [Pa]: ρ (Ω r)².

    Parameters
    ----------
    density : float or array
        [kg/m³]
    rotor_speed : float or array
        [rad/s]
    radius : float or array
        [m]
    """
    return density * (rotor_speed * radius) ** 2


def ring_burst_rim_speed(*, density: Any, strength: Any) -> Any:
    """Return the rim speed at which a thin ring tears [m/s]: √(σ/ρ), whatever its size.

    Parameters
    ----------
    density : float or array
        [kg/m³]
    strength : float or array
        Design tension around the ring [Pa]; of the seam, if it has one.
    """
    return np.sqrt(strength / density)


def ring_burst_speed(*, density: float, strength: float, diameter: float) -> float:
    """Return the rotor speed at which a thin ring or skin tears [rad/s].

    Parameters
    ----------
    density : float
        [kg/m³]
    strength : float
        Design tension around the ring [Pa].
    diameter : float
        [m]
    """
    return float(ring_burst_rim_speed(density=density, strength=strength)) / (0.5 * diameter)


def disc_stress(
    *, density: Any, rotor_speed: Any, outer_radius: Any, hole_radius: Any = 0.0, poisson: float = 0.3
) -> Any:
    """Return the largest stress of a thin spinning disc of even thickness [Pa].

    Parameters
    ----------
    density : float or array
        [kg/m³]
    rotor_speed : float or array
        [rad/s]
    outer_radius : float or array
        [m]
    hole_radius : float or array
        Of the hole in the middle [m]; exactly 0 means no hole at all.
    poisson : float

    Notes
    -----
    Solid: (3 + ν)/8 ρ Ω² R² in the middle. With a hole: (3 + ν)/4 ρ Ω² (R² + (1 − ν)/(3 + ν) a²) at its edge: even a
    pin-hole doubles the stress. Source: K. Lingaiah, Machine Design Handbook, 2001 (secondary); the ring form is the
    plane-stress solution of Lamé, closed form. Validity: thin, even, one material; glue seams and cracks are not in it.
    """
    scale = (3.0 + poisson) / 8.0 * density * rotor_speed**2
    holed = 2.0 * (outer_radius**2 + (1.0 - poisson) / (3.0 + poisson) * hole_radius**2)
    return scale * np.where(np.asarray(hole_radius) > 0.0, holed, outer_radius**2)


def outward_pressure(*, areal_mass: Any, rotor_speed: Any, radius: Any) -> Any:
    """Return the outward pressure with which a spinning skin pulls at itself [Pa]: w Ω² r.

    Parameters
    ----------
    areal_mass : float or array
        [kg/m²]
    rotor_speed : float or array
        [rad/s]
    radius : float or array
        [m]
    """
    return areal_mass * rotor_speed**2 * radius


def loose_part_force(*, mass: float, rotor_speed: float, radius: float) -> float:
    """Return the force that holds a small part on its circle [N]: m Ω² r.

    Parameters
    ----------
    mass : float
        [kg]
    rotor_speed : float
        [rad/s]
    radius : float
        [m]
    """
    return mass * rotor_speed**2 * radius
