"""Time simulation: the one equation of motion integrated through a whole flight, with ground, gusts, pilot and events.

One evaluation of the equation a step, `RATE` steps a second. Velocities, attitude and place go forward by the
three-step Adams–Bashforth rule; speeds of rotors and shafts, which motors hold stiffly, by the same rule with the
motor's slope taken implicitly (trapezoidal). Battery and windings follow on an outer step; gusts are drawn beforehand
and held. Every number of a flight comes from its own rows, so that threads and order change nothing.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit, jit_into_caller, jit_with_arrays
from rotorwright.flight.batch import Progress, run_chunks
from rotorwright.flight.contact import ANY, HARDEST, OTHER_SPEED, STRIKE, TOUCH_COLUMNS, add_ground
from rotorwright.flight.equation import forces_and_moments, motion_of, rotor_spin_inertia, velocity_through_air
from rotorwright.flight.fixed import fix, fix_batteries
from rotorwright.flight.layout import (
    CURRENT,
    DRIVE_CURRENT,
    OFF,
    POSITION,
    QUATERNION,
    RATES,
    ROTOR_SPEEDS,
    VELOCITY,
    VOLTAGE,
    WINDING_CURRENT,
    battery_block,
    controls_size,
    loads_size,
    rotor_block,
    state_size,
    thruster_block,
)
from rotorwright.flight.numbers import AeroplaneNumbers, Tables, case_of, physics_tables
from rotorwright.flight.pilot import (
    BANK,
    CLIMB,
    EAST,
    FLY,
    HEADING,
    HEIGHT,
    LANDED,
    LEG,
    LOOK,
    MEMORY,
    NORTH,
    NOTES,
    PHASE,
    PITCH,
    PITCH_RATE,
    REMEMBERED,
    ROLL_RATE,
    SEEN,
    SLIP,
    SPEED,
    SPIN_UP,
    TURNED,
    TURNED_THEN,
    YAW_RATE,
    look,
    move_sticks,
    plan,
    within,
    wrapped,
)
from rotorwright.flight.turning import body_to_earth
from rotorwright.physics.air.wind import single_gust, wind_at_height
from rotorwright.physics.power.heat import (
    heat_time_constant,
    steady_temperature,
    temperature_after,
    thermal_resistance,
)

Floats = npt.NDArray[np.float64]

RATE = 200
"""Steps a second."""
GUST_RATE = 50
"""Gusts are held for a fiftieth of a second."""
OUTER = 10
"""Steps between two of battery, windings and controllers' temperature."""
SERVO = 0.05
"""Time constant of servo and linkage [s] (0.1 s for 60°, common practice)."""
THROTTLE_LAG = 0.15
"""Time constant with which a controller follows the throttle stick [s] (judgement)."""
GOVERNOR_GAIN, GOVERNOR_PACE = 3.0, 4.0
"""Duty for a relative error of a held rotor speed [1], and its growth with time [1/s]."""
START_CURRENT = 30.0
"""Current to which a drive's controller holds its motor while spinning up, where no limit is stated [A]."""
CRASH_SPEED = 3.5
"""Speed into the ground of anything but a wheel, above which it breaks [m/s] (judgement)."""
HARD_GEAR = 5.0
"""The same for wheels [m/s]."""
TIPPED = 0.26
"""Upward part of the body's own up, below which it lies on its nose, side or back (75°)."""
REST_SPEED, REST_TIME = 0.4, 1.0
FOLLOWED = 25.0
"""A flight that has not lifted so long after the throttle was opened ends [s]."""
LASTING = 0.5
"""Off the ground for so long counts as lift-off [s]."""

# how it starts
FROM_GROUND, FROM_HAND, IN_AIR = 0.0, 1.0, 2.0

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
    )


def history_columns(rotors: int, thrusters: int, drives: int, batteries: int) -> int:
    """Return how many columns a history has: the body's, one a rotor, three a thruster, two a drive, three a pack."""
    return H_BODY + rotors + 3 * thrusters + 2 * drives + 3 * batteries


