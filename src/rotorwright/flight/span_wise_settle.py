"""The compiled heart of the span-wise solution: circulations iterated until all strips agree, forces, slipstreams."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.flight.rotor_forces import wash_at
from rotorwright.physics.rotor.loads import rotor_load_parts
from rotorwright.physics.rotor.side import side_constants, side_loads

STILL = 1.0e-12
CLOSE = 1.0e-6
"""Change of circulation over the largest at which the strips have settled."""
ROUNDS = 80
CALM_AFTER, CALM = 25, 0.5
"""From this round on only this share of every change is taken: close tandems swing otherwise."""

# columns of the loads of a strip
LIFT, PROFILE, END, DISC, SPEED, TORQUE, SIDE_ROLL, SIDE_YAW = 0, 1, 2, 3, 4, 5, 6, 7
LOADS = 8


@jit
def settle_strips(
    rotors: Any, table: Any, air: Any, factors: Any, strips: Any, outside: Any, response: Any, coupling: Any,
    end_share: Any, motion: Any, wash: Any, boundary: Any, spins: Any, free: Any, shares: Any, circulation: Any,
    induced: Any, loads: Any, forces: Any,
) -> int:  # fmt: skip
    """Iterate circulations until rotors and surfaces agree; fill loads of the rotor strips; return rounds (0: never).

    ``spins`` are the rotor speeds in undisturbed air; ``shares`` receives local over undisturbed speed of each rotor.
    """
    count = strips.row.shape[0]
    turning = coupling.shape[1]
    density, viscosity = air[0].density, air[0].viscosity
    rounds = 0
    for i in range(shares.shape[0]):
        shares[i] = 1.0
    for attempt in range(1, ROUNDS + 1):
        largest, change = 1.0e-9, 0.0
        for i in range(turning):
            ahead, below = 0.0, 0.0  # a rotor feels no sidewash, here and in the equation of motion
            for k in range(count):
                ahead += outside[0, i, k] * circulation[k]
                below += outside[2, i, k] * circulation[k]
            induced[0, i], induced[2, i] = ahead, below
        for i in range(shares.shape[0]):
            met, still = 0.0, 0.0
            for k in range(turning):
                if strips.row[k] == i:
                    u, w = motion[k, 0] + wash[k, 0] * wash[k, 1], motion[k, 2] + wash[k, 0] * wash[k, 2]
                    still += strips.width[k] * math.sqrt(u * u + w * w + STILL)
                    u -= induced[0, k]
                    w -= induced[2, k]
                    met += strips.width[k] * math.sqrt(u * u + w * w + STILL)
            shares[i] = met / still
        for i in range(turning):
            row = strips.row[i]
            rotor = rotors[row]
            spin = spins[row]
            if free[row] == 1.0:
                spin *= shares[row]
            part = strips.shape[i] * strips.width[i] / rotor.span
            for column in range(LOADS):
                loads[i, column] = 0.0
            force_x, force_y, force_z = 0.0, 0.0, 0.0
            slide, broadside, lead = side_constants(rotor, factors[0])
            for blown in range(2):
                weight = wash[i, 0] if blown == 1 else 1.0 - wash[i, 0]
                if weight <= 0.0:
                    continue
                u, w = motion[i, 0] - induced[0, i], motion[i, 2] - induced[2, i]
                if blown == 1:
                    u += wash[i, 1]
                    w += wash[i, 2]
                speed = math.sqrt(u * u + w * w + STILL)
                lift, profile, end, disc, body_torque, disc_torque = rotor_load_parts(
                    rotor, table[0], speed, spin, density, viscosity, factors[0]
                )
                lift *= weight * part
                profile *= weight * strips.width[i] / rotor.span
                disc *= weight * strips.width[i] / rotor.span
                end *= weight * end_share[i]
                drag = profile + end + disc
                force_x += (lift * w - drag * u) / speed
                force_z += (-lift * u - drag * w) / speed
                even = weight * strips.width[i] / rotor.span
                side, roll, yaw = side_loads(slide, broadside, lead, u, motion[i, 1], w, density)
                force_y += even * side
                loads[i, SIDE_ROLL] += even * roll
                loads[i, SIDE_YAW] += even * yaw
                loads[i, LIFT] += lift
                loads[i, PROFILE] += profile
                loads[i, END] += end
                loads[i, DISC] += disc
                loads[i, SPEED] += weight * speed
                if rotor.drive >= 0.0 or rotor.turning != 1.0:
                    # what a drive or a brake holds; a free rotor passes on no more than its bearing friction
                    loads[i, TORQUE] += weight * (body_torque + disc_torque) * strips.width[i] / rotor.span
            fresh = loads[i, LIFT] / (density * loads[i, SPEED] * strips.width[i])
            step = fresh - circulation[i]
            if attempt > CALM_AFTER:
                step *= CALM
            circulation[i] += step
            forces[i, 0], forces[i, 1], forces[i, 2] = force_x, force_y, force_z
            change = max(change, math.fabs(step))
            largest = max(largest, math.fabs(circulation[i]))
        for i in range(count - turning):
            fresh = 0.0
            for k in range(count - turning):
                fresh += response[i, k] * boundary[turning + k]
            for k in range(turning):
                fresh -= coupling[i, k] * circulation[k]
            change = max(change, math.fabs(fresh - circulation[turning + i]))
            circulation[turning + i] = fresh
            largest = max(largest, math.fabs(fresh))
        if change < CLOSE * largest:
            rounds = attempt
            break
    for i in range(turning, count):
        for axis in range(3):
            total = 0.0
            for k in range(count):
                total += outside[axis, i, k] * circulation[k]
            induced[axis, i] = total
        u = induced[0, i] - motion[i, 0] - wash[i, 0] * wash[i, 1]
        v = induced[1, i] - motion[i, 1]
        w = induced[2, i] - motion[i, 2] - wash[i, 0] * wash[i, 2]
        pull = density * circulation[i]
        lx, ly, lz = strips.along[i, 0], strips.along[i, 1], strips.along[i, 2]
        forces[i, 0] = pull * (v * lz - w * ly)
        forces[i, 1] = pull * (w * lx - u * lz)
        forces[i, 2] = pull * (u * ly - v * lx)
    return rounds


@jit
def fill_wash(
    thrusters: Any, air: Any, factors: Any, rotors: int, loads: Any, speed: float, strips: Any, wash: Any
) -> None:
    """Fill share of every strip inside slipstreams and the added speed along body x and z."""
    for i in range(strips.row.shape[0]):
        wide, tall = math.fabs(strips.along[i, 1]), math.fabs(strips.along[i, 2])
        thick = strips.chord[i] if strips.is_rotor[i] else 0.0
        if tall > wide:
            wide = max(wide, 0.02 * strips.chord[i])
        share, along, down = wash_at(
            thrusters, air[0], factors[0], rotors, loads, speed, strips.middle[i, 0], strips.middle[i, 1],
            strips.middle[i, 2], wide, max(tall, thick),
        )  # fmt: skip
        wash[i, 0], wash[i, 1], wash[i, 2] = share, along, down
