"""Reads the catalogue tables and answers look-ups in them."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple


@dataclass(frozen=True)
class MaterialRow:
    """A material: density or areal mass, stiffness, strength, spread of the mass, source. SI."""

    name: str
    spread: float
    source: str
    held_as: str = "maker"
    density: float | None = None
    areal_mass: float | None = None
    thickness: float | None = None
    stiffness: float | None = None
    strength: float | None = None
    shear_stiffness: float | None = None
    aliases: tuple[str, ...] = ()

    def areal(self, thickness: float | None) -> float | None:
        """Return the mass per area of a sheet of this thickness [kg/m²], or None if it cannot be known."""
        if self.areal_mass is not None:
            if thickness is not None and self.thickness is not None:
                return self.areal_mass * thickness / self.thickness
            return self.areal_mass
        known = thickness if thickness is not None else self.thickness
        return self.density * known if self.density is not None and known is not None else None

    def bulk(self) -> float | None:
        """Return the density [kg/m³], or None if it cannot be known."""
        if self.density is not None:
            return self.density
        if self.areal_mass is not None and self.thickness is not None:
            return self.areal_mass / self.thickness
        return None


class BearingRow(NamedTuple):
    """A ball bearing: bore, outer diameter, width [m], mass [kg]."""

    size: str
    bore: float
    outer: float
    width: float
    mass: float


class BearingFriction(NamedTuple):
    """Friction of one bearing: constant torque [N m] and torque per speed [N m s], with its source."""

    torque: float
    drag: float
    source: str


class Rule(NamedTuple):
    """A generic value with its band and source."""

    value: float
    low: float
    high: float
    unit: str
    source: str


def _table(name: str) -> dict[str, Any]:
    return tomllib.loads((Path(__file__).parent / f"{name}.toml").read_text(encoding="utf-8"))


@lru_cache(maxsize=1)
def materials() -> dict[str, MaterialRow]:
    """Return the materials by name."""
    rows = {}
    for name, row in _table("materials").items():
        rows[name] = MaterialRow(name=name, **{**row, "aliases": tuple(row["aliases"])})
    return rows


@lru_cache(maxsize=1)
def _material_words() -> dict[str, str]:
    words = {}
    for row in materials().values():
        for word in (row.name, *row.aliases):
            words[word.casefold()] = row.name
    return words


def find_material(word: str) -> MaterialRow | None:
    """Return the material a word names (by name or other name, letter case ignored), or None."""
    name = _material_words().get(word.strip().casefold())
    return materials()[name] if name is not None else None


def near_material(word: str) -> str:
    """Return the nearest material name to a word, or an empty text."""
    near = get_close_matches(word.strip().casefold(), list(_material_words()), n=1, cutoff=0.5)
    return _material_words()[near[0]] if near else ""


@lru_cache(maxsize=1)
def _bearing_table() -> dict[str, Any]:
    return _table("bearings")


@lru_cache(maxsize=1)
def bearings() -> dict[str, BearingRow]:
    """Return the ball bearings by size number."""
    return {size: BearingRow(size, **row) for size, row in _bearing_table()["sizes"].items()}


def bearing_friction(size: str, seals: str) -> BearingFriction:
    """Return the friction of one bearing by its size number and its seals (open, shielded, sealed).

    Notes
    -----
    The table holds an 8 mm bore; torque and drag go with (bore/8 mm)^1.5 (judgement).
    """
    row = _bearing_table()["friction"][seals]
    scale = (bearings()[size].bore / 0.008) ** 1.5
    return BearingFriction(row["torque"] * scale, row["drag"] * scale, row["source"])


def bearing_for(shaft: float) -> BearingRow:
    """Return the lightest listed bearing whose bore takes a shaft of this diameter [m] (the widest if none does)."""
    rows = sorted(bearings().values(), key=lambda row: (row.bore, row.mass))
    for row in rows:
        if row.bore >= shaft - 1e-6:
            return row
    return rows[-1]


@lru_cache(maxsize=1)
def generic_rules() -> dict[str, Any]:
    """Return the generic rules, group by group, as they stand in the table."""
    return _table("generic")


@lru_cache(maxsize=256)
def rule(group: str, name: str) -> Rule:
    """Return a generic value, such as ``rule("battery", "energy_per_mass")``."""
    row = generic_rules()[group][name]
    return Rule(row["value"], row["low"], row["high"], row["unit"], row["source"])


@lru_cache(maxsize=64)
def rule_row(group: str, name: str) -> tuple[tuple[float, ...], str]:
    """Return a generic row of several values and its source."""
    row = generic_rules()[group][name]
    return tuple(row["value"]), row["source"]


def propeller_family(letters: str) -> str:
    """Guess the blade family from the letters that follow a propeller size: E narrow, SF broad slow, none narrow."""
    word = letters.casefold()
    if word in {"sf", "slow", "s"}:
        return "broad slow"
    if word in {"sp", "gas", "g"}:
        return "engine-type"
    return "narrow"
