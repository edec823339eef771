"""The search for a steady condition: Newton's method that keeps its inverse Jacobian up to date by itself.

The equation of motion is evaluated in one place only, so that it is compiled into the search: handing on its two dozen
arrays would cost more than a rotor. The loop therefore says what each evaluation is for.
"""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit, jit_into_caller
from rotorwright.base.status import NOT_CONVERGED, OK
from rotorwright.flight.fixed import fix
from rotorwright.flight.steady import (
    AIRSPEED,
    CLIMB,
    COMMAND,
    EXTRA_MASS,
    PITCH_AID,
    inner_count,
    residuals_of_fixed,
)

ITERATIONS = 30
TOLERANCE = 1.0e-10
CLOSE, MARGIN = 1.0e-8, 0.5
"""Below `CLOSE` the next step is taken without looking again, if the last two falls of the residual promise less than
`MARGIN` of the tolerance behind it. The loads then belong to a point whose forces balance to 1e-8 of the weight."""
RENEW_ABOVE = 0.3
"""A step that leaves more than this share of the residual asks for a new Jacobian."""
PATIENCE, PROGRESS = 6, 0.7
"""A search that has not brought the residual below this share in so many iterations is given up: most are hopeless."""

START, COLUMN, EXCHANGE, TRIAL, LAST = 0, 1, 2, 3, 4
"""What an evaluation is for: the start, a column of the whole Jacobian, one column of it in exchange for another, a
trial step, the loads of the best point."""


@jit
def _scale(case: Any, free: Any, k: int, value: float) -> float:
    """Return the natural size of an unknown: finite-difference steps and step limits are shares of it."""
    if k >= free.shape[0]:
        if k < free.shape[0] + case.rotors.shape[0] and math.fabs(value) > 5.0:
            return math.fabs(value)
        return math.fabs(value) + 1.0
    which = free[k]
    if which == AIRSPEED:
        return max(value, 2.0)
    if which == CLIMB:
        return 3.0
    if which == EXTRA_MASS:
        return case.vehicle[0].mass
    if which == PITCH_AID:
        return case.vehicle[0].mass
    return 0.4


@jit
def invert(matrix: Any, inverse: Any, n: int) -> bool:
    """Fill the inverse of a small dense matrix by elimination with row exchange; False if singular.

    ``matrix`` is used up.
    """
    for i in range(n):
        for k in range(n):
            inverse[i, k] = 1.0 if i == k else 0.0
    for i in range(n):
        pivot = i
        for j in range(i + 1, n):
            if math.fabs(matrix[j, i]) > math.fabs(matrix[pivot, i]):
                pivot = j
        if math.fabs(matrix[pivot, i]) < 1.0e-14:
            return False
        if pivot != i:
            for k in range(n):
                matrix[i, k], matrix[pivot, k] = matrix[pivot, k], matrix[i, k]
                inverse[i, k], inverse[pivot, k] = inverse[pivot, k], inverse[i, k]
        share = 1.0 / matrix[i, i]
        for k in range(n):
            matrix[i, k] *= share
            inverse[i, k] *= share
        for j in range(n):
            ratio = matrix[j, i]
            if j != i and ratio != 0.0:
                for k in range(n):
                    matrix[j, k] -= ratio * matrix[i, k]
                    inverse[j, k] -= ratio * inverse[i, k]
    return True


@jit
def _norm(residual: Any, n: int) -> float:
    total = 0.0
    for k in range(n):
        total += residual[k] * residual[k]
    return math.sqrt(total)


