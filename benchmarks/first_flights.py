"""Time whole flights: the simulation against scipy's adaptive integrator and against NumPy steps over many flights.

The frozen aeroplane with its attitude held (moments of inertia a thousand million times it), elevator and throttle
fixed, from 15 % too fast and a rotor 20 % too slow, through gusts along and across the path that are held for a
fiftieth of a second. Charge is held too. The engine does all that it always does (six degrees of freedom, pilot,
battery, windings, books, outcome); the rivals integrate only what moves: forward and downward speed,
rotor and shaft speed, height.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from frozen_problem import Problem, load_problem
from numpy_batch import make_batch
from rival_scipy import Machine
from rotorwright.flight.alone import attitude_quaternion
from rotorwright.flight.flight_rows import IN_AIR, SCRIPT, Flights, clear_eyes, no_commands
from rotorwright.flight.layout import POSITION, QUATERNION, ROTOR_SPEEDS, state_size
from rotorwright.flight.pilot import PILOT
from rotorwright.flight.simulate import GUST_RATE, RATE, simulate_with
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.steady import AIRSPEED, ELEVATOR, INCIDENCE, THROTTLE

Floats = npt.NDArray[np.float64]

HELD = 1.0e9
"""Times the moments of inertia and the pack, so that attitude and charge stay."""
HEIGHT, THROTTLE_GIVEN = 1000.0, 0.9
FLIGHTS, SECONDS = 256, 60.0
PLAIN_SECONDS, BATCH_SECONDS = 2.0, 4.0
"""Parts of a flight that the rivals fly; their times are scaled up to whole flights."""


@dataclass(frozen=True)
class Frozen:
    """Flights to be flown: the aeroplanes, how they start, and their gusts, shape (flights, 2, moments)."""

    problem: Problem
    starts: Floats
    """Forward and downward speed [m/s], rotor and shaft speed [rad/s], height [m]; shape (flights, 5)."""
    pitch: Floats
    throttle: float
    elevator: float
    gusts: Floats


def frozen_flights(count: int, seconds: float) -> Frozen:
    """Return the frozen flights: near level flight of the first sample, disturbed, in gusts of 0.6 m/s."""
    problem = load_problem(count)
    level = Solutions(problem.numbers, np.arange(1), problem.tables)
    level.flight[:, AIRSPEED], level.flight[:, THROTTLE], level.flight[:, ELEVATOR] = problem.first_airspeed, 0.85, -0.1
    level.solve((AIRSPEED, INCIDENCE, THROTTLE), GUESS_INNER)
    assert level.found.all()
    airspeed, incidence = float(level.flight[0, AIRSPEED]), float(level.flight[0, INCIDENCE])
    start = np.array([1.15 * airspeed * math.cos(incidence), 1.15 * airspeed * math.sin(incidence), 0.0, 0.0, HEIGHT])
    start[2:4] = 0.8 * level.inner[0, 0], level.inner[0, 1]
    numbers = problem.numbers
    for field in ("ixx", "iyy", "izz"):
        numbers.vehicle[field] *= HELD
    numbers.vehicle["ixz"] = 0.0
    numbers.batteries["capacity"] *= HELD
    numbers.batteries["resistance_capacity"] *= HELD
    gusts = 0.6 * np.random.default_rng(5).standard_normal((count, 2, int(seconds * GUST_RATE) + 2))
    return Frozen(
        problem, np.tile(start, (count, 1)), np.full(count, incidence), THROTTLE_GIVEN,
        float(level.flight[0, ELEVATOR]), gusts,
    )  # fmt: skip


def as_flights(frozen: Frozen, seconds: float) -> Flights:
    """Return the frozen flights as the engine takes them."""
    count = len(frozen.starts)
    scripts = np.zeros(count, dtype=SCRIPT)
    scripts["launch"], scripts["roughness"], scripts["span"] = IN_AIR, 0.03, 1.0
    scripts["out_of_reach"], scripts["strip"], scripts["spin"] = 1e9, 1e9, 100.0
    scripts["air_temperature"], scripts["winding_limit"], scripts["duration"] = 288.15, 393.15, seconds
    pilots = np.zeros(count, dtype=PILOT)
    pilots["elevator"], pilots["throttle"] = frozen.elevator, frozen.throttle
    pilots["delay"], pilots["hand"], pilots["speed"], pilots["turning"] = 0.3, 1.0, 8.0, 1.0
    pilots["command"], pilots["yaw_sense"], pilots["bank"], pilots["gravity"] = 1.0, 1.0, 0.3, 9.80665
    starts = np.zeros((count, state_size(1, 1)))
    starts[:, 0], starts[:, 2] = frozen.starts[:, 0], frozen.starts[:, 1]
    starts[:, ROTOR_SPEEDS : ROTOR_SPEEDS + 2] = frozen.starts[:, 2:4]
    starts[:, POSITION + 2] = -frozen.starts[:, 4]
    for k in range(count):
        starts[k, QUATERNION : QUATERNION + 4] = attitude_quaternion(0.0, float(frozen.pitch[k]), 0.0)
    gusts = np.zeros((count, 4, frozen.gusts.shape[2]))
    gusts[:, 0], gusts[:, 2] = frozen.gusts[:, 0], frozen.gusts[:, 1]
    nothing = np.zeros((count, 0, 8)), gusts, np.zeros((0, 3)), no_commands(), clear_eyes(count)
    return Flights(scripts, pilots, starts, *nothing)


def fly_with_engine(frozen: Frozen, seconds: float, rate: int = RATE) -> Floats:
    """Return the states at the end, in the rivals' order, shape (flights, 5)."""
    flights = as_flights(frozen, seconds)
    ends = simulate_with(frozen.problem.numbers, frozen.problem.tables, flights, rate=rate).ends
    found = np.empty((len(ends), 5))
    found[:, 0], found[:, 1] = ends[:, 0], ends[:, 2]
    found[:, 2:4] = ends[:, ROTOR_SPEEDS : ROTOR_SPEEDS + 2]
    found[:, 4] = -ends[:, POSITION + 2]
    return found


