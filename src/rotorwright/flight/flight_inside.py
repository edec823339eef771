"""What goes on inside an aeroplane while it flies: governors, windings and packs, and what is made to happen."""

from __future__ import annotations

from typing import Any

from rotorwright.base.jit import jit_into_caller
from rotorwright.flight.equation import rotor_momentum_inertia, rotor_spin_inertia
from rotorwright.flight.fixed import fix_batteries
from rotorwright.flight.flight_rows import (
    DRIVE_STOPS,
    KILL,
    MOTOR_STOPS,
    PACK_SAGS,
    ROTOR_SLOWS,
    ROTOR_STOPS,
    SERVO_REVERSES,
    SERVO_STICKS,
    SLOWED,
)
from rotorwright.flight.layout import (
    CURRENT,
    DRIVE_CURRENT,
    OFF,
    RATES,
    ROTOR_SPEEDS,
    VOLTAGE,
    WINDING_CURRENT,
    battery_block,
    rotor_block,
    thruster_block,
)
from rotorwright.flight.pilot import within
from rotorwright.physics.power.heat import (
    heat_time_constant,
    steady_temperature,
    temperature_after,
    thermal_resistance,
)

GOVERNOR_GAIN, GOVERNOR_PACE = 3.0, 4.0
"""Duty for a relative error of a held rotor speed [1], and its growth with time [1/s]."""
START_CURRENT = 30.0
"""Current to which a drive's controller holds its motor while spinning up, where no limit is stated [A]."""


@jit_into_caller
def fill_stiffness(case: Any, room: Any) -> None:
    """Fill how fast a motor pulls each rotor and shaft back to its speed [1/s]: ratio² /(k² R I)."""
    rotors = case.rotors.shape[0]
    for i in range(rotors):
        row = int(case.rotors[i].drive)
        room.stiff[i] = 0.0
        if row >= 0:
            drive = case.drives[row]
            resistance = drive.motor_resistance + drive.controller_resistance
            slope = (drive.ratio / drive.motor_speed_constant) ** 2 / resistance / drive.rotors
            if drive.governed == 1.0:
                slope *= 1.0 + 1.5 * GOVERNOR_GAIN
            room.stiff[i] = slope / rotor_spin_inertia(case, i)
    for i in range(case.thrusters.shape[0]):
        thruster = case.thrusters[i]
        resistance = thruster.motor_resistance + thruster.controller_resistance
        slope = (thruster.gear_ratio / thruster.motor_speed_constant) ** 2 / resistance
        room.stiff[rotors + i] = 1.5 * slope / thruster.spin_inertia


@jit_into_caller
def happen(case: Any, room: Any, kind: int, part: float) -> None:
    """Let one event happen."""
    rotors = case.rotors.shape[0]
    for i in range(rotors):
        if part < 0.0 or int(part) == i:
            if kind == ROTOR_STOPS and case.rotors[i].turning == 1.0:
                # it seizes: the airframe takes over its momentum
                carried = rotor_momentum_inertia(case, i) * room.state[ROTOR_SPEEDS + i]
                room.state[RATES + 1] += carried / case.vehicle[0].iyy
                case.rotors[i].turning = 0.0
                room.state[ROTOR_SPEEDS + i] = 0.0
            elif kind == ROTOR_SLOWS:
                case.rotors[i].bearing_torque *= SLOWED
                case.rotors[i].bearing_drag *= SLOWED
                row = int(case.rotors[i].drive)
                if row >= 0:
                    room.governors[row] = -2.0
    for i in range(case.thrusters.shape[0]):
        if (kind == MOTOR_STOPS and (part < 0.0 or int(part) == i)) or kind == KILL:
            case.thrusters[i].working = 0.0
    for i in range(case.drives.shape[0]):
        if (kind == DRIVE_STOPS and (part < 0.0 or int(part) == i)) or kind == KILL:
            room.governors[i] = -2.0
    for i in range(case.batteries.shape[0]):
        if kind == PACK_SAGS and (part < 0.0 or int(part) == i):
            case.batteries[i].cells = max(case.batteries[i].cells - 1.0, 1.0)
    if kind == SERVO_STICKS:
        room.held[0, int(part)] = 1.0
    elif kind == SERVO_REVERSES:
        room.held[1, int(part)] = 1.0 - room.held[1, int(part)]


