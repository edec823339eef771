"""Unknowns: shapes and the factor records."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.base.unknown import NORMAL_80, SHAPES, Unknown, nominal_factors, sampled_factors, unknowns
from rotorwright.studies.sampling import normal_scores


def made(shape: str, **changes: float) -> Unknown:
    fields: dict[str, float] = {"median": 1.0, "low": 0.8, "high": 1.5}
    return Unknown(
        name="made", room="base", shape=shape, scales="a", applies="b", source="c", **(fields | changes)
    )  # type: ignore[arg-type]  # fmt: skip


def test_band_edges_are_the_tenth_and_ninetieth_percentile() -> None:
    assert pytest.approx(NormalDist().inv_cdf(0.9), rel=1e-12) == NORMAL_80


@pytest.mark.parametrize("shape", SHAPES)
def test_four_fifths_of_the_samples_lie_in_the_band(shape: str) -> None:
    scores = [NormalDist().inv_cdf((i + 0.5) / 2000) for i in range(2000)]
    numbers = np.array([made(shape).at(score) for score in scores])
    assert np.mean(numbers < 0.8) == pytest.approx(0.1, abs=0.001)
    assert np.mean(numbers > 1.5) == pytest.approx(0.1, abs=0.001)
    assert np.median(numbers) == pytest.approx(1.0, abs=1e-3)
    assert np.all(np.diff(numbers) > 0.0)


@given(st.sampled_from(SHAPES), st.floats(-6.0, 6.0))
def test_floor_and_ceiling_hold(shape: str, score: float) -> None:
    assert 0.7 <= made(shape, floor=0.7, ceiling=1.6).at(score) <= 1.6


def test_records_hold_the_medians_or_the_samples() -> None:
    table = unknowns()
    nominal = nominal_factors(2)
    assert all(np.all(nominal[row.name] == row.median) for row in table)
    scores = normal_scores(8, len(table))
    sampled = sampled_factors(scores)
    assert all(sampled[row.name][3] == row.at(float(scores[3, i])) for i, row in enumerate(table))
