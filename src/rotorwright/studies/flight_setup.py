"""From an aeroplane and what it shall meet to flights ready to be flown."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.records import WING
from rotorwright.base.unknown import sampled_factors
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import FilledRows
from rotorwright.flight.alone import attitude_quaternion
from rotorwright.flight.contact import contact_points
from rotorwright.flight.flight_rows import (
    DRIVE_STOPS,
    E_COLUMNS,
    EVERY_PART,
    FROM_GROUND,
    FROM_HAND,
    FROM_LINE,
    IN_AIR,
    KILL,
    MOTOR_STOPS,
    PACK_SAGS,
    ROTOR_SLOWS,
    ROTOR_STOPS,
    SCRIPT,
    SERVO_REVERSES,
    SERVO_STICKS,
    Flights,
    clear_eyes,
    no_commands,
)
from rotorwright.flight.layout import POSITION, QUATERNION, ROTOR_SPEEDS
from rotorwright.flight.linear import Linear, P, Point, Q, R, linearise
from rotorwright.flight.numbers import AeroplaneNumbers, assemble
from rotorwright.flight.pilot import PILOT
from rotorwright.flight.simulate import GUST_RATE
from rotorwright.flight.solver import GUESS_INNER
from rotorwright.physics.air.wind import ROUGHNESS, turbulence_scales, wind_at_height
from rotorwright.physics.airframe.rolling import SURFACES
from rotorwright.studies.custom_blade import filled
from rotorwright.studies.evaluate import Flown, field_air, fly
from rotorwright.studies.first_flights_draws import Draws, build, nominal_draw
from rotorwright.studies.flight_events import EVERY, STICKS, Event, parts_of
from rotorwright.studies.flight_line import Line, fill_line, line_for
from rotorwright.studies.flight_outcomes import Bounds
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.pilot_eye import misreadings
from rotorwright.studies.pilot_law import across_law, along_law
from rotorwright.studies.stick_script import StickScript
from rotorwright.studies.turbulence import first_order, second_order, second_order_step

Floats = npt.NDArray[np.float64]

ROLLING = {name: surface.printed for name, surface in SURFACES.items()}
"""Rolling friction by surface; what small wheels make of it is drawn for each flight."""
OPEN_GRASS = ROUGHNESS["open"]
STARTS = {"ground": FROM_GROUND, "hand": FROM_HAND, "bungee": FROM_LINE, "air": IN_AIR}
LAUNCHES = tuple(STARTS)
HEAVIEST_THROW = 2.0
"""Mass that one hand throws [kg] (judgement)."""
HAND_HEIGHT, AIR_HEIGHT = 1.8, 15.0
STRIP = 100.0
"""Length of a strip that the file does not tell [m]."""
REACH = 300.0
"""Distance at which a pilot no longer sees how a model of one metre lies; grows as the span's root [m] (judgement)."""
WINDING_LIMIT = 393.15
"""Winding temperature that common magnet wire and magnets bear for long, 120 °C [K] (common practice, no source)."""
DRIVE_ROLL = 0.15
"""Share of their speed by which left and right drives part at full stick (common practice, no source)."""
ROLLS = 2.0
"""A stick that rolls it by so much at once rolls it enough to trim it [rad/s²]."""
HELD = 0.4
"""Share of a stick's travel that a pilot spends on holding a turn or a climb."""
STEEPEST_CLIMB = 1.5
"""Climb asked for at most [m/s]: a first flight is no climbing contest (common practice, no source)."""
TURN_PACE = (0.2, 0.4)
"""Share of a heading error worked off in a second, by rudder alone and with a stick that rolls it [1/s]."""
LEAST_TURNING = 0.2
"""Turn rate for a bank, over that of a turn without slip, below which a pilot does not believe it [1]."""
SAG = 0.003
SPUN_BY_THROW = 0.8
"""Spin of a free rotor as it leaves the hand, over what it settles at (judgement)."""
TURBULENT_HEIGHT = 10.0
WIND_6M = 6.096
KINDS = {
    "rotor stops": ROTOR_STOPS, "rotor slows": ROTOR_SLOWS, "motor stops": MOTOR_STOPS, "drive stops": DRIVE_STOPS,
    "pack sags": PACK_SAGS, "servo sticks": SERVO_STICKS, "servo reverses": SERVO_REVERSES, "kill-switch cuts": KILL,
}  # fmt: skip


