"""The ground under an aeroplane: wheels, tips, discs, propellers and bodies touch it with springy, rubbing points.

The ground is flat; it may rise or fall along the strip. A point presses with a spring and a damper that starts
smoothly; each has the stiffness that gives the mass it feels one and the same frequency, so that a step of the
simulation suits them all.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit, jit_into_caller
from rotorwright.flight.layout import FORCES, MOMENTS, POSITION, QUATERNION, RATES, VELOCITY
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.turning import body_to_earth

Floats = npt.NDArray[np.float64]

# what a contact is, and the columns of its row
WHEEL, HULL, TIP, DISC, BLADES = 0.0, 1.0, 2.0, 3.0, 4.0
X, Y, Z, RADIUS, KIND, STIFFNESS, DAMPING, STEERS = range(8)
CONTACT_COLUMNS = 8

FREQUENCY = 45.0
"""Of the aeroplane on one contact [rad/s]: it sags by about 5 mm under its weight."""
DAMPING_RATIO = 0.5
SOFT_START = 0.002
"""Depth over which a contact's force starts [m]."""
SLIP_ROUNDING = 0.15
"""Speed over which friction turns with the sense of sliding [m/s]."""
SLIDING = 0.5
"""Friction of what is no wheel, and of wheels sideways (judgement: skid on grass)."""
STEER = 0.26
"""Turn of a single wheel at full rudder, 15° (common practice, no source)."""
ON_CENTRE = 0.02
"""A wheel nearer to the middle than this is single and steers with the rudder [m]."""

# what contact leaves for the story: columns of `touch`
ANY, HARDEST, STRIKE, OTHER_SPEED = 0, 1, 2, 3
TOUCH_COLUMNS = 4


def contact_points(numbers: AeroplaneNumbers, case: int, hulls: Sequence[int]) -> Floats:
    """Return the contacts of one aeroplane, shape (contacts, `CONTACT_COLUMNS`), places from its centre of gravity.

    Parameters
    ----------
    numbers : AeroplaneNumbers
    case : int
    hulls : sequence of int
        Rows of the bodies whose underside may touch (legs and wheels are bodies too, and do not count).

    Notes
    -----
    Wheels; discs or drums at both ends of every rotor; propeller discs; both ends of the underside of bodies; tips of
    surfaces. Stiffness m_e ω² and damping 2 ζ m_e ω with the mass a point feels,
    1/m_e = 1/m + x²/I_yy + y²/I_xx.
    """
    rows: list[tuple[float, float, float, float, float, float]] = []
    for wheel in numbers.wheels[case]:
        ahead = 1.0 if wheel["x"] > numbers.vehicle["x"][case] else -1.0
        steers = ahead if abs(float(wheel["y"])) < ON_CENTRE else 0.0
        rows.append((wheel["x"], wheel["y"], wheel["z"], wheel["radius"], WHEEL, steers))
    for rotor in numbers.rotors[case]:
        radius = 0.5 * max(float(rotor["diameter"]), float(rotor["disc_diameter"]))
        rows += [
            (rotor["x"], rotor["y"] + side * 0.5 * rotor["span"], rotor["z"], radius, DISC, 0.0) for side in (-1, 1)
        ]
    for thruster in numbers.thrusters[case]:
        rows.append((thruster["x"], thruster["y"], thruster["z"], 0.5 * thruster["diameter"], BLADES, 0.0))
    for body in numbers.bodies[case][list(hulls)]:
        low = body["z"] + 0.5 * body["height"]
        rows += [(body["x"] + end * 0.5 * body["length"], body["y"], low, 0.0, HULL, 0.0) for end in (-1, 1)]
    for surface in numbers.surfaces[case]:
        along = 0.5 * float(surface["span"])
        flat, upright = math.cos(float(surface["tilt"])), math.sin(float(surface["tilt"]))
        rows += [
            (surface["x"], surface["y"] + side * along * flat, surface["z"] + side * along * upright, 0.0, TIP, 0.0)
            for side in (-1, 1)
        ]
    vehicle = numbers.vehicle[case]
    points = np.zeros((len(rows), CONTACT_COLUMNS))
    for place, (x, y, z, radius, kind, steers) in enumerate(rows):
        points[place, :3] = x - vehicle["x"], y - vehicle["y"], z - vehicle["z"]
        points[place, RADIUS], points[place, KIND], points[place, STEERS] = radius, kind, steers
    felt = 1.0 / (1.0 / vehicle["mass"] + points[:, X] ** 2 / vehicle["iyy"] + points[:, Y] ** 2 / vehicle["ixx"])
    points[:, STIFFNESS] = felt * FREQUENCY**2
    points[:, DAMPING] = 2.0 * DAMPING_RATIO * felt * FREQUENCY
    return points


@jit
def pressing_depth(depth: float) -> float:
    """Return how deep a contact counts as pressed [m]: nothing above ground, a smooth start, then the depth.

    Notes
    -----
    d²/(2 w) up to w = 2 mm, d − w/2 beyond: C1.
    """
    if depth <= 0.0:
        return 0.0
    if depth < SOFT_START:
        return 0.5 * depth * depth / SOFT_START
    return depth - 0.5 * SOFT_START


