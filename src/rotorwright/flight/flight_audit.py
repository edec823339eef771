"""The books of a simulated flight: energy against work, momentum against push.

Kept step by step beside the integration and from other terms than it uses, so that what does not add up shows: a force
that does no work where it should, a gyroscopic term that does some, a step too long.
"""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit_into_caller
from rotorwright.flight.equation import rotor_momentum_inertia, rotor_spin_inertia
from rotorwright.flight.fixed import AXIS
from rotorwright.flight.layout import (
    AERO_TORQUE,
    DRIVE_TORQUE,
    FORCES,
    FRICTION,
    MOMENTS,
    MOTOR_TORQUE,
    QUATERNION,
    RATES,
    ROTOR_SPEEDS,
    SHAFT_TORQUE,
    THRUST,
    VELOCITY,
    rotor_block,
    thruster_block,
)
from rotorwright.flight.turning import body_to_earth

AUDIT_NAMES = (
    "work_of_thrust", "work_of_air_on_rotors", "work_of_drives", "work_of_bearings", "work_of_shafts", "work_of_air",
    "work_of_ground", "work_of_line", "work_of_gravity", "energy_gained", "energy_moved", "push_north", "push_east",
    "push_down", "momentum_north", "momentum_east", "momentum_down", "weight_time",
)  # fmt: skip
"""Works [J] (of air: on all but the spin of rotors, thrust left out; of shafts: what winds propellers up or down),
kinetic energy gained [J], energy moved either way [J]; pushes and momentum gained [N s], weight times time [N s]."""
(
    THRUST_WORK, ROTOR_WORK, DRIVE_WORK, BEARING_WORK, SHAFT_WORK, AIR_WORK, GROUND_WORK, LINE_WORK, GRAVITY_WORK,
    GAINED, MOVED, PUSH, _PUSH_EAST, _PUSH_DOWN, MOMENTUM, _MOMENTUM_EAST, _MOMENTUM_DOWN, WEIGHT_TIME,
) = range(18)  # fmt: skip
WORKS = 9
PUSHES = 3
AUDIT_COLUMNS = len(AUDIT_NAMES)
POWERS = WORKS + PUSHES
ENERGY_AT_START = POWERS
MOMENTUM_AT_START = POWERS + 1
BOOK_SIZE = POWERS + 1 + PUSHES
"""Length of the scratch: powers and pushes of the step before, then energy and momentum at the start."""


@jit_into_caller
def kinetic_energy(case: Any, state: Any) -> float:
    """Return the kinetic energy of airframe, rotors and shafts [J].

    Notes
    -----
    ½ m v² + ½ ω·I ω + Σ (½ J Ω² + h Ω q) + Σ ½ J_s Ω_s², J and h of `rotor_spin_inertia` and `rotor_momentum_inertia`:
    the spin is relative to the airframe and the inertia holds rotors as if locked.
    """
    vehicle = case.vehicle[0]
    u, v, w = state[VELOCITY], state[VELOCITY + 1], state[VELOCITY + 2]
    p, q, r = state[RATES], state[RATES + 1], state[RATES + 2]
    energy = 0.5 * (vehicle.mass + vehicle.extra_mass) * (u * u + v * v + w * w)
    energy += 0.5 * (vehicle.ixx * p * p + vehicle.iyy * q * q + vehicle.izz * r * r)
    energy -= vehicle.ixy * p * q + vehicle.ixz * p * r + vehicle.iyz * q * r
    rotors = case.rotors.shape[0]
    for i in range(rotors):
        if case.rotors[i].turning == 1.0:
            spin = state[ROTOR_SPEEDS + i]
            energy += 0.5 * rotor_spin_inertia(case, i) * spin * spin + rotor_momentum_inertia(case, i) * spin * q
    for i in range(case.thrusters.shape[0]):
        shaft = state[ROTOR_SPEEDS + rotors + i]
        energy += 0.5 * case.thrusters[i].spin_inertia * shaft * shaft
    return energy


@jit_into_caller
def _add_work(audit: Any, book: Any, which: int, now: float, step: float) -> None:
    """Add the work of a step by the trapezoidal rule; remember the power now."""
    work = 0.5 * step * (book[which] + now)
    audit[which] += work
    audit[MOVED] += math.fabs(work)
    book[which] = now


