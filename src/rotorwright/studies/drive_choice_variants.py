"""The same aeroplane three ways: drum driven, vaned free, vaned driven; each drive sized to what its rotor asks."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.constants import RPM
from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.status import NOT_CONVERGED
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.aircraft_file import SI, build
from rotorwright.design.fill import fill
from rotorwright.design.places import rotor_places
from rotorwright.design.quick_start import CELL
from rotorwright.flight.envelope import LEVEL, UNTRIMMED
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.quick_start_shape import GOVERNED_SHARE, MOTOR_POWER

KINDS = ("drum driven", "vaned free", "vaned driven")
DISC_RATIOS = {"drum": 1.8, "vaned": 1.4}
"""Disc over rotor diameter as a quick start lays them out (judgement)."""
DRIVE_LOAD = 0.5
"""Share of what a motor stands for minutes that level flight may ask of a drive: the rest spins it up (judgement)."""
LIGHTEST_MOTOR = 0.012
"""[kg]"""
RIM_SPEEDS = (0.8, 1.1, 1.5, 2.0, 2.6, 3.3)
"""Rim speeds tried for a drive, over the level speed of the aeroplane as described."""
TAIL_ANGLES = tuple(math.radians(degrees) for degrees in (-15.0, -12.0, -9.0, -6.0, -3.0, 0.0, 3.0, 6.0))
"""Tailplane settings tried on a variant, against the aeroplane as described [rad]."""
ROUNDS = 3
TRIALS = 24
"""Samples behind the choice of a drive's speed and of a tailplane setting."""
KEPT = ("span", "diameter", "position", "mirror", "inner_end", "shaft", "skin", "bearing_torque", "bearing_drag")
"""What a rotor keeps when it becomes one of the other kind."""


@dataclass(frozen=True)
class Variant:
    """One way of turning the rotors, and what was done to get there."""

    kind: str
    aeroplane: Aeroplane
    described: bool
    """It stands in the file like this; nothing was changed."""
    changes: tuple[str, ...]


def kind_described(aeroplane: Aeroplane) -> str | None:
    """Return which of `KINDS` an aeroplane is, or None if its rotors differ in kind or drive."""
    kinds = {rotor.kind for rotor in aeroplane.tables.rotor.values()}
    free = {drive == "free" for _, drive, _ in rotor_places(aeroplane.tables)}
    if len(kinds) != 1 or len(free) != 1:
        return None
    name = f"{kinds.pop()} {'free' if free.pop() else 'driven'}"
    return name if name in KINDS else None


def variants_of(aeroplane: Aeroplane) -> tuple[Variant, ...]:
    """Return the aeroplane three ways, in the order of `KINDS`.

    Parameters
    ----------
    aeroplane : Aeroplane
        With at least one rotor and one battery.

    Raises
    ------
    InputError
        If there is no rotor to turn, or no battery to feed a drive.

    Notes
    -----
    Span, diameter, place, shaft, skin material, thrusters, batteries and everything else stay. Another kind gets the
    discs usual for it; a drive gets the speed that leaves most thrust after the reserve, and a motor of 2 W of its
    rating for every W of level flight; belt, mount and controller follow the catalogue's rules. The tailplane of a
    variant is set anew, as its maker would.
    """
    if not aeroplane.tables.rotor:
        raise InputError("describes no rotor", place=aeroplane.source)
    if not aeroplane.tables.battery:
        raise InputError("describes no battery that could feed a drive", place=aeroplane.source)
    already = kind_described(aeroplane)
    base_speed = _airspeed(fly(aeroplane, samples=0, few=True, thorough=False)) or 10.0
    found = []
    for kind in KINDS:
        if kind == already:
            found.append(Variant(kind, aeroplane, True, ()))
        else:
            found.append(_variant(aeroplane, kind, base_speed))
    return tuple(found)


def thrust_after_reserve(figures: Any, weight: Any) -> Any:
    """Return thrust left after the reserve [N]; a case whose nose cannot be held counts as short by 0.3 weights."""
    untrimmed = figures["untrimmed_surplus"] - 0.3 * weight
    worst = np.where(np.isfinite(untrimmed), np.minimum(untrimmed, -0.3 * weight), -weight)
    return np.where(np.isfinite(figures["reserve_surplus"]), figures["reserve_surplus"], worst)


