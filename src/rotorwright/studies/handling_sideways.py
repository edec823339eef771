"""Holding an aeroplane straight, one thruster or rotor stopped, and rolling it by rotors that turn at unlike speeds."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.flight.layout import ROTOR_SPEEDS
from rotorwright.flight.linear import PHI, STICKS, Linear, P, Point, R, V
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.sources import FLIGHT, lift_sources, torque_sources

Floats = npt.NDArray[np.float64]

MOST_BANK, MOST_SLIP = math.radians(20.0), math.radians(15.0)
"""Bank and sideslip beyond which straight flight counts as not held: the linear figures end there (judgement)."""
SPREAD = 0.02
"""Share by which one side is made faster and the other slower to read differential spin."""
RPM_100 = 100.0 * math.pi / 30.0
SEARCHES = 20
MOST_APART = 0.2
"""No more than this share is ever put between one side and level flight (judgement)."""
YAW_ASKED = math.radians(30.0)
MOST_FASTER = 1.0
"""No room for more than this share above the speed of level flight is looked for."""


@dataclass(frozen=True)
class Straight:
    """What it takes to fly straight with something pulling to one side."""

    what: str
    """``level flight``, ``NAME stopped``."""
    part: str
    """``none``, ``thruster`` or ``rotor``."""
    bank: Quantity
    """Right wing down positive [rad]."""
    sideslip: Quantity
    """Wind from the right positive [rad]."""
    rudder: Quantity
    """Share of travel, trailing edge left positive."""
    aileron: Quantity
    """Share of travel."""
    rotors: Quantity
    """Differential spin where there are no ailerons: left rotors faster, right ones slower by this share."""
    held: float
    """Share of the samples in which it can be held."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        names = ("bank", "sideslip", "rudder", "aileron", "rotors")
        return {"what": self.what, "part": self.part, "held": self.held} | {
            name: getattr(self, name).as_dict() for name in names
        }


