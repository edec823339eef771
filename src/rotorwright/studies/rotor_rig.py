"""Rig data of one rotor: a table of airspeed, rotor speed, lift, drag, torque, read from a text file with columns.

Units stand in the names of the columns; any of the measured columns may be missing, any cell may be blank.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from rotorwright.base.constants import GRAVITY, RPM
from rotorwright.base.errors import InputError, InputProblems, Problem

_POUND_FORCE = 0.45359237 * GRAVITY
_FORCE = {"n": 1.0, "gf": 1e-3 * GRAVITY, "kgf": GRAVITY, "ozf": _POUND_FORCE / 16.0, "lbf": _POUND_FORCE}
_UNITS: dict[str, dict[str, float]] = {
    "airspeed": {"mps": 1.0, "kmh": 1.0 / 3.6, "mph": 0.44704, "kt": 1852.0 / 3600.0},
    "rotor_speed": {"rpm": RPM, "radps": 1.0, "hz": 60.0 * RPM},
    "lift": _FORCE,
    "drag": _FORCE,
    "torque": {"nm": 1.0, "mnm": 1e-3, "ncm": 1e-2, "gcm": 1e-5 * GRAVITY, "ozin": _POUND_FORCE / 16.0 * 0.0254},
    "temperature": {"degc": 1.0, "degf": 5.0 / 9.0, "k": 1.0},
    "pressure": {"hpa": 100.0, "mbar": 100.0, "pa": 1.0},
    "density": {"kgm3": 1.0},
}
"""Quantities a column may hold and the units that may end its name, with their factor to SI."""
_ZERO = {"degc": 273.15, "degf": 273.15 - 32.0 * 5.0 / 9.0}
_LIMITS = {
    "airspeed": (0.3, 150.0, "0.3 to 150 m/s"),
    "rotor_speed": (-20000.0, 20000.0, "up to 190 000 rpm"),
    "lift": (-1e5, 1e5, "up to 100 kN"),
    "drag": (-1e5, 1e5, "up to 100 kN"),
    "torque": (-1e4, 1e4, "up to 10 kN m"),
    "temperature": (220.0, 340.0, "−53 to 67 °C"),
    "pressure": (3e4, 1.1e5, "300 to 1100 hPa"),
    "density": (0.2, 3.0, "0.2 to 3 kg/m³"),
}
COLUMNS = tuple(f"{quantity}_{unit}" for quantity, units in _UNITS.items() for unit in units)
IGNORED = ("note", "time_s", "run")
_DECIMAL = re.compile(r"[+-]?(\d+[.,]?\d*|[.,]\d+)([eE][+-]?\d+)?")
MOST_ROWS = 20_000


@dataclass(frozen=True)
class RigRow:
    """One reading, SI; None where nothing was measured. ``torque`` is what the shaft gives, > 0 with the spin."""

    line: int
    airspeed: float
    rotor_speed: float | None = None
    lift: float | None = None
    drag: float | None = None
    torque: float | None = None
    temperature: float | None = None
    pressure: float | None = None
    density: float | None = None


def read_rig_file(path: str | Path) -> tuple[RigRow, ...]:
    """Return the readings of a file.

    Parameters
    ----------
    path : str or Path
        Text with columns: see `read_rig`.

    Raises
    ------
    InputProblems
        With the number of the line, if it cannot be read or used.
    """
    place = Path(path)
    try:
        raw = place.read_bytes()
    except OSError as trouble:
        reason = (trouble.strerror or type(trouble).__name__).lower()
        raise InputError(f"cannot be read: {reason}", place=str(path)) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("latin-1")  # what spreadsheets of old write; only notes can hold such letters
    return read_rig(text, str(path))


def read_rig(text: str, place: str = "rig") -> tuple[RigRow, ...]:
    """Return the readings of a table in text.

    Parameters
    ----------
    text : str
        First line the columns, named with their unit (``airspeed_mps; rotor_speed_rpm; lift_n``), then one reading a
        line. Separated by comma, semicolon or tab; decimal commas where commas do not separate. Blank cells are
        missing, lines that begin with # are skipped.
    place : str
        Named in messages.

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
    columns = _columns(next(csv.reader(io.StringIO(head), delimiter=separator)), place, head_line)
    problems: list[Problem] = []
    rows: list[RigRow] = []
    for line, written in lines[1:]:
        try:
            cells = next(csv.reader(io.StringIO(written), delimiter=separator, strict=True))
        except csv.Error:
            problems.append(Problem("has a quotation mark that is not closed", place, line))
            continue
        found = _reading(cells, columns, separator, place, line)
        if isinstance(found, RigRow):
            rows.append(found)
        else:
            problems += found
    if problems:
        raise InputProblems(problems[:20])
    if not rows:
        raise InputError("holds no reading", place=place, line=head_line)
    return tuple(rows)


