"""Every design number of an aeroplane with the step a maker would take: 10 mm, 50 g, one cell, one disc, 1°.

A step is a round number in the unit that stands in the file. What hangs together in the workshop moves together: discs
grow with their rotor, a told battery mass goes with cells and capacity.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from rotorwright.base.errors import InputProblems
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fields import dimension_of
from rotorwright.studies.levers import INCH, Lever, levers_of
from rotorwright.studies.shake_fixes import STOCK

DEGREE = math.pi / 180.0
TENTH_INCH = 0.1 * INCH
LONGEST_SHED, SMALLEST_SHED = 0.05, 0.05
"""A mass step: 50 g, or this share of a lighter aeroplane."""
SHARE_OF_SIZE = 0.05
"""A length steps by a round number near this share of it, 10 mm where that fits."""
MOVE = {"x": 0.02, "z": 0.01}
MOVE_WORDS = {"x": ("forward", "aft"), "z": ("down", "up")}
SIZES = {
    "rotor": ("span", "diameter", "discs.diameter", "overlap"),
    "surface": ("span", "chord"),
    "body": ("length", "width", "height"),
    "wheel": ("diameter",),
    "strut": ("diameter",),
}
RATIOS = {
    "drive": ("ratio", "speed", "motor.speed_constant", "motor.resistance"),
    "thruster": ("motor.speed_constant", "motor.resistance", "exit_area"),
    "battery": ("resistance", "wiring_resistance"),
    "rotor": ("bearing_torque",),
}
"""Numbers that come from a shelf or a setting: a tenth up or down."""
ANGLES = {"surface": ("incidence", "control.travel"), "thruster": ("tilt",)}
THICKNESSES = {"rotor": ("discs.thickness", "skin.thickness"), "surface": ("thickness",), "body": ("thickness",)}
MOVED = ("rotor", "thruster", "battery", "surface", "item", "drive")
FIRST_KEPT = ("propeller", "discs.count", "cells")
"""Whole steps that `rotorwright.studies.levers.levers_of` already takes as a maker would."""


def every_lever(aeroplane: Aeroplane) -> list[Lever]:
    """Return a lever for every design number, both ways where both make sense, in the order of the file's parts."""
    found = [lever for lever in levers_of(aeroplane) if lever.field.endswith(FIRST_KEPT)]
    for kind in ("rotor", "drive", "thruster", "battery", "surface", "body", "strut", "wheel", "item"):
        for name, part in getattr(aeroplane.tables, kind).items():
            found += _part(aeroplane, kind, f"{kind}.{name}", part)
    found += _whole(aeroplane)
    return found


def _part(aeroplane: Aeroplane, kind: str, field: str, part: Any) -> Iterator[Lever]:
    for name in SIZES.get(kind, ()):
        yield from _sized(aeroplane, f"{field}.{name}", part if name == "diameter" and kind == "rotor" else None)
    for name in THICKNESSES.get(kind, ()):
        yield from _stepped(aeroplane, f"{field}.{name}", 0.001)
    for name in RATIOS.get(kind, ()):
        yield from _tenth(aeroplane, f"{field}.{name}")
    for name in ANGLES.get(kind, ()):
        yield from _stepped(
            aeroplane, f"{field}.{name}", (5.0 if name == "control.travel" else 1.0) * DEGREE, zero=True
        )
    if kind == "battery":
        yield from _pack(aeroplane, field, part)
    if kind == "rotor":
        yield from _rotor(aeroplane, field, part)
    if kind == "item":
        yield from _lighter(aeroplane, field, part)
    if kind in MOVED:
        for axis in MOVE:
            yield from _moved(aeroplane, field, axis)


def _told(aeroplane: Aeroplane, field: str) -> float | None:
    """Return a number of the completed aeroplane, or None where it has none."""
    try:
        value = aeroplane.value(field)
    except InputProblems:
        return None
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None


def _inches(aeroplane: Aeroplane, field: str) -> bool:
    return dimension_of(field) == "length" and aeroplane.echo(field).endswith((" in", '"', " ft", "inch"))


def round_step(wanted: float, unit: float = 1.0) -> float:
    """Return the round number (1, 2 or 5 times a power of ten of ``unit``) not above what is wanted."""
    share = max(wanted / unit, 1.0e-9)
    power = 10.0 ** math.floor(math.log10(share) + 1.0e-9)
    return unit * max(step * power for step in (1.0, 2.0, 5.0) if step * power <= share * 1.0000001)


def _label(aeroplane: Aeroplane, field: str, new: float, note: str = "") -> str:
    owner, what = " ".join(field.split(".")[:2]), " ".join(field.split(".")[2:]).replace("_", " ")
    return f"{owner}: {what} {aeroplane.echo(field)} → {aeroplane.echo(field, new)}{note}"


def _two_ways(aeroplane: Aeroplane, field: str, step: float, *, zero: bool = False) -> Iterator[Lever]:
    value = _told(aeroplane, field)
    if value is None:
        return
    for sense in (1.0, -1.0):
        new = float(f"{value + sense * step:.9g}")
        if new > 0.0 or zero:
            yield Lever(field, _label(aeroplane, field, new), ((field, new),))


def _stepped(aeroplane: Aeroplane, field: str, step: float, *, zero: bool = False) -> Iterator[Lever]:
    value = _told(aeroplane, field)
    if value is None or (value == 0.0 and not zero):
        return
    if not zero and step > 0.5 * value:
        step = round_step(0.5 * value, TENTH_INCH if _inches(aeroplane, field) else 0.001)
    yield from _two_ways(aeroplane, field, step, zero=zero)


