"""At which size the idea stops working: a ladder of sizes, and where between its rungs something gives way."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from rotorwright.base.errors import InputProblems
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.grown import GrowthRules, grown
from rotorwright.studies.evaluate import factors_for, fly
from rotorwright.studies.power_classes import Class
from rotorwright.studies.scale_state import alike, critical_of
from rotorwright.studies.shortfall import shortfall_of
from rotorwright.studies.strength import strength
from rotorwright.studies.verdict import probability_of_flight

SIZES = (0.25, 0.35, 0.5, 0.71, 1.0, 1.41, 2.0, 2.83, 4.0)
SAMPLES = 24
EVEN = 0.5
"""Chance of flying below which the idea counts as not working."""
KEEP_OUT = (0.85, 1.15)
"""Rotor speed over the first shake between which a rotor does not stay (see the keep-out bands of `shake`)."""


@dataclass(frozen=True)
class Rung:
    """An aeroplane at one size."""

    size: float
    mass: float
    """[kg]"""
    probability: float
    """Of flying level with the reserve."""
    airspeed: float | None
    """[m/s]"""
    power: float | None
    """Of level flight, at the shafts [W]."""
    critical_share: float | None
    """Rotor speed over first shake [1]."""
    margin: float | None
    """Weakest margin of strength [1]."""
    shortage: str

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return dict(vars(self))


@dataclass(frozen=True)
class End:
    """Something that changes for the worse (or the better) at some size."""

    what: str
    """``chance``, ``shake``, ``strength``, ``class`` or ``description``."""
    size: float | None
    larger: bool
    """Whether it lies on the way to larger sizes."""
    words: str

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return dict(vars(self))


def ladder(
    aeroplane: Aeroplane, rules: GrowthRules, size: float, seed: int, told: Callable[[int, int], None]
) -> tuple[Rung, ...]:
    """Fly an aeroplane at sizes from a quarter to four times its own, and at the one asked for.

    Sizes that no aircraft file may describe are left out.
    """
    sizes = sorted({*SIZES, *([size] if min(abs(size / each - 1.0) for each in SIZES) > 0.03 else [])})
    found = []
    for place, each in enumerate(sizes):
        told(place, len(sizes))
        try:
            larger = grown(aeroplane, each, rules)
        except InputProblems:
            continue
        found.append(rung_of(larger, each, seed))
    return tuple(found)


def rung_of(aeroplane: Aeroplane, size: float, seed: int) -> Rung:
    """Return an aeroplane at one size: chance from a few samples, everything else nominal."""
    flown = fly(aeroplane, samples=SAMPLES, seed=seed, few=True, thorough=False)
    chance = probability_of_flight(flown) or 0.0
    level = alike(flown)
    mass = float(flown.numbers.vehicle["mass"][0])
    short = shortfall_of(flown).sentence()
    if level is None:
        return Rung(size, mass, chance, None, None, None, None, short)
    row = level[0]
    critical = critical_of(aeroplane, flown, factors_for(0, seed)[0])
    share = margin = None
    if critical is not None:
        share = abs(float(row["rotor_speed"])) / float(critical[0])
        alone = fly(aeroplane, samples=0, few=True, thorough=False)
        margin = strength(aeroplane, nominal_only=True, flown=alone).quantities["weakest_margin"].nominal
    power = float(row["traction_power"] + row["spin_power"])
    return Rung(size, mass, chance, float(row["airspeed"]), power, share, margin, short)


def _crossing(rungs: list[Rung], read: Callable[[Rung], float | None], level: float) -> tuple[float, bool] | None:
    """Return the first size at which a number crosses a level on the way along the rungs, and whether it then rises.

    Between two rungs it is taken to go straight over the logarithm of size.
    """
    for here, there in pairwise(rungs):
        a, b = read(here), read(there)
        if a is None or b is None or not math.isfinite(a) or not math.isfinite(b):
            continue
        if (a - level) * (b - level) < 0.0 or (b == level and a != level):
            share = (level - a) / (b - a)
            return math.exp(math.log(here.size) + share * math.log(there.size / here.size)), b > a
    return None


def _times(size: float) -> str:
    return f"{size:.2g} times the size"


def ends_of(rungs: tuple[Rung, ...], classes: tuple[Class, ...]) -> tuple[End, ...]:
    """Return where the idea stops working, smaller and larger.

    Parameters
    ----------
    rungs : tuple of Rung
        By size.
    classes : tuple of Class
        Mass classes, lightest first.
    """
    found: list[End] = []
    for larger in (False, True):
        way = [rung for rung in rungs if (rung.size >= 0.999 if larger else rung.size <= 1.001)]
        if not larger:
            way.reverse()
        if way:
            found += _ends(way, classes, larger)
    return tuple(found)


def _ends(way: list[Rung], classes: tuple[Class, ...], larger: bool) -> list[End]:
    found: list[End] = []
    chance = _crossing(way, lambda rung: rung.probability, EVEN)
    last = way[-1]
    if chance is not None and not chance[1]:
        fallen = next(rung for rung in way if rung.probability < EVEN)
        found.append(End("chance", chance[0], larger, f"{_times(chance[0])}: more likely than not it does not fly. "
                         f"At {_times(fallen.size)}: {_small(fallen.shortage)}"))  # fmt: skip
    elif chance is not None:
        words = f"{_times(chance[0])}: from here on it is more likely than not to fly"
        found.append(End("chance", chance[0], larger, words))
    elif way[0].probability >= EVEN and len(way) > 1:
        words = f"it goes on flying as far as was looked ({_times(last.size)})"
        found.append(End("chance", None, larger, words))
    for edge in KEEP_OUT:
        shake = _crossing(way, lambda rung: rung.critical_share, edge)
        if shake is not None and (edge == KEEP_OUT[0]) == shake[1]:
            words = f"{_times(shake[0])}: level flight turns the rotors within 15 % of their first shake"
            found.append(End("shake", shake[0], larger, words))
    weak = _crossing(way, lambda rung: rung.margin, 1.0)
    if weak is not None and not weak[1]:
        words = f"{_times(weak[0])}: the weakest part of the rotor no longer holds (ask rotorwright shake --strength)"
        found.append(End("strength", weak[0], larger, words))
    for each in classes:
        limit = _crossing(way, lambda rung: rung.mass, each.up_to)
        if limit is not None and larger:
            words = f'{_times(limit[0])}: heavier than {each.up_to:g} kg, no longer in the class "{each.name}"'
            found.append(End("class", limit[0], True, f"{words}: check your local rules"))
            break
    if (last.size < SIZES[-1] * 0.99) if larger else (last.size > SIZES[0] * 1.01):
        words = f"beyond {_times(last.size)} a part is out of the range that an aircraft file may describe"
        found.append(End("description", last.size, larger, words))
    return sorted(found, key=lambda end: math.inf if end.size is None else abs(math.log(end.size)))


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]