@jit_into_caller
def _stiffness(case: Any, room: Any) -> None:
    """Fill how fast a motor pulls each rotor and shaft back to its speed [1/s]: ratio² /(k² R I)."""
    rotors = case.rotors.shape[0]
    for i in range(rotors):
        row = int(case.rotors[i].drive)
        room.stiff[i] = 0.0
        if row >= 0:
            drive = case.drives[row]
            resistance = drive.motor_resistance + drive.controller_resistance
            slope = (drive.ratio / drive.motor_speed_constant) ** 2 / resistance / drive.rotors
            if drive.governed == 1.0:
                slope *= 1.0 + 1.5 * GOVERNOR_GAIN
            room.stiff[i] = slope / rotor_spin_inertia(case, i)
    for i in range(case.thrusters.shape[0]):
        thruster = case.thrusters[i]
        resistance = thruster.motor_resistance + thruster.controller_resistance
        slope = (thruster.gear_ratio / thruster.motor_speed_constant) ** 2 / resistance
        room.stiff[rotors + i] = 1.5 * slope / thruster.spin_inertia


@jit_into_caller
def _happen(case: Any, room: Any, kind: int, part: float) -> None:
    """Let one event happen."""
    rotors = case.rotors.shape[0]
    for i in range(rotors):
        if part < 0.0 or int(part) == i:
            if kind == ROTOR_STOPS:
                case.rotors[i].turning = 0.0
                room.state[ROTOR_SPEEDS + i] = 0.0
            elif kind == ROTOR_SLOWS:
                case.rotors[i].bearing_torque *= SLOWED
                case.rotors[i].bearing_drag *= SLOWED
                row = int(case.rotors[i].drive)
                if row >= 0:
                    room.governors[row] = -2.0
    for i in range(case.thrusters.shape[0]):
        if (kind == MOTOR_STOPS and (part < 0.0 or int(part) == i)) or kind == KILL:
            case.thrusters[i].working = 0.0
    for i in range(case.drives.shape[0]):
        if (kind == DRIVE_STOPS and (part < 0.0 or int(part) == i)) or kind == KILL:
            room.governors[i] = -2.0
    for i in range(case.batteries.shape[0]):
        if kind == PACK_SAGS and (part < 0.0 or int(part) == i):
            case.batteries[i].cells = max(case.batteries[i].cells - 1.0, 1.0)
    if kind == SERVO_STICKS:
        room.held[0, int(part)] = 1.0
    elif kind == SERVO_REVERSES:
        room.held[1, int(part)] = 1.0 - room.held[1, int(part)]


@jit_into_caller
def _command_drives(case: Any, room: Any, command: float, parting: float, step: float) -> None:
    """Fill the duty of every drive: governed ones hold their speed, within what the controller lets through.

    Drives of one side part by ``parting`` of their speed, left faster if positive.
    """
    rotors, thrusters = case.rotors.shape[0], case.thrusters.shape[0]
    for i in range(case.drives.shape[0]):
        at = 4 + thrusters + i
        drive = case.drives[i]
        if room.governors[i] <= -2.0 or command < 0.0:
            room.controls[at] = OFF
            continue
        speed, count, right = 0.0, 0.0, 0.0
        for j in range(rotors):
            if int(case.rotors[j].drive) == i and case.rotors[j].turning == 1.0:
                right += 1.0 if case.rotors[j].y > 0.0 else -1.0
                speed += room.state[ROTOR_SPEEDS + j]
                count += 1.0
        if count == 0.0:
            room.controls[at] = OFF
            continue
        speed /= count
        limit = drive.controller_current_limit
        if limit <= 0.0:
            limit = START_CURRENT
        voltage = max(room.loads[battery_block(rotors, thrusters, int(drive.battery)) + VOLTAGE], 1.0)
        resistance = drive.motor_resistance + drive.controller_resistance
        most = (max(speed, 0.0) * drive.ratio / drive.motor_speed_constant + limit * resistance) / voltage
        most = min(most, 1.0)
        if drive.governed == 1.0:
            target = command * drive.speed * (1.0 - parting * right / count)
            error = (target - speed) / max(drive.speed, 1.0)
            duty = room.governors[i] + GOVERNOR_GAIN * error
            if 0.0 < duty < most:
                room.governors[i] = within(room.governors[i] + GOVERNOR_PACE * error * step, 0.0, 1.0)
        else:
            duty = command
        room.controls[at] = within(duty, 0.0, most)


