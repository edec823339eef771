"""Thrust and shaft torque of a propeller known by diameter, pitch, blade family and number of blades."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

from rotorwright.base.curves import interval_of, read_interval, smooth_step
from rotorwright.base.jit import jit, jit_into_caller
from rotorwright.base.records import BROAD_SLOW, ENGINE_TYPE
from rotorwright.physics.power.quadrants import quadrant_load
from rotorwright.physics.power.tables import PowerTables, power_tables

__all__ = ["PowerTables", "power_tables", "propeller_loads", "static_coefficients", "zero_thrust_advance"]

REFERENCE_BLADE_SPEED = 59.847
"""Speed at 0.75 radius of a 10 in propeller at 6000 rpm, at which the static lines hold [m/s]."""
REFERENCE_DIAMETER = 0.254
REFERENCE_KINEMATIC_VISCOSITY = 1.4604e-5
_PLATE = 1.15  # normal-force coefficient of a blade flat on to the stream (from memory, 1.1–1.2)
_BLADE_AREA = 0.21  # blade area over chord at 0.75 radius × radius × diameter / 2, from two printed blade plans


@jit
def static_coefficients(pitch_ratio: float, family: float) -> tuple[float, float, float]:
    """Return static thrust and power coefficient and zero-thrust advance ratio of a two-blade propeller.

    Parameters
    ----------
    pitch_ratio : float
        Pitch over diameter, label values [1].
    family : float
        NARROW, BROAD_SLOW or ENGINE_TYPE.

    Returns
    -------
    thrust_coefficient, power_coefficient, zero_thrust_advance : float
        T/(ρ n² D⁴), P/(ρ n³ D⁵), V/(n D) [1].

    Notes
    -----
    Straight lines in pitch ratio, fitted to the UIUC measurements at their highest speed (about 6000 rpm). Above 0.8
    the blade is stalled when static: the thrust line levels and power rises by at least 0.11 per unit of pitch ratio.
    Below 0.5 the lines, whose power would run below zero, blend into power laws through their values at 0.45 with the
    exponents found for propellers of known chord, 0.548 (thrust) and 1.051 (power).

    Validity: 7–19 in, pitch ratio 0.35–0.85. 1σ: thrust 0.008–0.011, power 0.006–0.011, advance 0.026–0.09.
    Source: UIUC propeller data site (Brandt, Deters, Ananda, Dantsker, Selig), family fits read secondary.
    """
    thrust_0, thrust_1 = 0.0615, 0.0689
    power_0, power_1 = -0.0200, 0.1093
    advance_0, advance_1 = 0.173, 0.967
    if family == BROAD_SLOW:
        thrust_0, thrust_1 = 0.0643, 0.1270
        power_0, power_1 = -0.0160, 0.1405
        advance_0, advance_1 = 0.244, 0.798
    elif family == ENGINE_TYPE:
        thrust_0, thrust_1 = 0.0408, 0.1055
        power_0, power_1 = -0.0040, 0.0828
        advance_0, advance_1 = 0.137, 0.991
    levelled = pitch_ratio
    stalled = 0.0
    if pitch_ratio > 0.8:
        levelled = 0.8 + 0.05 * math.tanh((pitch_ratio - 0.8) / 0.05)
        stalled = pitch_ratio - 0.85
        if pitch_ratio < 0.9:
            stalled = 5.0 * (pitch_ratio - 0.8) ** 2
    thrust = thrust_0 + thrust_1 * levelled
    power = power_0 + power_1 * pitch_ratio
    if power_1 < 0.11:
        power += (0.11 - power_1) * stalled
    if pitch_ratio < 0.5:
        flat = 1.0 - smooth_step(pitch_ratio, 0.35, 0.5)
        share = pitch_ratio / 0.45
        thrust += flat * ((thrust_0 + thrust_1 * 0.45) * share**0.548 - thrust)
        power += flat * ((power_0 + power_1 * 0.45) * share**1.051 - power)
    return thrust, power, advance_0 + advance_1 * pitch_ratio


@jit
def _advance_factor(family: float, factors: Any) -> float:
    spread = 1.0
    if family == BROAD_SLOW:
        spread = 2.0
    elif family == ENGINE_TYPE:
        spread = 1.5
    return 1.0 + spread * (factors.propeller_zero_thrust_advance - 1.0)


@jit
def zero_thrust_advance(pitch_ratio: float, family: float, factors: Any) -> float:
    """Return the advance ratio at which thrust ends [1], with the family's own share of the Unknown's spread.

    Parameters
    ----------
    pitch_ratio, family : float
        As `static_coefficients`.
    factors : record
        FACTORS: propeller_zero_thrust_advance.

    Notes
    -----
    J₀ = J₀(family, pitch ratio)·(1 + k (factor − 1)), k = 1 narrow, 1.5 engine-type, 2 broad slow.
    Source: as `static_coefficients`.
    """
    return static_coefficients(pitch_ratio, family)[2] * _advance_factor(family, factors)


class PropellerConstants(NamedTuple):
    """What stays the same of a propeller while airspeed and spin change, from `propeller_constants`."""

    advance: float
    """Zero-thrust advance ratio."""
    thrust: float
    """Static thrust coefficient over advance², at the reference Reynolds number."""
    torque: float
    """Static torque coefficient over advance², at the reference Reynolds number."""
    thrust_trend: float
    torque_trend: float
    size: float
    """Reynolds number over its reference, for each m/s of blade speed [s/m]."""
    shape: float
    """The lower of the two pitch classes it lies between …"""
    shape_weight: float
    """… and the weight of the upper one."""
    torque_floor: float
    flat_thrust: float
    """Load of the stopped propeller over ρ V² D² …"""
    flat_torque: float
    """… and its torque over ρ V² D³."""


@jit
def propeller_constants(
    thruster: Any, tables: PowerTables, air_density: float, air_viscosity: float, factors: Any
) -> PropellerConstants:
    """Return what `propeller_loads_given` needs of a propeller.

    Parameters
    ----------
    thruster, tables, air_density, air_viscosity, factors
        As `propeller_loads`.
    """
    diameter = thruster.diameter
    pitch_ratio = thruster.pitch / diameter
    family = thruster.family
    thrust_static, power_static, advance = static_coefficients(pitch_ratio, family)
    further = _advance_factor(family, factors)
    advance *= further
    thrust_trend, power_trend, chord, torque_floor = 0.12, -0.04, 0.12, 0.0
    if family == BROAD_SLOW:
        thrust_trend, power_trend, chord, torque_floor = 0.12, 0.10, 0.20, 0.14
    elif family == ENGINE_TYPE:
        chord = 0.15
    size = diameter / REFERENCE_DIAMETER * REFERENCE_KINEMATIC_VISCOSITY * air_density / air_viscosity
    blades = math.log(0.5 * thruster.blades)
    thrust_static *= math.exp(0.74 * blades) * factors.propeller_thrust * thruster.thrust_scale
    # a blade that pulls harder or further asks more power too: only what is left scatters by itself
    power_static *= math.exp(0.916 * blades) * factors.propeller_power * factors.propeller_thrust * further
    power_static *= thruster.power_scale
    last = tables.pitch_classes.shape[0] - 1
    upper = 1
    while upper < last and tables.pitch_classes[upper] < pitch_ratio:
        upper += 1
    weight = smooth_step(pitch_ratio, tables.pitch_classes[upper - 1], tables.pitch_classes[upper])
    flat_on = 0.5 * _PLATE * _BLADE_AREA * thruster.blades * chord * factors.propeller_stopped_drag
    twist = 0.3 * pitch_ratio / math.sqrt(pitch_ratio**2 + 4.84)  # arm 0.6 R, sine of the pitch angle at 0.7 R
    return PropellerConstants(
        advance,
        thrust_static / advance**2,
        power_static / (2.0 * math.pi * advance**2),
        thrust_trend,
        power_trend,
        size / REFERENCE_BLADE_SPEED,
        float(upper - 1),
        weight,
        torque_floor,
        flat_on,
        flat_on * twist,
    )


@jit
def propeller_loads(
    thruster: Any,
    tables: PowerTables,
    airspeed: float,
    shaft_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> tuple[float, float]:
    """Return thrust and the torque the propeller asks of its shaft.

    Parameters
    ----------
    thruster : record
        Row of base.records.THRUSTER: diameter, pitch, family, blades, thrust_scale, power_scale are read.
    tables : PowerTables
        From `power_tables`.
    airspeed : float
        Along the axis, positive into the disc from ahead [m/s].
    shaft_speed : float
        Of the propeller [rad/s].
    air_density, air_viscosity : float
        [kg/m³], [Pa s].
    factors : record
        FACTORS: propeller_thrust, propeller_power, propeller_zero_thrust_advance, propeller_stopped_drag.

    Returns
    -------
    thrust, torque : float
        [N], [N m]; torque is negative when the stream drives the propeller.

    Notes
    -----
    T = ρ n² D⁴ C_T0 f(y), Q = ρ n² D⁵ C_P0 g(y)/2π, y = J/J₀. f and g are read from the two neighbouring pitch classes
    and blended. C_T0 ∝ Re^a, C_P0 ∝ Re^b, a = 0.12, b = −0.04; for broad slow blades b = 0.10 (0.18 for the soft blades
    of the tunnel, −0.1 to 0.1 for the stiff ones of a motor bench). More blades: (B/2)^0.74 and (B/2)^0.916, so that a
    third blade of the same kind adds 35 % thrust for 45 % power (from memory). Broad slow blades keep more torque near
    zero thrust: + 0.14 over y 0.7–1, fitted to two printed propellers. C_P0 moves with the Unknowns of C_T0 and J₀ in
    proportion, because best efficiency, ∝ C_T0 J₀/C_P0, scatters far less (1σ 0.03–0.05) than power alone (15 %).
    Past y = 1 see `quadrant_load`; the stopped propeller is a row of flat blades with area by family.

    Validity: 7–19 in, 2000–8000 rpm, tip Mach below 0.3, y 0–1.05; windmilling ±40 %.
    Source: UIUC propeller data site; trend with Re: Deters, Ananda, Selig, AIAA 2014-2151, 2014 (read secondary).
    """
    fixed = propeller_constants(thruster, tables, air_density, air_viscosity, factors)
    return propeller_loads_given(thruster.diameter, fixed, tables, airspeed, shaft_speed, air_density)


@jit_into_caller
def propeller_loads_given(
    diameter: float,
    fixed: PropellerConstants,
    tables: PowerTables,
    airspeed: float,
    shaft_speed: float,
    air_density: float,
) -> tuple[float, float]:
    """Return `propeller_loads` of a propeller whose constants are known.

    Parameters
    ----------
    diameter : float
        [m]
    fixed : PropellerConstants
        From `propeller_constants`.
    tables, airspeed, shaft_speed, air_density
        As `propeller_loads`.
    """
    turns = shaft_speed / (2.0 * math.pi)
    blade_speed = 0.75 * math.pi * turns * diameter
    # 2 m/s keep the power law's derivative finite at rest
    reynolds = 0.5 * math.log((blade_speed**2 + airspeed**2 + 4.0) * fixed.size**2)
    # load scales: thrust = ρ D² k_T · quadrant, torque = ρ D³ k_Q · quadrant, with spin = n D J₀
    thrust_scale = fixed.thrust * math.exp(fixed.thrust_trend * reynolds)
    torque_scale = fixed.torque * math.exp(fixed.torque_trend * reynolds)

    spin = turns * diameter * fixed.advance
    y = 0.0
    if spin > 0.0 and airspeed > 0.0:
        y = 1.0
        if airspeed < spin:
            y = airspeed / spin
    weight, rest = fixed.shape_weight, 1.0 - fixed.shape_weight
    shape = int(fixed.shape)
    low = tables.thrust_shape[shape]
    high = tables.thrust_shape[shape + 1]
    at = interval_of(low, y)
    end = low.shape[1] - 1
    thrust_inside = rest * read_interval(low, at, y) + weight * read_interval(high, at, y)
    thrust_start = rest * low[2, 0] + weight * high[2, 0]
    thrust_end = rest * low[2, end] + weight * high[2, end]
    low = tables.power_shape[shape]
    high = tables.power_shape[shape + 1]
    torque_inside = rest * read_interval(low, at, y) + weight * read_interval(high, at, y)
    torque_inside += fixed.torque_floor * smooth_step(y, 0.7, 1.0)
    torque_start = rest * low[2, 0] + weight * high[2, 0]
    torque_end = rest * low[2, end] + weight * high[2, end]
    torque_join = rest * low[1, end] + weight * high[1, end] + fixed.torque_floor

    thrust = quadrant_load(
        airspeed, spin, thrust_inside, thrust_start, 1.0, 0.0, thrust_end, fixed.flat_thrust / thrust_scale, 0.5
    )
    torque = quadrant_load(
        airspeed, spin, torque_inside, torque_start, 1.0, torque_join, torque_end, fixed.flat_torque / torque_scale, 1.0
    )
    return (
        air_density * diameter**2 * thrust_scale * thrust,
        air_density * diameter**3 * torque_scale * torque,
    )
