"""Steady flight as the root of the equation of motion: one joint Newton, no nested roots.

Nine *flight variables* describe a steady condition. Any three of them may be free (then the forward, upward and
pitching balance fix them), or none (then only rotors, motors and packs settle at a given flight condition). The
*inner unknowns* settle in the same Newton: speed of every rotor that is not governed, duty of every governing drive,
shaft speed of every thruster. A solve that fails is a result: status code, best point, residual.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit, jit_into_caller, jit_with_arrays
from rotorwright.flight.equation import state_rates_of_fixed
from rotorwright.flight.fixed import fix
from rotorwright.flight.layout import (
    AERO_TORQUE,
    DRIVE_TORQUE,
    FRICTION,
    MOTOR_TORQUE,
    OFF,
    OFF_BELOW,
    POSITION,
    QUATERNION,
    RATES,
    ROTOR_SPEEDS,
    SHAFT_TORQUE,
    controls_size,
    loads_size,
    rotor_block,
    state_size,
    thruster_block,
)

# the flight variables
AIRSPEED, CLIMB, INCIDENCE, THROTTLE, ELEVATOR, COMMAND, BANK, EXTRA_MASS, PITCH_AID = 0, 1, 2, 3, 4, 5, 6, 7, 8
FLIGHT_VARIABLES = 9
"""`PITCH_AID` is a made-up pitching moment [N m], zero in flight: free, it tells how much pitch control is missing."""

PATH_LIMIT = 0.995
"""Sine of the steepest path the search tries; steeper is no flight."""

Floats = npt.NDArray[np.float64]


class Work(NamedTuple):
    """Scratch of one thread, and the last solution in it."""

    flight: Floats  # the flight variables
    inner: Floats  # the inner unknowns
    state: Floats
    controls: Floats
    loads: Floats
    rates: Floats
    air_velocity: Floats
    unknown: Floats
    trial: Floats
    residual: Floats
    trial_residual: Floats
    step: Floats
    scale: Floats
    inverse: Floats  # of the Jacobian
    matrix: Floats


@jit_with_arrays
def work_space(rotors: int, thrusters: int, drives: int, batteries: int) -> Work:
    """Return scratch for an aeroplane with that many parts."""
    inner = max(rotors + drives + thrusters, 1)
    n = inner + 3
    state = state_size(rotors, thrusters)
    return Work(
        np.zeros(FLIGHT_VARIABLES),
        np.zeros(inner),
        np.zeros(state),
        np.zeros(controls_size(thrusters, drives)),
        np.zeros(loads_size(rotors, thrusters, batteries)),
        np.zeros(state),
        np.zeros(3),
        np.zeros(n),
        np.zeros(n),
        np.zeros(n),
        np.zeros(n),
        np.zeros(n),
        np.zeros(n),
        np.zeros((n, n)),
        np.zeros((n, n)),
    )


@jit
def is_governing(case: Any, drive: int, command: float) -> bool:
    """Return whether a drive holds its commanded speed (governed and switched on)."""
    return bool(case.drives[drive].governed == 1.0 and command > OFF_BELOW)


@jit
def speed_is_free(case: Any, rotor: int, command: float) -> bool:
    """Return whether a rotor's speed is an inner unknown (turning, and not held by a governing drive)."""
    if case.rotors[rotor].turning != 1.0:
        return False
    row = int(case.rotors[rotor].drive)
    return row < 0 or not is_governing(case, row, command)


@jit_into_caller
def inner_count(case: Any, command: float) -> int:
    """Return how many inner unknowns there are at this drive command."""
    count = 0
    for i in range(case.rotors.shape[0]):
        if speed_is_free(case, i, command):
            count += 1
    for i in range(case.drives.shape[0]):
        if is_governing(case, i, command):
            count += 1
    for i in range(case.thrusters.shape[0]):
        if case.thrusters[i].working == 1.0:
            count += 1
    return count


