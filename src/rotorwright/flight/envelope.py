"""What one aeroplane can do: a fixed programme of steady solutions, at most `SOLVES_AT_MOST` a case.

The envelope visits *nodes*: pairs of elevator and drive command within the aeroplane's limits (for free rotors the
elevator is swept, for driven ones the rotor command too). At each node it solves level flight (airspeed, incidence and
throttle free; a throttle beyond full is allowed in the search and tells how much thrust is missing), then lets motors
and packs settle at full throttle at that speed: the difference is the thrust to spare. Everything else starts from the
best node. First of all stands level flight with the nose held by a made-up pitching moment: it starts the search, and
where no node balances it tells how much pitch control is missing. The programme is written over all cases of a batch at
once; each step is one compiled call.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.records import ELEVATOR as ELEVATOR_CHANNEL
from rotorwright.base.records import VANED, WING
from rotorwright.base.status import NOT_APPLICABLE, NOT_CONVERGED
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
    PITCH_AID,
    THROTTLE,
)

Floats = npt.NDArray[np.float64]
Records = npt.NDArray[Any]

FULL, LEVEL, BANKED, GLIDE, GLIDE_OFF, APPROACH, HEAVY, HEAVY_RESERVE, TURN, TURN_LIMIT, UNTRIMMED, OPENED = range(12)
CONDITIONS = 12
"""The steady conditions of an envelope, in the order of their rows.

`FULL` is a steady climb at full throttle; `OPENED` is full throttle at the speed of level flight, not yet climbing.
"""

SOLVES_AT_MOST = 60
TURN_BANK = math.pi / 6.0
APPROACH_PATH = 0.105
"""Sine of the approach path, 6° down."""
NEUTRAL_PREFERENCE = 0.04
LEVEL_PREFERENCE = 0.2
"""A node off neutral must win by these shares of the weight, per full elevator travel and per radian of incidence: no
pilot flies with the stick in the corner and the nose in the sky for a gram of thrust."""
EASY_NOSE = 0.1
"""About this far off level, either way, a pilot hardly cares where the nose points [rad]; beyond it the price is full.
Without it aeroplanes with thrust in plenty choose between neighbouring elevator settings by a degree of incidence, and
their level speed falls into two heaps."""
PLENTY = 0.3
"""Thrust to spare over weight beyond which more of it tempts no pilot off neutral."""

STEEPEST_CLIMB = 0.75
"""Thrust to spare over weight above which full throttle has no steady climb worth the name (it hangs on its thrust)."""
CLIMBING = (AIRSPEED, CLIMB, INCIDENCE)
NOSE_HELD = (AIRSPEED, CLIMB, ELEVATOR)
SPEED_HELD = (CLIMB, INCIDENCE, ELEVATOR)
AIDED = (AIRSPEED, THROTTLE, PITCH_AID)
SETTLED = ()
HOLDING = (AIRSPEED, INCIDENCE, THROTTLE)
LOADING = (AIRSPEED, INCIDENCE, EXTRA_MASS)
BANKING = (AIRSPEED, INCIDENCE, BANK)
TURN_HELD = (THROTTLE, INCIDENCE, ELEVATOR)
SHORTER_STEPS = (0.4, 0.15)
"""A search that fails begins again at these shares of the first step away from level flight."""

ENVELOPE = np.dtype(
    [
        (name, np.float64)
        for name in (
            "best_node",
            "surplus",  # thrust to spare at full throttle, straight and level [N]
            "untrimmed_surplus",  # the same if something else held the nose
            "surplus_banked",  # the same at the reserve bank [N]
            "reserve_surplus",  # what is left once the reserve is paid for; flying with reserve means ≥ 0 [N]
            "reserve_score",  # the same less the price of flying off neutral: has no jumps, for levers and searches [N]
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
    """Solve rows with first guesses of our own, trying a second airspeed; other flight variables as set."""
    before = work.flight.copy()
    work.solve(free, GUESS_ALL)
    for faster in (1.4, 0.75):
        rows = np.flatnonzero(~work.found)
        if not len(rows):
            return
        again = work.take(rows)
        guessed = np.where(np.isfinite(work.flight[rows, AIRSPEED]), work.flight[rows, AIRSPEED], 10.0)
        again.flight[:] = before[rows]
        again.flight[:, AIRSPEED] = np.clip(faster * guessed, 3.0, 40.0)
        again.solve(free, GUESS_INNER)
        work.put(rows, again)


def _start_incidence(numbers: AeroplaneNumbers) -> Floats:
    """Return where to start the search for incidence: near a plain wing's working angle, else level."""
    wings = numbers.surfaces["kind"] == WING
    if not wings.any():
        return np.zeros(len(numbers.vehicle))
    first = int(np.argmax(wings[0]))
    return np.asarray(0.1 - numbers.surfaces["incidence"][:, first], dtype=np.float64)


