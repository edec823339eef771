"""The record of one steady condition: speeds, forces by cause, the power ledger. All from the equation's own terms."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from rotorwright.base.jit import jit
from rotorwright.base.status import NOT_CONVERGED
from rotorwright.flight.fixed import thrust_axis
from rotorwright.flight.layout import (
    AXIAL_SPEED,
    BODY_DRAG,
    BUS_CURRENT,
    CURRENT,
    DISC_DRAG,
    DRIVE_BUS_CURRENT,
    DRIVE_CURRENT,
    DRIVE_TORQUE,
    END_DRAG,
    FRICTION,
    LIFT,
    LOCAL_SPEED,
    MOMENTS,
    MOTOR_TORQUE,
    OFF_BELOW,
    PROFILE_DRAG,
    ROTOR_SPEEDS,
    SHAFT_TORQUE,
    SURFACE_DRAG,
    THRUST,
    VOLTAGE,
    WASH_SHARE,
    WINDING_CURRENT,
    battery_block,
    rotor_block,
    thruster_block,
)
from rotorwright.flight.steady import (
    AIRSPEED,
    BANK,
    CLIMB,
    COMMAND,
    ELEVATOR,
    EXTRA_MASS,
    INCIDENCE,
    PITCH_AID,
    THROTTLE,
)
from rotorwright.physics.power.battery import endurance_from, pack_resistance, rest_voltage

FLIGHT_FIELDS = (
    "status",
    "evaluations",
    "airspeed",
    "climb",
    "incidence",
    "throttle",
    "elevator",
    "command",
    "bank",
    "extra_mass",
    "pitch_aid",
)
FORCE_FIELDS = (
    "lift",  # of everything, thrust included, square to the path [N]
    "air_lift",  # of rotors, surfaces and bodies, without thrust, square to the path
    "rotor_lift",
    "thrust",  # sum of thrusts along their axes [N]
    "drag",  # of the whole aeroplane without thrust, along the path [N]
    "rotor_profile_drag",
    "rotor_end_drag",
    "rotor_disc_drag",
    "body_drag",
    "surface_drag",
    "wash_share",
    "rolling_moment",  # about the CG [N m]
    "pitching_moment",
)
ROTOR_FIELDS = (
    "rotor_speed",  # mean of the turning rotors [rad/s]
    "spin_ratio",
    "reynolds_number",  # on diameter
    "rotor_airspeed",  # what they feel: airspeed, wash and the rest of the aeroplane's flow together, mean [m/s]
    "rim_speed",  # of the largest turning part [m/s]
    "rotor_momentum",  # sum of spin momenta [N m s]
    "rotor_energy",  # stored in all turning rotors [J]
)
LEDGER_FIELDS = (
    "traction_power",  # thrust × airspeed [W]
    "propeller_loss",
    "thruster_motor_loss",  # motor and controller
    "spin_power",  # drive shafts into the rotors
    "drive_loss",  # motor, controller, belt
    "bearing_power",
    "electronics_power",
    "pack_loss",
    "bus_power",  # what leaves the packs at their terminals
    "total_power",  # chemical: rest voltage × current
)
ELECTRIC_FIELDS = (
    "pack_current",  # of the most loaded pack [A]
    "pack_voltage",  # lowest [V]
    "motor_current",  # highest winding current of the thrusters [A]
    "drive_current",
    "drive_duty",
    "thruster_speed",  # mean shaft speed [rad/s]
    "endurance",  # from full packs to the planned reserve, at this power; the first pack to run down [s]
)
STEADY = np.dtype(
    [(name, np.float64) for name in FLIGHT_FIELDS + FORCE_FIELDS + ROTOR_FIELDS + LEDGER_FIELDS + ELECTRIC_FIELDS]
)
"""One steady condition. Fields that do not exist (no solution) are NaN."""


@jit
def record_steady(case: Any, tables: Any, work: Any, status: int, steady: Any) -> None:
    """Fill one STEADY record (one-row array) from the solution in ``work``; airspeed is NaN if there is none."""
    row = steady[0]
    flight = work.flight
    row.status = status
    row.airspeed = flight[AIRSPEED]
    row.climb = flight[CLIMB]
    row.incidence = flight[INCIDENCE]
    row.throttle = flight[THROTTLE]
    row.elevator = flight[ELEVATOR]
    row.command = flight[COMMAND]
    row.bank = flight[BANK]
    row.extra_mass = flight[EXTRA_MASS]
    row.pitch_aid = flight[PITCH_AID]
    _record_forces(case, work, steady)
    _record_rotors(case, work, steady)
    _record_power(case, tables, work, steady)
    if status == NOT_CONVERGED:
        row.airspeed = math.nan
        row.climb = math.nan
        row.extra_mass = math.nan
        row.bank = math.nan


@jit
def _record_forces(case: Any, work: Any, steady: Any) -> None:
    row = steady[0]
    loads = work.loads
    rotors = case.rotors.shape[0]
    u, w = work.air_velocity[0], work.air_velocity[2]
    speed = math.sqrt(u * u + w * w + 1.0e-12)
    thrust_x, thrust_z, thrust = 0.0, 0.0, 0.0
    for i in range(case.thrusters.shape[0]):
        ax, _, az = thrust_axis(case.thrusters[i])
        force = loads[thruster_block(rotors, i) + THRUST]
        thrust += force
        thrust_x += force * ax
        thrust_z += force * az
    row.thrust = thrust
    row.lift = (loads[0] * w - loads[2] * u) / speed
    row.air_lift = ((loads[0] - thrust_x) * w - (loads[2] - thrust_z) * u) / speed
    row.drag = -((loads[0] - thrust_x) * u + (loads[2] - thrust_z) * w) / speed
    row.rotor_lift = 0.0
    row.rotor_profile_drag, row.rotor_end_drag, row.rotor_disc_drag, row.wash_share = 0.0, 0.0, 0.0, 0.0
    for i in range(rotors):
        block = rotor_block(i)
        row.rotor_lift += loads[block + LIFT]
        row.rotor_profile_drag += loads[block + PROFILE_DRAG]
        row.rotor_end_drag += loads[block + END_DRAG]
        row.rotor_disc_drag += loads[block + DISC_DRAG]
        row.wash_share += loads[block + WASH_SHARE] / rotors
    row.rolling_moment = loads[MOMENTS]
    row.pitching_moment = loads[MOMENTS + 1]
    row.body_drag = loads[BODY_DRAG]
    row.surface_drag = loads[SURFACE_DRAG]


@jit
def _record_rotors(case: Any, work: Any, steady: Any) -> None:
    row = steady[0]
    count = 0.0
    row.rotor_speed, row.spin_ratio, row.reynolds_number, row.rotor_airspeed = 0.0, 0.0, 0.0, 0.0
    row.rim_speed, row.rotor_momentum, row.rotor_energy = 0.0, 0.0, 0.0
    air = case.air[0]
    for i in range(case.rotors.shape[0]):
        rotor = case.rotors[i]
        if rotor.turning != 1.0:
            continue
        spin = work.state[ROTOR_SPEEDS + i]
        speed = work.loads[rotor_block(i) + LOCAL_SPEED]
        count += 1.0
        row.rotor_speed += spin
        row.spin_ratio += 0.5 * spin * rotor.diameter / max(speed, 1.0e-3)
        row.rotor_airspeed += speed
        row.reynolds_number += air.density * speed * rotor.diameter / air.viscosity
        widest = max(rotor.diameter, rotor.disc_diameter * rotor.discs_turn)
        row.rim_speed = max(row.rim_speed, 0.5 * math.fabs(spin) * widest)
        row.rotor_momentum += rotor.polar_inertia * spin
        row.rotor_energy += 0.5 * rotor.polar_inertia * spin * spin
    if count > 0.0:
        row.rotor_speed /= count
        row.spin_ratio /= count
        row.reynolds_number /= count
        row.rotor_airspeed /= count


@jit
def _record_power(case: Any, tables: Any, work: Any, steady: Any) -> None:
    row = steady[0]
    loads = work.loads
    state = work.state
    rotors = case.rotors.shape[0]
    thrusters = case.thrusters.shape[0]
    factors = case.factors[0]
    row.traction_power, row.propeller_loss, row.thruster_motor_loss = 0.0, 0.0, 0.0
    row.spin_power, row.drive_loss, row.bearing_power = 0.0, 0.0, 0.0
    row.motor_current, row.drive_current, row.drive_duty, row.thruster_speed = 0.0, 0.0, 0.0, 0.0
    for i in range(thrusters):
        block = thruster_block(rotors, i)
        shaft = state[ROTOR_SPEEDS + rotors + i]
        voltage = loads[battery_block(rotors, thrusters, int(case.thrusters[i].battery)) + VOLTAGE]
        useful = loads[block + THRUST] * loads[block + AXIAL_SPEED]
        row.traction_power += useful
        row.propeller_loss += loads[block + SHAFT_TORQUE] * shaft - useful
        row.thruster_motor_loss += loads[block + BUS_CURRENT] * voltage - loads[block + MOTOR_TORQUE] * shaft
        row.motor_current = max(row.motor_current, loads[block + WINDING_CURRENT])
        row.thruster_speed += shaft / thrusters
    for i in range(rotors):
        block = rotor_block(i)
        spin = state[ROTOR_SPEEDS + i]
        row.bearing_power -= loads[block + FRICTION] * spin
        drive = int(case.rotors[i].drive)
        if drive >= 0 and case.rotors[i].turning == 1.0:
            voltage = loads[battery_block(rotors, thrusters, int(case.drives[drive].battery)) + VOLTAGE]
            shaft_power = loads[block + DRIVE_TORQUE] * spin
            row.spin_power += shaft_power + loads[block + FRICTION] * spin
            row.drive_loss += loads[block + DRIVE_BUS_CURRENT] * voltage - shaft_power
            row.drive_current = max(row.drive_current, loads[block + DRIVE_CURRENT])
            duty = work.controls[4 + thrusters + drive]
            if duty > OFF_BELOW:
                row.drive_duty = max(row.drive_duty, duty)
    if rotors == 0:
        row.bearing_power = 0.0
    row.electronics_power, row.pack_loss, row.bus_power, row.total_power = 0.0, 0.0, 0.0, 0.0
    row.pack_current, row.pack_voltage, row.endurance = 0.0, 1.0e9, 1.0e9
    for pack in range(case.batteries.shape[0]):
        battery = case.batteries[pack]
        block = battery_block(rotors, thrusters, pack)
        current = loads[block + CURRENT]
        voltage = loads[block + VOLTAGE]
        row.electronics_power += battery.steady_power
        row.pack_loss += current * current * pack_resistance(battery, factors)
        row.bus_power += current * voltage
        row.total_power += current * rest_voltage(battery, tables.power[0], factors)
        row.pack_current = max(row.pack_current, current)
        row.pack_voltage = min(row.pack_voltage, voltage)
        row.endurance = min(row.endurance, endurance_from(battery, 1.0, tables.power[0], current * voltage, factors))
