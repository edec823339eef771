"""Which Unknowns move one number of one aeroplane, and which way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.unknown import Unknown, unknowns
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.batch import Progress
from rotorwright.studies.balance_quantities import read_samples
from rotorwright.studies.evaluate import fly
from rotorwright.studies.verdict import rank_correlation

SAMPLES = 512
"""Fewer draws of so many Unknowns are correlated among each other, and one would be blamed for another."""
NOISE = 0.2
"""Smaller rank correlations are not told: chance alone gives up to 0.18 in 512 samples (four standard errors)."""


@dataclass(frozen=True)
class Mover:
    """One Unknown that moves a number: how much of its spread, and whether they rise together."""

    unknown: Unknown
    share: float
    """Squared rank correlation: a ranking, not a decomposition."""
    rises: bool


@dataclass(frozen=True)
class Moved:
    """A number of one aeroplane with what moves it, strongest first."""

    name: str
    quantity: Quantity
    movers: tuple[Mover, ...]
    samples: int


def what_moves(
    aeroplane: Aeroplane, name: str, *, samples: int = SAMPLES, seed: int = 0, progress: Progress | None = None
) -> Moved:
    """Return a number of the balance of an aeroplane and the Unknowns that move it.

    Parameters
    ----------
    aeroplane : Aeroplane
    name : str
        Of the quantity, as in `rotorwright.balance`.
    samples, seed : int
        Samples of the Unknowns.
    progress : callable, optional
        Called with (cases done, cases in all).

    Returns
    -------
    Moved
        Without movers where the number exists in fewer than half of the samples, or where nothing moves it.

    Raises
    ------
    InputError
        If a balance of this aeroplane has no such number.
    """
    flown = fly(aeroplane, samples=samples, seed=seed, progress=progress)
    quantities, numbers = read_samples(flown)
    if name not in quantities:
        raise InputError(
            "is no number of this aeroplane's balance", place="explain", found=name,
            hint="Leave the file out for the general explanation",
        )  # fmt: skip
    quantity = quantities[name]
    if quantity.value is None or name not in numbers:
        return Moved(name, quantity, (), samples)
    correlation = rank_correlation(flown.scores, numbers[name][1:])
    order = [int(place) for place in np.argsort(-np.abs(correlation))]
    movers = tuple(
        Mover(unknowns()[place], float(correlation[place] ** 2), bool(correlation[place] > 0.0))
        for place in order
        if abs(correlation[place]) > NOISE
    )
    return Moved(name, quantity, movers, samples)
