"""The benchmark's rivals are independent implementations of the same laws: the engine must agree with both.

They were written by hand from the documented formulas, one in plain Python with scipy's root finder, one in NumPy. A
disagreement means that a law was changed in one place only, or that one of the three is wrong.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
AGREEMENT = 1.0e-8
SMALLEST = np.array([1.0, 0.1, 1.0, 1.0, 1.0])
"""Airspeed, incidence, climb or throttle, rotor speed, shaft speed: below this the difference counts as it stands."""


@pytest.fixture(scope="module")
def rivals() -> Iterator[Any]:
    sys.path.insert(0, str(BENCHMARKS))
    try:
        import frozen_problem
        import rival_numpy
        import rival_scipy

        yield frozen_problem, rival_scipy, rival_numpy
    finally:
        sys.path.remove(str(BENCHMARKS))


@pytest.fixture(scope="module")
def engine(rivals: Any) -> tuple[Any, Any]:
    problem = rivals[0].load_problem(12)
    return problem, rivals[0].solve_with_engine(problem)


def largest_difference(one: Any, other: Any) -> float:
    return float(np.max(np.abs(one - other) / np.maximum(np.abs(other), SMALLEST)))


def test_every_condition_of_the_frozen_problem_has_an_answer(engine: Any) -> None:
    assert engine[1].solved.all()


def test_plain_python_agrees(rivals: Any, engine: Any) -> None:
    problem, answer = engine
    plain = rivals[1].solve_plainly(problem, range(4))
    assert plain.solved.all()
    assert largest_difference(answer.unknowns[:, :, :4], plain.unknowns) < AGREEMENT


def test_batched_numpy_agrees(rivals: Any, engine: Any) -> None:
    problem, answer = engine
    batched = rivals[2].solve_in_batches(problem)
    assert batched.solved.all()
    assert largest_difference(answer.unknowns, batched.unknowns) < AGREEMENT


def test_the_comparison_can_fail(rivals: Any, engine: Any) -> None:
    problem, answer = engine
    problem.numbers.factors["vane_torque"] *= 1.0 + 1.0e-6
    batched = rivals[2].solve_in_batches(problem)
    problem.numbers.factors["vane_torque"] /= 1.0 + 1.0e-6
    assert largest_difference(answer.unknowns, batched.unknowns) > AGREEMENT
