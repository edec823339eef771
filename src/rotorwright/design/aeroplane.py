"""The aeroplane as described and completed: frozen, SI inside, with a note of everything that was filled in."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from rotorwright.base.errors import InputError
from rotorwright.design.filled_in import FilledIn
from rotorwright.design.parts.measure import SI, Measure
from rotorwright.design.parts.site import AircraftTables, Reserve, Site
from rotorwright.design.units import show


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
        from rotorwright.design.aircraft_file import build, with_changes

        told, paths = with_changes(self.told, changes)
        return build(told, self.source, "", paths)

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
                index = _AXES.get(part, part)
                told = told[int(index)] if str(index).isdigit() and int(index) < len(told) else None
            else:
                told = None
        return show(number, told if isinstance(told, str) else "", dimension)


_AXES = {"x": "0", "y": "1", "z": "2"}


def _step(where: Any, part: str) -> Any:
    if isinstance(where, dict):
        return where[part]
    if isinstance(where, tuple) and not hasattr(where, "_fields"):
        return where[int(_AXES.get(part, part))]
    if part.startswith("_") or not (
        part in getattr(type(where), "model_fields", {}) or part in getattr(where, "_fields", ())
    ):
        raise KeyError(part)
    return getattr(where, part)


def dimension_of(path: str) -> str | None:
    """Return the dimension of the field at a dotted path, or None if it takes no measure."""
    from rotorwright.design.problems import model_at

    parts = path.split(".")
    if parts[-1] in {*_AXES, "0", "1", "2"} and len(parts) > 1:
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
    if isinstance(value, int | float) and not isinstance(value, bool) and dimension_of(field) is not None:
        return SI(value)
    return value
