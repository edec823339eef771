"""A simple pilot for simulated flights: sees late, moves the sticks in proportion, trims, and flies one circuit.

What is seen is the aeroplane as it was a delay ago. Sticks follow a linear law about the trim of level flight, and
reckon with what they did in the meantime; the gains belong to the aeroplane (`rotorwright.studies.pilot_law`). Over it
stands a plan: spin up, roll, climb, four left turns, approach, landing. The pilot looks at bank, nose, speed and climb,
not at the physics behind them.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from rotorwright.base.jit import jit, jit_into_caller

# what the pilot sees, one row of the memory
SPEED, CLIMB, PITCH_RATE, PITCH, SLIP, ROLL_RATE, YAW_RATE, BANK, HEADING, HEIGHT, NORTH, EAST, TURNED_THEN = range(13)
SEEN = 13
MEMORY = 16
"""Looks the memory holds; the longest delay is one less."""
LOOK = 0.05
"""Time between two looks, and between two moves of the sticks [s]."""
REMEMBERED = 12
"""Looks over which a pilot remembers what the sticks did, at most."""

# phases of the plan
SPIN_UP, ROLL, FLY, LANDED = 0.0, 1.0, 2.0, 3.0
# the pilot's own notes
PHASE, LEG, TIMER, TURNED, TRIM_ELEVATOR, TRIM_RUDDER, TRIM_AILERON, TRIM_THROTTLE = range(8)
LOOKS, AIRBORNE, USUAL_SPEED, SLOWED_DRIVE = range(8, 12)
NOTES = 12

SPEED_PACE = 0.3
"""Share of a speed's difference from the usual one that becomes usual in a second: from the ground a pilot sees that it
gets faster or slower, not how fast it flies [1/s]."""
DRIVE_PACE, DRIVE_EASY, DRIVE_LEAST = 0.3, 0.08, 0.5
"""Rotor command given or taken in a second for a speed that is off by its whole, beyond the share of it that a pilot
does not mind; and the least command."""
NEAR_STOP = 0.8
"""Share of the elevator's travel beyond which a pilot takes throttle off, or gives it, instead of more elevator."""
ROLL_THROTTLE = 0.3
"""Throttle for the take-off roll, over that of level flight."""
LIGHT = 0.5
"""Share of level speed from which a pilot flies the controls on the ground too."""
TRIM_PACE = 0.25
"""Share of a held stick that is trimmed away in a second."""
TRIM_MOST = 0.6
SPIN_WAIT = 8.0
"""A pilot waits no longer than this for the rotors to spin up [s]."""
UP_TO_SPEED = 0.95
LINE_PACE = 0.12
"""Angle steered back to a line for each metre off it, at most `LINE_MOST` [rad/m]."""
LINE_MOST = 0.5
HEIGHT_PACE = 0.4
"""Climb asked for each metre of height missing [1/s]."""
GROUND_STEER = (1.5, 0.3)
"""Rudder for a heading error [1/rad] and a yaw rate [s/rad] while rolling."""
LOW = 1.0
"""Below this height the pilot sinks slower [m]."""
BOUNCE = 0.2
"""Down again for so long after lift-off, the take-off run goes on [s]."""
GROUND_NOSE = (1.5, 3.0)
"""Elevator for a nose off its attitude on the run [1/rad], and its growth with time [1/rad/s]."""
GIVES_UP = 2.0
"""Down for so long before the circuit is flown, a pilot closes the throttle [s]."""
LOW_TURN, BANK_NEAR_GROUND = 1.8, 0.1
"""Below this height [m] a pilot banks no more than this [rad]."""
SETTLE_SINK = 0.4
"""Sink asked for below `LOW` [m/s]."""

