"""Straight flight and rolling in time: the path of one aeroplane in its plane of symmetry, rotors spinning as they do.

Attitude and controls are given (a pilot holds them), airspeed, path, height and the spin of every rotor that is not
held by a governor follow from the forces of the one equation of motion. Propellers and governors are taken as settled
at every airspeed: they follow within a few tenths of a second, rotors and aeroplane take longer.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.flight.alone import attitude_quaternion
from rotorwright.flight.equation import rotor_spin_inertia, state_rates
from rotorwright.flight.layout import (
    AERO_TORQUE,
    DRIVE_TORQUE,
    END_DRAG,
    FORCES,
    FRICTION,
    LIFT,
    QUATERNION,
    RATES,
    ROTOR_SPEEDS,
    rotor_block,
)
from rotorwright.flight.numbers import AeroplaneNumbers, Tables, case_of, physics_tables
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.steady import (
    AIRSPEED,
    COMMAND,
    ELEVATOR,
    INCIDENCE,
    THROTTLE,
    residuals,
    speed_is_free,
    work_space,
)

Floats = npt.NDArray[np.float64]
NO_ROWS = np.zeros(0, dtype=np.int64)
LEAST_AIRSPEED = 0.3
"""Slower than this the settled propeller of the next grid speed is taken [m/s]."""
STUCK = 0.02
"""Gaining speed more slowly than this it is as fast as it will ever be [m/s²]."""
STILL_SPEED = 0.05
"""Over the ground it stands below this [m/s]."""


class Held(NamedTuple):
    """What a pilot holds: incidence to the flight path [rad], elevator, throttle (or off), rotor command (or off)."""

    incidence: float
    elevator: float
    throttle: float
    command: float


class Push(NamedTuple):
    """Forces on an aeroplane at one moment."""

    along: float
    """Along the flight path, thrust less drag [N]."""
    lift: float
    """Square to the path, upwards, all parts and thrust [N]."""
    rotor_lift: float
    end_drag: float
    """Drag that the rotors pay for their lift: what the ground takes away [N]."""
    spin_up: Floats
    """Of every rotor [rad/s²]."""


def settle(
    numbers: AeroplaneNumbers, speeds: Floats, held: npt.NDArray[Any], tables: Tables | None = None
) -> Solutions:
    """Return what turns, settled at every speed for every case, one row each (case by case).

    Parameters
    ----------
    numbers : AeroplaneNumbers
    speeds : array, shape (speeds,)
        Airspeeds [m/s].
    held : array, shape (cases, 4)
        A `Held` for each case.
    tables : Tables, optional
    """
    cases = len(numbers.vehicle)
    rows = Solutions(numbers, np.repeat(np.arange(cases), len(speeds)), tables)
    rows.flight[:, AIRSPEED] = np.tile(speeds, cases)
    for place, which in enumerate((INCIDENCE, ELEVATOR, THROTTLE, COMMAND)):
        rows.flight[:, which] = np.repeat(held[:, place], len(speeds))
    return rows.solve((), GUESS_INNER)


class Straight:
    """One case of a batch with what a pilot holds, ready to be moved."""

    def __init__(self, rows: Solutions, case: int, speeds: Floats, tables: Tables | None = None) -> None:
        numbers = rows.numbers
        self.case = case_of(numbers, case)
        self.tables = tables or physics_tables()
        self.rotors, self.thrusters = numbers.rotors.shape[1], numbers.thrusters.shape[1]
        drives, batteries = numbers.drives.shape[1], numbers.batteries.shape[1]
        self.work = work_space(self.rotors, self.thrusters, drives, batteries)
        self.speeds = speeds
        self.mass = float(numbers.vehicle["mass"][case])
        self.gravity = float(numbers.air["gravity"][case])
        first = case * len(speeds)
        self.incidence = float(rows.flight[first, INCIDENCE])
        command = float(rows.flight[first, COMMAND])
        spins, shafts, controls = [], [], []
        for row in range(first, first + len(speeds)):
            self.work.flight[:] = rows.flight[row]
            residuals(self.case, self.tables, self.work, NO_ROWS, rows.inner[row].copy(), self.work.residual)
            spins.append(self.work.state[ROTOR_SPEEDS : ROTOR_SPEEDS + self.rotors].copy())
            shafts.append(self.work.state[ROTOR_SPEEDS + self.rotors :].copy())
            controls.append(self.work.controls.copy())
        self._shafts, self._controls = np.array(shafts), np.array(controls)
        self.settled_spins = np.array(spins)
        """Of every rotor at every speed [rad/s], shape (speeds, rotors)."""
        self.free = np.array([speed_is_free(self.case, i, command) for i in range(self.rotors)], dtype=bool)
        """Which rotors turn as the torques make them (others are held by their governor, or stopped)."""
        self.inertia = np.array([rotor_spin_inertia(self.case, i) for i in range(self.rotors)])
        self.weight = self.mass * self.gravity

    def settled_at(self, airspeed: float) -> Floats:
        """Return the speeds of all rotors once they have caught up with an airspeed [rad/s]."""
        return self._between(self.settled_spins, airspeed)

    def _between(self, rows: Floats, airspeed: float) -> Floats:
        place = float(np.interp(max(airspeed, LEAST_AIRSPEED), self.speeds, np.arange(len(self.speeds))))
        low = min(int(place), len(self.speeds) - 2)
        share = place - low
        return np.asarray((1.0 - share) * rows[low] + share * rows[low + 1], dtype=np.float64)

    def push(self, airspeed: float, path: float, spins: Floats) -> Push:
        """Return the forces at an airspeed [m/s], path angle [rad, up] and rotor speeds [rad/s]."""
        state, work = self.work.state, self.work
        speed = max(airspeed, 1e-3)
        ca, sa = math.cos(self.incidence), math.sin(self.incidence)
        state[:] = 0.0
        state[0], state[2] = speed * ca, speed * sa
        state[RATES : RATES + 3] = 0.0
        state[QUATERNION : QUATERNION + 4] = attitude_quaternion(0.0, path + self.incidence, 0.0)
        state[ROTOR_SPEEDS : ROTOR_SPEEDS + self.rotors] = spins
        state[ROTOR_SPEEDS + self.rotors :] = self._between(self._shafts, airspeed)
        controls = self._between(self._controls, airspeed)
        state_rates(self.case, self.tables, state, controls, work.loads, work.rates, work.air_velocity)
        loads = work.loads
        fx, fz = float(loads[FORCES]), float(loads[FORCES + 2])
        torque, lift, end = np.zeros(self.rotors), 0.0, 0.0
        for i in range(self.rotors):
            block = rotor_block(i)
            torque[i] = loads[block + AERO_TORQUE] + loads[block + FRICTION] + loads[block + DRIVE_TORQUE]
            lift += float(loads[block + LIFT])
            end += float(loads[block + END_DRAG])
        spin_up = np.where(self.free, torque / np.where(self.inertia > 0.0, self.inertia, 1.0), 0.0)
        return Push(fx * ca + fz * sa, fx * sa - fz * ca, lift, end, spin_up)


@dataclass(frozen=True)
class Ground:
    """What it rolls on."""

    friction: float
    """Rolling friction [1]."""
    slope: float = 0.0
    """Uphill positive [rad]."""
    headwind: float = 0.0
    """At the height of the rotors [m/s]."""
    drag_kept: float = 1.0
    """Share of the rotors' end drag that is left so near the ground [1]."""