class PilotClass(NamedTuple):
    """How quick and how bold a pilot is."""

    name: str
    words: str
    delay: float
    """Between seeing and moving [s]."""
    bank: float
    """Steepest bank asked for [rad]."""


PILOTS = {
    pilot.name: pilot
    for pilot in (
        PilotClass("learner", "a learner", 0.40, math.radians(15.0)),
        PilotClass("club", "a club pilot", 0.30, math.radians(20.0)),
        PilotClass("old-hand", "an old hand", 0.22, math.radians(25.0)),
    )
}
"""Delays 0.2 to 0.4 s: eye and hand (from memory); 0.25 s is what pilots bear in tracking (Riley and Miller, NASA
TP-1216, 1978, abstract read). Banks: first turns to 20° (FAA AC 90-89A, 1995, read in part)."""


@dataclass(frozen=True)
class Conditions:
    """What was asked: a flight or many under these conditions."""

    wind: float | None = None
    """Mean wind at 10 m [m/s]; None: drawn for many flights, calm for one."""
    wind_from: float = 0.0
    """To the right of the strip [rad]."""
    gust: float = 0.0
    """Of one gust along the wind [m/s]; negative is a lull."""
    gust_time: float = 20.0
    turbulent: bool = True
    launch: str = "ground"
    surface: str = "short grass"
    pilot: str = "club"
    plans: bool = True
    """False: holds heading and height only."""
    duration: float = 90.0
    events: tuple[Event, ...] = ()
    slope: float = 0.0
    """Of the ground, rising along the strip positive [rad]."""
    bungee: float | None = None
    """Stiffness of the line of a bungee launch [N/m]; None: sized for it."""
    stretch: float | None = None
    """Of that line [m]; None: sized for it."""
    misreads: bool = False
    """The pilot's eyes scatter."""
    commands: StickScript | None = None
    """Sticks over time in the pilot's place."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        told = {name: value for name, value in vars(self).items() if name not in ("events", "commands")}
        commands = None if self.commands is None else self.commands.as_dict()
        return {**told, "events": [vars(event) for event in self.events], "commands": commands}


@dataclass(frozen=True)
class Setup:
    """An aeroplane ready to be flown many times."""

    aeroplane: Aeroplane
    rows: FilledRows
    conditions: Conditions
    pilot: Any
    """PILOT record, shape (1,): a pilot who knows the aeroplane as it was drawn."""
    level: Floats
    """State of level flight."""
    airspeed: float
    incidence: float
    spin: float
    span: float
    strip: float
    hulls: tuple[int, ...]
    flies_level: bool
    sideways: float
    """Balance point moved to the right against the propeller's torque in level flight [m]."""

    @property
    def line(self) -> Line:
        """Return the line of a bungee launch."""
        numbers = numbers_for(self, nominal_draw())
        mass, gravity = float(numbers.vehicle["mass"][0]), float(numbers.air["gravity"][0])
        asked = self.conditions
        return line_for(mass, gravity, self.airspeed, asked.bungee, asked.stretch, "--bungee, --stretch")

    @property
    def bounds(self) -> Bounds:
        """Return what flights are measured against."""
        reach = REACH * math.sqrt(max(self.span, 0.5))
        return Bounds(self.span, self.strip, reach, self.conditions.launch != "ground")


