"""The aeroplane as numbers: fills the record rows of every part from the completed aeroplane.

File axes (x aft, y right, z up, from the nose point) become body axes (x forward, y right, z down) here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base import records
from rotorwright.base.traced import cos, sin, sqrt
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.catalogue.reader import rule, rule_row
from rotorwright.design.complete_power import cell_resistance_capacity
from rotorwright.design.filled_in import known
from rotorwright.design.mass_rows import mass_rows
from rotorwright.design.parts.airframe import Body, Strut, Surface
from rotorwright.design.parts.power import Controller, Motor, Thruster
from rotorwright.design.parts.site import AircraftTables
from rotorwright.design.places import Point, drive_places, rotor_places, twins

Rows = npt.NDArray[Any]
Fields = dict[str, float]

_SECTIONS = {"plate": records.PLATE, "s-section": records.S_SECTION, "bucket": records.BUCKET}
_AIR = {"quiet": records.QUIET, "outdoor": records.OUTDOOR, "turbulent": records.TURBULENT}
_SURFACE_KINDS = {"wing": records.WING, "tailplane": records.TAIL, "canard": records.TAIL, "fin": records.FIN}
_CHANNELS = {
    "elevator": records.ELEVATOR,
    "rudder": records.RUDDER,
    "aileron": records.AILERON,
    "flap": records.FLAP,
}
_FAMILIES = {"narrow": records.NARROW, "broad slow": records.BROAD_SLOW, "engine-type": records.ENGINE_TYPE}


class Names(NamedTuple):
    """The name of every row, kind by kind."""

    rotors: tuple[str, ...]
    surfaces: tuple[str, ...]
    bodies: tuple[str, ...]
    thrusters: tuple[str, ...]
    drives: tuple[str, ...]
    batteries: tuple[str, ...]
    wheels: tuple[str, ...]
    masses: tuple[str, ...]


class FilledRows(NamedTuple):
    """Part rows of one aeroplane (dtypes of ``base.records``), each of shape (rows,), with the names of the rows."""

    rotors: Rows
    surfaces: Rows
    bodies: Rows
    thrusters: Rows
    drives: Rows
    batteries: Rows
    wheels: Rows
    masses: Rows
    names: Names


def fill(aeroplane: Aeroplane) -> FilledRows:
    """Return the record rows of an aeroplane.

    Parameters
    ----------
    aeroplane : Aeroplane
        As `load` gives it.

    Returns
    -------
    rows : FilledRows
        Polar inertia and mass of the rotors are left at zero: the mass room fills them from the mass rows.
    """
    parts = part_fields(aeroplane.tables, frozenset(entry.field for entry in aeroplane.filled_in))
    arrays = [_array(dtype, rows) for dtype, rows in parts]
    names = Names(*(tuple(name for name, _ in rows) for _, rows in parts))
    rotors, surfaces, bodies, thrusters, drives, batteries, wheels, masses = arrays
    return FilledRows(rotors, surfaces, bodies, thrusters, drives, batteries, wheels, masses, names)


def part_fields(
    tables: AircraftTables, guessed: frozenset[str]
) -> tuple[tuple[np.dtype[np.void], list[tuple[str, Fields]]], ...]:
    """Return the fields of every row by name, kind by kind in the order of `FilledRows`, with the record of the kind.

    Parameters
    ----------
    tables : AircraftTables
        Completed.
    guessed : frozenset of str
        Dotted fields that were filled in.
    """
    return (
        (records.ROTOR, _rotors(tables)),
        (records.SURFACE, _surfaces(tables)),
        (records.BODY, _bodies(tables)),
        (records.THRUSTER, _thrusters(tables)),
        (records.DRIVE, _drives(tables)),
        (records.BATTERY, _batteries(tables)),
        (records.WHEEL, _wheels(tables)),
        (records.MASS, _masses(tables, guessed)),
    )


def _array(dtype: np.dtype[np.void], rows: Sequence[tuple[str, Fields]]) -> Rows:
    array = np.zeros(len(rows), dtype=dtype)
    order = dtype.names or ()
    for number, (_, fields) in enumerate(rows):
        array[number] = tuple(fields.pop(name, 0.0) for name in order)
        if fields:
            raise KeyError(f"no such record fields: {sorted(fields)}")
    return array


def body_axes(place: Point) -> Fields:
    """Return a place in file axes (aft, right, up) as body-axes fields x, y, z (forward, right, down)."""
    return {"x": 0.0 - place[0], "y": place[1], "z": 0.0 - place[2]}


def _rotors(tables: AircraftTables) -> list[tuple[str, Fields]]:
    drives = _drive_rows(tables)
    air = _AIR[tables.field.air]
    rows: list[tuple[str, Fields]] = []
    for name, rotor in tables.rotor.items():
        discs = rotor.discs
        count = discs.count if discs is not None else 0
        common: Fields = {
            "kind": records.DRUM if rotor.kind == "drum" else records.VANED,
            "section": _SECTIONS.get(rotor.section or "", 0.0),
            "buckets": float(rotor.buckets) if rotor.section == "bucket" else 2.0,
            "overlap": rotor.overlap if rotor.section == "bucket" else 0.0,
            "plate_thickness": rotor.skin.thickness or 0.0,
            "span": rotor.span,
            "diameter": rotor.diameter,
            "disc_diameter": discs.diameter if discs is not None else rotor.diameter,
            "disc_thickness": known(discs.thickness) if discs is not None else 0.0,
            "end_discs": float(min(count, 2)),
            "middle_discs": float(max(count - 2, 0)),
            "discs_turn": 1.0 if discs is None or discs.turn else 0.0,
            "stages": float(rotor.stages),
            "stage_phase": rotor.stage_phase or 0.0,
            "rough": 1.0 if rotor.surface == "rough" else 0.0,
            "flow": air,
            "inner_end": 1.0 if rotor.inner_end == "closed" else 0.0,
            "bearing_torque": known(rotor.bearing_torque),
            "bearing_drag": known(rotor.bearing_drag),
            "turning": 1.0,
        }
        for twin, place, _ in twins(name, rotor.position, rotor.mirror):
            rows.append((twin, {**common, **body_axes(place), "drive": drives.get(twin, records.NONE)}))
    return rows


def _drive_rows(tables: AircraftTables) -> dict[str, float]:
    """Return the drive row of every driven rotor."""
    names = [row[0] for row in drive_places(tables)]
    rows = {}
    for rotor, drive, _ in rotor_places(tables):
        if drive != "free":
            own = f"{drive} of {rotor}"
            rows[rotor] = float(names.index(own if own in names else drive))
    return rows


def _drives(tables: AircraftTables) -> list[tuple[str, Fields]]:
    users = list(_drive_rows(tables).values())
    packs = list(tables.battery)
    rows: list[tuple[str, Fields]] = []
    for number, (name, _, drive, _) in enumerate(drive_places(tables)):
        pack = tables.battery[str(drive.battery)]
        governed = drive.speed is not None
        reachable = drive.motor.speed_constant * rule("battery", "cell_voltage").value * pack.cells.series / drive.ratio
        fields: Fields = {
            **_motor(drive.motor),
            "motor_inertia": known(drive.motor.inertia),
            **_controller(drive.controller),
            "ratio": drive.ratio,
            "efficiency": drive.efficiency,
            "idle_torque": known(drive.idle_torque),
            "battery": float(packs.index(str(drive.battery))),
            "governed": 1.0 if governed else 0.0,
            "speed": drive.speed if drive.speed is not None else reachable,
            "rotors": float(sum(user == number for user in users)),
        }
        rows.append((name, fields))
    return rows


def _motor(motor: Motor) -> Fields:
    return {
        "motor_speed_constant": motor.speed_constant,
        "motor_resistance": known(motor.resistance),
        "motor_no_load_current": known(motor.no_load_current),
        "motor_no_load_voltage": motor.no_load_voltage,
        "motor_mass": motor.mass,
        "motor_current_limit": known(motor.current_limit),
    }


def _controller(controller: Controller) -> Fields:
    return {
        "controller_resistance": known(controller.resistance),
        "controller_current_limit": known(controller.current_limit),
    }


def _thrusters(tables: AircraftTables) -> list[tuple[str, Fields]]:
    packs = list(tables.battery)
    rows: list[tuple[str, Fields]] = []
    for name, thruster in tables.thruster.items():
        common: Fields = {
            "kind": records.PROPELLER if thruster.kind == "propeller" else records.FAN,
            "tilt": thruster.tilt,
            **_thruster_size(thruster),
            "family": _FAMILIES[thruster.family or "narrow"],
            "blades": float(thruster.blades or 2),
            "exit_area": thruster.exit_area or 0.0,
            "installation": thruster.installation or 0.0,
            "thrust_scale": thruster.thrust_scale,
            "power_scale": thruster.power_scale,
            **_motor(thruster.motor),
            **_controller(thruster.controller),
            "battery": float(packs.index(str(thruster.battery))),
            "gear_ratio": thruster.gear_ratio,
            "working": 1.0,
        }
        clockwise = 1.0 if thruster.turns == "clockwise" else -1.0
        for twin, place, side in twins(name, thruster.position or (0.0, 0.0, 0.0), thruster.mirror):
            own = {"toe": side * thruster.toe, "turn_sense": side * clockwise}
            rows.append((twin, {**common, **body_axes(place), **own}))
    return rows


def _thruster_size(thruster: Thruster) -> Fields:
    """Return diameter, pitch and what turns, seen at the propeller shaft."""
    form = rule("propeller", "inertia_form").value
    diameter = thruster.propeller.diameter if thruster.propeller is not None else known(thruster.diameter)
    pitch = thruster.propeller.pitch if thruster.propeller is not None else diameter
    bell = known(thruster.motor.inertia) * thruster.gear_ratio**2
    inertia = form * known(thruster.propeller_mass) * diameter**2 + bell
    return {"diameter": diameter, "pitch": pitch, "spin_inertia": inertia}


def _batteries(tables: AircraftTables) -> list[tuple[str, Fields]]:
    rows: list[tuple[str, Fields]] = []
    for name, battery in tables.battery.items():
        fields: Fields = {
            "cells": float(battery.cells.series),
            "parallel": float(battery.cells.parallel),
            "capacity": battery.capacity,
            "resistance_capacity": cell_resistance_capacity(battery),
            "wiring_resistance": battery.wiring_resistance,
            "current_limit": known(battery.current_limit),
            "charge": battery.charge,
            "temperature": battery.temperature,
            "usable": battery.usable,
            "steady_power": known(battery.electronics),
            "mass": known(battery.mass),
        }
        rows.append((name, fields))
    return rows


def _surfaces(tables: AircraftTables) -> list[tuple[str, Fields]]:
    rows: list[tuple[str, Fields]] = []
    for name, surface in tables.surface.items():
        for twin, place, _ in twins(name, surface.position, surface.mirror):
            rows += _surface_rows(twin, surface, place)
    return rows


def _surface_rows(name: str, surface: Surface, place: Point) -> list[tuple[str, Fields]]:
    """Return one row, or two halves where dihedral or ailerons make left and right differ.

    Notes
    -----
    A half has half the area and a span of span/√2, so that span²/area stays the aspect ratio of the whole and the
    downwash of both halves together stays that of the whole.
    """
    control = surface.control
    common: Fields = {
        "kind": _SURFACE_KINDS[str(surface.kind)],
        "chord": known(surface.chord),
        "incidence": surface.incidence,
        "zero_lift_angle": known(surface.zero_lift_angle),
        "max_lift": known(surface.max_lift),
        "section_drag": known(surface.section_drag),
        "control": _CHANNELS[control.name] if control is not None else records.NO_CHANNEL,
        "control_share": control.chord_share if control is not None else 0.0,
        "control_travel": control.travel if control is not None else 0.0,
        "end_plates": 1.0 if surface.end_plates else 0.0,
    }
    area, span = known(surface.area), surface.span
    sign = 1.0 if control is not None else 0.0
    upright = surface.kind == "fin"
    aileron = control is not None and control.name == "aileron"
    if upright or (surface.dihedral == 0.0 and not aileron):
        tilt = math.pi / 2.0 if upright else 0.0
        whole = {"area": area, "span": span, "tilt": tilt, "control_sign": sign}
        return [(name, {**common, **body_axes(place), **whole})]
    if aileron and abs(place[1]) >= 0.5 * span:  # a panel of its own out at one side: the whole of it goes one way
        side = math.copysign(1.0, place[1])
        panel = {"area": area, "span": span, "tilt": -side * surface.dihedral, "control_sign": -side * sign}
        return [(name, {**common, **body_axes(place), **panel})]
    rows = []
    for word, side in (("left", -1.0), ("right", 1.0)):
        out = side * span / 4.0 * cos(surface.dihedral)
        up = span / 4.0 * sin(surface.dihedral)
        half = {
            "area": area / 2.0,
            "span": span / math.sqrt(2.0),
            "tilt": -side * surface.dihedral,
            "control_sign": -side * sign if aileron else sign,  # aileron channel positive: roll right
        }
        where = (place[0], place[1] + out, place[2] + up)
        rows.append((f"{name} {word}", {**common, **body_axes(where), **half}))
    return rows


def _bodies(tables: AircraftTables) -> list[tuple[str, Fields]]:
    rows: list[tuple[str, Fields]] = []
    for name, body in tables.body.items():
        for twin, place, _ in twins(name, body.position, body.mirror):
            rows.append((twin, {**_body(body), **body_axes(place)}))
    for name, strut in tables.strut.items():
        for side in (1.0, -1.0) if strut.mirror else (1.0,):
            rows.append((f"strut {name}" if side > 0 else f"strut {name} mirrored", _strut(strut, side)))
    drag = rule("structure", "wheel_drag").value
    for name, wheel in tables.wheel.items():
        width = known(wheel.width)
        fields: Fields = {
            "length": wheel.diameter,
            "width": width,
            "height": wheel.diameter,
            "drag_area": drag * wheel.diameter * width,
            "side_area": 1.1 * math.pi / 4.0 * wheel.diameter**2,
            "top_area": drag * wheel.diameter * width,
        }
        for twin, place, _ in twins(name, wheel.position, wheel.mirror):
            rows.append((f"wheel {twin}", {**fields, **body_axes(place)}))
    return rows


def _body(body: Body) -> Fields:
    (_, side, top), _ = rule_row("shape", body.shape)
    return {
        "length": body.length,
        "width": body.width,
        "height": body.height,
        "drag_area": known(body.drag_coefficient) * body.width * body.height,
        "side_area": side * body.length * body.height,
        "top_area": top * body.length * body.width,
    }


SKIN_FRICTION_OF_A_ROD = 0.02  # drag coefficient on wetted area along its axis (Hoerner 1965, ch. 3, from memory)


def _strut(strut: Strut, side: float) -> Fields:
    """Return a slender rod as a body: cross-flow drag by the sine-cubed rule along each axis.

    Notes
    -----
    C d L sin³Λ + c_f π d L cos³Λ, Λ between rod and axis. Source: S. F. Hoerner, Fluid-Dynamic Drag (1965), cross-flow
    principle (from memory).
    """
    outer = strut.tube.outer if strut.tube is not None else known(strut.diameter)
    span = tuple(abs(end - start) for start, end in zip(strut.start, strut.end, strict=True))
    length = sqrt(sum(part * part for part in span))
    areas = []
    for part in span:
        along = part / length
        across = sqrt(max(1.0 - along * along, 0.0))
        areas.append(
            length * outer * (strut.drag_coefficient * across**3 + SKIN_FRICTION_OF_A_ROD * math.pi * along**3)
        )
    middle = tuple((start + end) / 2.0 for start, end in zip(strut.start, strut.end, strict=True))
    return {
        "length": max(span[0], outer),
        "width": max(span[1], outer),
        "height": max(span[2], outer),
        "drag_area": areas[0],
        "side_area": areas[1],
        "top_area": areas[2],
        **body_axes((middle[0], side * middle[1], middle[2])),
    }


def _wheels(tables: AircraftTables) -> list[tuple[str, Fields]]:
    rows: list[tuple[str, Fields]] = []
    for name, wheel in tables.wheel.items():
        for twin, place, _ in twins(name, wheel.position, wheel.mirror):
            rows.append((twin, {**body_axes(place), "radius": wheel.diameter / 2.0}))
    return rows


def _masses(tables: AircraftTables, guessed: frozenset[str]) -> list[tuple[str, Fields]]:
    rows: list[tuple[str, Fields]] = []
    for row in mass_rows(tables, guessed):
        names = ("ixx", "iyy", "izz", "ixy", "ixz", "iyz")
        inertia: Mapping[str, float] = dict(zip(names, row.inertia, strict=True))
        fields: Fields = {
            "mass": row.mass,
            **body_axes(row.place),
            **inertia,
            "spread": row.spread,
            "rotor": float(row.rotor),
            "weighed": 1.0 if row.weighed else 0.0,
        }
        rows.append((row.name, fields))
    return rows
