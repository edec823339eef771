"""Quasi-random standard-normal scores for the Unknowns: a shipped scrambled Sobol' table, shifted by a seed."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

TABLE = Path(__file__).parent / "data" / "sobol_uniform.npy"
TABLE_ROWS, TABLE_COLUMNS = 1024, 80


@lru_cache(maxsize=1)
def _uniform_table() -> npt.NDArray[np.float64]:
    return (np.load(TABLE).astype(np.float64) + 0.5) / 65536.0


def _normal_quantile(uniform: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    from statistics import NormalDist

    inverse = NormalDist().inv_cdf
    return np.array([inverse(float(number)) for number in uniform.ravel()]).reshape(uniform.shape)


@lru_cache(maxsize=8)
def normal_scores(samples: int, columns: int, seed: int = 0) -> npt.NDArray[np.float64]:
    """Return standard-normal scores, shape (samples, columns).

    Parameters
    ----------
    samples : int
        Number of samples; a power of two up to 1024 keeps the balance of the sequence.
    columns : int
        Number of Unknowns, at most 80.
    seed : int
        0 gives the table itself; another number shifts it (Cranley–Patterson rotation), deterministic by seed.

    Raises
    ------
    ValueError
        If more rows or columns are asked for than the table holds.

    Notes
    -----
    The table was made by ``scipy.stats.qmc.Sobol(80, scramble=True, rng=20261125)``; a test remakes it.
    """
    if samples > TABLE_ROWS or columns > TABLE_COLUMNS:
        raise ValueError(f"the table holds {TABLE_ROWS} samples of {TABLE_COLUMNS} unknowns")
    uniform = _uniform_table()[:samples, :columns]
    if seed:
        shift = np.random.default_rng(seed).random(columns)
        uniform = np.clip((uniform + shift) % 1.0, 0.5 / 65536.0, 1.0 - 0.5 / 65536.0)
    scores = _normal_quantile(uniform)
    scores.setflags(write=False)
    return scores


def normal_share(score: float) -> float:
    """Return the share of a standard normal below ``score``."""
    return 0.5 * (1.0 + math.erf(score / math.sqrt(2.0)))
