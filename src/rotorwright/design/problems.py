"""Turns what the model check found into problems a maker can mend: file, line, field, found, allowed, nearest name."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from difflib import get_close_matches
from typing import Any, get_args

from pydantic import BaseModel, ValidationError

from rotorwright.base.errors import CHANGE, Problem
from rotorwright.design.parts.site import PART_KINDS, AircraftTables, PartNameProblem
from rotorwright.design.positions import Path, line_of
from rotorwright.design.units import UnitProblem, shorten

Place = Callable[[Path], tuple[str, int | None]]


def dotted(path: Sequence[str | int]) -> str:
    """Return a path as the maker writes it: rotor.left.position.0."""
    return ".".join(str(part) for part in path)


def placer(file: str, lines: Mapping[Path, int], changed: frozenset[Path]) -> Place:
    """Return the function that tells in which file and line, or in which change, a field stands."""

    def place(path: Path) -> tuple[str, int | None]:
        for change in changed:
            if path[: len(change)] == change:
                return f"{CHANGE}{dotted(change)}", None
        return file, line_of(lines, path)

    return place


def model_at(path: Sequence[str | int]) -> type[BaseModel] | None:
    """Return the model of the table that a path leads to, or None."""
    model: type[BaseModel] | None = AircraftTables
    skip = False
    for part in path:
        if skip:  # the name of a part
            skip = False
            continue
        if model is None or not isinstance(part, str) or part not in model.model_fields:
            return None
        if model is AircraftTables and part in PART_KINDS:
            skip = True
        model = model_in(model.model_fields[part].annotation)
    return model


def model_in(annotation: Any) -> type[BaseModel] | None:
    """Return the model that an annotation holds, or None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in get_args(annotation):
        found = model_in(part)
        if found is not None:
            return found
    return None


def from_validation(error: ValidationError, place: Place) -> list[Problem]:
    """Return every mistake pydantic found, in words."""
    return [_problem(entry, place) for entry in error.errors(include_url=False)]


def _problem(entry: Any, place: Place) -> Problem:
    path: Path = tuple(entry["loc"])
    kind: str = entry["type"]
    context: dict[str, Any] = entry.get("ctx", {})
    found = shorten(entry["input"])
    message, allowed, hint = str(entry["msg"]), "", ""
    cause = context.get("error")
    if isinstance(cause, UnitProblem):
        message, found, allowed, hint = cause.message, cause.found, cause.allowed, cause.hint
        if isinstance(cause, PartNameProblem):
            path = (*path, cause.name)
    elif kind == "missing":
        message, found = "is missing", "nothing"
        allowed = _description(path)
        if isinstance(path[-1], int):
            message, found = "is missing: a position has three coordinates", "nothing"
    elif kind == "extra_forbidden":
        message, allowed, hint = _unknown_field(path)
        found = f'"{path[-1]}"'
    elif kind == "literal_error":
        expected = context["expected"].replace("'", '"').replace(" or ", ", ")
        message, allowed = "is not one of the words known here", expected
        words = [word.strip('"') for word in expected.split(", ")]
        near = get_close_matches(str(entry["input"]).casefold(), words, n=1, cutoff=0.4)
        hint = f'Did you mean "{near[0]}"?' if near else ""
    elif kind.startswith("int_") or kind == "int_type":
        message, allowed = "must be a whole number", "a whole number without quotes, such as 3"
    elif kind.startswith("bool_"):
        message, allowed = "must be true or false", "true or false, without quotes"
    elif kind in {"greater_than_equal", "less_than_equal"}:
        limit = "at least " + str(context["ge"]) if "ge" in context else "at most " + str(context["le"])
        message, allowed = "is outside what can be checked here", limit
    elif kind == "string_type":
        message, allowed = "must be text", "text in quotes"
    elif kind in {"string_too_short", "string_too_long"}:
        message, allowed = "is too short or too long", "1 to 120 letters"
    elif kind in {"model_type", "model_attributes_type", "dict_type"}:
        message, allowed = "must be a table", _table_example(path)
    elif kind in {"tuple_type"}:
        message, allowed = "must be a list", '[aft, right, up], such as ["180 mm", "0 mm", "40 mm"]'
    elif kind == "too_long":
        message, allowed = "has too many entries", "three: aft, right, up"
    where, line = place(path)
    return Problem(message, where, line, dotted(path), found, allowed, hint)


def _table_example(path: Path) -> str:
    if len(path) == 1 and path[0] in PART_KINDS:
        return f"tables with names, such as [{path[0]}.main]"
    model = model_at(path)
    names = ", ".join(list(model.model_fields)[:6]) if model is not None else ""
    return f"a table with fields such as {names}" if names else "a table"


def _description(path: Path) -> str:
    model = model_at(path[:-1])
    name = path[-1]
    if model is None or not isinstance(name, str) or name not in model.model_fields:
        return ""
    field = model.model_fields[name]
    choices = [choice for choice in getattr(field.annotation, "__args__", ()) if isinstance(choice, str)]
    example = f'"{choices[0]}"' if choices else _EXAMPLES.get(name, "")
    text = (field.description or "").rstrip(".")
    return f"{text[:1].lower()}{text[1:]}" + (f", such as {name} = {example}" if example else "")


_EXAMPLES = {
    "span": '"620 mm"', "diameter": '"150 mm"', "position": '["180 mm", "0 mm", "40 mm"]', "mass": '"60 g"',
    "capacity": '"2200 mAh"', "cells": '"3S"', "speed_constant": '"900 rpm/V"', "ratio": "3.2",
    "format": "1", "name": '"My rotor plane"', "length": '"700 mm"', "width": '"80 mm"', "height": '"100 mm"',
    "motor": '{ speed_constant = "900 rpm/V", mass = "60 g" }', "start": '["300 mm", "0 mm", "0 mm"]',
    "end": '["900 mm", "0 mm", "0 mm"]',
}  # fmt: skip


def _unknown_field(path: Path) -> tuple[str, str, str]:
    model = model_at(path[:-1])
    names = list(model.model_fields) if model is not None else []
    wrong = str(path[-1])
    near = get_close_matches(wrong.casefold().replace(" ", "_"), names, n=1, cutoff=0.5)
    what = "table" if len(path) == 1 else "field"
    hint = f'Did you mean "{near[0]}"?' if near else ""
    return f"is not a {what} known here", ", ".join(names), hint
