"""Mass and power classes as data that the maker edits: which class an aeroplane falls into, and what that asks."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from rotorwright.base.errors import InputError

FILE = Path(__file__).parent / "data" / "classes.toml"


@dataclass(frozen=True)
class Class:
    """One class: everything up to ``up_to`` (mass [kg] or sustained electric power [W])."""

    kind: str
    name: str
    up_to: float
    asks: str
    source: str


@dataclass(frozen=True)
class Classes:
    """A table of classes."""

    mass: tuple[Class, ...]
    power: tuple[Class, ...]
    note: str


def read_classes(path: str | Path | None = None) -> Classes:
    """Return the classes of a file, or those that come with the program.

    Parameters
    ----------
    path : str or Path, optional
        TOML with ``[[mass]]`` and ``[[power]]`` entries: name, up_to (left out in the last), asks, source.

    Raises
    ------
    InputError
        If the file cannot be read or an entry cannot be used.
    """
    place = Path(path) if path is not None else FILE
    try:
        told = tomllib.loads(place.read_text(encoding="utf-8"))
    except OSError as trouble:
        raise InputError(f"cannot be read: {trouble.strerror or trouble}", place=str(place)) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as trouble:
        raise InputError(f"is not TOML: {trouble}", place=str(place)) from None
    found: dict[str, tuple[Class, ...]] = {}
    for kind in ("mass", "power"):
        rows = []
        for entry in told.get(kind, []):
            if not isinstance(entry, dict) or not isinstance(entry.get("name"), str):
                raise InputError("a class needs a name", place=str(place), field=kind)
            limit = entry.get("up_to", float("inf"))
            if not isinstance(limit, int | float) or isinstance(limit, bool) or limit <= 0.0:
                raise InputError("is not a limit above zero", place=str(place), field=f"{kind}.up_to", found=str(limit))
            rows.append(
                Class(kind, entry["name"], float(limit), str(entry.get("asks", "")), str(entry.get("source", "")))
            )
        if not rows:
            raise InputError("holds no class of this kind", place=str(place), field=kind)
        found[kind] = tuple(sorted(rows, key=lambda each: each.up_to))
    return Classes(found["mass"], found["power"], str(told.get("note", "check your local rules")))


def class_of(classes: tuple[Class, ...], number: float) -> Class | None:
    """Return the class a number falls into, None if it lies above all of them."""
    return next((each for each in classes if number <= each.up_to), None)
