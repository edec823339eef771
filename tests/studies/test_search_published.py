"""The search of explore on published problems with limits whose best is known: it must come there and never beyond."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest

from rotorwright.studies.explore_search import search

SLACK = 1.0e-6
"""By how much rounding of the published best may be passed, as a share."""


def reference(name: str) -> Any:
    """Return a problem as pymoo, a reference library, holds it: functions, ranges and best."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pymoo.problems import get_problem

        return get_problem(name)


@pytest.mark.parametrize(
    ("name", "variables", "printed"),
    [
        # J. J. Liang, T. P. Runarsson, E. Mezura-Montes et al. (2006), Problem definitions and evaluation criteria for
        # the CEC 2006 special session on constrained real-parameter optimization; the problems read in pymoo's source,
        # the printed bests from memory and held against pymoo's own
        ("g4", 5, -30665.5387),  # D. M. Himmelblau (1972), five measures, six limits
        ("g6", 2, -6961.8139),  # two limits that leave a sliver
        ("g9", 7, 680.6301),  # seven measures, four limits
        ("g24", 2, -5.5080),  # two separate regions
    ],
)
def test_the_known_best_is_found_within_a_thousandth(name: str, variables: int, printed: float) -> None:
    problem = reference(name)
    best = float(np.ravel(problem.pareto_front())[0])
    assert problem.n_var == variables
    assert best == pytest.approx(printed, rel=1e-5)

    def judge(shares: Any) -> Any:
        asked = problem.xl + (problem.xu - problem.xl) * shares
        return problem.evaluate(asked, return_values_of=["F", "G"])

    found = search(judge, variables, 1, problem.n_ieq_constr, evaluations=6000, seed=1)
    goal = float(found.goals[0, 0])
    assert goal == pytest.approx(best, rel=1e-3)
    assert goal >= best - SLACK * abs(best)
    assert judge(found.points)[1].max() <= 0.0


@pytest.mark.parametrize(
    ("limits", "ends", "at", "best"),
    [
        # W. Hock and K. Schittkowski (1981), Test examples for nonlinear programming codes, problem 23; read secondary,
        # in the collection of test cases of the numerics group of TU Darmstadt: x = (1, 1), f = 2
        (
            lambda x: [
                1 - x[0] - x[1], 1 - x[0] ** 2 - x[1] ** 2, 9 - 9 * x[0] ** 2 - x[1] ** 2, x[1] - x[0] ** 2,
                x[0] - x[1] ** 2,
            ],
            (-50.0, 50.0), (1.0, 1.0), 2.0,
        ),
    ],
)  # fmt: skip
def test_a_corner_of_five_limits_is_found(limits: Any, ends: Any, at: Any, best: float) -> None:
    low, high = ends

    def judge(shares: Any) -> Any:
        x = (low + (high - low) * shares).T
        return (x[0] ** 2 + x[1] ** 2)[:, None], np.stack(limits(x), axis=1)

    found = search(judge, 2, 1, 5, evaluations=6000, seed=1)
    assert found.goals[0, 0] == pytest.approx(best, rel=1e-3)
    assert low + (high - low) * found.points[0] == pytest.approx(at, abs=2e-3)
    assert found.goals[0, 0] >= best - SLACK


def test_a_tenth_of_the_points_still_comes_within_a_hundredth() -> None:
    problem = reference("g4")

    def judge(shares: Any) -> Any:
        return problem.evaluate(problem.xl + (problem.xu - problem.xl) * shares, return_values_of=["F", "G"])

    found = search(judge, 5, 1, 6, evaluations=600, seed=1)
    assert float(found.goals[0, 0]) == pytest.approx(-30665.5387, rel=1e-2)
