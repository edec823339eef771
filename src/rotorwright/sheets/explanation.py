"""What stands behind a quantity: formula, inputs, assumptions, sources, and what its band is made of."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rotorwright.base.errors import InputError
from rotorwright.base.unknown import Unknown, unknowns
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.nearest import nearest_names
from rotorwright.sheets.numbers import ShownUnits, percent_text, spelled

if TYPE_CHECKING:
    from rotorwright.studies.what_moves import Moved

FOLDER = Path(__file__).parent / "explanations"
MOVERS_SHOWN = 8


@dataclass(frozen=True)
class Explanation:
    """One quantity in words, as it stands in ``sheets/explanations/*.toml``."""

    key: str
    title: str
    unit: str
    means: str
    formula: str
    assumes: tuple[str, ...]
    sources: tuple[str, ...]
    unknowns: tuple[str, ...]
    commands: tuple[str, ...]
    where: dict[str, str] = field(default_factory=dict)
    page: str = ""
    see: tuple[str, ...] = field(default=())


@lru_cache(maxsize=1)
def explanations() -> dict[str, Explanation]:
    """Return every explanation by the name of its quantity."""
    table: dict[str, Explanation] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        entries: dict[str, dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))
        for key, entry in entries.items():
            if key in table:
                raise ValueError(f"{path.name}: {key} is explained twice")
            lists = {name: entry.pop(name, []) for name in ("assumes", "sources", "unknowns", "commands", "see")}
            fields = {**entry, **{name: tuple(items) for name, items in lists.items()}}
            table[key] = Explanation(key=key, **fields)
    return table


def find(name: str) -> Explanation | Unknown:
    """Return the explanation of a quantity, or the Unknown, of that name.

    Raises
    ------
    InputError
        If there is no such name; it tells the nearest ones.
    """
    wanted = name.strip().lower().replace(" ", "_").replace("-", "_")
    table, factors = explanations(), {unknown.name: unknown for unknown in unknowns()}
    if wanted in table:
        return table[wanted]
    if wanted in factors:
        return factors[wanted]
    titles = {entry.title.lower(): entry for entry in table.values()}
    if name.strip().lower() in titles:
        return titles[name.strip().lower()]
    near = nearest_names(name, {key: entry.title for key, entry in table.items()} | {key: key for key in factors})
    hint = f"The nearest names: {', '.join(near)}. rotorwright explain without a name lists them all"
    raise InputError("is not a quantity or an Unknown", place="explain", found=f'"{name}"', hint=hint)


def moved_section(moved: Moved, title: str, units: ShownUnits) -> Section:
    """Return a number of one aeroplane and what moves it there."""
    if moved.quantity.value is None:
        return Section("Here", (Sentence(f"It has none: {moved.quantity.reason}."),))
    items: list[Item] = [Table((Row((title, moved.quantity, moved.quantity.support)),))]
    rows = tuple(
        Row((mover.unknown.words, percent_text(mover.share), "raises it" if mover.rises else "lowers it"))
        for mover in moved.movers[:MOVERS_SHOWN]
    )
    if rows:
        items.append(Sentence("What moves it here, if it turns out more than thought; share of the spread:"))
        items.append(Table(rows))
    else:
        items.append(Sentence("No single Unknown moves it noticeably here."))
    items.append(Sentence(f"{moved.samples} samples of the Unknowns; squared rank correlations.", "quiet"))
    return Section("Here", tuple(items))


def explanation_sheet(entry: Explanation, moved: Moved | None = None, units: ShownUnits | None = None) -> Sheet:
    """Return a quantity's explanation as a sheet; ``moved`` adds its number in one aeroplane and what moves it."""
    units = units or ShownUnits()
    formula: list[Item] = [Sentence(line) for line in entry.formula.strip().splitlines()]
    if entry.where:
        formula.append(Table(tuple(Row((symbol, meaning)) for symbol, meaning in entry.where.items())))
    sections = [] if moved is None else [moved_section(moved, entry.title.lower(), units)]
    sections.append(Section("Formula", tuple(formula)))
    if entry.assumes:
        sections.append(Section("Assumes", tuple(Sentence(text) for text in entry.assumes)))
    factors = {unknown.name: unknown for unknown in unknowns()}
    if moved is not None:
        pass  # what moves it here is told above
    elif entry.unknowns:
        rows = tuple(_unknown_row(factors[name]) for name in entry.unknowns)
        sections.append(Section("What the band is made of", (Table(rows, ("Unknown", "median", "80 % band")),)))
    else:
        sections.append(Section("What the band is made of", (Sentence("Nothing: it follows from what you stated."),)))
    sections.append(Section("Sources", tuple(Sentence(line) for line in _cited(entry.sources))))
    last = [Sentence(f"Reported by: {', '.join(f'rotorwright {command}' for command in entry.commands)}.", "quiet")]
    if entry.see:
        last.append(Sentence(f"See also: {', '.join(entry.see)}.", "quiet"))
    if entry.page:
        last.append(Sentence(f"The whole story: docs/{entry.page}", "quiet"))
    sections.append(Section("More", tuple(last)))
    shown = spelled(units.unit_for(entry.unit))
    unit = f" [{shown}]" if shown else ""
    return Sheet(f"{entry.title}{unit}", (Sentence(entry.means),), tuple(sections), units)


def unknown_sheet(unknown: Unknown) -> Sheet:
    """Return an Unknown as a sheet."""
    rows = (
        Row(("median", f"{unknown.median:g}{_unit(unknown)}")),
        Row(("80 % band", f"{unknown.low:g} to {unknown.high:g}{_unit(unknown)}")),
        Row(("shape", unknown.shape)),
        Row(("scales", unknown.scales)),
        Row(("applies", unknown.applies)),
        Row(("source", unknown.source)),
    )
    users = [entry.key for entry in explanations().values() if unknown.name in entry.unknowns]
    items: tuple[Item, ...] = (Table(rows),)
    if users:
        items = (*items, Sentence(f"Moves: {', '.join(users)}.", "quiet"))
    return Sheet(
        f"{unknown.name.replace('_', ' ')} (Unknown of the room {unknown.room})",
        (Sentence("A factor that nobody knows well: it is drawn within its band in every sample."),),
        (Section("As it stands in the table", items),),
    )


def list_sheet() -> Sheet:
    """Return the list of everything that can be explained."""
    quantities = tuple(Row((entry.key, entry.title)) for entry in sorted(explanations().values(), key=lambda e: e.key))
    factors = tuple(_unknown_row(unknown) for unknown in unknowns())
    return Sheet(
        "What can be explained",
        (
            Sentence(
                "rotorwright explain NAME tells formula, inputs, assumptions, sources, and what the band is made of."
            ),
        ),
        (
            Section("Quantities", (Table(quantities),)),
            Section("Unknowns", (Table(factors, ("Unknown", "median", "80 % band")),)),
        ),
    )


def _unit(unknown: Unknown) -> str:
    return "" if unknown.unit == "1" else f" {spelled(unknown.unit)}"


def _unknown_row(unknown: Unknown) -> Row:
    return Row(
        (unknown.name, f"{unknown.median:g}{_unit(unknown)}", f"{unknown.low:g} to {unknown.high:g}"),
        note=unknown.scales,
    )


def _cited(keys: tuple[str, ...]) -> list[str]:
    from rotorwright.base.citations import reference

    return [reference(key) for key in keys] or ["Plain mechanics; no source needed."]
