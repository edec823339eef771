"""One exploration under way: designs asked for, flown chunk by chunk, kept, judged and ranked."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.design.fields import dimension_of
from rotorwright.design.unit_table import DIMENSIONS
from rotorwright.flight.batch import Progress
from rotorwright.studies import scatter
from rotorwright.studies.explore_asked import Goal, Limit, Vary
from rotorwright.studies.explore_designs import (
    FLOWN,
    FULL,
    QUICK,
    REFUSED,
    RESERVE,
    SCORE,
    UNKNOWN_STATE,
    Chunk,
    Question,
    answer,
)
from rotorwright.studies.explore_kept import KeptDesigns

Floats = npt.NDArray[np.float64]

AT_ONCE = {QUICK: 2048, RESERVE: 64, FULL: 32}
"""Designs of one chunk by how closely they are looked at: a second of work or so."""
DRAWS_AT_ONCE = 512
"""Cases of one chunk where every design is flown with several draws."""


@dataclass
class Study:
    """What is asked and what is kept; designs are numbered in the order asked for."""

    question: Question
    fields: tuple[Vary, ...]
    kept: KeptDesigns
    limits: tuple[Limit, ...]
    goals: tuple[Goal, ...]
    scheduler: str | None
    progress: Progress | None
    total: int
    asked: int = 0

    def columns_of(self, shares: Floats) -> tuple[tuple[Any, ...], ...]:
        """Return the values of every field, those going along too, at some shares."""
        columns: list[tuple[Any, ...]] = []
        for place, each in enumerate(self.fields):
            values = tuple(each.at(float(share)) for share in shares[:, place])
            columns.append(values)
            columns += [tuple(value * part for value in values) for _, part in each.along]
        return tuple(columns)

    def fly(self, shares: Floats) -> slice:
        """Fly designs, those that are there already left out, and return their place."""
        place = slice(self.asked, self.asked + len(shares))
        there = self.kept.shares[place]
        if len(there) and not np.array_equal(there, shares[: len(there)]):
            raise InputError("holds other designs than those asked for", place=str(self.kept.path))
        if len(there) < len(shares):
            self.kept.ask(shares[len(there) :])
            self.note_values()
        waiting = place.start + np.flatnonzero(self.kept.state[place] == UNKNOWN_STATE)
        size = AT_ONCE[self.question.look]
        if self.question.draws:
            size = max(1, min(size, DRAWS_AT_ONCE // self.question.draws))
        groups = [waiting[first : first + size] for first in range(0, len(waiting), size)]
        chunks = [Chunk(int(group[0]), self.columns_of(self.kept.shares[group])) for group in groups]
        self._tell()
        answers: Any = scatter.run(partial(answer, self.question), chunks, scheduler=self.scheduler)
        for number, found in answers:
            self.kept.put(groups[number], found)
            self._tell()
        self.asked = place.stop
        return place

    def _tell(self) -> None:
        if self.progress is not None:
            self.progress(int((self.kept.state != UNKNOWN_STATE).sum()), self.total)

    def note_values(self) -> None:
        """Note the values of the fields in the units of the file's numbers."""
        columns = self.columns_of(self.kept.shares.reshape(len(self.kept), len(self.fields)))
        values: dict[str, tuple[npt.NDArray[Any], str]] = {}
        place = 0
        for each in self.fields:
            texts = any(isinstance(choice, str) for choice in each.choices)
            told = np.array([str(value) for value in columns[place]] if texts else columns[place])
            values[each.field] = (told, "" if texts else si_unit(each.field))
            place += 1 + len(each.along)
        self.kept.values = values

    def judge(self, shares: Floats) -> tuple[Floats, Floats]:
        """Return goals to make small and limits not to be above zero, for the search."""
        place = self.fly(shares)
        rows = self.kept.columns[place]
        named = {name: rows[:, column] for column, name in enumerate(self.kept.names)}
        aims = np.stack([-named[goal.name] if goal.most else named[goal.name] for goal in self.goals], axis=1)
        over = [np.where(self.kept.state[place] == REFUSED, np.nan, self._short_of_flying(named))]
        over += [limit.short(named[limit.name]) for limit in self.limits]
        return aims, np.stack(over, axis=1)

    def _short_of_flying(self, named: dict[str, Floats]) -> Floats:
        return np.asarray(-named[SCORE] / (9.8 * np.maximum(named["mass"], 1e-3)))

    def good(self) -> npt.NDArray[np.bool_]:
        """Return which designs fly level with the reserve and keep every limit."""
        if not len(self.kept):
            return np.zeros(0, dtype=np.bool_)
        named = {name: self.kept.columns[:, column] for column, name in enumerate(self.kept.names)}
        fine = (self.kept.state == FLOWN) & (named[SCORE] >= 0.0)
        for limit in self.limits:
            fine &= limit.short(named[limit.name]) <= 0.0
        return np.asarray(fine)

    def ranked(self, good: npt.NDArray[np.bool_]) -> list[int]:
        """Return the good designs that no other good one beats in all goals, best in the first goal first."""
        rows = np.flatnonzero(good)
        aims = np.stack(
            [self.kept.column(goal.name)[rows] * (-1.0 if goal.most else 1.0) for goal in self.goals], axis=1
        )
        aims = np.where(np.isfinite(aims), aims, np.inf)
        order = np.lexsort(aims.T[::-1])
        if len(self.goals) == 1:
            return [int(rows[place]) for place in order]
        front: list[int] = []
        for place in order:
            if not any((aims[other] <= aims[place]).all() and (aims[other] < aims[place]).any() for other in front):
                front.append(int(place))
        return [int(rows[place]) for place in front]


def si_unit(path: str) -> str:
    """Return the SI unit of a field's dimension, "1" for counts and plain numbers."""
    dimension = dimension_of(path)
    if dimension is None:
        return "1"
    units = DIMENSIONS[dimension].units
    return next((unit for unit, (factor, offset) in units.items() if factor == 1.0 and offset == 0.0 and unit), "1")
