"""The power train of an aeroplane: match, heat over a flight plan, energy, fail-safe, alarms."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.batch import Progress
from rotorwright.flight.envelope import LEVEL
from rotorwright.studies.balance_quantities import Reader, design_support, read_quantities
from rotorwright.studies.document_head import head
from rotorwright.studies.endurance_pack import PackSizes, pack_sizes
from rotorwright.studies.evaluate import fly
from rotorwright.studies.fail_safe import FailSafe, fail_safe
from rotorwright.studies.heat_plan import HeatBench, HeatStory, heat_story
from rotorwright.studies.heat_plan_materials import Softening, softening
from rotorwright.studies.held_flight import level_or_held
from rotorwright.studies.power_classes import Class, class_of, read_classes
from rotorwright.studies.power_fixes import Fix, fixes, too_hot
from rotorwright.studies.power_match import Match, match
from rotorwright.studies.power_plan import default_plan, read_plan

SCHEMA = 1
READ = ("level_speed", "level_throttle", "level_thrust", "thrust_to_spare", "level_power", "level_current",
        "full_throttle_thrust", "full_throttle_power", "full_throttle_current", "full_throttle_voltage", "endurance",
        "best_climb", "mass", "reserve_thrust")  # fmt: skip
"""Quantities of a balance that the power story needs."""


@dataclass(frozen=True)
class PowerStory:
    """Everything that `power` answers."""

    aeroplane: Aeroplane
    quantities: dict[str, Quantity]
    match: Match
    heat: HeatStory
    softening: tuple[Softening, ...]
    packs: PackSizes
    fail_safe: FailSafe
    fixes: tuple[Fix, ...]
    """Changes that may take the heat away; empty if nothing gets too hot."""
    classes: tuple[Class, ...]
    """Mass class and power class it falls into, with what they ask."""
    classes_note: str
    samples: int
    seed: int

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            **head(self.aeroplane, {"samples": self.samples, "seed": self.seed, "cooling": self.heat.cooling}, SCHEMA),
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": None,
            "match": match_document(self.match),
            "heat": heat_document(self.heat, self.softening),
            "fixes": [
                {"change": fix.words, "fields": dict(fix.changes), "cooling": fix.cooling, "removes": fix.removes,
                 "margin": fix.margin, "full_throttle_time": fix.full_time, "reserve_thrust": fix.reserve}
                for fix in self.fixes
            ],
            "pack_sizes": [
                {"mass": mass, "endurance": endurance.as_dict(), "thrust_to_spare": spare.as_dict()}
                for mass, endurance, spare in zip(
                    self.packs.mass, self.packs.endurance, self.packs.spare, strict=True
                )
            ],
            "classes": [
                {"kind": each.kind, "name": each.name, "up_to": each.up_to, "asks": each.asks, "source": each.source}
                for each in self.classes
            ],
            "warnings": [*self.heat.warmed.weak, self.classes_note],
        }  # fmt: skip


def heat_document(story: HeatStory, softening_rows: tuple[Softening, ...]) -> dict[str, Any]:
    """Return a plan run through, and what softens, as plain data; temperatures of the nominal case and their band."""
    warmed = story.warmed
    low, high = (np.nanquantile(warmed.history, share, axis=0) for share in (0.1, 0.9))
    nodes = len(warmed.nodes)
    return {
        "plan": [
            {"phase": phase.words, "duration": phase.duration, "energy": float(np.median(warmed.energy[:, k]))}
            for k, phase in enumerate(warmed.phases)
        ],
        "hottest": story.hottest.words,
        "margin": story.margin,
        "full_throttle_ends_with": None if story.full_limit is None else story.full_limit.words,
        "peaks": {words: quantity.as_dict() for words, quantity in story.peaks.items()},
        "time": list(warmed.history[0, :, 0]),
        "temperatures": {
            node.words: {
                "unit": "K",
                "nominal": list(warmed.history[0, :, 1 + k]),
                "low": list(low[:, 1 + k]),
                "high": list(high[:, 1 + k]),
            }
            for k, node in enumerate(warmed.nodes)
        },
        "charge": list(warmed.history[0, :, 1 + nodes :].min(axis=1)),
        "softening": [
            {"what": each.material.name, "where": each.material.where, "limit": each.material.limit,
             "low": each.material.low, "high": each.material.high, "source": each.material.source,
             "peak": each.peak.as_dict(), "reached_in_plan": each.in_plan, "at_full_throttle": each.at_full.as_dict()}
            for each in softening_rows
        ],
    }  # fmt: skip


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
    plan: str | None = None,
    cooling: str = "vented",
    classes: str | None = None,
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
    plan : str, optional
        Flight plan in words, see `rotorwright.studies.power_plan.read_plan`; without it an ordinary flight.
    cooling : str
        Of controller and packs: open, vented or closed.
    classes : str, optional
        File of mass and power classes instead of those that come with the program.
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
        If the aeroplane has no thruster, no balance at any speed was found for it, or an argument cannot be used.
    """
    if not aeroplane.tables.thruster:
        raise InputError("has no thruster, so there is nothing to match", place=aeroplane.source, field="thruster")
    told = None if plan is None else read_plan(plan)
    table = read_classes(classes)
    flown = fly(aeroplane, samples=0 if nominal_only else samples, seed=seed)
    level = level_or_held(flown)
    if level is None:
        raise InputError(
            "no balance was found at any speed, not even with more thrust: ask `rotorwright balance` first",
            place=aeroplane.source,
        )
    report = progress or (lambda done, of: None)
    report(1, 5)
    reader = Reader(flown, design_support(flown))
    read = read_quantities(flown)
    found = match(reader, level)
    report(2, 5)
    bench = HeatBench(flown, level, cooling)
    phases = told or default_plan(read["endurance"].nominal, aeroplane.reserve.climb)
    heat = heat_story(bench, reader, phases)
    soft = softening(bench, reader, heat.warmed)
    report(3, 5)
    packs = pack_sizes(reader, level)
    safe = fail_safe(reader, bench)
    report(4, 5)
    reserve = read["reserve_thrust"].nominal
    offers = fixes(aeroplane, phases, cooling, reserve if reserve is not None else 0.0) if too_hot(heat) else ()
    quantities = {name: read[name] for name in READ} | found.quantities | heat.quantities
    quantities |= plan_quantities(reader, heat) | packs.quantities | safe.quantities
    sustained = read["level_power"].nominal or 0.0
    mass = read["mass"].nominal or 0.0
    fallen = [class_of(table.mass, mass), class_of(table.power, sustained)]
    report(5, 5)
    return PowerStory(
        aeroplane, quantities, found, heat, soft, packs, safe, offers,
        tuple(each for each in fallen if each is not None), table.note, flown.samples, seed,
    )  # fmt: skip


def plan_quantities(reader: Reader, heat: HeatStory) -> dict[str, Quantity]:
    """Return how often the plan goes into one charge, and level flight left after it.

    Parameters
    ----------
    reader : Reader
    heat : HeatStory
    """
    usable = float(reader.flown.rows.batteries["usable"].min())
    used = 1.0 - heat.warmed.charge.min(axis=1)
    left = np.maximum(usable - used, 0.0)
    level = reader.flown.envelope.steady[:, LEVEL]
    endurance = np.where(level["status"] == 0, level["endurance"], np.nan)
    sources = heat.charge_left.sources
    why = "it cannot hold its height"
    return {
        "flights_per_charge": reader.quantity(usable / np.maximum(used, 1.0e-3), "1", sources),
        "reserve_time": reader.quantity(endurance * left / usable, "s", sources, why),
    }
