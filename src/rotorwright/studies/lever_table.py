"""What should I change first? Every design number a natural step up or down, ranked by what it buys.

All steps fly in the nominal case together; the most promising ones fly the same draws of the Unknowns as the aeroplane
as it is, so that every difference is taken draw by draw and has its own band. The best few are then made in pairs, to
see whether what each buys alone adds up.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.studies.balance_quantities import design_support
from rotorwright.studies.evaluate import Flown, fly, fly_each
from rotorwright.studies.lever_steps import every_lever
from rotorwright.studies.levers import Lever, Progress
from rotorwright.studies.outcomes import (
    CHANCE,
    OUTCOMES,
    Edges,
    Outcome,
    critical_edges,
    judged_outcomes,
    read_outcomes,
)

Floats = npt.NDArray[np.float64]
TARGETS = {
    "chance": CHANCE,
    "thrust": "reserve_thrust",
    "weight": "weight_limit",
    "slow": "slowest_level_speed",
    "climb": "best_climb",
    "clear": "keep_out_margin",
}
"""What to rank by: the maker's word and the outcome."""
PER = ("step", "gram", "hour")
SAMPLED, PAIRED = 10, 4
"""How many levers fly with draws, and how many of the best are also made in pairs."""
FREE_MASS = 0.0005
"""A step that adds less than this costs no weight [kg]."""
SAME_CHANCE = 0.05
"""Chances closer than this count as equal, and the thrust decides: so many draws cannot tell them apart."""
SUM_HOLDS = 0.15
"""Two steps add up if together they buy what they buy alone to within this share."""


