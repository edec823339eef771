"""What is drawn for each first flight: physics we are not sure of, build, day, pilot.

Every flight has its own stream of random numbers, told by the seed and the flight's number alone: which flights run
together, on how many threads and in how many sittings changes nothing.
"""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.records import FIN, TAIL, WING
from rotorwright.base.unknown import Unknown, sampled_factors, unknowns
from rotorwright.flight.numbers import AeroplaneNumbers

Floats = npt.NDArray[np.float64]

TABLE = Path(__file__).parent / "data" / "first_flights.toml"
GROUPS = ("build", "day", "pilot")
PHYSICS = "physics"


@lru_cache(maxsize=1)
def spreads() -> tuple[Unknown, ...]:
    """Return the table of what differs between first flights beside the physics; ``room`` holds the group."""
    rows: dict[str, dict[str, Any]] = tomllib.loads(TABLE.read_text(encoding="utf-8"))
    table = []
    for name, row in rows.items():
        fields = dict(row)
        table.append(Unknown(name=name, room=fields.pop("group"), **fields))
    return tuple(table)


class Draws(NamedTuple):
    """What was drawn for some flights."""

    flights: npt.NDArray[np.int64]
    """Numbers of the flights, from 0."""
    scores: Floats
    """Standard-normal scores of the Unknowns of the physics, shape (flights, unknowns)."""
    values: dict[str, Floats]
    """Name of a spread → its values, shape (flights,)."""
    seeds: npt.NDArray[np.int64]
    """A seed for each flight's gusts."""

    def inputs(self) -> dict[str, Floats]:
        """Return every input by name, physics as factors: what failures may hang on."""
        factors = sampled_factors(self.scores)
        physics = {unknown.name: np.array(factors[unknown.name]) for unknown in unknowns()}
        return {**physics, **self.values}


def draw(first: int, last: int, *, seed: int = 0) -> Draws:
    """Return what flights ``first`` … ``last`` − 1 meet.

    Parameters
    ----------
    first, last : int
    seed : int

    Returns
    -------
    Draws
    """
    columns = len(unknowns())
    flights = np.arange(first, last)
    scores = np.empty((len(flights), columns + len(spreads())))
    seeds = np.empty(len(flights), dtype=np.int64)
    for row, flight in enumerate(flights):
        rng = np.random.default_rng([seed, int(flight)])
        scores[row] = rng.standard_normal(scores.shape[1])
        seeds[row] = rng.integers(2**31)
    values = {
        spread.name: np.array([spread.at(float(score)) for score in scores[:, columns + column]])
        for column, spread in enumerate(spreads())
    }
    return Draws(flights, scores[:, :columns], values, seeds)


def nominal_draw() -> Draws:
    """Return one flight with everything at its median."""
    values = {spread.name: np.array([spread.median]) for spread in spreads()}
    return Draws(np.zeros(1, dtype=np.int64), np.zeros((1, len(unknowns()))), values, np.zeros(1, dtype=np.int64))


def build(numbers: AeroplaneNumbers, values: dict[str, Floats]) -> None:
    """Build each case with its own hands: change the rows of a batch in place, after the mass step.

    Parameters
    ----------
    numbers : AeroplaneNumbers
        One case a flight.
    values : mapping
        Of `Draws`.

    Notes
    -----
    Left and right share a difference half and half, so that their mean stays as drawn.
    """
    one = {name: value[:, None] for name, value in values.items()}
    surfaces = numbers.surfaces
    right = np.sign(surfaces["y"])
    surfaces["incidence"] += (
        (surfaces["kind"] == TAIL) * one["tail_incidence"]
        + (surfaces["kind"] == WING) * (one["wing_incidence"] + 0.5 * right * one["wing_twist"])
        + (surfaces["kind"] == FIN) * one["fin_offset"]
    )
    surfaces["control_travel"] *= one["control_travel"]
    numbers.thrusters["tilt"] += one["thrust_tilt"]
    numbers.thrusters["toe"] += one["thrust_toe"]
    rotors = numbers.rotors
    side = 0.5 * np.sign(rotors["y"])
    rotors["diameter"] *= 1.0 + side * one["rotor_match"]
    for field in ("bearing_torque", "bearing_drag"):
        rotors[field] *= one["bearing_match"] ** side
    _drive_sides(numbers, one["drive_match"])
    numbers.vehicle["y"] += values["balance_sideways"]


def _drive_sides(numbers: AeroplaneNumbers, match: Floats) -> None:
    """Set drives that turn rotors of one side only apart in speed."""
    for row in range(numbers.drives.shape[1]):
        turned = numbers.rotors["y"][0][numbers.rotors["drive"][0] == row]
        if len(turned) and (np.all(turned > 0.0) or np.all(turned < 0.0)):
            numbers.drives["speed"][:, row] *= 1.0 + 0.5 * float(np.sign(turned[0])) * match[:, 0]
