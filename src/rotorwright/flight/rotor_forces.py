"""Rotors in the equation of motion: local air, propeller wash, forces and moments of every rotor about the CG."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit, jit_into_caller
from rotorwright.base.records import PROPELLER
from rotorwright.flight.fixed import rotor_row, thrust_axis
from rotorwright.flight.layout import (
    AERO_TORQUE,
    DISC_DRAG,
    END_DRAG,
    FORCES,
    FRICTION,
    LIFT,
    LOCAL_SPEED,
    MOMENTS,
    PROFILE_DRAG,
    ROTOR_SPEEDS,
    SIDE_FORCE,
    THRUST,
    WASH_ADDED,
    WASH_ALONG,
    WASH_DOWN,
    WASH_FLOW,
    WASH_SHARE,
    WASH_STREAM,
    rotor_block,
    thruster_block,
)
from rotorwright.physics.airframe.wash import disc_flow, wash_behind, wash_cover
from rotorwright.physics.rotor.bearings import bearing_friction
from rotorwright.physics.rotor.loads import rotor_load_parts_given
from rotorwright.physics.rotor.side import side_loads

GAUSS = 0.28867513459481287
"""Two-point Gauss stations lie this far from mid-span, in spans: exact for forces up to cubic in the span."""
STILL = 1.0e-12
SLOW = 1.0
"""Square of the speed below which the ground's hold on lift vanishes with the lift [m²/s²] (numerical choice)."""
WASH_REACH = 1.0
"""No wash is wider than this many propeller diameters from its axis: parts further out are passed over."""


@jit
def wash_at(
    thrusters: Any, air: Any, factors: Any, rotors: int, loads: Any, airspeed: float,
    x: float, y: float, z: float, span: float, height: float,
) -> tuple[float, float, float]:  # fmt: skip
    """Return `wash_over` a part with nothing but the thrusts filled into ``loads``."""
    for i in range(thrusters.shape[0]):
        ax, _, az = thrust_axis(thrusters[i])
        start_wash(thrusters[i], ax, az, airspeed, air.density, thruster_block(rotors, i), loads)
    return wash_over(thrusters, factors, rotors, loads, x, y, z, span, height)


@jit
def start_wash(
    thruster: Any, ax: float, az: float, airspeed: float, air_density: float, block: int, loads: Any
) -> None:
    """Fill the wash at a thruster's disc into its block; (ax, az) is the thrust axis in the plane of symmetry."""
    stream, added, flow = disc_flow(loads[block + THRUST], 0.5 * thruster.diameter, airspeed, air_density)
    loads[block + WASH_STREAM], loads[block + WASH_ADDED], loads[block + WASH_FLOW] = stream, added, flow
    loads[block + WASH_ALONG], loads[block + WASH_DOWN] = ax, az


@jit
def wash_over(
    thrusters: Any, factors: Any, rotors: int, loads: Any, x: float, y: float, z: float, span: float, height: float
) -> tuple[float, float, float]:
    """Return the propeller wash over a part: share of it covered, extra air speed along body x and z [m/s].

    The wash of every propeller is added; the air moves against its thrust axis. Fans are left out: their jets are thin.
    """
    share = 0.0
    along = 0.0
    down = 0.0
    for i in range(thrusters.shape[0]):
        thruster = thrusters[i]
        reach = WASH_REACH * thruster.diameter
        beside = math.fabs(thruster.y - y) > 0.5 * span + reach or math.fabs(thruster.z - z) > 0.5 * height + reach
        if thruster.kind == PROPELLER and not beside:
            block = thruster_block(rotors, i)
            extra, radius = wash_behind(
                loads[block + WASH_STREAM],
                loads[block + WASH_ADDED],
                loads[block + WASH_FLOW],
                0.5 * thruster.diameter,
                thruster.x - x,
            )
            cover = wash_cover(radius, thruster.y - y, thruster.z - z, span, height) * factors.wash_force
            share += cover
            along += cover * extra * loads[block + WASH_ALONG]
            down += cover * extra * loads[block + WASH_DOWN]
    if share > 1.0e-9:
        inverse = 1.0 / share
        along *= inverse
        down *= inverse
    return min(share, 1.0), along, down


