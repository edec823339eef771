"""Calls some kernels of every room and prints what they answer (run with and without the compiler by a test)."""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from rotorwright.base import records
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.air.atmosphere import air_state, standard_atmosphere
from rotorwright.physics.airframe.surface import surface_loads
from rotorwright.physics.mass.properties import mass_properties
from rotorwright.physics.power.battery import bus_voltage, rest_voltage
from rotorwright.physics.power.motor import motor_current, motor_torque
from rotorwright.physics.power.propeller import propeller_loads
from rotorwright.physics.power.tables import power_tables
from rotorwright.physics.rotor.freewheel import freewheel_speed
from rotorwright.physics.rotor.loads import rotor_load_parts
from rotorwright.physics.rotor.tables import rotor_tables


def row(dtype: np.dtype[Any], **fields: float) -> Any:
    """One record with attribute access, compiled or not."""
    rows = np.zeros(1, dtype=dtype)
    for name, value in fields.items():
        rows[name] = value
    return rows.view(np.recarray)[0]


def answers() -> dict[str, list[float]]:
    """Every probed kernel with its numbers."""
    factors = nominal_factors(1).view(np.recarray)[0]
    drum = row(
        records.ROTOR, kind=records.DRUM, span=0.5, diameter=0.1, disc_diameter=0.2, disc_thickness=3e-3, end_discs=2.0,
        discs_turn=1.0, stages=1.0, flow=records.OUTDOOR, turning=1.0, drive=0.0,
    )  # fmt: skip
    vaned = row(
        records.ROTOR, kind=records.VANED, section=records.S_SECTION, buckets=2.0, span=0.6, diameter=0.15, stages=3.0,
        stage_phase=1.0, disc_diameter=0.2, disc_thickness=0.003, end_discs=2.0, discs_turn=1.0, flow=records.OUTDOOR,
        turning=1.0, drive=records.NONE, bearing_torque=0.001,
    )  # fmt: skip
    propeller = row(
        records.THRUSTER, kind=records.PROPELLER, diameter=0.23, pitch=0.127, blades=2.0, thrust_scale=1.0,
        power_scale=1.0, gear_ratio=1.0, working=1.0,
    )  # fmt: skip
    tail = row(records.SURFACE, kind=records.TAIL, area=0.08, span=0.5, chord=0.16, max_lift=1.0, section_drag=0.015)
    pack = row(records.BATTERY, cells=3.0, parallel=1.0, capacity=7920.0, resistance_capacity=0.03, charge=0.8,
               temperature=293.15, usable=0.8)  # fmt: skip
    masses = np.zeros(2, dtype=records.MASS)
    masses["mass"], masses["x"], masses["rotor"], masses["weighed"] = (0.6, 0.4), (-0.1, -0.4), (0.0, -1.0), (1.0, 0.0)
    rotors = np.array([drum], dtype=records.ROTOR).view(np.recarray)
    vehicle = row(records.VEHICLE)
    mass_properties(masses.view(np.recarray), rotors, factors, vehicle)
    rotor_data, power_data = rotor_tables(), power_tables()
    found: dict[str, Any] = {
        "standard_atmosphere": standard_atmosphere(1500.0),
        "air_state": air_state(300.0, 295.0, 0.6, 0.0),
        "mass_properties": [vehicle.mass, vehicle.x, vehicle.ixx, vehicle.iyy, rotors[0].polar_inertia],
        "freewheel_speed": freewheel_speed(vaned, rotor_data, 10.0, 1.2, 1.8e-5, factors),
        "rest_voltage": [rest_voltage(pack, power_data, factors)],
        "bus_voltage": [bus_voltage(11.5, 0.05, 5.0, 3.0, 10.0)],
        "motor_current": [motor_current(110.0, 0.12, 0.7, 11.0, 600.0)],
        "motor_torque": [motor_torque(110.0, 0.8, 10.0, 12.0, 600.0)],
    }
    for speed, spin in ((0.0, 0.0), (0.0, 300.0), (8.0, 0.0), (12.0, 480.0), (12.0, -200.0)):
        found[f"drum {speed} {spin}"] = rotor_load_parts(drum, rotor_data, speed, spin, 1.2, 1.8e-5, factors)
        found[f"vaned {speed} {spin}"] = rotor_load_parts(vaned, rotor_data, speed, spin, 1.2, 1.8e-5, factors)
        found[f"propeller {speed} {spin}"] = propeller_loads(propeller, power_data, speed, spin, 1.2, 1.8e-5, factors)
        found[f"tail {speed}"] = surface_loads(tail, speed, 0.2, 0.1 * speed, 0.05, 1.2, 1.8e-5, factors)
    return {name: [float(number) for number in numbers] for name, numbers in found.items()}


if __name__ == "__main__":
    print(json.dumps(answers()))
