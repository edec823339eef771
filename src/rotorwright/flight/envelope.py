"""What one aeroplane can do: a fixed programme of steady solutions, at most `SOLVES_AT_MOST` a case.

The envelope visits *nodes*: pairs of elevator and drive command within the aeroplane's limits (for free rotors the
elevator is swept, for driven ones the rotor command too). At each node it solves full-throttle flight (airspeed, climb,
incidence free; this exists even for an aeroplane that cannot hold its height) and, where height can be held, level
flight (airspeed, incidence, throttle free). Everything else starts from the best node. The programme is written over
all cases of a batch at once; each step is one compiled call.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.records import ELEVATOR as ELEVATOR_CHANNEL
from rotorwright.base.records import WING
from rotorwright.base.status import NOT_APPLICABLE, OK
from rotorwright.flight.layout import OFF
from rotorwright.flight.ledger import STEADY
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.solver import GUESS_ALL, GUESS_INNER, Solutions
from rotorwright.flight.steady import (
    AIRSPEED,
    BANK,
    CLIMB,
    COMMAND,
    ELEVATOR,
    EXTRA_MASS,
    INCIDENCE,
    THROTTLE,
)

Floats = npt.NDArray[np.float64]
Records = npt.NDArray[Any]

FULL, LEVEL, BANKED, GLIDE, GLIDE_OFF, APPROACH, HEAVY, HEAVY_RESERVE, TURN, TURN_LIMIT = range(10)
CONDITIONS = 10
"""The steady conditions of an envelope, in the order of their rows."""

SOLVES_AT_MOST = 60
TURN_BANK = math.pi / 6.0
APPROACH_PATH = 0.105
"""Sine of the approach path, 6° down."""
NEUTRAL_PREFERENCE = 0.01
"""A node with the elevator off neutral must win by this share of the weight per full travel to be preferred."""

CLIMBING = (AIRSPEED, CLIMB, INCIDENCE)
HOLDING = (AIRSPEED, INCIDENCE, THROTTLE)
LOADING = (AIRSPEED, INCIDENCE, EXTRA_MASS)
BANKING = (AIRSPEED, INCIDENCE, BANK)

ENVELOPE = np.dtype(
    [
        (name, np.float64)
        for name in (
            "best_node",
            "surplus",  # thrust to spare at full throttle, straight and level [N]
            "surplus_banked",  # the same at the reserve bank [N]
            "reserve_surplus",  # what is left once the reserve is paid for; flying with reserve means ≥ 0 [N]
            "slowest_level",
            "fastest_level",
            "level_nodes",  # how many nodes can fly level
            "solves",  # solutions spent on the case
        )
    ]
)
"""Figures of the whole envelope; the conditions have rows of their own (`STEADY`)."""


class Nodes(NamedTuple):
    """The grid of an envelope: elevator (−1…1), drive command (0…1), and the earlier node each starts from."""

    elevators: tuple[float, ...]
    commands: tuple[float, ...]
    parents: tuple[int, ...]


def nodes_for(numbers: AeroplaneNumbers, *, few: bool = False) -> Nodes:
    """Return the nodes to visit: the elevator's range, and the command's range if a drive turns a rotor.

    ``few`` gives the short grid that levers and searches use.
    """
    has_elevator = bool((numbers.surfaces["control"] == ELEVATOR_CHANNEL).any())
    driven = bool((numbers.rotors["drive"] >= 0).any())
    elevators, commands, parents = [0.0], [1.0], [-1]
    if driven:
        for command in (0.8, 0.62) if few else (0.88, 0.76, 0.64, 0.52):
            parents.append(len(elevators) - 1)
            elevators.append(0.0)
            commands.append(command)
    if has_elevator:
        steps = (0.4,) if few else (0.3, 0.65) if driven else (0.25, 0.5, 0.75, 1.0)
        for sense in (1.0, -1.0):
            parent = 0
            for step in steps:
                parents.append(parent)
                parent = len(elevators)
                elevators.append(sense * step)
                commands.append(1.0)
    return Nodes(tuple(elevators), tuple(commands), tuple(parents))


class Envelope(NamedTuple):
    """A flown envelope: figures, shape (cases,), and steady conditions, shape (cases, CONDITIONS)."""

    figures: Records
    steady: Records


def blank_envelope(cases: int) -> Envelope:
    """Return an envelope with nothing in it yet (NaN everywhere, conditions marked as not applicable)."""
    figures = np.full((cases, len(ENVELOPE.names or ())), np.nan).view(ENVELOPE)[:, 0]
    steady = np.full((cases, CONDITIONS * len(STEADY.names or ())), np.nan).view(STEADY)
    steady["status"] = NOT_APPLICABLE
    figures["level_nodes"] = 0.0
    return Envelope(figures, steady)


def solve_from_nothing(work: Solutions, free: tuple[int, ...]) -> None:
    """Solve rows with first guesses of our own, trying a few airspeeds and incidences; other variables as set."""
    before = work.flight.copy()
    work.solve(free, GUESS_ALL)
    for attempt, (faster, nose_up) in enumerate(((1.3, 0.0), (0.8, 0.08), (1.1, 0.0))):
        rows = np.flatnonzero(work.status == 1)
        if not len(rows):
            return
        again = work.take(rows)
        again.flight[:] = before[rows]
        guessed = np.where(np.isfinite(work.flight[rows, AIRSPEED]), work.flight[rows, AIRSPEED], 10.0)
        again.flight[:, AIRSPEED] = np.clip(faster * guessed, 3.0, 40.0)
        again.flight[:, INCIDENCE] += nose_up
        if attempt == 2:
            again.flight[:, CLIMB] = -0.3 * again.flight[:, AIRSPEED]
        again.solve(free, GUESS_INNER)
        work.put(rows, again)


def _start_incidence(numbers: AeroplaneNumbers) -> Floats:
    """Return where to start the search for incidence: near a plain wing's working angle, else level."""
    wings = numbers.surfaces["kind"] == WING
    if not wings.any():
        return np.zeros(len(numbers.vehicle))
    first = int(np.argmax(wings[0]))
    return np.asarray(0.1 - numbers.surfaces["incidence"][:, first], dtype=np.float64)


