"""Changes that take the heat away: each is flown and warmed like the aeroplane itself before it is offered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.errors import InputProblems
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.evaluate import fly
from rotorwright.studies.heat_plan import HeatBench, HeatStory, heat_story
from rotorwright.studies.held_flight import level_or_held
from rotorwright.studies.power_plan import Phase

INCH = 0.0254
ENOUGH = 60.0
"""Full throttle that any flight should bear from the warmth of level flight [s] (judgement)."""
LARGER = 1.4
"""The next size of motor or pack by mass."""


@dataclass(frozen=True)
class Fix:
    """One change and what it does, every Unknown at its median."""

    words: str
    changes: tuple[tuple[str, Any], ...]
    cooling: str
    removes: bool
    """Whether nothing passes its stop limit any more, in the plan or within a minute of full throttle."""
    margin: float
    """Of the warmest part to its limit over the plan [K]."""
    full_time: float | None
    """Full throttle from level warmth [s]; None: as long as the pack lasts."""
    reserve_change: float
    """Thrust left after the reserve, against the aeroplane as it is [N]."""
    reserve: float
    """Thrust left after the reserve [N]."""


def too_hot(story: HeatStory) -> bool:
    """Return whether the nominal case passes a stop limit in the plan, or within a minute of full throttle."""
    limit = story.full_time.nominal
    return story.margin < 0.0 or (limit is not None and limit < ENOUGH)


def fixes(aeroplane: Aeroplane, plan: tuple[Phase, ...], cooling: str, reserve: float) -> tuple[Fix, ...]:
    """Return changes that may take the heat away, best first.

    Parameters
    ----------
    aeroplane : Aeroplane
    plan : tuple of Phase
    cooling : str
        As it is: open, vented or closed.
    reserve : float
        Thrust left after the reserve as it is [N], nominal.

    Returns
    -------
    fixes : tuple of Fix
        Those that remove the trouble and keep the reserve first, then by thrust left.
    """
    found = []
    for words, changes, air in _candidates(aeroplane, cooling):
        try:
            variant = aeroplane.changed(dict(changes)) if changes else aeroplane
        except InputProblems:
            continue  # a change that the aircraft file does not allow is no offer
        flown = fly(variant, samples=0, few=True)
        level = level_or_held(flown)
        if level is None:
            continue
        bench = HeatBench(flown, level, air)
        story = heat_story(bench, Reader(flown, "between data"), plan)
        left = float(flown.envelope.figures["reserve_surplus"][0])
        left = left if np.isfinite(left) else -1.0e3
        found.append(
            Fix(words, changes, air, not too_hot(story), story.margin, story.full_time.nominal, left - reserve, left)
        )
    return tuple(sorted(found, key=lambda fix: (not fix.removes, fix.reserve < min(reserve, 0.0), -fix.reserve)))


def _candidates(aeroplane: Aeroplane, cooling: str) -> Iterator[tuple[str, tuple[tuple[str, Any], ...], str]]:
    """Yield words, changes of the file and way of cooling."""
    if cooling != "open":
        better = {"closed": "vented", "vented": "open"}[cooling]
        words = {"vented": "an inlet with an outlet half as large again", "open": "controller and pack in the open air"}
        yield words[better], (), better
    for name, thruster in aeroplane.tables.thruster.items():
        field = f"thruster.{name}"
        motor = thruster.motor
        if thruster.propeller is not None:
            diameter, pitch = thruster.propeller.diameter / INCH, thruster.propeller.pitch / INCH
            for new in ((diameter - 1.0, pitch), (diameter, pitch - 1.0)):
                if new[0] >= 3.0 and 0.25 <= new[1] / new[0] <= 1.2:
                    yield (
                        f"{name}: propeller {diameter:g}x{pitch:g} → {new[0]:g}x{new[1]:g}",
                        ((f"{field}.propeller", f"{new[0]:g}x{new[1]:g}"),),
                        cooling,
                    )
        grown = float(f"{motor.mass * LARGER:.2g}")
        share = grown / motor.mass
        changes: list[tuple[str, Any]] = [(f"{field}.motor.mass", grown)]
        if motor.resistance is not None:
            changes.append((f"{field}.motor.resistance", float(f"{motor.resistance / share**2:.3g}")))
        if motor.no_load_current is not None:
            changes.append((f"{field}.motor.no_load_current", float(f"{motor.no_load_current * share:.3g}")))
        if motor.current_limit is not None:
            changes.append((f"{field}.motor.current_limit", float(f"{motor.current_limit * share:.3g}")))
        yield (
            f"{name}: motor of the same speed constant, {1000 * motor.mass:.0f} → {1000 * grown:.0f} g",
            tuple(changes),
            cooling,
        )
        slower = float(f"{motor.speed_constant * 0.9:.3g}")
        wound: list[tuple[str, Any]] = [(f"{field}.motor.speed_constant", slower)]
        if motor.resistance is not None:
            wound.append((f"{field}.motor.resistance", float(f"{motor.resistance / 0.81:.3g}")))
        yield f"{name}: same motor wound 10 % slower", tuple(wound), cooling
        controller = thruster.controller
        if controller.current_limit is not None:
            larger = float(f"{controller.current_limit * 1.5:.2g}")
            mass = (controller.mass or 0.02) * 1.4
            yield (
                f"{name}: controller {controller.current_limit:.0f} → {larger:.0f} A",
                ((f"{field}.controller.current_limit", larger), (f"{field}.controller.mass", float(f"{mass:.2g}"))),
                cooling,
            )
    for name, battery in aeroplane.tables.battery.items():
        field = f"battery.{name}"
        more: list[tuple[str, Any]] = [(f"{field}.capacity", float(f"{battery.capacity * LARGER:.3g}"))]
        if battery.mass is not None:
            more.append((f"{field}.mass", float(f"{battery.mass * LARGER:.3g}")))
        if battery.current_limit is not None:
            more.append((f"{field}.current_limit", float(f"{battery.current_limit * LARGER:.3g}")))
        yield f"{name}: pack of {LARGER:g} times the capacity and mass", tuple(more), cooling
