"""What tubes, sheets, foams and bearings stand: look-ups in the strength tables of the catalogue."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from rotorwright.design.catalogue.reader import BearingRow, MaterialRow, bearings


class TubeMaterial(NamedTuple):
    """Stiffness and design strengths of a tube's wall [Pa]; ``spread`` is half the 80 % band of the stiffness."""

    modulus: float
    shear_modulus: float
    bending: float
    across: float
    shear: float
    spread: float
    source: str


class TubeSize(NamedTuple):
    """A stock size: name, outer and inner diameter [m]."""

    name: str
    outer: float
    inner: float


class SheetStrength(NamedTuple):
    """Design tension round a drum and in a disc [Pa], with the 80 % band as factors, and where it softens [K]."""

    around: float
    disc: float
    low: float
    high: float
    softens: float
    source: str


class BearingRating(NamedTuple):
    """Dynamic and static load rating [N] and geometry factor f₀ of a bearing."""

    size: str
    load: float
    static: float
    geometry_factor: float


def _table(name: str) -> dict[str, Any]:
    return tomllib.loads((Path(__file__).parent / f"{name}.toml").read_text(encoding="utf-8"))


@lru_cache(maxsize=1)
def _tubes() -> dict[str, Any]:
    return _table("tubes")


@lru_cache(maxsize=1)
def _sheets() -> tuple[dict[str, Any], dict[str, Any]]:
    return _table("sheets"), _table("foams")


@lru_cache(maxsize=1)
def _ratings() -> dict[str, Any]:
    return _table("bearings")["ratings"]


@lru_cache(maxsize=1)
def tube_sizes() -> tuple[TubeSize, ...]:
    """Return the stock sizes, lightest first."""
    return tuple(TubeSize(name, *size) for name, size in _tubes()["sizes"].items())


def tube_material(material: MaterialRow) -> TubeMaterial:
    """Return what a tube of a material stands; materials without a row of their own take their general figures.

    Parameters
    ----------
    material : MaterialRow
        From the catalogue or the maker's own table.
    """
    row = _tubes().get(material.name)
    if row is None:
        modulus, strength = material.stiffness or 1.0e10, material.strength or 2.0e7
        return TubeMaterial(modulus, modulus / 2.6, strength, 0.3 * strength, 0.5 * strength, 0.2, material.source)
    spread = 0.5 * (row["modulus_high"] - row["modulus_low"]) / row["modulus"]
    return TubeMaterial(
        row["modulus"], row["shear_modulus"], row["bending"], row["across"], row["shear"], spread, row["source"]
    )


def sheet_strength(material: MaterialRow) -> SheetStrength | None:
    """Return what a sheet, film or foam stands, or None if nothing is known of its strength.

    Parameters
    ----------
    material : MaterialRow
        From the catalogue or the maker's own table; a strength told there counts as it stands.
    """
    sheets, foams = _sheets()
    if material.name in sheets:
        row = sheets[material.name]
        return SheetStrength(row["around"], row["disc"], row["low"], row["high"], row["softens"], row["source"])
    if material.name in foams:
        row = foams[material.name]
        low, high = row["tension"]
        middle = (low * high) ** 0.5
        return SheetStrength(middle, middle, low / middle, high / middle, row["softens"], row["source"])
    if material.strength is None:
        return None
    return SheetStrength(material.strength, material.strength, 0.8, 1.25, 343.0, material.source)


def bearing_rating(size: str) -> BearingRating:
    """Return the ratings of a bearing.

    Parameters
    ----------
    size : str
        A size number of the catalogue.
    """
    return BearingRating(size, *_ratings()[size])


def stronger_bearings(size: str, shaft: float) -> list[tuple[BearingRow, BearingRating]]:
    """Return the bearings that take a shaft and stand more than a given size, lightest first.

    Parameters
    ----------
    size : str
        The size it has now.
    shaft : float
        Diameter of the shaft [m].
    """
    now = bearing_rating(size).static
    rows = [row for row in bearings().values() if shaft - 1e-6 <= row.bore <= shaft + 0.0021]
    return sorted(
        ((row, bearing_rating(row.size)) for row in rows if bearing_rating(row.size).static > now),
        key=lambda pair: pair[0].mass,
    )