def _untrimmed(numbers: AeroplaneNumbers, cases: npt.NDArray[np.int64]) -> Solutions:
    """Return level flight with a made-up pitching moment holding the nose."""
    work = Solutions(numbers, cases)
    work.flight[:, INCIDENCE] = _start_incidence(numbers)[cases]
    work.flight[:, THROTTLE] = 0.8
    work.flight[:, COMMAND] = 1.0
    solve_from_nothing(work, AIDED)
    return work


def _level_nodes(untrimmed: Solutions, nodes: Nodes) -> list[Solutions]:
    """Return level flight at every node, each solved from its parent, or from the untrimmed one."""
    solved: list[Solutions] = []
    for elevator, command, parent in zip(*nodes, strict=True):
        work = untrimmed.take(slice(None))
        if parent >= 0:
            rows = np.flatnonzero(solved[parent].found)
            if len(rows) == len(work.status):
                work = solved[parent].take(slice(None))
            elif len(rows):
                work.put(rows, solved[parent].take(rows))
        work.flight[:, PITCH_AID] = 0.0
        work.flight[:, AIRSPEED] *= np.sqrt(work.flight[:, COMMAND] / command)
        work.flight[:, ELEVATOR], work.flight[:, COMMAND] = elevator, command
        solved.append(work.solve(HOLDING))
    return solved


def _thrust_to_spare(level: Solutions, opened: Records | None = None) -> Floats:
    """Return full-throttle thrust at the speed of level flight less the thrust it needs [N]; NaN without a balance.

    ``opened``, if given, receives the records of full throttle at that speed.
    """
    spare = np.full(len(level.status), np.nan)
    rows = np.flatnonzero(level.holdable)
    if len(rows):
        full = level.take(rows)
        full.flight[:, THROTTLE] = 1.0
        full.solve(SETTLED)
        gain = full.steady["thrust"] - level.steady["thrust"][rows]
        spare[rows] = np.where(full.found, gain, np.nan)
        if opened is not None:
            opened[rows] = full.steady
    return spare


class Look(NamedTuple):
    """A first look at aeroplanes: one steady flight each, its nose held from outside."""

    steady: Records
    """Level flight, shape (cases,); NaN where there is none."""
    spare: Floats
    """Full-throttle thrust at that speed less the thrust it needs, shape (cases,) [N]."""


def look_at_level(numbers: AeroplaneNumbers, cases: npt.NDArray[np.int64]) -> Look:
    """Return level flight of some cases of a batch and the thrust to spare in it, whoever holds the nose.

    Two solutions a case: for sifting great numbers of designs before any is looked at closely.
    """
    untrimmed = _untrimmed(numbers, cases)
    return Look(untrimmed.steady, _thrust_to_spare(untrimmed))


