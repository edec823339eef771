"""The shipped quasi-random table: remade by SciPy, balanced, seeded."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm, qmc

from rotorwright.studies import sampling


def test_the_table_is_what_it_says() -> None:
    made = qmc.Sobol(sampling.TABLE_COLUMNS, scramble=True, rng=20261125).random(sampling.TABLE_ROWS)
    kept = np.load(sampling.TABLE)
    assert kept.shape == made.shape
    assert np.max(np.abs((kept.astype(float) + 0.5) / 65536.0 - made)) <= 1.0 / 65536.0


def test_scores_are_standard_normal_and_nearly_uncorrelated() -> None:
    scores = sampling.normal_scores(1024, 60)
    assert np.all(np.isfinite(scores))
    assert scores.mean(axis=0) == pytest.approx(0.0, abs=0.01)
    assert scores.std(axis=0) == pytest.approx(1.0, abs=0.01)
    correlation = np.corrcoef(scores.T) - np.eye(60)
    assert np.sqrt(np.mean(correlation**2)) < 0.02
    assert np.max(np.abs(correlation)) < 0.15
    assert sampling.normal_share(1.0) == pytest.approx(float(norm.cdf(1.0)))


def test_seed_shifts_and_repeats() -> None:
    plain, shifted = sampling.normal_scores(64, 5), sampling.normal_scores(64, 5, seed=3)
    assert not np.allclose(plain, shifted)
    assert np.array_equal(shifted, sampling.normal_scores(64, 5, seed=3))
    assert np.all(np.isfinite(sampling.normal_scores(1024, 80, seed=7)))
    with pytest.raises(ValueError, match="1024"):
        sampling.normal_scores(2048, 5)
