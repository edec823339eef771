"""Lays a frozen problem out for the NumPy equations: all that stays constant in a search, worked out once."""

from __future__ import annotations

from typing import Any

import numpy as np

from frozen_problem import Problem
from numpy_equations import Batch, Curve, Geometry, ramp
from rotorwright.physics.rotor.tables import BUCKET_TORQUE, OVERLAP_SLOPE, OVERLAP_TORQUE, SLOW_BUCKET_TORQUE


def _one_or_all(column: Any) -> Any:
    """Return the number that all rows have, or the column where they differ."""
    return float(column[0]) if (column == column[0]).all() else np.ascontiguousarray(column, dtype=np.float64)


def make_batch(problem: Problem) -> Batch:
    """Work out everything that stays constant, once per sample or once for all."""
    numbers, tables = problem.numbers, problem.tables
    factors = numbers.factors
    parts = (numbers.rotors, numbers.surfaces, numbers.bodies, numbers.thrusters, numbers.batteries)
    curves, power = tables.rotor[0]["curves"], tables.power[0]
    rotor, tail, body, motor, pack = (
        {name: _one_or_all(part[name][:, 0]) for name in part.dtype.names or ()} for part in parts
    )
    rho = numbers.air["density"]
    ratio, discs = rotor["span"] / rotor["diameter"], rotor["disc_diameter"] / rotor["diameter"]
    aspect_ratio = (ratio + 1.9 * discs) * factors["span_efficiency"]
    rotor_area = rotor["span"] * rotor["diameter"]
    gain = 1.5 * (1.0 - np.exp(-factors["turning_disc_gain"] * (discs - 1.0)))

    pitch_ratio = motor["pitch"] / motor["diameter"]
    assert 0.5 <= pitch_ratio <= 0.8  # the straight part of the static lines
    further = factors["propeller_zero_thrust_advance"]
    advance = (0.173 + 0.967 * pitch_ratio) * further
    blades = np.log(0.5 * motor["blades"])
    static_thrust = (0.0615 + 0.0689 * pitch_ratio) * factors["propeller_thrust"] * np.exp(0.74 * blades)
    static_power = (-0.02 + 0.1093 * pitch_ratio) * factors["propeller_power"] * np.exp(0.916 * blades)
    static_power = static_power * factors["propeller_thrust"] * further
    upper = int(np.searchsorted(power["pitch_classes"], pitch_ratio))
    weight = float(ramp(np.array(pitch_ratio), *power["pitch_classes"][upper - 1 : upper + 1]))
    thrust_shape, power_shape = (
        Curve((1.0 - weight) * power[name][upper - 1] + weight * power[name][upper])
        for name in ("thrust_shape", "power_shape")
    )
    blade = 0.5 * 1.15 * 0.21 * motor["blades"] * 0.12 * factors["propeller_stopped_drag"]

    spread = 1.0 + 4.0 * (1.0 - float(ramp(np.array(pack["charge"]), 0.0, 0.15)))
    open_cell = float(Curve(power["rest_voltage"])(np.array([pack["charge"]]))[0])
    cold = np.exp(3131.0 * (1.0 / pack["temperature"] - 1.0 / 298.0)) * (1.0 + 2.098 * np.exp(-24.37 * pack["charge"]))
    cell = pack["resistance_capacity"] * factors["battery_resistance"] / (pack["capacity"] / 3600.0)

    tail_ratio = tail["span"] ** 2 / tail["area"]
    hinge = np.arccos(2.0 * tail["control_share"] - 1.0)
    fineness = body["length"] / np.sqrt(body["width"] * body["height"])
    apparent = (fineness**2 - 1.0) / (fineness**2 + 0.6 * fineness + 0.9)
    vehicle = numbers.vehicle
    gravity = float(numbers.air["gravity"][0])
    pitch_inertia = vehicle["iyy"] - rotor["polar_inertia"]
    geometry = Geometry(
        rotor=rotor, tail=tail, body=body, motor=motor, pack=pack,
        vehicle_z=float(vehicle["z"][0]), gravity=gravity, viscosity=float(numbers.air["viscosity"][0]),
        rotor_area=rotor_area,
        torque_line=float(curves[OVERLAP_TORQUE][1, 0]), torque_slope=float(curves[OVERLAP_SLOPE][1, 0]),
        fast_shape=Curve(curves[BUCKET_TORQUE]), slow_shape=Curve(curves[SLOW_BUCKET_TORQUE]),
        thrust_shape=thrust_shape, power_shape=power_shape, pitch_ratio=pitch_ratio,
        tail_ratio=tail_ratio, tail_slope=2.0 * np.pi * tail_ratio / (2.0 + np.sqrt(4.0 + (tail_ratio / 0.9) ** 2)),
        flap=1.0 - (hinge - np.sin(hinge)) / np.pi, flap_moment=-0.5 * np.sin(hinge) * (1.0 - np.cos(hinge)),
        lift_limit=0.9 * tail["max_lift"],
        turning_volume=0.6 * body["length"] * body["width"] * body["height"] * max(apparent, 0.0),
    )  # fmt: skip
    own = {
        "rho": rho,
        "controller_duty": factors["controller_duty"],
        "controller_efficiency": factors["controller_efficiency"],
        "constant": motor["motor_speed_constant"] * factors["motor_speed_constant"],
        "resistance": factors["motor_resistance"] * motor["motor_resistance"] + motor["controller_resistance"],
        "rest": pack["cells"] * (open_cell + factors["battery_voltage"] * spread),
        "pack_resistance": pack["cells"] * cell * cold + pack["wiring_resistance"],
        "advance": advance,
        "thrust_scale": static_thrust * motor["thrust_scale"] / advance**2,
        "torque_scale": static_power * motor["power_scale"] / (2.0 * np.pi * advance**2),
        "stopped_thrust": blade,
        "stopped_torque": blade * 0.3 * pitch_ratio / np.sqrt(pitch_ratio**2 + 4.84),
        "wash_force": factors["wash_force"],
        "lift_per_spin": 1.42 * aspect_ratio / (2.0 + np.sqrt(4.0 + aspect_ratio**2)) * factors["vane_lift"],
        "plateau": factors["drum_end_cap"] * ratio * (1.0 + gain),
        "profile": 1.12 * factors["vane_drag"],
        "end_drag": 1.0 / (np.pi * aspect_ratio),
        "log_running": np.log(factors["vane_freewheel_ratio"]),
        "log_torque": np.log(factors["vane_torque"]),
        "windage": 0.2 * factors["vane_windage"],
        "stages": factors["stage_torque"] if rotor["stages"] > 1.5 else np.ones(len(factors)),
        "disc_friction": factors["disc_friction"],
        "rotor_width2": aspect_ratio * rotor_area,
        "downwash": factors["downwash"],
        "control_effectiveness": factors["control_effectiveness"],
        "section_drag": factors["surface_drag"] * tail["section_drag"],
        "tail_half": 0.5 * rho * tail["area"] * factors["tail_effectiveness"],
        "body_drag": factors["body_drag"],
        "bearing_torque": factors["bearing_friction"] * rotor["bearing_torque"],
        "bearing_drag": factors["bearing_friction"] * rotor["bearing_drag"],
        "vehicle_x": vehicle["x"],
        "per_weight": 1.0 / (vehicle["mass"] * gravity),
        "per_moment": np.sqrt(vehicle["iyy"] / vehicle["mass"]) / (pitch_inertia * gravity),
        "per_torque": 1.0 / (2.0 * rho * rotor["span"] * rotor["diameter"] ** 2 + 1.0e-5),
    }
    return Batch(geometry, {name: np.ascontiguousarray(column, dtype=np.float64) for name, column in own.items()})