def rig_rows(readings: Sequence[Any]) -> tuple[RigRow, ...]:
    """Return readings given as mappings (SI, names of `RigRow`) or as `RigRow`, checked.

    Raises
    ------
    InputProblems
        If one cannot be used.
    """
    problems: list[Problem] = []
    rows: list[RigRow] = []
    for place, given in enumerate(readings, 1):
        if isinstance(given, RigRow):
            rows.append(given)
            continue
        field = f"fit[{place - 1}]"
        if not isinstance(given, Mapping):
            problems.append(Problem("is not a reading", field=field, found=type(given).__name__, allowed="a mapping"))
            continue
        unknown = [str(name) for name in given if name not in _UNITS]
        numbers = {str(name): value for name, value in given.items() if value is not None}
        wrong = [
            name for name, value in numbers.items() if isinstance(value, bool) or not isinstance(value, int | float)
        ]
        if unknown or wrong:
            allowed = ", ".join(_UNITS)
            problems.append(Problem("cannot be used", field=field, found=", ".join(unknown + wrong), allowed=allowed))
            continue
        answer = _checked({name: float(value) for name, value in numbers.items()}, field, place)
        if isinstance(answer, RigRow):
            rows.append(answer)
        else:
            problems += answer
    if problems:
        raise InputProblems(problems[:20])
    if not rows:
        raise InputError("holds no reading", field="fit")
    return tuple(rows)


def _columns(names: list[str], place: str, line: int) -> list[tuple[str, str] | None]:
    columns: list[tuple[str, str] | None] = []
    problems = []
    for name in names:
        plain = re.sub(r"[^a-z0-9]+", "_", name.strip().lower()).strip("_")
        quantity, _, unit = plain.rpartition("_")
        if quantity in _UNITS and unit in _UNITS[quantity]:
            columns.append((quantity, unit))
        elif plain in IGNORED or not plain:
            columns.append(None)
        elif plain in _UNITS:
            allowed = ", ".join(f"{plain}_{each}" for each in _UNITS[plain])
            problems.append(Problem("does not say its unit", place, line, f'column "{name.strip()}"', "", allowed))
        else:
            near = get_close_matches(plain, COLUMNS, n=1)
            hint = f"Did you mean {near[0]}?" if near else "Name it note if it is to be left out."
            problems.append(
                Problem(
                    "is not a column it knows", place, line, f'column "{name.strip()}"', "", ", ".join(_UNITS), hint
                )
            )
    held = [column[0] for column in columns if column]
    for quantity in sorted({each for each in held if held.count(each) > 1}):
        problems.append(Problem("stands there twice", place, line, quantity))
    if not problems:
        if "airspeed" not in held:
            problems.append(Problem("is missing", place, line, "airspeed", "", "a column airspeed_mps"))
        if not {"rotor_speed", "lift", "drag", "torque"} & set(held):
            allowed = "rotor_speed_rpm, lift_n, drag_n, torque_nm"
            problems.append(Problem("holds nothing that was measured", place, line, "", "", allowed))
    if problems:
        raise InputProblems(problems)
    return columns


def _reading(
    cells: list[str], columns: list[tuple[str, str] | None], separator: str, place: str, line: int
) -> RigRow | list[Problem]:
    if len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
        hint = "Decimal commas need semicolons or tabs between the columns." if separator == "," else ""
        found, allowed = f"{len(cells)} cells", f"{len(columns)}"
        return [Problem("has more cells than there are columns", place, line, "", found, allowed, hint)]
    numbers: dict[str, float] = {}
    problems = []
    for cell, column in zip(cells, columns, strict=False):
        text = cell.strip()
        if column is None or not text:
            continue
        quantity, unit = column
        if not _DECIMAL.fullmatch(text) or ("," in text and "." in text):
            problems.append(Problem("is not a number", place, line, f"{quantity}_{unit}", f'"{text[:30]}"'))
            continue
        numbers[quantity] = float(text.replace(",", ".")) * _UNITS[quantity][unit] + _ZERO.get(unit, 0.0)
    return problems or _checked(numbers, place, line)


def _checked(numbers: dict[str, float], place: str, line: int) -> RigRow | list[Problem]:
    problems = []
    for quantity, value in numbers.items():
        low, high, words = _LIMITS[quantity]
        if not (math.isfinite(value) and low <= value <= high):
            problems.append(Problem("is out of range", place, line, quantity, f"{value:g} (SI)", words))
    if "airspeed" not in numbers:
        problems.append(Problem("is missing", place, line, "airspeed", "", "a number in every reading"))
    tells = {"lift", "drag", "torque"} & numbers.keys()
    if not tells:
        hint = "Write 0 as its torque if the rotor turned freely." if "rotor_speed" in numbers else ""
        allowed = "lift, drag or torque"
        problems.append(Problem("tells nothing about the rotor", place, line, "", "", allowed, hint))
    return problems or RigRow(line=line, **numbers)
