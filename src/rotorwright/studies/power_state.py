"""Currents, speeds and voltages of every motor, controller and pack in settled flight, read from its solutions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit_with_arrays
from rotorwright.flight.electrics import solve_electrics
from rotorwright.flight.layout import (
    BUS_CURRENT,
    CURRENT,
    DRIVE_BUS_CURRENT,
    DRIVE_CURRENT,
    DRIVE_TORQUE,
    MOTOR_TORQUE,
    ROTOR_SPEEDS,
    VOLTAGE,
    WINDING_CURRENT,
    battery_block,
    controls_size,
    loads_size,
    rotor_block,
    state_size,
    thruster_block,
)
from rotorwright.flight.numbers import case_of
from rotorwright.flight.solver import Solutions
from rotorwright.flight.steady import set_up

Floats = npt.NDArray[np.float64]

WINDING, MOTOR_SPEED, BUS, SHAFT_POWER, DUTY = 0, 1, 2, 3, 4
"""Columns of a motor: winding current [A], speed [rad/s], current from the pack [A], power at its shaft [W], duty."""
MOTOR_COLUMNS = 5


@jit_with_arrays
def _read_rows(numbers: Any, tables: Any, cases: Any, flights: Any, inners: Any, motors: Any, packs: Any) -> None:
    rotors, thrusters = numbers.rotors.shape[1], numbers.thrusters.shape[1]
    drives, batteries = numbers.drives.shape[1], numbers.batteries.shape[1]
    state = np.zeros(state_size(rotors, thrusters))
    controls = np.zeros(controls_size(thrusters, drives))
    loads = np.zeros(loads_size(rotors, thrusters, batteries))
    for row in range(cases.shape[0]):
        case = case_of(numbers, cases[row])
        set_up(case, flights[row], inners[row], state, controls)
        solve_electrics(case, tables, state, controls, loads)
        case.vehicle[0].extra_mass = 0.0
        for i in range(thrusters):
            block = thruster_block(rotors, i)
            speed = state[ROTOR_SPEEDS + rotors + i]
            motors[row, i, WINDING] = loads[block + WINDING_CURRENT]
            motors[row, i, MOTOR_SPEED] = speed * case.thrusters[i].gear_ratio
            motors[row, i, BUS] = loads[block + BUS_CURRENT]
            motors[row, i, SHAFT_POWER] = loads[block + MOTOR_TORQUE] * speed
            motors[row, i, DUTY] = controls[4 + i]
        for i in range(drives):
            for column in range(MOTOR_COLUMNS):
                motors[row, thrusters + i, column] = 0.0
            motors[row, thrusters + i, DUTY] = controls[4 + thrusters + i]
        for i in range(rotors):
            drive = int(case.rotors[i].drive)
            if drive >= 0 and case.rotors[i].turning == 1.0:
                block = rotor_block(i)
                place = thrusters + drive
                motors[row, place, WINDING] = loads[block + DRIVE_CURRENT]
                motors[row, place, MOTOR_SPEED] = state[ROTOR_SPEEDS + i] * case.drives[drive].ratio
                motors[row, place, BUS] += loads[block + DRIVE_BUS_CURRENT]
                motors[row, place, SHAFT_POWER] += loads[block + DRIVE_TORQUE] * state[ROTOR_SPEEDS + i]
        for i in range(batteries):
            block = battery_block(rotors, thrusters, i)
            packs[row, i, 0] = loads[block + VOLTAGE]
            packs[row, i, 1] = loads[block + CURRENT]


@dataclass(frozen=True)
class PowerState:
    """Motors (thrusters first, then rotor drives) and packs of settled rows."""

    motors: Floats
    """Shape (rows, motors, 5): see the column names of this module."""
    voltage: Floats
    """At the terminals of every pack [V], shape (rows, packs)."""
    current: Floats
    """Out of every pack [A], shape (rows, packs)."""


def power_state(rows: Solutions) -> PowerState:
    """Return what motors, controllers and packs do in solved rows.

    Parameters
    ----------
    rows : Solutions
        Solved; a row without a balance gives the best point found (a rotor that hardly turns does not matter here).

    Returns
    -------
    state : PowerState
    """
    numbers = rows.numbers
    count = len(rows.cases)
    motors = np.zeros((count, numbers.thrusters.shape[1] + numbers.drives.shape[1], MOTOR_COLUMNS))
    packs = np.zeros((count, numbers.batteries.shape[1], 2))
    _read_rows(numbers, rows.tables, rows.cases, rows.flight, rows.inner, motors, packs)
    return PowerState(motors, packs[:, :, 0], packs[:, :, 1])
