"""What if I build it twice as big? The same aeroplane at another size, flown; each change beside its power of size."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

import rotorwright
from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.grown import GrowthRules, grown, growth
from rotorwright.design.mass_rows import total_mass
from rotorwright.studies.power_classes import Class, class_of, read_classes
from rotorwright.studies.scale_ends import End, Rung, ends_of, ladder
from rotorwright.studies.scale_state import PROPERTIES, State, state_of
from rotorwright.studies.similarity import similarity_exponents
from rotorwright.studies.verdict import word_for

Floats = npt.NDArray[np.float64]
Progress = Callable[[int, int], None]

SCHEMA = 1
LEAST, MOST = 0.1, 10.0
"""Sizes that can be asked for, over the present one."""
STEPS = 16
"""Steps of the work that are told."""


@dataclass(frozen=True)
class Scaled:
    """One property at the old and the new size."""

    name: str
    words: str
    before: Quantity
    after: Quantity
    ratio: Quantity
    exponent: float | None
    """Power of size that the ratio amounts to, nominal."""
    expected: float | None
    """The same in closed form, everything grown alike."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        told = {name: getattr(self, name).as_dict() for name in ("before", "after", "ratio")}
        return {"name": self.name, **told, "exponent": self.exponent, "expected": self.expected}


@dataclass(frozen=True)
class Scale:
    """An aeroplane and itself at another size."""

    aeroplane: Aeroplane
    grown: Aeroplane
    size: float
    """New length over old length."""
    rules: GrowthRules
    changes: dict[str, Any]
    """Dotted fields that changed, as for `Aeroplane.changed`."""
    before: State
    after: State
    rows: tuple[Scaled, ...]
    ladder: tuple[Rung, ...]
    """Other sizes, nominal."""
    ends: tuple[End, ...]
    """Where the idea stops working, smaller and larger."""
    classes: tuple[Class | None, Class | None]
    """Mass class before and after; check local rules."""
    chosen: str
    """Parts chosen, in words; empty unless asked for."""
    remarks: tuple[str, ...]
    samples: int
    seed: int

    @property
    def quantities(self) -> dict[str, Quantity]:
        """Return every property at the new size by name."""
        return {f"scaled_{row.name}": row.after for row in self.rows}

    @property
    def word(self) -> str:
        """Return the verdict word at the new size."""
        return word_for(self.after.probability)

    def row(self, name: str) -> Scaled:
        """Return one property."""
        return next(row for row in self.rows if row.name == name)

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        aeroplane = self.aeroplane
        return {
            "schema": SCHEMA,
            "rotorwright": rotorwright.__version__,
            "aircraft": {"name": aeroplane.name, "file": aeroplane.source, "revision": aeroplane.revision},
            "conditions": {
                "size": self.size, "thickness": self.rules.build, "power": self.rules.power,
                "speed": self.rules.suits, "samples": self.samples, "seed": self.seed,
            },
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": {
                "word": self.word, "probability": self.after.probability, "shortage": self.after.shortage,
                "dominant_unknown": None, "changes": [],
            },
            "probability_before": self.before.probability,
            "scaling": [row.as_dict() for row in self.rows],
            "other_sizes": [rung.as_dict() for rung in self.ladder],
            "ends": [end.as_dict() for end in self.ends],
            "mass_class": [None if each is None else each.name for each in self.classes],
            "chosen_parts": self.chosen,
            "changed_fields": {
                name: list(value) if isinstance(value, tuple) else value for name, value in self.changes.items()
            },
            "warnings": list(self.remarks),
        }  # fmt: skip


