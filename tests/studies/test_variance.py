"""Variance shares against the Ishigami function and a linear model."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest

from rotorwright.studies.variance import variance_shares

Floats = npt.NDArray[np.float64]
A, B = 7.0, 0.1


def ishigami(draws: Floats) -> Floats:
    """T. Ishigami and T. Homma, Proc. First Int. Symp. Uncertainty Modeling and Analysis (IEEE, 1990) 398."""
    one, two, three = (2.0 * math.pi * draws - math.pi).T
    return np.asarray(np.sin(one) + A * np.sin(two) ** 2 + B * three**4 * np.sin(one))


def ishigami_indices() -> tuple[list[float], list[float]]:
    """Closed form by integration of the function over its cube."""
    alone = 0.5 * (1.0 + B * math.pi**4 / 5.0) ** 2
    second = A**2 / 8.0
    both = 8.0 * B**2 * math.pi**8 / 225.0
    whole = alone + second + both
    return [alone / whole, second / whole, 0.0], [(alone + both) / whole, second / whole, both / whole]


def test_the_ishigami_function() -> None:
    found = variance_shares(ishigami, [[0], [1], [2]], 3, rows=4096)
    assert found is not None
    first, total = ishigami_indices()
    assert [share.first for share in found.shares] == pytest.approx(first, abs=0.02)
    assert [share.total for share in found.shares] == pytest.approx(total, abs=0.02)
    # one run with 1024 rows printed in the manual of SciPy 1.18, stats.sobol_indices (read; kind: calculation)
    assert [share.first for share in found.shares] == pytest.approx([0.31637954, 0.43781162, 0.00318825], abs=0.02)
    assert [share.total for share in found.shares] == pytest.approx([0.56122127, 0.44287857, 0.24229595], abs=0.02)
    assert found.kept == 1.0
    assert found.runs == 5 * 4096


def test_bands_hold_the_closed_form_and_narrow_with_more_rows() -> None:
    few, many = (variance_shares(ishigami, [[0], [1], [2]], 3, rows=rows, seed=1) for rows in (128, 2048))
    assert few is not None
    assert many is not None
    total = ishigami_indices()[1]
    for short, long, exact in zip(few.shares, many.shares, total, strict=True):
        assert long.total_high - long.total_low < short.total_high - short.total_low
        assert short.total_low - 0.1 < exact < short.total_high + 0.1


def test_a_linear_model_in_closed_form_and_inputs_taken_together() -> None:
    weights = np.array([4.0, 2.0, 1.0, 1.0])
    found = variance_shares(lambda draws: np.asarray(draws @ weights), [[0], [1], [2, 3]], 4, rows=2048)
    assert found is not None
    exact = np.array([16.0, 4.0, 2.0]) / 22.0
    assert [share.first for share in found.shares] == pytest.approx(exact, abs=0.01)
    assert [share.total for share in found.shares] == pytest.approx(exact, abs=0.01)


def test_rows_where_the_number_does_not_exist_are_left_out_and_told() -> None:
    def half(draws: Floats) -> Floats:
        return np.where(draws[:, 1] < 0.9, draws[:, 0], np.nan)

    found = variance_shares(half, [[0], [1]], 2, rows=1024)
    assert found is not None
    assert 0.6 < found.kept < 0.9
    assert found.shares[0].first == pytest.approx(1.0, abs=0.05)
    assert variance_shares(lambda draws: np.full(len(draws), np.nan), [[0]], 1, rows=64) is None
    assert variance_shares(lambda draws: np.full(len(draws), 3.0), [[0]], 1, rows=64) is None
