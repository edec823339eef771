"""The aeroplane as described and completed: frozen, SI inside, with a note of everything that was filled in."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from pydantic import ValidationError

from rotorwright.base.errors import InputError, InputProblems, Problem
from rotorwright.design.changes import try_changes
from rotorwright.design.checks import Findings, check_format, check_tables
from rotorwright.design.complete import complete
from rotorwright.design.fields import AXES, dimension_of
from rotorwright.design.file_text import read_text
from rotorwright.design.filled_in import FilledIn
from rotorwright.design.parts.site import PART_KINDS, AircraftTables, Reserve, Site
from rotorwright.design.positions import Path, line_table
from rotorwright.design.problems import from_validation, placer
from rotorwright.design.units import plain_number, show


@dataclass(frozen=True)
class Aeroplane:
    """An aeroplane read from its file.

    ``tables`` holds every part with all its fields told (SI); ``told`` is what stood in the file, in the maker's
    units; ``filled_in`` lists what neither the file nor a rule of the format told.
    """

    name: str
    tables: AircraftTables
    told: Mapping[str, Any] = field(repr=False)
    source: str = ""
    filled_in: tuple[FilledIn, ...] = field(default=(), repr=False)
    remarks: tuple[str, ...] = ()

    @property
    def field(self) -> Site:
        """Return the field it flies from."""
        return self.tables.field

    @property
    def reserve(self) -> Reserve:
        """Return the reserve asked for."""
        return self.tables.reserve

    @cached_property
    def revision(self) -> str:
        """Return twelve hex digits that change when anything told about the aeroplane changes."""
        text = json.dumps(self.told, sort_keys=True, default=str, ensure_ascii=False)
        return hashlib.sha256(text.encode()).hexdigest()[:12]

    def changed(self, changes: Mapping[str, Any]) -> Aeroplane:
        """Return the aeroplane with some fields told differently.

        Parameters
        ----------
        changes : mapping
            Dotted field (``"rotor.left.diameter"``, ``"item.ballast.position.x"``) to a text as in the file
            (``"200 mm"``), an SI number, or None to untell it.

        Raises
        ------
        InputProblems
            If a field does not exist or a value cannot be used.
        """
        return build_changed(self.told, self.source, "", changes)

    def value(self, path: str) -> Any:
        """Return a field of the completed aeroplane by its dotted path (SI).

        Raises
        ------
        InputError
            If there is no such field.
        """
        where: Any = self.tables
        for part in path.split("."):
            try:
                where = _step(where, part)
            except (KeyError, IndexError, AttributeError, ValueError):
                raise InputError("is not a field of this aeroplane", field=path, found=part) from None
        return where

    def echo(self, path: str, value: float | None = None) -> str:
        """Return a field, or another SI number in its place, as text in the maker's unit."""
        number = self.value(path) if value is None else value
        dimension = dimension_of(path)
        if dimension is None or not isinstance(number, float):
            return str(number)
        told: Any = self.told
        for part in path.split("."):
            if isinstance(told, Mapping):
                told = told.get(part)
            elif isinstance(told, list):
                index = AXES.get(part, part)
                told = told[int(index)] if str(index).isdigit() and int(index) < len(told) else None
            else:
                told = None
        return show(number, told if isinstance(told, str) else "", dimension)


def _step(where: Any, part: str) -> Any:
    if isinstance(where, dict):
        return where[part]
    if isinstance(where, tuple) and not hasattr(where, "_fields"):
        return where[int(AXES.get(part, part))]
    if part.startswith("_") or not (
        part in getattr(type(where), "model_fields", {}) or part in getattr(where, "_fields", ())
    ):
        raise KeyError(part)
    return getattr(where, part)


def build_changed(told: Mapping[str, Any], source: str, text: str, changes: Mapping[str, Any]) -> Aeroplane:
    """Return the completed aeroplane of parsed tables with some fields told differently (arguments as for `build`).

    Raises
    ------
    InputProblems
        With every mistake found in the changes and in the tables, at once.
    """
    fresh, paths, problems = try_changes(told, changes)
    if not problems:
        return build(fresh, source, text, paths)
    try:
        build(fresh, source, text, paths)
    except InputProblems as more:
        problems += more.problems
    raise InputProblems(problems)