def _moving_air(pitch: Any, height: Any, gust: Any, sin: Any, cos: Any) -> tuple[Any, Any]:
    """Return the gust along the body's x and z [m/s]: a head wind and a down draught that dies at the ground."""
    north, down = -gust[0], gust[1] * height / (height + 1.0)
    return north * cos(pitch) - down * sin(pitch), north * sin(pitch) + down * cos(pitch)


def fly_plainly(frozen: Frozen, flight: int, seconds: float, **settings: Any) -> tuple[Floats, int]:
    """Fly one with scipy's `solve_ivp`, gust by gust; return the end and how often the equation was asked."""
    from scipy.integrate import solve_ivp

    machine = Machine(frozen.problem, flight)
    mass, inertia = machine.vehicle["mass"], machine.rotor["polar_inertia"]
    shaft_inertia = machine.motor["spin_inertia"]
    pitch = float(frozen.pitch[flight])
    sin_pitch, cos_pitch = math.sin(pitch), math.cos(pitch)
    state, asked = frozen.starts[flight].copy(), 0
    held = 1.0 / GUST_RATE
    for moment in range(round(seconds * GUST_RATE)):
        gust = frozen.gusts[flight, :, moment].tolist()

        def rates(_: float, at: Any, gust: Any = gust) -> list[float]:
            u, w, spin, shaft, height = at.tolist()
            air_u, air_w = _moving_air(pitch, height, gust, math.sin, math.cos)
            force_x, force_z, _m, rotor_torque, motor_torque, shaft_torque = machine.loads(
                u - air_u, w - air_w, frozen.throttle, frozen.elevator, spin, shaft
            )
            return [
                force_x / mass - machine.g * sin_pitch,
                force_z / mass + machine.g * cos_pitch,
                rotor_torque / inertia,
                (motor_torque - shaft_torque) / shaft_inertia,
                u * sin_pitch - w * cos_pitch,
            ]

        answer = solve_ivp(rates, (0.0, held), state, **settings)
        state, asked = answer.y[:, -1], asked + answer.nfev
    return state, asked