@jit
def update_inverse(inverse: Any, step: Any, scale: Any, change: Any, weighted: Any, n: int) -> bool:
    """Bring the inverse Jacobian up to date with a step and the change of the residual it made; False if that fails.

    Broyden's rank-one formula in scaled unknowns, carried over to the inverse by Sherman and Morrison:
    B + (s − B y) cᵀ/(cᵀ y), cᵀ = (W s)ᵀ B, W = 1/scale². ``scale`` and ``weighted`` are used up.
    """
    length = 0.0
    for k in range(n):
        weight = 1.0 / scale[k]
        share = step[k] * weight
        length += share * share
        scale[k] = share * weight
    if length < 1.0e-24:
        return True
    through = 0.0
    for k in range(n):
        total = 0.0
        for i in range(n):
            total += scale[i] * inverse[i, k]
        weighted[k] = total
        through += total * change[k]
    if not math.fabs(through) > 1.0e-12 * length:
        return False
    share_through = 1.0 / through
    for i in range(n):
        gap = step[i]
        for k in range(n):
            gap -= inverse[i, k] * change[k]
        gap *= share_through
        for k in range(n):
            inverse[i, k] += gap * weighted[k]
    return True


@jit
def exchange_column(inverse: Any, column: int, slope: Any, weighted: Any, n: int) -> bool:
    """Bring the inverse up to date with a new ``column`` of the Jacobian, ``slope``; False if that makes it singular.

    One step of Gauss and Jordan: with d = B a, row j of the new inverse is B_j/d_j, the others B_i − d_i B_j/d_j; what
    the column was before does not matter. ``weighted`` is used up.
    """
    largest = 0.0
    for i in range(n):
        total = 0.0
        for k in range(n):
            total += inverse[i, k] * slope[k]
        weighted[i] = total
        largest = max(largest, math.fabs(total))
    if not math.fabs(weighted[column]) > 1.0e-6 * largest:
        return False
    share = 1.0 / weighted[column]
    for k in range(n):
        inverse[column, k] *= share
    for i in range(n):
        if i != column:
            for k in range(n):
                inverse[i, k] -= weighted[i] * inverse[column, k]
    return True


@jit_into_caller
def _propose(work: Any, free: Any, factor: float, n: int) -> None:
    """Fill the trial point a share of the step away from the best one."""
    for k in range(n):
        work.trial[k] = work.unknown[k] + factor * work.step[k]
        if k < free.shape[0] and free[k] == AIRSPEED:
            work.trial[k] = max(work.trial[k], 0.5)


@jit_into_caller
def leap(work: Any, free: Any, n: int) -> None:
    """Take the last step without looking again: write the point into flight variables and inner unknowns."""
    count = free.shape[0]
    for i in range(n):
        value = work.unknown[i]
        for k in range(n):
            value -= work.inverse[i, k] * work.residual[k]
        if i < count:
            work.flight[free[i]] = value
        else:
            work.inner[i - count] = value