def set_up(aeroplane: Aeroplane, conditions: Conditions) -> Setup:
    """Make an aeroplane ready to be flown.

    Parameters
    ----------
    aeroplane : Aeroplane
    conditions : Conditions

    Returns
    -------
    Setup

    Raises
    ------
    InputError
        If it has no balance at any speed, so that no pilot knows what to trim for; if it cannot be launched so.
    """
    rows = filled(aeroplane)
    flown = fly(aeroplane, samples=0)
    level = level_or_held(flown)
    if level is None:
        raise InputError("has no balance at any speed, so there is no flight to fly", place=aeroplane.source)
    _check_launch(aeroplane, rows, flown, conditions)
    solved = held_flight(flown.numbers, level).solve((), GUESS_INNER)
    model, point = linearise(solved, 0), Point(solved, 0)
    parting = DRIVE_ROLL if drives_part(rows) else 0.0
    if parting:
        model = with_parting_drives(model, point, parting)
    sideways = 0.0
    if not np.any(np.abs(model.settled_effect()[P, STICKS.index("aileron")]) > ROLLS):
        sideways = -float(point.moments(point.controls)[0]) / float(level["lift"][0])
        flown.numbers.vehicle["y"] += sideways
        solved = held_flight(flown.numbers, level).solve((), GUESS_INNER)
        model, point = linearise(solved, 0), Point(solved, 0)
    spins = [float(point.state[ROTOR_SPEEDS + k]) for k in range(len(rows.rotors))]
    span = span_of(rows)
    hulls = tuple(k for k, name in enumerate(rows.names.bodies) if not name.startswith(("wheel ", "strut ")))
    pilot = _pilot(level[0], model, point, conditions, flown, min(spins, default=0.0), span)
    pilot["drive_roll"] = parting
    pilot["strip"] = aeroplane.field.length or STRIP
    return Setup(
        aeroplane, rows, conditions, pilot, point.state.copy(), float(level["airspeed"][0]),
        float(level["incidence"][0]), min(spins, default=0.0), span, aeroplane.field.length or STRIP, hulls,
        bool(level["status"][0] == 0.0), sideways,
    )  # fmt: skip


def drives_part(rows: FilledRows) -> bool:
    """Return whether left and right rotors have governed drives of their own, so that they can roll the aeroplane."""
    sides = []
    for row in range(len(rows.drives)):
        turned = rows.rotors["y"][rows.rotors["drive"] == row]
        if rows.drives["governed"][row] == 1.0 and len(turned) and (np.all(turned > 0.0) or np.all(turned < 0.0)):
            sides.append(bool(turned[0] > 0.0))
    return len(sides) == len(rows.drives) and {True, False} <= set(sides)


def with_parting_drives(model: Linear, point: Point, parting: float) -> Linear:
    """Return the model with the aileron stick parting the speeds of left and right drives, left faster for right."""
    start = point.start()
    right = np.array([np.sign(point.case.rotors["y"][rotors[0]]) for rotors in point.held])
    up, down = (point.rates(start, point.controls, 1.0 - sign * parting * right)[0] for sign in (1.0, -1.0))
    effect = model.effect.copy()
    effect[:, STICKS.index("aileron")] += 0.5 * (up - down)
    return replace(model, effect=effect)


def span_of(rows: FilledRows) -> float:
    """Return the span over the tips of rotors and surfaces [m]."""
    tips = [float((np.abs(part["y"]) + 0.5 * part["span"]).max()) for part in (rows.rotors, rows.surfaces) if len(part)]
    return 2.0 * max(tips)


def _check_launch(aeroplane: Aeroplane, rows: FilledRows, flown: Flown, conditions: Conditions) -> None:
    place = aeroplane.source
    if conditions.launch == "ground":
        if not len(rows.wheels):
            raise InputError(
                "has no wheels to roll on", place=place, hint="Throw it: --launch hand, or begin in the air"
            )
        if conditions.surface not in ROLLING:
            allowed = ", ".join(ROLLING)
            raise InputError("is no ground to roll on", place="--surface", found=conditions.surface, allowed=allowed)
    mass = float(flown.numbers.vehicle["mass"][0])
    told_line = conditions.bungee is not None or conditions.stretch is not None
    if conditions.launch != "bungee" and told_line:
        raise InputError("belong to a bungee launch", place="--bungee, --stretch", hint="Say --launch bungee")
    if conditions.launch == "hand" and mass > HEAVIEST_THROW:
        raise InputError(
            "is too heavy to be thrown by hand",
            place=place,
            found=f"{mass:.2g} kg",
            allowed=f"to {HEAVIEST_THROW:g} kg",
        )