@jit_into_caller
def add_rotor(case: Any, tables: Any, i: int, air_velocity: Any, state: Any, loads: Any) -> None:
    """Add one rotor's forces and moments to ``loads`` and fill its block.

    ``air_velocity`` is the CG's velocity through the air in body axes, length 3. In symmetric flight one station stands
    for the span; with roll or yaw rate two Gauss stations do (both give the same answer when the rates vanish).
    """
    rotor = case.rotors[i]
    vehicle = case.vehicle[0]
    air = case.air[0]
    factors = case.factors[0]
    p, q, r = state[3], state[4], state[5]
    arm_x = rotor.x - vehicle.x
    arm_y = rotor.y - vehicle.y
    arm_z = rotor.z - vehicle.z
    spin = state[ROTOR_SPEEDS + i] if rotor.turning == 1.0 else 0.0
    block = rotor_block(i)
    share, wash_x, wash_z = wash_over(
        case.thrusters, factors, case.rotors.shape[0], loads, rotor.x, rotor.y, rotor.z, rotor.span, rotor.diameter
    )
    fixed = rotor_row(case.fixed.rotors[i])
    loads[block + WASH_SHARE] = share
    v = air_velocity[1] + r * arm_x - p * arm_z
    turning_flight = p != 0.0 or r != 0.0
    stations = 2 if turning_flight else 1
    airs = 2 if share > 0.0 else 1  # first the part outside the wash, then the part inside
    for station in range(stations * airs):
        y = arm_y
        if turning_flight:
            y += rotor.span * (GAUSS if station < airs else -GAUSS)
        u = air_velocity[0] + q * arm_z - r * y
        w = air_velocity[2] + p * y - q * arm_x
        weight = (1.0 - share) / stations
        if station % airs == 1:
            u, w = u + wash_x, w + wash_z
            weight = share / stations
        _add_station(rotor, fixed, tables.rotor[0], air, factors, u, w, spin + q, weight, arm_x, y, arm_z, block, loads)
        if v != 0.0:
            side, roll, yaw = side_loads(fixed.slide, fixed.broadside, fixed.ahead, u, v, w, air.density)
            loads[block + SIDE_FORCE] += weight * side
            loads[FORCES + 1] += weight * side
            loads[MOMENTS] += weight * (roll - arm_z * side)
            loads[MOMENTS + 2] += weight * (yaw + arm_x * side)
    loads[block + FRICTION] = -bearing_friction(rotor, spin, case.factors[0])  # acts on the rotor, against its spin


@jit_into_caller
def _add_station(
    rotor: Any, fixed: Any, table: Any, air: Any, factors: Any, u: float, w: float, spin: float, weight: float,
    arm_x: float, arm_y: float, arm_z: float, block: int, loads: Any,
) -> None:  # fmt: skip
    """Add the share ``weight`` of a rotor that meets the air at (u, w): lift square to it, drag along it.

    Near the ground its induced drag and its lift are less (`rotorwright.physics.airframe.ground.ground_help`).
    """
    speed = math.sqrt(u * u + w * w + STILL)
    lift, profile, end, disc, body_torque, disc_torque = rotor_load_parts_given(
        rotor, fixed, table, speed, spin, air.density, air.viscosity, factors
    )
    end *= 1.0 - air.ground_relief
    # the image below ground holds the air back by slowing × circulation, and lift grows with the air's speed
    pull = air.density * rotor.span * (speed * speed + SLOW) + STILL  # in empty space too there is an answer: nothing
    lift *= weight / (1.0 + air.ground_slowing * math.fabs(lift) / pull)
    drag = weight * (profile + end + disc)
    inverse = 1.0 / speed
    force_x = (lift * w - drag * u) * inverse
    force_z = (-lift * u - drag * w) * inverse
    loads[block + LIFT] += lift
    loads[block + PROFILE_DRAG] += weight * profile
    loads[block + END_DRAG] += weight * end
    loads[block + DISC_DRAG] += weight * disc
    loads[block + AERO_TORQUE] += weight * (body_torque + disc_torque)
    loads[block + LOCAL_SPEED] += weight * speed
    loads[FORCES] += force_x
    loads[FORCES + 2] += force_z
    loads[MOMENTS] += arm_y * force_z
    loads[MOMENTS + 1] += arm_z * force_x - arm_x * force_z
    loads[MOMENTS + 2] -= arm_y * force_x