@dataclass(frozen=True)
class LeverEffect:
    """One step: what it moves, what it weighs, what it costs."""

    lever: Lever
    effects: dict[str, Quantity]
    """Outcome → difference made; a band only where it flew with draws."""
    added_mass: float
    """Of the whole aeroplane, nominal [kg]."""
    hours: float | None
    """Bench hours the maker states for it."""
    sampled: bool
    worth: float
    """By what it is ranked: the target's gain, per gram or hour if asked; NaN where it has none."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "field": self.lever.field,
            "label": self.lever.label,
            "changes": dict(self.lever.changes),
            "mass_shed": self.lever.shed,
            "effects": {name: quantity.as_dict() for name, quantity in self.effects.items()},
            "added_mass": self.added_mass,
            "hours": self.hours,
            "sampled": self.sampled,
            "worth": self.worth if math.isfinite(self.worth) else None,
        }


@dataclass(frozen=True)
class Pair:
    """Two of the best steps made together: does what each buys alone add up?"""

    first: Lever
    second: Lever
    together: Quantity
    """What both buy together, in the unit of what is ranked."""
    beyond_sum: Quantity
    """Of it more than the sum of what each buys alone."""
    adds_up: bool

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "first": self.first.label,
            "second": self.second.label,
            "together": self.together.as_dict(),
            "beyond_sum": self.beyond_sum.as_dict(),
            "adds_up": self.adds_up,
        }


@dataclass(frozen=True)
class LeverTable:
    """The answer of `levers`: as it is, every step ranked, the best in pairs."""

    aeroplane: Aeroplane
    target: str
    """Word of `TARGETS`."""
    per: str
    base: dict[str, Quantity]
    """The outcomes as the aeroplane is."""
    ranked: tuple[LeverEffect, ...]
    """Steps that flew with draws, best first (none in a nominal run)."""
    others: tuple[LeverEffect, ...]
    """The rest, nominal only, best first."""
    pairs: tuple[Pair, ...]
    samples: int
    seed: int

    @property
    def outcome(self) -> Outcome:
        """Return the outcome that the steps are ranked by."""
        return _outcome(TARGETS[self.target])

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        from rotorwright.studies.document_head import head

        return {
            **head(self.aeroplane, {"samples": self.samples, "seed": self.seed, "for": self.target, "per": self.per}),
            "quantities": {name: quantity.as_dict() for name, quantity in self.base.items()},
            "verdict": None,
            "levers": [effect.as_dict() for effect in (*self.ranked, *self.others)],
            "pairs": [pair.as_dict() for pair in self.pairs],
            "warnings": list(self.warnings),
        }

    @property
    def warnings(self) -> tuple[str, ...]:
        """Return what to mind."""
        return (
            "a step is tried alone, on paper: what it does to the strength of parts is not looked at here",
            "masses follow where the file lets them be computed; a weighed mass stays as told unless the step says so",
        )


def _outcome(name: str) -> Outcome:
    return next(outcome for outcome in OUTCOMES if outcome.name == name)


def levers(
    aeroplane: Aeroplane,
    *,
    target: str = "chance",
    per: str = "step",
    hours: Mapping[str, float] | None = None,
    samples: int = 64,
    seed: int = 0,
    nominal_only: bool = False,
    progress: Progress | None = None,
) -> LeverTable:
    """Say what every natural step of every design number buys, best first.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    target : str
        What to rank by, one of `TARGETS`.
    per : str
        Per ``"step"``, per ``"gram"`` added (steps that add none come first), or per ``"hour"`` of those stated.
    hours : mapping, optional
        Dotted field, or the beginning of one, to the bench hours of a step there [h]; the longest match counts.
    samples, seed : int
        Draws behind the bands, at most 1024.
    nominal_only : bool
        Every Unknown at its median: no bands, no chances, no pairs.
    progress : callable, optional
        Called with (steps done, steps in all).

    Returns
    -------
    LeverTable

    Raises
    ------
    InputError
        If a word is unknown, or hours are asked for and none of the steps has any.
    """
    _check(target, per, hours)
    shapes = _possible(aeroplane)
    variants = [aeroplane, *(variant for _, variant in shapes)]
    sheds = [0.0, *(lever.shed for lever, _ in shapes)]
    flown = fly_each(variants, sheds, few=False)
    judged = fly_each(variants, sheds, few=False, thorough=False)
    own = critical_edges(flown[0])
    before = _read(flown[0], judged[0], own)
    effects = [
        _effect(lever, before, _read(there, judge, _edges(lever, there, own)), there, flown[0], hours)
        for (lever, _), there, judge in zip(shapes, flown[1:], judged[1:], strict=True)
    ]
    if not any(effect.hours for effect in effects) and per == "hour":
        raise InputError(
            "needs the hours of at least one step that is tried", field="hours",
            allowed=", ".join(sorted({effect.lever.field for effect in effects})[:6]) + " …",
        )  # fmt: skip
    effects = _sorted([_valued(effect, target, per) for effect in effects], per, target)
    if nominal_only or not samples:
        base = _base(flown[0], read_outcomes(flown[0], own))
        return LeverTable(aeroplane, target, per, base, (), tuple(effects), (), 0, seed)
    return _with_draws(aeroplane, target, per, hours, effects, dict(shapes), samples, seed, progress)


def _check(target: str, per: str, hours: Mapping[str, float] | None) -> None:
    if target not in TARGETS:
        raise InputError("is nothing to rank by", field="target", found=target, allowed=", ".join(TARGETS))
    if per not in PER:
        raise InputError("is nothing to divide by", field="per", found=per, allowed=", ".join(PER))
    for field, number in (hours or {}).items():
        if not number > 0.0 or not math.isfinite(number):
            raise InputError("must be hours above zero", field="hours", found=f"{field} = {number}")


def _possible(aeroplane: Aeroplane) -> list[tuple[Lever, Aeroplane]]:
    found = []
    for lever in every_lever(aeroplane):
        try:
            found.append((lever, aeroplane.changed(dict(lever.changes)) if lever.changes else aeroplane))
        except InputProblems:
            continue  # a step the aircraft file does not allow is no lever
    return found


def _edges(lever: Lever, flown: Flown, own: Edges) -> Edges:
    """Return the critical speeds after a step: only a step at a rotor itself moves them."""
    return critical_edges(flown) if lever.field.startswith("rotor.") and ".position." not in lever.field else own


def _read(flown: Flown, judged: Flown, edges: Edges) -> dict[str, Floats]:
    """Return every outcome; what judges the reserve from the run without jumps."""
    return read_outcomes(flown, edges) | judged_outcomes(judged)


def _difference(after: Floats, before: Floats, unit: str, support: str, sources: tuple[str, ...]) -> Quantity:
    gain = after - before
    if len(gain) == 1:
        number = float(gain[0]) if math.isfinite(gain[0]) else None
        why = "" if number is not None else "it exists only before or only after the step, or not at all"
        return Quantity(number, None, None, number, unit, float(number is not None), support, sources, why)
    why = "it exists before and after the step in fewer than half of the draws"
    return from_samples(gain[1:], float(gain[0]), unit, support=support, sources=sources, reason=why)


def _effect(
    lever: Lever,
    before: Mapping[str, Floats],
    after: Mapping[str, Floats],
    there: Flown,
    here: Flown,
    hours: Mapping[str, float] | None,
) -> LeverEffect:
    support = max(
        (design_support(here), design_support(there)), key=("inside data", "between data", "beyond data").index
    )
    effects = {
        outcome.name: _difference(after[outcome.name], before[outcome.name], outcome.unit, support, outcome.sources)
        for outcome in OUTCOMES
        if outcome.name != CHANCE
    }
    effects[CHANCE] = _chance(after[CHANCE], before[CHANCE], support)
    added = float(after["mass"][0] - before["mass"][0])
    return LeverEffect(lever, effects, added, _hours(lever, hours), there.samples > 0, math.nan)


def _chance(after: Floats, before: Floats, support: str) -> Quantity:
    """Return by how much the chance of flight moves; its band is what so many draws can tell (80 %)."""
    sources = _outcome(CHANCE).sources
    if len(after) == 1:
        return Quantity(None, None, None, None, "1", 0.0, support, sources, "a chance needs draws")
    moved = after[1:] - before[1:]
    middle = float(moved.mean())
    half = 1.2815515655446004 * float(moved.std()) / math.sqrt(len(moved))
    return Quantity(middle, middle - half, middle + half, None, "1", 1.0, support, sources)


def _hours(lever: Lever, hours: Mapping[str, float] | None) -> float | None:
    best = ""
    for field in hours or {}:
        if (lever.field == field or lever.field.startswith(f"{field}.")) and len(field) > len(best):
            best = field
    return (hours or {})[best] if best else None


def _thrust(effect: LeverEffect) -> float:
    number = effect.effects["reserve_thrust"].value
    return number if number is not None else math.nan


def _gain(effect: LeverEffect, target: str) -> float:
    """Return the gain that ranks a step: of a chance its own, and with it the thrust that raises it."""
    outcome = _outcome(TARGETS[target])
    moved = effect.effects[outcome.name]
    if target == "chance" and moved.value is None:
        return _thrust(effect)
    return outcome.better * moved.value if moved.value is not None else math.nan


def _valued(effect: LeverEffect, target: str, per: str) -> LeverEffect:
    gain = _gain(effect, target)
    if per == "gram" and effect.added_mass > FREE_MASS:
        gain /= 1000.0 * effect.added_mass
    if per == "hour":
        gain = gain / effect.hours if effect.hours else math.nan
    return replace(effect, worth=gain)


def _sorted(effects: list[LeverEffect], per: str = "step", target: str = "chance") -> list[LeverEffect]:
    """Return steps best first: those without weight first if ranked per gram; near equal chances go by thrust."""

    def order(effect: LeverEffect) -> tuple[Any, ...]:
        free = per == "gram" and effect.added_mass <= FREE_MASS and effect.worth > 0.0
        if not math.isfinite(effect.worth):
            return (True, math.inf, 0.0)
        thrust = effect.effects["reserve_thrust"].value or 0.0
        coarse = target == "chance" and per == "step" and effect.sampled
        worth = round(effect.worth / SAME_CHANCE) if coarse else effect.worth
        return (not free, -worth, -thrust)

    return sorted(effects, key=order)


def _base(flown: Flown, numbers: Mapping[str, Floats]) -> dict[str, Quantity]:
    support = design_support(flown)
    found = {}
    for outcome in OUTCOMES:
        values = numbers[outcome.name]
        if outcome.name == CHANCE:
            chance = float(values[1:].mean()) if len(values) > 1 else None
            why = "" if chance is not None else "a chance needs draws"
            found[outcome.name] = Quantity(
                chance, chance, chance, None, "1", float(chance is not None), support, outcome.sources, why
            )
        elif len(values) > 1:
            found[outcome.name] = from_samples(
                values[1:], float(values[0]), outcome.unit, support=support, sources=outcome.sources,
                reason="it does not exist in most draws",
            )  # fmt: skip
        else:
            number = float(values[0]) if math.isfinite(values[0]) else None
            why = "" if number is not None else "it does not exist in the nominal case"
            found[outcome.name] = Quantity(
                number, None, None, number, outcome.unit, float(number is not None), support, outcome.sources, why
            )
    return found


def _with_draws(
    aeroplane: Aeroplane,
    target: str,
    per: str,
    hours: Mapping[str, float] | None,
    effects: list[LeverEffect],
    variants: Mapping[Lever, Aeroplane],
    samples: int,
    seed: int,
    progress: Progress | None,
) -> LeverTable:
    """Fly the promising steps with draws, and the best of them in pairs."""
    base = fly(aeroplane, samples=samples, seed=seed)
    judged = fly(aeroplane, samples=samples, seed=seed, thorough=False)
    own = critical_edges(base)
    before = _read(base, judged, own)
    chosen = _promising(_sorted(effects, per, target))
    steps = 1 + len(chosen) + PAIRED * (PAIRED - 1) // 2

    def told(done: int) -> None:
        if progress is not None:
            progress(done, steps)

    told(1)
    ranked, behind = [], {}
    for done, effect in enumerate(chosen):
        lever = effect.lever
        there = fly(variants[lever], samples=samples, seed=seed, shed=lever.shed)
        judge = fly(variants[lever], samples=samples, seed=seed, shed=lever.shed, thorough=False)
        behind[lever] = after = _read(there, judge, _edges(lever, there, own))
        ranked.append(_valued(_effect(lever, before, after, there, base, hours), target, per))
        told(2 + done)
    ranked = _sorted(ranked, per, target)
    looked_at = {effect.lever for effect in chosen}
    others = [effect for effect in _sorted(effects, per, target) if effect.lever not in looked_at]
    pairs = _pairs(aeroplane, target, ranked, before, behind, own, samples, seed, lambda n: told(1 + len(chosen) + n))
    told(steps)
    as_is = _base(base, read_outcomes(base, own))
    return LeverTable(aeroplane, target, per, as_is, tuple(ranked), tuple(others), pairs, samples, seed)


def _promising(effects: list[LeverEffect]) -> list[LeverEffect]:
    """Return the best step of every field that gains anything, at most `SAMPLED` of them."""
    best: dict[str, LeverEffect] = {}
    for effect in effects:
        if math.isfinite(effect.worth) and effect.worth > 0.0:
            best.setdefault(effect.lever.field, effect)
    return list(best.values())[:SAMPLED]


def _moves(effect: LeverEffect, name: str, better: float) -> bool:
    number = effect.effects[name].value
    return number is not None and better * number > 0.0


def _pairs(
    aeroplane: Aeroplane,
    target: str,
    ranked: list[LeverEffect],
    before: Mapping[str, Floats],
    behind: Mapping[Lever, Mapping[str, Floats]],
    own: Edges,
    samples: int,
    seed: int,
    told: Callable[[int], None],
) -> tuple[Pair, ...]:
    """Make the best steps two at a time and compare with the sum of what each buys alone."""
    outcome = _outcome("reserve_thrust" if target == "chance" else TARGETS[target])
    name = outcome.name
    found = []
    gaining = [effect.lever for effect in ranked if _moves(effect, name, outcome.better)][:PAIRED]
    for done, (first, second) in enumerate(itertools.combinations(gaining, 2)):
        told(done)
        one, two = dict(first.changes), dict(second.changes)
        if one.keys() & two.keys():
            continue  # they step the same number
        try:
            variant = aeroplane.changed({**one, **two}) if one or two else aeroplane
        except InputProblems:
            continue
        thorough = name != "reserve_thrust"
        there = fly(variant, samples=samples, seed=seed, thorough=thorough, shed=first.shed + second.shed)
        if thorough:
            turned = any(each.field.startswith("rotor.") for each in (first, second))
            after = read_outcomes(there, critical_edges(there) if turned else own)[name]
        else:
            after = judged_outcomes(there)[name]
        support, sources = design_support(there), outcome.sources
        alone = behind[first][name] + behind[second][name] - 2.0 * before[name]
        together = _difference(after, before[name], outcome.unit, support, sources)
        beyond = _difference(after - before[name], alone, outcome.unit, support, sources)
        low, high = abs(beyond.value or 0.0), abs(float(np.nanmedian(alone[1:])))
        found.append(Pair(first, second, together, beyond, low <= SUM_HOLDS * high))
    size = [abs(pair.beyond_sum.value or 0.0) for pair in found]
    return tuple(found[place] for place in sorted(range(len(found)), key=lambda place: -size[place]))
