"""Completes a whole aircraft file: every part with all its numbers told, and the list of what was filled in."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorwright.base.constants import RPM
from rotorwright.design.catalogue.reader import rule
from rotorwright.design.complete_airframe import (
    complete_body,
    complete_rotor,
    complete_strut,
    complete_surface,
    complete_wheel,
)
from rotorwright.design.complete_power import complete_battery, complete_drive, complete_thruster
from rotorwright.design.filled_in import FilledIn, Notes, note_guesses
from rotorwright.design.parts.power import Battery
from rotorwright.design.parts.site import AircraftTables
from rotorwright.design.units import plain_number


def complete(tables: AircraftTables) -> tuple[AircraftTables, tuple[FilledIn, ...], tuple[str, ...]]:
    """Return the completed tables, what was filled in, and remarks on what looks forgotten."""
    notes = Notes(tables.material)
    update: dict[str, Any] = {}
    note_guesses("field", tables.field, notes)
    update["rotor"] = {n: complete_rotor(f"rotor.{n}", part, notes) for n, part in tables.rotor.items()}
    update["surface"] = {n: complete_surface(f"surface.{n}", n, part, notes) for n, part in tables.surface.items()}
    update["body"] = {n: complete_body(f"body.{n}", part, notes) for n, part in tables.body.items()}
    update["strut"] = {n: complete_strut(f"strut.{n}", part, notes) for n, part in tables.strut.items()}
    update["wheel"] = {n: complete_wheel(f"wheel.{n}", part, notes) for n, part in tables.wheel.items()}
    load, place = _generic_load(tables), _lift_line(tables)
    batteries = {}
    for name, part in tables.battery.items():
        batteries[name] = complete_battery(f"battery.{name}", part, load, place, notes)
        load = 0.0  # receiver and servos hang on the first pack
    update["battery"] = batteries
    update["thruster"] = {
        n: complete_thruster(f"thruster.{n}", p, batteries, notes) for n, p in tables.thruster.items()
    }
    update["drive"] = {n: complete_drive(f"drive.{n}", part, batteries, notes) for n, part in tables.drive.items()}
    return tables.model_copy(update=update), tuple(notes.entries), _remarks(tables) + slow_drives(tables, batteries)


LOADED_SHARE = 0.85
"""Speed a motor holds under an ordinary load over its unloaded speed (common practice, no source)."""


def slow_drives(tables: AircraftTables, batteries: Mapping[str, Battery]) -> tuple[str, ...]:
    """Return a remark for every drive that cannot turn its rotor as fast as it is asked to, with what would mend it.

    Notes
    -----
    Speed constant × cells × cell voltage / ratio, 0.85 of it under load. Source: common practice, no source.
    """
    said = []
    for name, drive in tables.drive.items():
        pack = batteries.get(str(drive.battery)) or next(iter(batteries.values()), None)
        if drive.speed is None or pack is None or all(rotor.drive != name for rotor in tables.rotor.values()):
            continue
        volts = rule("battery", "cell_voltage").value * pack.cells.series
        reach = LOADED_SHARE * drive.motor.speed_constant * volts / drive.ratio
        if reach < drive.speed:
            asked, more = drive.speed / RPM, drive.motor.speed_constant * drive.speed / reach / RPM
            ratio = drive.ratio * reach / drive.speed
            said.append(
                f"drive.{name} reaches about {plain_number(reach / RPM, 2)} of the {plain_number(asked, 3)} rpm "
                f"asked on {pack.cells.series}S: take a motor with about {plain_number(more, 2)} rpm/V, more cells, "
                f"or a ratio of about {plain_number(ratio, 2)}"
            )
    return tuple(said)


def _generic_load(tables: AircraftTables) -> float:
    if any(battery.electronics is not None for battery in tables.battery.values()):
        return 0.0
    controls = sum(surface.control is not None for surface in tables.surface.values())
    return rule("electronics", "receiver").value + controls * rule("electronics", "servo").value


def _lift_line(tables: AircraftTables) -> tuple[float, float, float]:
    """Return the place where a loose mass least shifts the balance: at the lifting parts, a little below."""
    lifting: list[tuple[float, tuple[float, float, float]]] = [
        (rotor.span * rotor.diameter, rotor.position) for rotor in tables.rotor.values()
    ]
    if not lifting:
        lifting = [(surface.span, surface.position) for surface in tables.surface.values()]
    total = sum(weight for weight, _ in lifting)
    aft = sum(weight * position[0] for weight, position in lifting) / total
    up = sum(weight * position[2] for weight, position in lifting) / total
    return (aft, 0.0, up - 0.03)


def _remarks(tables: AircraftTables) -> tuple[str, ...]:
    remarks = []
    for name in tables.drive:
        if not any(rotor.drive == name for rotor in tables.rotor.values()):
            remarks.append(f"drive.{name} turns no rotor: its mass is not counted and it takes no power")
    for name, battery in tables.battery.items():
        fed = [part.battery for part in tables.thruster.values()] + [part.battery for part in tables.drive.values()]
        users = [pack for pack in fed if pack in {name, None}]
        if not users and not battery.electronics:
            remarks.append(f"battery.{name} feeds nothing")
    if not tables.body and not tables.strut:
        remarks.append("no body and no strut is described: their drag and mass are not counted")
    if not tables.item and tables.weighed is None:
        remarks.append("no receiver, servo or other item is described: their mass is not counted")
    for name, rotor in tables.rotor.items():
        if rotor.kind == "drum" and rotor.drive == "free":
            remarks.append(f"rotor.{name} is a free drum: a smooth drum does not turn itself, so it gives no lift")
    return tuple(remarks)