@jit_into_caller
def command_drives(case: Any, room: Any, command: float, parting: float, step: float) -> None:
    """Fill the duty of every drive: governed ones hold their speed, within what the controller lets through.

    Drives of one side part by ``parting`` of their speed, left faster if positive.
    """
    rotors, thrusters = case.rotors.shape[0], case.thrusters.shape[0]
    for i in range(case.drives.shape[0]):
        at = 4 + thrusters + i
        drive = case.drives[i]
        if room.governors[i] <= -2.0 or command < 0.0:
            room.controls[at] = OFF
            continue
        speed, count, right = 0.0, 0.0, 0.0
        for j in range(rotors):
            if int(case.rotors[j].drive) == i and case.rotors[j].turning == 1.0:
                right += 1.0 if case.rotors[j].y > 0.0 else -1.0
                speed += room.state[ROTOR_SPEEDS + j]
                count += 1.0
        if count == 0.0:
            room.controls[at] = OFF
            continue
        speed /= count
        limit = drive.controller_current_limit
        if limit <= 0.0:
            limit = START_CURRENT
        voltage = max(room.loads[battery_block(rotors, thrusters, int(drive.battery)) + VOLTAGE], 1.0)
        resistance = drive.motor_resistance + drive.controller_resistance
        most = (max(speed, 0.0) * drive.ratio / drive.motor_speed_constant + limit * resistance) / voltage
        most = min(most, 1.0)
        if drive.governed == 1.0:
            target = command * drive.speed * (1.0 - parting * right / count)
            error = (target - speed) / max(drive.speed, 1.0)
            duty = room.governors[i] + GOVERNOR_GAIN * error
            if 0.0 < duty < most:
                room.governors[i] = within(room.governors[i] + GOVERNOR_PACE * error * step, 0.0, 1.0)
        else:
            duty = command
        room.controls[at] = within(duty, 0.0, most)


@jit_into_caller
def warm_and_drain(case: Any, tables: Any, script: Any, room: Any, airspeed: float, step: float) -> float:
    """Carry battery charge and winding temperatures on by an outer step; return the hottest rise over its limit."""
    rotors, thrusters, drives = case.rotors.shape[0], case.thrusters.shape[0], case.drives.shape[0]
    factors = case.factors[0]
    for i in range(case.batteries.shape[0]):
        drawn = room.loads[battery_block(rotors, thrusters, i) + CURRENT] * step
        case.batteries[i].charge = max(case.batteries[i].charge - drawn / case.batteries[i].capacity, 0.0)
    fix_batteries(case, tables)
    worst = 0.0
    air = script.air_temperature
    for i in range(thrusters + drives):
        if i < thrusters:
            mass, resistance = case.thrusters[i].motor_mass, case.thrusters[i].motor_resistance
            current = room.loads[thruster_block(rotors, i) + WINDING_CURRENT]
            speed = room.state[ROTOR_SPEEDS + rotors + i] * case.thrusters[i].gear_ratio
        else:
            drive = case.drives[i - thrusters]
            mass, resistance = drive.motor_mass, drive.motor_resistance
            current, speed = 0.0, 0.0
            for j in range(rotors):
                if int(case.rotors[j].drive) == i - thrusters:
                    current = room.loads[rotor_block(j) + DRIVE_CURRENT]
                    speed = room.state[ROTOR_SPEEDS + j] * drive.ratio
        copper = factors.winding_heat_share * factors.motor_resistance * resistance * current * current
        path = thermal_resistance(mass, airspeed, abs(speed), factors)
        settled = steady_temperature(copper, 0.0, path, air)
        constant = heat_time_constant(mass, path, copper)
        room.windings[i] = temperature_after(room.windings[i], settled, constant, step)
        worst = max(worst, (room.windings[i] - air) / (script.winding_limit - air))
    return worst
