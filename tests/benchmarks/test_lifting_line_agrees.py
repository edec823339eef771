"""The span-wise trim and a hand-written NumPy solve of the same strips agree, and the trim is quick."""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rotorwright.flight.numbers import physics_tables
from rotorwright.flight.span_wise import set_up
from rotorwright.flight.span_wise_trim import airframe, trim_span_wise

BENCHMARKS = Path(__file__).parents[2] / "benchmarks"


@pytest.fixture(scope="module")
def parts() -> Iterator[Any]:
    sys.path.insert(0, str(BENCHMARKS))
    try:
        import lifting_line_problem
        import lifting_line_rival

        yield lifting_line_problem, lifting_line_rival
    finally:
        sys.path.remove(str(BENCHMARKS))


def test_numpy_finds_the_same_level_flight(parts: Any) -> None:
    case, motion = parts[0].four_rotors()
    problem = set_up(case, physics_tables(), motion)
    trim = trim_span_wise(problem, motion)
    assert trim.found
    assert abs(trim.elevator) < 1.0
    rival = parts[1].Rival(case, problem.layout, problem.stream)
    assert rival.outside == pytest.approx(problem.outside, rel=1e-9, abs=1e-9)
    speed = math.sqrt(sum(part * part for part in motion.velocity))
    answer, _ = rival.trim(speed, motion.rotor_speeds[0], sum(motion.thrusts), airframe(problem, speed))
    assert answer == pytest.approx(np.array([trim.airspeed, trim.elevator, trim.thrust]), rel=1e-4, abs=1e-4)