@jit
def pressing_force(depth: float, closing: float, stiffness: float, damping: float) -> float:
    """Return the force of a contact [N]: spring and damper, never pulling.

    Parameters
    ----------
    depth : float
        Below ground [m].
    closing : float
        Speed into the ground [m/s].
    stiffness, damping : float
        [N/m], [N s/m]

    Notes
    -----
    k s + c ḋ g(s) with s of `pressing_depth` and g rising from 0 to 1 as the contact presses in; nothing below zero.
    """
    if depth <= 0.0:
        return 0.0
    pressed = pressing_depth(depth)
    share = pressed / (pressed + SOFT_START)
    return max(stiffness * pressed + damping * closing * share, 0.0)


@jit
def friction_share(slip: float) -> float:
    """Return friction over its full value at a sliding speed [m/s], smooth through rest."""
    return slip / math.sqrt(slip * slip + SLIP_ROUNDING * SLIP_ROUNDING)


@jit
def reach_of(contacts: Any) -> float:
    """Return the height of the balance point over level ground from which no contact can touch it [m]."""
    reach = 0.0
    for i in range(contacts.shape[0]):
        row = contacts[i]
        reach = max(reach, math.sqrt(row[0] * row[0] + row[1] * row[1] + row[2] * row[2]) + row[3])
    return 1.1 * reach + 0.05


@jit_into_caller
def add_ground(
    contacts: Any, state: Any, slope: float, rolling: float, rudder: float, brake: float, loads: Any, touch: Any
) -> None:
    """Add what the ground does to the sums of ``loads``, and note in ``touch`` what touched.

    Parameters
    ----------
    contacts : array
        From `contact_points`.
    state : array
    slope : float
        Of the ground, rising to the north positive [rad]; it goes through the origin.
    rolling : float
        Rolling friction of the wheels [1].
    rudder : float
        Turns single wheels, −1…1, positive to yaw right.
    brake : float
        Share of the sliding friction that holds the wheels, 0…1.
    loads, touch : arrays
    """
    touch[ANY] = 0.0
    r11, r12, r13, r21, r22, r23, r31, r32, r33 = body_to_earth(
        state[QUATERNION], state[QUATERNION + 1], state[QUATERNION + 2], state[QUATERNION + 3]
    )
    # from here on "earth" axes lie along the ground: turned about east by its slope
    cs, ss = math.cos(slope), math.sin(slope)
    height = -(ss * state[POSITION] + cs * state[POSITION + 2])
    r11, r12, r13, r31, r32, r33 = (
        cs * r11 - ss * r31, cs * r12 - ss * r32, cs * r13 - ss * r33,
        ss * r11 + cs * r31, ss * r12 + cs * r32, ss * r13 + cs * r33,
    )  # fmt: skip
    u, v, w = state[VELOCITY], state[VELOCITY + 1], state[VELOCITY + 2]
    p, q, r = state[RATES], state[RATES + 1], state[RATES + 2]
    level = math.sqrt(r11 * r11 + r21 * r21 + 1.0e-12)
    ahead_north, ahead_east = r11 / level, r21 / level
    for i in range(contacts.shape[0]):
        row = contacts[i]
        x, y, z = row[0], row[1], row[2]
        kind = row[4]
        # down in body axes is (r31, r32, r33); a round part reaches lowest where its circle does
        reach = row[3]
        if kind == DISC:
            reach *= math.sqrt(max(1.0 - r32 * r32, 0.0))
        elif kind == BLADES:
            reach *= math.sqrt(max(1.0 - r31 * r31, 0.0))
        depth = r31 * x + r32 * y + r33 * z + reach - height
        if depth <= 0.0:
            continue
        x, y, z = x + reach * r31, y + reach * r32, z + reach * r33  # the point that touches (about: along down)
        bu, bv, bw = u + q * z - r * y, v + r * x - p * z, w + p * y - q * x
        north = r11 * bu + r12 * bv + r13 * bw
        east = r21 * bu + r22 * bv + r23 * bw
        closing = r31 * bu + r32 * bv + r33 * bw
        press = pressing_force(depth, closing, row[5], row[6])
        touch[ANY] = 1.0
        if kind == WHEEL:
            turn = row[7] * STEER * rudder
            ct, st = math.cos(turn), math.sin(turn)
            along_n, along_e = ahead_north * ct - ahead_east * st, ahead_east * ct + ahead_north * st
            along = north * along_n + east * along_e
            across = east * along_n - north * along_e
            drag = -(rolling + brake * SLIDING) * press * friction_share(along)
            side = -SLIDING * press * friction_share(across)
            fn = drag * along_n - side * along_e
            fe = drag * along_e + side * along_n
            touch[HARDEST] = max(touch[HARDEST], closing)
        else:
            sliding = math.sqrt(north * north + east * east + SLIP_ROUNDING * SLIP_ROUNDING)
            fn = -SLIDING * press * north / sliding
            fe = -SLIDING * press * east / sliding
            touch[OTHER_SPEED] = max(touch[OTHER_SPEED], closing)
            if kind != HULL and kind != TIP:
                touch[STRIKE] = 1.0
        fx = r11 * fn + r21 * fe - r31 * press
        fy = r12 * fn + r22 * fe - r32 * press
        fz = r13 * fn + r23 * fe - r33 * press
        loads[FORCES] += fx
        loads[FORCES + 1] += fy
        loads[FORCES + 2] += fz
        loads[MOMENTS] += y * fz - z * fy
        loads[MOMENTS + 1] += z * fx - x * fz
        loads[MOMENTS + 2] += x * fy - y * fx