@jit_into_caller
def _warm_and_drain(case: Any, tables: Any, script: Any, room: Any, airspeed: float, step: float) -> float:
    """Carry battery charge and winding temperatures on by an outer step; return the hottest rise over its limit."""
    rotors, thrusters, drives = case.rotors.shape[0], case.thrusters.shape[0], case.drives.shape[0]
    factors = case.factors[0]
    for i in range(case.batteries.shape[0]):
        drawn = room.loads[battery_block(rotors, thrusters, i) + CURRENT] * step
        case.batteries[i].charge = max(case.batteries[i].charge - drawn / case.batteries[i].capacity, 0.0)
    fix_batteries(case, tables)
    worst = 0.0
    air = script.air_temperature
    for i in range(thrusters + drives):
        if i < thrusters:
            mass, resistance = case.thrusters[i].motor_mass, case.thrusters[i].motor_resistance
            current = room.loads[thruster_block(rotors, i) + WINDING_CURRENT]
            speed = room.state[ROTOR_SPEEDS + rotors + i] * case.thrusters[i].gear_ratio
        else:
            drive = case.drives[i - thrusters]
            mass, resistance = drive.motor_mass, drive.motor_resistance
            current, speed = 0.0, 0.0
            for j in range(rotors):
                if int(case.rotors[j].drive) == i - thrusters:
                    current = room.loads[rotor_block(j) + DRIVE_CURRENT]
                    speed = room.state[ROTOR_SPEEDS + j] * drive.ratio
        copper = factors.winding_heat_share * factors.motor_resistance * resistance * current * current
        path = thermal_resistance(mass, airspeed, abs(speed), factors)
        settled = steady_temperature(copper, 0.0, path, air)
        constant = heat_time_constant(mass, path, copper)
        room.windings[i] = temperature_after(room.windings[i], settled, constant, step)
        worst = max(worst, (room.windings[i] - air) / (script.winding_limit - air))
    return worst


@jit_into_caller
def _forward(room: Any, spins: int, step: float, count: int) -> None:
    """Carry the state on by a step: three-step Adams–Bashforth, fewer at the start; speeds of spin half implicitly."""
    state, rates, before, earlier = room.state, room.rates, room.before, room.earlier
    a, b, c = 23.0 / 12.0, -16.0 / 12.0, 5.0 / 12.0
    if count == 0:
        a, b, c = 1.0, 0.0, 0.0
    elif count == 1:
        a, b, c = 1.5, -0.5, 0.0
    for k in range(ROTOR_SPEEDS):
        state[k] += step * (a * rates[k] + b * before[k] + c * earlier[k])
        earlier[k] = before[k]
        before[k] = rates[k]
    for i in range(spins):
        k = ROTOR_SPEEDS + i
        slope = room.stiff[i]
        rest = rates[k] + slope * state[k]
        driven = a * rest + b * before[k] + c * earlier[k]
        half = 0.5 * step * slope
        state[k] = (state[k] * (1.0 - half) + step * driven) / (1.0 + half)
        earlier[k] = before[k]
        before[k] = rest
    q = QUATERNION
    size = 1.0 / math.sqrt(state[q] ** 2 + state[q + 1] ** 2 + state[q + 2] ** 2 + state[q + 3] ** 2)
    for k in range(q, q + 4):
        state[k] *= size


