"""Writes docs/aircraft-file.md, the reference of the aircraft file, from the models and catalogue tables themselves."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any, get_args

from pydantic import BaseModel
from pydantic.fields import FieldInfo, PydanticUndefined

from rotorwright.design.catalogue.reader import bearing_friction, bearings, generic_rules, materials
from rotorwright.design.filled_in import GUESSES
from rotorwright.design.parts.measure import Measure, ShortForm
from rotorwright.design.parts.site import PART_KINDS, AircraftTables
from rotorwright.design.problems import model_in
from rotorwright.design.unit_table import DIMENSIONS
from rotorwright.design.units import Range, plain_number, show

PAGE = Path(__file__).parents[1] / "docs" / "aircraft-file.md"

INTRO = """# The aircraft file

One text file describes the aeroplane. It is TOML: tables in square brackets, fields as `name = value`, remarks after
`#`. Everything with a unit stands in quotes with its unit, in whatever unit you measured it: `"620 mm"`, `"24 1/2 in"`,
`"1,5 m"`, `"2 lb 3 oz"`. This page is written by `tools/aircraft_file_page.py` from the program itself.

A whole small aeroplane:

```toml
{example}```

## Rules

- **Places** are `[aft, right, up]` from the nose point, any fixed point you choose at the nose. A part's place is its
  middle; a rotor's is the middle of its span; a surface's is the point a quarter chord back, at the middle of its span.
- **Names** of parts are yours: `[rotor.left]`, `[battery.main]`. `mirror = true` makes an equal twin on the other side
  (`left` gives `right`, other names get `-mirror`). Mirrored rotors turn the *same* way, as both must lift; mirrored
  propellers turn opposite ways.
- **Decimal comma**: `"1,5 m"` and `"1,25 m"` are read; `"1,500 m"` can be read in two ways and is refused.
- **Bare numbers** are refused where a unit belongs. Shares may be written `0.35` or `"35 %"`.
- **Letter case** of units counts only where milli and mega would be mixed up (`mW`, `MW`).
- **What you leave out** is filled in by the rules below and listed as such with every answer. What you weigh or measure
  (`mass`, `inertia`, `bearing_torque`, `resistance`, the `[weighed]` table ...) always goes before what is reckoned.
- **Mistakes** are reported all at once, each with line, field, what was found and what is allowed. Nothing is
  overwritten.
- **Format number**: this program reads format {format}. A newer number is refused with a word to that effect.
- **Size**: a file of more than 1 MB is refused.
- **Editors** that complete and check TOML by a JSON Schema get one from
  `python -c "import json; from rotorwright.design.schema import json_schema; print(json.dumps(json_schema()))"`.

Directions of spin: the top of a lifting rotor moves aft, with the wind. Buckets and S-sections turn so that the hollow
side faces the wind at the top.

