"""Which Unknowns lead: shares of the spread of a number from the draws that were flown anyway.

A single correlation with each column blames one Unknown for what another does where their draws are correlated by
chance, as some pairs of any short table are. Here the columns are taken up one after the other, the one that explains
most of what is left first, and weighed together by least squares, so that each answers for itself only.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
MOST = 8
"""Unknowns taken up at most."""
ENTRY = 3.0
"""A column enters while its correlation with what is left exceeds so many standard errors, 1/√n."""
FEWEST = 16


def leading_shares(scores: Floats, outcome: Floats) -> Floats:
    """Return the signed share of the spread of a number that each Unknown explains, zero for those that do not lead.

    Parameters
    ----------
    scores : array, shape (draws, unknowns)
    outcome : array, shape (draws,)
        NaN where the number does not exist; such draws are left out.

    Returns
    -------
    shares : array, shape (unknowns,)
        Share of the variance of the ranks; its sign tells whether number and Unknown rise together.

    Notes
    -----
    Forward selection on ranks; the share of a column is its weight in the joint least-squares fit times its correlation
    with the number, so that the shares add up to what the fit explains (R²).
    Source: N. R. Draper and H. Smith, Applied Regression Analysis, 3rd ed., Wiley 1998, ch. 15 (from memory).
    """
    shares = np.zeros(scores.shape[1])
    there = np.isfinite(outcome)
    count = int(there.sum())
    if count < FEWEST:
        return shares
    columns = _standard(ranked(scores[there]))
    target: Any = _standard(ranked(outcome[there][:, None])).ravel()
    left: Any = target
    chosen: list[int] = []
    weights = np.zeros(0)
    for _ in range(min(MOST, count // 8)):
        spread = float(np.sqrt(np.mean(left**2)))
        if spread <= 1.0e-9:
            break
        correlation: Floats = columns.T @ left / (count * spread)
        correlation[chosen] = 0.0
        best = int(np.argmax(np.abs(correlation)))
        if abs(correlation[best]) < ENTRY / np.sqrt(count):
            break
        chosen.append(best)
        weights = np.linalg.lstsq(columns[:, chosen], target, rcond=None)[0]
        left = target - columns[:, chosen] @ weights
    if len(chosen):
        explained = weights * (columns[:, chosen].T @ target) / count
        shares[chosen] = np.copysign(np.maximum(explained, 0.0), weights)
    return shares


def _standard(columns: Floats) -> Floats:
    centred = columns - columns.mean(axis=0)
    spread = centred.std(axis=0)
    return np.divide(centred, spread, out=np.zeros_like(centred), where=spread > 0.0)


def ranked(columns: Floats) -> Floats:
    """Return the ranks of each column; equal numbers share the mean of theirs."""
    ranks = np.empty(columns.shape)
    for place, column in enumerate(columns.T):
        _, group, counts = np.unique(column, return_inverse=True, return_counts=True)
        last = np.cumsum(counts)
        ranks[:, place] = (last - 0.5 * (counts - 1) - 1.0)[group.ravel()]
    return ranks
