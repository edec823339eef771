"""Thrust and shaft torque of a ducted fan by momentum through its exit area."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.physics.power.quadrants import quadrant_load

EXIT_SHARE = 0.57
"""Usual exit area over diameter²: nozzle 0.9 of the swept annulus, hub 0.44 of the diameter."""


@jit
def fan_overall_efficiency(diameter: float) -> float:
    """Return static jet power over electrical power of a fan with a typical motor [1].

    Parameters
    ----------
    diameter : float
        Of the fan [m].

    Notes
    -----
    η_o = 0.65 − 0.33·exp(−(D − 52.5 mm)/39 mm): 0.32 at 50–55 mm, 0.41 at 64, 0.44 at 70, 0.52 at 90, never above 0.65.

    Validity: 50–90 mm, clean inlet lip and cone, ±20 %; only 55 mm rests on a measurement.
    Source: hobby bench of a 55 mm unit (2007) and a tutorial of 2007, read secondary; the trend with size is judgement.
    """
    return 0.65 - 0.33 * math.exp(-(diameter - 0.0525) / 0.039)


@jit
def fan_motor_efficiency(diameter: float) -> float:
    """Return shaft power over electrical power of the motor and controller usual for this size of fan [1].

    Parameters
    ----------
    diameter : float
        Of the fan [m].

    Notes
    -----
    0.86 − 0.09·exp(−(D − 50 mm)/40 mm): 0.77 at 50 mm, 0.80 at 64 mm, 0.83 at 90 mm. It splits the overall efficiency
    as η_o = η_fan·η_motor, so that a fan turned by its own modelled motor and one asked by electrical power agree.

    Validity: 50–90 mm, ±5 %. Source: common practice, no source (0.72–0.88 by power, from memory).
    """
    return 0.86 - 0.09 * math.exp(-(diameter - 0.05) / 0.04)


@jit
def fan_power_coefficient(diameter: float) -> float:
    """Return static shaft power over ρ·(tip speed)³·(usual exit area) [1].

    Parameters
    ----------
    diameter : float
        Of the fan [m].

    Notes
    -----
    Derived: shaft power = ½ ρ A k³ U³/η_fan with k = exit speed over tip speed. Computed size classes (exit speed from
    η_o, tip speed 110–140 m/s) give k = 0.30, 0.35, 0.43, 0.52 at 50, 64, 70, 90 mm; k = 0.62 − 0.33·exp(−(D − 50)/42)
    runs through them within 0.04. Real units of one size differ by a factor of two in power at equal speed, which the
    Unknown ``fan_power`` carries.

    Validity: 50–90 mm. Source: derived here, no measurement.
    """
    flow = 0.62 - 0.33 * math.exp(-(diameter - 0.05) / 0.042)
    efficiency = fan_overall_efficiency(diameter) / fan_motor_efficiency(diameter)
    return 0.5 * flow**3 / efficiency


@jit
def fan_loads(
    thruster: Any, airspeed: float, shaft_speed: float, air_density: float, factors: Any
) -> tuple[float, float]:
    """Return thrust and the torque the fan asks of its shaft.

    Parameters
    ----------
    thruster : record
        Row of base.records.THRUSTER: diameter, exit_area, installation, thrust_scale, power_scale are read.
    airspeed : float
        Along the axis [m/s].
    shaft_speed : float
        [rad/s].
    air_density : float
        [kg/m³].
    factors : record
        FACTORS: fan_efficiency, fan_installation, fan_power.

    Returns
    -------
    thrust, torque : float
        [N], [N m].

    Notes
    -----
    Static: P_jet = η_fan·P_shaft, P_jet = ½ ρ A_e v_e³, T = ρ A_e v_e². At speed, with y = V/v_e:
    T/T₀ = 1 − 0.86 y − 0.10 y², which stays within 0.03 of the lower of two laws (constant jet power,
    v³ − V² v = v_e³, and 1 − 0.9 y) up to y = 0.7 and ends at y = 1.03; Q/Q₀ = 1 − 0.05 y − 0.20 y² (the fan unloads).
    A stopped fan drags 0.8 of the dynamic pressure on its exit area.

    Validity: 50–90 mm, y below 0.8.
    Source: momentum theory; lapse and stopped drag common practice, no source (from memory).
    """
    diameter = thruster.diameter
    usual_exit = EXIT_SHARE * diameter**2
    power_coefficient = fan_power_coefficient(diameter) * factors.fan_power * thruster.power_scale
    efficiency = fan_overall_efficiency(diameter) / fan_motor_efficiency(diameter) * factors.fan_efficiency
    # exit speed over tip speed, from jet power through this exit
    flow = (2.0 * efficiency * power_coefficient * usual_exit / thruster.exit_area) ** (1.0 / 3.0)
    installation = thruster.installation
    if installation <= 0.0:
        installation = factors.fan_installation
    spin = flow * 0.5 * diameter * shaft_speed
    y = 0.0
    if spin > 0.0 and airspeed > 0.0:
        y = 1.0
        if airspeed < spin:
            y = airspeed / spin
    thrust = quadrant_load(airspeed, spin, 1.0 - 0.86 * y - 0.10 * y * y, -0.86, 1.0, 0.04, -1.06, 0.4, 0.3)
    torque = quadrant_load(airspeed, spin, 1.0 - 0.05 * y - 0.20 * y * y, -0.05, 1.0, 0.75, -0.45, 0.05, 1.0)
    # Q = P/Ω = ρ c U² D/2 A, and spin² = flow² U²
    torque_scale = power_coefficient * usual_exit * 0.5 * diameter / flow**2
    return (
        air_density * thruster.exit_area * installation * thruster.thrust_scale * thrust,
        air_density * torque_scale * torque,
    )
