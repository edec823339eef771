"""Reads an aircraft file: TOML in the maker's units in, a completed aeroplane or a list of everything wrong out."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from rotorwright.base.errors import InputError, InputProblems, Problem
from rotorwright.design.aeroplane import _AXES, Aeroplane, as_si
from rotorwright.design.checks import Findings, check_format, check_tables
from rotorwright.design.complete import complete
from rotorwright.design.mirrors import twin_name
from rotorwright.design.parts.measure import SI
from rotorwright.design.parts.site import PART_KINDS, AircraftTables
from rotorwright.design.positions import Path, line_table
from rotorwright.design.problems import from_validation, placer

LARGEST_FILE = 1_000_000
"""Largest aircraft file read [bytes]; a real one has a few thousand."""


def load(path: str | FilePath, changes: Mapping[str, Any] | None = None) -> Aeroplane:
    """Return the aeroplane described in a file.

    Parameters
    ----------
    path : str or Path
        The aircraft file (TOML).
    changes : mapping, optional
        Dotted field to a text as in the file, or to an SI number; see `Aeroplane.changed`.

    Raises
    ------
    InputProblems
        With every mistake found: file, line, field, found, allowed, nearest right name.
    """
    return loads(read_text(path), str(path), changes)


def loads(text: str, place: str = "the text", changes: Mapping[str, Any] | None = None) -> Aeroplane:
    """Return the aeroplane described in a text; ``place`` names it in messages (see `load`)."""
    told = parse(text, place)
    paths: frozenset[Path] = frozenset()
    if changes:
        told, paths = with_changes(told, changes)
    return build(told, place, text, paths)


def read_text(path: str | FilePath) -> str:
    """Return the text of an aircraft file; raises InputError if it is not a readable text of bearable size."""
    place = str(path)
    file = FilePath(path)
    allowed = "an aircraft file (TOML text)"
    try:
        if file.is_dir():
            raise InputError("is a folder, not a file", place=place, allowed=allowed, hint=_files_in(file))
        size = file.stat().st_size
        if size > LARGEST_FILE:
            limit = f"at most {LARGEST_FILE // 1000} kB"
            raise InputError(
                "is too large for an aircraft file", place=place, found=f"{size // 1000} kB", allowed=limit
            )
        raw = file.read_bytes()
    except FileNotFoundError:
        raise InputError("does not exist", place=place, allowed=allowed, hint=_nearest_file(file)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(f"cannot be read: {reason}", place=place, allowed=allowed) from None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        message = "is not UTF-8 text"
        hint = "Save it again as UTF-8 from your editor"
        raise InputError(
            message, place=place, line=line, found=f"byte 0x{raw[error.start]:02x}", allowed=allowed, hint=hint
        ) from None


def _files_in(folder: FilePath) -> str:
    files = sorted(entry.name for entry in folder.glob("*.toml"))[:3]
    return f"Did you mean {folder / files[0]}?" if files else ""


def _nearest_file(file: FilePath) -> str:
    try:
        names = [entry.name for entry in file.parent.iterdir() if entry.suffix == ".toml"][:500]
    except OSError:
        return ""
    near = get_close_matches(file.name, names, n=1, cutoff=0.6)
    return f"Did you mean {file.parent / near[0]}?" if near else ""


_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")


def parse(text: str, place: str) -> dict[str, Any]:
    """Return the tables of a TOML text; raises InputError where it is not TOML."""
    if "\x00" in text:
        raise InputError(
            "is not text", place=place, line=text.count("\n", 0, text.index("\x00")) + 1, found="a zero byte"
        )
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InputError("is nested too deeply", place=place, allowed="plain tables and fields") from None
    except (tomllib.TOMLDecodeError, ValueError) as error:
        message = str(error)
        at = _AT.search(message)
        line = int(at.group(1)) if at and at.group(1) else len(text.splitlines()) or 1
        lines = text.splitlines()
        found = lines[line - 1].strip() if 0 < line <= len(lines) else ""
        said = _AT.sub("", message)
        words, hint = _toml_words(said)
        raise InputError(
            words, place=place, line=line, found=found[:80], allowed='lines such as span = "620 mm"', hint=hint
        ) from None


def _toml_words(said: str) -> tuple[str, str]:
    if "twice" in said or "overwrite" in said or "already" in said or "immutable" in said:
        return "tells the same table or field twice", "Give every part a name of its own, or delete one of the two"
    if "Invalid value" in said:
        return "has a value that is not TOML", "Texts, and numbers with units, stand in quotes"
    if "Unclosed" in said or "Unterminated" in said or "Expected" in said:
        return f"is not written in TOML ({said})", "Look for a missing quote, bracket or equals sign here or just above"
    return f"is not written in TOML ({said})", ""


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
    from rotorwright.design.mass_rows import total_mass

    mass = total_mass(tables)
    if not LIGHTEST <= mass <= HEAVIEST:
        message = "weighs more or less than can be checked here, all parts together"
        hint = "Look for a wrong unit in a mass or a size"
        raise InputError(message, place=source, found=f"{1000 * mass:.3g} g", allowed="10 g to 150 kg", hint=hint)


def with_changes(told: Mapping[str, Any], changes: Mapping[str, Any]) -> tuple[dict[str, Any], frozenset[Path]]:
    """Return a copy of the tables with changes made, and the paths changed.

    Raises
    ------
    InputProblems
        If a change names a part that is not there.
    """
    fresh = dict(told)
    problems: list[Problem] = []
    paths: set[Path] = set()
    for field, value in changes.items():
        path = tuple(field.split("."))
        problem = _missing_part(fresh, path, field)
        if problem is not None:
            problems.append(problem)
            continue
        try:
            paths.add(_put(fresh, path, from_text(value) if isinstance(value, str) else as_si(value, field)))
        except (TypeError, ValueError, IndexError):
            message = "cannot be changed so: there is no such place"
            problems.append(Problem(message, f"change to {field}", None, field, str(value)))
    if problems:
        raise InputProblems(problems)
    return fresh, frozenset(paths)


def _missing_part(told: Mapping[str, Any], path: tuple[str, ...], field: str) -> Problem | None:
    place = f"change to {field}"
    tables = list(AircraftTables.model_fields)
    if path[0] not in tables:
        near = get_close_matches(path[0], tables, n=1, cutoff=0.5)
        hint = f'Did you mean "{".".join((near[0], *path[1:]))}"?' if near else ""
        return Problem("is not a field of an aircraft file", place, None, field, path[0], ", ".join(tables), hint)
    if path[0] not in PART_KINDS:
        return None
    parts = told.get(path[0], {})
    if len(path) < 3:
        allowed = f"the whole way to a field, such as {path[0]}.{next(iter(parts), 'main')}.mass"
        return Problem("is not a field", place, None, field, field, allowed)
    if path[1] in parts:
        return None
    hint = ""
    for name, part in parts.items():
        if isinstance(part, Mapping) and part.get("mirror") and twin_name(name) == path[1]:
            hint = f'"{path[1]}" mirrors "{name}": change {".".join((path[0], name, *path[2:]))}'
    near = get_close_matches(path[1], list(parts), n=1, cutoff=0.4)
    if near and not hint:
        hint = f'Did you mean "{".".join((path[0], near[0], *path[2:]))}"?'
    allowed = ", ".join(f"{path[0]}.{name}" for name in parts) or f"no {path[0]} is described in this file"
    return Problem(f"names no {path[0]} of this aeroplane", place, None, field, path[1], allowed, hint)


def _put(told: dict[str, Any], path: tuple[str, ...], value: Any) -> Path:
    """Put a value at a path, copying what lies on the way so that the tables it came from stay as they are."""
    where: Any = told
    taken: list[str | int] = []
    for part in path[:-1]:
        key: Any = int(_AXES.get(part, part)) if isinstance(where, list) else part
        below = where[key] if isinstance(where, list) else where.get(key, {})
        if not isinstance(below, dict | list):
            raise TypeError(part)
        where[key] = below = below.copy()
        taken.append(key)
        where = below
    last: Any = path[-1]
    if isinstance(where, list):
        last = int(_AXES.get(last, last))
        where[last] = value
    elif value is None:
        where.pop(last, None)
    else:
        where[last] = value
    return (*taken, last)


_PLAIN = re.compile(r"[+-]?\d+(\.\d+)?([eE][+-]?\d+)?\Z|true\Z|false\Z|[\[{].*[\]}]\Z", re.DOTALL)


def from_text(text: str) -> Any:
    """Return what a change typed as text means: plain numbers, true, false and lists as in the file, else the text."""
    if not _PLAIN.match(text.strip()):
        return text
    try:
        return tomllib.loads(f"value = {text}")["value"]
    except tomllib.TOMLDecodeError:
        return text


__all__ = ["SI", "build", "load", "loads", "parse", "read_text", "with_changes"]
