"""The batched way: the same equations over arrays of cases in NumPy, one Newton over all of them.

Written by hand for the frozen problem only, as `rival_scipy` is. Rows that have converged are dropped from the arrays
(active-set compression); the Jacobian is made once by forward differences and then kept up to date by Broyden's
formula, as the engine does, and renewed only in rows that stall.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from frozen_problem import Answer, Problem, parent_of
from numpy_batch import make_batch
from numpy_equations import Batch, Floats

RATED = np.array([10.0, 0.4, 1.0, 100.0, 1000.0])
"""Natural size of the unknowns."""
NUDGE = 1.0e-13
"""Keeps a hopeless row from stopping the whole batch with a singular matrix."""


@dataclass
class Search:
    """Rows being solved: unknowns, Jacobians, and how many rows the residuals were evaluated for."""

    x: Floats
    jacobian: Floats
    evaluations: int = 0


Residual = Callable[[Batch, Any, Floats], Floats]
"""Returns the residuals of a part of the rows; told which they are and where."""


def newton(batch: Batch, full: bool, elevator: Floats, x: Floats, jacobian: Floats | None = None) -> Search:
    """Solve many rows at once, each from its own start, with its neighbour's Jacobian if there is one."""

    def residual(part: Batch, rows: Any, at: Floats) -> Floats:
        climb, throttle = (at[:, 2], np.ones(len(at))) if full else (np.zeros(len(at)), at[:, 2])
        return part.imbalance(at[:, 0], at[:, 1], climb, throttle, elevator[rows], at[:, 3], at[:, 4])

    return search_rows(batch, residual, RATED, x, jacobian)


def search_rows(
    batch: Batch, residual_of: Residual, rated: Floats, x: Floats, jacobian: Floats | None = None
) -> Search:  # fmt: skip
    """Bring the residuals of many rows to zero; the first unknown stays above 0.5."""
    n = len(rated)
    nudge = NUDGE * np.eye(n)
    search = Search(x.copy(), np.zeros((len(x), n, n)) if jacobian is None else jacobian.copy())

    def residual(part: Batch, rows: Any, at: Floats) -> Floats:
        search.evaluations += len(at)
        return residual_of(part, rows, at)

    active = np.arange(len(x))
    part = batch
    now = residual(part, active, search.x)
    norm = np.linalg.norm(now, axis=1)
    stale = np.full(len(x), jacobian is None)
    fresh = np.zeros(len(x), dtype=bool)
    for _ in range(40):
        keep = norm > 1.0e-10
        if not keep.all():
            active, now, norm, stale, fresh = active[keep], now[keep], norm[keep], stale[keep], fresh[keep]
            part = part.rows(keep)
        if not len(active):
            break
        if stale.any():
            which = np.flatnonzero(stale)
            at, some = search.x[active[which]], part.rows(which)
            made = np.empty((len(which), n, n))
            for k in range(n):
                moved = at.copy()
                moved[:, k] += 1.0e-6 * rated[k]
                made[:, :, k] = (residual(some, active[which], moved) - now[which]) / (1.0e-6 * rated[k])
            search.jacobian[active[which]] = made
            fresh[which] = True
        here = search.x[active]
        slopes = search.jacobian[active]
        step = np.linalg.solve(slopes + nudge, -now[:, :, None])[:, :, 0]
        step /= np.maximum(1.0, np.abs(step / (0.5 * rated)).max(axis=1))[:, None]
        trial = here + step
        trial[:, 0] = np.maximum(trial[:, 0], 0.5)
        step = trial - here
        after = residual(part, active, trial)
        after_norm = np.linalg.norm(after, axis=1)
        better = after_norm < norm
        lost = fresh & ~better  # even a fresh Jacobian did not help: take a third of the step next time
        if lost.any():
            which = np.flatnonzero(lost)
            for _ in range(5):
                trial[which] = here[which] + 0.35 * (trial[which] - here[which])
                after[which] = residual(part.rows(which), active[which], trial[which])
                after_norm[which] = np.linalg.norm(after[which], axis=1)
                which = which[~(after_norm[which] < norm[which])]
                if not len(which):
                    break
            step = trial - here
            better = after_norm < norm
        scaled = step / rated**2
        gap = after - now - np.einsum("rij,rj->ri", slopes, step)
        length = np.einsum("rj,rj->r", scaled, step)
        update = gap[:, :, None] * (scaled / np.maximum(length, 1.0e-24)[:, None])[:, None, :]
        moved = np.flatnonzero(better)
        search.jacobian[active[moved]] += update[moved]
        search.x[active[moved]] = trial[moved]
        stale = ~better | ((after_norm > 0.4 * norm) & (after_norm > 1.0e-10))
        now[moved], norm[moved] = after[moved], after_norm[moved]
        fresh[:] = False
    return search