def _pilot(level: Any, model: Any, point: Point, conditions: Conditions, flown: Flown, spin: float, span: float) -> Any:
    """Return the record of a pilot who knows the aeroplane as drawn."""
    kind = PILOTS[conditions.pilot]
    speed = float(level["airspeed"])
    along = along_law(model, speed, kind.delay)
    across = across_law(model, speed, kind.delay, point.rates(point.start(), point.controls)[0])
    gravity = float(flown.numbers.air["gravity"][0])
    pilot = np.zeros(1, dtype=PILOT)
    bank = min(kind.bank, HELD / max(float(np.abs(across.given).max()), 1e-9))
    turning = max(float(across.asked[2]), LEAST_TURNING * gravity / speed)  # yaw rate of a steady turn, per bank
    radius = speed / (turning * 0.9 * bank)
    pilot["delay"], pilot["hand"], pilot["plans"], pilot["bank"] = kind.delay, 1.0, float(conditions.plans), bank
    pilot["height"] = max(12.0, 6.0 * span) if conditions.plans else AIR_HEIGHT
    pilot["climb"] = min(STEEPEST_CLIMB, HELD / max(abs(float(along.given[0])), 1e-9))
    pilot["sink"] = min(0.9, 1.5 * float(pilot["climb"][0]))
    pilot["throttle_for_elevator"] = _throttle_for_elevator(model)
    pilot["upwind"], pilot["width"], pilot["downwind"] = 30.0 + radius, 2.0 * radius + 10.0, radius + 20.0
    pilot["radius"], pilot["turning"] = radius, turning
    pilot["pace"] = TURN_PACE[bool(np.any(across.gains[1] != 0.0))]
    pilot["speed"], pilot["pitch"], pilot["elevator"] = speed, point.pitch, float(level["elevator"])
    pilot["throttle"], pilot["command"] = min(float(level["throttle"]), 1.0), float(level["command"])
    pilot["spin"], pilot["gravity"] = spin, gravity
    pilot["yaw_sense"] = -1.0 if model.settled_effect()[R, STICKS.index("rudder")] < 0.0 else 1.0
    pilot["along_gains"], pilot["along_memory"] = along.gains, along.memory
    pilot["along_asked"], pilot["along_given"] = along.asked, along.given
    pilot["across_gains"], pilot["across_memory"] = across.gains, across.memory
    pilot["across_asked"], pilot["across_given"] = across.asked, across.given
    pilot["across_rest"], pilot["rudder"], pilot["aileron"] = across.rest, across.trim[0], across.trim[1]
    return pilot


def _throttle_for_elevator(model: Linear) -> float:
    """Return the throttle that pitches as much as a full elevator stick, positive where throttle lifts the nose."""
    effect = model.settled_effect()[Q]
    stick, throttle = float(effect[STICKS.index("elevator")]), float(effect[len(STICKS)])
    return float(np.clip(-stick / throttle, -0.5, 0.5)) if abs(throttle) > 1e-6 else 0.0


def numbers_for(setup: Setup, draws: Draws) -> AeroplaneNumbers:
    """Return the aeroplanes that fly: physics and build as drawn, one case a flight."""
    numbers = assemble(setup.rows, field_air(setup.aeroplane), sampled_factors(draws.scores))
    numbers.vehicle["y"] += setup.sideways
    build(numbers, draws.values)
    numbers.batteries["charge"] = draws.values["pack_charge"][:, None]
    return numbers