def _sized(aeroplane: Aeroplane, field: str, rotor: Any = None) -> Iterator[Lever]:
    """Yield a length a step longer and shorter; discs grow with a rotor's diameter."""
    value = _told(aeroplane, field)
    if value is None or value <= 0.0:
        return
    step = round_step(SHARE_OF_SIZE * value, TENTH_INCH if _inches(aeroplane, field) else 0.001)
    if not _inches(aeroplane, field) and 0.08 <= value <= 0.3:
        step = 0.01
    for lever in _two_ways(aeroplane, field, step):
        new = lever.changes[0][1]
        if rotor is not None and rotor.discs is not None:
            discs = (f"{field.rsplit('.', 1)[0]}.discs.diameter", float(f"{rotor.discs.diameter * new / value:.6g}"))
            yield Lever(field, f"{lever.label}, discs with it", (*lever.changes, discs))
        else:
            yield lever


def _tenth(aeroplane: Aeroplane, field: str) -> Iterator[Lever]:
    value = _told(aeroplane, field)
    if value is None or value <= 0.0:
        return
    for factor in (1.1, 0.9):
        new = float(f"{value * factor:.3g}")
        yield Lever(field, _label(aeroplane, field, new), ((field, new),))


def _moved(aeroplane: Aeroplane, field: str, axis: str) -> Iterator[Lever]:
    place = f"{field}.position.{axis}"
    value = _told(aeroplane, place)
    if value is None:
        return
    step = round_step(MOVE[axis], 5.0 * TENTH_INCH) if _inches(aeroplane, place) else MOVE[axis]
    for sense, word in ((-1.0, MOVE_WORDS[axis][0]), (1.0, MOVE_WORDS[axis][1])):
        way = f"{step / INCH:g} in" if _inches(aeroplane, place) else f"{1000.0 * step:g} mm"
        label = f"{' '.join(field.split('.'))}: {way} {word}"
        yield Lever(place, label, ((place, float(f"{value + sense * step:.9g}")),))


def _pack(aeroplane: Aeroplane, field: str, battery: Any) -> Iterator[Lever]:
    """Yield a pack a fifth larger or smaller, and one cell less; a told mass goes with it."""
    capacity = f"{field}.capacity"
    for factor in (1.2, 0.8):
        new = float(f"{battery.capacity * factor:.3g}")
        changes: list[tuple[str, Any]] = [(capacity, new)]
        if battery.mass is not None:
            changes.append((f"{field}.mass", float(f"{battery.mass * new / battery.capacity:.6g}")))
        yield Lever(capacity, _label(aeroplane, capacity, new, ", mass with it"), tuple(changes))
    series, parallel = battery.cells.series, battery.cells.parallel
    if series > 1:
        text = f"{series - 1}S" + (f"{parallel}P" if parallel > 1 else "")
        fewer: list[tuple[str, Any]] = [(f"{field}.cells", text)]
        if battery.mass is not None:
            fewer.append((f"{field}.mass", float(f"{battery.mass * (series - 1) / series:.6g}")))
        owner = " ".join(field.split("."))
        yield Lever(f"{field}.cells", f"{owner}: {series}S → {series - 1}S, mass with it", tuple(fewer))


def _rotor(aeroplane: Aeroplane, field: str, rotor: Any) -> Iterator[Lever]:
    """Yield the next tube of the shelf, thicker and thinner."""
    tube = rotor.shaft.tube
    if tube is None:
        return
    outer, inner = 1000.0 * tube.outer, 1000.0 * tube.inner
    thicker = [size for size in STOCK if size[0] > outer + 0.5 and size[0] < 500.0 * rotor.diameter]
    thinner = [size for size in STOCK if size[0] < outer - 0.5]
    words = tube.words or "carbon"
    for size in (*thicker[:1], *thinner[-1:]):
        text = f"{words} {size[0]:g}x{size[1]:g} mm"
        label = f"{' '.join(field.split('.'))}: tube {outer:g}x{inner:g} → {size[0]:g}x{size[1]:g} mm"
        changes: list[tuple[str, Any]] = [(f"{field}.shaft.tube", text), (f"{field}.shaft.bearings", None)]
        yield Lever(f"{field}.shaft.tube", f"{label}, bearings to match", tuple(changes))


def _lighter(aeroplane: Aeroplane, field: str, item: Any) -> Iterator[Lever]:
    step = round_step(min(LONGEST_SHED, 0.5 * item.mass), 0.001)
    if step >= 0.001:
        place = f"{field}.mass"
        new = float(f"{item.mass - step:.9g}")
        yield Lever(place, _label(aeroplane, place, new), ((place, new),))


def _whole(aeroplane: Aeroplane) -> Iterator[Lever]:
    from rotorwright.design.mass_rows import total_mass

    step = min(LONGEST_SHED, round_step(SMALLEST_SHED * total_mass(aeroplane.tables), 0.001))
    grams = f"{1000.0 * step:g} g" if not _ounces(aeroplane) else f"{1000.0 * step / 28.349523125:.2g} oz"
    yield Lever("mass", f"{grams} less at the balance point", (), shed=step)
    yield Lever("mass", f"{grams} more at the balance point", (), shed=-step)


def _ounces(aeroplane: Aeroplane) -> bool:
    masses = [aeroplane.echo(f"item.{name}.mass") for name in aeroplane.tables.item]
    return sum(text.endswith((" oz", " lb")) for text in masses) > len(masses) / 2