PILOT = np.dtype(
    [
        ("delay", np.float64),  # between seeing and moving [s]
        ("hand", np.float64),  # stick given over that of the law
        ("plans", np.float64),  # 1: flies the circuit; 0: holds heading and height from the start
        ("bank", np.float64),  # steepest bank asked for [rad]
        ("height", np.float64),  # of the circuit above the start [m]
        ("climb", np.float64),  # steepest climb asked for [m/s]
        ("sink", np.float64),  # sink asked for on the approach [m/s]
        ("upwind", np.float64),  # first turn so far ahead of the start [m]
        ("width", np.float64),  # downwind leg so far to the left [m]
        ("downwind", np.float64),  # third turn so far behind the start [m]
        ("radius", np.float64),  # of the turns in still air [m]
        ("pace", np.float64),  # share of a heading error worked off in a second [1/s]
        ("turning", np.float64),  # turn rate for a bank [1/s]
        ("speed", np.float64),  # level flight [m/s]
        ("pitch", np.float64),
        ("elevator", np.float64),
        ("throttle", np.float64),
        ("command", np.float64),  # of the rotor drives
        ("strip", np.float64),  # where a run is given up [m]
        ("yaw_sense", np.float64),  # +1: rudder stick positive yaws right
        ("spin", np.float64),  # rotor speed in level flight [rad/s]
        ("gravity", np.float64),
        ("rudder", np.float64),  # that holds level flight straight
        ("throttle_for_elevator", np.float64),  # taken off for a full elevator stick more than there is
        ("along_gains", np.float64, (2, 4)),  # elevator and throttle over speed, climb, pitch rate, pitch
        ("along_memory", np.float64, (2, REMEMBERED, 2)),  # over what they did so many looks ago
        ("along_asked", np.float64, (4,)),  # what is seen in a steady climb of 1 m/s
        ("along_given", np.float64, (2,)),  # the sticks then
        ("across_gains", np.float64, (2, 4)),  # rudder and aileron over slip, roll rate, yaw rate, bank
        ("across_memory", np.float64, (2, REMEMBERED, 2)),
        ("across_asked", np.float64, (4,)),  # in a steady bank of 1 rad
        ("across_given", np.float64, (2,)),
        ("across_rest", np.float64, (4,)),  # what is seen in trimmed level flight
        ("aileron", np.float64),
        ("drive_roll", np.float64),  # share of their speed by which drives part at full aileron stick
    ]
)


@jit
def within(value: float, least: float, most: float) -> float:
    """Return a value held between two bounds."""
    return min(max(value, least), most)


@jit
def wrapped(angle: float) -> float:
    """Return an angle between −π and π."""
    return angle - 2.0 * math.pi * math.floor(angle / (2.0 * math.pi) + 0.5)


@jit_into_caller
def look(pilot: Any, notes: Any, memory: Any, seen: Any) -> int:
    """Remember what is seen now and return the row of the memory that the pilot acts on."""
    count = int(notes[LOOKS])
    for k in range(SEEN):
        memory[count % MEMORY, k] = seen[k]
    notes[LOOKS] = count + 1.0
    late = int(pilot.delay / LOOK + 0.5)
    if late > MEMORY - 1:
        late = MEMORY - 1
    if late > count:
        late = count
    return (count - late) % MEMORY


