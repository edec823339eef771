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

from rotorwright.base.jit import jit, jit_with_arrays
from rotorwright.flight.batch import Progress, run_chunks
from rotorwright.flight.contact import ANY, HARDEST, OTHER_SPEED, STRIKE, add_ground, reach_of
from rotorwright.flight.equation import forces_and_moments, motion_of
from rotorwright.flight.fixed import fix
from rotorwright.flight.flight_air import feel_ground, meet_air
from rotorwright.flight.flight_audit import AUDIT_COLUMNS, keep_books
from rotorwright.flight.flight_controls import OPENED, follow, misread
from rotorwright.flight.flight_inside import command_drives, fill_stiffness, happen, warm_and_drain
from rotorwright.flight.flight_rows import (
    E_KIND,
    E_PART,
    E_TIME,
    F_BANK,
    F_CHARGE,
    F_FARTHEST,
    F_HEAT,
    F_HEIGHT,
    F_LIFT_SPEED,
    F_LIFT_TIME,
    F_LIFT_WAY,
    F_NOSE,
    F_QUARTERS,
    F_REST,
    F_SINK,
    F_SLOWEST,
    F_SPIN,
    F_SPIN_ALOFT,
    F_STRIKE,
    F_TIME,
    F_TOUCH_BANK,
    F_TOUCH_PITCH,
    FIGURE_NAMES,
    FROM_GROUND,
    FROM_LINE,
    IN_AIR,
    KILL,
    Flights,
    history_columns,
    note_moment,
    room_for_flight,
)
from rotorwright.flight.layout import (
    FORCES,
    OFF,
    POSITION,
    QUATERNION,
    RATES,
    ROTOR_SPEEDS,
    VELOCITY,
    VOLTAGE,
    battery_block,
)
from rotorwright.flight.line import ON_HOOK, pull_line
from rotorwright.flight.numbers import AeroplaneNumbers, Tables, case_of, physics_tables
from rotorwright.flight.pilot import (
    BANK,
    CLIMB,
    EAST,
    FLY,
    HEADING,
    HEIGHT,
    LANDED,
    LOOK,
    NORTH,
    PHASE,
    PITCH,
    PITCH_RATE,
    ROLL,
    ROLL_RATE,
    SLIP,
    SLOWED_DRIVE,
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
from rotorwright.flight.stepping import carry_forward
from rotorwright.flight.turning import body_to_earth

Floats = npt.NDArray[np.float64]

RATE = 200
"""Steps a second."""
GUST_RATE = 50
"""Gusts are held for a fiftieth of a second."""
OUTER = 10
"""Steps between two of battery, windings and controllers' temperature."""
SPIN_RAMP = 2.0
"""Time over which a pilot brings the rotor drives up before the take-off [s] (judgement: controllers lose their step
when a heavy rotor is asked for its speed at once)."""
SERVO = 0.05
"""Time constant of servo and linkage [s] (0.1 s for 60°, common practice)."""
THROTTLE_LAG = 0.15
"""Time constant with which a controller follows the throttle stick [s] (judgement)."""
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


@jit
def fly_flight(
    case: Any, tables: Any, script: Any, pilot: Any, start: Any, contacts: Any, gusts: Any, events: Any, commands: Any,
    eyes: Any, room: Any, rate: int, figures: Any, audit: Any, history: Any, keep: int,
) -> None:  # fmt: skip
    """Fly one flight; fill its figures and its books, and its history every ``keep`` steps (0: none).

    Parameters
    ----------
    case : Case
        Its own: events change its rows, the battery empties.
    tables : Tables
    script, pilot : records
    start, contacts, gusts, events, commands, eyes : arrays
        As in `Flights`, of this flight.
    room : Room
    rate : int
        Steps a second.
    figures : array
        In the order of `FIGURE_NAMES`.
    audit : array
        In the order of `AUDIT_NAMES`; of no length: no books are kept.
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
    room.book[:] = 0.0
    room.line[:] = 0.0
    audit[:] = 0.0
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
            if script.launch == FROM_LINE:
                controls[4 + i], room.line[ON_HOOK] = 0.0, 1.0
        for i in range(drives):
            room.governors[i] = 0.6
        figures[F_LIFT_TIME], figures[F_LIFT_WAY] = 0.0, 0.0
        figures[F_LIFT_SPEED] = math.sqrt(state[0] ** 2 + state[1] ** 2 + state[2] ** 2)
    fix(case, tables)
    fill_stiffness(case, room)
    rise, reach = math.tan(script.slope), reach_of(contacts)
    height_at_start = -state[POSITION + 2]
    command_row, drive_share = 0, 1.0
    lifted = script.launch != FROM_GROUND
    opened = 0.0
    aloft, down_for, still, way, lift_way, lift_time, lift_speed = 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
    turned, turned_at_lift, last_heading = 0.0, 0.0, 0.0
    heading_wanted, climb_wanted, off_wanted = 0.0, 0.0, 0.0
    next_event, rows, count = 0, 0, 0
    brake = 1.0
    killed = False
    time = 0.0
    over = False
    for number in range(steps):
        time = number * step
        while next_event < events.shape[0] and events[next_event, E_TIME] <= time:
            kind = int(events[next_event, E_KIND])
            happen(case, room, kind, events[next_event, E_PART])
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
        height = -state[POSITION + 2] - rise * state[POSITION]
        # the air
        moment = min(number // gust_steps, gusts.shape[1] - 1)
        blowing, airspeed = meet_air(script, gusts, moment, time, height, state, room.air_velocity)
        feel_ground(case, script, height, r33)
        bank, pitch = math.atan2(r32, r33), math.asin(within(-r31, -1.0, 1.0))
        heading = math.atan2(r21, r11)
        turned += wrapped(heading - last_heading)
        last_heading = heading
        notes[TURNED] = turned
        grounded = room.touch[ANY] > 0.5
        # who moves the sticks
        if commands.shape[0] > 0:
            command_row, drive_share = follow(commands, command_row, time, room.sticks)
            if notes[PHASE] == SPIN_UP and room.sticks[3] > OPENED:
                notes[PHASE], opened, brake = ROLL, time, 0.0
            elif notes[PHASE] == ROLL and lifted:
                notes[PHASE] = FLY
        elif number % looking == 0:
            seen[SPEED], seen[CLIMB], seen[PITCH_RATE], seen[PITCH] = airspeed, climbing, state[RATES + 1], pitch
            seen[ROLL_RATE], seen[YAW_RATE], seen[BANK], seen[HEADING] = state[RATES], state[RATES + 2], bank, heading
            seen[HEIGHT], seen[NORTH], seen[EAST] = height - height_at_start, state[POSITION], state[POSITION + 1]
            seen[SLIP], seen[TURNED_THEN] = room.air_velocity[1], turned
            misread(eyes, number // looking, seen)
            view = room.memory[look(pilot, notes, room.memory, seen)]
            slowest = 1.0
            for i in range(rotors):
                row = int(case.rotors[i].drive)
                if row >= 0 and case.drives[row].governed == 1.0 and case.rotors[i].turning == 1.0:
                    slowest = min(slowest, state[ROTOR_SPEEDS + i] / (pilot.command * case.drives[row].speed))
            was = notes[PHASE]
            heading_wanted, climb_wanted, off_wanted = plan(pilot, notes, view, slowest, grounded, time)
            if was == SPIN_UP and notes[PHASE] != SPIN_UP:
                opened = time
                brake = 0.0
            move_sticks(
                pilot, notes, view, room.lately, heading_wanted, climb_wanted, off_wanted, grounded, room.sticks
            )
            if notes[PHASE] == LANDED:
                brake = 0.1
            drive_share = OFF if notes[PHASE] == LANDED else 1.0 - notes[SLOWED_DRIVE]
        if room.line[ON_HOOK] > 0.5:
            room.sticks[3] = 0.0  # no propeller turns while the line is on
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
        command = OFF if drive_share <= 0.0 else pilot.command * drive_share
        if script.launch == FROM_GROUND and command > 0.0:
            command *= min(time / SPIN_RAMP, 1.0)
        command_drives(case, room, command, pilot.drive_roll * controls[2], step)
        # forces and motion
        for k in range(state.shape[0]):
            room.air_state[k] = state[k]
        room.air_state[RATES] -= gusts[3, moment]
        forces_and_moments(case, tables, room.air_velocity, room.air_state, controls, loads)
        for k in range(6):
            room.without_ground[k] = loads[FORCES + k]
        if script.launch == FROM_LINE:
            pull_line(script, state, (r11, r12, r13, r21, r22, r23, r31, r32, r33), loads, room.line)
        if height < reach:
            add_ground(
                contacts, state, script.slope, script.rolling, controls[1] * pilot.yaw_sense, brake, loads, room.touch
            )
        else:
            room.touch[ANY] = 0.0
        motion_of(case, state, loads, room.rates)
        if audit.shape[0] > 0:
            since = step if number > 0 else 0.0
            keep_books(case, state, loads, room.without_ground, room.line, audit, room.book, since)
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
            sinking = rise * going_north - climbing
            figures[F_SINK], figures[F_TOUCH_BANK], figures[F_TOUCH_PITCH] = sinking, abs(bank), pitch
        if number % OUTER == 0:
            figures[F_HEAT] = max(figures[F_HEAT], warm_and_drain(case, tables, script, room, airspeed, OUTER * step))
        if keep > 0 and number % keep == 0 and rows < history.shape[0]:
            note_moment(
                case,
                room,
                history[rows],
                time,
                airspeed,
                climbing,
                bank,
                pitch,
                turned,
                grounded,
                blowing * math.cos(script.wind_from),
            )
            history[rows, 3] = height
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
        carry_forward(room, rotors + thrusters, step, count)
        count += 1
        for i in range(rotors):
            if case.rotors[i].turning != 1.0:
                state[ROTOR_SPEEDS + i] = 0.0
    figures[F_TIME] = time
    least = 1.0
    for i in range(case.batteries.shape[0]):
        least = min(least, case.batteries[i].charge)
    figures[F_CHARGE] = least


@jit_with_arrays
def _fly_some(
    numbers: AeroplaneNumbers, tables: Tables, flights: Flights, first: int, last: int, rate: int, figures: Any,
    audits: Any, ends: Any, history: Any, keep: int,
) -> None:  # fmt: skip
    """Fly flights first … last − 1, one after the other."""
    room = room_for_flight(
        numbers.rotors.shape[1], numbers.thrusters.shape[1], numbers.drives.shape[1], numbers.batteries.shape[1]
    )
    for k in range(first, last):
        case = case_of(numbers, k)
        fly_flight(
            case, tables, flights.scripts[k], flights.pilots[k], flights.starts[k], flights.contacts[k],
            flights.gusts[k], flights.events, flights.commands, flights.eyes[k], room, rate, figures[k], audits[k],
            history[min(k, history.shape[0] - 1)], keep,
        )  # fmt: skip
        ends[k] = room.state


class Simulated(NamedTuple):
    """What a batch of flights leaves."""

    figures: Floats
    """In the order of `FIGURE_NAMES`, shape (flights, figures); NaN where a figure does not exist."""
    histories: Floats
    """Shape (flights, moments, columns): `HISTORY_BODY`, then speeds of rotors; throttle, speed and winding temperature
    of thrusters; duty and winding temperature of drives; voltage, current and charge of packs. Rows after the end are
    NaN. Without ``keep`` it has no rows."""
    audits: Floats
    """In the order of `rotorwright.flight.flight_audit.AUDIT_NAMES`, shape (flights, columns)."""
    ends: Floats
    """State at the end, shape (flights, state)."""


def simulate(
    numbers: AeroplaneNumbers, flights: Flights, *, rate: int = RATE, keep: int = 0, progress: Progress | None = None
) -> tuple[Floats, Floats]:
    """Fly a batch of flights on all cores; return figures and histories of `Simulated`.

    Parameters
    ----------
    numbers, flights, rate, keep, progress
        As `simulate_with` takes them.
    """
    done = simulate_with(numbers, physics_tables(), flights, rate=rate, keep=keep, books=False, progress=progress)
    return done.figures, done.histories


def simulate_with(
    numbers: AeroplaneNumbers,
    tables: Tables,
    flights: Flights,
    *,
    rate: int = RATE,
    keep: int = 0,
    books: bool = True,
    progress: Progress | None = None,
) -> Simulated:
    """Fly a batch of flights on all cores.

    Parameters
    ----------
    numbers : AeroplaneNumbers
        One case a flight; a copy is flown, so that batteries stay full for the next.
    tables : Tables
    flights : Flights
    rate : int
        Steps a second.
    keep : int
        A row of history every so many steps; 0 keeps none.
    books : bool
        Keep the books; without them ``audits`` has no columns.
    progress : callable, optional
        Called with (flights done, flights in all).

    Returns
    -------
    Simulated
    """
    count = len(flights.scripts)
    own = AeroplaneNumbers(*(part.copy() for part in numbers))
    figures = np.full((count, len(FIGURE_NAMES)), np.nan)
    audits = np.zeros((count, AUDIT_COLUMNS if books else 0))
    ends = np.zeros(flights.starts.shape)
    moments = int(float(flights.scripts["duration"].max()) * rate / keep) + 2 if keep else 1
    sizes = (own.rotors.shape[1], own.thrusters.shape[1], own.drives.shape[1], own.batteries.shape[1])
    histories = np.full((count if keep else 1, moments, history_columns(*sizes)), np.nan)

    def chunk(first: int, last: int) -> None:
        _fly_some(own, tables, flights, first, last, rate, figures, audits, ends, histories, keep)

    run_chunks(chunk, count, progress)
    return Simulated(figures, histories, audits, ends)
