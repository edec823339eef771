"""The aeroplane as simple solids, straight from its file: what the view on the page and drawings on paper show.

File axes: x aft, y right, z up [m]. A solid is a box, a cylinder (drum, disc, tube, wheel) or a blade of a vaned rotor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.filled_in import known
from rotorwright.design.parts.rotor import Rotor
from rotorwright.design.places import Point, twins

Kind = Literal["box", "cylinder", "vane"]
DISC_EDGE = 0.002
PROPELLER_THICKNESS = 0.003


@dataclass(frozen=True)
class Solid:
    """One simple solid.

    ``size`` is length (aft), width (right), height (up) for a box; diameter, diameter, length along its axis for a
    cylinder; the bucket's width, span and depth for a vane. ``axis`` is the direction a cylinder points along.
    """

    part: str
    """The table of the aircraft file it stands for: ``rotor.left``."""
    kind: Kind
    place: Point
    size: Point
    axis: Point = (0.0, 1.0, 0.0)
    tilt: float = 0.0
    """Turned about its own length first, nose up or vane angle [rad]."""
    turns: str = ""
    """Name of the rotor or thruster it turns with."""
    thin: bool = False
    """Drawn see-through: the circle a propeller sweeps, a surface."""


def solids(aeroplane: Aeroplane) -> tuple[Solid, ...]:
    """Return every part of an aeroplane as solids, mirrored twins included."""
    tables = aeroplane.tables
    found: list[Solid] = []
    for name, rotor in tables.rotor.items():
        for twin, place, _ in twins(name, rotor.position, rotor.mirror):
            found += _rotor(f"rotor.{name}", twin, rotor, place)
    for name, body in tables.body.items():
        for _, place, _ in twins(name, body.position, body.mirror):
            found.append(Solid(f"body.{name}", "box", place, (body.length, body.width, body.height)))
    for name, surface in tables.surface.items():
        chord, thick = known(surface.chord), surface.thickness or DISC_EDGE
        for _, place, _ in twins(name, surface.position, surface.mirror):
            middle = (place[0] + 0.25 * chord, place[1], place[2])
            size = (chord, thick, surface.span) if surface.kind == "fin" else (chord, surface.span, thick)
            found.append(Solid(f"surface.{name}", "box", middle, size, tilt=surface.incidence, thin=True))
    for name, strut in tables.strut.items():
        wide = strut.tube.outer if strut.tube is not None else known(strut.diameter)
        for _, start, side in twins(name, strut.start, strut.mirror):
            found.append(_rod(f"strut.{name}", start, (strut.end[0], side * strut.end[1], strut.end[2]), wide))
    for name, thruster in tables.thruster.items():
        wide = thruster.propeller.diameter if thruster.propeller is not None else known(thruster.diameter)
        for twin, place, _ in twins(name, thruster.position or (0.0, 0.0, 0.0), thruster.mirror):
            forward = (-math.cos(thruster.tilt), 0.0, math.sin(thruster.tilt))
            size = (wide, wide, PROPELLER_THICKNESS)
            found.append(Solid(f"thruster.{name}", "cylinder", place, size, forward, turns=twin, thin=True))
    for name, wheel in tables.wheel.items():
        for _, place, _ in twins(name, wheel.position, wheel.mirror):
            size = (wheel.diameter, wheel.diameter, wheel.width or 0.25 * wheel.diameter)
            found.append(Solid(f"wheel.{name}", "cylinder", place, size))
    for name, battery in tables.battery.items():
        if battery.position is not None:
            size = cuboid(battery.mass or 0.1)
            found.append(Solid(f"battery.{name}", "box", battery.position, size))
    return tuple(found)


def cuboid(mass: float, density: float = 2000.0) -> Point:
    """Return the sides of a block of a pack's usual shape (3 : 1 : 0.7) for its mass [kg]; 2000 kg/m³, from memory."""
    side = (mass / density / 2.1) ** (1.0 / 3.0)
    return (3.0 * side, side, 0.7 * side)


def _rod(part: str, start: Point, end: Point, wide: float) -> Solid:
    along = (end[0] - start[0], end[1] - start[1], end[2] - start[2])
    length = math.hypot(*along)
    middle = (start[0] + 0.5 * along[0], start[1] + 0.5 * along[1], start[2] + 0.5 * along[2])
    axis = (along[0] / length, along[1] / length, along[2] / length) if length > 0.0 else (1.0, 0.0, 0.0)
    return Solid(part, "cylinder", middle, (wide, wide, length), axis)


def _rotor(part: str, twin: str, rotor: Rotor, place: Point) -> list[Solid]:
    """Return drum or vanes, with their discs."""
    found: list[Solid] = []
    if rotor.kind == "drum":
        found.append(Solid(part, "cylinder", place, (rotor.diameter, rotor.diameter, rotor.span), turns=twin))
    else:
        length = rotor.span / rotor.stages
        vanes = 2 if rotor.section in ("plate", "s-section") else rotor.buckets
        for stage in range(rotor.stages):
            along = (stage + 0.5) * length - 0.5 * rotor.span
            for vane in range(vanes):
                turned = stage * (rotor.stage_phase or 0.0) + vane * 2.0 * math.pi / vanes
                size = (0.5 * rotor.diameter, length, 0.0 if rotor.section == "plate" else 0.5 * rotor.diameter)
                at = (place[0], place[1] + along, place[2])
                found.append(Solid(part, "vane", at, size, tilt=turned, turns=twin))
    if rotor.discs is not None:
        count, thick = rotor.discs.count, known(rotor.discs.thickness)
        for number in range(count):
            along = (number / (count - 1) - 0.5) * rotor.span if count > 1 else 0.5 * rotor.span
            size = (rotor.discs.diameter, rotor.discs.diameter, thick)
            at = (place[0], place[1] + along, place[2])
            found.append(Solid(part, "cylinder", at, size, turns=twin if rotor.discs.turn else "", thin=True))
    return found
