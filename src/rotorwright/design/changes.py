"""Changes to a described aeroplane by dotted field: `rotor.left.diameter` told differently, all else as it was."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from rotorwright.base.errors import CHANGE, InputProblems, Problem
from rotorwright.design.fields import AXES, as_si
from rotorwright.design.mirrors import twin_name
from rotorwright.design.parts.site import PART_KINDS, AircraftTables
from rotorwright.design.positions import Path


def with_changes(told: Mapping[str, Any], changes: Mapping[str, Any]) -> tuple[dict[str, Any], frozenset[Path]]:
    """Return a copy of the tables with changes made, and the paths changed.

    Raises
    ------
    InputProblems
        If a change names a part that is not there.
    """
    fresh, paths, problems = try_changes(told, changes)
    if problems:
        raise InputProblems(problems)
    return fresh, paths


def try_changes(
    told: Mapping[str, Any], changes: Mapping[str, Any]
) -> tuple[dict[str, Any], frozenset[Path], list[Problem]]:
    """Return a copy of the tables with those changes made that can be, the paths changed, and what was wrong."""
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
            problems.append(Problem(message, f"{CHANGE}{field}", None, field, str(value)))
    return fresh, frozenset(paths), problems


def _missing_part(told: Mapping[str, Any], path: tuple[str, ...], field: str) -> Problem | None:
    place = f"{CHANGE}{field}"
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
        key: Any = int(AXES.get(part, part)) if isinstance(where, list) else part
        below = where[key] if isinstance(where, list) else where.get(key, {})
        if not isinstance(below, dict | list):
            raise TypeError(part)
        where[key] = below = below.copy()
        taken.append(key)
        where = below
    last: Any = path[-1]
    if isinstance(where, list):
        last = int(AXES.get(last, last))
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