@jit_into_caller
def plan(
    pilot: Any, notes: Any, view: Any, slowest_spin: float, grounded: bool, time: float
) -> tuple[float, float, float]:
    """Move on in the plan and return heading (turned since the start), climb and angle back to the line asked for.

    Parameters
    ----------
    pilot : PILOT record
    notes, view : arrays
    slowest_spin : float
        Speed of the slowest driven rotor over the one it is to have; 1 where none is driven.
    grounded : bool
        Whether it is now on the ground (felt at once).
    time : float
        [s]
    """
    phase = notes[PHASE]
    if phase == SPIN_UP:
        if slowest_spin >= UP_TO_SPEED or time - notes[TIMER] > SPIN_WAIT:
            notes[PHASE], notes[TIMER] = ROLL, time
        return 0.0, 0.0, 0.0
    if phase == ROLL:
        if not grounded:
            notes[AIRBORNE] += LOOK
            if notes[AIRBORNE] > 0.3:
                notes[PHASE], notes[TIMER] = FLY, time
        else:
            notes[AIRBORNE] = 0.0
            if view[NORTH] > pilot.strip:
                notes[PHASE] = LANDED
        return 0.0, pilot.climb, 0.0
    if phase == LANDED:
        return -2.0 * math.pi * (1.0 if notes[LEG] >= 4.0 else 0.0), 0.0, 0.0
    # in the air
    if grounded:
        notes[AIRBORNE] = 0.0
        notes[TIMER] += LOOK  # stays down for a moment before it counts as landed
        if notes[LEG] == 0.0 and pilot.plans == 1.0:
            if notes[TIMER] > BOUNCE:
                notes[PHASE] = ROLL  # it was not ready to fly: the run goes on
        elif notes[TIMER] > (0.3 if notes[LEG] >= 3.0 else GIVES_UP):
            notes[PHASE] = LANDED
    else:
        notes[TIMER] = 0.0
    leg = notes[LEG]
    height, north, east = view[HEIGHT], view[NORTH], view[EAST]
    wanted = within(HEIGHT_PACE * (pilot.height - height), -pilot.sink, pilot.climb)
    if pilot.plans != 1.0:
        return 0.0, wanted, within(-LINE_PACE * east, -LINE_MOST, LINE_MOST)
    reach = pilot.radius
    if leg == 0.0:
        if height > 0.6 * pilot.height and north > pilot.upwind:
            notes[LEG] = 1.0
        return 0.0, wanted, within(-LINE_PACE * east, -LINE_MOST, LINE_MOST)
    if leg == 1.0:
        if -east > pilot.width - reach:
            notes[LEG] = 2.0
        return -0.5 * math.pi, wanted, 0.0
    if leg == 2.0:
        if north < reach - pilot.downwind:
            notes[LEG] = 3.0
        off = within(LINE_PACE * (east + pilot.width), -LINE_MOST, LINE_MOST)
        return -math.pi, wanted, off
    slope = pilot.sink / pilot.speed
    if leg == 3.0:
        if -east < reach:
            notes[LEG] = 4.0
        glide = slope * (max(-north, 0.0) + max(-east, 0.0))
        return -1.5 * math.pi, within(HEIGHT_PACE * (min(glide, pilot.height) - height), -pilot.sink, 0.5), 0.0
    glide = slope * max(-north, 0.0)
    asked = within(HEIGHT_PACE * (glide - height), -pilot.sink, 0.5)
    if north > -2.0 * pilot.speed:
        asked = min(asked, -SETTLE_SINK)
    if height < LOW:
        asked = max(asked, -SETTLE_SINK)
    return -2.0 * math.pi, asked, within(-LINE_PACE * east, -LINE_MOST, LINE_MOST)


@jit
def _steer(pilot: Any, off: float, yaw_rate: float) -> float:
    """Return the rudder that keeps it straight while rolling."""
    return within(-pilot.yaw_sense * (GROUND_STEER[0] * off + GROUND_STEER[1] * yaw_rate), -1.0, 1.0)


