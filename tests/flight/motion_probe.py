"""One state of motion through the whole equation, with or without the compiler; prints rates and loads."""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from rotorwright.base import records
from rotorwright.base.unknown import nominal_factors
from rotorwright.flight.equation import state_rates
from rotorwright.flight.fixed import room_for_fixed
from rotorwright.flight.layout import controls_size, loads_size, state_size
from rotorwright.flight.numbers import Case, air_record, physics_tables


def _rows(dtype: np.dtype[Any], *rows: dict[str, float]) -> Any:
    """Records with attribute access, compiled or not."""
    array = np.zeros(len(rows), dtype=dtype)
    for i, row in enumerate(rows):
        for name, value in row.items():
            array[name][i] = value
    return array.view(np.recarray)


MOTOR = {
    "motor_speed_constant": 94.0, "motor_resistance": 0.08, "motor_no_load_current": 0.9,
    "motor_no_load_voltage": 10.0, "controller_resistance": 0.005,
}  # fmt: skip
ROTOR = {
    "span": 0.7, "diameter": 0.13, "disc_diameter": 0.22, "disc_thickness": 0.003, "end_discs": 2.0, "discs_turn": 1.0,
    "stages": 1.0, "flow": records.OUTDOOR, "x": -0.33, "y": 0.42, "z": -0.06, "bearing_torque": 0.002, "turning": 1.0,
    "polar_inertia": 6e-4, "mass": 0.2,
}  # fmt: skip


def case() -> Case:
    """A drum on one side, an S-section on the other, tail, fin, body, propeller, drive, pack."""
    left = ROTOR | {"kind": records.DRUM, "y": -0.42, "drive": 0.0}
    right = ROTOR | {"kind": records.VANED, "section": records.S_SECTION, "buckets": 2.0, "drive": records.NONE}
    tail = {
        "kind": records.TAIL, "area": 0.11, "span": 0.64, "chord": 0.18, "x": -1.1, "z": -0.15, "max_lift": 0.8,
        "section_drag": 0.02, "control": 0.0, "control_share": 0.35, "control_travel": 0.4, "control_sign": 1.0,
    }  # fmt: skip
    fin = tail | {"kind": records.FIN, "tilt": 1.5708, "control": 1.0}
    body = {
        "length": 0.6, "width": 0.09, "height": 0.11, "x": -0.3, "drag_area": 0.003, "side_area": 0.04,
        "top_area": 0.03,
    }  # fmt: skip
    propeller = MOTOR | {
        "kind": records.PROPELLER, "z": -0.04, "diameter": 0.28, "pitch": 0.15, "blades": 2.0, "thrust_scale": 1.0,
        "power_scale": 1.0, "spin_inertia": 1.3e-4, "turn_sense": 1.0, "gear_ratio": 1.0, "working": 1.0,
    }  # fmt: skip
    drive = MOTOR | {
        "ratio": 3.5, "efficiency": 0.96, "idle_torque": 0.003, "speed": 200.0, "rotors": 1.0, "motor_inertia": 5e-6,
    }  # fmt: skip
    pack = {
        "cells": 4.0, "parallel": 1.0, "capacity": 11880.0, "resistance_capacity": 0.03, "charge": 0.7,
        "temperature": 298.15, "usable": 0.8, "steady_power": 2.0,
    }  # fmt: skip
    vehicle = {"mass": 2.0, "x": -0.34, "z": -0.01, "ixx": 0.08, "iyy": 0.09, "izz": 0.15, "ixz": 0.006}
    return Case(
        _rows(records.ROTOR, left, right),
        _rows(records.SURFACE, tail, fin),
        _rows(records.BODY, body),
        _rows(records.THRUSTER, propeller),
        _rows(records.DRIVE, drive),
        _rows(records.BATTERY, pack),
        _rows(records.VEHICLE, vehicle),
        air_record(1.2, 1.79e-5, 9.80665, (1.0, -2.0, 0.3)).view(np.recarray),
        nominal_factors(1).view(np.recarray),
        room_for_fixed(2, 2, 1, 1, 1),
    )


def answers() -> list[float]:
    """Rates of change and loads in a side-slipping, rolling, turning state with everything running."""
    tables = physics_tables()
    tables = tables._replace(**{name: rows.view(np.recarray) for name, rows in tables._asdict().items()})
    state = np.zeros(state_size(2, 1))
    state[:6] = 8.0, 0.7, 0.9, 0.3, 0.1, -0.2
    state[6:10] = np.array([0.9, 0.2, 0.1, -0.3]) / np.sqrt(0.95)
    state[13:] = 190.0, 110.0, 650.0
    controls = np.zeros(controls_size(1, 1))
    controls[:] = 0.2, -0.4, 0.0, 0.0, 0.7, 0.5
    loads, rates = np.zeros(loads_size(2, 1, 1)), np.zeros_like(state)
    state_rates(case(), tables, state, controls, loads, rates, np.zeros(3))
    return [float(number) for number in (*rates, *loads)]


if __name__ == "__main__":
    print(json.dumps(answers()))
