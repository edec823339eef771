"""Thousands of variants of one aeroplane as part rows, without reading the file anew for each.

Measures that vary are traced through the whole path of a change (the checks of the file, completing, filling the rows:
the very functions that load an aircraft file), once for every way that path can go; numpy then plays the recording for
all variants that go the same way. What is no measure (a count, a propeller, a material, true or false) is a choice and
gets recordings of its own. Every recording is held against the path itself on a second variant before it is trusted;
where one does not hold, its variants are taken through the path one by one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputProblems
from rotorwright.base.traced import Tape
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fields import dimension_of
from rotorwright.design.fill import FilledRows, Names, part_fields

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
SITE = ("elevation", "temperature", "humidity", "pressure")
"""What the air of the field hangs on; no pressure told is 0."""
AT_ONCE = 512
"""Variants played together: their rows fit into the fast memory of one core."""
TRUSTED = 1.0e-12
"""Largest relative difference between a recording and the path itself [1]."""


class Variants(NamedTuple):
    """Variants that have the same parts in the same order."""

    designs: Ints
    """Their numbers in the list that was asked for, shape (n,)."""
    rows: FilledRows
    """Part rows, each of shape (n, rows)."""
    site: dict[str, Floats]
    """Air of the field (`SITE`), each of shape (n,)."""


class Refused(NamedTuple):
    """Variants that no aircraft file could describe, and why."""

    designs: Ints
    why: str


class Varied(NamedTuple):
    """All variants that were asked for."""

    there: tuple[Variants, ...]
    refused: tuple[Refused, ...]
    by_hand: int
    """How many were taken through the path of the file one by one."""


class _Filled(NamedTuple):
    """What one aeroplane fills: names of the rows, places of the numbers and the numbers (traced or plain)."""

    names: Names
    shapes: tuple[tuple[np.dtype[np.void], int], ...]
    numbers: tuple[float, ...]


@dataclass
class _Recording:
    tape: Tape
    filled: _Filled | None
    why: str = ""
    trusted: bool | None = None
    """None until held against the path itself."""


@dataclass
class Recorder:
    """Records how the rows of an aeroplane hang on some of its fields, and plays them for many variants.

    ``fields`` are dotted fields as for `Aeroplane.changed`; recordings are kept from one call of `vary` to the next.
    """

    aeroplane: Aeroplane
    fields: tuple[str, ...]
    _known: dict[tuple[Any, ...], list[_Recording]] = field(default_factory=dict, repr=False)

    @property
    def measures(self) -> tuple[str, ...]:
        """Return the fields that take a measure: their values are SI numbers, those of the others texts or counts."""
        return tuple(each for each in self.fields if dimension_of(each) is not None)

    @property
    def recordings(self) -> int:
        """Return how many recordings there are."""
        return sum(len(each) for each in self._known.values())

    def vary(self, values: Mapping[str, Sequence[Any] | Floats]) -> Varied:
        """Return the part rows of many variants.

        Parameters
        ----------
        values : mapping
            For every field one value for each variant: SI numbers for measures, else what a change takes.

        Raises
        ------
        InputProblems
            If a field is none of this aeroplane.
        """
        measures = self.measures
        choices = [each for each in self.fields if each not in measures]
        count = len(next(iter(values.values()))) if values else 1
        numbers = np.empty((count, len(measures)))
        for column, name in enumerate(measures):
            numbers[:, column] = np.asarray(values[name], dtype=np.float64)
        kinds: dict[tuple[Any, ...], list[int]] = {}
        for design, told in enumerate(zip(*(values[each] for each in choices), strict=True) if choices else ()):
            kinds.setdefault(told, []).append(design)
        if not choices:
            kinds[()] = list(range(count))
        there: list[Variants] = []
        refused: list[Refused] = []
        by_hand = 0
        for told, members in kinds.items():
            fixed = dict(zip(choices, told, strict=True))
            for first in range(0, len(members), AT_ONCE):
                some = np.array(members[first : first + AT_ONCE], dtype=np.int64)
                by_hand += self._one_kind(told, fixed, some, numbers, there, refused)
        return Varied(tuple(_joined(there)), tuple(refused), by_hand)

    def _one_kind(
        self, told: tuple[Any, ...], fixed: Mapping[str, Any], members: Ints, numbers: Floats, there: list[Variants],
        refused: list[Refused],
    ) -> int:  # fmt: skip
        known = self._known.setdefault(told, [])
        by_hand = 0
        waiting = members
        turn = 0
        while len(waiting):
            if turn == len(known):
                known.append(self._record(fixed, numbers[waiting[0]]))
            recording = known[turn]
            turn += 1
            wanted = recording.filled.numbers if recording.filled is not None else ()
            same, results = recording.tape.play(numbers[waiting], wanted)
            here = waiting[same]
            waiting = waiting[~same]
            if not len(here):
                continue
            if recording.filled is None:
                refused.append(Refused(here, recording.why))
                continue
            played = _played(results, same)
            if recording.trusted is None:
                recording.trusted = self._holds(fixed, numbers[here[-1]], recording.filled, played[-1])
            if recording.trusted:
                there.append(_variants(here, recording.filled, played))
                continue
            by_hand += len(here)
            for design in here:
                try:
                    filled = self._fill(fixed, numbers[design])
                except InputProblems as problem:
                    refused.append(Refused(np.array([design]), _why(problem)))
                else:
                    there.append(_variants(np.array([design]), filled, np.array([filled.numbers], dtype=np.float64)))
        return by_hand

    def _record(self, fixed: Mapping[str, Any], numbers: Floats) -> _Recording:
        tape = Tape()
        traced = [tape.take(float(number)) for number in numbers]
        try:
            return _Recording(tape, self._fill(fixed, traced))
        except InputProblems as problem:
            return _Recording(tape, None, _why(problem))

    def _fill(self, fixed: Mapping[str, Any], numbers: Sequence[float] | Floats) -> _Filled:
        changes = {**fixed, **{name: _number(each) for name, each in zip(self.measures, numbers, strict=True)}}
        changed = self.aeroplane.changed({name: changes[name] for name in self.fields})
        parts = part_fields(changed.tables, frozenset(entry.field for entry in changed.filled_in))
        found: list[float] = []
        for dtype, rows in parts:
            for _, fields in rows:
                found += [fields.get(name, 0.0) for name in dtype.names or ()]
        site = changed.tables.field
        found += [getattr(site, name) or 0.0 for name in SITE]
        names = Names(*(tuple(name for name, _ in rows) for _, rows in parts))
        return _Filled(names, tuple((dtype, len(rows)) for dtype, rows in parts), tuple(found))

    def _holds(self, fixed: Mapping[str, Any], numbers: Floats, filled: _Filled, played: Floats) -> bool:
        """Hold a recording against the path itself on one variant."""
        try:
            own = self._fill(fixed, numbers)
        except InputProblems:
            return False
        if own.names != filled.names or own.shapes != filled.shapes:
            return False
        return bool(np.allclose(played, np.array(own.numbers, dtype=np.float64), rtol=TRUSTED, atol=1e-300))


def _number(value: float) -> float:
    return float(value) if isinstance(value, np.floating) else value


def _why(problem: InputProblems) -> str:
    first = problem.problems[0]
    return f"{first.field}: {first.message}" if first.field else first.message


def _played(results: Sequence[Floats | float], same: npt.NDArray[np.bool_]) -> Floats:
    """Return results as one row of numbers for each variant that goes the recorded way."""
    varies = [column for column, result in enumerate(results) if isinstance(result, np.ndarray)]
    template = np.array([0.0 if isinstance(result, np.ndarray) else result for result in results])
    numbers = np.empty((int(same.sum()), len(results)))
    numbers[:] = template
    every = bool(same.all())
    for column in varies:
        result = np.asarray(results[column])
        numbers[:, column] = result if every else result[same]
    return numbers


def _variants(designs: Ints, filled: _Filled, numbers: Floats) -> Variants:
    """Return numbers, shape (n, numbers), as part rows."""
    parts = []
    first = 0
    for dtype, rows in filled.shapes:
        width = rows * len(dtype.names or ())
        block = np.ascontiguousarray(numbers[:, first : first + width])
        parts.append(block.view(dtype).reshape(len(designs), rows) if rows else np.zeros((len(designs), 0), dtype))
        first += width
    site = {name: numbers[:, first + column] for column, name in enumerate(SITE)}
    return Variants(designs, FilledRows._make((*parts, filled.names)), site)


def _joined(groups: Sequence[Variants]) -> list[Variants]:
    """Join groups with the same parts, their designs in the order asked for."""
    alike: dict[Names, list[Variants]] = {}
    for group in groups:
        alike.setdefault(group.rows.names, []).append(group)
    found = []
    for names, members in alike.items():
        designs = np.concatenate([each.designs for each in members])
        order = np.argsort(designs, kind="stable")
        parts = [
            np.concatenate([getattr(each.rows, kind) for each in members])[order]
            for kind in FilledRows._fields
            if kind != "names"
        ]
        site = {name: np.concatenate([each.site[name] for each in members])[order] for name in SITE}
        found.append(Variants(designs[order], FilledRows._make((*parts, names)), site))
    return found
