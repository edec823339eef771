"""The power train of an aeroplane: match, heat over a flight plan, energy, fail-safe, alarms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import rotorwright
from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.batch import Progress
from rotorwright.studies.balance_quantities import Reader, design_support, read_quantities
from rotorwright.studies.evaluate import fly
from rotorwright.studies.held_flight import level_or_held
from rotorwright.studies.power_match import Match, match

SCHEMA = 1
READ = ("level_speed", "level_throttle", "level_thrust", "thrust_to_spare", "level_power", "level_current",
        "full_throttle_thrust", "full_throttle_power", "full_throttle_current", "full_throttle_voltage", "endurance",
        "best_climb")  # fmt: skip
"""Quantities of a balance that the power story needs."""


@dataclass(frozen=True)
class PowerStory:
    """Everything that `power` answers."""

    aeroplane: Aeroplane
    quantities: dict[str, Quantity]
    match: Match
    notes: tuple[str, ...]
    samples: int
    seed: int

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "schema": SCHEMA,
            "rotorwright": rotorwright.__version__,
            "aircraft": {
                "name": self.aeroplane.name,
                "file": self.aeroplane.source,
                "revision": self.aeroplane.revision,
            },
            "conditions": {"samples": self.samples, "seed": self.seed},
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": None,
            "match": match_document(self.match),
            "warnings": list(self.notes),
        }


def match_document(found: Match) -> dict[str, Any]:
    """Return the curves and limits of a match as plain data."""
    return {
        "airspeed": {"unit": "m/s", "values": list(found.airspeed)},
        "curves": {
            curve.name: {
                "unit": curve.unit,
                "nominal": list(curve.nominal),
                "low": list(curve.low),
                "high": list(curve.high),
            }
            for curve in found.curves
        },
        "level_share": list(found.level_share),
        "trimmed_by": found.trimmed_by,
        "limits_at_full_throttle": [
            {"airspeed": speed, "part": limit.part, "what": limit.what, "limit": limit.limit, "unit": limit.unit,
             "used": used}
            for speed, limit, used in found.nominal_limits
        ],
    }  # fmt: skip


def power(
    aeroplane: Aeroplane,
    *,
    samples: int = 64,
    seed: int = 0,
    nominal_only: bool = False,
    progress: Progress | None = None,
) -> PowerStory:
    """Tell the power story of an aeroplane.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    samples, seed : int
        Samples of the Unknowns behind the bands, at most 1024, and the seed that shifts them.
    nominal_only : bool
        Fly the median of every Unknown only.
    progress : callable, optional
        Called with (steps done, steps in all).

    Returns
    -------
    PowerStory

    Raises
    ------
    InputError
        If the aeroplane has no thruster, or no balance at any speed was found for it.
    """
    if not aeroplane.tables.thruster:
        raise InputError("has no thruster, so there is nothing to match", place=aeroplane.source, field="thruster")
    flown = fly(aeroplane, samples=0 if nominal_only else samples, seed=seed)
    level = level_or_held(flown)
    if level is None:
        raise InputError(
            "no balance was found at any speed, not even with more thrust: ask `rotorwright balance` first",
            place=aeroplane.source,
        )
    reader = Reader(flown, design_support(flown))
    read = read_quantities(flown)
    found = match(reader, level)
    quantities = {name: read[name] for name in READ} | found.quantities
    if progress is not None:
        progress(1, 1)
    return PowerStory(aeroplane, quantities, found, (), flown.samples, seed)
