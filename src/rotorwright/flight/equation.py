"""The one equation of motion: (aeroplane numbers, state, controls) → forces, moments, state rates.

Steady flight is its root, modes its Jacobian, simulation its integral, the energy ledger its terms. Rigid body with
spinning rotors, flat Earth. The spin of a rotor is relative to the airframe; the inertia holds the rotors as if locked.
Source of the angular-momentum terms: B. Etkin and L. D. Reid, Dynamics of Flight, 3rd ed. (1996), eq. 4.6,2 (read).
"""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit, jit_into_caller
from rotorwright.base.records import FAN, FIN, TAIL, WING
from rotorwright.flight.electrics import settle_electrics
from rotorwright.flight.fixed import AXIS, TURNING_VOLUME, fix, propeller_row, rotor_row, surface_row
from rotorwright.flight.fixed import thrust_axis as thrust_axis
from rotorwright.flight.layout import (
    AERO_TORQUE,
    AXIAL_SPEED,
    BODY_DRAG,
    DRIVE_TORQUE,
    FORCES,
    FRICTION,
    LIFT,
    MOMENTS,
    MOTOR_TORQUE,
    POSITION,
    QUATERNION,
    RATES,
    ROTOR_SPEEDS,
    SHAFT_TORQUE,
    SURFACE_DRAG,
    THRUST,
    VELOCITY,
    rotor_block,
    thruster_block,
)
from rotorwright.flight.rotor_forces import add_rotor, start_wash, wash_over
from rotorwright.flight.turning import angular_acceleration, body_to_earth, quaternion_rates
from rotorwright.physics.airframe.body import body_loads_given
from rotorwright.physics.airframe.downwash import downwash_angle
from rotorwright.physics.airframe.surface import surface_loads_given
from rotorwright.physics.power.fan import fan_loads
from rotorwright.physics.power.propeller import propeller_loads_given

STILL = 1.0e-12
THIN = 0.05
"""Dynamic pressure below which the ground spares a surface no drag [Pa]."""
OFF_CENTRE = 0.1
"""A rotor whose middle lies further than this share of its span from the centre line counts as half of a pair."""


@jit_into_caller
def _add_thrusters(case: Any, tables: Any, air_velocity: Any, speed: float, state: Any, loads: Any) -> None:
    air = case.air[0]
    vehicle = case.vehicle[0]
    rotors = case.rotors.shape[0]
    p, q, r = state[3], state[4], state[5]
    for i in range(case.thrusters.shape[0]):
        thruster = case.thrusters[i]
        block = thruster_block(rotors, i)
        row = case.fixed.thrusters[i]
        ax, ay, az = row[AXIS], row[AXIS + 1], row[AXIS + 2]
        x, y, z = thruster.x - vehicle.x, thruster.y - vehicle.y, thruster.z - vehicle.z
        u = air_velocity[0] + q * z - r * y
        v = air_velocity[1] + r * x - p * z
        w = air_velocity[2] + p * y - q * x
        axial = u * ax + v * ay + w * az
        shaft = state[ROTOR_SPEEDS + rotors + i]
        if thruster.kind == FAN:
            thrust, torque = fan_loads(thruster, axial, shaft, air.density, case.factors[0])
        else:
            thrust, torque = propeller_loads_given(
                thruster.diameter, propeller_row(row), tables.power[0], axial, shaft, air.density
            )
        loads[block + THRUST] = thrust
        loads[block + SHAFT_TORQUE] = torque
        loads[block + AXIAL_SPEED] = axial
        start_wash(thruster, ax, az, speed, air.density, block, loads)
        reaction = -thruster.turn_sense * loads[block + MOTOR_TORQUE]
        loads[FORCES] += thrust * ax
        loads[FORCES + 1] += thrust * ay
        loads[FORCES + 2] += thrust * az
        loads[MOMENTS] += thrust * (y * az - z * ay) + reaction * ax
        loads[MOMENTS + 1] += thrust * (z * ax - x * az) + reaction * ay
        loads[MOMENTS + 2] += thrust * (x * ay - y * ax) + reaction * az


