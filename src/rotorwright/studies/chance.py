"""Chances counted from many flights: how often, how sure, and what a failure hangs on."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.base.unknown import NORMAL_80

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

SOURCES = ("wilson1927",)
SPLITS = 9
"""Places at which an input is cut in two: its tenths."""
SHUFFLES = 49
"""A driver must stand out more than the best of all inputs does in any of so many shuffled records."""
FEWEST = 8
"""Fewer failures than this tell nothing about their cause."""


def counted(happened: int, flights: int) -> Quantity:
    """Return the chance of something that happened in some of many flights, with the band that counting allows.

    Parameters
    ----------
    happened, flights : int

    Returns
    -------
    Quantity
        Value: the share counted; band: the middle 80 %.

    Notes
    -----
    With share p, n flights and z = 1.2816: (p + z²/2n ± z √(p(1−p)/n + z²/4n²)) / (1 + z²/n). The band holds for the
    model's flights: what the model does not know is in none of them.
    Source: E. B. Wilson, Probable inference, the law of succession, and statistical inference, J. Am. Stat. Assoc. 22
    (1927) 209-212 (secondary).
    """
    if flights <= 0:
        return Quantity(None, None, None, None, "1", 0.0, sources=SOURCES, reason="no flight was counted")
    low, high = counting_band(happened, flights)
    share = happened / flights
    return Quantity(share, low, high, share, "1", sources=SOURCES)


def counting_band(happened: int, flights: int, *, deviations: float = NORMAL_80) -> tuple[float, float]:
    """Return the band that counting allows: ``deviations`` standard deviations each way (80 % unless told)."""
    share = happened / flights
    square = deviations * deviations
    middle = share + 0.5 * square / flights
    half = deviations * math.sqrt(share * (1.0 - share) / flights + 0.25 * square / (flights * flights))
    whole = 1.0 + square / flights
    low = 0.0 if happened == 0 else (middle - half) / whole
    high = 1.0 if happened == flights else (middle + half) / whole
    return low, high


def attributable_share(exposed: float, risk_exposed: float, risk_unexposed: float) -> float:
    """Return the share of all failures that would not have been, had nobody been exposed.

    Parameters
    ----------
    exposed : float
        Share of the flights that met the cause.
    risk_exposed, risk_unexposed : float
        Share of failures with and without it.

    Notes
    -----
    (r − r_unexposed)/r with r the failures of all together; nothing where the cause does no harm. Causal here because
    every input is drawn by itself.
    Source: M. L. Levin, The occurrence of lung cancer in man, Acta Unio Int. Contra Cancrum 9 (1953) 531-541
    (secondary).
    """
    whole = exposed * risk_exposed + (1.0 - exposed) * risk_unexposed
    return max(0.0, (whole - risk_unexposed) / whole) if whole > 0.0 else 0.0


@dataclass(frozen=True)
class Driver:
    """One input that failures hang on: beyond a limit they are more frequent."""

    name: str
    side: str
    """``above``, ``below`` or ``off`` (either way from its middle)."""
    limit: float
    exposed: float
    """Share of the flights beyond the limit."""
    risk_beyond: float
    risk_within: float
    attributable: float
    """Share of the failures that would not have been with all flights within the limit."""
    strength: float
    """Difference of the two risks over the standard error of no difference."""

    def as_dict(self) -> dict[str, float | str]:
        """Return plain JSON-ready data."""
        return dict(vars(self))


def find_drivers(inputs: Mapping[str, Floats], failed: Flags, *, seed: int = 0, most: int = 3) -> tuple[Driver, ...]:
    """Return the inputs that failures hang on, strongest first.

    Parameters
    ----------
    inputs : mapping of name → array, shape (flights,)
        What was drawn for each flight, each input by itself.
    failed : array of bool, shape (flights,)
    seed : int
        Of the shuffles.
    most : int
        At most so many.

    Returns
    -------
    tuple of Driver
        Empty where failures (or flights without failure) are too few, or nothing stands out of chance.

    Notes
    -----
    Each input is cut at its tenths; the cut where the shares of failures differ most (in standard errors of no
    difference) speaks for it. Shuffling who failed tells how far the best of all inputs gets by chance alone; only
    what goes beyond all shuffles (one chance in fifty) is told. After the first, the search goes on among the flights
    within the limits found, so that two names of one cause do not both stand in the list.
    """
    found: list[Driver] = []
    within = np.ones(len(failed), dtype=bool)
    rng = np.random.default_rng([seed, len(failed)])
    left = dict(inputs)
    while len(found) < most and left:
        here = failed[within]
        if min(int(here.sum()), int((~here).sum())) < FEWEST:
            break
        best, noise = _best_cut({name: values[within] for name, values in left.items()}, here, rng)
        if best is None or best.strength <= noise:
            break
        found.append(_in_all(best, inputs[best.name], failed) if found else best)
        within &= ~_beyond(best, inputs[best.name])
        del left[best.name]
    return tuple(found)


def _beyond(driver: Driver, values: Floats) -> Flags:
    if driver.side == "above":
        return np.asarray(values > driver.limit)
    if driver.side == "below":
        return np.asarray(values < driver.limit)
    return np.asarray(np.abs(values) > driver.limit)


def _in_all(driver: Driver, values: Floats, failed: Flags) -> Driver:
    """Return a driver found among some flights with its shares counted over all of them."""
    beyond = _beyond(driver, values)
    share, there, rest = float(beyond.mean()), float(failed[beyond].mean()), float(failed[~beyond].mean())
    return Driver(
        driver.name, driver.side, driver.limit, share, there, rest, attributable_share(share, there, rest),
        driver.strength,
    )  # fmt: skip


def _best_cut(inputs: Mapping[str, Floats], failed: Flags, rng: np.random.Generator) -> tuple[Driver | None, float]:
    """Return the strongest cut of any input, and how strong the strongest is by chance alone."""
    flights = len(failed)
    records = np.empty((flights, SHUFFLES + 1), dtype=np.float32)
    records[:, 0] = failed
    for column in range(1, SHUFFLES + 1):
        records[:, column] = rng.permutation(records[:, 0])
    failures = float(failed.sum())
    chance = failures / flights
    strongest = np.full(SHUFFLES + 1, -np.inf)
    best: Driver | None = None
    for name, values in inputs.items():
        cuts = _cuts(values)
        if not cuts:
            continue
        masks = np.array([mask for _, _, mask in cuts], dtype=np.float32)
        beyond = masks.sum(axis=1)[:, None]
        hits = masks @ records
        spread = np.sqrt(chance * (1.0 - chance) * (1.0 / beyond + 1.0 / (flights - beyond)))
        strength = (hits / beyond - (failures - hits) / (flights - beyond)) / spread
        if strength[:, 0].max() > strongest[0]:
            place = int(strength[:, 0].argmax())
            side, limit, _ = cuts[place]
            share = float(beyond[place, 0]) / flights
            there = float(hits[place, 0] / beyond[place, 0])
            rest = float((failures - hits[place, 0]) / (flights - beyond[place, 0]))
            caused = attributable_share(share, there, rest)
            best = Driver(name, side, limit, share, there, rest, caused, float(strength[place, 0]))
        strongest = np.maximum(strongest, strength.max(axis=0))
    return best, float(strongest[1:].max())


def _cuts(values: Floats) -> list[tuple[str, float, Flags]]:
    """Return the cuts of an input: side, limit, and which flights lie beyond."""
    shares = np.arange(1, SPLITS + 1) / (SPLITS + 1)
    cuts: list[tuple[str, float, Flags]] = []
    for side, measure in (("above", values), ("below", values), ("off", np.abs(values))):
        if side == "off" and not (values.min() < 0.0 < values.max()):
            continue
        for limit in np.unique(np.quantile(measure, shares)):
            beyond = measure < limit if side == "below" else measure > limit
            if 0 < int(beyond.sum()) < len(values):
                cuts.append((side, float(limit), beyond))
    return cuts
