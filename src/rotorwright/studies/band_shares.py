"""What drives the band: which Unknowns make the spread of a number of one aeroplane, alone and together with others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.unknown import Unknown, nominal_factors, sampled_factors, unknowns
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.batch import Progress
from rotorwright.studies.balance_quantities import design_support
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import Flown, fly, fly_drawn
from rotorwright.studies.leading import leading_shares
from rotorwright.studies.outcomes import CHANCE, OUTCOMES, judged_outcomes, read_outcomes
from rotorwright.studies.variance import VarianceShare, variance_shares

Floats = npt.NDArray[np.float64]
NAMES = tuple(outcome.name for outcome in OUTCOMES if outcome.name not in (CHANCE, "keep_out_margin"))
"""Numbers whose band can be asked about."""
SCREENED = 256
"""Draws that tell which Unknowns are worth a column of their own."""
ALONE = 8
"""Unknowns that are looked at one by one; all others go together."""
BLOCK = 1024


@dataclass(frozen=True)
class BandDriver:
    """One Unknown, or all others together (``unknown`` None), with its share of the spread."""

    unknown: Unknown | None
    share: VarianceShare
    rises: bool | None
    """Whether the number rises with the Unknown; None where that was not seen."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        share = self.share
        return {
            "unknown": self.unknown.name if self.unknown is not None else None,
            "first_order": share.first,
            "first_order_low": share.first_low,
            "first_order_high": share.first_high,
            "total": share.total,
            "total_low": share.total_low,
            "total_high": share.total_high,
            "rises": self.rises,
        }


@dataclass(frozen=True)
class BandShares:
    """A number of one aeroplane with what drives its band, strongest first."""

    aeroplane: Aeroplane
    name: str
    quantity: Quantity
    drivers: tuple[BandDriver, ...]
    kept: float
    """Share of the draws in which the number exists in every mixture."""
    runs: int
    rows: int
    seed: int
    reason: str = ""
    """Why there is nothing to tell."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        conditions = {"draws": self.rows, "flights": self.runs, "seed": self.seed}
        return {
            **head(self.aeroplane, conditions),
            "quantities": {self.name: self.quantity.as_dict()},
            "verdict": None,
            "band": {
                "of": self.name,
                "kept": self.kept,
                "drivers": [driver.as_dict() for driver in self.drivers],
                "reason": self.reason,
            },
            "warnings": [],
        }


def band_shares(
    aeroplane: Aeroplane,
    name: str = "reserve_thrust",
    *,
    rows: int = 512,
    seed: int = 0,
    progress: Progress | None = None,
) -> BandShares:
    """Return which Unknowns drive the band of a number.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    name : str
        One of `NAMES`; the thrust left after the reserve exists for every aeroplane, the others only where it flies.
    rows : int
        Draws of each of the two matrices, a power of two; about ten times as many flights.
    seed : int
    progress : callable, optional
        Called with (flights done, flights in all).

    Returns
    -------
    BandShares

    Raises
    ------
    InputError
        If there is no such number, or ``rows`` is no power of two from 64 to 8192.
    """
    if name not in NAMES:
        raise InputError("is no number whose band is looked at", field="name", found=name, allowed=", ".join(NAMES))
    if rows & (rows - 1) or not 64 <= rows <= 8192:
        raise InputError("must be a power of two", field="rows", found=str(rows), allowed="64, 128 … 8192")
    thorough, read = _reader(name)
    screen = fly(aeroplane, samples=SCREENED, seed=seed, thorough=thorough)
    values = read(screen)
    leading = leading_shares(screen.scores, values[1:])
    order = [int(place) for place in np.argsort(-np.abs(leading)) if leading[place] != 0.0][:ALONE]
    quantity = _quantity(screen, name, values)
    if not order:
        reason = "it hardly varies" if np.isfinite(values[1:]).mean() > 0.5 else "it does not exist in most draws"
        return BandShares(aeroplane, name, quantity, (), 0.0, SCREENED, rows, seed, reason)
    rest = [place for place in range(len(unknowns())) if place not in order]
    groups: list[Sequence[int]] = [[place] for place in order]
    found = variance_shares(
        lambda draws: _flown_with(aeroplane, draws, thorough, read, progress), [*groups, rest], len(unknowns()),
        rows=rows, seed=seed,
    )  # fmt: skip
    if found is None:
        reason = "it does not exist in enough draws to tell"
        return BandShares(aeroplane, name, quantity, (), 0.0, SCREENED, rows, seed, reason)
    named = [
        BandDriver(unknowns()[place], share, bool(leading[place] > 0.0))
        for place, share in zip(order, found.shares[:-1], strict=True)
    ]
    drivers = (*sorted(named, key=lambda driver: -driver.share.total), BandDriver(None, found.shares[-1], None))
    return BandShares(aeroplane, name, quantity, drivers, found.kept, found.runs + SCREENED, rows, seed)


def _reader(name: str) -> tuple[bool, Callable[[Flown], Floats]]:
    if name in ("reserve_thrust", "thrust_to_spare"):
        return False, lambda flown: judged_outcomes(flown)[name]
    return True, lambda flown: read_outcomes(flown, {})[name]


def _quantity(flown: Flown, name: str, values: Floats) -> Quantity:
    from rotorwright.base.quantity import from_samples

    outcome = next(each for each in OUTCOMES if each.name == name)
    return from_samples(
        values[1:], float(values[0]), outcome.unit, support=design_support(flown), sources=outcome.sources,
        reason="it does not exist in most draws",
    )  # fmt: skip


def _flown_with(
    aeroplane: Aeroplane,
    draws: Floats,
    thorough: bool,
    read: Callable[[Flown], Floats],
    progress: Progress | None,
) -> Floats:
    """Fly draws between 0 and 1 and return the number of each, in blocks that fit in memory."""
    from scipy.special import ndtri

    scores = np.asarray(ndtri(draws), dtype=np.float64)
    found = np.empty(len(scores))
    for first in range(0, len(scores), BLOCK):
        part = scores[first : first + BLOCK]
        factors = np.concatenate([nominal_factors(1), sampled_factors(part)])
        found[first : first + BLOCK] = read(fly_drawn(aeroplane, factors, part, thorough=thorough))[1:]
        if progress is not None:
            progress(first + len(part), len(scores))
    return found