def fly_envelope(
    numbers: AeroplaneNumbers,
    cases: npt.NDArray[np.int64],
    nodes: Nodes,
    reserve_climb: float,
    reserve_bank: float,
    *,
    thorough: bool = True,
    as_balanced: bool = False,
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
        False stops once the reserve is judged, and takes the node of the greatest score whatever the thrust (for levers
        and searches, which need figures without jumps).
    as_balanced : bool
        Take the node that the thorough programme takes even if it is cut short.

    Returns
    -------
    envelope : Envelope
        Rows in the order of ``cases``.
    """
    envelope = blank_envelope(len(cases))
    figures, steady = envelope
    weight = numbers.vehicle["mass"][cases] * numbers.air["gravity"][cases]
    untrimmed = _untrimmed(numbers, cases)
    steady[:, UNTRIMMED] = untrimmed.steady
    figures["untrimmed_surplus"] = _thrust_to_spare(untrimmed)
    level = _level_nodes(untrimmed, nodes)
    opened = np.array([blank_envelope(len(cases)).steady[:, 0] for _ in level])
    surplus = np.array([_thrust_to_spare(node, records) for node, records in zip(level, opened, strict=True)])
    figures["solves"] = 2 + 2 * len(nodes.elevators)

    nose = np.array([np.hypot(node.flight[:, INCIDENCE], EASY_NOSE) - EASY_NOSE for node in level])
    off_neutral = NEUTRAL_PREFERENCE * np.abs(nodes.elevators)[:, None] + LEVEL_PREFERENCE * nose
    tempting = np.minimum(surplus, PLENTY * weight) if thorough or as_balanced else surplus
    score = tempting - weight * off_neutral
    score = np.where(np.isfinite(score), score, -np.inf)
    best = np.argmax(score, axis=0)
    rows = np.flatnonzero(np.isfinite(np.max(score, axis=0)))
    figures["best_node"] = np.where(np.isfinite(np.max(score, axis=0)), best, -1)
    top = level[0].take(slice(None))
    for node, solutions in enumerate(level):
        chosen = np.flatnonzero(best == node)
        top.put(chosen, solutions.take(chosen))
    steady[:, LEVEL] = top.steady
    steady[:, OPENED] = opened[best, np.arange(len(cases))]
    if len(rows):
        figures["surplus"][rows] = surplus[best[rows], rows]
        _reserve(envelope, top, rows, weight, reserve_climb, reserve_bank)
        price = (weight * off_neutral)[best[rows], rows]
        figures["reserve_score"][rows] = figures["reserve_surplus"][rows] - price
        if thorough:
            _speed_range(envelope, level)
            _around(envelope, top, rows, reserve_climb)
    return envelope


def _reserve(
    envelope: Envelope,
    top: Solutions,
    rows: npt.NDArray[np.int64],
    weight: Floats,
    reserve_climb: float,
    reserve_bank: float,
) -> None:
    """Judge the reserve: thrust to spare once the climb is paid for, and at the bank asked for."""
    figures, steady = envelope
    banked = top.take(rows)
    banked.flight[:, BANK] = reserve_bank
    banked.flight[:, AIRSPEED] /= math.sqrt(math.cos(reserve_bank))
    banked.solve(HOLDING)
    steady[rows, BANKED] = banked.steady
    turning = _thrust_to_spare(banked)
    # no turn found: it costs at least the drag of the greater lift
    steeper = top.steady["thrust"][rows] * (1.0 / math.cos(reserve_bank) - 1.0)
    turning = np.where(np.isfinite(turning), turning, figures["surplus"][rows] - steeper)
    figures["surplus_banked"][rows] = turning
    climbing = figures["surplus"][rows] - weight[rows] * reserve_climb / top.flight[rows, AIRSPEED]
    figures["reserve_surplus"][rows] = np.minimum(climbing, turning)
    figures["solves"][rows] += 2


def _speed_range(envelope: Envelope, level: list[Solutions]) -> None:
    """Note the range of speeds over the nodes that can fly level."""
    figures = envelope.figures
    for solutions in level:
        rows = np.flatnonzero(solutions.solved)
        speed = solutions.flight[rows, AIRSPEED]
        figures["level_nodes"][rows] += 1.0
        figures["slowest_level"][rows] = np.fmin(figures["slowest_level"][rows], speed)
        figures["fastest_level"][rows] = np.fmax(figures["fastest_level"][rows], speed)


def _climb(envelope: Envelope, top: Solutions, rows: npt.NDArray[np.int64]) -> None:
    """Solve full-throttle flight; with more thrust to spare than `STEEPEST_CLIMB` weights there is no steady climb."""
    figures, steady = envelope
    weight = (top.numbers.vehicle["mass"] * top.numbers.air["gravity"])[top.cases]
    slope = figures["surplus"] / weight
    rows = rows[np.abs(slope[rows]) < STEEPEST_CLIMB]
    if len(rows):
        work = top.take(rows)
        work.flight[:, THROTTLE] = 1.0
        work.flight[:, CLIMB] = np.clip(slope[rows], -0.5, 0.5) * work.flight[:, AIRSPEED]
        # with the elevator left alone a strong thrust may carry the nose away, to nothing or to a slow climb on its
        # thrust: hold the nose or the speed with the elevator as well, and take the best climb within its travel
        start = work.take(slice(None))
        work.solve(CLIMBING)
        for free in (NOSE_HELD, SPEED_HELD):
            held = start.take(slice(None)).solve(free)
            better = np.flatnonzero(held.solved & (~work.solved | (held.flight[:, CLIMB] > work.flight[:, CLIMB])))
            work.put(better, held.take(better))
        steady[rows, FULL] = work.steady


def _around(envelope: Envelope, top: Solutions, rows: npt.NDArray[np.int64], reserve_climb: float) -> None:
    """Solve climb, glides, approach, heaviest weights and turns, all from the best node's level flight."""
    figures, steady = envelope
    mass = top.numbers.vehicle["mass"][top.cases]
    _climb(envelope, top, rows)
    _glides(envelope, top, rows)

    # level thrust goes nearly with the weight, so thrust to spare carries that much more, until the propeller fades
    extra = np.maximum(figures["surplus"] / top.steady["thrust"], -0.7) * mass
    for which, climb in ((HEAVY, 0.0), (HEAVY_RESERVE, reserve_climb)):

        def load(work: Solutions, some: npt.NDArray[np.int64], share: float, climb: float = climb) -> None:
            work.flight[:, CLIMB] = climb
            work.flight[:, THROTTLE] = 1.0
            work.flight[:, EXTRA_MASS] = share * extra[some]
            work.flight[:, AIRSPEED] *= np.sqrt(1.0 + share * extra[some] / mass[some])

        steady[rows, which] = _sought(top, rows, LOADING, load, figures["solves"]).steady

    def turn(work: Solutions, some: npt.NDArray[np.int64], share: float) -> None:
        work.flight[:, BANK] = TURN_BANK
        work.flight[:, AIRSPEED] *= 1.0 + 0.07 / math.sqrt(share)

    turning = _sought(top, rows, HOLDING, turn, figures["solves"])
    _hold_the_turn(top, rows, turning, figures["solves"])
    steady[rows, TURN] = turning.steady
    figures["solves"][rows] += 3  # the climb, three ways
    rows = rows[figures["surplus"][rows] >= 0.0]
    if not len(rows):
        return
    work = top.take(rows)
    work.flight[:, CLIMB] = -APPROACH_PATH * work.flight[:, AIRSPEED]
    work.flight[:, THROTTLE] *= 0.9
    steady[rows, APPROACH] = work.solve(HOLDING).steady

    def bank(work: Solutions, some: npt.NDArray[np.int64], share: float) -> None:
        heavier = 1.0 + share * figures["surplus"][some] / top.steady["thrust"][some]
        work.flight[:, BANK] = np.clip(np.arccos(1.0 / heavier), 0.1, 1.2)
        work.flight[:, THROTTLE] = 1.0
        work.flight[:, AIRSPEED] *= np.sqrt(heavier)

    steady[rows, TURN_LIMIT] = _sought(top, rows, BANKING, bank, figures["solves"]).steady
    figures["solves"][rows] += 1


def _sought(
    top: Solutions,
    rows: npt.NDArray[np.int64],
    free: tuple[int, ...],
    start: Callable[[Solutions, npt.NDArray[np.int64], float], None],
    solves: Floats,
) -> Solutions:
    """Return solutions sought from level flight; a search that fails begins again nearer to it (share of the way)."""
    work = top.take(rows)
    start(work, rows, 1.0)
    work.solve(free)
    solves[rows] += 1
    for share in SHORTER_STEPS:
        lost = np.flatnonzero(~work.found)
        if not len(lost):
            break
        again = top.take(rows[lost])
        start(again, rows[lost], share)
        work.put(lost, again.solve(free))
        solves[rows[lost]] += 1
    return work


def _hold_the_turn(top: Solutions, rows: npt.NDArray[np.int64], turning: Solutions, solves: Floats) -> None:
    """Seek turns that the elevator left alone does not give with the elevator holding the speed."""
    for faster in (1.07, 1.2):
        lost = np.flatnonzero(~turning.solved)
        if not len(lost):
            return
        held = top.take(rows[lost])
        held.flight[:, BANK] = TURN_BANK
        held.flight[:, AIRSPEED] *= faster
        held.solve(TURN_HELD)
        better = np.flatnonzero(held.solved | (held.holdable & ~turning.holdable[lost]))
        turning.put(lost[better], held.take(better))
        solves[rows[lost]] += 1


def glides_without_drive(numbers: AeroplaneNumbers) -> bool:
    """Return whether anything is left to lift when the rotor drives stop: a vaned rotor, a free one, or a wing."""
    rotors = numbers.rotors[0]
    vaned = bool(((rotors["kind"] == VANED) | (rotors["drive"] < 0)).any()) if len(rotors) else False
    return vaned or bool((numbers.surfaces["kind"] == WING).any())


def _glides(envelope: Envelope, top: Solutions, rows: npt.NDArray[np.int64]) -> None:
    """Solve the glide with thrusters off, and with the rotor drive off as well where there is one."""
    driven = top.numbers.drives.shape[1] > 0
    lifts = glides_without_drive(top.numbers)
    for which in (GLIDE, GLIDE_OFF) if driven else (GLIDE,):
        work = top.take(rows)
        if which == GLIDE_OFF and not lifts:
            envelope.steady["status"][rows, which] = NOT_CONVERGED
            continue
        lift_to_drag = np.clip(work.steady["air_lift"] / work.steady["drag"], 0.5, 10.0)
        path = np.sin(np.arctan(1.0 / lift_to_drag))
        work.flight[:, AIRSPEED] *= (1.0 - path * path) ** 0.25
        work.flight[:, CLIMB] = -path * work.flight[:, AIRSPEED]
        work.flight[:, THROTTLE] = OFF
        if which == GLIDE_OFF:
            work.flight[:, COMMAND] = OFF
        work.solve(CLIMBING, GUESS_INNER)
        envelope.steady[rows, which] = work.steady
    envelope.figures["solves"][rows] += 2 if driven else 1
