"""Two revisions of an aeroplane: every number that changed, every result that moved, and which change did it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputProblems
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.differences import Difference, between, differences
from rotorwright.studies.attribution import Subset, in_order, joined, order_free, subsets
from rotorwright.studies.balance_quantities import read_samples
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.levers import Progress
from rotorwright.studies.outcomes import CHANCE, OUTCOMES, critical_edges, read_outcomes
from rotorwright.studies.verdict import probability_of_flight, word_for

Floats = npt.NDArray[np.float64]
MOST_GROUPS = 6
"""Changes whose every combination is flown: 2⁶ = 64 aeroplanes."""
FLIGHTS = 512
FEWEST = 16
"""Draws of every combination: as many as make so many flights, but not fewer than this."""
LEAST = 1.0e-3
"""A result that moves by less than this share of itself has not moved."""
NOWHERE = "it exists before and after in fewer than half of the draws"


@dataclass(frozen=True)
class Moved:
    """One result before and after; the difference is taken draw by draw and so has its own band."""

    name: str
    before: Quantity
    after: Quantity
    difference: Quantity

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "before": self.before.as_dict(),
            "after": self.after.as_dict(),
            "difference": self.difference.as_dict(),
        }


@dataclass(frozen=True)
class Part:
    """What one change does to one result: in the nominal case (or to the chance), and its band over the draws."""

    value: float
    low: float | None
    high: float | None

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {"value": self.value, "low": self.low, "high": self.high}


@dataclass(frozen=True)
class Attribution:
    """The difference of one result shared out among the changes; either list adds up to ``total``."""

    outcome: str
    unit: str
    before: float
    after: float
    ordered: tuple[Part, ...]
    """Each change made on top of those before it, in file order."""
    order_free: tuple[Part, ...]
    """Each change averaged over all orders."""

    @property
    def total(self) -> float:
        """Return the whole difference."""
        return self.after - self.before

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "unit": self.unit,
            "before": self.before,
            "after": self.after,
            "total": self.total,
            "ordered": [part.as_dict() for part in self.ordered],
            "order_free": [part.as_dict() for part in self.order_free],
        }


@dataclass(frozen=True)
class Step:
    """From one revision to the next."""

    old: Aeroplane
    new: Aeroplane
    differences: tuple[Difference, ...]
    moved: tuple[Moved, ...]
    chances: tuple[float | None, float | None]
    groups: tuple[tuple[Difference, ...], ...]
    """Changes that the attribution takes as one."""
    attributions: tuple[Attribution, ...]
    draws: int
    """Behind the bands of the attribution."""

    @property
    def words(self) -> tuple[str, str]:
        """Return the verdict words before and after; empty without draws."""
        before, after = (word_for(chance) if chance is not None else "" for chance in self.chances)
        return before, after

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "old": {"name": self.old.name, "file": self.old.source or None, "revision": self.old.revision},
            "new": {"name": self.new.name, "file": self.new.source or None, "revision": self.new.revision},
            "changed": [
                {
                    "field": each.field, "how": each.how, "before": each.before, "after": each.after,
                    "moves": each.moves,
                }
                for each in self.differences
            ],
            "chance": {"before": self.chances[0], "after": self.chances[1]},
            "moved": {moved.name: moved.as_dict() for moved in self.moved},
            "groups": [[each.field for each in group] for group in self.groups],
            "which_change_did_it": {each.outcome: each.as_dict() for each in self.attributions},
            "draws_of_attribution": self.draws,
        }  # fmt: skip


@dataclass(frozen=True)
class Comparison:
    """The answer of `compare`: one step for each revision after the first."""

    steps: tuple[Step, ...]
    samples: int
    seed: int

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        last = self.steps[-1]
        return {
            **head(last.new, {"samples": self.samples, "seed": self.seed}),
            "quantities": {},
            "verdict": None,
            "steps": [step.as_dict() for step in self.steps],
            "warnings": [],
        }


def compare(
    old: Aeroplane,
    new: Aeroplane,
    *more: Aeroplane,
    samples: int = 64,
    seed: int = 0,
    progress: Progress | None = None,
) -> Comparison:
    """Say what changed between revisions of an aeroplane, what that moved and which change did it.

    Parameters
    ----------
    old, new : Aeroplane
        From `rotorwright.load`.
    samples, seed : int
        Draws behind the bands, common to all revisions; 0 for the nominal case only.
    progress : callable, optional
        Called with (aeroplanes flown, aeroplanes in all) of each step.
    *more : Aeroplane
        Later revisions; each is compared with the one before it.

    Returns
    -------
    Comparison
    """
    chain = [old, new, *more]
    steps = [_step(one, two, samples=samples, seed=seed, progress=progress) for one, two in pairwise(chain)]
    return Comparison(tuple(steps), samples, seed)


def _step(old: Aeroplane, new: Aeroplane, *, samples: int, seed: int, progress: Progress | None) -> Step:
    found = differences(old, new)
    moving = [each for each in found if each.moves]
    before, after = (fly(each, samples=samples, seed=seed) for each in (old, new))
    chances = probability_of_flight(before), probability_of_flight(after)
    moved = _moved(before, after)
    if not moving:
        return Step(old, new, found, moved, chances, (), (), 0)
    groups, variants = _combinations(old, new, moving)
    draws = min(samples, max(FEWEST, FLIGHTS // len(variants))) if samples else 0
    values = []
    for done, variant in enumerate(variants.values()):
        flown = fly(variant, samples=draws, seed=seed)
        values.append(read_outcomes(flown, critical_edges(flown)))
        if progress is not None:
            progress(done + 1, len(variants))
    numbers = dict(zip(variants, values, strict=True))
    shared = [_attribution(outcome.name, outcome.unit, numbers, len(groups), draws) for outcome in OUTCOMES]
    attributions = tuple(each for each in shared if each is not None)
    return Step(old, new, found, moved, chances, groups, attributions, draws)


def _moved(before: Flown, after: Flown) -> tuple[Moved, ...]:
    """Return every result of a balance that is not what it was."""
    old, old_numbers = read_samples(before)
    new, new_numbers = read_samples(after)
    found = []
    for name in [*new, *(name for name in old if name not in new)]:
        one, two = old.get(name), new.get(name)
        nothing = Quantity(None, None, None, None, (one or two).unit, 0.0, reason="no such part")  # type: ignore[union-attr]
        one, two = one or nothing, two or nothing
        if name in old_numbers and name in new_numbers:
            change = new_numbers[name] - old_numbers[name]
        else:
            change = np.full(1 + before.samples, (two.nominal or 0.0) - (one.nominal or 0.0))
        difference = _band(change, two)
        if _differs(one, two, difference):
            found.append(Moved(name, one, two, difference))
    return tuple(found)


def _band(change: Floats, like: Quantity) -> Quantity:
    nominal = float(change[0]) if math.isfinite(change[0]) else None
    if len(change) == 1:
        why = "" if nominal is not None else NOWHERE
        share = float(nominal is not None)
        return Quantity(nominal, None, None, nominal, like.unit, share, like.support, like.sources, why)
    return from_samples(change[1:], nominal, like.unit, support=like.support, sources=like.sources, reason=NOWHERE)


def _differs(one: Quantity, two: Quantity, difference: Quantity) -> bool:
    if (one.value is None) != (two.value is None):
        return True
    if difference.value is None or one.value is None or two.value is None:
        return False
    size = LEAST * max(abs(one.value), abs(two.value), 1.0e-9)
    return max(abs(difference.value), abs(difference.nominal or 0.0)) > size


def _combinations(
    old: Aeroplane, new: Aeroplane, moving: Sequence[Difference]
) -> tuple[tuple[tuple[Difference, ...], ...], dict[Subset, Aeroplane]]:
    """Return the changes as groups whose every combination describes an aeroplane, and those aeroplanes."""
    first = _by_part(moving) if len(moving) > MOST_GROUPS else [[each] for each in moving]
    built: dict[frozenset[str], Aeroplane | None] = {}

    def fields(groups: Sequence[Sequence[int]], chosen: Subset) -> frozenset[str]:
        return frozenset(each.field for group in chosen for unit in groups[group] for each in first[unit])

    def make(taken: frozenset[str]) -> Aeroplane | None:
        if taken not in built:
            try:
                built[taken] = between(old, new, taken)
            except InputProblems:
                built[taken] = None
        return built[taken]

    everything = frozenset(each.field for each in moving)
    built[frozenset()], built[everything] = old, new
    groups = joined(len(first), lambda groups, chosen: make(fields(groups, chosen)) is not None, MOST_GROUPS)
    variants: dict[Subset, Aeroplane] = {}
    for chosen in subsets(len(groups)):
        variant = make(fields(groups, chosen))
        assert variant is not None
        variants[chosen] = variant
    return tuple(tuple(each for unit in group for each in first[unit]) for group in groups), variants


def _by_part(moving: Sequence[Difference]) -> list[list[Difference]]:
    parts: dict[str, list[Difference]] = {}
    for each in moving:
        parts.setdefault(".".join(each.field.split(".")[:2]), []).append(each)
    return list(parts.values())


def _attribution(
    name: str, unit: str, numbers: Mapping[Subset, Mapping[str, Floats]], count: int, draws: int
) -> Attribution | None:
    """Share the difference of one result out; None where it does not exist in some combination or cannot be told."""
    values = {chosen: read[name] for chosen, read in numbers.items()}
    if name == CHANCE:
        if not draws:
            return None
        values = {chosen: np.array([each[1:].mean()]) for chosen, each in values.items()}
    if not all(math.isfinite(each[0]) for each in values.values()):
        return None
    before, after = values[frozenset()], values[frozenset(range(count))]
    ordered, free = ([_share(part) for part in way(values, count)] for way in (in_order, order_free))
    return Attribution(name, unit, float(before[0]), float(after[0]), tuple(ordered), tuple(free))


def _share(part: Floats) -> Part:
    there = part[1:][np.isfinite(part[1:])]
    if len(there) < FEWEST / 2:
        return Part(float(part[0]), None, None)
    low, high = (float(number) for number in np.quantile(there, (0.1, 0.9)))
    return Part(float(part[0]), low, high)