@jit
def solve(case: Any, tables: Any, work: Any, free: Any, have_inverse: bool, stale: int) -> tuple[int, int]:
    """Find the steady condition from the guess in ``work.flight`` and ``work.inner``; leave it there.

    Parameters
    ----------
    case, tables : Case, Tables
    work : Work
        Holds the guess and then the solution, with state, controls and loads to match.
    free : array of int64, shape (3,) or (0,)
        Which flight variables are free.
    have_inverse : bool
        Whether ``work.inverse`` holds the inverse Jacobian of a neighbouring solution.
    stale : int
        Which of the free variables took the place of another one since then, one bit each: their columns are renewed.

    Returns
    -------
    status : int
        `OK` or `NOT_CONVERGED` (then the best point found is left in ``work``).
    evaluations : int
        How often the equation of motion was evaluated.

    Notes
    -----
    Newton with a finite-difference Jacobian, kept up to date by Broyden's rank-one formula while it serves and renewed
    when it does not; steps are limited and halved until the residual falls.
    """
    fix(case, tables)
    count = free.shape[0]
    n = count + inner_count(case, work.flight[COMMAND])
    for k in range(count):
        work.trial[k] = work.flight[free[k]]
    for k in range(n - count):
        work.trial[count + k] = work.inner[k]
    stage = START
    evaluations, iteration, column, tries = 0, 0, 0, 0
    norm, mark, factor = 0.0, 0.0, 1.0
    fall, fall_before = 1.0, 1.0
    fresh = False
    current = True  # the loads in ``work`` belong to ``work.unknown``
    while True:
        residuals_of_fixed(case, tables, work, free, work.trial, work.trial_residual)
        evaluations += 1
        if stage == EXCHANGE:
            step = 1.0e-6 * work.scale[column]
            for i in range(n):
                work.step[i] = (work.trial_residual[i] - work.residual[i]) / step
            work.trial[column] = work.unknown[column]
            have_inverse = exchange_column(work.inverse, column, work.step, work.matrix[0], n)
            stale &= ~(1 << column)
            current, finished = False, False
        elif stage == COLUMN:
            step = 1.0e-6 * work.scale[column]
            for i in range(n):
                work.matrix[i, column] = (work.trial_residual[i] - work.residual[i]) / step
            work.trial[column] = work.unknown[column]
            column += 1
            if column < n:
                work.trial[column] += 1.0e-6 * work.scale[column]
                continue
            fresh, current = True, False
            stale = 0
            have_inverse = invert(work.matrix, work.inverse, n)
            finished = not have_inverse
        else:
            trial_norm = _norm(work.trial_residual, n)
            if stage == LAST:
                norm = trial_norm
                break
            if stage == TRIAL and not trial_norm < norm:
                current = False
                tries += 1
                if tries < (4 if fresh else 2):
                    factor *= 0.35
                    _propose(work, free, factor, n)
                    continue
                finished = fresh
                have_inverse = False
            else:
                finished = False
                if stage == TRIAL:
                    for k in range(n):
                        work.step[k] = work.trial[k] - work.unknown[k]
                        work.residual[k] = work.trial_residual[k] - work.residual[k]
                    have_inverse = update_inverse(work.inverse, work.step, work.scale, work.residual, work.unknown, n)
                    fall_before, fall = fall, trial_norm / norm
                    if fall > RENEW_ABOVE and trial_norm > TOLERANCE:
                        have_inverse = False
                    fresh = False
                else:
                    mark = trial_norm
                current = True
                norm = trial_norm
                for k in range(n):
                    work.unknown[k] = work.trial[k]
                    work.residual[k] = work.trial_residual[k]
            # a new iteration, unless this is the end
            if stage == TRIAL:
                iteration += 1
            if iteration == ITERATIONS or norm < TOLERANCE or not norm < 1.0e12:
                finished = True
            elif have_inverse and current and norm < CLOSE and norm * max(fall, fall_before) < MARGIN * TOLERANCE:
                leap(work, free, n)
                break
            elif iteration % PATIENCE == PATIENCE - 1:
                if norm > PROGRESS * mark:
                    finished = True
                mark = norm
            if not finished:
                for k in range(n):
                    work.scale[k] = _scale(case, free, k, work.unknown[k])
        if not finished and stage != COLUMN and (stale != 0 or not have_inverse):
            for k in range(n):
                work.trial[k] = work.unknown[k]
            column = 0
            stage = COLUMN
            if have_inverse:
                stage = EXCHANGE
                while stale & (1 << column) == 0:
                    column += 1
            work.trial[column] += 1.0e-6 * work.scale[column]
            continue
        if not finished:
            largest = 0.0
            for i in range(n):
                total = 0.0
                for k in range(n):
                    total -= work.inverse[i, k] * work.residual[k]
                work.step[i] = total
                largest = max(largest, math.fabs(total) / (0.5 * work.scale[i]))
            finished = not largest < 1.0e12
            if not finished:
                factor = 1.0 if largest < 1.0 else 1.0 / largest
                tries = 0
                _propose(work, free, factor, n)
                stage = TRIAL
        if finished:
            if current:
                break
            for k in range(n):
                work.trial[k] = work.unknown[k]
            stage = LAST
    if norm < 1.0e-7:
        return OK, evaluations
    return NOT_CONVERGED, evaluations
