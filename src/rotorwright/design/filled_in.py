"""The list of what the maker did not tell and the program filled in, each with value, reason and source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rotorwright.base.errors import InternalError
from rotorwright.design.catalogue.reader import MaterialRow, find_material
from rotorwright.design.parts.airframe import Material
from rotorwright.design.parts.measure import Measure, Part
from rotorwright.design.unit_table import DIMENSIONS
from rotorwright.design.units import show


@dataclass(frozen=True)
class FilledIn:
    """One generic fill-in: dotted field, value as text, why this value, source."""

    field: str
    value: str
    why: str
    source: str = "common practice, no source"


@dataclass
class Notes:
    """Collects fill-ins while an aeroplane is completed, and looks up its materials."""

    own_materials: Mapping[str, Material]
    entries: list[FilledIn] = field(default_factory=list)

    def text(self, path: str, value: str, why: str, source: str = "common practice, no source") -> str:
        """Note a fill-in that is a word and return it."""
        self.entries.append(FilledIn(path, value, why, source))
        return value

    def number(self, path: str, value: float, dimension: str, why: str, source: str, unit: str = "") -> float:
        """Note a fill-in that is a measure and return it (SI)."""
        shown = show(value, unit or DIMENSIONS[dimension].usual, dimension, 3)
        self.entries.append(FilledIn(path, shown, why, source))
        return value

    def material(self, name: str) -> MaterialRow:
        """Return the material of that name, the maker's own first."""
        own = self.own_materials.get(name)
        if own is not None:
            return MaterialRow(
                name=name,
                spread=own.spread,
                source="the maker's own table",
                density=own.density,
                areal_mass=own.areal_mass,
                thickness=own.thickness,
                stiffness=own.stiffness,
                strength=own.strength,
            )
        row = find_material(name)
        if row is None:
            raise InternalError(f"material {name!r} passed the check but is not in the catalogue")
        return row


# Fields whose plain default is a guess about this aeroplane rather than a meaning of the file format.
GUESSES: dict[str, dict[str, str]] = {
    "Site": {"temperature": "standard air", "humidity": "ordinary air"},
    "Shaft": {"seals": "most miniature bearings are sold shielded and greased"},
    "Control": {"chord_share": "ordinary hinge line", "travel": "ordinary throw"},
    "Surface": {"section": "flat board or sheet"},
    "Body": {"shape": "word for its drag"},
    "Drive": {"efficiency": "small tooth belt or one pair of gears"},
    "Battery": {
        "condition": "a pack that is neither new nor worn out",
        "wiring_resistance": "leads and two connectors",
        "charge": "the flight is judged on a part-used pack",
        "temperature": "a pack at work is warmer than the air",
        "usable": "the rest is kept so that the pack lasts",
    },
}


def note_guesses(path: str, part: Part, notes: Notes) -> None:
    """Note every plain default of a part that is a guess (see `GUESSES`)."""
    for name, why in GUESSES.get(type(part).__name__, {}).items():
        if name in part.model_fields_set:
            continue
        value = getattr(part, name)
        measure = next((m for m in type(part).model_fields[name].metadata if isinstance(m, Measure)), None)
        if isinstance(value, float) and measure is not None:
            notes.number(f"{path}.{name}", value, measure.dimension, why, "common practice, no source")
        else:
            notes.text(f"{path}.{name}", str(value), why)


def known(value: float | None) -> float:
    """Return a number that completing the aeroplane has made sure of."""
    if value is None:
        raise InternalError("a field that should have been filled in is still empty")
    return value
