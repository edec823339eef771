"""Balance grades: how much unbalance may remain, what remains after a static balance, what it does to the body."""

from __future__ import annotations

import math

from rotorwright.base.constants import GRAVITY

GRADES = (0.0004, 0.001, 0.0025, 0.0063, 0.016, 0.040, 0.100, 0.250, 0.630, 1.6, 4.0)
"""The grade steps [m/s]: G 0.4 … G 4000 (ISO 21940-11, formerly ISO 1940-1; G 2.5 to G 40 read in makers' lists of the
standard, the others from memory)."""
USUAL_FOR = {
    0.0025: "small electric armatures, machine-tool drives",
    0.0063: "fans, flywheels, pump impellers, process machines",
    0.016: "parts of crushers and agricultural machinery, drive shafts",
    0.040: "crankshaft drives of trucks and locomotives",
}
"""Typical rotors of a grade in published lists of the standard (secondary)."""
LEAST_SHARE, MOST_SHARE = 0.3, 0.7
"""No bearing plane gets less or more of the permissible unbalance than this (ISO 21940-11, from memory)."""
MACHINE_ZONES = (0.00071, 0.0018, 0.0045)
"""Borders of the vibration zones A|B|C|D of small machines [m/s rms] (ISO 10816-1 class I, secondary)."""


def permissible_eccentricity(*, grade: float, rotor_speed: float) -> float:
    """Return how far the centre of mass may lie off the axis [m].

    Parameters
    ----------
    grade : float
        Balance grade [m/s]: 0.0063 for G 6.3.
    rotor_speed : float
        Fastest in service [rad/s], > 0.

    Returns
    -------
    float

    Notes
    -----
    e = G/Ω. Source: ISO 21940-11:2016 (formerly ISO 1940-1), read in vendors' accounts.
    """
    return grade / rotor_speed


def permissible_unbalance(*, grade: float, mass: float, rotor_speed: float) -> float:
    """Return the permissible residual unbalance of a whole rotor [kg m].

    Parameters
    ----------
    grade : float
        Balance grade [m/s]: 0.0063 for G 6.3.
    mass : float
        Turning mass [kg].
    rotor_speed : float
        Fastest in service [rad/s], > 0.

    Returns
    -------
    float

    Notes
    -----
    U = G m/Ω; in workshop units U [g mm] = 9549 G [mm/s] m [kg] / n [rpm]. Validity: rigid rotors, that is fastest
    speed below about 0.6 to 0.7 of the first bending critical (from memory).
    """
    return grade * mass / rotor_speed


def grade_reached(*, unbalance: float, mass: float, rotor_speed: float) -> float:
    """Return the balance grade that an unbalance amounts to [m/s].

    Parameters
    ----------
    unbalance : float
        [kg m]
    mass : float
        Turning mass [kg].
    rotor_speed : float
        Fastest in service [rad/s].

    Returns
    -------
    float
        0.0063 means G 6.3.
    """
    return unbalance / mass * rotor_speed


def grade_step(grade: float) -> float:
    """Return the step of the standard a grade falls in [m/s]: the smallest step not exceeded, infinity beyond all.

    Parameters
    ----------
    grade : float
        [m/s]
    """
    return next((step for step in GRADES if grade <= step * (1.0 + 1e-12)), math.inf)


def grade_word(grade: float) -> str:
    """Return a grade as the trade writes it: ``G 6.3``.

    Parameters
    ----------
    grade : float
        [m/s]
    """
    return f"G {1000.0 * grade:.3g}" if math.isfinite(grade) else "beyond G 4000"


def plane_shares(*, left: float, right: float) -> tuple[float, float]:
    """Return how the permissible unbalance is shared between two bearing planes.

    Parameters
    ----------
    left, right : float
        Distances of the bearing planes from the centre of mass, which lies between them [m].

    Returns
    -------
    shares : tuple of float
        Of the left and the right plane; they add to 1.

    Notes
    -----
    Lever rule, each share held between 0.3 and 0.7; halves for a symmetrical rotor.
    Source: ISO 21940-11 (halving read in a vendor's guide, lever rule and limits from memory).
    """
    share = min(max(right / (left + right), LEAST_SHARE), MOST_SHARE)
    return share, 1.0 - share


def plane_permissible_unbalance(
    *, grade: float, mass: float, rotor_speed: float, left: float = 1.0, right: float = 1.0
) -> float:
    """Return the permissible residual unbalance of the left one of two planes [kg m].

    Parameters
    ----------
    grade : float
        [m/s]
    mass : float
        Turning mass [kg].
    rotor_speed : float
        Fastest in service [rad/s].
    left, right : float
        Distances of the planes from the centre of mass [m]; equal ones give half each.

    Returns
    -------
    float
    """
    whole = permissible_unbalance(grade=grade, mass=mass, rotor_speed=rotor_speed)
    return whole * plane_shares(left=left, right=right)[0]


def unbalance_force(*, unbalance: float, rotor_speed: float) -> float:
    """Return the turning force of an unbalance [N]: U Ω².

    Parameters
    ----------
    unbalance : float
        Mass times radius [kg m].
    rotor_speed : float
        [rad/s]
    """
    return unbalance * rotor_speed**2


def wobble_couple(*, polar_inertia: float, transverse_inertia: float, rotor_speed: float, angle: float) -> float:
    """Return the turning couple of a disc that stands askew on its shaft [N m].

    Parameters
    ----------
    polar_inertia, transverse_inertia : float
        Of the disc about its axis and about a diameter [kg m²].
    rotor_speed : float
        [rad/s]
    angle : float
        Between the disc's axis and the shaft [rad], small.

    Notes
    -----
    (I_p − I_d) Ω² β. Source: product of inertia of a tilted symmetrical body, closed form.
    """
    return (polar_inertia - transverse_inertia) * rotor_speed**2 * angle


def rolling_eccentricity(*, lever_arm: float) -> float:
    """Return the eccentricity that a static balance on knife edges cannot see [m].

    Parameters
    ----------
    lever_arm : float
        Lever arm of rolling friction [m]; 0.01 to 0.05 mm on clean hard edges (from memory).
    """
    return lever_arm


def bearing_eccentricity(*, mass: float, bore: float, friction: float = 0.0015, drag_torque: float = 0.0) -> float:
    """Return the eccentricity that a static balance in the rotor's own ball bearings cannot see [m].

    Parameters
    ----------
    mass : float
        Turning mass [kg].
    bore : float
        Of the bearings [m].
    friction : float
        Coefficient of the balls on the bore's radius, 0.0015 from memory.
    drag_torque : float
        Of grease and seals [N m]: 0.0001 to 0.001 (from memory).

    Notes
    -----
    e = μ d/2 + M/(m g): grease hides more than most unbalance, so wash it out or use knife edges.
    """
    return 0.5 * friction * bore + drag_torque / (mass * GRAVITY)


def body_vibration(*, unbalance: float, rotor_speed: float, body_mass: float) -> float:
    """Return the vibration speed an unbalance gives a free rigid body [m/s rms]: U Ω/(√2 M).

    Parameters
    ----------
    unbalance : float
        [kg m]
    rotor_speed : float
        [rad/s]
    body_mass : float
        Of the aeroplane that is shaken, free in the air [kg].
    """
    return unbalance * rotor_speed / (math.sqrt(2.0) * body_mass)