def scale(
    aeroplane: Aeroplane,
    *,
    size: float | None = None,
    span: float | None = None,
    area: float | None = None,
    mass: float | None = None,
    build: str = "same",
    power: str = "grown",
    speed: str = "",
    classes: str | None = None,
    search: bool = True,
    samples: int = 32,
    seed: int = 0,
    progress: Progress | None = None,
) -> Scale:
    """Build an aeroplane larger or smaller and say what really happens.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    size, span, area, mass : float, optional
        One of them: new length over old length; the span to reach [m]; lifting area over the old one; the mass to
        reach [kg]. Twice the length unless told.
    build : str
        ``same`` (sheets as thick as they are, tubes wider), ``grown`` (everything thicker with size), ``stock`` (each
        tube the next in the table).
    power : str
        ``grown`` (propellers, motors, packs follow), ``same`` (they stay), ``chosen`` (by `choose_parts`).
    speed : str
        Airspeed that rotors and propellers are made for: ``same``, ``froude`` (with the root of size), or empty for
        what the build asks for.
    classes : str, optional
        File of mass classes, see `rotorwright.studies.power_classes.read_classes`.
    search : bool
        Whether to look for the sizes at which the idea stops working.
    samples, seed : int
        Samples of the Unknowns, the same ones at both sizes, so that their ratio has a band of its own.
    progress : callable, optional
        Called with (steps done, steps in all).

    Returns
    -------
    Scale

    Raises
    ------
    InputError
        If the size is out of range or a rule unknown, or if no flight can be found at the old size.
    InputProblems
        If the new size is beyond what an aircraft file may describe.
    """
    rules = GrowthRules(build, power, speed).checked()
    factor = _size(aeroplane, rules, size, span, area, mass)
    tell = progress or (lambda done, total: None)
    table = read_classes(classes)
    tell(0, STEPS)
    before = state_of(aeroplane, samples, seed)
    if not before.flies:
        raise InputError("has no balance at any speed, so there is nothing to compare", place=aeroplane.source)
    tell(2, STEPS)
    changes, remarks = growth(aeroplane, factor, rules)
    larger = aeroplane.changed(changes)
    chosen = ""
    if power == "chosen":
        changes, chosen, note = _choose(aeroplane, larger, changes)
        remarks += note
        larger = aeroplane.changed(changes)
    tell(3, STEPS)
    after = state_of(larger, samples, seed)
    if after.flies:
        slower = before.values["airspeed"] / after.values["airspeed"]
        after.values["lift_at_old_speed"] = after.values["lift_at_old_speed"] * slower**2
    tell(5, STEPS)
    expected = similarity_exponents(build=build)
    rows = tuple(
        _compared(name, words, unit, before, after, factor, expected.get(name), kind)
        for name, (words, unit, kind) in PROPERTIES.items()
        if name in before.values or name in after.values
    )
    rungs: tuple[Rung, ...] = ()
    ends: tuple[End, ...] = ()
    if search:
        plain = GrowthRules(build, "grown" if power == "chosen" else power, speed)
        rungs = ladder(aeroplane, plain, factor, seed, lambda done, total: tell(5 + done, STEPS))
        ends = ends_of(rungs, table.mass)
    tell(STEPS, STEPS)
    pair = class_of(table.mass, before.mass), class_of(table.mass, after.mass)
    return Scale(
        aeroplane, larger, factor, rules, changes, before, after, rows, rungs, ends, pair, chosen,
        remarks, samples, seed,
    )  # fmt: skip


def _size(
    aeroplane: Aeroplane, rules: GrowthRules, size: float | None, span: float | None, area: float | None,
    mass: float | None,
) -> float:  # fmt: skip
    asked = [name for name, value in (("size", size), ("span", span), ("area", area), ("mass", mass)) if value]
    if len(asked) > 1:
        raise InputError("cannot be told twice", field=asked[1], found=" and ".join(asked), hint="Give one of them")
    found = size if size is not None else 2.0
    if span is not None:
        from rotorwright.studies.scale_state import whole_span

        found = span / whole_span(aeroplane)
    if area is not None:
        found = math.sqrt(area) if area > 0.0 else 0.0
    if mass is not None:
        found = _size_of_mass(aeroplane, rules, mass)
    if not LEAST <= found <= MOST:
        allowed = f"{LEAST:g} to {MOST:g} times the present length"
        raise InputError("is out of range", field=asked[0] if asked else "size", found=f"{found:.3g}", allowed=allowed)
    return found


def _size_of_mass(aeroplane: Aeroplane, rules: GrowthRules, mass: float) -> float:
    """Return the size that weighs as much, by halving the interval; 0 if none does."""

    def heavier(size: float) -> bool:
        try:
            return total_mass(grown(aeroplane, size, rules).tables) > mass
        except InputProblems:
            return size > 1.0

    low, high = LEAST, MOST
    if heavier(low) or not heavier(high):
        return 0.0
    for _ in range(24):
        middle = math.sqrt(low * high)
        low, high = (low, middle) if heavier(middle) else (middle, high)
    return math.sqrt(low * high)


def _choose(
    aeroplane: Aeroplane, larger: Aeroplane, changes: dict[str, Any]
) -> tuple[dict[str, Any], str, tuple[str, ...]]:
    """Return the changes with parts chosen for the larger aeroplane, the choice in words, and what went wrong."""
    from rotorwright.studies.choose_parts import choose_parts

    try:
        found = choose_parts(larger, samples=0)
    except InputError as trouble:
        return changes, "", (f"no parts could be chosen ({trouble}); they were grown with size instead",)
    if not found.choices:
        return changes, "", ("no motor, propeller and cells of the classes fit this size; they were grown with size",)
    best = found.choices[0]
    return {**changes, **dict(best.changes)}, best.words, ()


def _compared(
    name: str, words: str, unit: str, before: State, after: State, size: float, expected: float | None, kind: str
) -> Scaled:  # fmt: skip
    old, new = before.quantity(name, unit), after.quantity(name, unit)
    nothing = np.full(1, np.nan)
    first, second = before.values.get(name, nothing), after.values.get(name, nothing)
    with np.errstate(divide="ignore", invalid="ignore"):
        numbers = second / first if len(first) == len(second) else second[:1] / first[:1]
    support = after.support if kind == "flown" else "inside data"
    ratio = from_samples(
        numbers[1:] if len(numbers) > 1 else numbers, float(numbers[0]), "1", support=support, sources=new.sources,
        reason=new.reason or old.reason or "not there at both sizes",
    )  # fmt: skip
    exponent = None
    nominal = ratio.nominal
    if nominal is not None and nominal > 0.0 and abs(math.log(size)) > 1e-6:
        exponent = math.log(nominal) / math.log(size)
    return Scaled(name, words, old, new, ratio, exponent, expected)
