"""The electrical side of the equation of motion: motors, controllers and packs at given shaft speeds.

Every controller draws a current that is linear in the pack voltage at given shaft speeds, so the pack voltage has a
closed form and no inner iteration is needed.
"""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit, jit_into_caller
from rotorwright.flight.fixed import PACK_RESISTANCE, REST_VOLTAGE, fix_batteries
from rotorwright.flight.layout import (
    BELT_TORQUE,
    BUS_CURRENT,
    CURRENT,
    DRIVE_BUS_CURRENT,
    DRIVE_CURRENT,
    DRIVE_TORQUE,
    MOTOR_TORQUE,
    OFF_BELOW,
    ROTOR_SPEEDS,
    VOLTAGE,
    WINDING_CURRENT,
    battery_block,
    rotor_block,
    thruster_block,
)
from rotorwright.physics.power.battery import bus_voltage
from rotorwright.physics.power.motor import (
    bus_terms,
    effective_duty,
    effective_resistance,
    effective_speed_constant,
    motor_current,
    motor_torque,
)

TORQUE_ROUNDING = 1.0e-4
"""Width over which the sense of a belt loss turns when its torque changes sign [N m]."""
SPEED_ROUNDING = 2.0
"""Width over which a belt's idle drag turns when the rotor changes sense [rad/s]."""


@jit
def _thruster_duty(throttle: float, factors: Any) -> float:
    """Return the controller's duty at a throttle; off stays off."""
    if throttle <= OFF_BELOW:
        return throttle
    return effective_duty(throttle, factors)


@jit_into_caller
def solve_electrics(case: Any, tables: Any, state: Any, controls: Any, loads: Any) -> None:
    """Fill pack voltages and currents, motor currents and torques of all thrusters and drives into ``loads``.

    ``controls`` holds the duty of each thruster and drive after the four stick channels; off means coasting.
    """
    fix_batteries(case, tables)
    settle_electrics(case, state, controls, loads)


@jit_into_caller
def settle_electrics(case: Any, state: Any, controls: Any, loads: Any) -> None:
    """Do what `solve_electrics` does, for a case whose constants are fixed."""
    rotors = case.rotors.shape[0]
    thrusters = case.thrusters.shape[0]
    factors = case.factors[0]
    for pack in range(case.batteries.shape[0]):
        battery = case.batteries[pack]
        slope = 0.0
        offset = 0.0
        for i in range(thrusters):
            thruster = case.thrusters[i]
            duty = _thruster_duty(controls[4 + i], factors)
            if thruster.battery == pack and thruster.working == 1.0 and duty > OFF_BELOW:
                speed = state[ROTOR_SPEEDS + rotors + i] * thruster.gear_ratio
                a, b = bus_terms(
                    effective_speed_constant(thruster.motor_speed_constant, factors),
                    effective_resistance(thruster.motor_resistance, thruster.controller_resistance, factors),
                    duty,
                    speed,
                    factors,
                )
                slope += a
                offset += b
        for i in range(rotors):
            row = int(case.rotors[i].drive)
            if row >= 0 and case.rotors[i].turning == 1.0:
                drive = case.drives[row]
                duty = controls[4 + thrusters + row]
                if drive.battery == pack and duty > OFF_BELOW:
                    a, b = bus_terms(
                        effective_speed_constant(drive.motor_speed_constant, factors),
                        effective_resistance(drive.motor_resistance, drive.controller_resistance, factors),
                        duty,
                        state[ROTOR_SPEEDS + i] * drive.ratio,
                        factors,
                    )
                    slope += a / drive.rotors
                    offset += b / drive.rotors
        rest = case.fixed.batteries[pack, REST_VOLTAGE]
        resistance = case.fixed.batteries[pack, PACK_RESISTANCE]
        voltage = bus_voltage(rest, resistance, battery.steady_power, slope, offset)
        block = battery_block(rotors, thrusters, pack)
        loads[block + VOLTAGE] = voltage
        loads[block + CURRENT] = slope * voltage - offset + battery.steady_power / voltage
    for i in range(thrusters):
        _thruster_motor(case, i, state, controls, loads)
    for i in range(rotors):
        _rotor_drive(case, i, state, controls, loads)


@jit_into_caller
def _thruster_motor(case: Any, i: int, state: Any, controls: Any, loads: Any) -> None:
    rotors = case.rotors.shape[0]
    thrusters = case.thrusters.shape[0]
    factors = case.factors[0]
    thruster = case.thrusters[i]
    block = thruster_block(rotors, i)
    duty = _thruster_duty(controls[4 + i], factors)
    constant = effective_speed_constant(thruster.motor_speed_constant, factors)
    speed = state[ROTOR_SPEEDS + rotors + i] * thruster.gear_ratio
    current = 0.0
    draw = 0.0
    if thruster.working == 1.0 and duty > OFF_BELOW:
        resistance = effective_resistance(thruster.motor_resistance, thruster.controller_resistance, factors)
        voltage = loads[battery_block(rotors, thrusters, int(thruster.battery)) + VOLTAGE]
        current = motor_current(constant, resistance, duty, voltage, speed)
        a, b = bus_terms(constant, resistance, duty, speed, factors)
        draw = a * voltage - b
    torque = motor_torque(constant, thruster.motor_no_load_current, thruster.motor_no_load_voltage, current, speed)
    loads[block + MOTOR_TORQUE] = torque * thruster.gear_ratio
    loads[block + WINDING_CURRENT] = current
    loads[block + BUS_CURRENT] = draw


@jit_into_caller
def _rotor_drive(case: Any, i: int, state: Any, controls: Any, loads: Any) -> None:
    rotors = case.rotors.shape[0]
    thrusters = case.thrusters.shape[0]
    factors = case.factors[0]
    block = rotor_block(i)
    loads[block + DRIVE_TORQUE] = 0.0
    loads[block + DRIVE_CURRENT] = 0.0
    loads[block + DRIVE_BUS_CURRENT] = 0.0
    loads[block + BELT_TORQUE] = 0.0
    row = int(case.rotors[i].drive)
    if row < 0 or case.rotors[i].turning != 1.0:
        return
    drive = case.drives[row]
    duty = controls[4 + thrusters + row]
    rotor_speed = state[ROTOR_SPEEDS + i]
    speed = rotor_speed * drive.ratio
    constant = effective_speed_constant(drive.motor_speed_constant, factors)
    current = 0.0
    if duty > OFF_BELOW:
        resistance = effective_resistance(drive.motor_resistance, drive.controller_resistance, factors)
        voltage = loads[battery_block(rotors, thrusters, int(drive.battery)) + VOLTAGE]
        current = motor_current(constant, resistance, duty, voltage, speed)
        a, b = bus_terms(constant, resistance, duty, speed, factors)
        loads[block + DRIVE_BUS_CURRENT] = (a * voltage - b) / drive.rotors
    torque = motor_torque(constant, drive.motor_no_load_current, drive.motor_no_load_voltage, current, speed)
    loss = (1.0 - drive.efficiency) * math.sqrt(torque * torque + TORQUE_ROUNDING * TORQUE_ROUNDING)
    belt = drive.ratio * loss / drive.rotors + drive.idle_torque * math.tanh(rotor_speed / SPEED_ROUNDING)
    loads[block + DRIVE_CURRENT] = current
    loads[block + BELT_TORQUE] = belt
    loads[block + DRIVE_TORQUE] = drive.ratio * torque / drive.rotors - belt