def _variant(aeroplane: Aeroplane, kind: str, base_speed: float) -> Variant:
    rotor_kind, free = kind.split()[0], kind.endswith("free")
    told, changes = _rotors_told(aeroplane, rotor_kind)
    if free:
        told.pop("drive", None)
        for rotor in told["rotor"].values():
            rotor["drive"] = "free"
        if aeroplane.tables.drive:
            changes.append("drive taken out")
        best = _built(aeroplane, told)
    else:
        best = _with_drive(aeroplane, told, base_speed)
    best, tail = _tail_set(best)
    if not free:
        best, more = _tail_set(_with_drive(aeroplane, dict(best.told), base_speed, best))
        tail += more
        changes.append(_drive_words(best))
    if tail:
        changes.append(f"tailplane set {math.degrees(tail):+.0f}°")
    return Variant(kind, best, False, tuple(changes))


def _rotors_told(aeroplane: Aeroplane, rotor_kind: str) -> tuple[dict[str, Any], list[str]]:
    """Return the tables with rotors of another kind (or as they are), and what that changed in words."""
    told = dict(aeroplane.told)
    changes: list[str] = []
    rotors: dict[str, Any] = {}
    for name, rotor in aeroplane.tables.rotor.items():
        before = told["rotor"][name]
        if rotor.kind == rotor_kind:
            rotors[name] = dict(before)
            continue
        after: dict[str, Any] = {key: before[key] for key in KEPT if key in before}
        after["kind"] = rotor_kind
        discs = dict(before.get("discs", {}))
        discs["diameter"] = SI(float(f"{DISC_RATIOS[rotor_kind] * rotor.diameter:.3g}"))
        if rotor_kind == "vaned":
            stages = max(2, min(6, round(rotor.span / rotor.diameter / 1.4)))
            after |= {"section": "s-section", "stages": stages}
            discs["count"] = stages + 1
        else:
            discs["count"] = 2
        after["discs"] = discs
        rotors[name] = after
        shape = "smooth drum" if rotor_kind == "drum" else f"s-section in {after['stages']} stages"
        changes.append(f"rotor {name}: {shape}, {discs['count']} discs of {1000.0 * discs['diameter']:.0f} mm")
    told["rotor"] = rotors
    return told, changes


def _built(aeroplane: Aeroplane, told: Mapping[str, Any]) -> Aeroplane:
    """Return the aeroplane of changed tables; one that was weighed weighs as much more as its changed parts."""
    if aeroplane.tables.weighed is None:
        return build(told, aeroplane.source, "")
    parts = [build({k: v for k, v in which.items() if k != "weighed"}, "", "") for which in (aeroplane.told, told)]
    before, after = (float(fill(each).masses["mass"].sum()) for each in parts)
    weighed = {**dict(told["weighed"]), "mass": SI(aeroplane.tables.weighed.mass + after - before)}
    return build({**dict(told), "weighed": weighed}, aeroplane.source, "")


def _with_drive(
    aeroplane: Aeroplane, told: dict[str, Any], base_speed: float, start: Aeroplane | None = None
) -> Aeroplane:
    """Return the aeroplane with a drive for every rotor, at the speed that leaves most thrust after the reserve."""
    pack = next(iter(aeroplane.tables.battery))
    cells = aeroplane.tables.battery[pack].cells.series
    rotors = rotor_places(aeroplane.tables)
    radius = 0.5 * max(rotor.diameter for rotor in aeroplane.tables.rotor.values())
    guess = 0.03 * float(fill(aeroplane).masses["mass"].sum()) / len(rotors)
    if start is not None:
        guess = next(iter(start.tables.drive.values())).motor.mass
    best: tuple[float, Aeroplane] | None = None
    for share in RIM_SPEEDS:
        speed = share * base_speed / radius
        motor = max(guess, LIGHTEST_MOTOR)
        for _ in range(ROUNDS):
            candidate = _driven(aeroplane, told, pack, cells, speed, motor)
            there = fly(candidate, samples=0, few=True, thorough=False)
            power = _drive_power(there)
            if power is None:
                break
            motor = max(power / (DRIVE_LOAD * MOTOR_POWER), LIGHTEST_MOTOR)
        left = _worth(_tried(candidate))
        if best is None or left > best[0]:
            best = left, candidate
    assert best is not None
    return best[1]


