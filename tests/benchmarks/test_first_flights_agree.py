"""Whole flights of the frozen aeroplane: the engine, NumPy steps and scipy's integrator come to the same end."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"
SECONDS = 1.0


@pytest.fixture(scope="module")
def flights() -> Iterator[Any]:
    sys.path.insert(0, str(BENCHMARKS))
    try:
        import first_flights

        yield first_flights
    finally:
        sys.path.remove(str(BENCHMARKS))


def test_the_same_rule_in_numpy_comes_to_the_same_end(flights: Any) -> None:
    frozen = flights.frozen_flights(4, SECONDS)
    assert flights.difference(flights.fly_with_engine(frozen, SECONDS), flights.fly_in_batches(frozen, SECONDS)) < 1e-7


def test_error_falls_with_the_step_at_third_order_in_still_air(flights: Any) -> None:
    frozen = flights.frozen_flights(1, SECONDS)
    frozen.gusts[:] = 0.0
    exact, _ = flights.fly_plainly(frozen, 0, SECONDS, method="LSODA", rtol=1e-10, atol=1e-11)
    errors = [flights.difference(flights.fly_with_engine(frozen, SECONDS, rate)[:1], exact[None]) for rate in RATES]
    assert errors[0] < 1e-3
    assert errors[1] < errors[0] / 3.5
    assert errors[2] < errors[1] / 3.5


RATES = (200, 400, 800)


def test_gusts_held_step_by_step_cost_little(flights: Any) -> None:
    frozen = flights.frozen_flights(1, SECONDS)
    exact, _ = flights.fly_plainly(frozen, 0, SECONDS, method="LSODA", rtol=1e-9, atol=1e-10)
    assert flights.difference(flights.fly_with_engine(frozen, SECONDS)[:1], exact[None]) < 0.02