@jit
def rotor_downwash(case: Any, loads: Any, x: float, z: float, dynamic_pressure: float, sense: float) -> float:
    """Return the downwash of the rotors at a point on the centre line [rad]; halves of a pair count as one wing.

    ``sense`` is 1, or −1 for rotors that push down: their images in the ground.
    """
    factors = case.factors[0]
    angle = 0.0
    pair_lift = 0.0
    pair_span = 0.0
    pair_gain = 0.0
    pair_x = 0.0
    pair_z = 0.0
    halves = 0.0
    for i in range(case.rotors.shape[0]):
        rotor = case.rotors[i]
        lift = sense * loads[rotor_block(i) + LIFT]
        wide = rotor_row(case.fixed.rotors[i]).wide
        if math.fabs(rotor.y) > OFF_CENTRE * rotor.span:
            pair_lift += lift
            pair_span += rotor.span
            pair_gain += wide * wide / (rotor.span * rotor.span * (1.0 + rotor.inner_end))
            pair_x += rotor.x
            pair_z += rotor.z
            halves += 1.0
        else:
            angle += downwash_angle(lift, dynamic_pressure, wide, rotor.x - x, rotor.z - z, factors)
    if halves > 0.0:
        wide = pair_span * math.sqrt(pair_gain / halves)
        angle += downwash_angle(pair_lift, dynamic_pressure, wide, pair_x / halves - x, pair_z / halves - z, factors)
    return angle


@jit_into_caller
def _add_surfaces(case: Any, air_velocity: Any, speed: float, state: Any, controls: Any, loads: Any) -> None:
    air = case.air[0]
    vehicle = case.vehicle[0]
    factors = case.factors[0]
    p, q, r = state[3], state[4], state[5]
    pressure = 0.5 * air.density * speed * speed
    deep = 1.0 / air.ground_nearness if air.ground_nearness > 0.0 else 0.0
    wing_lift = 0.0
    wing_span = 0.0
    wing_x = 0.0
    wing_z = 0.0
    for kind in (WING, TAIL, FIN):
        for i in range(case.surfaces.shape[0]):
            surface = case.surfaces[i]
            if surface.kind != kind or not surface.area > 0.0:
                continue
            fixed = surface_row(case.fixed.surfaces[i])
            x, y, z = surface.x - vehicle.x, surface.y - vehicle.y, surface.z - vehicle.z
            flat, upright = math.fabs(fixed.cos_tilt), math.fabs(fixed.sin_tilt)
            wide = surface.span * flat + 0.5 * surface.chord * upright
            tall = surface.span * upright + 0.5 * surface.chord * flat
            share, wash_x, wash_z = wash_over(
                case.thrusters, factors, case.rotors.shape[0], loads, surface.x, surface.y, surface.z, wide, tall
            )
            u = air_velocity[0] + q * z - r * y + share * wash_x
            v = air_velocity[1] + r * x - p * z
            w = air_velocity[2] + p * y - q * x + share * wash_z
            if kind != WING:
                angle = rotor_downwash(case, loads, surface.x, surface.z, pressure, 1.0)
                if deep > 0.0:
                    angle += rotor_downwash(case, loads, surface.x, surface.z - deep, pressure, -1.0)
                if wing_span > 0.0:
                    angle += downwash_angle(
                        wing_lift, pressure, wing_span, wing_x - surface.x, wing_z - surface.z, factors
                    )
                    if deep > 0.0:
                        angle += downwash_angle(
                            -wing_lift, pressure, wing_span, wing_x - surface.x, wing_z - surface.z + deep, factors
                        )
                w -= angle * u
            deflection = 0.0
            channel = int(surface.control)
            if channel >= 0:
                deflection = controls[channel] * surface.control_sign * surface.control_travel
            fx, fy, fz, pitching = surface_loads_given(surface, fixed, u, v, w, deflection, air.density, air.viscosity)
            if kind == WING:
                wing_lift -= fz
                if air.ground_relief > 0.0:
                    local = u * u + w * w + STILL
                    spared = fixed.induced_drag * fz * fz / ((0.5 * air.density * local + THIN) * surface.area)
                    spared *= air.ground_relief / math.sqrt(local)
                    fx += spared * u
                    fz += spared * w
                wing_span = max(wing_span, surface.span + 2.0 * math.fabs(surface.y))
                wing_x, wing_z = surface.x, surface.z
            loads[SURFACE_DRAG] -= (fx * air_velocity[0] + fy * air_velocity[1] + fz * air_velocity[2]) / speed
            loads[FORCES] += fx
            loads[FORCES + 1] += fy
            loads[FORCES + 2] += fz
            loads[MOMENTS] += y * fz - z * fy
            loads[MOMENTS + 1] += z * fx - x * fz + pitching * fixed.cos_tilt
            loads[MOMENTS + 2] += x * fy - y * fx + pitching * fixed.sin_tilt


