"""What is asked of an exploration: what varies, between which ends, what is wanted, what must be kept."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.changes import from_text
from rotorwright.design.fields import dimension_of
from rotorwright.design.unit_table import DIMENSIONS
from rotorwright.design.units import UnitProblem, find_unit, read, reading

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Vary:
    """One field that varies: a measure between two ends, or one of some choices; others may go along in proportion."""

    field: str
    low: float = 0.0
    high: float = 0.0
    choices: tuple[Any, ...] = ()
    along: tuple[tuple[str, float], ...] = ()
    """Other fields, each with its share of this one."""

    def at(self, share: float) -> Any:
        """Return the value at a share of the way from end to end, 0…1."""
        if self.choices:
            return self.choices[min(int(share * len(self.choices)), len(self.choices) - 1)]
        return self.low + (self.high - self.low) * share

    def steps(self, count: int) -> list[float]:
        """Return shares that step through the range: every choice once, or so many even steps."""
        if self.choices:
            return [(place + 0.5) / len(self.choices) for place in range(len(self.choices))]
        return [float(each) for each in np.linspace(0.0, 1.0, count)]

    def share_of(self, value: Any) -> float:
        """Return the share at which a value lies (the way back from `at`)."""
        if self.choices:
            return (self.choices.index(value) + 0.5) / len(self.choices)
        return (float(value) - self.low) / (self.high - self.low) if self.high > self.low else 0.0


@dataclass(frozen=True)
class Limit:
    """A quantity that must stay below or above a number (SI)."""

    name: str
    below: bool
    number: float
    words: str

    def short(self, values: Floats) -> Floats:
        """Return by how much values miss the limit, relative to it; not there counts as missed by one."""
        scale = abs(self.number) or 1.0
        miss = (values - self.number) / scale * (1.0 if self.below else -1.0)
        return np.where(np.isfinite(miss), miss, 1.0)


@dataclass(frozen=True)
class Goal:
    """A quantity to make as great or as small as can be."""

    name: str
    most: bool

    @property
    def words(self) -> str:
        """Return the goal in words."""
        return f"{'most' if self.most else 'least'} {self.name.replace('_', ' ')}"


_OR = re.compile(r"\s+or\s+|\s*\|\s*")
_BETWEEN = re.compile(r"\s*\.\.\s*")


def read_vary(aeroplane: Aeroplane, text: str, along: Sequence[str] = ()) -> Vary:
    """Return what a text such as ``rotor.main.diameter=120..200 mm`` asks to vary.

    Parameters
    ----------
    aeroplane : Aeroplane
    text : str
        ``FIELD=LOW..HIGH UNIT``, ``FIELD=2..5`` for counts, ``FIELD=A or B or C`` for choices.
    along : sequence of str
        Fields that keep their proportion to this one.

    Raises
    ------
    InputError
        If it cannot be read or the field does not exist.
    """
    field, equals, value = (part.strip() for part in text.partition("="))
    form = (
        'a field and its range or choices, such as "rotor.main.diameter=120..200 mm" or "battery.main.cells=2S or 3S"'
    )
    if not equals or not field or not value:
        raise InputError("needs a field and a range", place="--vary", found=f'"{text}"', allowed=form)
    for fixed in ("reserve", "field.wind", "format", "name"):
        if field == fixed or field.startswith(f"{fixed}."):
            raise InputError("cannot be varied: it does not belong to the design", place="--vary", field=field)
    value = value.strip("\"'")
    dimension = dimension_of(field)
    if _OR.search(value):
        choices = tuple(_value(field, each, dimension) for each in _OR.split(value))
        return _checked(aeroplane, Vary(field, choices=choices), along)
    ends = _BETWEEN.split(value)
    if len(ends) != 2:
        raise InputError("needs two ends", place="--vary", field=field, found=f'"{value}"', allowed=form)
    if dimension is None:
        try:
            low, high = int(ends[0]), int(ends[1])
        except ValueError:
            hint = f'Write the choices, such as "{field}={ends[0]} or {ends[1]}"'
            raise InputError(
                "is no count to step through", place="--vary", field=field, found=f'"{value}"', hint=hint
            ) from None
        return _checked(aeroplane, Vary(field, choices=tuple(range(min(low, high), max(low, high) + 1))), along)
    second = _measure(field, ends[1], dimension)
    first_text = ends[0]
    unit = reading(ends[1], dimension).unit
    if unit and find_unit(unit, DIMENSIONS[dimension]) and re.fullmatch(r"[-+]?[\d.,]+", first_text):
        first_text = f"{first_text} {unit}"
    first = _measure(field, first_text, dimension)
    return _checked(aeroplane, Vary(field, min(first, second), max(first, second)), along)


def _value(field: str, text: str, dimension: str | None) -> Any:
    return _measure(field, text, dimension) if dimension else from_text(text.strip())


def _measure(field: str, text: str, dimension: str) -> float:
    try:
        return read(text, dimension)
    except UnitProblem as trouble:
        raise InputError(
            trouble.message,
            place="--vary",
            field=field,
            found=trouble.found,
            allowed=trouble.allowed,
            hint=trouble.hint,
        ) from None


def _checked(aeroplane: Aeroplane, vary: Vary, along: Sequence[str]) -> Vary:
    """Return the field with what goes along, after asking the aeroplane whether it has them."""
    pairs = []
    for other in along:
        if vary.choices:
            raise InputError("goes along with measures only, not with choices", place="--along", field=other)
        here, there = aeroplane.value(vary.field), aeroplane.value(other)
        if not isinstance(here, float) or not isinstance(there, float) or here == 0.0:
            raise InputError("has no proportion to keep", place="--along", field=other, found=str(there))
        pairs.append((other, there / here))
    whole = Vary(vary.field, vary.low, vary.high, vary.choices, tuple(pairs))
    faults: list[InputProblems] = []
    for share in (0.0, 0.5, 0.999999):
        value = whole.at(share)
        try:
            aeroplane.changed({whole.field: value, **{name: value * part for name, part in whole.along}})
        except InputProblems as problem:
            faults.append(problem)
    if len(faults) == 3:
        raise faults[0]
    return whole


_LIMIT = re.compile(r"\s*([A-Za-z_ ]+?)\s*(<=|>=|<|>)\s*(.+?)\s*\Z")
_SI_DIMENSION = {
    "kg": "mass", "m": "length", "N": "force", "m/s": "speed", "W": "power", "A": "current", "V": "voltage",
    "1": "number", "rad": "angle", "rad/s": "rotation", "s": "time", "kg/m2": "areal mass", "N m": "torque",
}  # fmt: skip
_SHARES = {"1"}


def read_limit(text: str, known: dict[str, Quantity | None]) -> Limit:
    """Return a limit such as ``level_speed<12 m/s``.

    Raises
    ------
    InputError
        If it cannot be read or names no quantity.
    """
    found = _LIMIT.match(text)
    if found is None:
        raise InputError(
            "is no limit", place="--keep", found=f'"{text}"', allowed='a limit such as "level_speed<12 m/s"'
        )
    name = quantity_name(found.group(1), known, "--keep")
    quantity = known[name]
    unit = quantity.unit if quantity is not None else ("1" if name.startswith("chance") else "N")
    below = found.group(2)[0] == "<"
    words = f"{name.replace('_', ' ')} {'below' if below else 'above'} {found.group(3)}"
    return Limit(name, below, _number(name, found.group(3), unit), words)


def _number(name: str, text: str, unit: str) -> float:
    dimension = _SI_DIMENSION.get(unit)
    if unit in _SHARES and text.strip().endswith("%"):
        dimension = "share"
    if dimension is None or dimension not in DIMENSIONS:
        try:
            return float(text.removesuffix(unit).strip())
        except ValueError:
            raise InputError(
                "is not a number", place="--keep", field=name, found=text, allowed=f"a number in {unit}"
            ) from None
    try:
        return read(text, dimension)
    except UnitProblem as trouble:
        raise InputError(
            trouble.message, place="--keep", field=name, found=trouble.found, allowed=trouble.allowed
        ) from None


def quantity_name(text: str, known: dict[str, Quantity | None], option: str) -> str:
    """Return the name of a quantity that a text means.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    name = "_".join(text.strip().casefold().replace("-", "_").split())
    if name in known:
        return name
    near = get_close_matches(name, list(known), n=3, cutoff=0.4)
    hint = f"Did you mean {' or '.join(near)}?" if near else ""
    raise InputError("names no quantity of a balance", place=option, found=f'"{text.strip()}"', hint=hint)