@jit_into_caller
def keep_books(
    case: Any, state: Any, loads: Any, without_ground: Any, line: Any, audit: Any, book: Any, step: float
) -> None:
    """Carry the books on by a step.

    Parameters
    ----------
    case : Case
    state : array
    loads : array
        As `motion_of` takes it.
    without_ground : array, shape (6,)
        Forces and moments before ground and line added their own.
    line : array
        From `rotorwright.flight.line.pull_line`.
    audit : array
        In the order of `AUDIT_NAMES`.
    book : array, shape (`BOOK_SIZE`,)
        Scratch.
    step : float
        Since the last call [s]; 0 opens the books.
    """
    vehicle, gravity = case.vehicle[0], case.air[0].gravity
    mass = vehicle.mass + vehicle.extra_mass
    rotors = case.rotors.shape[0]
    u, v, w = state[VELOCITY], state[VELOCITY + 1], state[VELOCITY + 2]
    p, q, r = state[RATES], state[RATES + 1], state[RATES + 2]
    r11, r12, r13, r21, r22, r23, r31, r32, r33 = body_to_earth(
        state[QUATERNION], state[QUATERNION + 1], state[QUATERNION + 2], state[QUATERNION + 3]
    )
    fx, fy, fz = loads[FORCES], loads[FORCES + 1], loads[FORCES + 2]
    whole = fx * u + fy * v + fz * w
    whole += loads[MOMENTS] * p + loads[MOMENTS + 1] * q + loads[MOMENTS + 2] * r
    in_air = without_ground[0] * u + without_ground[1] * v + without_ground[2] * w
    in_air += without_ground[3] * p + without_ground[4] * q + without_ground[5] * r
    by_thrust, by_shafts = 0.0, 0.0
    for i in range(case.thrusters.shape[0]):
        thruster, row, block = case.thrusters[i], case.fixed.thrusters[i], thruster_block(rotors, i)
        x, y, z = thruster.x - vehicle.x, thruster.y - vehicle.y, thruster.z - vehicle.z
        along = row[AXIS] * (u + q * z - r * y) + row[AXIS + 1] * (v + r * x - p * z)
        along += row[AXIS + 2] * (w + p * y - q * x)
        by_thrust += loads[block + THRUST] * along
        by_shafts += (loads[block + MOTOR_TORQUE] - loads[block + SHAFT_TORQUE]) * state[ROTOR_SPEEDS + rotors + i]
    on_rotors, by_drives, by_bearings = 0.0, 0.0, 0.0
    for i in range(rotors):
        if case.rotors[i].turning == 1.0:
            block, turning = rotor_block(i), q + state[ROTOR_SPEEDS + i]
            on_rotors += loads[block + AERO_TORQUE] * turning
            by_drives += loads[block + DRIVE_TORQUE] * turning
            by_bearings += loads[block + FRICTION] * turning
    _add_work(audit, book, THRUST_WORK, by_thrust, step)
    _add_work(audit, book, ROTOR_WORK, on_rotors, step)
    _add_work(audit, book, DRIVE_WORK, by_drives, step)
    _add_work(audit, book, BEARING_WORK, by_bearings, step)
    _add_work(audit, book, SHAFT_WORK, by_shafts, step)
    _add_work(audit, book, AIR_WORK, in_air - by_thrust, step)
    by_line = line[0] * u + line[1] * v + line[2] * w + line[3] * p + line[4] * q + line[5] * r
    _add_work(audit, book, GROUND_WORK, whole - in_air - by_line, step)
    _add_work(audit, book, LINE_WORK, by_line, step)
    _add_work(audit, book, GRAVITY_WORK, mass * gravity * (r31 * u + r32 * v + r33 * w), step)
    energy = kinetic_energy(case, state)
    if step == 0.0:
        book[ENERGY_AT_START] = energy
    audit[GAINED] = energy - book[ENERGY_AT_START]
    audit[WEIGHT_TIME] += mass * gravity * step
    pushes = (
        r11 * fx + r12 * fy + r13 * fz,
        r21 * fx + r22 * fy + r23 * fz,
        r31 * fx + r32 * fy + r33 * fz + mass * gravity,
    )
    going = (
        mass * (r11 * u + r12 * v + r13 * w),
        mass * (r21 * u + r22 * v + r23 * w),
        mass * (r31 * u + r32 * v + r33 * w),
    )
    for k in range(PUSHES):
        audit[PUSH + k] += 0.5 * step * (book[WORKS + k] + pushes[k])
        book[WORKS + k] = pushes[k]
        if step == 0.0:
            book[MOMENTUM_AT_START + k] = going[k]
        audit[MOMENTUM + k] = going[k] - book[MOMENTUM_AT_START + k]