@jit_into_caller
def _add_bodies(case: Any, air_velocity: Any, speed: float, state: Any, loads: Any) -> None:
    air = case.air[0]
    vehicle = case.vehicle[0]
    p, q, r = state[3], state[4], state[5]
    for i in range(case.bodies.shape[0]):
        body = case.bodies[i]
        x, y, z = body.x - vehicle.x, body.y - vehicle.y, body.z - vehicle.z
        share, wash_x, wash_z = wash_over(
            case.thrusters,
            case.factors[0],
            case.rotors.shape[0],
            loads,
            body.x,
            body.y,
            body.z,
            body.width,
            body.height,
        )
        u = air_velocity[0] + q * z - r * y + share * wash_x
        v = air_velocity[1] + r * x - p * z
        w = air_velocity[2] + p * y - q * x + share * wash_z
        fx, fy, fz, mx, my, mz = body_loads_given(
            body, case.fixed.bodies[i, TURNING_VOLUME], u, v, w, air.density, case.factors[0]
        )
        loads[BODY_DRAG] -= (fx * air_velocity[0] + fy * air_velocity[1] + fz * air_velocity[2]) / speed
        loads[FORCES] += fx
        loads[FORCES + 1] += fy
        loads[FORCES + 2] += fz
        loads[MOMENTS] += mx + y * fz - z * fy
        loads[MOMENTS + 1] += my + z * fx - x * fz
        loads[MOMENTS + 2] += mz + x * fy - y * fx


@jit_into_caller
def forces_and_moments(case: Any, tables: Any, air_velocity: Any, state: Any, controls: Any, loads: Any) -> None:
    """Fill ``loads``: forces [N] and moments about the CG [N m] on the airframe, and every part's own block.

    Parameters
    ----------
    case : Case
        One aeroplane, its constants fixed (`rotorwright.flight.fixed.fix`).
    tables : Tables
    air_velocity : array, shape (3,)
        Velocity of the CG through the air, body axes [m/s].
    state, controls, loads : arrays
        See `rotorwright.flight.layout`. Gravity and the spin-up of rotors are not in the sums: `state_rates` adds them.
    """
    loads[:] = 0.0
    speed = math.sqrt(air_velocity[0] ** 2 + air_velocity[1] ** 2 + air_velocity[2] ** 2 + STILL)
    settle_electrics(case, state, controls, loads)
    _add_thrusters(case, tables, air_velocity, speed, state, loads)
    for i in range(case.rotors.shape[0]):
        add_rotor(case, tables, i, air_velocity, state, loads)
        block = rotor_block(i)
        if case.rotors[i].turning == 1.0:
            # what the airframe feels of the rotor about its axis: bearing drag and drive reaction
            loads[MOMENTS + 1] -= loads[block + FRICTION] + loads[block + DRIVE_TORQUE]
        else:
            loads[MOMENTS + 1] += loads[block + AERO_TORQUE]
    _add_surfaces(case, air_velocity, speed, state, controls, loads)
    _add_bodies(case, air_velocity, speed, state, loads)


