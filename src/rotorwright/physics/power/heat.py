"""Winding temperature of a motor: one warm lump that loses heat through its case to the air."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.curves import smooth_max
from rotorwright.base.jit import jit

COPPER_COEFFICIENT = 0.00393
"""Rise of copper's resistance [1/K] from 25 °C (handbook value, from memory)."""
SPECIFIC_HEAT = 450.0
"""Of a whole motor [J/kg/K], ±15 % (from memory)."""
OPEN_BELL = 2.5
"""Heat that moving air takes from a bell open at both ends, over that of a closed cylinder of its size (judgement)."""
_REFERENCE_TEMPERATURE = 298.15


@jit
def winding_to_case(motor_mass: float, factors: Any) -> float:
    """Return the thermal resistance from winding to case [K/W].

    Parameters
    ----------
    motor_mass : float
        [kg].
    factors : record
        FACTORS: heat_transfer.

    Notes
    -----
    0.6 (0.1 kg/m)^0.6: the usual 1.5 lowered because an open bell draws air over its windings; two published ratings
    with a time (80 g: 21 A for 180 s; 108 g: 50 A for 30 s, read secondary) would not be survived with 1.5.

    Validity: outrunners 25–200 g. Source: judgement.
    """
    return 0.6 * (0.1 / motor_mass) ** 0.6 / factors.heat_transfer


@jit
def case_to_air(motor_mass: float, airspeed: float, motor_speed: float, factors: Any) -> float:
    """Return the thermal resistance from a motor's case to the air [K/W].

    Parameters
    ----------
    motor_mass : float
        [kg].
    airspeed : float
        Air over the motor [m/s].
    motor_speed : float
        Of the turning bell [rad/s].
    factors : record
        FACTORS: heat_transfer.

    Notes
    -----
    1/(h A), h = (h₀³ + (2.5 h_flow)³ + (2.5 h_spin)³)^⅓: h₀ 11 W/m²K natural convection and radiation; h_flow of a
    cylinder in cross-flow; h_spin of a turning cylinder, Nu = 0.1 Re^⅔; 2.5 because moving air wets an open bell inside
    as well. The motor is a cylinder 35 mm (m/0.1 kg)^⅓ across, as long as 0.97 of that.

    Validity: outrunners 25–200 g in the open, not in a closed cowl.
    Source: S. W. Churchill and M. Bernstein, J. Heat Transfer 99 (1977) 300 (from memory); turning cylinder from
    memory; 2.5 judgement, held against the two timed ratings named at `winding_to_case`.
    """
    diameter = 0.035 * (motor_mass / 0.1) ** (1.0 / 3.0)
    area = math.pi * diameter * diameter * (0.97 + 0.5)
    conductivity, viscosity, prandtl = 0.0264, 1.6e-5, 0.71
    reynolds = (airspeed * airspeed + 1.0e-6) ** 0.5 * diameter / viscosity
    nusselt = (
        0.3
        + 0.62
        * reynolds**0.5
        * prandtl ** (1.0 / 3.0)
        / (1.0 + (0.4 / prandtl) ** (2.0 / 3.0)) ** 0.25
        * (1.0 + (reynolds / 282000.0) ** 0.625) ** 0.8
    )
    flow = OPEN_BELL * nusselt * conductivity / diameter
    spin_reynolds = 0.5 * diameter * diameter * motor_speed / viscosity
    spin = OPEN_BELL * 0.1 * conductivity / diameter
    film = (11.0**3 + flow**3 + spin**3 * spin_reynolds**2) ** (1.0 / 3.0)
    return 1.0 / (film * area * factors.heat_transfer)


@jit
def thermal_resistance(motor_mass: float, airspeed: float, motor_speed: float, factors: Any) -> float:
    """Return the thermal resistance from winding to air.

    Parameters
    ----------
    motor_mass : float
        [kg].
    airspeed : float
        Air over the motor [m/s].
    motor_speed : float
        Of the turning bell [rad/s].
    factors : record
        FACTORS: heat_transfer.

    Returns
    -------
    resistance : float
        [K/W].

    Notes
    -----
    `winding_to_case` and `case_to_air` in series; formulas, validity and sources there.
    """
    return winding_to_case(motor_mass, factors) + case_to_air(motor_mass, airspeed, motor_speed, factors)


@jit
def steady_temperature(copper_heat: float, other_heat: float, resistance: float, air_temperature: float) -> float:
    """Return the temperature the winding settles at [K].

    Parameters
    ----------
    copper_heat : float
        current² × resistance at 25 °C that warms the winding [W]; it grows with the copper's temperature.
    other_heat : float
        Heat that does not grow [W].
    resistance : float
        From `thermal_resistance` [K/W].
    air_temperature : float
        [K].

    Returns
    -------
    temperature : float
        [K]; where the feedback would run away, a very high but finite number.

    Notes
    -----
    ΔT = R (P_c (1 + α (T_air − 25 °C)) + P_o)/(1 − α P_c R), the denominator held above 0.05 (rounded over 0.02).
    Source: closed form.
    """
    warm = copper_heat * (1.0 + COPPER_COEFFICIENT * (air_temperature - _REFERENCE_TEMPERATURE)) + other_heat
    denominator = smooth_max(1.0 - COPPER_COEFFICIENT * copper_heat * resistance, 0.05, 0.02)
    return air_temperature + resistance * warm / denominator


@jit
def heat_time_constant(motor_mass: float, resistance: float, copper_heat: float) -> float:
    """Return the time constant of the winding's warming [s]: heat capacity × thermal resistance, stretched by feedback.

    Parameters
    ----------
    motor_mass : float
        [kg].
    resistance : float
        From `thermal_resistance` [K/W].
    copper_heat : float
        As `steady_temperature` [W].

    Notes
    -----
    τ = 450 J/kg/K·m·R/(1 − α P_c R), denominator as in `steady_temperature`.
    Source: closed form; specific heat from memory.
    """
    denominator = smooth_max(1.0 - COPPER_COEFFICIENT * copper_heat * resistance, 0.05, 0.02)
    return SPECIFIC_HEAT * motor_mass * resistance / denominator


@jit
def temperature_after(start: float, steady: float, time_constant: float, time: float) -> float:
    """Return the temperature a time after the load came on [K].

    Parameters
    ----------
    start, steady : float
        [K].
    time_constant, time : float
        [s].

    Notes
    -----
    steady + (start − steady)·exp(−t/τ). Source: closed form.
    """
    return steady + (start - steady) * math.exp(-time / time_constant)
