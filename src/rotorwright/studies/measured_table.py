"""Readings of any rig from a text file with columns: units stand in the names of the columns, cells may be blank."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from rotorwright.base.constants import GRAVITY, RPM
from rotorwright.base.errors import InputError, InputProblems, Problem

POUND_FORCE = 0.45359237 * GRAVITY
SPEED = {"mps": 1.0, "kmh": 1.0 / 3.6, "mph": 0.44704, "kt": 1852.0 / 3600.0}
ROTATION = {"rpm": RPM, "radps": 1.0, "hz": 60.0 * RPM}
FORCE = {"n": 1.0, "gf": 1e-3 * GRAVITY, "kgf": GRAVITY, "ozf": POUND_FORCE / 16.0, "lbf": POUND_FORCE}
TORQUE = {"nm": 1.0, "mnm": 1e-3, "ncm": 1e-2, "gcm": 1e-5 * GRAVITY, "ozin": POUND_FORCE / 16.0 * 0.0254}
TEMPERATURE = {"degc": 1.0, "degf": 5.0 / 9.0, "k": 1.0}
PRESSURE = {"hpa": 100.0, "mbar": 100.0, "pa": 1.0}
DENSITY = {"kgm3": 1.0}
_ZERO = {"degc": 273.15, "degf": 273.15 - 32.0 * 5.0 / 9.0}
_DECIMAL = re.compile(r"[+-]?(\d+[.,]?\d*|[.,]\d+)([eE][+-]?\d+)?")
MOST_ROWS = 20_000
Limits = Mapping[str, tuple[float, float, str]]
Heads = list[tuple[str, str] | None]


@dataclass(frozen=True)
class Columns:
    """What a table may hold.

    ``units`` lists the quantities with the units that may end a column's name (factor to SI), ``limits`` their ranges
    (SI, in words too), ``ignored`` columns that are left out, ``also`` other names of columns, ``whole`` judges the
    quantities of the head together, ``row`` the numbers of one line.
    """

    units: Mapping[str, Mapping[str, float]]
    limits: Limits
    ignored: tuple[str, ...]
    whole: Callable[[Sequence[str], str, int], list[Problem]]
    row: Callable[[Mapping[str, float], str, int], list[Problem]]
    also: Mapping[str, str] = field(default_factory=dict)

    def names(self) -> tuple[str, ...]:
        """Return every name a column may have."""
        return (*(f"{quantity}_{unit}" for quantity, units in self.units.items() for unit in units), *self.also)


def read_text(path: str | Path) -> str:
    """Return the text of a table's file.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    try:
        raw = Path(path).read_bytes()
    except OSError as trouble:
        reason = (trouble.strerror or type(trouble).__name__).lower()
        raise InputError(f"cannot be read: {reason}", place=str(path)) from None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("latin-1")  # what spreadsheets of old write; only notes can hold such letters


def read_table(text: str, place: str, columns: Columns) -> list[tuple[int, dict[str, float]]]:
    """Return line number and numbers (SI) of every reading of a table.

    Parameters
    ----------
    text : str
        First line the columns, then one reading a line. Separated by comma, semicolon or tab; decimal commas where
        commas do not separate. Blank cells are missing, lines that begin with # are skipped.
    place : str
        Named in messages.
    columns : Columns
        What the table may hold.

    Raises
    ------
    InputProblems
        Everything that is wrong with it, with line numbers.
    """
    if "\0" in text:
        raise InputError("is not a text file", place=place)
    lines = [
        (k, line) for k, line in enumerate(text.splitlines(), 1) if line.strip(" ;,\t") and line.lstrip()[0] != "#"
    ]
    if not lines:
        raise InputError("is empty", place=place, allowed="a line of column names, then readings")
    if len(lines) > MOST_ROWS:
        raise InputError("is too long", place=place, found=f"{len(lines)} lines", allowed=f"up to {MOST_ROWS}")
    head_line, head = lines[0]
    separator = ";" if ";" in head else "\t" if "\t" in head else ","
    heads = _heads(next(csv.reader(io.StringIO(head), delimiter=separator)), place, head_line, columns)
    problems: list[Problem] = []
    rows: list[tuple[int, dict[str, float]]] = []
    for line, written in lines[1:]:
        try:
            cells = next(csv.reader(io.StringIO(written), delimiter=separator, strict=True))
        except csv.Error:
            problems.append(Problem("has a quotation mark that is not closed", place, line))
            continue
        found = _reading(cells, heads, separator, place, line, columns)
        if isinstance(found, dict):
            rows.append((line, found))
        else:
            problems += found
    if problems:
        raise InputProblems(problems[:20])
    if not rows:
        raise InputError("holds no reading", place=place, line=head_line)
    return rows