@jit
def rotor_spin_inertia(case: Any, i: int) -> float:
    """Return a rotor's inertia about its axis with its share of the drive motor geared up [kg m²]."""
    inertia = case.rotors[i].polar_inertia
    row = int(case.rotors[i].drive)
    if row >= 0:
        drive = case.drives[row]
        inertia += drive.ratio * drive.ratio * drive.motor_inertia / drive.rotors
    return inertia


@jit
def rotor_momentum_inertia(case: Any, i: int) -> float:
    """Return spin momentum over rotor speed [kg m²]: the motor turns ``ratio`` times as fast, so it counts once geared.

    A belt is supposed: motor and rotor turn the same way about parallel axes.
    """
    inertia = case.rotors[i].polar_inertia
    row = int(case.rotors[i].drive)
    if row >= 0:
        drive = case.drives[row]
        inertia += drive.ratio * drive.motor_inertia / drive.rotors
    return inertia


@jit
def _spin_torque(loads: Any, i: int) -> float:
    """Return the torque that speeds a rotor up, about its axis [N m]."""
    block = rotor_block(i)
    return loads[block + AERO_TORQUE] + loads[block + FRICTION] + loads[block + DRIVE_TORQUE]


@jit
def state_rates(case: Any, tables: Any, state: Any, controls: Any, loads: Any, rates: Any, air_velocity: Any) -> None:
    """Fill ``rates`` with the time derivative of ``state`` (and ``loads`` on the way).

    ``air_velocity`` is scratch of length 3.
    """
    fix(case, tables)
    state_rates_of_fixed(case, tables, state, controls, loads, rates, air_velocity)


@jit_into_caller
def state_rates_of_fixed(
    case: Any, tables: Any, state: Any, controls: Any, loads: Any, rates: Any, air_velocity: Any
) -> None:
    """Do what `state_rates` does, for a case whose constants are fixed."""
    air = case.air[0]
    velocity_through_air(state, air.wind_north, air.wind_east, air.wind_down, air_velocity)
    forces_and_moments(case, tables, air_velocity, state, controls, loads)
    motion_of(case, state, loads, rates)


@jit
def velocity_through_air(state: Any, north: float, east: float, down: float, air_velocity: Any) -> None:
    """Fill the velocity of the CG through air that moves north, east and down [m/s], body axes."""
    a, b, c, d = state[QUATERNION], state[QUATERNION + 1], state[QUATERNION + 2], state[QUATERNION + 3]
    r11, r12, r13, r21, r22, r23, r31, r32, r33 = body_to_earth(a, b, c, d)
    air_velocity[0] = state[VELOCITY] - (r11 * north + r21 * east + r31 * down)
    air_velocity[1] = state[VELOCITY + 1] - (r12 * north + r22 * east + r32 * down)
    air_velocity[2] = state[VELOCITY + 2] - (r13 * north + r23 * east + r33 * down)