@jit_into_caller
def set_up(case: Any, flight: Any, inner: Any, state: Any, controls: Any) -> None:
    """Write state and controls of a steady condition (coordinated turn if banked, wings level if not)."""
    speed = flight[AIRSPEED]
    incidence = flight[INCIDENCE]
    bank = flight[BANK]
    command = flight[COMMAND]
    case.vehicle[0].extra_mass = flight[EXTRA_MASS]
    u = speed * math.cos(incidence)
    w = speed * math.sin(incidence)
    path = flight[CLIMB] / max(speed, 0.1)
    path = min(max(path, -PATH_LIMIT), PATH_LIMIT)
    # climb = cos α sin θ − sin α cos φ cos θ, solved for the pitch angle θ
    pitch = math.asin(path) + incidence
    state[RATES], state[RATES + 1], state[RATES + 2] = 0.0, 0.0, 0.0
    if bank != 0.0:
        a = math.cos(incidence)
        b = math.sin(incidence) * math.cos(bank)
        pitch = math.asin(min(max(path / math.sqrt(a * a + b * b), -1.0), 1.0)) + math.atan2(b, a)
        turn = (
            case.air[0].gravity * math.cos(pitch) * math.sin(bank)
            / (u * math.cos(bank) * math.cos(pitch) + w * math.sin(pitch))
        )  # fmt: skip
        state[RATES] = -turn * math.sin(pitch)
        state[RATES + 1] = turn * math.sin(bank) * math.cos(pitch)
        state[RATES + 2] = turn * math.cos(bank) * math.cos(pitch)
    state[0], state[1], state[2] = u, 0.0, w
    cp, sp = math.cos(0.5 * pitch), math.sin(0.5 * pitch)
    cb, sb = math.cos(0.5 * bank), math.sin(0.5 * bank)
    state[QUATERNION], state[QUATERNION + 1] = cb * cp, sb * cp
    state[QUATERNION + 2], state[QUATERNION + 3] = cb * sp, -sb * sp
    for k in range(3):
        state[POSITION + k] = 0.0
    controls[0] = flight[ELEVATOR]
    controls[1], controls[2], controls[3] = 0.0, 0.0, 0.0
    rotors = case.rotors.shape[0]
    thrusters = case.thrusters.shape[0]
    k = 0
    for i in range(rotors):
        if speed_is_free(case, i, command):
            state[ROTOR_SPEEDS + i] = inner[k]
            k += 1
        elif case.rotors[i].turning == 1.0:
            state[ROTOR_SPEEDS + i] = command * case.drives[int(case.rotors[i].drive)].speed
        else:
            state[ROTOR_SPEEDS + i] = 0.0
    for i in range(case.drives.shape[0]):
        if command <= OFF_BELOW:
            controls[4 + thrusters + i] = OFF
        elif is_governing(case, i, command):
            controls[4 + thrusters + i] = inner[k]
            k += 1
        else:
            controls[4 + thrusters + i] = command
    for i in range(thrusters):
        if case.thrusters[i].working == 1.0:
            controls[4 + i] = flight[THROTTLE]
            state[ROTOR_SPEEDS + rotors + i] = inner[k]
            k += 1
        else:
            controls[4 + i] = OFF
            state[ROTOR_SPEEDS + rotors + i] = 0.0


@jit
def _rotor_torque(loads: Any, rotor: int) -> float:
    block = rotor_block(rotor)
    return loads[block + AERO_TORQUE] + loads[block + FRICTION] + loads[block + DRIVE_TORQUE]


@jit
def _torque_scale(case: Any, rotor: int) -> float:
    row = case.rotors[rotor]
    return 2.0 * case.air[0].density * row.span * row.diameter * row.diameter + 1.0e-5


@jit
def residuals(case: Any, tables: Any, work: Any, free: Any, unknown: Any, residual: Any) -> None:
    """Fill the scaled residuals at ``unknown`` = (free flight variables, inner unknowns)."""
    fix(case, tables)
    residuals_of_fixed(case, tables, work, free, unknown, residual)


@jit_into_caller
def residuals_of_fixed(case: Any, tables: Any, work: Any, free: Any, unknown: Any, residual: Any) -> None:
    """Do what `residuals` does, for a case whose constants are fixed."""
    flight, inner, loads = work.flight, work.inner, work.loads
    count = free.shape[0]
    for k in range(count):
        flight[free[k]] = unknown[k]
    command = flight[COMMAND]
    n = inner_count(case, command)
    for k in range(n):
        inner[k] = unknown[count + k]
    set_up(case, flight, inner, work.state, work.controls)
    state_rates_of_fixed(case, tables, work.state, work.controls, loads, work.rates, work.air_velocity)
    vehicle = case.vehicle[0]
    if count == 3:
        share = 1.0 / case.air[0].gravity
        arm = math.sqrt(vehicle.iyy / vehicle.mass)
        residual[0] = work.rates[0] * share
        residual[1] = work.rates[2] * share
        residual[2] = (work.rates[RATES + 1] + flight[PITCH_AID] / vehicle.iyy) * arm * share
    k = count
    for i in range(case.rotors.shape[0]):
        if speed_is_free(case, i, command):
            residual[k] = _rotor_torque(loads, i) / _torque_scale(case, i)
            k += 1
    for i in range(case.drives.shape[0]):
        if is_governing(case, i, command):
            total = work.controls[4 + case.thrusters.shape[0] + i]  # a drive whose rotors all stand gets no duty
            scale = 1.0
            first = True
            for j in range(case.rotors.shape[0]):
                if int(case.rotors[j].drive) == i and case.rotors[j].turning == 1.0:
                    if first:
                        total, scale, first = 0.0, 1.0e-6, False
                    total += _rotor_torque(loads, j)
                    scale += _torque_scale(case, j)
            residual[k] = total / scale
            k += 1
    for i in range(case.thrusters.shape[0]):
        if case.thrusters[i].working == 1.0:
            block = thruster_block(case.rotors.shape[0], i)
            scale = 0.02 + 0.05 * math.fabs(loads[block + SHAFT_TORQUE])
            residual[k] = (loads[block + MOTOR_TORQUE] - loads[block + SHAFT_TORQUE]) / scale
            k += 1
