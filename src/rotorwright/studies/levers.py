"""One change at a time: what each natural step of a design number buys in thrust to spare and in chances.

Each lever is a change of the described aeroplane (so a bigger rotor is heavier by itself where masses are computed);
every changed aeroplane meets the same samples of the Unknowns, so that differences are not noise.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputProblems
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.studies.evaluate import Flown, fly, fly_each
from rotorwright.studies.verdict import probability_of_flight

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Lever:
    """A natural step of one design number."""

    field: str
    label: str
    changes: tuple[tuple[str, Any], ...]
    """Dotted fields with new SI values."""
    shed: float = 0.0
    """Mass taken off at the centre of gravity [kg]."""


@dataclass(frozen=True)
class LeverResult:
    """What a lever did: more reserve [N] in the nominal case and in the median, and the probability after it."""

    lever: Lever
    surplus_gain: float
    median_gain: float
    probability: float | None


INCH = 0.0254
SAMPLED_LEVERS = 6
"""How many of the levers that gain most in the nominal case are flown with samples."""
UNTRIMMED_PENALTY = 0.3
"""An aeroplane whose nose cannot be held ranks below one that is short of thrust by this share of its weight."""


def levers_of(aeroplane: Aeroplane) -> list[Lever]:
    """Return the levers of an aeroplane: natural steps in the direction a maker would try, and the opposite of some."""
    found: list[Lever] = []
    for name, rotor in aeroplane.tables.rotor.items():
        found += _rotor_levers(aeroplane, f"rotor.{name}", rotor)
    for name, drive in aeroplane.tables.drive.items():
        if drive.speed is not None:
            found += _scaled(aeroplane, f"drive.{name}.speed", (1.1, 0.9), "rotor speed")
        found += _scaled(aeroplane, f"drive.{name}.ratio", (1.15, 0.87), "drive ratio")
    for name, thruster in aeroplane.tables.thruster.items():
        found += _thruster_levers(aeroplane, f"thruster.{name}", thruster)
    for name, battery in aeroplane.tables.battery.items():
        found.append(_one_more_cell(aeroplane, f"battery.{name}", battery))
        found += _scaled(aeroplane, f"battery.{name}.capacity", (0.7, 1.3), "capacity")
        found += _moved(aeroplane, f"battery.{name}", "x", 0.03)
    for name, surface in aeroplane.tables.surface.items():
        if surface.kind in ("wing", "tailplane"):
            found += _scaled(aeroplane, f"surface.{name}.span", (1.1, 0.9), "span")
    mass = _round_step(0.05 * _mass(aeroplane))
    found.append(Lever("mass", f"shed {mass * 1000:.0f} g", (), shed=mass))
    return found


def _mass(aeroplane: Aeroplane) -> float:
    from rotorwright.design.fill import fill

    return float(fill(aeroplane).masses["mass"].sum())


def _round_step(mass: float) -> float:
    """Return a round mass (1, 2 or 5 times a power of ten) not above ``mass``."""
    power = 10.0 ** math.floor(math.log10(max(mass, 1.0e-4)))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= mass * 1.0000001)


def _label(aeroplane: Aeroplane, field: str, what: str, new: float) -> str:
    owner = " ".join(field.split(".")[:2])
    return f"{owner}: {what} {aeroplane.echo(field)} → {aeroplane.echo(field, new)}"


def _scaled(aeroplane: Aeroplane, field: str, factors: tuple[float, ...], what: str) -> Iterator[Lever]:
    value = aeroplane.value(field)
    if not isinstance(value, float) or value == 0.0:
        return
    for factor in factors:
        new = float(f"{value * factor:.3g}")
        yield Lever(field, _label(aeroplane, field, what, new), ((field, new),))


def _moved(aeroplane: Aeroplane, field: str, axis: str, step: float) -> Iterator[Lever]:
    """Yield moves of a part along one axis, both ways, if its place is told."""
    place = f"{field}.position.{axis}"
    try:
        value = aeroplane.value(place)
    except InputProblems:
        return
    if not isinstance(value, float):
        return
    words = {"x": ("forward", "aft"), "y": ("left", "right"), "z": ("down", "up")}[axis]
    owner = " ".join(field.split("."))
    for sense, word in ((-1.0, words[0]), (1.0, words[1])):
        label = f"{owner}: {step * 1000:.0f} mm {word}"
        yield Lever(place, label, ((place, round(value + sense * step, 6)),))


def _rotor_levers(aeroplane: Aeroplane, field: str, rotor: Any) -> list[Lever]:
    found = list(_scaled(aeroplane, f"{field}.span", (1.1, 0.9), "span"))
    for factor in (1.1, 0.9):
        new = float(f"{rotor.diameter * factor:.3g}")
        changes = [(f"{field}.diameter", new)]
        if rotor.discs is not None:
            changes.append((f"{field}.discs.diameter", float(f"{rotor.discs.diameter * factor:.3g}")))
        label = _label(aeroplane, f"{field}.diameter", "diameter", new)
        if rotor.discs is not None:
            label += ", discs with it"
        found.append(Lever(f"{field}.diameter", label, tuple(changes)))
    if rotor.discs is not None:
        found += _scaled(aeroplane, f"{field}.discs.diameter", (1.15, 0.87), "disc diameter")
        for count in (rotor.discs.count + 1, rotor.discs.count - 1):
            if count >= 2:
                owner = " ".join(field.split("."))
                label = f"{owner}: {rotor.discs.count} → {count} discs"
                found.append(Lever(f"{field}.discs.count", label, ((f"{field}.discs.count", count),)))
    found += _moved(aeroplane, field, "z", max(round(0.12 * rotor.diameter, 2), 0.01))
    found += _moved(aeroplane, field, "x", max(round(0.12 * rotor.diameter, 2), 0.01))
    if rotor.bearing_torque is not None and rotor.bearing_torque > 0.0:
        found += _scaled(aeroplane, f"{field}.bearing_torque", (0.5,), "bearing friction")
    return found


def _thruster_levers(aeroplane: Aeroplane, field: str, thruster: Any) -> list[Lever]:
    found: list[Lever] = []
    owner = " ".join(field.split("."))
    propeller = getattr(thruster, "propeller", None)
    if propeller is not None:
        diameter, pitch = propeller.diameter / INCH, propeller.pitch / INCH
        letters = f" {propeller.letters}" if propeller.letters else ""
        for new in ((diameter + 1.0, pitch), (diameter, pitch + 1.0), (diameter - 1.0, pitch), (diameter, pitch - 1.0)):
            if new[0] >= 3.0 and 0.25 <= new[1] / new[0] <= 1.2:
                text = f"{new[0]:g}x{new[1]:g}{letters}"
                label = f"{owner}: propeller {diameter:g}x{pitch:g}{letters} → {text}"
                found.append(Lever(f"{field}.propeller", label, ((f"{field}.propeller", text),)))
    found += _moved(aeroplane, field, "z", 0.02)
    constant = f"{field}.motor.speed_constant"
    found += _scaled(aeroplane, constant, (1.15, 0.87), "motor")
    return found


def _one_more_cell(aeroplane: Aeroplane, field: str, battery: Any) -> Lever:
    series = battery.cells.series
    parallel = battery.cells.parallel
    text = f"{series + 1}S" + (f"{parallel}P" if parallel > 1 else "")
    owner = " ".join(field.split("."))
    changes: list[tuple[str, Any]] = [(f"{field}.cells", text)]
    if battery.mass is not None:
        changes.append((f"{field}.mass", battery.mass * (series + 1) / series))
    return Lever(f"{field}.cells", f"{owner}: {series}S → {series + 1}S, {100 / series:.0f} % heavier", tuple(changes))


def pull(
    flown: Flown, *, samples: int = 64, seed: int = 0, progress: Progress | None = None
) -> tuple[LeverResult, list[LeverResult]]:
    """Pull every lever of an aeroplane, one at a time: all of them nominally, the most promising with samples.

    Parameters
    ----------
    flown : Flown
        The aeroplane as it is (any grid).
    samples, seed : int
        Samples behind the probabilities; 0 for a nominal run.
    progress : callable, optional
        Called with (levers done, levers in all).

    Returns
    -------
    base : LeverResult
        The aeroplane unchanged, with the chance of its verdict.
    results : list of LeverResult
        The most promising levers that the aircraft file allows (all of them in a nominal run), best first.
    """
    aeroplane = flown.aeroplane
    levers, changed = _possible(aeroplane)
    gains = _nominal_gains(aeroplane, levers, changed)
    tried = sorted(zip(gains, levers, changed, strict=True), key=lambda entry: -entry[0])
    base = fly(aeroplane, samples=samples, seed=seed, few=True, thorough=False)
    chance = probability_of_flight(flown)
    unchanged = LeverResult(Lever("", "as it is", ()), 0.0, 0.0, chance)
    if not samples:
        return unchanged, [LeverResult(lever, gain, gain, None) for gain, lever, _ in tried]
    results = []
    chosen = _worth_sampling(tried)
    for done, (_, lever, variant) in enumerate(chosen):
        there = fly(variant, samples=samples, seed=seed, few=True, thorough=False, shed=lever.shed)
        results.append(_compare(lever, base, there, chance))
        if progress is not None:
            progress(done + 1, len(chosen))
    return unchanged, results


def _possible(aeroplane: Aeroplane) -> tuple[list[Lever], list[Aeroplane]]:
    """Return the levers that the aircraft file allows, and the changed aeroplanes."""
    levers: list[Lever] = []
    changed: list[Aeroplane] = []
    for lever in levers_of(aeroplane):
        try:
            variant = aeroplane.changed(dict(lever.changes)) if lever.changes else aeroplane
        except InputProblems:
            continue  # a step the aircraft file does not allow is no lever
        levers.append(lever)
        changed.append(variant)
    return levers, changed


def _nominal_gains(aeroplane: Aeroplane, levers: list[Lever], changed: list[Aeroplane]) -> list[float]:
    """Return what every lever gains in the nominal case [N]; aeroplanes with the same parts fly together."""
    sheds = [0.0, *(lever.shed for lever in levers)]
    flown = fly_each([aeroplane, *changed], sheds, thorough=False)
    before, *after = (float(reserve_of(each)[0]) for each in flown)
    return [there - before for there in after]


def _worth_sampling(tried: list[tuple[float, Lever, Aeroplane]]) -> list[tuple[float, Lever, Aeroplane]]:
    """Return the levers that gain most in the nominal case, the best of each field, at most `SAMPLED_LEVERS`."""
    best: dict[str, tuple[float, Lever, Aeroplane]] = {}
    for entry in tried:
        best.setdefault(entry[1].field, entry)
    return [entry for entry in best.values() if entry[0] > 0.0][:SAMPLED_LEVERS]


def _compare(lever: Lever, before: Flown, after: Flown, chance: float | None) -> LeverResult:
    """Return what a lever did; its chance is the verdict's own, moved by what the short grid moves."""
    gain = reserve_of(after) - reserve_of(before)
    moved = None
    short, long = probability_of_flight(before), probability_of_flight(after)
    if chance is not None and short is not None and long is not None:
        moved = min(max(chance + long - short, 0.0), 1.0)
    return LeverResult(lever, float(gain[0]), float(np.median(gain)), moved)


def reserve_of(flown: Flown) -> npt.NDArray[np.float64]:
    """Return the thrust left after the reserve, less the price of flying off neutral, of every case [N].

    It exists for every aeroplane: one whose nose cannot be held counts as short by a share of its weight on top.
    """
    figures, weight = flown.envelope.figures, flown.numbers.vehicle["mass"] * flown.numbers.air["gravity"]
    untrimmed = figures["untrimmed_surplus"] - UNTRIMMED_PENALTY * weight
    worst = np.where(np.isfinite(untrimmed), np.minimum(untrimmed, -UNTRIMMED_PENALTY * weight), -weight)
    return np.where(np.isfinite(figures["reserve_score"]), figures["reserve_score"], worst)