def fly_in_batches(frozen: Frozen, seconds: float) -> Floats:
    """Fly all at once with NumPy, by the engine's own rule and step; return the states at the end."""
    batch = make_batch(frozen.problem)
    numbers = frozen.problem.numbers
    mass, gravity = numbers.vehicle["mass"], batch.geometry.gravity
    inertia = numbers.rotors["polar_inertia"][:, 0]
    thruster = numbers.thrusters[0, 0]
    resistance = float(thruster["motor_resistance"] + thruster["controller_resistance"])
    slope = 1.5 / (float(thruster["motor_speed_constant"]) ** 2 * resistance * float(thruster["spin_inertia"]))
    sin_pitch, cos_pitch = np.sin(frozen.pitch), np.cos(frozen.pitch)
    state = frozen.starts.T.copy()
    step, held = 1.0 / RATE, RATE // GUST_RATE
    before = earlier = np.zeros_like(state)
    stiff = np.zeros_like(state)
    stiff[3] = slope
    for number in range(round(seconds * RATE)):
        gust = frozen.gusts[:, :, number // held].T
        u, w, spin, shaft, height = state
        air_u, air_w = _moving_air(frozen.pitch, height, gust, np.sin, np.cos)
        through_u, through_w = u - air_u, w - air_w
        airspeed = np.sqrt(through_u * through_u + through_w * through_w)
        force_x, force_z, _m, rotor_torque, motor_torque, shaft_torque = batch.loads(
            airspeed, through_u, through_w, frozen.throttle, frozen.elevator, spin, shaft
        )
        rates = np.stack(
            [
                force_x / mass - gravity * sin_pitch,
                force_z / mass + gravity * cos_pitch,
                rotor_torque / inertia,
                (motor_torque - shaft_torque) / float(thruster["spin_inertia"]),
                u * sin_pitch - w * cos_pitch,
            ]
        )
        rates += stiff * state
        a, b, c = ((1.0, 0.0, 0.0), (1.5, -0.5, 0.0), (23.0 / 12.0, -16.0 / 12.0, 5.0 / 12.0))[min(number, 2)]
        driven = a * rates + b * before + c * earlier
        state = (state * (1.0 - 0.5 * step * stiff) + step * driven) / (1.0 + 0.5 * step * stiff)
        earlier, before = before, rates
    return state.T


def difference(one: Floats, other: Floats) -> float:
    """Return the largest difference of speeds and height [share; share of a metre and a metre a second at least]."""
    return float(np.max(np.abs(one - other) / np.maximum(np.abs(other), 1.0)))


def _processor(work: Callable[[], Any], repeats: int) -> tuple[float, Any]:
    best, result = math.inf, None
    for _ in range(repeats):
        start = time.process_time()
        result = work()
        best = min(best, time.process_time() - start)
    return best, result


def compare(line: Callable[..., None]) -> None:
    """Time engine and rivals, and say how far they agree."""
    frozen = frozen_flights(FLIGHTS, SECONDS)
    fly_with_engine(frozen_flights(1, 0.1), 0.1)
    cpu, _ = _processor(lambda: fly_with_engine(frozen, SECONDS), 2)
    steps = FLIGHTS * SECONDS * RATE
    print(f"\nFlights of the frozen aeroplane, {SECONDS:g} s at {RATE} steps a second, {FLIGHTS} of them")
    line("engine: processor a flight; a step", f"{cpu / FLIGHTS * 1e3:.1f} ms; {cpu / steps * 1e9:.0f} ns")
    exact = np.array([fly_plainly(frozen, 0, PLAIN_SECONDS, method="LSODA", rtol=1e-9, atol=1e-10)[0]])
    gap = difference(fly_with_engine(frozen, PLAIN_SECONDS)[:1], exact)
    line(f"  largest difference after {PLAIN_SECONDS:g} s from (a) at rtol 1e-9", f"{gap:.1e}")
    plain = {}
    for method, tolerance in (("RK45", 1e-3), ("RK23", 1e-3), ("LSODA", 1e-3), ("LSODA", 1e-6)):
        spent, (end, asked) = _processor(
            lambda method=method, tolerance=tolerance: fly_plainly(
                frozen, 0, PLAIN_SECONDS, method=method, rtol=tolerance, atol=0.1 * tolerance
            ),
            2,
        )
        plain[method, tolerance] = spent * SECONDS / PLAIN_SECONDS
        line(f"(a) solve_ivp {method}, rtol {tolerance:g}: a flight", f"{plain[method, tolerance]:.1f} s")
        asked_for = f"{asked / PLAIN_SECONDS / GUST_RATE:.0f}; {difference(end[None], exact):.1e}"
        line("  equation asked a gust; largest difference", asked_for)
    ratio = min(plain.values()) / (cpu / FLIGHTS)
    line("(a) fastest of them over engine, processor time", f"{ratio:.0f}", "≥ 300", ratio >= 300.0)
    spent, batched = _processor(lambda: fly_in_batches(frozen, BATCH_SECONDS), 2)
    spent *= SECONDS / BATCH_SECONDS
    line("(b) NumPy in batches: processor a flight", f"{spent / FLIGHTS * 1e3:.0f} ms")
    line("(b) over engine, processor time", f"{spent / cpu:.1f}", "≥ 2", spent / cpu >= 2.0)
    gap = difference(fly_with_engine(frozen, BATCH_SECONDS), batched)
    line("largest difference from (b), same rule and step", f"{gap:.1e}", "≤ 1e-6", gap <= 1e-6)
