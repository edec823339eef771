"""Clearances and directions of spin: plain geometry of what turns, against the ground, bodies and each other.

All in file axes (aft, right, up). Rotors are drums along y; propellers are thin discs square to x (their small tilt is
left out); bodies and surfaces are boxes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.filled_in import known
from rotorwright.design.parts.rotor import Rotor
from rotorwright.design.parts.site import AircraftTables
from rotorwright.design.places import Point, twins

WANTED_TO_GROUND = 0.025
"""Gap wanted between anything that turns and the ground [m] (common practice, no source)."""
WANTED_TO_PARTS = 0.010
"""Gap wanted between anything that turns and a fixed or another turning part [m] (common practice, no source)."""


@dataclass(frozen=True)
class Clearance:
    """A gap between two parts [m], negative if they run into each other, and the gap wanted."""

    one: str
    other: str
    distance: float
    wanted: float

    @property
    def tight(self) -> bool:
        """Tell whether the gap is smaller than wanted."""
        return self.distance < self.wanted - 1e-9

    def sentence(self) -> str:
        """Return the clearance in words."""
        gap = f"{1000.0 * abs(self.distance):.0f} mm"
        if self.distance < 0.0:
            return f"{self.one} runs {gap} into {self.other}"
        return f"{self.one} clears {self.other} by {gap}" + (
            f" (at least {1000.0 * self.wanted:.0f} mm wanted)" if self.tight else ""
        )


class _Drum(NamedTuple):
    name: str
    place: Point
    radius: float
    half_span: float


class _Disc(NamedTuple):
    name: str
    place: Point
    radius: float


class _Box(NamedTuple):
    name: str
    low: Point
    high: Point


class _Rod(NamedTuple):
    name: str
    start: Point
    end: Point
    radius: float


ROD_STEPS = 200


def clearances(aeroplane: Aeroplane) -> tuple[Clearance, ...]:
    """Return every gap of what turns: to the ground (if there are wheels), to bodies and surfaces, to each other.

    Parameters
    ----------
    aeroplane : Aeroplane

    Returns
    -------
    gaps : tuple of Clearance
        The tightest first, measured by what is wanted.
    """
    tables = aeroplane.tables
    drums, discs, boxes = _drums(tables), _propellers(tables), _boxes(tables)
    gaps = _to_ground(tables, drums, discs)
    for box in boxes:
        gaps += [Clearance(drum.name, box.name, _drum_box(drum, box), WANTED_TO_PARTS) for drum in drums]
        gaps += [Clearance(disc.name, box.name, _disc_box(disc, box), WANTED_TO_PARTS) for disc in discs]
    for rod in _rods(tables):
        gaps += [Clearance(drum.name, rod.name, _drum_rod(drum, rod), WANTED_TO_PARTS) for drum in drums]
        gaps += [Clearance(disc.name, rod.name, _disc_rod(disc, rod), WANTED_TO_PARTS) for disc in discs]
    for number, drum in enumerate(drums):
        gaps += [
            _gap(drum.name, other.name, _drum_drum(drum, other)) for other in drums[number + 1 :] if _apart(drum, other)
        ]
        gaps += [_gap(disc.name, drum.name, _disc_drum(disc, drum)) for disc in discs]
    for number, disc in enumerate(discs):
        gaps += [_gap(disc.name, other.name, _disc_disc(disc, other)) for other in discs[number + 1 :]]
    return tuple(sorted(gaps, key=lambda gap: gap.distance - gap.wanted))


def _gap(one: str, other: str, distance: float) -> Clearance:
    return Clearance(one, other, distance, WANTED_TO_PARTS)


def _apart(one: _Drum, other: _Drum) -> bool:
    """Tell whether two drums belong to different rotors (a rotor is a drum and its discs, all one name)."""
    return one.name != other.name


def _drums(tables: AircraftTables) -> list[_Drum]:
    drums = []
    for name, rotor in tables.rotor.items():
        for twin, place, _ in twins(name, rotor.position, rotor.mirror):
            drums.append(_Drum(f"rotor {twin}", place, rotor.diameter / 2.0, rotor.span / 2.0))
            if rotor.discs is not None and rotor.discs.diameter > rotor.diameter:
                count, half = rotor.discs.count, known(rotor.discs.thickness) / 2.0
                for number in range(count):
                    along = (number / (count - 1) - 0.5) if count > 1 else 0.5
                    where = (place[0], place[1] + along * rotor.span, place[2])
                    drums.append(_Drum(f"rotor {twin}", where, rotor.discs.diameter / 2.0, half))
    return drums


def _propellers(tables: AircraftTables) -> list[_Disc]:
    discs = []
    for name, thruster in tables.thruster.items():
        if thruster.propeller is None:
            continue  # a fan turns inside its duct
        for twin, place, _ in twins(name, thruster.position or (0.0, 0.0, 0.0), thruster.mirror):
            discs.append(_Disc(f"propeller {twin}", place, thruster.propeller.diameter / 2.0))
    return discs


def _box(name: str, middle: Point, length: float, width: float, height: float) -> _Box:
    half = (length / 2.0, width / 2.0, height / 2.0)
    low = (middle[0] - half[0], middle[1] - half[1], middle[2] - half[2])
    return _Box(name, low, (middle[0] + half[0], middle[1] + half[1], middle[2] + half[2]))


def _boxes(tables: AircraftTables) -> list[_Box]:
    boxes = []
    for name, body in tables.body.items():
        for twin, place, _ in twins(name, body.position, body.mirror):
            boxes.append(_box(f"body {twin}", place, body.length, body.width, body.height))
    for name, surface in tables.surface.items():
        chord, thickness = known(surface.chord), surface.thickness or 0.005
        for twin, place, _ in twins(name, surface.position, surface.mirror):
            middle = (place[0] + chord / 4.0, place[1], place[2])
            width, height = (thickness, surface.span) if surface.kind == "fin" else (surface.span, thickness)
            boxes.append(_box(f"surface {twin}", middle, chord, width, height))
    return boxes


def _rods(tables: AircraftTables) -> list[_Rod]:
    rods = []
    for name, strut in tables.strut.items():
        radius = (strut.tube.outer if strut.tube is not None else known(strut.diameter)) / 2.0
        for twin, start, side in twins(name, strut.start, strut.mirror):
            end = (strut.end[0], side * strut.end[1], strut.end[2])
            rods.append(_Rod(f"strut {twin}", start, end, radius))
    return rods


def _along(rod: _Rod) -> list[Point]:
    """Return points along a rod, close enough for gaps of a few millimetres."""
    shares = [number / ROD_STEPS for number in range(ROD_STEPS + 1)]
    ends = list(zip(rod.start, rod.end, strict=True))
    return [tuple(one + share * (other - one) for one, other in ends) for share in shares]  # type: ignore[misc]


def _drum_rod(drum: _Drum, rod: _Rod) -> float:
    """Return the gap between a drum and a rod."""
    gaps = []
    for point in _along(rod):
        gap = abs(point[1] - drum.place[1]) - drum.half_span
        away = math.hypot(point[0] - drum.place[0], point[2] - drum.place[2]) - drum.radius
        gaps.append(_corner(gap, away))
    return min(gaps) - rod.radius


def _disc_rod(disc: _Disc, rod: _Rod) -> float:
    gaps = []
    for point in _along(rod):
        aft = abs(point[0] - disc.place[0])
        away = math.hypot(point[1] - disc.place[1], point[2] - disc.place[2]) - disc.radius
        gaps.append(math.hypot(aft, max(away, 0.0)))
    return min(gaps) - rod.radius


def _outside(low: float, high: float, at: float) -> float:
    return max(low - at, at - high, 0.0)


def _drum_box(drum: _Drum, box: _Box) -> float:
    gap = _between(drum.place[1] - drum.half_span, drum.place[1] + drum.half_span, box.low[1], box.high[1])
    away = math.hypot(
        _outside(box.low[0], box.high[0], drum.place[0]), _outside(box.low[2], box.high[2], drum.place[2])
    )
    return _corner(gap, away - drum.radius)


def _disc_box(disc: _Disc, box: _Box) -> float:
    gap = _outside(box.low[0], box.high[0], disc.place[0])
    inside = box.low[0] < disc.place[0] < box.high[0]
    away = math.hypot(
        _outside(box.low[1], box.high[1], disc.place[1]), _outside(box.low[2], box.high[2], disc.place[2])
    )
    if not inside:  # a box that ends at the disc's plane (a nose behind its propeller) is not run into
        return math.hypot(gap, max(away - disc.radius, 0.0))
    return away - disc.radius


def _between(low: float, high: float, other_low: float, other_high: float) -> float:
    """Return the gap between two stretches, negative by how far they overlap."""
    return max(other_low - high, low - other_high)


def _corner(gap: float, other_gap: float) -> float:
    """Return the distance across a corner of two gaps; overlapping in both gives the smaller depth, negative."""
    if gap <= 0.0 and other_gap <= 0.0:
        return max(gap, other_gap)
    return math.hypot(max(gap, 0.0), max(other_gap, 0.0))


def _drum_drum(one: _Drum, other: _Drum) -> float:
    gap = _between(
        one.place[1] - one.half_span,
        one.place[1] + one.half_span,
        other.place[1] - other.half_span,
        other.place[1] + other.half_span,
    )
    away = math.hypot(one.place[0] - other.place[0], one.place[2] - other.place[2])
    return _corner(gap, away - one.radius - other.radius)


def _disc_drum(disc: _Disc, drum: _Drum) -> float:
    gap = max(abs(disc.place[1] - drum.place[1]) - disc.radius - drum.half_span, 0.0)
    rise = max(abs(disc.place[2] - drum.place[2]) - disc.radius, 0.0)
    away = math.hypot(disc.place[0] - drum.place[0], rise) - drum.radius
    return away if gap == 0.0 else math.hypot(gap, max(away, 0.0))


def _disc_disc(one: _Disc, other: _Disc) -> float:
    away = math.hypot(one.place[1] - other.place[1], one.place[2] - other.place[2]) - one.radius - other.radius
    aft = abs(one.place[0] - other.place[0])
    return away if aft == 0.0 else math.hypot(aft, max(away, 0.0))


class Ground(NamedTuple):
    """The ground under the standing aeroplane: height at the nose point [m] and rise per metre aft."""

    height: float
    slope: float

    def under(self, aft: float) -> float:
        """Return the height of the ground at a place so far aft [m]."""
        return self.height + self.slope * aft


def ground(aeroplane: Aeroplane) -> Ground | None:
    """Return the ground the aeroplane stands on, or None if it has no wheels.

    Notes
    -----
    The line under the foremost and the rearmost wheels; one station of wheels gives level ground.
    """
    return _ground(aeroplane.tables)


def _ground(tables: AircraftTables) -> Ground | None:
    feet = sorted((wheel.position[0], wheel.position[2] - wheel.diameter / 2.0) for wheel in tables.wheel.values())
    if not feet:
        return None
    front, rear = feet[0], feet[-1]
    if rear[0] - front[0] < 1e-3:
        return Ground(min(foot[1] for foot in feet), 0.0)
    slope = (rear[1] - front[1]) / (rear[0] - front[0])
    return Ground(front[1] - slope * front[0], slope)


def _to_ground(tables: AircraftTables, drums: list[_Drum], discs: list[_Disc]) -> list[Clearance]:
    floor = _ground(tables)
    if floor is None:
        return []
    upright = 1.0 / math.sqrt(1.0 + floor.slope**2)
    gaps: dict[str, float] = {}
    for drum in drums:
        gap = (drum.place[2] - floor.under(drum.place[0])) * upright - drum.radius
        gaps[drum.name] = min(gap, gaps.get(drum.name, math.inf))
    for disc in discs:
        lowest = disc.place[2] - disc.radius
        gaps[disc.name] = (lowest - floor.under(disc.place[0])) * upright
    return [Clearance(name, "the ground", gap, WANTED_TO_GROUND) for name, gap in gaps.items()]


def tip_bank(aeroplane: Aeroplane) -> float | None:
    """Return the bank at which the first tip touches the ground with the wheels on it [rad], or None without wheels.

    Notes
    -----
    The aeroplane rolls about its outermost wheel.
    """
    tables = aeroplane.tables
    floor = _ground(tables)
    if floor is None:
        return None
    pivot = max((abs(wheel.position[1]) for wheel in tables.wheel.values()), default=0.0)
    angles = [math.pi / 2.0]
    for drum in _drums(tables):
        tip = abs(drum.place[1]) + drum.half_span - pivot
        height = drum.place[2] - drum.radius - floor.under(drum.place[0])
        if tip > 0.0:
            angles.append(math.atan2(height, tip))
    for box in _boxes(tables):
        tip = max(abs(box.low[1]), abs(box.high[1])) - pivot
        height = box.low[2] - floor.under((box.low[0] + box.high[0]) / 2.0)
        if tip > 0.0:
            angles.append(math.atan2(height, tip))
    return min(angles)


class SolidPart(NamedTuple):
    """A point of a part that may touch the ground when the aeroplane pitches: place aft, and how high it is [m]."""

    name: str
    aft: float
    low: float


def solid_parts(aeroplane: Aeroplane) -> tuple[SolidPart, ...]:
    """Return the lowest points of everything but wheels and legs: drums and their discs, propellers, boxes, booms."""
    tables = aeroplane.tables
    found = []
    for drum in _drums(tables):
        for number in range(12):
            angle = 2.0 * math.pi * number / 12.0
            aft, up = drum.place[0] + drum.radius * math.cos(angle), drum.place[2] + drum.radius * math.sin(angle)
            found.append(SolidPart(drum.name, aft, up))
    found += [SolidPart(disc.name, disc.place[0], disc.place[2] - disc.radius) for disc in _propellers(tables)]
    for box in _boxes(tables):
        found += [SolidPart(box.name, aft, box.low[2]) for aft in (box.low[0], box.high[0])]
    feet = [wheel.position for wheel in tables.wheel.values()]
    for rod in _rods(tables):
        for end in (rod.start, rod.end):
            if all(math.dist((abs(end[0]), abs(end[1]), end[2]), (abs(x), abs(y), z)) > 0.03 for x, y, z in feet):
                found.append(SolidPart(rod.name, end[0], end[2] - rod.radius))
    return tuple(found)


def spin_direction(rotor: Rotor) -> str:
    """Return in workshop words which way a rotor must turn to lift."""
    return spin_direction_words(rotor.kind, rotor.section)


def spin_direction_words(kind: str, section: str | None) -> str:
    """Return in workshop words which way a rotor of a kind and section must turn to lift."""
    base = "the top moves aft, with the wind; seen from the left tip, the nose to your left, it turns clockwise"
    if kind == "drum":
        return f"{base}. Check it with a strip of tape before the first flight: the other way pushes the aeroplane down"
    if section == "plate":
        return f"{base}. A flat plate turns either way by itself: start it the right way by hand or by its edges"
    return f"{base}. At the top the hollow side of the vane faces the wind, at the bottom the round side"
