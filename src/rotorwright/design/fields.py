"""Dotted fields of an aircraft file: what dimension they take, and how a plain SI number is told as one."""

from __future__ import annotations

from typing import Any

from rotorwright.base.traced import Traced
from rotorwright.design.parts.measure import SI, Measure
from rotorwright.design.problems import model_at

AXES = {"x": "0", "y": "1", "z": "2"}
"""Places in a position, by the letters that makers like."""


def dimension_of(path: str) -> str | None:
    """Return the dimension of the field at a dotted path, or None if it takes no measure."""
    parts = path.split(".")
    if (parts[-1] in AXES or parts[-1].isdigit()) and len(parts) > 1:
        return "length"
    model = model_at(parts[:-1])
    if model is None or parts[-1] not in model.model_fields:
        return None
    info = model.model_fields[parts[-1]]
    return _dimension_in(info.metadata) or _dimension_in((info.annotation,))


def _dimension_in(things: Any) -> str | None:
    for thing in things:
        if isinstance(thing, Measure):
            return thing.dimension
        inner = (*getattr(thing, "__metadata__", ()), *getattr(thing, "__args__", ()))
        found = _dimension_in(inner) if inner else None
        if found:
            return found
    return None


def as_si(value: Any, field: str) -> Any:
    """Return a change's value for a dotted field, plain numbers marked as SI where the field takes a measure."""
    if isinstance(value, list | tuple):
        return [as_si(part, f"{field}.{index}") for index, part in enumerate(value)]
    if isinstance(value, Traced):
        return value
    if isinstance(value, int | float) and not isinstance(value, bool) and dimension_of(field) is not None:
        return SI(value)
    return value
