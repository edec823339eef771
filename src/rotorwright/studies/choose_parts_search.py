"""The compiled search through motors × propellers or fans × cells: a level and a full-throttle state for each."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.records import FAN
from rotorwright.physics.power.battery import bus_voltage, pack_resistance, rest_voltage
from rotorwright.physics.power.heat import steady_temperature, temperature_after, thermal_resistance
from rotorwright.physics.power.heat_parts import motor_capacities
from rotorwright.physics.power.motor import (
    bus_terms,
    effective_resistance,
    effective_speed_constant,
    motor_current,
    motor_torque,
    no_load_current_at,
    switching_share,
)
from rotorwright.physics.power.thruster import thruster_loads

(STATUS, MASS, FULL_THRUST, LEVEL_POWER, LEVEL_DUTY, FULL_CURRENT, MOTOR_USE, PACK_USE, SPEED_USE, LEVEL_WARMTH,
 FULL_WARMTH, NEEDED, AIRSPEED) = range(13)  # fmt: skip
COLUMNS = 13
FITS, TOO_WEAK, TOO_FAST, TOO_MUCH_CURRENT, TOO_HOT = 0.0, 1.0, 2.0, 3.0, 4.0
WHY = {
    FITS: "fits",
    TOO_WEAK: "too little thrust in the air",
    TOO_FAST: "propeller or fan beyond its speed",
    TOO_MUCH_CURRENT: "motor or cells beyond their current",
    TOO_HOT: "motor too hot",
}
COMFORT = 0.9
"""Share of every limit that a good choice stays within at full throttle."""
LEVEL_WARM, FULL_WARM = 383.15, 403.15
"""Winding settled in level flight, and after half a minute of full throttle on top [K]: caution and stop."""
BURST = 30.0


@jit
def full_throttle(
    row: Any, motor: Any, tables: Any, rest: float, resistance: float, steady: float, count: float, airspeed: float,
    density: float, viscosity: float, factors: Any,
) -> tuple[float, float, float, float]:  # fmt: skip
    """Return shaft speed, thrust, winding current and bus voltage of one of several equal thrusters at full throttle.

    Parameters
    ----------
    row : record
        THRUSTER row with the propulsor's numbers.
    motor : tuple of float
        Effective speed constant, effective resistance, no-load current, voltage of that.
    tables : PowerTables
    rest, resistance, steady : float
        Pack rest voltage [V], resistance [ohm], constant load [W].
    count : float
        Thrusters on this pack.
    airspeed, density, viscosity : float
        [m/s], [kg/m³], [Pa s].
    factors : record

    Notes
    -----
    Regula falsi (Illinois) on motor torque less the propulsor's, pack voltage in closed form.
    """
    low, high = 1.0, rest * motor[0]
    low_gap, high_gap = 1.0, -1.0
    speed, thrust, current, voltage = 0.0, 0.0, 0.0, rest
    for k in range(40):
        if k == 0:
            speed = 0.7 * high
        elif k < 3 or high_gap - low_gap == 0.0:
            speed = 0.5 * (low + high)
        else:
            speed = (low * high_gap - high * low_gap) / (high_gap - low_gap)
        a, b = bus_terms(motor[0], motor[1], 1.0, speed, factors)
        voltage = bus_voltage(rest, resistance, steady, count * a, count * b)
        current = motor_current(motor[0], motor[1], 1.0, voltage, speed)
        thrust, asked = thruster_loads(row, tables, airspeed, speed, density, viscosity, factors)
        gap = motor_torque(motor[0], motor[2], motor[3], current, speed) - asked
        if math.fabs(gap) < 1.0e-5 + 1.0e-4 * math.fabs(asked) or high - low < 0.05:
            break
        if gap > 0.0:
            low, low_gap = speed, gap
            high_gap *= 0.5
        else:
            high, high_gap = speed, gap
            low_gap *= 0.5
    return speed, thrust, current, voltage


@jit
def shaft_speed_for(
    row: Any, tables: Any, wanted: float, start: float, airspeed: float, density: float, viscosity: float, factors: Any
) -> tuple[float, float]:
    """Return the shaft speed that gives a thrust [rad/s] and the torque there [N m].

    Parameters
    ----------
    row : record
        THRUSTER row.
    tables : PowerTables
    wanted : float
        Thrust [N].
    start : float
        A shaft speed that gives more [rad/s].
    airspeed, density, viscosity : float
        [m/s], [kg/m³], [Pa s].
    factors : record
    """
    low, high = 0.0, start
    speed, torque = start, 0.0
    for _ in range(30):
        thrust, torque = thruster_loads(row, tables, airspeed, speed, density, viscosity, factors)
        if math.fabs(thrust - wanted) < 1.0e-4 * wanted:
            break
        if thrust > wanted:
            high = speed
        else:
            low = speed
        step = speed * 0.5 * (wanted - thrust) / max(thrust, 0.2 * wanted)
        speed = speed + step
        if not low < speed < high:
            speed = 0.5 * (low + high)
    return speed, torque


@jit
def judge(row: Any, part: Any, battery: Any, tables: Any, need: Any, factors: Any, found: Any) -> None:
    """Judge one combination.

    Parameters
    ----------
    row : record
        THRUSTER row with propulsor and motor.
    part : tuple of float
        Burst current [A], speed limit of the propulsor [rad/s], mass of the set with controller [kg].
    battery : record
        BATTERY row.
    tables : PowerTables
    need : array, shape (11,)
        Thrust of one thruster in level flight and with the reserve [N], airspeed [m/s], mass of the aeroplane without
        the sets [kg], mass for which the first three hold [kg], thrusters, density, viscosity, air temperature [K],
        constant load [W], most pack current [A].
    factors : record
    found : array, shape (13,)
        Filled.
    """
    burst, speed_limit, set_mass = part
    count, density, viscosity, air, steady = need[5], need[6], need[7], need[8], need[9]
    mass = need[3] + count * set_mass
    ratio = mass / need[4]
    airspeed = need[2] * math.sqrt(ratio)
    level, reserve = need[0] * ratio, need[1] * ratio
    constant = effective_speed_constant(row.motor_speed_constant, factors)
    resistance = effective_resistance(row.motor_resistance, row.controller_resistance, factors)
    motor = (constant, resistance, row.motor_no_load_current, row.motor_no_load_voltage)
    rest = rest_voltage(battery, tables, factors)
    pack = pack_resistance(battery, factors)
    found[MASS], found[NEEDED], found[AIRSPEED] = mass, reserve, airspeed
    speed, thrust, current, voltage = full_throttle(
        row, motor, tables, rest, pack, steady, count, airspeed, density, viscosity, factors
    )
    found[FULL_THRUST] = thrust
    found[FULL_CURRENT] = current
    found[MOTOR_USE] = current / burst
    drawn = count * (1.0 + switching_share(factors)) * current + steady / voltage
    found[PACK_USE] = drawn / need[10]
    found[SPEED_USE] = speed / speed_limit
    found[STATUS] = FITS
    if not thrust >= reserve:
        found[STATUS] = TOO_WEAK
        return
    if found[SPEED_USE] > COMFORT:
        found[STATUS] = TOO_FAST
        return
    if found[MOTOR_USE] > COMFORT or found[PACK_USE] > COMFORT:
        found[STATUS] = TOO_MUCH_CURRENT
        return
    turning, torque = shaft_speed_for(row, tables, level, speed, airspeed, density, viscosity, factors)
    idle = no_load_current_at(constant, motor[2], motor[3], turning)
    cruise = torque * constant + idle
    volts = turning / constant + cruise * resistance
    bus = rest
    for _ in range(6):
        bus = rest - pack * (count * (volts / bus + switching_share(factors)) * cruise + steady / bus)
    found[LEVEL_DUTY] = volts / bus
    drawn = count * (found[LEVEL_DUTY] + switching_share(factors)) * cruise + steady / bus
    found[LEVEL_POWER] = bus * drawn
    disc = 0.25 * math.pi * row.diameter**2
    if row.kind == FAN:
        disc = 2.0 * row.exit_area
    wash = 0.5 * (airspeed + math.sqrt(airspeed * airspeed + 2.0 * level / (density * disc)))
    path = thermal_resistance(row.motor_mass, wash, turning, factors)
    warm = factors.winding_heat_share * factors.motor_resistance * row.motor_resistance
    settled = steady_temperature(warm * cruise * cruise, idle * turning / constant, path, air)
    wash = 0.5 * (airspeed + math.sqrt(airspeed * airspeed + 2.0 * thrust / (density * disc)))
    path = thermal_resistance(row.motor_mass, wash, speed, factors)
    idle = no_load_current_at(constant, motor[2], motor[3], speed)
    hot = steady_temperature(warm * current * current, idle * speed / constant, path, air)
    light, heavy = motor_capacities(row.motor_mass)
    found[LEVEL_WARMTH] = settled
    found[FULL_WARMTH] = temperature_after(settled, hot, (light + heavy) * path, BURST)
    if settled > LEVEL_WARM or found[FULL_WARMTH] > FULL_WARM:
        found[STATUS] = TOO_HOT


@jit
def search(
    motors: Any, propulsors: Any, packs: Any, currents: Any, controllers: Any, row: Any, tables: Any, need: Any,
    factors: Any, found: Any, first: int, last: int,
) -> None:  # fmt: skip
    """Judge all combinations of the motors first … last − 1.

    Parameters
    ----------
    motors, propulsors : arrays of MOTOR_CLASS, PROPULSOR_CLASS
    packs : array of BATTERY, shape (cells,)
    currents : array, shape (cells,)
        Most current of each pack [A].
    controllers : array, shape (motors, cells, 2)
        Resistance [ohm] and mass [kg] of the controller that suits motor and cells.
    row : array of THRUSTER, shape (1,)
        Scratch.
    tables : PowerTables
    need : array
        As `judge`; scratch in its last place.
    factors : record
    found : array, shape (motors, propulsors, cells, 13)
    first, last : int
    """
    thruster = row[0]
    for i in range(first, last):
        motor = motors[i]
        thruster.motor_speed_constant = motor.speed_constant
        thruster.motor_resistance = motor.resistance
        thruster.motor_no_load_current = motor.no_load_current
        thruster.motor_mass = motor.mass
        for j in range(propulsors.shape[0]):
            disc = propulsors[j]
            thruster.kind = disc.kind
            thruster.diameter = disc.diameter
            thruster.pitch = disc.pitch
            thruster.family = disc.family
            thruster.blades = disc.blades
            thruster.exit_area = disc.exit_area
            for k in range(packs.shape[0]):
                thruster.controller_resistance = controllers[i, k, 0]
                burst = motor.burst_power / (3.7 * packs[k].cells)
                need[10] = currents[k]
                part = (burst, disc.speed_limit, motor.mass + disc.mass + controllers[i, k, 1])
                judge(thruster, part, packs[k], tables, need, factors, found[i, j, k])
