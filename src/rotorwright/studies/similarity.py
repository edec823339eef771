"""Similarity in closed form: the power of size with which each property of an aeroplane goes when all of it grows."""

from __future__ import annotations

from rotorwright.base.errors import InputError

MASS_POWERS = {"same": 2.0, "stock": 2.0, "grown": 3.0}
"""Sheets as thick as before: mass goes with area; everything thicker with size: with volume."""


def similarity_exponents(*, build: str = "grown", airspeed: str = "carries") -> dict[str, float]:
    """Return the power of size with which each property goes, rotors, motors and packs grown alike.

    Parameters
    ----------
    build : str
        ``same`` or ``stock`` (sheets as thick as they are) or ``grown`` (everything thicker with size).
    airspeed : str
        ``carries``: at which lift is weight at the same lift coefficient; ``same``; ``froude``: with the root of size.

    Returns
    -------
    exponents : dict
        Property → power of size [1].

    Raises
    ------
    InputError
        If a word is none of these.

    Notes
    -----
    With mass ∝ size^m and airspeed ∝ size^v, same air, same spin ratio, same materials: area 2, mass m, loading m − 2,
    Reynolds number 1 + v, rotor speed v − 1, rim speed v, lift 2 + 2v, power m + v, kinetic energy m + 2v, first
    critical of a shaft or skin −1 (bending stiffness over mass per length: size² in both builds), rotor speed over
    critical v, bending stress of the lift and weakest margin ±1 (load m, arm 1, section modulus m), period of the
    phugoid v, roll time constant m − 2 − v, swing of the Dutch roll (m − 1 − 2v)/2, spin momentum m + 1 + v, lengths
    per second v − 1. Lift is weight where v = (m − 2)/2; a similar build (m = 3) then flies at Froude speed, v = 1/2.

    Source: mechanics; S. K. Chakrabarti, Offshore Structure Modeling (1994), table of multipliers under Froude scaling
    (read secondary) for the similar build.
    """
    if build not in MASS_POWERS:
        raise InputError("is not a rule known here", field="build", found=f'"{build}"', allowed="same, stock, grown")
    m = MASS_POWERS[build]
    speeds = {"carries": (m - 2.0) / 2.0, "same": 0.0, "froude": 0.5}
    if airspeed not in speeds:
        allowed = "carries, same, froude"
        raise InputError("is not a rule known here", field="airspeed", found=f'"{airspeed}"', allowed=allowed)
    v = speeds[airspeed]
    return {
        "length": 1.0,
        "area": 2.0,
        "volume": 3.0,
        "mass": m,
        "inertia": m + 2.0,
        "loading": m - 2.0,
        "airspeed": v,
        "lift": 2.0 + 2.0 * v,
        "lift_at_old_speed": 2.0,
        "reynolds_number": 1.0 + v,
        "rotor_speed": v - 1.0,
        "rim_speed": v,
        "power": m + v,
        "kinetic_energy": m + 2.0 * v,
        "spin_energy": m + 2.0 * v,
        "spin_momentum": m + 1.0 + v,
        "impulse": m + v,
        "torque": m + 1.0,
        "first_critical": -1.0,
        "critical_share": v,
        "rim_stress": 2.0 * v,
        "lift_stress": 1.0,
        "weakest_margin": -1.0,
        "time": v if build == "grown" else 1.0 - v,
        "phugoid_period": v,
        "roll_time_constant": m - 2.0 - v,
        "dutch_roll_period": (m - 1.0 - 2.0 * v) / 2.0,
        "spans_per_second": v - 1.0,
        "sight_rate": v,
        "gravity": 0.0,
    }
