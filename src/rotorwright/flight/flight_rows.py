"""What a simulated flight is told and what it leaves: script, events, figures, history, and the scratch of a thread."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit_into_caller, jit_with_arrays
from rotorwright.flight.contact import TOUCH_COLUMNS
from rotorwright.flight.flight_audit import BOOK_SIZE
from rotorwright.flight.layout import (
    CURRENT,
    POSITION,
    RATES,
    ROTOR_SPEEDS,
    VOLTAGE,
    battery_block,
    controls_size,
    loads_size,
    state_size,
)
from rotorwright.flight.line import LINE_COLUMNS
from rotorwright.flight.pilot import LEG, MEMORY, NOTES, PHASE, REMEMBERED, SEEN

# how it starts
FROM_GROUND, FROM_HAND, IN_AIR, FROM_LINE = 0.0, 1.0, 2.0, 3.0

SCRIPT = np.dtype(
    [
        (name, np.float64)
        for name in (
            "launch",
            "wind",  # mean at 10 m [m/s]
            "wind_from",  # to the right of the strip's direction [rad]
            "roughness",  # of the ground upwind [m]
            "gust", "gust_time", "gust_length",  # one gust along the wind [m/s], when it arrives [s], how long [m]
            "rolling",  # friction of the wheels
            "strip",  # its length [m]
            "out_of_reach",  # distance at which it is lost [m]
            "span",  # over the tips [m]
            "spin",  # rotor speed in level flight [rad/s]
            "air_temperature",  # [K]
            "winding_limit",  # [K]
            "duration",  # [s]
            "wing_above",  # lifting parts over the balance point [m]
            "ground_share",  # 0…1 between the two laws of ground effect
            "slope",  # of the ground, rising along the strip positive [rad]
            "line_stiffness", "line_length", "line_share",  # [N/m], slack [m], share of its energy that comes back
            "stake",  # where the line is pegged, along the strip [m]
            "hook_x", "hook_z",  # ahead of and below the balance point [m]
        )
    ]
)  # fmt: skip
"""What a flight meets beside its aeroplane and its pilot."""

FIGURE_NAMES = (
    "time", "ground_strike", "nose_over", "at_rest", "spin_share", "spin_share_aloft", "lift_off_time",
    "lift_off_distance", "lift_off_speed", "greatest_height", "quarters", "slowest_airspeed", "steepest_bank",
    "touch_sink", "touch_bank", "touch_pitch", "farthest", "heat_share", "charge_left",
)  # fmt: skip
"""What every flight leaves, in the order of its row."""
(
    F_TIME, F_STRIKE, F_NOSE, F_REST, F_SPIN, F_SPIN_ALOFT, F_LIFT_TIME, F_LIFT_WAY, F_LIFT_SPEED, F_HEIGHT, F_QUARTERS,
    F_SLOWEST, F_BANK, F_SINK, F_TOUCH_BANK, F_TOUCH_PITCH, F_FARTHEST, F_HEAT, F_CHARGE,
) = range(19)  # fmt: skip

# what may happen: columns of an event, and kinds
E_TIME, E_KIND, E_PART, E_COLUMNS = 0, 1, 2, 3
ROTOR_STOPS, ROTOR_SLOWS, MOTOR_STOPS, DRIVE_STOPS, PACK_SAGS, SERVO_STICKS, SERVO_REVERSES, KILL = range(8)
EVERY_PART = -1.0
SLOWED = 8.0
"""Bearing torque of a rotor that slows, over what it was."""

# sticks over time: columns of a command
C_TIME, C_STICKS, C_DRIVE, COMMAND_COLUMNS = 0, 1, 5, 6

HISTORY_BODY = (
    "time", "north", "east", "height", "airspeed", "ground_speed", "climb", "bank", "pitch", "heading", "incidence",
    "sideslip", "roll_rate", "pitch_rate", "yaw_rate", "on_ground", "elevator", "rudder", "aileron", "head_wind",
    "phase", "leg",
)  # fmt: skip
H_BODY = len(HISTORY_BODY)


class Flights(NamedTuple):
    """What a batch of flights starts from; one row a flight, events and contacts shared or by flight as shaped."""

    scripts: Any
    """SCRIPT records, shape (flights,)."""
    pilots: Any
    """PILOT records, shape (flights,)."""
    starts: Any
    """States at the start, shape (flights, state)."""
    contacts: Any
    """Shape (flights, contacts, columns)."""
    gusts: Any
    """Along and across the wind, down [m/s], and the roll they bring [rad/s]; shape (flights, 4, moments)."""
    events: Any
    """In order of time, shape (events, 3), for all flights."""
    commands: Any
    """Sticks over time in the pilot's place, for all flights: time, elevator, rudder, aileron, throttle, drive; shape
    (moments, `COMMAND_COLUMNS`), without rows: the pilot flies."""
    eyes: Any
    """What the pilot misreads, in the order of what is seen, look by look; shape (flights, seen, looks), without looks:
    nothing."""


class Room(NamedTuple):
    """Scratch of one thread."""

    state: Any
    air_state: Any
    controls: Any
    loads: Any
    air_velocity: Any
    rates: Any
    before: Any
    earlier: Any
    stiff: Any
    memory: Any
    notes: Any
    seen: Any
    sticks: Any
    lately: Any
    held: Any
    touch: Any
    windings: Any
    governors: Any
    without_ground: Any
    line: Any
    book: Any


def no_commands() -> npt.NDArray[np.float64]:
    """Return commands without rows: the pilot flies."""
    return np.zeros((0, COMMAND_COLUMNS))


def clear_eyes(flights: int) -> npt.NDArray[np.float64]:
    """Return what is misread by a pilot who misreads nothing."""
    return np.zeros((flights, SEEN, 0))


@jit_with_arrays
def room_for_flight(rotors: int, thrusters: int, drives: int, batteries: int) -> Room:
    """Return scratch for a flight of an aeroplane with that many parts."""
    size = state_size(rotors, thrusters)
    return Room(
        np.zeros(size),
        np.zeros(size),
        np.zeros(controls_size(thrusters, drives)),
        np.zeros(loads_size(rotors, thrusters, batteries)),
        np.zeros(3),
        np.zeros(size),
        np.zeros(size),
        np.zeros(size),
        np.zeros(max(rotors + thrusters, 1)),
        np.zeros((MEMORY, SEEN)),
        np.zeros(NOTES),
        np.zeros(SEEN),
        np.zeros(4),
        np.zeros((REMEMBERED, 4)),
        np.zeros((2, 4)),
        np.zeros(TOUCH_COLUMNS),
        np.zeros(max(thrusters + drives, 1)),
        np.zeros(max(drives, 1)),
        np.zeros(6),
        np.zeros(LINE_COLUMNS),
        np.zeros(BOOK_SIZE),
    )


def history_columns(rotors: int, thrusters: int, drives: int, batteries: int) -> int:
    """Return how many columns a history has: the body's, one a rotor, three a thruster, two a drive, three a pack."""
    return H_BODY + rotors + 3 * thrusters + 2 * drives + 3 * batteries


