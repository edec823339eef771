"""How much of a number's spread each input makes: variance-based shares of first order and total, with their own bands.

The two matrices of draws and the mixed ones are made here, so that several inputs may be taken together as one group;
the estimators and their bootstrap are SciPy's.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Model = Callable[[Floats], Floats]
"""Rows of draws, each column even between 0 and 1, to one number a row (NaN where it does not exist)."""
RESAMPLES = 200
CONFIDENCE = 0.8
LEAST_ROWS = 32


@dataclass(frozen=True)
class VarianceShare:
    """Of the variance of a number: the share that a group makes alone, and with all it does together with others."""

    first: float
    first_low: float
    first_high: float
    total: float
    total_low: float
    total_high: float


@dataclass(frozen=True)
class VarianceShares:
    """One share a group, in the order given."""

    shares: tuple[VarianceShare, ...]
    kept: float
    """Share of the rows in which the number exists in every one of its mixtures."""
    runs: int


def draws_of(columns: int, rows: int, seed: int = 0) -> tuple[Floats, Floats]:
    """Return two independent matrices of quasi-random draws between 0 and 1, shape (rows, columns) each.

    Parameters
    ----------
    columns, rows : int
        Rows must be a power of two.
    seed : int
        Scrambles the sequence (Owen).
    """
    from scipy.stats import qmc

    both = qmc.Sobol(2 * columns, scramble=True, rng=seed).random(rows)
    both = np.clip(both, 1.0e-9, 1.0 - 1.0e-9)
    return both[:, :columns], both[:, columns:]


def variance_shares(
    model: Model, groups: Sequence[Sequence[int]], columns: int, *, rows: int = 512, seed: int = 0
) -> VarianceShares | None:
    """Return which share of the variance of a model's number each group of its inputs makes.

    Parameters
    ----------
    model : callable
        From draws, shape (cases, columns), to numbers, shape (cases,); called once.
    groups : sequence of sequence of int
        Columns that are taken together; every column belongs to one group at most.
    columns : int
    rows : int
        Draws of each matrix, a power of two; the model sees rows × (groups + 2) cases.
    seed : int

    Returns
    -------
    VarianceShares or None
        None where the number exists in too few rows or does not vary.

    Notes
    -----
    First order: V[E(Y | group)] / V(Y); total: E[V(Y | all others)] / V(Y). Bands are the central 80 % of a bootstrap.
    Source: A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259, the estimators (as in SciPy; from its manual).
    """
    first, second = draws_of(columns, rows, seed)
    mixed = np.repeat(first[None], len(groups), axis=0)
    for place, group in enumerate(groups):
        mixed[place][:, list(group)] = second[:, list(group)]
    numbers = np.asarray(model(np.concatenate([first, second, *mixed])), dtype=np.float64)
    split = numbers.reshape(2 + len(groups), rows)
    there = np.isfinite(split).all(axis=0)
    if there.sum() < LEAST_ROWS:
        return None
    used = 2 ** int(np.log2(there.sum()))  # the estimators want a power of two
    kept = split[:, there][:, :used]
    if float(kept[:2].std()) <= 1.0e-12 * float(np.abs(kept[:2]).max()):
        return None
    from scipy.stats import sobol_indices

    centred = kept - kept[:2].mean()
    evaluations = {"f_A": centred[None, 0], "f_B": centred[None, 1], "f_AB": centred[2:, None]}
    found = sobol_indices(func=evaluations, n=used, rng=seed)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        spread = found.bootstrap(confidence_level=CONFIDENCE, n_resamples=RESAMPLES)
    bands = spread.first_order.confidence_interval, spread.total_order.confidence_interval
    columns_of = (
        found.first_order, bands[0].low, bands[0].high, found.total_order, bands[1].low, bands[1].high,
    )  # fmt: skip
    shares = tuple(VarianceShare(*(float(number) for number in row)) for row in np.array(columns_of).reshape(6, -1).T)
    return VarianceShares(shares, float(there.mean()), len(numbers))
