"""The list of masses: every part with its mass, place and own inertia, in body axes.

Stated masses stand; the rest is computed from size and material. File axes (aft, right, up) become body axes
(forward, right, down) here.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from rotorwright.base import solids
from rotorwright.base.traced import distance, sin
from rotorwright.design.catalogue.reader import bearings, rule, rule_row
from rotorwright.design.filled_in import Notes, known
from rotorwright.design.parts.airframe import Body, Item, Strut, Surface, Wheel
from rotorwright.design.parts.power import Motor
from rotorwright.design.parts.rotor import Rotor
from rotorwright.design.parts.site import AircraftTables
from rotorwright.design.places import Point, drive_places, midway, twins

STATED_SPREAD = 0.01  # one standard deviation of a stated or weighed mass (kitchen scale; judgement)


class MassRow(NamedTuple):
    """One mass: name, mass [kg], place in file axes [m], own inertia in body axes [kg m²], spread, rotor, weighed."""

    name: str
    mass: float
    place: Point
    inertia: tuple[float, float, float, float, float, float] = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    spread: float = STATED_SPREAD
    rotor: int = -1
    weighed: bool = True


def _along_y(body: solids.Round) -> tuple[float, float, float, float, float, float]:
    return (body.transverse, body.axial, body.transverse, 0.0, 0.0, 0.0)


def _along_x(body: solids.Round) -> tuple[float, float, float, float, float, float]:
    return (body.axial, body.transverse, body.transverse, 0.0, 0.0, 0.0)


def _block(body: solids.Block) -> tuple[float, float, float, float, float, float]:
    return (body.xx, body.yy, body.zz, 0.0, 0.0, 0.0)


def mass_rows(tables: AircraftTables, guessed: frozenset[str] = frozenset()) -> list[MassRow]:
    """Return the list of masses of completed tables (see `complete`), the weighed total enforced if one is told.

    Parameters
    ----------
    tables : AircraftTables
        Completed.
    guessed : frozenset of str
        Dotted fields that were filled in: their masses count as computed, not as weighed.
    """
    notes = Notes(tables.material)
    rows: list[MassRow] = []
    index = 0
    for name, rotor in tables.rotor.items():
        for twin, place, _ in twins(name, rotor.position, rotor.mirror):
            rows += _rotor(twin, rotor, place, index, notes)
            index += 1
    for name, surface in tables.surface.items():
        for twin, place, _ in twins(name, surface.position, surface.mirror):
            rows.append(_surface(twin, surface, place, notes))
    for name, body in tables.body.items():
        for twin, place, _ in twins(name, body.position, body.mirror):
            rows.append(_body(twin, body, place, notes))
    for name, strut in tables.strut.items():
        for side in (1.0, -1.0) if strut.mirror else (1.0,):
            rows.append(_strut(f"strut {name}", strut, side, notes))
    for name, wheel in tables.wheel.items():
        for twin, place, _ in twins(name, wheel.position, wheel.mirror):
            rows.append(_wheel(f"wheel {twin}", wheel, place, f"wheel.{name}.mass" not in guessed))
    for name, item in tables.item.items():
        for twin, place, _ in twins(name, item.position, item.mirror):
            rows.append(_item(twin, item, place))
    rows += _power(tables, guessed)
    return _weighed(rows, tables) if tables.weighed is not None else rows


def total_mass(tables: AircraftTables) -> float:
    """Return the total mass of completed tables [kg]."""
    return sum(row.mass for row in mass_rows(tables))


def scale_remarks(tables: AircraftTables, guessed: frozenset[str]) -> tuple[str, ...]:
    """Return a remark if the weighed total and the parts weighed singly cannot both be right, or differ widely."""
    if tables.weighed is None:
        return ()
    rows = mass_rows(tables.model_copy(update={"weighed": None}), guessed)
    firm, total = sum(row.mass for row in rows if row.weighed), sum(row.mass for row in rows)
    scale, share = 1000.0 * tables.weighed.mass, tables.weighed.mass / total
    if firm > tables.weighed.mass:
        return (f"the scale says {scale:.0f} g, but the parts weighed singly make {1000.0 * firm:.0f} g: weigh again",)
    if not 0.75 < share < 1.35:
        return (f"the scale says {scale:.0f} g, but the parts described add up to {1000.0 * total:.0f} g",)
    return ()


def _glue() -> float:
    return rule("structure", "glue").value


def _rotor(name: str, rotor: Rotor, place: Point, index: int, notes: Notes) -> list[MassRow]:
    turning = list(_turning(name, rotor, place, index, notes))
    if rotor.mass is not None:
        scale = rotor.mass / sum(row.mass for row in turning)
        turning = [
            row._replace(mass=row.mass * scale, inertia=_times(row.inertia, scale), spread=STATED_SPREAD, weighed=True)
            for row in turning
        ]
    if rotor.inertia is not None:
        scale = rotor.inertia / sum(row.inertia[1] for row in turning)
        turning = [row._replace(inertia=(row.inertia[0], row.inertia[1] * scale, *row.inertia[2:])) for row in turning]
    return turning + list(_standing(name, rotor, place, notes))


def _times(inertia: tuple[float, ...], scale: float) -> tuple[float, float, float, float, float, float]:
    xx, yy, zz, xy, xz, yz = inertia
    return (xx * scale, yy * scale, zz * scale, xy * scale, xz * scale, yz * scale)


def vane_area_and_gyration(rotor: Rotor) -> tuple[float, float]:
    """Return sheet area [m²] and radius of gyration about the spin axis [m] of a rotor's skin or vanes.

    Notes
    -----
    Drum: πDb at D/2. Plate: Db, D/√12. S-section: two half-tubes of D/2. Buckets: n half-tubes of (D + overlap)/2
    for two buckets, of D/2 for more, each closing on the rim.
    """
    if rotor.kind == "drum":
        return math.pi * rotor.diameter * rotor.span, rotor.diameter / 2.0
    if rotor.section == "plate":
        return rotor.diameter * rotor.span, rotor.diameter / math.sqrt(12.0)
    count = rotor.buckets if rotor.section == "bucket" else 2
    overlap = rotor.overlap if rotor.section == "bucket" and count == 2 else 0.0
    bucket = (rotor.diameter + overlap) / 2.0
    area = count * math.pi / 2.0 * bucket * rotor.span
    return area, solids.half_tube_radius_of_gyration(bucket, (rotor.diameter - bucket) / 2.0)


def _turning(name: str, rotor: Rotor, place: Point, index: int, notes: Notes) -> Iterator[MassRow]:
    area, gyration = vane_area_and_gyration(rotor)
    material = notes.material(rotor.skin.material or "foam sheet")
    mass = area * known(rotor.skin.areal_mass) * _glue()
    skin = solids.shell(mass, 2.0 * gyration, rotor.span)
    yield MassRow(f"{name} skin", mass, place, _along_y(skin), material.spread, index, weighed=False)
    discs = rotor.discs
    if discs is not None and discs.turn:
        yield from _discs(name, rotor, place, index, notes)
    if rotor.shaft.turns:
        yield _tube(name, rotor, place, index, notes)


def _standing(name: str, rotor: Rotor, place: Point, notes: Notes) -> Iterator[MassRow]:
    if rotor.discs is not None and not rotor.discs.turn:
        yield from _discs(name, rotor, place, -1, notes)
    if not rotor.shaft.turns:
        yield _tube(name, rotor, place, -1, notes)
    mass = bearings()[str(rotor.shaft.bearings)].mass * rotor.shaft.bearing_count
    arm = mass * (rotor.span / 2.0) ** 2
    yield MassRow(f"{name} bearings", mass, place, (arm, 0.0, arm, 0.0, 0.0, 0.0), 0.1, -1, weighed=False)


def _discs(name: str, rotor: Rotor, place: Point, index: int, notes: Notes) -> Iterator[MassRow]:
    discs = rotor.discs
    if discs is None:
        return
    material = notes.material(str(discs.material))
    areal = known(material.areal(discs.thickness))
    mass = math.pi / 4.0 * discs.diameter**2 * areal * _glue()
    own = solids.cylinder(mass, discs.diameter, known(discs.thickness))
    for number in range(discs.count):
        along = (number / (discs.count - 1) - 0.5) if discs.count > 1 else 0.5
        where = (place[0], place[1] + along * rotor.span, place[2])
        yield MassRow(f"{name} disc {number + 1}", mass, where, _along_y(own), material.spread, index, weighed=False)


def _tube(name: str, rotor: Rotor, place: Point, index: int, notes: Notes) -> MassRow:
    tube = rotor.shaft.tube
    if tube is None:
        raise AssertionError("completed rotors have a tube")
    material = notes.material(str(rotor.shaft.material))
    length = known(rotor.shaft.length)
    mass = math.pi / 4.0 * (tube.outer**2 - tube.inner**2) * length * known(material.bulk())
    own = solids.tube(mass, tube.outer, tube.inner, length)
    return MassRow(f"{name} shaft", mass, place, _along_y(own), material.spread, index, weighed=False)


def _surface(name: str, surface: Surface, place: Point, notes: Notes) -> MassRow:
    area, chord = known(surface.area), known(surface.chord)
    weighed = surface.mass is not None
    mass, spread = surface.mass or 0.0, STATED_SPREAD
    if not weighed:
        mass = area * known(surface.areal_mass) * _glue()
        spread = notes.material(str(surface.material)).spread
    thickness = surface.thickness or 0.005
    upright = surface.kind == "fin"
    own = (
        solids.box(mass, chord, thickness, surface.span)
        if upright
        else solids.box(mass, chord, surface.span, thickness)
    )
    rise = 0.0 if upright else surface.span / 4.0 * sin(surface.dihedral)
    where = (place[0] + chord / 4.0, place[1], place[2] + rise)  # middle of the chord
    return MassRow(name, mass, where, _block(own), spread, -1, weighed)


def _body(name: str, body: Body, place: Point, notes: Notes) -> MassRow:
    weighed = body.mass is not None
    mass, spread = body.mass or 0.0, STATED_SPREAD
    if not weighed:
        length, width, height = body.length, body.width, body.height
        walls = 2.0 * (length * width + length * height + width * height)
        share = {"box": 1.0, "open frame": 0.4}.get(body.shape, 0.85)  # rounded bodies have less wall than their box
        mass = share * walls * known(body.areal_mass) * _glue()
        spread = notes.material(str(body.material)).spread
    own = solids.box_shell(mass, body.length, body.width, body.height)
    return MassRow(name, mass, place, _block(own), spread, -1, weighed)


def _strut(name: str, strut: Strut, side: float, notes: Notes) -> MassRow:
    start = (strut.start[0], side * strut.start[1], strut.start[2])
    end = (strut.end[0], side * strut.end[1], strut.end[2])
    length = distance(start, end)
    weighed = strut.mass is not None
    mass, spread = strut.mass or 0.0, STATED_SPREAD
    if not weighed:
        outer = strut.tube.outer if strut.tube is not None else known(strut.diameter)
        inner = strut.tube.inner if strut.tube is not None else 0.0
        material = notes.material(str(strut.material))
        mass = math.pi / 4.0 * (outer**2 - inner**2) * length * known(material.bulk())
        spread = material.spread
    dx, dy, dz = start[0] - end[0], end[1] - start[1], start[2] - end[2]  # body axes
    rod = mass / 12.0
    inertia = (
        rod * (dy * dy + dz * dz),
        rod * (dx * dx + dz * dz),
        rod * (dx * dx + dy * dy),
        rod * dx * dy,
        rod * dx * dz,
        rod * dy * dz,
    )
    return MassRow(name, mass, midway(start, end), inertia, spread, -1, weighed)


def _wheel(name: str, wheel: Wheel, place: Point, weighed: bool) -> MassRow:
    own = solids.cylinder(known(wheel.mass), wheel.diameter, known(wheel.width))
    return MassRow(name, known(wheel.mass), place, _along_y(own), STATED_SPREAD if weighed else 0.2, -1, weighed)


def _item(name: str, item: Item, place: Point) -> MassRow:
    size = item.size or (0.0, 0.0, 0.0)
    return MassRow(name, item.mass, place, _block(solids.box(item.mass, *size)))


def _motor(name: str, motor: Motor, place: Point, along_x: bool) -> MassRow:
    diameter = 2.0 * rule("motor", "bell_radius").value * motor.mass ** (1.0 / 3.0)
    own = solids.cylinder(motor.mass, diameter, 0.8 * diameter)
    return MassRow(name, motor.mass, place, _along_x(own) if along_x else _along_y(own))


def _power(tables: AircraftTables, guessed: frozenset[str]) -> list[MassRow]:
    rows: list[MassRow] = []
    packs = tables.battery
    for name, battery in packs.items():
        mass, place = known(battery.mass), battery.position or (0.0, 0.0, 0.0)
        (long, wide, high), _ = rule_row("battery", "aspect")
        edge = (mass / rule("battery", "density").value / (long * wide * high)) ** (1.0 / 3.0)
        own = solids.box(mass, long * edge, wide * edge, high * edge)
        weighed = f"battery.{name}.mass" not in guessed
        rows.append(
            MassRow(f"battery {name}", mass, place, _block(own), STATED_SPREAD if weighed else 0.1, -1, weighed)
        )
    for name, thruster in tables.thruster.items():
        diameter = thruster.propeller.diameter if thruster.propeller is not None else known(thruster.diameter)
        pack = packs[str(thruster.battery)].position or (0.0, 0.0, 0.0)
        for twin, place, _ in twins(name, thruster.position or (0.0, 0.0, 0.0), thruster.mirror):
            rows.append(_motor(f"{twin} motor", thruster.motor, place, along_x=True))
            disc = known(thruster.propeller_mass)
            form = 8.0 * rule("propeller", "inertia_form").value  # of a solid disc with the same inertia
            blades = solids.cylinder(disc, diameter * math.sqrt(form), 0.0)
            weighed = f"thruster.{name}.propeller_mass" not in guessed
            rows.append(MassRow(f"{twin} propeller", disc, place, _along_x(blades), 0.2, -1, weighed))
            controller = known(thruster.controller.mass)
            weighed = f"thruster.{name}.controller.mass" not in guessed
            rows.append(MassRow(f"{twin} controller", controller, midway(place, pack), spread=0.2, weighed=weighed))
    for name, key, drive, place in drive_places(tables):
        pack = packs[str(drive.battery)].position or (0.0, 0.0, 0.0)
        rows.append(_motor(f"{name} motor", drive.motor, place, along_x=False))
        weighed = f"drive.{key}.mass" not in guessed
        rows.append(MassRow(f"{name} belt and mount", known(drive.mass), place, spread=0.2, weighed=weighed))
        controller = known(drive.controller.mass)
        weighed = f"drive.{key}.controller.mass" not in guessed
        rows.append(MassRow(f"{name} controller", controller, midway(place, pack), spread=0.2, weighed=weighed))
    return rows


def _weighed(rows: list[MassRow], tables: AircraftTables) -> list[MassRow]:
    """Scale and shift the computed masses so that the whole agrees with the scale and the balance stand."""
    weighed = tables.weighed
    if weighed is None:
        return rows
    firm = sum(row.mass for row in rows if row.weighed)
    loose = sum(row.mass for row in rows if not row.weighed)
    scale = (weighed.mass - firm) / loose if loose > 0.0 else 0.0
    if scale <= 0.0:  # the loose parts cannot make up for it: everything bends
        scale_all = weighed.mass / (firm + loose)
        rows = [row._replace(mass=row.mass * scale_all, inertia=_times(row.inertia, scale_all)) for row in rows]
    else:
        rows = [
            row if row.weighed else row._replace(mass=row.mass * scale, inertia=_times(row.inertia, scale))
            for row in rows
        ]
    if weighed.balance is not None:
        movable = [row for row in rows if row.rotor < 0 and not row.weighed] or [row for row in rows if row.rotor < 0]
        lever = sum(row.mass for row in movable)
        moment = sum(row.mass * row.place[0] for row in rows)
        shift = (weighed.balance * weighed.mass - moment) / lever if lever > 0.0 else 0.0
        chosen = {id(row) for row in movable}
        rows = [
            row._replace(place=(row.place[0] + shift, row.place[1], row.place[2])) if id(row) in chosen else row
            for row in rows
        ]
    return [row._replace(weighed=True, spread=STATED_SPREAD) for row in rows]
