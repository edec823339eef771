"""The verdict: a word, the probability behind it, the shortest force, the Unknown that dominates."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.digits import percent_text
from rotorwright.base.unknown import Unknown, unknowns
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.leading import leading_shares, ranked
from rotorwright.studies.shortfall import Shortfall, shortfall_of

WORDS = ((0.9, "will fly"), (0.7, "should fly"), (0.3, "a gamble"), (0.1, "unlikely"), (-1.0, "will not fly"))
"""Verdict words by the least probability of level flight with the reserve."""


@dataclass(frozen=True)
class Change:
    """One change to the aeroplane and what it buys."""

    field: str
    label: str
    """The change in words."""
    surplus_gain: float
    """More thrust left with the reserve paid for [N], nominal."""
    median_gain: float
    """The same, median of the samples [N]."""
    before: float | None
    """Probability of flying with the reserve as it is; None in a nominal run."""
    probability: float | None
    """The same after the change."""

    def sentence(self, say: Callable[[float], str] | None = None) -> str:
        """Return the change, the thrust and the chance it buys; ``say`` writes a force (without it, in newtons)."""
        gain = say(self.median_gain) if say else f"{self.median_gain:.2g} N"
        text = f"{self.label}: {gain} more"
        if self.probability is None or self.before is None:
            return text
        before, after = percent_text(self.before), percent_text(self.probability)
        return f"{text}, {before} → {after}" if before != after else f"{text}, still {after}"


@dataclass(frozen=True)
class Verdict:
    """Does it fly, how sure is that, what is short, what dominates, what to change first."""

    word: str
    probability: float | None
    """Of level flight with the reserve; None in a nominal run (then the word says whether the nominal case flies)."""
    shortfall: Shortfall
    dominant_unknown: str | None
    dominant_share: float | None
    """Share of the spread of the reserve that the dominant Unknown explains (see `leading_shares`)."""
    changes: tuple[Change, ...] = ()
    advice: str = ""
    """What to make of the changes: whether any must be made, and whether one is enough."""

    @property
    def shortage(self) -> str:
        """Return the shortest force in plain words, in metric units."""
        return self.shortfall.sentence()

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "word": self.word,
            "probability": self.probability,
            "shortage": self.shortage,
            "dominant_unknown": self.dominant_unknown,
            "dominant_share": self.dominant_share,
            "advice": self.advice,
            "changes": [
                {
                    "field": change.field,
                    "sentence": change.sentence(),
                    "surplus_gain": change.surplus_gain,
                    "median_gain": change.median_gain,
                    "probability": change.probability,
                }
                for change in self.changes
            ],
        }


def probability_of_flight(flown: Flown) -> float | None:
    """Return the share of samples that fly level with the reserve; None without samples."""
    if flown.samples == 0:
        return None
    return float(np.mean(flown.envelope.figures["reserve_surplus"][1:] >= 0.0))


def word_for(probability: float) -> str:
    """Return the verdict word for a probability."""
    return next(word for least, word in WORDS if probability >= least)


def rank_correlation(scores: npt.NDArray[np.float64], outcome: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Return Spearman's rank correlation of each column of ``scores`` with ``outcome`` (rows with NaN left out).

    Source: C. Spearman, Am. J. Psychology 15 (1904) 72 (from memory); checked against ``scipy.stats.spearmanr``.
    """
    there = np.isfinite(outcome)
    if there.sum() < 8:
        return np.zeros(scores.shape[1])
    ranks = ranked(scores[there])
    target = ranked(outcome[there][:, None])
    ranks = ranks - ranks.mean(axis=0)
    target = target - target.mean(axis=0)
    spread = np.sqrt((ranks**2).sum(axis=0) * (target**2).sum(axis=0))
    return np.divide((ranks * target).sum(axis=0), spread, out=np.zeros(ranks.shape[1]), where=spread > 0.0)


def dominant(flown: Flown) -> tuple[Unknown | None, float | None]:
    """Return the Unknown that moves the reserve most, and the share of its spread that it explains.

    None where no Unknown stands out from what chance alone does in so many draws.
    """
    if flown.samples < 16:
        return None, None
    shares = np.abs(leading_shares(flown.scores, flown.envelope.figures["reserve_surplus"][1:]))
    which = int(np.argmax(shares))
    if shares[which] == 0.0:
        return None, None
    return unknowns()[which], float(shares[which])


def judge(flown: Flown, changes: tuple[Change, ...], advice: str = "") -> Verdict:
    """Return the verdict on a flown aeroplane."""
    figures = flown.envelope.figures
    probability = probability_of_flight(flown)
    reserve = figures["reserve_surplus"]
    if probability is None:
        word = "nominal case flies" if reserve[0] >= 0.0 else "nominal case does not fly"
    else:
        word = word_for(probability)
    unknown, share = dominant(flown)
    name = None if unknown is None else unknown.name
    return Verdict(word, probability, shortfall_of(flown), name, share, changes, advice)