class Moments(NamedTuple):
    """A history, one row a step: time, airspeed, path angle, way over the ground, height, lift, mean rotor speed."""

    time: Floats
    airspeed: Floats
    path: Floats
    way: Floats
    height: Floats
    lift: Floats
    spin: Floats


Rates = Callable[[Floats], tuple[Floats, float]]
"""From (airspeed, path, way, height, spins …) to their rates, and the lift."""


def stepped(
    rates: Rates, start: Floats, step: float, until: Callable[[Floats, Floats, float], bool], most: int
) -> Moments:
    """Move by Heun's second-order steps until a condition on (values, rates, lift) holds, at most so many steps.

    The last row is the first at which the condition holds.
    """
    rows, now, time = [], start.copy(), 0.0
    for _ in range(most):
        first, lift = rates(now)
        rows.append((time, *now[:4], lift, float(np.mean(now[4:])) if len(now) > 4 else 0.0))
        if until(now, first, lift):
            break
        second, _ = rates(now + step * first)
        now = now + 0.5 * step * (first + second)
        time += step
    table = np.array(rows)
    return Moments(*(table[:, k] for k in range(7)))


def rolling_gain(along: float, lift: float, over: float, ground: Ground, mass: float, gravity: float) -> float:
    """Return how fast a rolling aeroplane gains speed [m/s²].

    Parameters
    ----------
    along, lift : float
        Thrust less drag along the ground, and lift square to it [N].
    over : float
        Speed over the ground [m/s].
    ground : Ground
    mass, gravity : float
        [kg], [m/s²]

    Notes
    -----
    dV/dt = (along − μ N)/m − g sin(slope), N = W cos(slope) − lift ≥ 0; friction turns smoothly with the sense of
    rolling. Source: mechanics; textbooks on take-off.
    """
    carried = max(mass * gravity * math.cos(ground.slope) - lift, 0.0)
    friction = ground.friction * carried * math.tanh(over / STILL_SPEED)
    return (along - friction) / mass - gravity * math.sin(ground.slope)


