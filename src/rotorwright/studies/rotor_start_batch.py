"""The compiled loops behind `rotor_start`: every sample of the Unknowns through the torque balance."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.physics.rotor.bearings import bearing_friction
from rotorwright.physics.rotor.freewheel import freewheel_speed
from rotorwright.physics.rotor.loads import rotor_load_parts, rotor_torque
from rotorwright.physics.rotor.start import friction_limit, net_torque, spin_history, spin_up_time
from rotorwright.physics.rotor.tables import Floats, RotorTables

RUNNING, STILL, FROM_REST, FROM_HAND, MOST_FRICTION, WITH_MORE, SETTLING, LIFT, DRAG, LOSING = range(10)
COLUMNS = 10
"""Columns of `start_batch`."""


@jit
def start_batch(
    rotor: Any,
    stiffer: Any,
    tables: RotorTables,
    airspeed: float,
    rotor_speed: float,
    free: float,
    hand_speed: float,
    share: float,
    later_airspeed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
    out: Floats,
) -> None:
    """Fill, per case: running speed, torque at rest, times, friction limit, time constants, lift and drag.

    ``stiffer`` is the rotor with a little more friction. `COLUMNS` columns by the names above: speeds [rad/s], torques
    [N m], times [s], forces [N].
    """
    for case in range(out.shape[0]):
        row = factors[case]
        speed = rotor_speed
        if free == 1.0:
            speed, _ = freewheel_speed(rotor, tables, airspeed, air_density, air_viscosity, row)
        out[case, RUNNING] = speed
        out[case, STILL] = rotor_torque(rotor, tables, airspeed, 0.0, air_density, air_viscosity, row)
        out[case, MOST_FRICTION] = friction_limit(rotor, tables, airspeed, air_density, air_viscosity, row)
        out[case, WITH_MORE], _ = freewheel_speed(stiffer, tables, airspeed, air_density, air_viscosity, row)
        parts = rotor_load_parts(rotor, tables, airspeed, speed, air_density, air_viscosity, row)
        out[case, LIFT], out[case, DRAG] = parts[0], parts[1] + parts[2] + parts[3]
        out[case, FROM_REST], out[case, FROM_HAND] = math.nan, math.nan
        out[case, SETTLING], out[case, LOSING] = math.nan, math.nan
        if rotor.polar_inertia > 0.0:
            out[case, FROM_REST], _ = spin_up_time(rotor, tables, airspeed, 0.0, share, air_density, air_viscosity, row)
            out[case, FROM_HAND], _ = spin_up_time(
                rotor, tables, airspeed, hand_speed, share, air_density, air_viscosity, row
            )
            if speed > 0.0:
                near = net_torque(rotor, tables, airspeed, 0.97 * speed, air_density, air_viscosity, row)
                if free == 1.0:
                    out[case, SETTLING] = rotor.polar_inertia * 0.03 * speed / near
                torque = rotor_torque(rotor, tables, later_airspeed, speed, air_density, air_viscosity, row)
                torque -= bearing_friction(rotor, speed, row)
                out[case, LOSING] = rotor.polar_inertia * speed / abs(torque)


@jit
def history_batch(
    rotor: Any,
    tables: RotorTables,
    start_speeds: Floats,
    start_airspeed: float,
    end_airspeed: float,
    acceleration: float,
    drive_torque: float,
    drive_speed: float,
    step: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
    out: Floats,
) -> None:
    """Fill one `spin_history` per case, shape (cases, rows, 4)."""
    for case in range(out.shape[0]):
        spin_history(
            rotor, tables, start_speeds[case], start_airspeed, end_airspeed, acceleration, drive_torque, drive_speed,
            step, air_density, air_viscosity, factors[case], out[case],
        )  # fmt: skip


@jit
def freewheel_batch(
    rotor: Any,
    tables: RotorTables,
    airspeeds: Floats,
    air_density: float,
    air_viscosity: float,
    factors: Any,
    out: Floats,
) -> None:
    """Fill the freewheel speed of every case at every airspeed [rad/s], shape (cases, airspeeds)."""
    for case in range(out.shape[0]):
        for place in range(airspeeds.shape[0]):
            out[case, place], _ = freewheel_speed(
                rotor, tables, airspeeds[place], air_density, air_viscosity, factors[case]
            )