def given_rows(
    readings: Sequence[Any], columns: Columns, kind: type[Any], field_name: str = "fit"
) -> list[tuple[int, Any]]:
    """Return readings given as mappings (SI), checked, as (place, numbers); those of ``kind`` as they are.

    Raises
    ------
    InputProblems
        If one cannot be used.
    """
    problems: list[Problem] = []
    rows: list[tuple[int, Any]] = []
    for place, given in enumerate(readings, 1):
        if isinstance(given, kind):
            rows.append((place, given))
            continue
        where = f"{field_name}[{place - 1}]"
        if not isinstance(given, Mapping):
            problems.append(Problem("is not a reading", field=where, found=type(given).__name__, allowed="a mapping"))
            continue
        unknown = [str(name) for name in given if name not in columns.units]
        numbers = {str(name): value for name, value in given.items() if value is not None}
        wrong = [
            name for name, value in numbers.items() if isinstance(value, bool) or not isinstance(value, int | float)
        ]
        if unknown or wrong:
            allowed = ", ".join(columns.units)
            problems.append(Problem("cannot be used", field=where, found=", ".join(unknown + wrong), allowed=allowed))
            continue
        plain = {name: float(value) for name, value in numbers.items()}
        found = check_numbers(plain, where, place, columns)
        problems += found
        if not found:
            rows.append((place, plain))
    if problems:
        raise InputProblems(problems[:20])
    if not rows:
        raise InputError("holds no reading", field=field_name)
    return rows


def check_numbers(numbers: Mapping[str, float], place: str, line: int, columns: Columns) -> list[Problem]:
    """Return what is wrong with the numbers (SI) of one reading."""
    problems = []
    for quantity, value in numbers.items():
        low, high, words = columns.limits[quantity]
        if not (math.isfinite(value) and low <= value <= high):
            problems.append(Problem("is out of range", place, line, quantity, f"{value:g} (SI)", words))
    return problems + columns.row(numbers, place, line)


def _heads(names: list[str], place: str, line: int, columns: Columns) -> Heads:
    heads: Heads = []
    problems = []
    for name in names:
        plain = re.sub(r"[^a-z0-9]+", "_", name.strip().lower()).strip("_")
        plain = columns.also.get(plain, plain)
        quantity, _, unit = plain.rpartition("_")
        if quantity in columns.units and unit in columns.units[quantity]:
            heads.append((quantity, unit))
        elif plain in columns.ignored or not plain:
            heads.append(None)
        elif plain in columns.units:
            allowed = ", ".join(f"{plain}_{each}" for each in columns.units[plain])
            problems.append(Problem("does not say its unit", place, line, f'column "{name.strip()}"', "", allowed))
        else:
            near = get_close_matches(plain, columns.names(), n=1)
            hint = f"Did you mean {near[0]}?" if near else "Name it note if it is to be left out."
            problems.append(
                Problem(
                    "is not a column it knows", place, line, f'column "{name.strip()}"', "",
                    ", ".join(columns.units), hint,
                )
            )  # fmt: skip
    held = [head[0] for head in heads if head]
    for quantity in sorted({each for each in held if held.count(each) > 1}):
        problems.append(Problem("stands there twice", place, line, quantity))
    if not problems:
        problems += columns.whole(held, place, line)
    if problems:
        raise InputProblems(problems)
    return heads


def _reading(
    cells: list[str], heads: Heads, separator: str, place: str, line: int, columns: Columns
) -> dict[str, float] | list[Problem]:
    if len(cells) > len(heads) and any(cell.strip() for cell in cells[len(heads) :]):
        hint = "Decimal commas need semicolons or tabs between the columns." if separator == "," else ""
        found, allowed = f"{len(cells)} cells", f"{len(heads)}"
        return [Problem("has more cells than there are columns", place, line, "", found, allowed, hint)]
    numbers: dict[str, float] = {}
    problems = []
    for cell, head in zip(cells, heads, strict=False):
        text = cell.strip()
        if head is None or not text:
            continue
        quantity, unit = head
        if not _DECIMAL.fullmatch(text) or ("," in text and "." in text):
            problems.append(Problem("is not a number", place, line, f"{quantity}_{unit}", f'"{text[:30]}"'))
            continue
        numbers[quantity] = float(text.replace(",", ".")) * columns.units[quantity][unit] + _ZERO.get(unit, 0.0)
    return problems or check_numbers(numbers, place, line, columns) or numbers
