"""Many steady conditions in one compiled call: the only door from Python into the equation of motion's root.

The loop is serial and releases the interpreter lock. One entry point is deliberate: every compiled function carries a
copy of all it calls, so a second door would double the compile time of a fresh install.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit_with_arrays
from rotorwright.base.status import NOT_CONVERGED, OK, OVER_THROTTLE
from rotorwright.flight.guess import guess_all, guess_inner
from rotorwright.flight.ledger import STEADY, record_steady
from rotorwright.flight.limits import within_limits
from rotorwright.flight.numbers import AeroplaneNumbers, Tables, case_in, physics_tables, room_for
from rotorwright.flight.search import solve
from rotorwright.flight.steady import FLIGHT_VARIABLES, work_space

AS_GIVEN, GUESS_INNER, GUESS_ALL = 0, 1, 2
"""Where a search starts: from the rows given, with guessed speeds of the turning parts, or with all guessed."""

Records = npt.NDArray[Any]
Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@jit_with_arrays
def _solve_rows(
    numbers: Any, tables: Any, cases: Any, flights: Any, inners: Any, inverses: Any, free: Any, start: int,
    reuse: bool, statuses: Any, steady: Any,
) -> None:  # fmt: skip
    work = work_space(
        numbers.rotors.shape[1], numbers.thrusters.shape[1], numbers.drives.shape[1], numbers.batteries.shape[1]
    )
    fixed = room_for(numbers)
    for row in range(cases.shape[0]):
        case = case_in(numbers, cases[row], fixed)
        work.flight[:] = flights[row]
        work.inner[:] = inners[row]
        if start == GUESS_ALL:
            guess_all(case, tables, work)
        elif start == GUESS_INNER:
            guess_inner(case, tables, work)
        work.inverse[:] = inverses[row]
        status, evaluations = solve(case, tables, work, free, reuse)
        status = within_limits(case, work, status)
        statuses[row] = status
        record_steady(case, tables, work, status, steady[row : row + 1])
        steady[row].evaluations = evaluations
        flights[row] = work.flight
        inners[row] = work.inner
        inverses[row] = work.inverse
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
        reuse = start == AS_GIVEN and self.inverse_of == free
        _solve_rows(
            self.numbers, self.tables, self.cases, self.flight, self.inner, self.inverse,
            np.array(free, dtype=np.int64), start, reuse, self.status, self.steady,
        )  # fmt: skip
        self.inverse_of = free
        return self

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