> Spinning rotors and propellers, lithium batteries and flights near people can hurt. The program checks numbers, not
> hinges, glue or people. Your local rules, your club's safety officer and licensed practice come first.
"""

DERIVED = {
    "Rotor.section": '`"s-section"` for vaned rotors',
    "Rotor.stage_phase": "spread evenly over one repeat of the section",
    "Rotor.bearing_torque": "by size, seals and number of bearings",
    "Rotor.bearing_drag": "by size, seals and number of bearings",
    "Rotor.mass": "from skin, discs and shaft",
    "Rotor.inertia": "from skin, discs and shaft",
    "Rotor.discs": "no discs",
    "Discs.material": '`"foam sheet"`',
    "Discs.thickness": "sheet of that material, else 3 mm",
    "Skin.material": '`"foam sheet"`',
    "Skin.thickness": "3 mm up to 200 mm diameter, 6 mm above",
    "Skin.areal_mass": "from material and thickness",
    "Shaft.tube": "stock carbon tube by span",
    "Shaft.material": "the word before the tube's size, else carbon",
    "Shaft.length": "span and 60 mm",
    "Shaft.bearings": "smallest size that takes the tube",
    "Shaft.bearing_positions": "in the middle of what the tube stands out by, the rest evenly between",
    "Shaft.mount": '`"bracket"`',
    "Shaft.mount_stiffness": "by the word for the mount",
    "Shaft.mount_stiffness_fore": "as up and down",
    "Surface.kind": "told by the name: wing, tail, fin, rudder, canard ...",
    "Surface.chord": "from the area",
    "Surface.area": "from the chord",
    "Surface.max_lift": "by the section",
    "Surface.section_drag": "by the section",
    "Surface.zero_lift_angle": "by the section",
    "Surface.control": "none",
    "Surface.material": '`"light foam board"` if no mass is told',
    "Surface.thickness": "of that material",
    "Surface.areal_mass": "from material and thickness",
    "Surface.mass": "from area and areal mass",
    "Body.drag_coefficient": "by the shape",
    "Body.material": '`"light foam board"` if no mass is told',
    "Body.thickness": "of that material",
    "Body.areal_mass": "from material and thickness",
    "Body.mass": "from its walls",
    "Strut.tube": "tube or diameter, one of both",
    "Strut.diameter": "tube or diameter, one of both",
    "Strut.material": "the word before the tube's size; carbon above 3 mm, steel below",
    "Strut.mass": "from its size and material",
    "Wheel.width": "a third of the diameter",
    "Wheel.mass": "foam-tyred wheel of this size",
    "Item.size": "a point",
    "Material.density": "density or areal mass, one of both",
    "Material.areal_mass": "density or areal mass, one of both",
    "Material.thickness": "unknown",
    "Material.stiffness": "unknown",
    "Material.strength": "unknown",
    "Motor.resistance": "from speed constant and mass",
    "Motor.no_load_current": "from speed constant and mass",
    "Motor.current_limit": "burst power by mass",
    "Motor.inertia": "from the mass",
    "Controller.current_limit": "a quarter above the motor's",
    "Controller.resistance": "by its current",
    "Controller.mass": "by its current",
    "Thruster.propeller": "needed for a propeller",
    "Thruster.blades": "2 (propeller), 8 (fan)",
    "Thruster.family": '`"narrow"`; letters after the size tell others',
    "Thruster.diameter": "needed for a fan",
    "Thruster.exit_area": "nine tenths of the swept area",
    "Thruster.installation": "the generic factor with its band",
    "Thruster.position": "the nose point",
    "Thruster.battery": "the only battery",
    "Thruster.propeller_mass": "by its size",
    "Thruster.blade": "none: diameter and pitch tell",
    "Thruster.bench": "none: the bands of the labels",
    "Drive.speed": "not held: follows the command",
    "Drive.idle_torque": "small tooth belt",
    "Drive.battery": "the only battery",
    "Drive.position": "at its rotor, or between its rotors",
    "Drive.mass": "by the motor's mass",
    "Drive.belt_span": "its note is not told",
    "Drive.belt_tension": "15 N",
    "Battery.resistance": "by its condition",
    "Battery.current_limit": "20 times the capacity per hour",
    "Battery.electronics": "receiver and one servo per control, on the first pack",
    "Battery.mass": "by its energy",
    "Battery.position": "where it least shifts the balance",
    "Site.pressure": "standard for the elevation",
    "Site.length": "not told",
    "Weighed.balance": "where the parts put it",
    "AircraftTables.weighed": "not weighed",
}
"""What happens to a field that is left out and has no plain default."""


def _measure_in(things: Any, kind: type) -> Any:
    for thing in things:
        if isinstance(thing, kind):
            return thing
        inner = (*getattr(thing, "__metadata__", ()), *getattr(thing, "__args__", ()))
        found = _measure_in(inner, kind) if inner else None
        if found is not None:
            return found
    return None


def _takes(info: FieldInfo) -> str:
    things = (*info.metadata, info.annotation)
    text = str(info.annotation)
    if "Position" in text or text.startswith("tuple[") or "tuple[typing.Annotated" in text:
        return "three lengths"
    measure = _measure_in(things, Measure)
    if measure is not None:
        kind = DIMENSIONS[measure.dimension]
        words = Range(measure.dimension, measure.low, measure.high).words().split(", such as")[0]
        return f"{words} [{kind.si}]"
    short = _measure_in(things, ShortForm)
    if short is not None:
        return f'short form, `"{short.pattern_example}"`'
    model = model_in(info.annotation)
    if model is not None:
        return f"a table, see [{model.__name__.lower()}](#{model.__name__.lower()})"
    words = [
        word
        for part in (info.annotation, *get_args(info.annotation))
        for word in get_args(part)
        if isinstance(word, str)
    ]
    if words:
        return " or ".join(f'`"{word}"`' for word in dict.fromkeys(words))
    if "bool" in text:
        return "`true` or `false`"
    if "int" in text:
        limits = [
            f"{name.replace('ge', 'from').replace('le', 'to')} {getattr(m, name)}"
            for m in info.metadata
            for name in ("ge", "le")
            if hasattr(m, name)
        ]
        return "a whole number " + " ".join(limits) if limits else "a whole number"
    return "text"


def _default(model: type[BaseModel], name: str, info: FieldInfo) -> str:
    guess = " (generic)" if name in GUESSES.get(model.__name__, {}) else ""
    if info.is_required():
        return "**needed**"
    if info.default is None or info.default is PydanticUndefined or isinstance(info.default, BaseModel):
        if isinstance(info.default, BaseModel):
            return "see there"
        return DERIVED[f"{model.__name__}.{name}"]
    measure = _measure_in((*info.metadata, info.annotation), Measure)
    if measure is not None:
        unit = DIMENSIONS[measure.dimension].usual if info.default else DIMENSIONS[measure.dimension].si
        return f"{show(float(info.default), unit, measure.dimension)}{guess}"
    value = str(info.default).lower() if isinstance(info.default, bool) else str(info.default)
    return f'`"{value}"`{guess}' if isinstance(info.default, str) else f"`{value}`{guess}"


def _table(model: type[BaseModel]) -> list[str]:
    lines = ["| field | takes [SI unit inside] | if left out | meaning |", "|---|---|---|---|"]
    for name, info in model.model_fields.items():
        lines.append(f"| `{name}` | {_takes(info)} | {_default(model, name, info)} | {info.description} |")
    return lines


def _sections() -> list[str]:
    lines: list[str] = ["## Top of the file", "", "| field | takes | if left out | meaning |", "|---|---|---|---|"]
    for name in ("format", "name"):
        info = AircraftTables.model_fields[name]
        lines.append(f"| `{name}` | {_takes(info)} | **needed** | {info.description} |")
    done: set[str] = set()
    for name, info in AircraftTables.model_fields.items():
        model = model_in(info.annotation)
        if model is None:
            continue
        head = f"[{name}.NAME]" if name in PART_KINDS else f"[{name}]"
        lines += ["", f"## `{head}`", "", (model.__doc__ or "").strip().split("\n")[0], "", *_table(model)]
        for inner in _inner_models(model):
            if inner.__name__ not in done:
                done.add(inner.__name__)
                lines += ["", f"### {inner.__name__.lower()}", "", (inner.__doc__ or "").strip(), "", *_table(inner)]
    return lines


def _inner_models(model: type[BaseModel]) -> list[type[BaseModel]]:
    found = []
    for info in model.model_fields.values():
        inner = model_in(info.annotation)
        if inner is not None:
            found += [inner, *_inner_models(inner)]
    return found


def _units() -> list[str]:
    lines = ["", "## Units", "", "| measure | units read | SI inside |", "|---|---|---|"]
    for kind in DIMENSIONS.values():
        if kind.units:
            units = ", ".join(f"`{unit}`" for unit in kind.units)
            lines.append(f"| {kind.article} | {units}{' or a bare number' if kind.bare else ''} | {kind.si} |")
    lines.append("")
    lines.append('Short forms: cells `"3S"`, `"4S2P"`; propellers `"9x5"`, `"10x4.7"`, `"6x4e"` (diameter x pitch in')
    lines.append('inches; `e` electric, `sf` broad and slow) or with a unit; tubes `"8x6 mm"`, `"carbon 8x6 mm"`.')
    return lines


def _catalogue() -> list[str]:
    lines = [
        "",
        "## Materials",
        "",
        "Computed masses of glued parts get 8 % for glue. Your own `[material.NAME]` goes first.",
        "",
    ]
    lines += ["| name | mass | spread (1 s.d.) | other names | source | held |", "|---|---|---|---|---|---|"]
    for row in materials().values():
        mass = (
            f"{plain_number(row.density)} kg/m³"
            if row.density
            else f"{plain_number(1000 * (row.areal_mass or 0))} g/m² at {plain_number(1000 * (row.thickness or 0))} mm"
        )
        others = ", ".join(row.aliases)
        spread = f"{100 * row.spread:.0f} %"
        lines.append(f"| {row.name} | {mass} | {spread} | {others} | {row.source} | {row.held_as} |")
    lines += ["", "## Bearings", "", "| size | bore × outer × width, mm | mass, g |", "|---|---|---|"]
    for row in bearings().values():
        size = " × ".join(plain_number(1000 * number) for number in (row.bore, row.outer, row.width))
        lines.append(f"| {row.size} | {size} | {plain_number(1000 * row.mass)} |")
    lines += ["", "Friction of one bearing of 8 mm bore, scaled with (bore/8 mm)^1.5 (judgement):", ""]
    lines += ["| seals | constant | growing with spin | source |", "|---|---|---|---|"]
    for seals in ("open", "shielded", "sealed"):
        friction = bearing_friction("688", seals)
        lines.append(
            f"| {seals} | {plain_number(1000 * friction.torque)} mN m | {friction.drag:.0e} N m s | {friction.source} |"
        )
    lines += [
        "",
        "## Rules for what is left out",
        "",
        "| rule | value | range | unit | source |",
        "|---|---|---|---|---|",
    ]
    for group, rows in generic_rules().items():
        for name, row in rows.items():
            values = row["value"] if isinstance(row["value"], list) else [row["value"]]
            value = ", ".join(plain_number(number) for number in values)
            band = f"{plain_number(row['low'])} to {plain_number(row['high'])}" if row["high"] else ""
            lines.append(f"| {group}: {name.replace('_', ' ')} | {value} | {band} | {row['unit']} | {row['source']} |")
    return lines


def page() -> str:
    """Return the text of the page."""
    example = (Path(__file__).parents[1] / "examples" / "thistledown.toml").read_text(encoding="utf-8")
    text = INTRO.replace("{example}", example).replace("{format}", "1")
    return text + "\n" + "\n".join([*_sections(), *_units(), *_catalogue()]) + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    sys.stdout.write(f"wrote {PAGE.name}\n")
