"""A first look at many designs: engine and rivals solve the same equations, so they must find the same flights."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
COUNT = 64


@pytest.fixture(scope="module")
def looked() -> Iterator[Any]:
    sys.path.insert(0, str(BENCHMARKS))
    try:
        import designs
        import designs_problem

        problem = designs_problem.load_designs(COUNT)
        yield designs, problem, designs_problem.look_with_engine(problem), designs_problem.first_guess(problem)
    finally:
        sys.path.remove(str(BENCHMARKS))


def test_designs_differ_and_nearly_all_fly_level(looked: Any) -> None:
    _, problem, engine, _ = looked
    assert len(np.unique(problem.numbers.rotors["span"])) == COUNT
    assert engine.solved.mean() > 0.9
    assert np.nanmin(engine.spare) < 0.0 < np.nanmax(engine.spare)


def test_numpy_in_batches_agrees(looked: Any) -> None:
    designs, problem, engine, guess = looked
    unknowns, spare, _ = designs.look_in_batches(problem, guess)
    relative, newtons, alone = designs.agreement(engine, unknowns, spare)
    assert relative < 1e-8
    assert newtons < 1e-7
    assert alone <= 2  # hopeless designs may be given up at different moments


def test_scipy_design_by_design_agrees(looked: Any) -> None:
    designs, problem, engine, guess = looked
    unknowns, spare, _ = designs.look_plainly(problem, range(6), guess)
    relative, newtons, _ = designs.agreement(engine, unknowns, spare)
    assert relative < 1e-8
    assert newtons < 1e-7


def test_without_jax_the_run_says_how_to_get_it(
    looked: Any, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    assert looked[0].ask_jax(tmp_path / "python", 4) is None
    told = capsys.readouterr().out
    assert "JAX is not installed" in told
    assert "make jax" in told