def build(told: Mapping[str, Any], source: str, text: str, changed: frozenset[Path] = frozenset()) -> Aeroplane:
    """Return the completed aeroplane of parsed tables.

    Parameters
    ----------
    told : mapping
        The tables as parsed (and changed).
    source : str
        What the file is called.
    text : str
        Its text, for line numbers in messages; read again from ``source`` if empty and needed.
    changed : frozenset of paths
        Fields that do not come from the file.

    Raises
    ------
    InputProblems
        With every mistake found.
    """
    try:
        tables = AircraftTables.model_validate(told)
    except ValidationError as error:
        findings = _findings(source, text, changed)
        check_format(told.get("format"), findings)
        if findings.problems:  # a newer format explains the rest
            raise InputProblems(findings.problems) from None
        _check_the_rest(told, error, findings)
        raise InputProblems([*from_validation(error, findings.place), *findings.problems]) from None
    problems = _joint_problems(tables, source, text, changed)
    if problems:
        raise InputProblems(problems)
    tables, filled_in, remarks = complete(tables)
    _check_mass(tables, source)
    if tables.weighed is not None:
        from rotorwright.design.mass_rows import scale_remarks

        remarks += scale_remarks(tables, frozenset(entry.field for entry in filled_in))
    return Aeroplane(tables.name, tables, told, source, filled_in, remarks)


def _check_the_rest(told: Mapping[str, Any], error: ValidationError, findings: Findings) -> None:
    """Look at the parts that could be read as well, so that all mistakes come in one go."""
    rest = dict(told)
    spoilt: dict[str, dict[str, Any]] = {}
    for entry in error.errors(include_url=False, include_context=False, include_input=False):
        path = entry["loc"]
        kind, name = str(path[0]), str(path[1]) if len(path) > 1 else ""
        parts = rest.get(kind)
        if kind in PART_KINDS and isinstance(parts, Mapping) and len(path) > 1:
            raw = parts.get(name)
            rest[kind] = {key: part for key, part in parts.items() if key != name}
            spoilt.setdefault(kind, {}).setdefault(name, raw if isinstance(raw, Mapping) else {})
        elif kind in PART_KINDS and not isinstance(parts, Mapping):
            return
        else:
            rest.pop(kind, None)
            spoilt.setdefault(kind, {})
    try:
        tables = AircraftTables.model_validate({"format": 1, "name": "rest", **rest})
    except ValidationError:
        return
    check_tables(tables, findings, spoilt)


def _joint_problems(tables: AircraftTables, source: str, text: str, changed: frozenset[Path]) -> list[Problem]:
    quiet = Findings(lambda path: (source, None))
    check_format(tables.format, quiet)
    if not quiet.problems:
        check_tables(tables, quiet)
    if not quiet.problems:
        return []
    placed = _findings(source, text, changed)  # again, now with line numbers
    check_format(tables.format, placed)
    if not placed.problems:
        check_tables(tables, placed)
    return placed.problems


def _findings(source: str, text: str, changed: frozenset[Path]) -> Findings:
    if not text and source:
        try:
            text = read_text(source)
        except InputProblems:
            text = ""
    return Findings(placer(source, line_table(text) if text else {}, changed))


LIGHTEST, HEAVIEST = 0.01, 150.0
"""Total masses that can be checked here [kg]."""


def _check_mass(tables: AircraftTables, source: str) -> None:
    from rotorwright.design.mass_rows import mass_rows, total_mass

    mass = total_mass(tables)
    if LIGHTEST <= mass <= HEAVIEST:
        return
    message = f"is too {'light' if mass < LIGHTEST else 'heavy'} to be checked here, all parts together"
    hint = "Look for a wrong unit in a mass or a size"
    if mass > HEAVIEST and tables.weighed is None:
        heaviest = max(mass_rows(tables, frozenset()), key=lambda row: row.mass)
        hint = f"The heaviest part is {heaviest.name} with {_scale_text(heaviest.mass)}: look for a wrong unit there"
    raise InputError(message, place=source, found=_scale_text(mass), allowed="10 g to 150 kg", hint=hint)


def _scale_text(mass: float) -> str:
    return f"{plain_number(mass, 3)} kg" if mass >= 1.0 else f"{plain_number(1000.0 * mass, 3)} g"