def crossing(moments: Moments, level: float) -> tuple[float, float, float]:
    """Return airspeed [m/s], way [m] and time [s] at which the lift reaches a level in the last step of a run."""
    if len(moments.lift) < 2 or moments.lift[-1] < level:
        return math.nan, math.nan, math.nan
    before, after = float(moments.lift[-2]), float(moments.lift[-1])
    share = 1.0 if after == before else min(max((level - before) / (after - before), 0.0), 1.0)
    speed, way, time = (
        float(row[-2] + share * (row[-1] - row[-2])) for row in (moments.airspeed, moments.way, moments.time)
    )
    return speed, way, time


def roll(
    rolling: Straight, ground: Ground, airspeed: float, spins: Floats, *, lift_off: bool, step: float = 0.05,
    longest: float = 30.0,
) -> Moments:  # fmt: skip
    """Roll over the ground, until the wheels carry nothing (``lift_off``) or until it stands.

    Parameters
    ----------
    rolling : Straight
    ground : Ground
    airspeed : float
        At the start [m/s].
    spins : array
        Rotor speeds at the start [rad/s].
    lift_off : bool
        Whether the run ends with lift-off, or (False) with standing still.
    step, longest : float
        [s]

    Returns
    -------
    Moments
        ``path`` is the slope, ``height`` stays at nought.

    Notes
    -----
    m dV/dt = along − μ N − W sin(slope), N = W cos(slope) − lift ≥ 0; I dΩ/dt of every free rotor. Near the ground the
    rotors' end drag is less by ``drag_kept``.
    """
    across = math.cos(ground.slope)

    def rates(now: Floats) -> tuple[Floats, float]:
        push = rolling.push(now[0], ground.slope, now[4:])
        over = now[0] - ground.headwind
        along = push.along + (1.0 - ground.drag_kept) * push.end_drag
        gain = rolling_gain(along, push.lift, over, ground, rolling.mass, rolling.gravity)
        return np.array([gain, 0.0, over, 0.0, *push.spin_up]), push.lift

    def until(now: Floats, change: Floats, lift: float) -> bool:
        if lift_off:
            stuck = abs(change[0]) < STUCK and bool((np.abs(change[4:]) < 20.0 * STUCK).all()) and now[2] > 0.1
            return lift >= rolling.weight * across or stuck
        return bool(now[0] - ground.headwind <= 2.0 * STILL_SPEED)

    start = np.array([airspeed, ground.slope, 0.0, 0.0, *spins])
    return stepped(rates, start, step, until, int(longest / step))


def glide_on(
    flying: Straight, airspeed: float, path: float, height: float, spins: Floats, *, headwind: float = 0.0,
    duration: float = 4.0, step: float = 0.05, until: Callable[[Floats, Floats, float], bool] | None = None,
) -> Moments:  # fmt: skip
    """Fly on with attitude to the path and controls held, in the vertical plane.

    Parameters
    ----------
    flying : Straight
    airspeed, path, height : float
        At the start [m/s], [rad, up], [m].
    spins : array
        [rad/s]
    headwind, duration, step : float
        [m/s], [s], [s]
    until : callable, optional
        Ends it early.

    Notes
    -----
    m dV/dt = along − W sin γ, m V dγ/dt = lift − W cos γ, dh/dt = V sin γ.
    """

    def rates(now: Floats) -> tuple[Floats, float]:
        speed, angle = now[0], now[1]
        push = flying.push(speed, angle, now[4:])
        forward = (push.along - flying.weight * math.sin(angle)) / flying.mass
        turning = (push.lift - flying.weight * math.cos(angle)) / (flying.mass * max(speed, 1.0))
        over = speed * math.cos(angle) - headwind
        return np.array([forward, turning, over, speed * math.sin(angle), *push.spin_up]), push.lift

    start = np.array([airspeed, path, 0.0, height, *spins])
    return stepped(rates, start, step, until or (lambda now, change, lift: False), int(duration / step) + 1)