@jit
def fly_flight(
    case: Any, tables: Any, script: Any, pilot: Any, start: Any, contacts: Any, gusts: Any, events: Any, room: Any,
    rate: int, figures: Any, history: Any, keep: int,
) -> None:  # fmt: skip
    """Fly one flight; fill its figures, and its history every ``keep`` steps (0: none).

    Parameters
    ----------
    case : Case
        Its own: events change its rows, the battery empties.
    tables : Tables
    script, pilot : records
    start, contacts, gusts, events : arrays
        As in `Flights`, of this flight.
    room : Room
    rate : int
        Steps a second.
    figures : array
        In the order of `FIGURE_NAMES`.
    history : array, shape (moments, columns)
    keep : int
    """
    rotors, thrusters, drives = case.rotors.shape[0], case.thrusters.shape[0], case.drives.shape[0]
    state, controls, loads, notes, seen = room.state, room.controls, room.loads, room.notes, room.seen
    step = 1.0 / rate
    steps = int(script.duration * rate + 0.5)
    looking = max(int(LOOK * rate + 0.5), 1)
    gust_steps = max(rate // GUST_RATE, 1)
    figures[:] = math.nan
    figures[F_STRIKE], figures[F_NOSE], figures[F_REST], figures[F_SPIN] = 0.0, 0.0, 0.0, 0.0
    figures[F_HEIGHT], figures[F_QUARTERS], figures[F_FARTHEST], figures[F_HEAT] = 0.0, 0.0, 0.0, 0.0
    for k in range(state.shape[0]):
        state[k] = start[k]
    notes[:] = 0.0
    room.memory[:] = 0.0
    room.lately[:] = 0.0
    room.held[:] = 0.0
    room.touch[:] = 0.0
    room.governors[:] = 0.0
    room.windings[:] = script.air_temperature
    loads[:] = 0.0
    for i in range(case.batteries.shape[0]):
        loads[battery_block(rotors, thrusters, i) + VOLTAGE] = 3.7 * case.batteries[i].cells
    controls[:] = 0.0
    controls[0] = pilot.elevator
    notes[PHASE] = SPIN_UP
    if script.launch != FROM_GROUND:
        notes[PHASE] = FLY
        for i in range(thrusters):
            controls[4 + i] = pilot.throttle if script.launch == IN_AIR else 1.0
        for i in range(drives):
            room.governors[i] = 0.6
        figures[F_LIFT_TIME], figures[F_LIFT_WAY] = 0.0, 0.0
        figures[F_LIFT_SPEED] = math.sqrt(state[0] ** 2 + state[1] ** 2 + state[2] ** 2)
    fix(case, tables)
    _stiffness(case, room)
    height_at_start = -state[POSITION + 2]
    lifted = script.launch != FROM_GROUND
    opened = 0.0
    aloft, down_for, still, way, lift_way, lift_time, lift_speed = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    turned, turned_at_lift, last_heading = 0.0, 0.0, 0.0
    heading_wanted, climb_wanted, off_wanted = 0.0, 0.0, 0.0
    next_event, rows, view_row, count = 0, 0, 0, 0
    brake = 1.0
    killed = False
    time = 0.0
    over = False
    for number in range(steps):
        time = number * step
        while next_event < events.shape[0] and events[next_event, E_TIME] <= time:
            kind = int(events[next_event, E_KIND])
            _happen(case, room, kind, events[next_event, E_PART])
            killed = killed or kind == KILL
            fix(case, tables)
            next_event += 1
            count = 0
        r11, r12, r13, r21, r22, r23, r31, r32, r33 = body_to_earth(
            state[QUATERNION], state[QUATERNION + 1], state[QUATERNION + 2], state[QUATERNION + 3]
        )
        u, v, w = state[VELOCITY], state[VELOCITY + 1], state[VELOCITY + 2]
        going_north = r11 * u + r12 * v + r13 * w
        going_east = r21 * u + r22 * v + r23 * w
        climbing = -(r31 * u + r32 * v + r33 * w)
        height = -state[POSITION + 2]
        # the air
        blowing = wind_at_height(script.wind, max(height, 0.3), script.roughness)
        moment = min(number // gust_steps, gusts.shape[1] - 1)
        blowing += gusts[0, moment]
        if script.gust != 0.0:
            blowing += single_gust((time - script.gust_time) * max(script.wind, 5.0), script.gust_length, script.gust)
        across = gusts[1, moment]
        cw, sw = math.cos(script.wind_from), math.sin(script.wind_from)
        air_north = -blowing * cw + across * sw
        air_east = -blowing * sw - across * cw
        air_down = gusts[2, moment] * height / (height + 1.0) if height > 0.0 else 0.0
        velocity_through_air(state, air_north, air_east, air_down, room.air_velocity)
        airspeed = math.sqrt(room.air_velocity[0] ** 2 + room.air_velocity[1] ** 2 + room.air_velocity[2] ** 2)
        bank, pitch = math.atan2(r32, r33), math.asin(within(-r31, -1.0, 1.0))
        heading = math.atan2(r21, r11)
        turned += wrapped(heading - last_heading)
        last_heading = heading
        notes[TURNED] = turned
        grounded = room.touch[ANY] > 0.5
        # the pilot
        if number % looking == 0:
            seen[SPEED], seen[CLIMB], seen[PITCH_RATE], seen[PITCH] = airspeed, climbing, state[RATES + 1], pitch
            seen[ROLL_RATE], seen[YAW_RATE], seen[BANK], seen[HEADING] = state[RATES], state[RATES + 2], bank, heading
            seen[HEIGHT], seen[NORTH], seen[EAST] = height - height_at_start, state[POSITION], state[POSITION + 1]
            seen[SLIP], seen[TURNED_THEN] = room.air_velocity[1], turned
            view_row = look(pilot, notes, room.memory, seen)
            slowest = 1.0
            for i in range(rotors):
                row = int(case.rotors[i].drive)
                if row >= 0 and case.drives[row].governed == 1.0 and case.rotors[i].turning == 1.0:
                    slowest = min(slowest, state[ROTOR_SPEEDS + i] / (pilot.command * case.drives[row].speed))
            was = notes[PHASE]
            view = room.memory[view_row]
            heading_wanted, climb_wanted, off_wanted = plan(pilot, notes, view, slowest, grounded, time)
            if was == SPIN_UP and notes[PHASE] != SPIN_UP:
                opened = time
                brake = 0.0
            move_sticks(
                pilot, notes, view, room.lately, heading_wanted, climb_wanted, off_wanted, grounded, room.sticks
            )
            if notes[PHASE] == LANDED:
                brake = 0.1
        # servos and controllers
        for k in range(3):
            if room.held[0, k] == 0.0:
                wanted = room.sticks[k]
                if room.held[1, k] != 0.0:
                    wanted = -wanted
                controls[k] += (wanted - controls[k]) * step / SERVO
        for i in range(thrusters):
            at = 4 + i
            current = max(controls[at], 0.0)
            current += (room.sticks[3] - current) * step / THROTTLE_LAG
            controls[at] = current
            if killed or case.thrusters[i].working != 1.0 or current < 0.02:
                controls[at] = OFF if room.sticks[3] < 0.02 or killed or case.thrusters[i].working != 1.0 else 0.02
        command = OFF if notes[PHASE] == LANDED else pilot.command
        _command_drives(case, room, command, pilot.drive_roll * controls[2], step)
        # forces and motion
        for k in range(state.shape[0]):
            room.air_state[k] = state[k]
        room.air_state[RATES] -= gusts[3, moment]
        forces_and_moments(case, tables, room.air_velocity, room.air_state, controls, loads)
        if height < 3.0 * script.span + 1.0:
            add_ground(contacts, state, script.rolling, controls[1] * pilot.yaw_sense, brake, loads, room.touch)
        else:
            room.touch[ANY] = 0.0
        motion_of(case, state, loads, room.rates)
        # what it leaves
        grounded = room.touch[ANY] > 0.5
        way += math.sqrt(going_north * going_north + going_east * going_east) * step
        spin_least, spin_now = 1.0e9, 1.0e9
        for i in range(rotors):
            spin_now = min(spin_now, state[ROTOR_SPEEDS + i])
        if rotors > 0 and script.spin > 0.0:
            spin_least = spin_now / script.spin
            figures[F_SPIN] = max(figures[F_SPIN], spin_least)
        else:
            figures[F_SPIN], spin_least = 1.0, 1.0
        figures[F_FARTHEST] = max(figures[F_FARTHEST], math.sqrt(state[POSITION] ** 2 + state[POSITION + 1] ** 2))
        if grounded:
            aloft = 0.0
            down_for += step
        else:
            if aloft == 0.0:
                lift_way, lift_time, lift_speed = way, time, airspeed
            aloft += step
            down_for = 0.0
            if not lifted and aloft > LASTING:
                lifted = True
                figures[F_LIFT_TIME], figures[F_LIFT_WAY], figures[F_LIFT_SPEED] = lift_time, lift_way, lift_speed
                turned_at_lift = turned
            if lifted:
                if aloft > LASTING:
                    figures[F_SINK], figures[F_TOUCH_BANK], figures[F_TOUCH_PITCH] = math.nan, math.nan, math.nan
                figures[F_HEIGHT] = max(figures[F_HEIGHT], height - height_at_start)
                if not figures[F_SLOWEST] <= airspeed:
                    figures[F_SLOWEST] = airspeed
                if not figures[F_BANK] >= abs(bank):
                    figures[F_BANK] = abs(bank)
                if time - figures[F_LIFT_TIME] > 1.0 and not figures[F_SPIN_ALOFT] <= spin_least:
                    figures[F_SPIN_ALOFT] = spin_least
                quarters = math.floor(abs(turned - turned_at_lift) / (0.5 * math.pi) + 0.1)
                figures[F_QUARTERS] = max(figures[F_QUARTERS], quarters)
        if lifted and grounded and figures[F_SINK] != figures[F_SINK]:
            figures[F_SINK], figures[F_TOUCH_BANK], figures[F_TOUCH_PITCH] = -climbing, abs(bank), pitch
        if number % OUTER == 0:
            figures[F_HEAT] = max(figures[F_HEAT], _warm_and_drain(case, tables, script, room, airspeed, OUTER * step))
        if keep > 0 and number % keep == 0 and rows < history.shape[0]:
            _note(case, room, history[rows], time, airspeed, climbing, bank, pitch, turned, grounded, blowing * cw)
            history[rows, 5] = math.sqrt(going_north * going_north + going_east * going_east)
            rows += 1
        # ends
        ground_speed = math.sqrt(u * u + v * v + w * w)
        still = still + step if grounded and ground_speed < REST_SPEED else 0.0
        if grounded and r33 < TIPPED:
            figures[F_NOSE] = 1.0
            over = True
        if room.touch[STRIKE] > 0.5:
            figures[F_STRIKE] = 1.0
        if room.touch[OTHER_SPEED] > CRASH_SPEED or room.touch[HARDEST] > HARD_GEAR:
            figures[F_STRIKE] = 1.0
            over = True
        if figures[F_STRIKE] > 0.5 and not lifted:
            over = True
        if still > REST_TIME and notes[PHASE] != SPIN_UP and (lifted or time - opened > 5.0):
            figures[F_REST] = 1.0
            over = True
        if not lifted and notes[PHASE] != SPIN_UP and (time - opened > FOLLOWED or way > script.strip + 20.0):
            over = True
        if figures[F_FARTHEST] > 1.2 * script.out_of_reach:
            over = True
        if not airspeed < 200.0:
            over = True
        if over:
            break
        _forward(room, rotors + thrusters, step, count)
        count += 1
        for i in range(rotors):
            if case.rotors[i].turning != 1.0:
                state[ROTOR_SPEEDS + i] = 0.0
    figures[F_TIME] = time
    least = 1.0
    for i in range(case.batteries.shape[0]):
        least = min(least, case.batteries[i].charge)
    figures[F_CHARGE] = least


@jit_into_caller
def _note(
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


@jit_with_arrays
def _fly_some(
    numbers: AeroplaneNumbers, tables: Tables, flights: Flights, first: int, last: int, rate: int, figures: Any,
    history: Any, keep: int,
) -> None:  # fmt: skip
    """Fly flights first … last − 1, one after the other."""
    room = room_for_flight(
        numbers.rotors.shape[1], numbers.thrusters.shape[1], numbers.drives.shape[1], numbers.batteries.shape[1]
    )
    for k in range(first, last):
        case = case_of(numbers, k)
        fly_flight(
            case, tables, flights.scripts[k], flights.pilots[k], flights.starts[k], flights.contacts[k],
            flights.gusts[k], flights.events, room, rate, figures[k], history[min(k, history.shape[0] - 1)], keep,
        )  # fmt: skip


def simulate(
    numbers: AeroplaneNumbers, flights: Flights, *, rate: int = RATE, keep: int = 0, progress: Progress | None = None
) -> tuple[Floats, Floats]:
    """Fly a batch of flights on all cores.

    Parameters
    ----------
    numbers : AeroplaneNumbers
        One case a flight; a copy is flown, so that batteries stay full for the next.
    flights : Flights
    rate : int
        Steps a second.
    keep : int
        A row of history every so many steps; 0 keeps none.
    progress : callable, optional
        Called with (flights done, flights in all).

    Returns
    -------
    figures : array, shape (flights, figures)
        In the order of `FIGURE_NAMES`; NaN where a figure does not exist.
    histories : array, shape (flights, moments, columns)
        Columns: `HISTORY_BODY`, then speeds of rotors; throttle, speed and winding temperature of thrusters; duty and
        winding temperature of drives; voltage, current and charge of packs. Rows after the end are NaN. Without
        ``keep`` it has no rows.
    """
    count = len(flights.scripts)
    own = AeroplaneNumbers(*(part.copy() for part in numbers))
    tables = physics_tables()
    figures = np.full((count, len(FIGURE_NAMES)), np.nan)
    moments = int(float(flights.scripts["duration"].max()) * rate / keep) + 2 if keep else 1
    sizes = (own.rotors.shape[1], own.thrusters.shape[1], own.drives.shape[1], own.batteries.shape[1])
    histories = np.full((count if keep else 1, moments, history_columns(*sizes)), np.nan)

    def chunk(first: int, last: int) -> None:
        _fly_some(own, tables, flights, first, last, rate, figures, histories, keep)

    run_chunks(chunk, count, progress)
    return figures, histories
