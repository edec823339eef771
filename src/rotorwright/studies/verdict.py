"""The verdict: a word, the probability behind it, the shortest force, the Unknown that dominates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.status import OUT_OF_LIMITS
from rotorwright.base.unknown import Unknown, unknowns
from rotorwright.flight.envelope import LEVEL, UNTRIMMED
from rotorwright.studies.evaluate import Flown

WORDS = ((0.9, "will fly"), (0.7, "should fly"), (0.3, "a gamble"), (0.1, "unlikely"), (-1.0, "will not fly"))
"""Verdict words by the least probability of level flight with the reserve."""


@dataclass(frozen=True)
class Change:
    """One change to the aeroplane and what it buys."""

    field: str
    sentence: str
    surplus_gain: float
    """More thrust to spare with the reserve paid for [N], nominal."""
    probability: float | None
    """Probability of flying with the reserve after the change; None in a nominal run."""


@dataclass(frozen=True)
class Verdict:
    """Does it fly, how sure is that, what is short, what dominates, what to change first."""

    word: str
    probability: float | None
    """Of level flight with the reserve; None in a nominal run (then the word says whether the nominal case flies)."""
    shortage: str
    dominant_unknown: str | None
    dominant_share: float | None
    """Share of the spread of the reserve that the dominant Unknown explains (squared rank correlation)."""
    changes: tuple[Change, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "word": self.word,
            "probability": self.probability,
            "shortage": self.shortage,
            "dominant_unknown": self.dominant_unknown,
            "dominant_share": self.dominant_share,
            "changes": [
                {
                    "field": change.field,
                    "sentence": change.sentence,
                    "surplus_gain": change.surplus_gain,
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
    ranks = _ranks(scores[there])
    target = _ranks(outcome[there][:, None])
    ranks = ranks - ranks.mean(axis=0)
    target = target - target.mean(axis=0)
    spread = np.sqrt((ranks**2).sum(axis=0) * (target**2).sum(axis=0))
    return np.divide((ranks * target).sum(axis=0), spread, out=np.zeros(ranks.shape[1]), where=spread > 0.0)


def _ranks(columns: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    return np.asarray(np.argsort(np.argsort(columns, axis=0), axis=0), dtype=np.float64)


def dominant(flown: Flown) -> tuple[Unknown | None, float | None]:
    """Return the Unknown that moves the reserve most, and the share of its spread that it explains."""
    if flown.samples < 16:
        return None, None
    correlation = rank_correlation(flown.scores, flown.envelope.figures["reserve_surplus"][1:])
    which = int(np.argmax(np.abs(correlation)))
    if correlation[which] == 0.0:
        return None, None
    return unknowns()[which], float(correlation[which] ** 2)


def judge(flown: Flown, changes: tuple[Change, ...]) -> Verdict:
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
    return Verdict(word, probability, shortage_sentence(flown), name, share, changes)


def reserve_quantity(flown: Flown) -> Quantity:
    """Return the thrust left at full throttle once the reserve of climb and bank is paid for [N]."""
    reserve = flown.envelope.figures["reserve_surplus"]
    samples = reserve[1:] if flown.samples else reserve
    return from_samples(samples, float(reserve[0]), "N", reason=_no_balance(flown))


def _no_balance(flown: Flown) -> str:
    status = flown.envelope.steady["status"][:, LEVEL]
    if np.mean(status == OUT_OF_LIMITS) > 0.25:
        return "every balance lies beyond what elevator, incidence or rotor drive can do"
    return "no speed was found at which lift, drag, thrust and pitch balance"


def pitch_missing(flown: Flown) -> tuple[Quantity, float]:
    """Return the pitching moment that would have to be added to hold the nose [N m], and the airspeed it stands for."""
    rows = flown.envelope.steady[:, UNTRIMMED]
    there = np.isfinite(rows["airspeed"])
    moment = np.where(there, rows["pitch_aid"], np.nan)
    samples = moment[1:] if flown.samples else moment
    speed = float(np.nanmedian(rows["airspeed"])) if there.any() else float("nan")
    return from_samples(samples, float(moment[0]), "N m"), speed


def _band(quantity: Quantity, sign: float, nominal_only: bool) -> str:
    """Return size and band of a force as ``1.4 N (0.2–2.9)``."""
    if nominal_only or quantity.value is None or quantity.low is None or quantity.high is None:
        number = quantity.nominal if quantity.nominal is not None else 0.0
        return f"{sign * number:.2g} N"
    low, high = sorted((sign * quantity.low, sign * quantity.high))
    digits = 1 if max(abs(low), abs(high)) >= 1.0 else 2
    return f"{sign * quantity.value:.{digits}f} N ({low:.{digits}f} to {high:.{digits}f})"


def shortage_sentence(flown: Flown) -> str:
    """Return the shortest force in plain words, with speed and, if it is short, the grams that would mend it."""
    figures = flown.envelope.figures
    quantity = reserve_quantity(flown)
    only = flown.samples == 0
    middle = quantity.nominal if only else quantity.value
    if middle is None:
        return _out_of_balance(flown)
    speeds = flown.envelope.steady["airspeed"][:, LEVEL]
    speed = float(np.nanmedian(speeds[1:] if flown.samples else speeds))
    reserve = flown.aeroplane.reserve
    for_what = f"with {reserve.climb:.2g} m/s of climb or {np.degrees(reserve.bank):.0f}° of bank in hand"
    if middle >= 0.0:
        return f"Thrust to spare {for_what}: {_band(quantity, 1.0, only)} at {speed:.1f} m/s."
    straight = figures["surplus"][1:] if flown.samples else figures["surplus"]
    if float(np.nanmedian(straight)) < 0.0:
        short = _band(from_samples(straight, float(figures["surplus"][0]), "N"), -1.0, only)
        head = f"No level flight: thrust falls short by {short} at the best speed, {speed:.1f} m/s"
    else:
        short = _band(quantity, -1.0, only)
        head = f"Level flight, but the reserve is missing: thrust is short by {short} at {speed:.1f} m/s"
    return f"{head}{_grams(flown)}."


def _out_of_balance(flown: Flown) -> str:
    """Return what is missing when no node of the envelope balances: pitch control, or lift."""
    missing, speed = pitch_missing(flown)
    middle = missing.value if missing.value is not None else missing.nominal
    if middle is not None and np.isfinite(speed):
        way = "nose-up" if middle > 0.0 else "nose-down"
        size = _band(missing, 1.0 if middle > 0.0 else -1.0, flown.samples == 0).replace(" N", " N m", 1)
        spare = flown.envelope.figures["untrimmed_surplus"]
        thrust = float(np.nanmedian(spare)) if np.isfinite(spare).any() else 0.0
        also = "" if thrust >= 0.0 else f"; thrust is {-thrust:.1f} N short as well"
        return (
            f"No steady flight: the nose cannot be held at {speed:.1f} m/s, {size} of {way} moment is missing with the "
            f"elevator neutral and more than it can give{also}. Move rotor axis, thrust line or balance point closer "
            "together, or give the tail more area or arm."
        )
    lift = lift_short(flown)
    return f"No steady flight: {_no_balance(flown)}{'; ' + lift if lift else ''}."


def _grams(flown: Flown) -> str:
    from rotorwright.flight.envelope import HEAVY_RESERVE

    extra = flown.envelope.steady["extra_mass"][:, HEAVY_RESERVE]
    there = extra[1:] if flown.samples else extra
    if not np.isfinite(there).mean() > 0.5:
        return ""
    grams = float(np.nanmedian(there)) * 1000.0
    return f"; it would fly with the reserve {-grams:.0f} g lighter" if grams < 0.0 else ""


def lift_short(flown: Flown) -> str:
    """Return how far lift stays below weight at the fastest speed the thrust allows, from a sweep (nominal case)."""
    from rotorwright.flight.batch import sweep_airspeed

    speeds = np.linspace(2.0, 40.0, 77)
    one = np.zeros(1)
    numbers = flown.numbers
    first = type(numbers)(*(part[:1] for part in numbers))
    rows = sweep_airspeed(first, speeds, one, one, np.ones(1))[0]
    weight = float(first.vehicle["mass"][0] * first.air["gravity"][0])
    can = np.flatnonzero(rows["thrust"] >= rows["drag"])
    if not len(can):
        return "thrust does not even carry the drag at walking pace"
    fastest = can[-1]
    short = weight - float(rows["lift"][fastest])
    if short <= 0.0:
        return ""
    return (
        f"lift falls {short:.1f} N ({short / 9.80665 * 1000:.0f} g) short of the weight at the fastest speed the "
        f"thrust allows, {speeds[fastest]:.0f} m/s"
    )
