"""The frozen longitudinal problem that the engine and its rivals are timed on.

A free-rotor aeroplane in straight, wings-level flight; five unknowns (airspeed, incidence, climb or throttle, rotor
speed, shaft speed). Rows, tables and factors come from ``data/``: later work on the models' medians and curves does not
move it. Only a change of a *law* does, and then both rivals must follow (the test-suite says so).
"""

from __future__ import annotations

import tomllib
from collections import namedtuple
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base import records
from rotorwright.base.unknown import FACTORS, nominal_factors, sampled_factors, unknowns
from rotorwright.flight.numbers import AeroplaneNumbers, Tables
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.steady import AIRSPEED, CLIMB, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.physics.power.tables import power_tables
from rotorwright.physics.rotor.tables import rotor_tables

DATA = Path(__file__).parent / "data"
AEROPLANE = DATA / "frozen_aeroplane.toml"
FROZEN = DATA / "frozen_tables.npz"
SAMPLES = 512

FULL_THROTTLE = (AIRSPEED, INCIDENCE, CLIMB)
LEVEL = (AIRSPEED, INCIDENCE, THROTTLE)
KINDS = {
    "rotors": records.ROTOR,
    "surfaces": records.SURFACE,
    "bodies": records.BODY,
    "thrusters": records.THRUSTER,
    "batteries": records.BATTERY,
    "vehicle": records.VEHICLE,
    "air": records.AIR,
}

Floats = npt.NDArray[np.float64]
Rows = npt.NDArray[Any]


@dataclass(frozen=True)
class Problem:
    """Everything the engine and its rivals start from."""

    numbers: AeroplaneNumbers
    tables: Tables
    elevators: tuple[float, ...]
    first_airspeed: float

    @property
    def cases(self) -> int:
        """How many samples there are; the first is nominal."""
        return len(self.numbers.vehicle)


@dataclass(frozen=True)
class Answer:
    """The five unknowns of every sample at every elevator, shape (conditions, elevators, samples, 5).

    Conditions: full throttle (third unknown climb) and level (third unknown throttle). The others are airspeed,
    incidence, rotor speed, shaft speed, in this order: airspeed, incidence, third, rotor speed, shaft speed.
    """

    unknowns: Floats
    solved: npt.NDArray[np.bool_]
    evaluations: int


def freeze() -> None:
    """Store today's tables and a table of sampled factors (done once; again only if the problem must change)."""
    from rotorwright.studies.sampling import normal_scores

    factors = np.concatenate([nominal_factors(1), sampled_factors(0.3 * normal_scores(SAMPLES - 1, len(unknowns())))])
    arrays = {f"factor.{name}": factors[name] for name in FACTORS.names or ()}
    for room, tables in (("rotor", rotor_tables()), ("power", power_tables())):
        arrays |= {f"{room}.{name}": array for name, array in tables._asdict().items()}
    np.savez_compressed(FROZEN, **arrays)


def _tables(stored: Any, room: str) -> Rows:
    names = [key.removeprefix(f"{room}.") for key in stored.files if key.startswith(f"{room}.")]
    return records.table_record(namedtuple("Stored", names)(*(stored[f"{room}.{name}"] for name in names)))


def load_problem(samples: int = SAMPLES) -> Problem:
    """Return the frozen problem with its first ``samples`` samples."""
    described = tomllib.loads(AEROPLANE.read_text(encoding="utf-8"))
    stored = np.load(FROZEN)
    factors = nominal_factors(samples)  # an Unknown added since then stays at its median
    for name in FACTORS.names or ():
        if f"factor.{name}" in stored.files:
            factors[name] = stored[f"factor.{name}"][:samples]
    rows: dict[str, Rows] = {}
    for kind, dtype in KINDS.items():
        rows[kind] = np.zeros((samples, 1), dtype=dtype)
        for field, number in described[kind].items():
            rows[kind][field] = number
    vehicle, air = rows.pop("vehicle")[:, 0].copy(), rows.pop("air")[:, 0].copy()
    for field in ("mass", "ixx", "iyy", "izz", "ixz"):
        vehicle[field] *= factors["computed_mass"]
    vehicle["x"] += factors["centre_of_gravity_shift"]
    air["density"] *= factors["air_density"]
    numbers = AeroplaneNumbers(
        **rows,
        drives=np.zeros((samples, 0), dtype=records.DRIVE),
        wheels=np.zeros((samples, 0), dtype=records.WHEEL),
        masses=np.zeros((samples, 0), dtype=records.MASS),
        vehicle=vehicle,
        air=air,
        factors=factors,
    )
    programme = described["programme"]
    tables = Tables(_tables(stored, "rotor"), _tables(stored, "power"))
    return Problem(numbers, tables, tuple(programme["elevators"]), programme["first_airspeed"])


def parent_of(node: int, elevators: tuple[float, ...]) -> int:
    """Return the elevator node from whose solution a search starts: the nearest one earlier in the list."""
    return min(range(node), key=lambda earlier: abs(elevators[earlier] - elevators[node]))


def neighbours(node: int, elevators: tuple[float, ...]) -> list[int]:
    """Return the earlier nodes whose solutions lead to this one: the nearest, at most three."""
    return sorted(range(node), key=lambda earlier: abs(elevators[earlier] - elevators[node]))[:MOST]


MOST = 3
WORTH_LEADING = 32
"""With fewer samples a node, reckoning the start takes longer than the evaluations it saves."""


def solve_with_engine(problem: Problem) -> Answer:
    """Solve the programme with the product's own kernel, all samples in one call a node."""
    samples = problem.cases
    shape = (2, len(problem.elevators), samples)
    found = np.full((*shape, 5), np.nan)
    solved = np.zeros(shape, dtype=bool)
    evaluations = 0
    full: list[Solutions] = []
    levels: list[Solutions] = []
    for node, elevator in enumerate(problem.elevators):
        if node == 0:
            work = Solutions(problem.numbers, np.arange(samples), problem.tables)
            work.flight[:, AIRSPEED] = problem.first_airspeed
            work.flight[:, THROTTLE] = 1.0
        else:
            work = full[parent_of(node, problem.elevators)].take(slice(None))
        if node > 1 and samples >= WORTH_LEADING:
            near = neighbours(node, problem.elevators)
            work.lead([(problem.elevators[k], full[k]) for k in near], elevator)
        work.flight[:, ELEVATOR] = elevator
        work.solve(FULL_THROTTLE, GUESS_INNER) if node == 0 else work.solve(FULL_THROTTLE)
        full.append(work)
        if node == 0:
            level = work.take(slice(None))
            level.flight[:, THROTTLE] = 0.85
        else:
            level = levels[parent_of(node, problem.elevators)].take(slice(None))
            if node > 1 and samples >= WORTH_LEADING:
                level.lead([(problem.elevators[k], levels[k]) for k in near], elevator)
            level.flight[:, ELEVATOR] = elevator
        level.flight[:, CLIMB] = 0.0
        level.solve(LEVEL)
        levels.append(level)
        for condition, (rows, third) in enumerate(((work, CLIMB), (level, THROTTLE))):
            found[condition, node, :, :2] = rows.flight[:, (AIRSPEED, INCIDENCE)]
            found[condition, node, :, 2] = rows.flight[:, third]
            found[condition, node, :, 3:] = rows.inner[:, :2]
            solved[condition, node] = rows.found
            evaluations += int(rows.steady["evaluations"].sum())
    return Answer(found, solved, evaluations)


if __name__ == "__main__":
    freeze()