@jit_into_caller
def move_sticks(
    pilot: Any, notes: Any, view: Any, lately: Any, heading: float, climb: float, off: float, grounded: bool,
    sticks: Any,
) -> None:  # fmt: skip
    """Fill the sticks (elevator, rudder, aileron, throttle) that the pilot gives now.

    Parameters
    ----------
    pilot : PILOT record
    notes, view : arrays
    lately : array, shape (looks ago, 4)
        What the sticks did beyond their rest.
    heading, climb, off : float
        From `plan`.
    grounded : bool
    sticks : array, shape (4,)
    """
    phase = notes[PHASE]
    if phase in (SPIN_UP, LANDED):
        sticks[0], sticks[2] = pilot.elevator, 0.0
        sticks[1] = _steer(pilot, wrapped(view[HEADING]), view[YAW_RATE])
        sticks[3] = 0.0
        return
    turned = view[TURNED_THEN]
    if notes[USUAL_SPEED] == 0.0:
        notes[USUAL_SPEED] = pilot.speed
    if phase == ROLL and view[SPEED] < LIGHT * pilot.speed:
        sticks[0], sticks[2] = pilot.elevator, pilot.aileron
        sticks[1] = _steer(pilot, turned, view[YAW_RATE])
        sticks[3] = min(pilot.throttle + ROLL_THROTTLE, 1.0)
        return
    if phase == ROLL:
        heading, climb, off, turned = 0.0, 0.0, 0.0, 0.0
    else:
        notes[USUAL_SPEED] += SPEED_PACE * LOOK * (view[SPEED] - notes[USUAL_SPEED])
        fast = view[SPEED] / pilot.speed - 1.0
        beyond = fast - within(fast, -DRIVE_EASY, DRIVE_EASY)
        notes[SLOWED_DRIVE] = within(notes[SLOWED_DRIVE] - DRIVE_PACE * LOOK * beyond, 0.0, 1.0 - DRIVE_LEAST)
    rate = within(pilot.pace * (heading + off - turned), -3.0, 3.0)
    steepest = pilot.bank if view[HEIGHT] > LOW_TURN else min(pilot.bank, BANK_NEAR_GROUND)
    bank = within(rate / pilot.turning, -steepest, steepest)
    elevator, throttle, rudder, aileron = 0.0, 0.0, 0.0, 0.0
    for k in range(4):
        error = view[SPEED + k] - climb * pilot.along_asked[k]
        if k == 0:
            error -= notes[USUAL_SPEED]
        elif k == 3:
            error -= pilot.pitch
        elevator += pilot.along_gains[0, k] * error
        throttle += pilot.along_gains[1, k] * error
        error = view[SLIP + k] - bank * pilot.across_asked[k] - pilot.across_rest[k]
        if phase == ROLL and k in (0, 2):
            error = 0.0  # on its wheels it slips with the cross wind, and turns with the wheels
        rudder += pilot.across_gains[0, k] * error
        aileron += pilot.across_gains[1, k] * error
    elevator, throttle, rudder, aileron = (
        pilot.hand * elevator, pilot.hand * throttle, pilot.hand * rudder, pilot.hand * aileron
    )  # fmt: skip
    for ago in range(REMEMBERED):
        elevator += pilot.along_memory[0, ago, 0] * lately[ago, 0] + pilot.along_memory[0, ago, 1] * lately[ago, 3]
        throttle += pilot.along_memory[1, ago, 0] * lately[ago, 0] + pilot.along_memory[1, ago, 1] * lately[ago, 3]
        rudder += pilot.across_memory[0, ago, 0] * lately[ago, 1] + pilot.across_memory[0, ago, 1] * lately[ago, 2]
        aileron += pilot.across_memory[1, ago, 0] * lately[ago, 1] + pilot.across_memory[1, ago, 1] * lately[ago, 2]
    rest_elevator = pilot.elevator + notes[TRIM_ELEVATOR] + climb * pilot.along_given[0]
    rest_rudder = pilot.rudder + notes[TRIM_RUDDER] + bank * pilot.across_given[0]
    rest_aileron = pilot.aileron + notes[TRIM_AILERON] + bank * pilot.across_given[1]
    rest_throttle = pilot.throttle + notes[TRIM_THROTTLE] + climb * pilot.along_given[1]
    wanted = rest_elevator + elevator
    if phase == ROLL:
        nose = view[PITCH] - pilot.pitch
        wanted += GROUND_NOSE[0] * nose
        notes[TRIM_ELEVATOR] = within(notes[TRIM_ELEVATOR] + GROUND_NOSE[1] * LOOK * nose, -TRIM_MOST, TRIM_MOST)
    beyond = wanted - within(wanted, -NEAR_STOP, NEAR_STOP)
    throttle -= beyond * pilot.throttle_for_elevator
    sticks[0] = within(wanted, -1.0, 1.0)
    sticks[1] = within(rest_rudder + rudder, -1.0, 1.0)
    sticks[2] = within(rest_aileron + aileron, -1.0, 1.0)
    sticks[3] = within(rest_throttle + throttle, 0.0, 1.0)
    if phase == ROLL:
        sticks[1] = _steer(pilot, view[TURNED_THEN], view[YAW_RATE])
        sticks[3] = min(pilot.throttle + ROLL_THROTTLE, 1.0)
        return
    for ago in range(REMEMBERED - 1, 0, -1):
        for k in range(4):
            lately[ago, k] = lately[ago - 1, k]
    lately[0, 0], lately[0, 1] = sticks[0] - rest_elevator, sticks[1] - rest_rudder
    lately[0, 2], lately[0, 3] = sticks[2] - rest_aileron, sticks[3] - rest_throttle
    pace = TRIM_PACE * LOOK
    if not grounded:
        notes[TRIM_ELEVATOR] = within(notes[TRIM_ELEVATOR] + pace * lately[0, 0], -TRIM_MOST, TRIM_MOST)
        if pilot.across_gains[1, 3] == 0.0:  # where something else rolls it, that is trimmed
            notes[TRIM_RUDDER] = within(notes[TRIM_RUDDER] + pace * lately[0, 1], -TRIM_MOST, TRIM_MOST)
        notes[TRIM_AILERON] = within(notes[TRIM_AILERON] + pace * lately[0, 2], -TRIM_MOST, TRIM_MOST)
        if 0.0 < sticks[3] < 1.0:
            notes[TRIM_THROTTLE] = within(notes[TRIM_THROTTLE] + pace * lately[0, 3], -TRIM_MOST, TRIM_MOST)
