"""Checks that look at more than one field: references, one-of-two fields, geometry that cannot be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import Any

from rotorwright.base.errors import Problem
from rotorwright.design.catalogue.reader import bearings, find_material, materials, near_material
from rotorwright.design.complete_airframe import surface_kind
from rotorwright.design.mirrors import twin_name
from rotorwright.design.parts.rotor import Shaft
from rotorwright.design.parts.site import FORMAT, AircraftTables
from rotorwright.design.positions import Path
from rotorwright.design.problems import Place, dotted
from rotorwright.design.units import plain_number, shorten


class Findings:
    """Collects problems with their place in the file."""

    def __init__(self, place: Place) -> None:
        self.place = place
        self.problems: list[Problem] = []

    def add(self, path: Path, message: str, found: Any = "", allowed: str = "", hint: str = "") -> None:
        """Add one problem about the field at ``path``."""
        where, line = self.place(path)
        shown = found if found == "" else shorten(found)
        self.problems.append(Problem(message, where, line, dotted(path), shown, allowed, hint))

    def one_of(self, path: Path, message: str, found: str, names: Iterable[str]) -> None:
        """Add a problem about a name that is not one of those it may be."""
        known = list(names)
        near = get_close_matches(found, known, n=1, cutoff=0.4)
        hint = f'Did you mean "{near[0]}"?' if near else ""
        self.add(
            path, message, found, ", ".join(f'"{name}"' for name in known) or "none is described in this file", hint
        )


def check_format(number: Any, findings: Findings) -> None:
    """Check the number of the file format before anything else is read."""
    if isinstance(number, int) and not isinstance(number, bool) and number > FORMAT:
        message = "is a newer file format than this program knows; a newer program is needed to read it"
        findings.add(("format",), message, number, str(FORMAT))
    elif isinstance(number, int) and number < 1:
        findings.add(("format",), "is not a number of a file format", number, str(FORMAT))


def check_tables(
    tables: AircraftTables, findings: Findings, spoilt: Mapping[str, Mapping[str, Any]] | None = None
) -> None:
    """Add every problem that shows only when several fields are seen together.

    Parameters
    ----------
    tables : AircraftTables
        The parts that could be read.
    findings : Findings
        Where to add.
    spoilt : mapping, optional
        Kind → name → raw table of parts that could not be read; they count as there, and their references are checked.
    """
    spoilt = spoilt or {}
    batteries = [*tables.battery, *spoilt.get("battery", {})]
    drives = ["free", *tables.drive, *spoilt.get("drive", {})]
    for kind in ("rotor", "thruster", "drive"):
        for name, raw in spoilt.get(kind, {}).items():
            told = raw.get("drive" if kind == "rotor" else "battery")
            names = drives if kind == "rotor" else batteries
            if isinstance(told, str) and told not in names:
                word = "drive" if kind == "rotor" else "battery"
                findings.one_of((kind, name, word), f"names no {word} of this file", told, names)
    if not tables.rotor and not tables.surface and not spoilt:
        findings.add(
            (),
            "describes no rotor and no surface, so there is nothing to fly with",
            "",
            "[rotor.main] or [surface.wing]",
        )
    _rotors(tables, drives, findings)
    _surfaces(tables, findings)
    _struts(tables, findings)
    _power(tables, batteries, findings)
    _materials(tables, findings)
    for kind in ("rotor", "surface", "body", "strut", "thruster", "wheel", "item"):
        _mirrors(kind, getattr(tables, kind), findings)


def _rotors(tables: AircraftTables, drives: list[str], findings: Findings) -> None:
    for name, rotor in tables.rotor.items():
        path: Path = ("rotor", name)
        if rotor.kind == "drum" and rotor.section is not None:
            findings.add(
                (*path, "section"), "belongs to vaned rotors, but this is a drum", rotor.section, "leave it out"
            )
        if rotor.drive not in drives:
            findings.one_of((*path, "drive"), "names no drive of this file", rotor.drive, drives)
        if rotor.overlap and rotor.overlap >= 0.8 * rotor.diameter:
            allowed = f"less than {plain_number(800 * rotor.diameter)} mm (0.8 rotor diameters)"
            findings.add((*path, "overlap"), "leaves no bucket", f"{plain_number(1000 * rotor.overlap)} mm", allowed)
        if rotor.discs is not None and rotor.discs.diameter < 0.5 * rotor.diameter:
            allowed = f"at least {plain_number(500 * rotor.diameter)} mm (half the rotor diameter)"
            found = f"{plain_number(1000 * rotor.discs.diameter)} mm"
            findings.add((*path, "discs", "diameter"), "is far smaller than the rotor it should close", found, allowed)
        if rotor.shaft.tube is not None and rotor.shaft.tube.outer >= rotor.diameter:
            allowed = "a tube thinner than the rotor"
            found = f"{plain_number(1000 * rotor.shaft.tube.outer)} mm"
            findings.add((*path, "shaft", "tube"), "is as wide as the rotor itself", found, allowed)
        _bearing_places(rotor.shaft, (*path, "shaft"), findings)
        size = rotor.shaft.bearings
        if size is not None and size not in bearings():
            findings.one_of((*path, "shaft", "bearings"), "is not a bearing size listed here", size, bearings())
        if rotor.mirror and abs(rotor.position[1]) < 0.5 * rotor.span:
            allowed = f"at least {plain_number(500 * rotor.span)} mm to the right or left (half the span)"
            found = f"{plain_number(1000 * rotor.position[1])} mm"
            findings.add((*path, "position"), "makes the two mirrored rotors run through each other", found, allowed)


def _bearing_places(shaft: Shaft, path: Path, findings: Findings) -> None:
    places = shaft.bearing_positions
    if places is None:
        return
    shown = ", ".join(f"{plain_number(1000 * place)} mm" for place in places)
    if list(places) != sorted(set(places)):
        findings.add((*path, "bearing_positions"), "must rise from left to right", shown)
    if "bearing_count" in shaft.model_fields_set and shaft.bearing_count != len(places):
        findings.add(
            (*path, "bearing_count"), "is not how many positions are told", shaft.bearing_count, str(len(places))
        )
    if shaft.length is not None and max(abs(place) for place in places) > 0.5 * shaft.length + 1e-9:
        allowed = f"within {plain_number(500 * shaft.length)} mm of the middle"
        findings.add((*path, "bearing_positions"), "puts a bearing off the tube", shown, allowed)
    if len(places) == 1 and shaft.turns:
        findings.add((*path, "bearing_positions"), "holds the shaft at one place only", shown, "two places or more")


def _surfaces(tables: AircraftTables, findings: Findings) -> None:
    for name, surface in tables.surface.items():
        path: Path = ("surface", name)
        if surface.kind is None and surface_kind(name) is None:
            words = '"wing", "tailplane", "fin", "canard"'
            findings.add((*path, "kind"), "is missing, and the name does not tell it", "", words)
        if (surface.kind or surface_kind(name)) == "fin" and surface.dihedral:
            findings.add((*path, "dihedral"), "belongs to wings and tailplanes, but this is a fin", "", "leave it out")
        if surface.chord is None and surface.area is None:
            findings.add(path, "needs a chord or an area", "neither", 'chord = "160 mm" or area = "8 dm2"')
        elif surface.chord is not None and surface.area is not None:
            findings.add((*path, "area"), "is told twice, by chord and by area", "both", "chord or area, not both")


def _struts(tables: AircraftTables, findings: Findings) -> None:
    for name, strut in tables.strut.items():
        path: Path = ("strut", name)
        if (strut.tube is None) == (strut.diameter is None):
            found = "neither" if strut.tube is None else "both"
            findings.add(
                path, "needs a tube or a diameter, one of both", found, 'tube = "carbon 8x6 mm" or diameter = "3 mm"'
            )
        if strut.start == strut.end:
            findings.add((*path, "end"), "is the same point as the start", "", "two different points")


def _power(tables: AircraftTables, batteries: list[str], findings: Findings) -> None:
    for kind, parts in (("thruster", tables.thruster), ("drive", tables.drive)):
        for name, part in parts.items():
            path: Path = (kind, name)
            if part.battery is not None and part.battery not in batteries:
                findings.one_of((*path, "battery"), "names no battery of this file", part.battery, batteries)
            elif part.battery is None and len(batteries) != 1:
                found = f"{len(batteries)} batteries" if batteries else "no battery at all"
                names = ", ".join(f'"{battery}"' for battery in batteries) or "a [battery.main] table"
                findings.add((*path, "battery"), "must be told", found, names)
    for name, thruster in tables.thruster.items():
        path = ("thruster", name)
        if thruster.kind == "propeller" and thruster.propeller is None:
            findings.add((*path, "propeller"), "is missing", "nothing", 'a propeller size, such as propeller = "9x5"')
        if thruster.kind == "fan" and thruster.diameter is None:
            findings.add(
                (*path, "diameter"), "is missing", "nothing", 'the fan\'s diameter, such as diameter = "64 mm"'
            )
        wrong = ("diameter", "exit_area", "installation") if thruster.kind == "propeller" else ("propeller", "family")
        for field in wrong:
            if getattr(thruster, field) is not None:
                other = "fans" if thruster.kind == "propeller" else "propellers"
                findings.add((*path, field), f"belongs to {other} only", "", "leave it out")


def _materials(tables: AircraftTables, findings: Findings) -> None:
    for name, material in tables.material.items():
        if material.density is None and material.areal_mass is None:
            findings.add(("material", name), "needs a density or an areal mass", "neither", 'density = "33 kg/m3"')
    used: list[tuple[Path, str | None]] = []
    for name, rotor in tables.rotor.items():
        used.append((("rotor", name, "skin", "material"), rotor.skin.material))
        used.append((("rotor", name, "shaft", "material"), rotor.shaft.material))
        if rotor.shaft.tube is not None:
            used.append((("rotor", name, "shaft", "tube"), rotor.shaft.tube.words or None))
        if rotor.discs is not None:
            used.append((("rotor", name, "discs", "material"), rotor.discs.material))
    parts: Mapping[str, Mapping[str, Any]] = {"surface": tables.surface, "body": tables.body, "strut": tables.strut}
    for kind, members in parts.items():
        used += [((kind, name, "material"), part.material) for name, part in members.items()]
    for name, strut in tables.strut.items():
        if strut.tube is not None:
            used.append((("strut", name, "tube"), strut.tube.words or None))
    for path, word in used:
        if word is not None and word not in tables.material and find_material(word) is None:
            near = near_material(word)
            names = ", ".join(f'"{name}"' for name in (*tables.material, *materials()))
            hint = (
                f'Did you mean "{near}"? Or describe your own in a table [material.NAME]'
                if near
                else ("Describe your own in a table [material.NAME]")
            )
            findings.add(path, "names no material known here", word, names, hint)


def _mirrors(kind: str, parts: Mapping[str, Any], findings: Findings) -> None:
    for name, part in parts.items():
        if not part.mirror:
            continue
        twin = twin_name(name)
        if twin in parts:
            message = f"is the mirror of [{kind}.{name}] and is described as well"
            findings.add((kind, twin), message, "", f"mirror = false, or no [{kind}.{twin}]")
        if kind == "strut":
            centred = part.start[1] == 0.0 and part.end[1] == 0.0
        else:
            position = part.position or (0.0, 0.0, 0.0)
            centred = position[1] == 0.0
        if centred:
            message = "cannot be mirrored: it stands on the middle line"
            findings.add((kind, name, "mirror"), message, True, "a place to the right or left, or mirror = false")