@jit_into_caller
def note_moment(
    case: Any, room: Any, row: Any, time: float, airspeed: float, climbing: float, bank: float, pitch: float,
    turned: float, grounded: bool, head_wind: float,
) -> None:  # fmt: skip
    """Write one row of a history."""
    state, controls, loads, notes = room.state, room.controls, room.loads, room.notes
    rotors, thrusters, drives = case.rotors.shape[0], case.thrusters.shape[0], case.drives.shape[0]
    ua, va, wa = room.air_velocity[0], room.air_velocity[1], room.air_velocity[2]
    row[0], row[1], row[2], row[3] = time, state[POSITION], state[POSITION + 1], -state[POSITION + 2]
    row[4], row[6], row[7], row[8], row[9] = airspeed, climbing, bank, pitch, turned
    row[10], row[11] = math.atan2(wa, ua), math.atan2(va, math.sqrt(ua * ua + wa * wa))
    row[12], row[13], row[14] = state[RATES], state[RATES + 1], state[RATES + 2]
    row[15] = 1.0 if grounded else 0.0
    row[16], row[17], row[18], row[19] = controls[0], controls[1], controls[2], head_wind
    row[20], row[21] = notes[PHASE], notes[LEG]
    at = H_BODY
    for i in range(rotors):
        row[at] = state[ROTOR_SPEEDS + i]
        at += 1
    for i in range(thrusters):
        row[at] = max(controls[4 + i], 0.0)
        row[at + 1] = state[ROTOR_SPEEDS + rotors + i]
        row[at + 2] = room.windings[i]
        at += 3
    for i in range(drives):
        row[at] = max(controls[4 + thrusters + i], 0.0)
        row[at + 1] = room.windings[thrusters + i]
        at += 2
    for i in range(case.batteries.shape[0]):
        block = battery_block(rotors, thrusters, i)
        row[at], row[at + 1], row[at + 2] = loads[block + VOLTAGE], loads[block + CURRENT], case.batteries[i].charge
        at += 3