def _full_throttle(numbers: AeroplaneNumbers, cases: npt.NDArray[np.int64], nodes: Nodes) -> list[Solutions]:
    """Return full-throttle flight at every node, each solved from its parent."""
    solved: list[Solutions] = []
    start = _start_incidence(numbers)[cases]
    for elevator, command, parent in zip(*nodes, strict=True):
        work = Solutions(numbers, cases) if parent < 0 else solved[parent].take(slice(None))
        missing = np.ones(len(cases), dtype=bool)
        if parent >= 0:
            work.flight[:, AIRSPEED] *= np.sqrt(work.flight[:, COMMAND] / command)
            work.flight[:, ELEVATOR], work.flight[:, COMMAND] = elevator, command
            work.solve(CLIMBING)
            missing = ~work.found
        rows = np.flatnonzero(missing)
        if len(rows):
            again = work.take(rows)
            again.flight[:] = 0.0
            again.flight[:, INCIDENCE] = start[rows]
            again.flight[:, THROTTLE] = 1.0
            again.flight[:, ELEVATOR], again.flight[:, COMMAND] = elevator, command
            solve_from_nothing(again, CLIMBING)
            work.put(rows, again)
        solved.append(work)
    return solved


def fly_envelope(
    numbers: AeroplaneNumbers,
    cases: npt.NDArray[np.int64],
    nodes: Nodes,
    reserve_climb: float,
    reserve_bank: float,
    *,
    thorough: bool = True,
) -> Envelope:
    """Fly the programme for some cases of a batch.

    Parameters
    ----------
    numbers : AeroplaneNumbers
    cases : array of int64, shape (cases,)
        Which cases of the batch.
    nodes : Nodes
        The first node is neutral elevator with full command.
    reserve_climb, reserve_bank : float
        The reserve asked for [m/s], [rad].
    thorough : bool
        False stops once the reserve is judged (for levers and searches).

    Returns
    -------
    envelope : Envelope
        Rows in the order of ``cases``.
    """
    envelope = blank_envelope(len(cases))
    figures, steady = envelope
    weight = numbers.vehicle["mass"][cases] * numbers.air["gravity"][cases]
    full = _full_throttle(numbers, cases, nodes)
    figures["solves"] = len(nodes.elevators)

    surplus = np.array([weight * node.flight[:, CLIMB] / node.flight[:, AIRSPEED] for node in full])
    score = surplus - NEUTRAL_PREFERENCE * weight * np.abs(nodes.elevators)[:, None]
    score[~np.array([node.solved for node in full])] = -np.inf
    best = np.argmax(score, axis=0)
    flies = np.isfinite(np.max(score, axis=0))
    figures["best_node"] = np.where(flies, best, -1)

    top = full[0].take(slice(None))
    for node, solutions in enumerate(full):
        rows = np.flatnonzero(best == node)
        top.put(rows, solutions.take(rows))
    steady[:, FULL] = top.steady
    rows = np.flatnonzero(flies)
    if not len(rows):
        return envelope
    spare = surplus[best[rows], rows]
    figures["surplus"][rows] = spare

    banked = top.take(rows)
    banked.flight[:, BANK] = reserve_bank
    banked.solve(CLIMBING)
    steady[rows, BANKED] = banked.steady
    figures["solves"][rows] += 1
    turning = np.where(
        banked.status == OK,
        weight[rows] * banked.flight[:, CLIMB] / banked.flight[:, AIRSPEED],
        spare - weight[rows] * (1.0 / math.cos(reserve_bank) - 1.0),
    )
    figures["surplus_banked"][rows] = turning
    climbing = spare - weight[rows] * reserve_climb / top.flight[rows, AIRSPEED]
    figures["reserve_surplus"][rows] = np.minimum(climbing, turning)
    if thorough:
        _level(envelope, full, best)
        _around(envelope, top, rows, reserve_climb)
    return envelope