def solve_in_batches(problem: Problem, *, carry: bool = True) -> Answer:
    """Solve the programme node by node, all samples at once, each from its neighbour's solution and Jacobian."""
    batch = make_batch(problem)
    samples, nodes = problem.cases, len(problem.elevators)
    found = np.full((2, nodes, samples, 5), np.nan)
    solved = np.zeros((2, nodes, samples), dtype=bool)
    evaluations = 0
    for condition in (0, 1):
        searches: list[Search] = []
        for node, elevator in enumerate(problem.elevators):
            jacobian = None
            if node:
                parent = searches[parent_of(node, problem.elevators)]
                start, jacobian = parent.x, parent.jacobian if carry else None
            elif condition == 0:
                first = [problem.first_airspeed, 0.0, 0.0, problem.first_airspeed * 14.0, 900.0]
                start = np.tile(np.array(first), (samples, 1))
            else:
                start = found[0, 0].copy()
                start[:, 2] = 0.85
            angles = np.full(samples, elevator)
            search = newton(batch, condition == 0, angles, start, jacobian)
            searches.append(search)
            found[condition, node] = search.x
            x = search.x
            climb, throttle = (x[:, 2], np.ones(samples)) if condition == 0 else (np.zeros(samples), x[:, 2])
            last = batch.imbalance(x[:, 0], x[:, 1], climb, throttle, angles, x[:, 3], x[:, 4])
            solved[condition, node] = np.linalg.norm(last, axis=1) < 1.0e-7
            evaluations += search.evaluations + samples
    return Answer(found, solved, evaluations)


def look_in_batches(problem: Problem, guess: list[float]) -> tuple[Floats, Floats, int]:
    """Return level flight and thrust to spare of every design, all of them at once."""
    batch, count = make_batch(problem), problem.cases
    level = newton(batch, False, np.full(count, problem.elevators[0]), np.tile(np.array(guess), (count, 1)))
    x = level.x

    def residual(part: Batch, rows: Any, at: Floats) -> Floats:
        here = x[rows]
        zero, one, elevator = np.zeros(len(at)), np.ones(len(at)), np.full(len(at), problem.elevators[0])
        return part.imbalance(here[:, 0], here[:, 1], zero, one, elevator, at[:, 0], at[:, 1])[:, 3:]

    full = search_rows(batch, residual, RATED[3:], x[:, 3:])
    everything = np.arange(count)
    left = batch.imbalance(x[:, 0], x[:, 1], np.zeros(count), x[:, 2], problem.elevators[0], x[:, 3], x[:, 4])
    solved = np.linalg.norm(left, axis=1) < 1.0e-7
    solved &= np.linalg.norm(residual(batch, everything, full.x), axis=1) < 1.0e-7
    thrust = [batch.thrust(x[:, 0], x[:, 1], shaft) for shaft in (full.x[:, 1], x[:, 4])]
    evaluations = level.evaluations + full.evaluations + 2 * count
    return x, np.where(solved, thrust[0] - thrust[1], np.nan), evaluations