@jit_into_caller
def motion_of(case: Any, state: Any, loads: Any, rates: Any) -> None:
    """Fill ``rates`` from the forces and moments in ``loads``: of the air, and whatever else was added to them.

    Parameters
    ----------
    case : Case
    state, loads, rates : arrays
        See `rotorwright.flight.layout`; the ground, a line or a hand may have added to the sums of `loads`.
    """
    vehicle = case.vehicle[0]
    air = case.air[0]
    rotors = case.rotors.shape[0]
    thrusters = case.thrusters.shape[0]
    u, v, w = state[VELOCITY], state[VELOCITY + 1], state[VELOCITY + 2]
    p, q, r = state[RATES], state[RATES + 1], state[RATES + 2]
    a, b, c, d = state[QUATERNION], state[QUATERNION + 1], state[QUATERNION + 2], state[QUATERNION + 3]
    # rotation from body axes to north-east-down
    r11, r12, r13, r21, r22, r23, r31, r32, r33 = body_to_earth(a, b, c, d)

    lightness = 1.0 / (vehicle.mass + vehicle.extra_mass)
    g = air.gravity
    rates[VELOCITY] = loads[FORCES] * lightness + g * r31 - q * w + r * v
    rates[VELOCITY + 1] = loads[FORCES + 1] * lightness + g * r32 - r * u + p * w
    rates[VELOCITY + 2] = loads[FORCES + 2] * lightness + g * r33 - p * v + q * u

    # angular momentum: airframe with rotors locked, plus the spin of rotors (axis y) and thrusters
    spin_x, spin_y, spin_z = 0.0, 0.0, 0.0
    free_inertia = 0.0
    geared_reaction = 0.0  # what the motor's own spin-up gives back to the airframe
    for i in range(rotors):
        if case.rotors[i].turning == 1.0:
            carried = rotor_momentum_inertia(case, i)
            coupling = carried / rotor_spin_inertia(case, i)
            spin_y += carried * state[ROTOR_SPEEDS + i]
            free_inertia += carried * coupling
            geared_reaction += (1.0 - coupling) * _spin_torque(loads, i)
    for i in range(thrusters):
        thruster = case.thrusters[i]
        row = case.fixed.thrusters[i]
        ax, ay, az = row[AXIS], row[AXIS + 1], row[AXIS + 2]
        momentum = thruster.turn_sense * thruster.spin_inertia * state[ROTOR_SPEEDS + rotors + i]
        spin_x += momentum * ax
        spin_y += momentum * ay
        spin_z += momentum * az
    hx = vehicle.ixx * p - vehicle.ixy * q - vehicle.ixz * r + spin_x
    hy = -vehicle.ixy * p + vehicle.iyy * q - vehicle.iyz * r + spin_y
    hz = -vehicle.ixz * p - vehicle.iyz * q + vehicle.izz * r + spin_z
    mx = loads[MOMENTS] - (q * hz - r * hy)
    my = loads[MOMENTS + 1] + geared_reaction - (r * hx - p * hz)
    mz = loads[MOMENTS + 2] - (p * hy - q * hx)
    ixx, iyy, izz = vehicle.ixx, vehicle.iyy - free_inertia, vehicle.izz
    ixy, ixz, iyz = -vehicle.ixy, -vehicle.ixz, -vehicle.iyz
    p_dot, q_dot, r_dot = angular_acceleration(ixx, iyy, izz, ixy, ixz, iyz, mx, my, mz)
    rates[RATES], rates[RATES + 1], rates[RATES + 2] = p_dot, q_dot, r_dot

    at = QUATERNION
    rates[at], rates[at + 1], rates[at + 2], rates[at + 3] = quaternion_rates(a, b, c, d, p, q, r)
    rates[POSITION] = r11 * u + r12 * v + r13 * w
    rates[POSITION + 1] = r21 * u + r22 * v + r23 * w
    rates[POSITION + 2] = r31 * u + r32 * v + r33 * w

    for i in range(rotors):
        rates[ROTOR_SPEEDS + i] = 0.0
        if case.rotors[i].turning == 1.0:
            torque = _spin_torque(loads, i) - rotor_momentum_inertia(case, i) * q_dot
            rates[ROTOR_SPEEDS + i] = torque / rotor_spin_inertia(case, i)
    for i in range(thrusters):
        block = thruster_block(rotors, i)
        torque = loads[block + MOTOR_TORQUE] - loads[block + SHAFT_TORQUE]
        rates[ROTOR_SPEEDS + rotors + i] = torque / case.thrusters[i].spin_inertia
