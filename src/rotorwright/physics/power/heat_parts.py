"""Warming of motor, speed controller and pack, step by step: two lumps for a motor, one for each of the others."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.physics.power.heat import COPPER_COEFFICIENT, SPECIFIC_HEAT

COPPER_SHARE = 0.20
"""Copper over motor mass, 0.15–0.25 (from memory)."""
COPPER_HEAT = 385.0
"""Specific heat of copper [J/kg/K] (handbook value, from memory)."""
CONTROLLER_HEAT = 800.0
"""Specific heat of a controller: board, switches, sink [J/kg/K] (judgement)."""
PACK_HEAT = 1000.0
"""Specific heat of a lithium-polymer pack [J/kg/K] (common practice, from memory)."""
PACK_DENSITY = 1900.0
"""Pack mass over outer volume [kg/m³] (from memory)."""
_REFERENCE = 298.15


@jit
def motor_capacities(motor_mass: float) -> tuple[float, float]:
    """Return the heat capacities of winding and case [J/K].

    Parameters
    ----------
    motor_mass : float
        [kg].

    Notes
    -----
    Winding: 0.20 m × 385 J/kg/K; whole motor 450 J/kg/K. Source: from memory, ±15 %.
    """
    winding = COPPER_SHARE * motor_mass * COPPER_HEAT
    return winding, SPECIFIC_HEAT * motor_mass - winding


@jit
def warm_motor(
    winding: float,
    case: float,
    copper_heat: float,
    winding_heat: float,
    case_heat: float,
    inner: float,
    outer: float,
    motor_mass: float,
    air: float,
    step: float,
) -> tuple[float, float]:
    """Return winding and case temperature after a time step [K].

    Parameters
    ----------
    winding, case : float
        Temperatures before [K].
    copper_heat : float
        current² × resistance at 25 °C that warms the winding [W]; it grows with the copper's temperature.
    winding_heat, case_heat : float
        Other heat put into winding and case [W].
    inner, outer : float
        Thermal resistances winding to case and case to air [K/W].
    motor_mass : float
        [kg].
    air, step : float
        Air temperature [K], time step [s].

    Notes
    -----
    Backward Euler on C_w dT_w/dt = P_c (1 + α (T_w − 25 °C)) + P_w − (T_w − T_c)/R_i and
    C_c dT_c/dt = P_k + (T_w − T_c)/R_i − (T_c − T_air)/R_o; the copper's growth is taken at the temperature before the
    step, so that a run-away grows but no step is singular. Source: closed form.
    """
    heavy, light = motor_capacities(motor_mass)
    grown = copper_heat * (1.0 + COPPER_COEFFICIENT * (winding - _REFERENCE)) + winding_heat
    a = heavy / step + 1.0 / inner
    b = 1.0 / inner
    d = light / step + 1.0 / inner + 1.0 / outer
    first = heavy / step * winding + grown
    second = light / step * case + case_heat + air / outer
    lead = a * d - b * b
    return (d * first + b * second) / lead, (b * first + a * second) / lead


@jit
def warm_lump(
    temperature: float, heat: float, resistance: float, heat_capacity: float, air: float, step: float
) -> float:
    """Return the temperature of one lump after a time step of even heat [K].

    Parameters
    ----------
    temperature : float
        Before [K].
    heat, resistance, heat_capacity : float
        Heat put in [W], thermal resistance to the air [K/W], heat capacity [J/K].
    air, step : float
        Air temperature [K], time step [s].

    Notes
    -----
    T_end + (T − T_end) exp(−t/(R C)), T_end = T_air + R P. Source: closed form.
    """
    settled = air + resistance * heat
    return settled + (temperature - settled) * math.exp(-step / (resistance * heat_capacity))


@jit
def controller_to_air(current_limit: float, airspeed: float, factors: Any) -> float:
    """Return the thermal resistance from a speed controller to the air [K/W].

    Parameters
    ----------
    current_limit : float
        Its size by its label [A].
    airspeed : float
        Air over its fins or its shrink sleeve [m/s].
    factors : record
        FACTORS: controller_cooling.

    Notes
    -----
    11 K/W (35 A/I)^½ without wind, halved by 7.5 m/s: R = R₀/(1 + v²/(v + 1 m/s)/7.5).

    Validity: 10–80 A, sleeve of 20–80 mm. Source: common practice, from memory (8–15 K/W in the 30–40 A class).
    """
    wind = airspeed * airspeed / (airspeed + 1.0)
    return 11.0 * (35.0 / current_limit) ** 0.5 / ((1.0 + wind / 7.5) * factors.controller_cooling)


@jit
def pack_to_air(pack_mass: float, airspeed: float, factors: Any) -> float:
    """Return the thermal resistance from a pack to the air [K/W].

    Parameters
    ----------
    pack_mass : float
        [kg].
    airspeed : float
        Air that passes over it [m/s].
    factors : record
        FACTORS: pack_cooling.

    Notes
    -----
    1/(h A): a block 3.2 : 1 : 0.8 of 1900 kg/m³; h = 7 + 6 √v W/m²K, half of its surface lying on foam (flat plate in
    laminar flow over the other half). The root is rounded below 0.3 m/s.

    Validity: packs of 50–1000 g strapped in a body. Source: laminar flat plate (closed form, from memory), share of the
    surface judgement.
    """
    width = (pack_mass / (PACK_DENSITY * 2.56)) ** (1.0 / 3.0)
    film = 7.0 + 6.0 * (airspeed * airspeed / (airspeed + 0.3)) ** 0.5
    if airspeed <= 0.0:
        film = 7.0
    return 1.0 / (film * 13.12 * width * width * factors.pack_cooling)
