"""Unknowns: the physics factors we are not sure of, in one table with provenance.

The table is the set of files ``base/unknowns/*.toml``, one per room. Every kernel that leans on such a factor reads it
from a *factors* record (one float64 field per Unknown), so that a study varies them all jointly without touching the
kernels. The record at every median is the nominal run.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

SHAPES = ("split-lognormal", "split-normal", "uniform")
NORMAL_80 = 1.2815515655446004
"""Half-width of the central 80 % of a standard normal, in standard deviations."""


@dataclass(frozen=True)
class Unknown:
    """A factor we are not sure of: median, 80 % band, shape, what it scales, where it applies, source."""

    name: str
    room: str
    median: float
    low: float
    high: float
    shape: str
    scales: str
    applies: str
    source: str
    unit: str = "1"
    floor: float = -math.inf
    ceiling: float = math.inf
    called: str = ""
    """A short name for running text; see `words`."""

    @property
    def words(self) -> str:
        """Return the short name for running text: a few words without an article or a full stop."""
        return self.called or self.name.replace("_", " ")

    def at(self, standard_normal: float) -> float:
        """Return the factor at a standard-normal score (0 gives the median, ±1.28 the band's edges)."""
        edge = self.high if standard_normal >= 0.0 else self.low
        score = abs(standard_normal) / NORMAL_80
        if self.shape == "split-lognormal":
            number = self.median * (edge / self.median) ** score
        elif self.shape == "split-normal":
            number = self.median + (edge - self.median) * score
        else:  # uniform: the 80 % band sits centrally in the full range, each side on its own width
            share = math.erf(abs(standard_normal) / math.sqrt(2.0))
            number = self.median + (edge - self.median) * share / 0.8
        return min(max(number, self.floor), self.ceiling)


@lru_cache(maxsize=1)
def unknowns() -> tuple[Unknown, ...]:
    """Return the whole table, rooms in alphabetical order, rows in file order."""
    table: list[Unknown] = []
    for path in sorted((Path(__file__).parent / "unknowns").glob("*.toml")):
        rows: dict[str, dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))
        for name, row in rows.items():
            unknown = Unknown(name=name, room=path.stem, **row)
            _check(unknown)
            table.append(unknown)
    return tuple(table)


def _check(unknown: Unknown) -> None:
    if unknown.shape not in SHAPES:
        raise ValueError(f"{unknown.name}: shape {unknown.shape!r} is not one of {SHAPES}")
    if not unknown.low <= unknown.median <= unknown.high:
        raise ValueError(f"{unknown.name}: band {unknown.low}…{unknown.high} does not hold {unknown.median}")
    if unknown.shape == "split-lognormal" and unknown.low <= 0.0:
        raise ValueError(f"{unknown.name}: a lognormal band must be positive")


FACTORS = np.dtype([(unknown.name, np.float64) for unknown in unknowns()])
"""One float64 field per Unknown: the record every kernel reads its factors from."""


def nominal_factors(cases: int = 1) -> npt.NDArray[Any]:
    """Return ``cases`` factor records with every Unknown at its median, shape (cases,)."""
    factors = np.zeros(cases, dtype=FACTORS)
    for unknown in unknowns():
        factors[unknown.name] = unknown.median
    return factors


def sampled_factors(scores: npt.NDArray[np.float64]) -> npt.NDArray[Any]:
    """Return factor records from standard-normal scores, shape (cases, unknowns) → (cases,)."""
    factors = np.zeros(scores.shape[0], dtype=FACTORS)
    for column, unknown in enumerate(unknowns()):
        factors[unknown.name] = [unknown.at(float(score)) for score in scores[:, column]]
    return factors
