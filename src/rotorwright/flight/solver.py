"""Many steady conditions in one compiled call: the only door from Python into the equation of motion's root.

The loop is serial and releases the interpreter lock. One entry point is deliberate: every compiled function carries a
copy of all it calls, so a second door would double the compile time of a fresh install.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit
from rotorwright.base.records import CONTROL_CHANNELS
from rotorwright.base.status import NOT_CONVERGED, OK, OVER_THROTTLE
from rotorwright.flight.fixed import MOST_COLUMNS, Fixed
from rotorwright.flight.guess import guess_all, guess_inner
from rotorwright.flight.layout import (
    BATTERY_WIDTH,
    ROTOR_BLOCK,
    ROTOR_SPEEDS,
    ROTOR_WIDTH,
    THRUSTER_WIDTH,
    controls_size,
    loads_size,
    state_size,
)
from rotorwright.flight.ledger import STEADY, record_steady
from rotorwright.flight.limits import within_limits
from rotorwright.flight.numbers import AeroplaneNumbers, Case, Tables, physics_tables
from rotorwright.flight.search import solve
from rotorwright.flight.steady import FLIGHT_VARIABLES, Work

AS_GIVEN, GUESS_INNER, GUESS_ALL = 0, 1, 2
"""Where a search starts: from the rows given, with guessed speeds of the turning parts, or with all guessed."""

Records = npt.NDArray[Any]
Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


class Scratch(NamedTuple):
    """Memory of one call, from `scratch_for`: a kernel that takes none itself is read back from disk much faster."""

    vectors: Floats
    squares: Floats
    constants: Floats


def scratch_for(numbers: AeroplaneNumbers) -> Scratch:
    """Return scratch for solving cases of a batch one after the other."""
    rotors, thrusters = numbers.rotors.shape[1], numbers.thrusters.shape[1]
    drives, batteries = numbers.drives.shape[1], numbers.batteries.shape[1]
    n = max(rotors + drives + thrusters, 1) + 3
    state = ROTOR_SPEEDS + rotors + thrusters
    controls = CONTROL_CHANNELS + thrusters + drives
    loads = ROTOR_BLOCK + ROTOR_WIDTH * rotors + THRUSTER_WIDTH * thrusters + BATTERY_WIDTH * batteries
    parts = rotors + numbers.surfaces.shape[1] + numbers.bodies.shape[1] + thrusters + batteries
    return Scratch(
        np.zeros(FLIGHT_VARIABLES + 3 + 2 * state + controls + loads + 7 * n),
        np.zeros((2, n, n)),
        np.zeros((parts, MOST_COLUMNS)),
    )


@jit
def _solve_rows(
    numbers: Any, tables: Any, scratch: Any, cases: Any, flights: Any, inners: Any, inverses: Any, free: Any,
    start: int, reuse: bool, stale: int, statuses: Any, steady: Any,
) -> None:  # fmt: skip
    rotors, thrusters, drives = numbers.rotors.shape[1], numbers.thrusters.shape[1], numbers.drives.shape[1]
    surfaces, bodies, batteries = numbers.surfaces.shape[1], numbers.bodies.shape[1], numbers.batteries.shape[1]
    inner = max(rotors + drives + thrusters, 1)
    n = inner + 3
    vectors = scratch.vectors
    a = FLIGHT_VARIABLES + inner
    b = a + state_size(rotors, thrusters)
    c = b + controls_size(thrusters, drives)
    d = c + loads_size(rotors, thrusters, batteries)
    e = d + state_size(rotors, thrusters)
    f = e + 3
    work = Work(
        vectors[:FLIGHT_VARIABLES], vectors[FLIGHT_VARIABLES:a], vectors[a:b], vectors[b:c], vectors[c:d], vectors[d:e],
        vectors[e:f], vectors[f : f + n], vectors[f + n : f + 2 * n], vectors[f + 2 * n : f + 3 * n],
        vectors[f + 3 * n : f + 4 * n], vectors[f + 4 * n : f + 5 * n], vectors[f + 5 * n : f + 6 * n],
        scratch.squares[0], scratch.squares[1],
    )  # fmt: skip
    constants = scratch.constants
    g = rotors + surfaces
    h = g + bodies
    i = h + thrusters
    fixed = Fixed(constants[:rotors], constants[rotors:g], constants[g:h], constants[h:i], constants[i : i + batteries])
    for row in range(cases.shape[0]):
        k = cases[row]
        case = Case(
            numbers.rotors[k], numbers.surfaces[k], numbers.bodies[k], numbers.thrusters[k], numbers.drives[k],
            numbers.batteries[k], numbers.vehicle[k : k + 1], numbers.air[k : k + 1], numbers.factors[k : k + 1], fixed,
        )  # fmt: skip
        for j in range(FLIGHT_VARIABLES):
            work.flight[j] = flights[row, j]
        for j in range(inner):
            work.inner[j] = inners[row, j]
        if start == GUESS_ALL:
            guess_all(case, tables, work)
        elif start == GUESS_INNER:
            guess_inner(case, tables, work)
        for j in range(n):
            for m in range(n):
                work.inverse[j, m] = inverses[row, j, m]
        status, evaluations = solve(case, tables, work, free, reuse, stale)
        status = within_limits(case, work, status)
        statuses[row] = status
        record_steady(case, tables, work, status, steady[row : row + 1])
        steady[row].evaluations = evaluations
        for j in range(FLIGHT_VARIABLES):
            flights[row, j] = work.flight[j]
        for j in range(inner):
            inners[row, j] = work.inner[j]
        for j in range(n):
            for m in range(n):
                inverses[row, j, m] = work.inverse[j, m]
        case.vehicle[0].extra_mass = 0.0


class Solutions:
    """Steady conditions being worked on, one row each: flight variables, inner unknowns, status, record.

    Rows refer to cases of a batch, several rows may share a case. `take` copies rows as the start of another search.
    """

    def __init__(self, numbers: AeroplaneNumbers, cases: Ints, tables: Tables | None = None) -> None:
        rows = len(cases)
        inner = max(numbers.rotors.shape[1] + numbers.thrusters.shape[1] + numbers.drives.shape[1], 1)
        self.numbers = numbers
        self.tables = tables or physics_tables()
        self.cases = np.ascontiguousarray(cases, dtype=np.int64)
        self.flight: Floats = np.zeros((rows, FLIGHT_VARIABLES))
        self.inner: Floats = np.zeros((rows, inner))
        self.inverse: Floats = np.zeros((rows, inner + 3, inner + 3))
        self.inverse_of: tuple[int, ...] | None = None
        self.status: Ints = np.full(rows, 1, dtype=np.int64)
        self.steady: Records = np.full((rows, len(STEADY.names or ())), np.nan).view(STEADY)[:, 0]

    def take(self, rows: Any) -> Solutions:
        """Return copies of some rows (indices or mask)."""
        part = Solutions.__new__(Solutions)
        part.numbers, part.tables = self.numbers, self.tables
        part.cases = self.cases[rows]
        part.flight = self.flight[rows].copy()
        part.inner = self.inner[rows].copy()
        part.inverse = self.inverse[rows].copy()
        part.inverse_of = self.inverse_of
        part.status = self.status[rows].copy()
        part.steady = self.steady[rows].copy()
        return part

    def put(self, rows: Any, part: Solutions) -> None:
        """Copy a part (from `take`) back into some rows."""
        self.flight[rows] = part.flight
        self.inner[rows] = part.inner
        self.inverse[rows] = part.inverse
        self.status[rows] = part.status
        self.steady[rows] = part.steady

    def solve(self, free: tuple[int, ...], start: int = AS_GIVEN) -> Solutions:
        """Solve every row with these flight variables free (three, or none to settle the turning parts only)."""
        reuse, stale = False, 0
        if start == AS_GIVEN and self.inverse_of is not None:
            free, stale, reuse = self._keep_inverse(self.inverse_of, free)
        _solve_rows(
            self.numbers, self.tables, scratch_for(self.numbers), self.cases, self.flight, self.inner, self.inverse,
            np.array(free, dtype=np.int64), start, reuse, stale, self.status, self.steady,
        )  # fmt: skip
        self.inverse_of = free
        return self

    def lead(self, earlier: Sequence[tuple[float, Solutions]], place: float) -> None:
        """Start where earlier solutions of the same cases lead: the polynomial through them, read at ``place``.

        Parameters
        ----------
        earlier : sequence of (place, Solutions)
            Solved with the same free variables, the one this start was taken from among them. A row that one of them
            did not find stays where it is.
        place : float
            What was swept (elevator, command), in the same measure.
        """
        rows = np.logical_and.reduce([solutions.found for _, solutions in earlier])
        unknowns = list(self.inverse_of or ())
        flight, inner = np.zeros((int(rows.sum()), len(unknowns))), np.zeros((int(rows.sum()), self.inner.shape[1]))
        for here, solutions in earlier:
            weight = math.prod((place - other) / (here - other) for other, _ in earlier if other != here)
            flight += weight * solutions.flight[rows][:, unknowns]
            inner += weight * solutions.inner[rows]
        self.flight[np.ix_(rows, unknowns)] = flight
        self.inner[rows] = inner

    def _keep_inverse(self, before: tuple[int, ...], free: tuple[int, ...]) -> tuple[tuple[int, ...], int, bool]:
        """Return the free variables in an order that keeps most of the inverse, which are new, and if any is kept.

        A variable that was free before keeps its place; a new one takes the place of one that is free no longer.
        """
        if len(free) == len(before):
            new = iter(variable for variable in free if variable not in before)
            kept = tuple(variable if variable in free else next(new) for variable in before)
            return kept, sum(1 << place for place in range(len(free)) if kept[place] != before[place]), True
        if not free and len(before) == 3:
            self._settle_inverse()
            return free, 0, True
        return free, 0, False

    def _settle_inverse(self) -> None:
        """Leave the inverse for the turning parts alone: the others' unknowns and balances are taken out of it.

        With inverse [[P, Q], [R, S]] of the whole Jacobian, that of its last block is S − R P⁻¹ Q (Schur's complement).
        """
        head, inner = self.inverse[:, :3, :3], self.inverse.shape[1] - 3
        usable = np.abs(np.linalg.det(head)) > 1.0e-12
        taken = np.linalg.inv(np.where(usable[:, None, None], head, np.eye(3)))
        block = self.inverse[:, 3:, 3:] - self.inverse[:, 3:, :3] @ taken @ self.inverse[:, :3, 3:]
        self.inverse[:, :inner, :inner] = np.where(usable[:, None, None], block, 0.0)

    @property
    def solved(self) -> npt.NDArray[np.bool_]:
        """Return which rows the aeroplane can hold."""
        return self.status == OK

    @property
    def holdable(self) -> npt.NDArray[np.bool_]:
        """Return which rows the aeroplane can hold if there were throttle enough."""
        return (self.status == OK) | (self.status == OVER_THROTTLE)

    @property
    def found(self) -> npt.NDArray[np.bool_]:
        """Return which rows have a balance, within limits or not."""
        return self.status != NOT_CONVERGED