@dataclass(frozen=True)
class Mixed:
    """One output of the receiver and what moves it."""

    output: str
    stick: str
    mixed_with: str
    """A second stick, or empty."""
    share: float
    """Of the output's travel or speed, at full second stick; positive: right roll raises it."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {"output": self.output, "stick": self.stick, "mixed_with": self.mixed_with, "share": self.share}


@dataclass(frozen=True)
class Sideways:
    """Straight flight, stopped parts, differential spin and the list of outputs."""

    straight: tuple[Straight, ...]
    quantities: dict[str, Quantity]
    """Differential spin; empty if the rotors of both sides cannot turn at unlike speeds."""
    outputs: tuple[Mixed, ...]


def sideways(flown: Flown, level: Any, rows: Solutions, models: list[Linear], reader: Reader) -> Sideways:
    """Return what it takes to fly straight, whole and with one part stopped, and what differential spin does.

    Parameters
    ----------
    flown : Flown
    level : array of STEADY records, shape (cases,)
        From `level_or_held`.
    rows : Solutions
        Settled level flight.
    models : list of Linear
        One for each case.
    reader : Reader

    Notes
    -----
    The side force, roll and yaw left over in level flight (propeller torque and thrust off the middle, one part
    stopped) are taken up by sideslip, bank and the controls of the linear model. With rudder and ailerons the sideslip
    is kept at zero; without ailerons rotors driven apart stand in for them. Beyond 20° of bank, 15° of sideslip, full
    travel or 20 % of rotor speed it counts as not held.
    """
    points = [Point(rows, case) for case in range(len(rows.cases))]
    sides = _two_sides(flown, points[0])
    rolls = [None if sides is None else _apart(point, sides, SPREAD) / SPREAD for point in points]
    rooms = np.array([0.0 if sides is None else _room_of_all(point) for point in points])

    def straight(what: str, part: str, left_over: list[Floats]) -> Straight:
        each = zip(models, left_over, rolls, strict=True)
        answers = [straight_controls(model, rates[[V, P, R]], roll) for model, rates, roll in each]
        return _straight(what, part, np.array(answers), rooms, reader)

    found = [straight("level flight", "none", [point.rates(point.start(), point.controls)[0] for point in points])]
    for place, name in enumerate(flown.rows.names.thrusters):
        thrusters = flown.numbers.thrusters.copy()
        thrusters["working"][:, place] = 0.0
        if thrusters.shape[1] > 1:
            broken = held_flight(flown.numbers._replace(thrusters=thrusters), level).solve((), GUESS_INNER)
            stopped = [Point(broken, case) for case in range(len(models))]
            rates = [point.rates(point.start(), point.controls)[0] for point in stopped]
            found.append(straight(f"thruster {name} stopped", "thruster", rates))
    if len(flown.rows.rotors) > 1:
        for place, name in enumerate(flown.rows.names.rotors):
            if flown.rows.rotors["turning"][place] == 1.0:
                rates = [_with_rotors(point, {place: 0.0}) for point in points]
                found.append(straight(f"rotor {name} stopped", "rotor", rates))
    quantities = {} if sides is None else _differential(points, models, sides, rooms, reader)
    return Sideways(tuple(found), quantities, _outputs(flown, sides))


def _with_rotors(point: Point, shares: dict[int, float]) -> Floats:
    """Return the rates of the states with rotors at these shares of their speed."""
    kept, states = point.state.copy(), point.start()
    for rotor, share in shares.items():
        point.state[ROTOR_SPEEDS + rotor] *= share
        if rotor in point.free:
            states[8 + point.spins.index(rotor)] *= share
    rates, _ = point.rates(states, point.controls)
    point.state[:] = kept
    return rates


def _straight(what: str, part: str, answers: Floats, rooms: Floats, reader: Reader) -> Straight:
    bank, slip, rudder, aileron, rotors = answers.T
    fine = (np.abs(bank) <= MOST_BANK) & (np.abs(slip) <= MOST_SLIP)
    fine &= (np.abs(rudder) <= 1.0) & (np.abs(aileron) <= 1.0)
    fine &= (rotors == 0.0) | (np.abs(rotors) <= np.minimum(rooms, MOST_APART))
    tested = fine[1:] if len(fine) > 1 else fine
    sources = FLIGHT + lift_sources(reader.flown) + torque_sources(reader.flown)

    def read(numbers: Floats, unit: str) -> Quantity:
        return reader.quantity(np.where(fine, numbers, np.nan), unit, sources, "it cannot be held straight")

    return Straight(
        what, part, read(bank, "rad"), read(slip, "rad"), read(rudder, "1"), read(aileron, "1"), read(rotors, "1"),
        float(tested.mean()),
    )  # fmt: skip


def straight_controls(
    model: Linear, left_over: Floats, apart: Floats | None = None
) -> tuple[float, float, float, float, float]:
    """Return bank, sideslip [rad] and shares of rudder, aileron and differential spin that bring it all to rest.

    Parameters
    ----------
    model : Linear
    left_over : array, shape (3,)
        Rates of sideways speed, roll and yaw that are to vanish.
    apart : array, shape (3,), optional
        The same rates for left rotors twice as fast and right ones at rest, linear: the roll control where there are
        no ailerons.

    Notes
    -----
    A x = −left_over in the rates of v, p, r, everything that turns settled. With something for roll and yaw each the
    sideslip is kept at zero; NaN when no control yaws or rolls it.
    """
    matrix, effect = model.settled(), model.settled_effect()
    speed = math.hypot(float(model.at[0]), float(model.at[2]))
    rows = [V, P, R]
    columns = [effect[rows, STICKS.index(name)] for name in ("rudder", "aileron")]
    columns.append(np.zeros(3) if apart is None else apart)
    there = [float(np.abs(column[1:]).max()) > 1e-6 for column in columns]
    there[2] = there[2] and not there[1]
    used = [k for k in range(3) if there[k]]
    if not used:
        return (math.nan,) * 5
    unknowns = [matrix[rows, PHI], *(columns[k] for k in used)]
    if len(used) == 1:
        unknowns.append(matrix[rows, V] * speed)
    square = np.stack(unknowns, axis=1)
    if abs(np.linalg.det(square)) < 1e-12:
        return (math.nan,) * 5
    solved = [float(number) for number in np.linalg.solve(square, -left_over)]
    shares = [0.0, 0.0, 0.0]
    for k, share in zip(used, solved[1:], strict=False):
        shares[k] = share
    return solved[0], solved[2] if len(used) == 1 else 0.0, shares[0], shares[1], shares[2]


def _two_sides(flown: Flown, point: Point) -> tuple[list[int], list[int]] | None:
    """Return the rotors of the left and of the right that a drive of their own holds; None if there is no such pair."""
    left: list[int] = []
    right: list[int] = []
    for rotors in point.held:
        places = [float(flown.rows.rotors["y"][rotor]) for rotor in rotors]
        if all(y < 0.0 for y in places):
            left += rotors
        elif all(y > 0.0 for y in places):
            right += rotors
    return (left, right) if left and right else None


def _apart(point: Point, sides: tuple[list[int], list[int]], share: float) -> Floats:
    """Return the rates of v, p, r with left rotors faster and right ones slower by a share, half of both ways."""
    left, right = sides
    ends = [
        _with_rotors(point, dict.fromkeys(left, 1.0 + sign * share) | dict.fromkeys(right, 1.0 - sign * share))
        for sign in (1.0, -1.0)
    ]
    return np.asarray(0.5 * (ends[0] - ends[1])[[V, P, R]], dtype=np.float64)


def _differential(
    points: list[Point], models: list[Linear], sides: tuple[list[int], list[int]], rooms: Floats, reader: Reader
) -> dict[str, Quantity]:
    """Return what it does to turn the left rotors faster and the right ones slower."""
    rolls: list[float] = []
    yaws: list[float] = []
    couples: list[float] = []
    most: list[float] = []
    for point, model, room in zip(points, models, rooms, strict=True):
        speed = float(np.mean([point.state[ROTOR_SPEEDS + rotor] for side in sides for rotor in side]))
        roll, yaw = _moments(model, _apart(point, sides, SPREAD)) / (2.0 * SPREAD * speed)
        rolls.append(float(roll) * RPM_100)
        yaws.append(float(yaw) * RPM_100)
        couples.append(float(model.momentum[1]) * YAW_ASKED / float(roll) if roll > 1e-9 else math.nan)
        most.append(float(_moments(model, _apart(point, sides, min(float(room), MOST_APART)))[0]))
    sources = FLIGHT + lift_sources(reader.flown) + torque_sources(reader.flown)
    return {
        "differential_roll": reader.quantity(rolls, "N m", sources),
        "differential_yaw": reader.quantity(yaws, "N m", sources),
        "differential_for_couple": reader.quantity(couples, "rad/s", sources, "faster brings no more lift"),
        "differential_room": reader.quantity(rooms, "1", sources),
        "differential_most": reader.quantity(most, "N m", sources),
    }


def _moments(model: Linear, rates: Floats) -> Floats:
    """Return the rolling and the yawing moment behind rates of v, p, r without pitch [N m]."""
    moments = model.inertia @ np.array([rates[1], 0.0, rates[2]])
    return np.array([moments[0], moments[2]])


def _room_of_all(point: Point) -> float:
    """Return the room of the drive that has least."""
    return min(_room(point, drive) for drive in range(len(point.governing)))


def _room(point: Point, drive: int) -> float:
    """Return by which share a drive can turn its rotors faster than in level flight, its controller fully open."""
    controls = point.controls.copy()
    controls[len(STICKS) + point.thrusters + point.governing[drive]] = 1.0
    start = point.start()

    def surplus(share: float) -> float:
        held = np.ones(len(point.governing))
        held[drive] = share
        return float(point.rates(start, controls, held)[1][drive])

    low, high = 1.0, 1.0 + MOST_FASTER
    if surplus(low) <= 0.0:
        return 0.0
    for _ in range(SEARCHES):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if surplus(middle) > 0.0 else (low, middle)
    return low - 1.0


MIX_SHARE = 0.05
"""Differential spin to start from: each side ± this share of its speed at full stick (judgement)."""


def _outputs(flown: Flown, sides: tuple[list[int], list[int]] | None) -> tuple[Mixed, ...]:
    """Return every output of the receiver with the stick that moves it, in the order of the file."""
    found = []
    for name, surface in zip(flown.rows.names.surfaces, flown.rows.surfaces, strict=True):
        if 0 <= int(surface["control"]) < len(STICKS):
            found.append(Mixed(f"servo {name}", STICKS[int(surface["control"])], "", 0.0))
    found += [Mixed(f"motor {name}", "throttle", "", 0.0) for name in flown.rows.names.thrusters]
    for place, name in enumerate(flown.rows.names.drives):
        turned = [i for i, rotor in enumerate(flown.rows.rotors) if int(rotor["drive"]) == place]
        if sides is not None and turned:
            side = 1.0 if turned[0] in sides[0] else -1.0 if turned[0] in sides[1] else 0.0
            found.append(Mixed(f"rotor drive {name}", "rotor speed", "roll" if side else "", MIX_SHARE * side))
        else:
            found.append(Mixed(f"rotor drive {name}", "rotor speed", "", 0.0))
    return tuple(found)
