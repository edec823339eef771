"""Short rules for critical speeds: uniform beams, sag, bounds from single masses, one mass on a spring, run-up."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rotorwright.base.constants import GRAVITY

BEAM_ROOTS: dict[str, tuple[float, float, float]] = {
    "pinned-pinned": (math.pi, 2.0 * math.pi, 3.0 * math.pi),
    "fixed-free": (1.8751040687, 4.6940911330, 7.8547574382),
    "fixed-fixed": (4.7300407449, 7.8532046241, 10.9956078380),
    "fixed-pinned": (3.9266023120, 7.0685827456, 10.2101761229),
}
"""Roots λ of the frequency equations of uniform slender beams (closed form)."""


def beam_frequency(ends: str, mode: int, stiffness: float, mass: float, length: float) -> float:
    """Return a natural frequency of a uniform slender beam.

    Parameters
    ----------
    ends : str
        A key of `BEAM_ROOTS`.
    mode : int
        1, 2 or 3.
    stiffness : float
        EI [N m²].
    mass : float
        Per length [kg/m].
    length : float
        [m]

    Returns
    -------
    float
        λ²/L² √(EI/μ) [rad/s].
    """
    return (BEAM_ROOTS[ends][mode - 1] / length) ** 2 * math.sqrt(stiffness / mass)


def sag_critical(sag: float, factor: float = 1.0) -> float:
    """Return the first critical speed that a rotor's own sag tells.

    Parameters
    ----------
    sag : float
        At mid-span, hung on its own bearings [m].
    factor : float
        √(g/sag) is multiplied by this: 1 for one heavy disc, √(π⁴·5/384) = 1.126 for an even rotor between two
        bearings.

    Returns
    -------
    float
        [rad/s]

    Notes
    -----
    One mass: ω = √(g/δ), 946/√δ rpm with δ in mm. An even pinned rotor sags 5qL⁴/384EI and has ω = π²√(EI/μL⁴), so
    1065/√δ rpm (closed form).
    """
    return factor * math.sqrt(GRAVITY / sag)


EVEN_ROTOR_SAG_FACTOR = math.sqrt(math.pi**4 * 5.0 / 384.0)


def load_deflection(force: float, position: float, span: float, stiffness: float) -> float:
    """Return the deflection under a single force on a slender beam between two pins.

    Parameters
    ----------
    force : float
        [N]
    position : float
        Of the force from one end [m].
    span, stiffness : float
        Length [m] and EI [N m²].

    Returns
    -------
    float
        F a² b²/(3 EI L) [m].
    """
    other = span - position
    return force * position**2 * other**2 / (3.0 * stiffness * span)


def lower_bound(frequencies: Sequence[float]) -> float:
    """Return the frequency that single frequencies of the parts of a rotor combine to, from below.

    Parameters
    ----------
    frequencies : sequence of float
        Each with one mass alone on the shaft [rad/s].

    Returns
    -------
    float
        1/ω² = Σ 1/ω_i² [rad/s] (S. Dunkerley 1894, from memory).
    """
    return 1.0 / math.sqrt(sum(1.0 / frequency**2 for frequency in frequencies))


def upper_bound(masses: Sequence[float], deflections: Sequence[float]) -> float:
    """Return the frequency that the static shape under all weights gives, from above.

    Parameters
    ----------
    masses : sequence of float
        [kg]
    deflections : sequence of float
        Of each mass under all the weights together [m].

    Returns
    -------
    float
        √(g Σ m y / Σ m y²) [rad/s] (Rayleigh).
    """
    first = sum(mass * sag for mass, sag in zip(masses, deflections, strict=True))
    second = sum(mass * sag * sag for mass, sag in zip(masses, deflections, strict=True))
    return math.sqrt(GRAVITY * first / second)


def orbit_ratio(ratio: float, damping_ratio: float) -> float:
    """Return the orbit of one unbalanced disc over the offset of its mass.

    Parameters
    ----------
    ratio : float
        Speed over critical speed.
    damping_ratio : float
        ζ

    Returns
    -------
    float
        r²/√((1 − r²)² + (2ζr)²); towards 1 far above the critical, where the disc turns about its heavy spot.
    """
    return ratio * ratio / math.hypot(1.0 - ratio * ratio, 2.0 * damping_ratio * ratio)


def crossing_peak(sweep: float, damping_ratio: float) -> float:
    """Return the largest orbit over the mass offset while running up through a critical at an even rate.

    Parameters
    ----------
    sweep : float
        Acceleration over the square of the critical speed, (dΩ/dt)/ω².
    damping_ratio : float
        ζ

    Returns
    -------
    float

    Notes
    -----
    (1 − exp(−1.41 (2ζ/√q)^0.96))/2ζ: a fit within 4 % to our own integrations of one disc for ζ 0.005…0.05 and q
    3e-4…1e-2 from r = 0.3; q = 0 gives the steady peak 1/2ζ.
    """
    steady = 0.5 / damping_ratio
    if sweep <= 0.0:
        return steady
    return steady * (1.0 - math.exp(-1.408 * (2.0 * damping_ratio / math.sqrt(sweep)) ** 0.958))


def torsion_frequency(stiffness: float, driving_inertia: float, driven_inertia: float) -> float:
    """Return the frequency at which two inertias swing against each other on a shaft that twists.

    Parameters
    ----------
    stiffness : float
        Against twist between them [N m/rad].
    driving_inertia, driven_inertia : float
        [kg m²]

    Returns
    -------
    float
        √(k(1/I₁ + 1/I₂)) [rad/s].
    """
    return math.sqrt(stiffness * (1.0 / driving_inertia + 1.0 / driven_inertia))


def belt_frequency(length: float, tension: float, mass: float) -> float:
    """Return the first frequency of a free belt span.

    Parameters
    ----------
    length : float
        Free span between the pulleys [m].
    tension : float
        In that strand [N].
    mass : float
        Per length [kg/m].

    Returns
    -------
    float
        π/L √(T/m) [rad/s]: that of a string.
    """
    return math.pi / length * math.sqrt(tension / mass)
