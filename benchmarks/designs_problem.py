"""Many designs of the frozen aeroplane, and the first look each gets: one steady flight, then the thrust to spare.

Level flight at neutral elevator (airspeed, incidence, throttle, rotor and shaft speed are sought), then full throttle
at that airspeed and incidence (rotor and shaft speed settle); the thrust to spare is what the propeller gains. Every
design starts from one first guess. Designs are the points of an unscrambled Sobol' sequence over six measures.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from frozen_problem import LEVEL, Problem, load_problem
from rotorwright.flight.batch import run_chunks
from rotorwright.flight.solver import AS_GIVEN, Solutions
from rotorwright.flight.steady import AIRSPEED, CLIMB, ELEVATOR, INCIDENCE, THROTTLE

Floats = npt.NDArray[np.float64]

FIRST_THROTTLE = 0.85
AT_ONCE = 256
RANGES = {
    "rotor span [m]": (0.9, 1.3),
    "rotor diameter, discs along [m]": (0.13, 0.2),
    "mass, moments of inertia along [kg]": (0.45, 0.65),
    "tail area, chord along [m2]": (0.07, 0.12),
    "motor speed constant [rad/s/V]": (95.0, 115.0),
    "centre of gravity [m]": (-0.22, -0.18),
}


@dataclass(frozen=True)
class Looks:
    """What was found for every design."""

    unknowns: Floats
    """Airspeed, incidence, throttle, rotor speed, shaft speed of level flight, shape (designs, 5)."""
    spare: Floats
    """Thrust to spare [N], shape (designs,)."""
    solved: npt.NDArray[np.bool_]
    evaluations: int


def load_designs(count: int) -> Problem:
    """Return the first designs as a frozen problem of one condition; every Unknown is at its median."""
    from scipy.stats import qmc

    power = max((count - 1).bit_length(), 1)
    shares = qmc.Sobol(len(RANGES), scramble=False).random_base2(power)[:count]
    low, high = np.array(list(RANGES.values())).T
    span, diameter, mass, tail, constant, centre = (low + (high - low) * shares).T
    one = load_problem(1)
    numbers = type(one.numbers)(*(np.repeat(part, count, axis=0) for part in one.numbers))
    rotors, surfaces, vehicle = numbers.rotors, numbers.surfaces, numbers.vehicle
    rotors["span"][:, 0], rotors["disc_diameter"][:, 0] = span, rotors["disc_diameter"][:, 0] * (diameter / 0.16)
    rotors["diameter"][:, 0] = diameter
    for name in ("ixx", "iyy", "izz", "ixz"):
        vehicle[name] *= mass / vehicle["mass"]
    vehicle["mass"], vehicle["x"] = mass, centre
    surfaces["area"][:, 0], surfaces["chord"][:, 0] = tail, tail / surfaces["span"][:, 0]
    numbers.thrusters["motor_speed_constant"][:, 0] = constant
    return replace(one, numbers=numbers, elevators=(0.0,))


def first_guess(problem: Problem) -> list[float]:
    """Return where every search starts: spin ratio near one, a propeller near its pitch speed."""
    return [problem.first_airspeed, 0.0, FIRST_THROTTLE, problem.first_airspeed * 14.0, 900.0]


def look_with_engine(problem: Problem) -> Looks:
    """Look at every design with the product's own kernel, in chunks on all cores."""
    count = problem.cases
    guess = first_guess(problem)
    unknowns, spare = np.full((count, 5), np.nan), np.full(count, np.nan)
    evaluations = np.zeros(count)

    def chunk(first: int, last: int) -> None:
        level = Solutions(problem.numbers, np.arange(first, last), problem.tables)
        level.flight[:, AIRSPEED], level.flight[:, THROTTLE] = guess[0], guess[2]
        level.flight[:, ELEVATOR], level.flight[:, CLIMB] = problem.elevators[0], 0.0
        level.inner[:, :2] = guess[3:]
        level.solve(LEVEL, AS_GIVEN)
        full = level.take(slice(None))
        full.flight[:, THROTTLE] = 1.0
        full.solve(())
        both = level.found & full.found
        unknowns[first:last, :3] = level.flight[:, (AIRSPEED, INCIDENCE, THROTTLE)]
        unknowns[first:last, 3:] = level.inner[:, :2]
        spare[first:last] = np.where(both, full.steady["thrust"] - level.steady["thrust"], np.nan)
        evaluations[first:last] = level.steady["evaluations"] + full.steady["evaluations"]

    run_chunks(chunk, count, size=AT_ONCE)
    return Looks(unknowns, spare, np.isfinite(spare), int(evaluations.sum()))