def flights_for(setup: Setup, numbers: AeroplaneNumbers, draws: Draws) -> Flights:
    """Return flights as drawn.

    Parameters
    ----------
    setup : Setup
    numbers : AeroplaneNumbers
        From `numbers_for`.
    draws : Draws

    Returns
    -------
    Flights
    """
    conditions, values = setup.conditions, draws.values
    count = len(draws.flights)
    scripts = np.zeros(count, dtype=SCRIPT)
    scripts["launch"] = STARTS[conditions.launch]
    scripts["wind"] = values["wind"] if conditions.wind is None else conditions.wind * values["stated_wind"]
    scripts["wind_from"] = conditions.wind_from + values["wind_direction"]
    scripts["roughness"] = OPEN_GRASS
    scripts["gust"], scripts["gust_time"] = conditions.gust, conditions.gust_time
    scripts["gust_length"] = 10.0 * setup.span
    scripts["rolling"] = ROLLING.get(conditions.surface, 0.05) * values["rolling"]
    scripts["strip"], scripts["out_of_reach"] = setup.strip, setup.bounds.out_of_reach
    scripts["span"], scripts["spin"] = setup.span, setup.spin
    scripts["air_temperature"], scripts["winding_limit"] = setup.aeroplane.field.temperature, WINDING_LIMIT
    scripts["duration"] = conditions.duration
    scripts["slope"] = conditions.slope
    if conditions.launch == "bungee":
        fill_line(scripts, setup.line, setup.span, HAND_HEIGHT)
    scripts["wing_above"], scripts["ground_share"] = _wing_above(setup.rows, numbers), values["ground_help"]
    pilots = np.repeat(setup.pilot, count)
    pilots["delay"] *= values["pilot_delay"]
    pilots["hand"] *= values["pilot_hand"]
    contacts = np.stack([contact_points(numbers, case, setup.hulls) for case in range(count)])
    starts = np.stack([_start(setup, numbers, draws, case, float(scripts["wind"][case])) for case in range(count)])
    eyes = misreadings(draws, conditions.duration) if conditions.misreads else clear_eyes(count)
    commands = no_commands()
    if conditions.commands is not None:
        sticks = ("elevator", "rudder", "aileron", "throttle")
        commands = conditions.commands.about({name: float(setup.pilot[name][0]) for name in sticks})
    gusts = _gusts(setup, draws, scripts)
    return Flights(scripts, pilots, starts, contacts, gusts, event_rows(setup), commands, eyes)


def _wing_above(rows: FilledRows, numbers: AeroplaneNumbers) -> Floats:
    """Return how far the lifting parts' middle lies over the balance point, by case [m]."""
    lifting = rows.rotors if len(rows.rotors) else rows.surfaces[rows.surfaces["kind"] == WING]
    return np.asarray(numbers.vehicle["z"] - float(np.mean(lifting["z"])))


def event_rows(setup: Setup) -> Floats:
    """Return the events as rows of time, kind, part."""
    names = setup.rows.names
    rows = np.zeros((len(setup.conditions.events), E_COLUMNS))
    for place, event in enumerate(setup.conditions.events):
        kind = event.what.split()[0]
        there = STICKS if kind == "servo" else parts_of(kind, names)
        part = EVERY_PART if event.part == EVERY else float(there.index(event.part))
        rows[place] = event.time, KINDS[event.what], part
    return rows