def _level(envelope: Envelope, full: list[Solutions], best: npt.NDArray[np.int64]) -> None:
    """Solve level flight at every node that can climb; note the best node's and the range of speeds."""
    figures, steady = envelope
    for node, solutions in enumerate(full):
        rows = np.flatnonzero(solutions.solved & (solutions.flight[:, CLIMB] >= 0.0))
        if not len(rows):
            continue
        work = solutions.take(rows)
        work.flight[:, CLIMB] = 0.0
        work.flight[:, THROTTLE] = 0.85
        work.solve(HOLDING)
        figures["solves"][rows] += 1
        good = rows[work.solved]
        speed = work.flight[work.solved, AIRSPEED]
        figures["level_nodes"][good] += 1.0
        figures["slowest_level"][good] = np.fmin(figures["slowest_level"][good], speed)
        figures["fastest_level"][good] = np.fmax(figures["fastest_level"][good], speed)
        chosen = best[rows] == node
        steady[rows[chosen], LEVEL] = work.steady[chosen]


def _around(envelope: Envelope, top: Solutions, rows: npt.NDArray[np.int64], reserve_climb: float) -> None:
    """Solve glides, approach, heaviest weights and turns, all from the best node's full-throttle flight."""
    figures, steady = envelope
    gravity = top.numbers.air["gravity"][top.cases]
    mass = top.numbers.vehicle["mass"][top.cases]
    _glides(envelope, top, rows)

    extra = np.maximum(2.0 * figures["surplus"] / gravity, -0.5 * mass)
    for which, climb in ((HEAVY, 0.0), (HEAVY_RESERVE, reserve_climb)):
        work = top.take(rows)
        work.flight[:, CLIMB] = climb
        work.flight[:, EXTRA_MASS] = extra[rows]
        steady[rows, which] = work.solve(LOADING).steady
    rows = rows[figures["surplus"][rows] >= 0.0]
    figures["solves"][rows] += 7
    if not len(rows):
        return
    work = top.take(rows)
    work.flight[:, CLIMB] = -APPROACH_PATH * work.flight[:, AIRSPEED]
    work.flight[:, THROTTLE] = 0.7
    steady[rows, APPROACH] = work.solve(HOLDING).steady

    work = top.take(rows)
    work.flight[:, CLIMB] = 0.0
    work.flight[:, BANK] = TURN_BANK
    work.flight[:, AIRSPEED] *= 1.07
    steady[rows, TURN] = work.solve(HOLDING).steady

    work = top.take(rows)
    work.flight[:, CLIMB] = 0.0
    work.flight[:, BANK] = np.minimum(0.2 + 2.0 * figures["surplus"][rows] / (mass * gravity)[rows], 0.9)
    steady[rows, TURN_LIMIT] = work.solve(BANKING).steady


def _glides(envelope: Envelope, top: Solutions, rows: npt.NDArray[np.int64]) -> None:
    """Solve the glide with thrusters off, and with the rotor drive off as well where there is one."""
    driven = top.numbers.drives.shape[1] > 0
    for which in (GLIDE, GLIDE_OFF) if driven else (GLIDE,):
        work = top.take(rows)
        work.flight[:, CLIMB] = -0.4 * work.flight[:, AIRSPEED]
        work.flight[:, AIRSPEED] *= 0.95
        work.flight[:, THROTTLE] = OFF
        if which == GLIDE_OFF:
            work.flight[:, COMMAND] = OFF
        start = work.flight.copy()
        work.solve(CLIMBING, GUESS_INNER)
        again = np.flatnonzero(~work.found)
        if len(again):
            second = work.take(again)
            second.flight[:] = start[again]
            solve_from_nothing(second, CLIMBING)
            work.put(again, second)
        envelope.steady[rows, which] = work.steady
