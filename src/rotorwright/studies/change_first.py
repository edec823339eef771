"""Which changes to make first, which are not worth naming, and whether one is enough."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rotorwright.base.digits import percent_text, written
from rotorwright.base.errors import InputProblems
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.levers import LeverResult
from rotorwright.studies.verdict import WORDS, Change, probability_of_flight

WORTH = 0.05
"""A change that buys less than this share of what is short (or left over) is not worth naming."""
NAMED = 3
WILL, SHOULD = (least for least, word in WORDS if word in ("will fly", "should fly"))


def best_changes(flown: Flown, base: LeverResult, results: Sequence[LeverResult]) -> tuple[list[LeverResult], float]:
    """Return the changes that buy most, one per field of the file, and the least gain worth naming [N].

    Parameters
    ----------
    flown : Flown
        The aeroplane as it is.
    base : LeverResult
        The aeroplane unchanged, with the chance of its verdict.
    results : sequence of LeverResult
        From `rotorwright.studies.levers.pull`.

    Notes
    -----
    By probability where it moves, then by the median of the thrust left after the reserve. A change that lowers the
    chance, or that buys less than `WORTH` of the shortage, is left out.
    """
    reserve = flown.envelope.figures["reserve_surplus"][1:]
    there = reserve[np.isfinite(reserve)]
    least = WORTH * abs(float(np.median(there))) if len(there) else 0.0

    def raised(result: LeverResult) -> float:
        if result.probability is None or base.probability is None:
            return 0.0
        return round(result.probability - base.probability, 2)

    chosen: list[LeverResult] = []
    for result in sorted(results, key=lambda each: (raised(each), each.median_gain), reverse=True):
        fresh = result.lever.field not in {each.lever.field for each in chosen}
        if fresh and raised(result) >= 0.0 and result.median_gain > least:
            chosen.append(result)
    return chosen[:NAMED], least


def changes_to_make(
    flown: Flown, base: LeverResult, results: Sequence[LeverResult], *, samples: int, seed: int
) -> tuple[tuple[Change, ...], str]:
    """Return the changes worth naming, and one sentence on what to make of them."""
    chosen, least = best_changes(flown, base, results)
    changes = tuple(
        Change(
            each.lever.field, each.lever.label, each.surplus_gain, each.median_gain, base.probability, each.probability
        )
        for each in chosen
    )
    return changes, _advice(flown, base, chosen, least, samples=samples, seed=seed)


def _advice(
    flown: Flown, base: LeverResult, chosen: list[LeverResult], least: float, *, samples: int, seed: int
) -> str:
    chance = base.probability or 0.0
    if chance >= WILL:
        return "Nothing must change; these buy most margin." if chosen else "Nothing must change."
    if not chosen:
        return (
            f"No single step tried helps by more than {written(least, 2)} N, 5 % of what is missing: it takes another "
            "layout, much less mass or much more thrust."
        )
    best = max(each.probability or 0.0 for each in chosen)
    if chance >= SHOULD:
        return "It should fly as it is; each of these alone makes that surer."
    if best >= SHOULD:
        return "One change can be enough; each is tried alone."
    if len(chosen) == 1:
        return "No single change is enough; this one buys most."
    return f"No single change is enough; each is tried alone. {_together(flown, chosen, samples=samples, seed=seed)}"


def _together(flown: Flown, chosen: list[LeverResult], *, samples: int, seed: int) -> str:
    """Return what the chosen changes make together."""
    fields = {field: value for each in chosen for field, value in each.lever.changes}
    try:
        variant = flown.aeroplane.changed(fields) if fields else flown.aeroplane
    except InputProblems:
        return ""
    shed = sum(each.lever.shed for each in chosen)
    after = fly(variant, samples=samples, seed=seed, few=True, thorough=False, shed=shed)
    chance = probability_of_flight(after) or 0.0
    words = "Both" if len(chosen) == 2 else "All three"
    reserve = after.envelope.figures["reserve_surplus"][1:]
    there = reserve[np.isfinite(reserve)]
    short = float(np.median(there)) if len(there) else 0.0
    still = f", thrust still short by about {-short:.1f} N" if short < 0.0 and chance < SHOULD else ""
    return f"{words} together: chance {percent_text(chance)}{still}."