def _start(setup: Setup, numbers: AeroplaneNumbers, draws: Draws, case: int, wind: float) -> Floats:
    """Return the state a flight starts from."""
    state = setup.level.copy()
    state[POSITION : POSITION + 3] = 0.0
    launch = setup.conditions.launch
    rotors = len(setup.rows.rotors)
    if launch == "ground":
        pitch, height = _on_its_wheels(numbers, case)
        state[:QUATERNION] = 0.0
        state[QUATERNION : QUATERNION + 4] = attitude_quaternion(0.0, pitch + setup.conditions.slope, 0.0)
        state[POSITION + 2] = -height / math.cos(setup.conditions.slope)
        state[ROTOR_SPEEDS:] = 0.0
        return state
    from_ahead = math.cos(setup.conditions.wind_from + float(draws.values["wind_direction"][case]))
    if launch in ("hand", "bungee"):
        speed, path = float(draws.values["throw_speed"][case]), float(draws.values["throw_path"][case])
        if launch == "bungee":
            speed = 0.0
        through = speed + wind_at_height(wind, HAND_HEIGHT, OPEN_GRASS) * from_ahead
        bank, pitch, height = float(draws.values["throw_bank"][case]), path + setup.incidence, HAND_HEIGHT
        share = SPUN_BY_THROW * min(max(through, 0.0) / setup.airspeed, 1.0)
        free = setup.rows.rotors["drive"] < 0.0
        state[ROTOR_SPEEDS : ROTOR_SPEEDS + rotors] *= np.where(free, share, 1.0)
    else:
        pitch, bank, height, path = float(setup.pilot["pitch"][0]), 0.0, AIR_HEIGHT, 0.0
        speed = setup.airspeed - wind_at_height(wind, height, OPEN_GRASS) * from_ahead
    state[:QUATERNION] = 0.0
    state[0], state[2] = speed * math.cos(pitch - path), speed * math.sin(pitch - path)
    state[QUATERNION : QUATERNION + 4] = attitude_quaternion(bank, pitch, 0.0)
    state[POSITION + 2] = -height
    return state


def _on_its_wheels(numbers: AeroplaneNumbers, case: int) -> tuple[float, float]:
    """Return pitch and height of the centre of gravity with the foremost and the rearmost wheel on the ground."""
    wheels, vehicle = numbers.wheels[case], numbers.vehicle[case]
    x, low = wheels["x"] - vehicle["x"], wheels["z"] - vehicle["z"] + wheels["radius"]
    front, rear = int(np.argmax(x)), int(np.argmin(x))
    pitch = 0.0
    if x[front] - x[rear] > 0.05:
        pitch = math.atan2(float(low[front] - low[rear]), float(x[front] - x[rear]))
    depths = -(x * math.sin(pitch)) + (low - wheels["radius"]) * math.cos(pitch) + wheels["radius"]
    return pitch, float(depths.max()) - SAG


def _gusts(setup: Setup, draws: Draws, scripts: Any) -> Floats:
    """Return the gusts of every flight: along and across the wind, down [m/s], roll [rad/s].

    Notes
    -----
    MIL-F-8785C, Dryden form, at 10 m and the wind at 6 m; the roll a gust brings over the span b is
    Φ = σ_w² 0.8 (π L_w/4b)^⅓ /(L_w V) / (1 + (4bω/πV)²) (the form from memory).
    """
    count = len(scripts)
    moments = int(setup.conditions.duration * GUST_RATE) + 2
    gusts = np.zeros((count, 4, moments))
    if not setup.conditions.turbulent:
        return gusts
    speed, span = setup.airspeed, setup.span
    for k in range(count):
        wind = wind_at_height(float(scripts["wind"][k]), WIND_6M, OPEN_GRASS)
        if wind <= 0.0:
            continue
        along, up, big, small = turbulence_scales(TURBULENT_HEIGHT, wind * float(draws.values["gustiness"][k]))
        noise = np.random.default_rng(int(draws.seeds[k])).standard_normal((6, moments))
        pace = speed / GUST_RATE
        first_order(noise[0], math.exp(-pace / along), big, gusts[k, 0])
        second_order(noise[1:3], *second_order_step(pace / along), big, gusts[k, 1])
        second_order(noise[3:5], *second_order_step(pace / up), small, gusts[k, 2])
        roll = small * math.sqrt(0.8 * (math.pi * up / (4.0 * span)) ** (1.0 / 3.0) * math.pi**2 / (8.0 * span * up))
        first_order(noise[5], math.exp(-pace * math.pi / (4.0 * span)), roll, gusts[k, 3])
    return gusts