def _driven(
    aeroplane: Aeroplane, told: Mapping[str, Any], pack: str, cells: int, speed: float, motor_mass: float
) -> Aeroplane:
    """Return the aeroplane with a motor of a mass and its belt on every rotor, governed at a rotor speed."""
    motor_mass = float(f"{motor_mass:.3g}")
    speed = round(speed / RPM / 10.0) * 10.0 * RPM
    constant = min(max(1100.0 * math.sqrt(0.06 / motor_mass) * 3.0 / cells, 200.0), 3000.0)
    constant = round(constant, -1) * RPM
    ratio = float(f"{min(max(GOVERNED_SHARE * constant * CELL * cells / speed, 1.0), 40.0):.3g}")
    drive = {
        "motor": {"speed_constant": SI(constant), "mass": SI(motor_mass)},
        "ratio": ratio,
        "speed": SI(speed),
        "each": True,
        "battery": pack,
    }
    rotors = {name: {**rotor, "drive": "belt"} for name, rotor in told["rotor"].items()}
    return _built(aeroplane, {**told, "rotor": rotors, "drive": {"belt": drive}})


def _row(flown: Flown) -> Any:
    """Return the nominal level flight, or the one with the nose held from outside, or None."""
    for which in (LEVEL, UNTRIMMED):
        row = flown.envelope.steady[0, which]
        if row["status"] != NOT_CONVERGED and math.isfinite(float(row["airspeed"])):
            return row
    return None


def _airspeed(flown: Flown) -> float | None:
    row = _row(flown)
    return None if row is None else float(row["airspeed"])


def _drive_power(flown: Flown) -> float | None:
    """Return what each drive draws in level flight with full command [W], or None."""
    row = _row(flown)
    if row is None:
        return None
    drawn = float(row["spin_power"] + row["bearing_power"] + row["drive_loss"])
    return max(drawn, 0.0) / float(row["command"]) ** 3 / max(flown.numbers.drives.shape[1], 1)


def _tail_set(aeroplane: Aeroplane) -> tuple[Aeroplane, float]:
    """Return the aeroplane with the tailplane setting that leaves most thrust, and the change [rad]."""
    tails = [name for name, surface in aeroplane.tables.surface.items() if surface.kind == "tailplane"]
    if len(tails) != 1:
        return aeroplane, 0.0
    field = f"surface.{tails[0]}.incidence"
    there = float(aeroplane.value(field) or 0.0)
    tried: list[tuple[float, Aeroplane]] = []
    for angle in TAIL_ANGLES:
        try:
            tried.append((angle, aeroplane.changed({field: there + angle}) if angle else aeroplane))
        except InputProblems:
            continue  # a setting the file does not allow
    angle, best = max(tried, key=lambda entry: _worth(_tried(entry[1])) - 0.05 * abs(entry[0]))
    return best, angle


def _tried(aeroplane: Aeroplane) -> Flown:
    return fly(aeroplane, samples=TRIALS, few=True, thorough=False)


def _worth(flown: Flown) -> float:
    """Return what a choice is worth [N]: mean of nominal, median and 20th percentile of thrust after the reserve."""
    weight = flown.numbers.vehicle["mass"] * flown.numbers.air["gravity"]
    left = thrust_after_reserve(flown.envelope.figures, weight)
    return float(np.mean([left[0], *np.quantile(left[1:], (0.5, 0.2))]))


def _drive_words(aeroplane: Aeroplane) -> str:
    drive = next(iter(aeroplane.tables.drive.values()))
    speed = 0.0 if drive.speed is None else drive.speed / RPM
    return (
        f"a drive for each rotor: motor of {1000.0 * drive.motor.mass:.0f} g, {drive.motor.speed_constant / RPM:.0f} "
        f"rpm/V, ratio {drive.ratio:.3g}, held at {speed:.0f} rpm"
    )
