"""Loads a flight puts on a rotor: gusts as rotors feel them, turns, landings, and the gyroscopic couple.

Plain formulas; every argument may be a number or an array of samples.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from rotorwright.base.constants import GRAVITY

ULTIMATE = 1.5
"""Ultimate over limit load (14 CFR 23.2230 and 25.303, read)."""


def gust_relief(*, mass_ratio: Any) -> Any:
    """Return the share of a sharp gust that is felt when it builds up over some chords: 0.88 μ/(5.3 + μ).

    Parameters
    ----------
    mass_ratio : float or array
        μ = 2 (W/S)/(ρ c a g).

    Notes
    -----
    Source: 14 CFR 23.341, amendment 23-48 (read). Made for wings; on small rotors use 1 to be safe.
    """
    return 0.88 * mass_ratio / (5.3 + mass_ratio)


def wing_gust(
    *, gust: float, airspeed: float, lift_slope: float, area_loading: float, air_density: float, relief: float = 1.0
) -> float:
    """Return the load factor a vertical gust adds on a fixed wing: K ρ U V a/(2 W/S).

    Parameters
    ----------
    gust, airspeed : float
        [m/s]
    lift_slope : float
        Per radian.
    area_loading : float
        Weight over area [N/m²].
    air_density : float
        [kg/m³]
    relief : float
        See `gust_relief`.

    Notes
    -----
    Source: 14 CFR 23.341 (read), put into SI. Not for rotors: their lift hardly follows incidence.
    """
    return relief * air_density * gust * airspeed * lift_slope / (2.0 * area_loading)


def rotor_gust_up(
    *, gust: Any, airspeed: Any, drag_coefficient: Any, area: Any, weight: Any, air_density: Any, relief: Any = 1.0
) -> Any:
    """Return the load factor a vertical gust adds on a rotor held at constant speed.

    Parameters
    ----------
    gust, airspeed : float or array
        [m/s]
    drag_coefficient : float or array
        Of the rotors, on span times diameter.
    area : float or array
        Span times diameter of all rotors [m²].
    weight : float or array
        [N]
    air_density : float or array
        [kg/m³]
    relief : float or array

    Notes
    -----
    The lift grows with the wind it meets and tilts back with it; the two cancel, and what remains is drag turned
    upwards: Δn = K ½ ρ V_rel w S C_D/W. Drag plays the part of a wing's lift slope. Derivation: lift per span ρ V Γ,
    Γ set by the spin, w small against V.
    """
    met = np.sqrt(airspeed**2 + gust**2)
    return relief * 0.5 * air_density * met * gust * area * drag_coefficient / weight


def rotor_gust_ahead(*, gust: Any, airspeed: Any, spin_follows: bool) -> Any:
    """Return the load factor a head-on gust adds on a rotor.

    Parameters
    ----------
    gust, airspeed : float or array
        [m/s]
    spin_follows : bool
        True for a freewheeling rotor (its speed follows the wind) and for a drum beyond its lift's rise with spin.

    Notes
    -----
    Constant speed: lift ρ V Γ grows as V, Δn = u/V. Spin that follows: lift grows as V², Δn = (1 + u/V)² − 1.
    """
    share = gust / airspeed
    return (1.0 + share) ** 2 - 1.0 if spin_follows else share


def turn_load_factor(*, bank: Any) -> Any:
    """Return the load factor of a level turn: 1/cos(bank).

    Parameters
    ----------
    bank : float or array
        [rad]
    """
    return 1.0 / np.cos(bank)


def turn_rate(*, bank: Any, airspeed: Any) -> Any:
    """Return the rate of a level turn [rad/s]: g tan(bank)/V.

    Parameters
    ----------
    bank : float or array
        [rad]
    airspeed : float or array
        [m/s]
    """
    return GRAVITY * np.tan(bank) / airspeed


def gyroscopic_couple(*, polar_inertia: Any, rotor_speed: Any, turn_rate: Any) -> Any:
    """Return the couple a spinning rotor answers a turn with [N m]: I Ω ω.

    Parameters
    ----------
    polar_inertia : float or array
        [kg m²]
    rotor_speed : float or array
        [rad/s]
    turn_rate : float or array
        About an axis square to the spin [rad/s].
    """
    return polar_inertia * rotor_speed * turn_rate


def landing_load_factor(*, sink: Any, stroke: Any, efficiency: Any = 0.5) -> Any:
    """Return the load factor of a landing: 1 + v²/(2 g η s).

    Parameters
    ----------
    sink : float or array
        Speed into the ground [m/s].
    stroke : float or array
        By which gear and belly give [m].
    efficiency : float or array
        0.5 for a plain spring, 0.75 damped.

    Notes
    -----
    Work of an even share of the peak force over the stroke; closed form.
    """
    return 1.0 + sink**2 / (2.0 * GRAVITY * efficiency * stroke)
