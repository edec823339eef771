"""Hours of a forecast as people have them: a table with units in its heads, or typed in one line each."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Sequence
from difflib import get_close_matches

from rotorwright.base.errors import InputError, InputProblems, Problem
from rotorwright.studies.forecast import Hour
from rotorwright.studies.measured_table import read_text

KNOT = 1852.0 / 3600.0
SPEED = {
    "m/s": 1.0, "mps": 1.0, "ms": 1.0, "km/h": 1.0 / 3.6, "kmh": 1.0 / 3.6, "kph": 1.0 / 3.6, "mph": 0.44704,
    "kt": KNOT, "kn": KNOT, "kts": KNOT, "knots": KNOT, "knot": KNOT,
}  # fmt: skip
BEAUFORT = ("bft", "beaufort", "force")
MIDDLE = (0.0, 0.9, 2.4, 4.4, 6.7, 9.3, 12.3, 15.5, 18.9, 22.6, 26.4, 30.5, 34.0)
"""Of each Beaufort force [m/s]."""
ANGLE = {"deg": math.pi / 180.0, "°": math.pi / 180.0, "degrees": math.pi / 180.0}
POINTS = {
    name: math.radians(22.5 * k)
    for k, name in enumerate(
        ("n", "nne", "ne", "ene", "e", "ese", "se", "sse", "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw")
    )
}
TEMPERATURE = ("degc", "°c", "c", "degf", "°f", "f", "k")
RAIN = {"mm": 1e-3, "in": 0.0254}
WORDS = {
    "time": "time", "hour": "time", "date": "time", "when": "time",
    "wind": "wind", "windspeed": "wind", "meanwind": "wind", "speed": "wind", "mean": "wind",
    "gust": "gust", "gusts": "gust", "windgust": "gust", "windgusts": "gust", "gustspeed": "gust",
    "direction": "direction", "winddirection": "direction", "dir": "direction", "winddir": "direction",
    "from": "direction", "windfrom": "direction",
    "temperature": "temperature", "temp": "temperature",
    "rain": "rain", "precipitation": "rain", "precip": "rain",
}  # fmt: skip
UNITS: dict[str, Sequence[str]] = {
    "wind": (*SPEED, *BEAUFORT), "gust": (*SPEED, *BEAUFORT), "direction": tuple(ANGLE), "temperature": TEMPERATURE,
    "rain": tuple(RAIN), "time": (),
}  # fmt: skip
ALLOWED = (
    "columns time, wind, gust, direction, temperature, rain, each with its unit: wind [m/s], gust (km/h), temp_degC"
)
LIMITS = {"wind": 60.0, "gust": 90.0}
MOST_HOURS = 400
_HEAD = re.compile(r"\s*(?P<name>[^\[\(]*?)\s*(?:[\[\(]\s*(?P<unit>[^\]\)]*)\s*[\]\)])?\s*\Z")
_NUMBER = re.compile(r"[+-]?(\d+[.,]?\d*|[.,]\d+)\Z")
_TYPED = re.compile(
    r"(?P<gust>gusts?(?:ing)?\s*(?:to\s*)?)?(?P<number>[+-]?\d+(?:[.,]\d+)?)\s*"
    r"(?P<unit>m/s|mps|km/h|kmh|kph|mph|kts|kt|kn|knots?|bft|degc|degf|°c|°f|deg|°|mm|k\b)",
    re.IGNORECASE,
)
_CLOCK = re.compile(r"\A\s*(\d{4}-\d\d-\d\d[ T])?(\d{1,2}(?::\d\d)?(?:\s*h)?)(?=\s|\Z)")
EXAMPLE = '"14:00 4 m/s gust 7 m/s 230 deg 12 degC"'


def read_forecast(path: str) -> tuple[Hour, ...]:
    """Return the hours of a table in a file.

    Parameters
    ----------
    path : str
        Comma, semicolon or tab between the columns; the first line holds their names and units.

    Raises
    ------
    InputProblems
        Everything wrong with it: file, line, column, what stands there and what may.
    """
    return forecast_from(read_text(path), path)


def forecast_from(text: str, place: str) -> tuple[Hour, ...]:
    """Return the hours of a table, as `read_forecast`; ``place`` is named in messages."""
    lines = [
        (k, line) for k, line in enumerate(text.splitlines(), 1) if line.strip(" ;,\t") and line.lstrip()[0] != "#"
    ]
    if not lines:
        raise InputError("is empty", place=place, allowed=ALLOWED)
    if len(lines) > MOST_HOURS:
        raise InputError("is too long", place=place, found=f"{len(lines)} lines", allowed=f"up to {MOST_HOURS}")
    number, head = lines[0]
    separator = ";" if ";" in head else "\t" if "\t" in head else ","
    heads, problems = _heads(next(csv.reader(io.StringIO(head), delimiter=separator)), place, number)
    if problems:
        raise InputProblems(problems)
    hours = []
    for line, written in lines[1:]:
        cells = next(csv.reader(io.StringIO(written), delimiter=separator))
        hour = _hour(cells, heads, place, line, problems)
        if hour is not None:
            hours.append(hour)
    if problems:
        raise InputProblems(problems[:20])
    if not hours:
        raise InputError("holds no hour", place=place, line=number, allowed="a line for each hour below the heads")
    return tuple(hours)


Heads = list[tuple[str, str] | None]


def _heads(names: list[str], place: str, line: int) -> tuple[Heads, list[Problem]]:
    heads: Heads = []
    problems: list[Problem] = []
    for name in names:
        match = _HEAD.match(name)
        written, unit = (match["name"], (match["unit"] or "").strip().lower()) if match else (name, "")
        if not unit and "_" in written:
            written, _, unit = written.rpartition("_")
            unit = unit.lower()
        plain = re.sub(r"[^a-z]", "", written.lower())
        what = WORDS.get(plain)
        column = f'column "{name.strip()}"'
        if what is None:
            near = get_close_matches(plain, WORDS, n=1)
            if near:
                hint = f"Did you mean {near[0]}?"
                problems.append(Problem("is not a column it knows", place, line, column, "", ALLOWED, hint))
            heads.append(None)  # other columns of a forecast are left out
        elif what == "time" or unit in UNITS[what]:
            heads.append((what, unit))
        elif what == "direction" and not unit:
            heads.append((what, "deg"))
        else:
            problems.append(
                Problem("does not say a unit it knows", place, line, column, f'"{unit}"' if unit else "none",
                        ", ".join(UNITS[what]))
            )  # fmt: skip
            heads.append(None)
    held = [head[0] for head in heads if head]
    problems += [
        Problem("stands there twice", place, line, f"column {each}")
        for each in dict.fromkeys(held)
        if held.count(each) > 1
    ]
    if "wind" not in held and not problems:
        problems.append(Problem("has no column for the wind", place, line, "", ", ".join(names)[:60], ALLOWED))
    return heads, problems


def _hour(cells: list[str], heads: Heads, place: str, line: int, problems: list[Problem]) -> Hour | None:
    found: dict[str, float] = {}
    time, good = f"line {line}", True
    for cell, head in zip(cells, heads, strict=False):
        text = cell.strip()
        if head is None or not text:
            continue
        what, unit = head
        column = f"column {what}"
        if what == "time":
            time = text[:20]
            continue
        if what == "direction" and text.lower() in POINTS:
            found[what] = POINTS[text.lower()]
            continue
        if not _NUMBER.match(text):
            allowed = "a number or a point such as NW" if what == "direction" else "a number"
            problems.append(Problem("is not a number", place, line, column, f'"{text[:30]}"', allowed))
            good = False
            continue
        number = float(text.replace(",", "."))
        wrong = _out_of_range(what, number, unit)
        if wrong:
            problems.append(Problem("is out of range", place, line, column, f"{text} {unit}", wrong))
            good = False
            continue
        found[what] = _si(what, number, unit)
    if not good:
        return None
    if "wind" not in found:
        problems.append(Problem("tells no wind", place, line, "column wind", "nothing", "a number"))
        return None
    if "gust" in found and found["gust"] < found["wind"] - 0.05:
        problems.append(
            Problem("a gust is weaker than the mean wind", place, line, "column gust", f"{found['gust']:.1f} m/s",
                    f"at least the mean wind, {found['wind']:.1f} m/s")
        )  # fmt: skip
        return None
    return Hour(
        time, found["wind"], found.get("gust"), found.get("direction"), found.get("temperature"), found.get("rain")
    )


def _si(what: str, number: float, unit: str) -> float:
    if what in ("wind", "gust"):
        if unit in BEAUFORT:
            return MIDDLE[round(number)]
        return number * SPEED[unit]
    if what == "direction":
        return math.radians(number % 360.0)
    if what == "rain":
        return number * RAIN[unit]
    plain = unit.lstrip("deg°").strip() or unit
    if plain == "f":
        return (number - 32.0) / 1.8 + 273.15
    return number if plain == "k" else number + 273.15


def _out_of_range(what: str, number: float, unit: str) -> str:
    if what in LIMITS:
        if unit in BEAUFORT:
            return "" if 0.0 <= number <= 12.0 and number == round(number) else "a whole force, 0 to 12"
        top = LIMITS[what] / SPEED[unit]
        return "" if 0.0 <= number <= top else f"0 to {top:.0f} {unit}"
    if what == "direction":
        return "" if 0.0 <= number <= 360.0 else "0 to 360 deg"
    if what == "rain":
        return "" if number >= 0.0 else "0 or more"
    return "" if 220.0 < _si(what, number, unit) < 335.0 else "-50 to 60 degC"


def typed_hour(text: str, place: str = "--hour", *, clock: bool = True) -> Hour:
    """Return an hour from one line of words.

    Parameters
    ----------
    text : str
        Such as ``14:00 4 m/s gust 7 m/s 230 deg 12 degC``; only the wind must be there.
    place : str
        Named in messages.
    clock : bool
        Whether a time may stand first.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    rest, time = text.strip(), ""
    if clock and (match := _CLOCK.match(rest)) and not _TYPED.match(rest):
        time, rest = match[0].strip(), rest[match.end() :]
    found: dict[str, float] = {}
    left = rest
    for match in _TYPED.finditer(rest):
        unit = match["unit"].lower()
        if unit in SPEED or unit in BEAUFORT:
            what = "gust" if match["gust"] or "wind" in found else "wind"
        elif unit in ANGLE:
            what = "direction"
        elif unit == "mm":
            what = "rain"
        else:
            what = "temperature"
        number = float(match["number"].replace(",", "."))
        wrong = _out_of_range(what, number, unit)
        if wrong or what in found:
            message = f"{what} is out of range" if wrong else f"{what} stands there twice"
            raise InputError(message, place=place, found=match[0].strip(), allowed=wrong or EXAMPLE)
        found[what] = _si(what, number, unit)
        left = left.replace(match[0], " ", 1)
    for word in left.replace(",", " ").split():
        if word.lower() in POINTS and "direction" not in found:
            found["direction"] = POINTS[word.lower()]
        elif word.lower() not in ("from", "wind", "rain", "at"):
            raise InputError("holds something it does not know", place=place, found=f'"{word}"', allowed=EXAMPLE)
    if "wind" not in found:
        raise InputError("tells no wind", place=place, found=f'"{text}"', allowed=EXAMPLE)
    if "gust" in found and found["gust"] < found["wind"] - 0.05:
        raise InputError("a gust is weaker than the mean wind", place=place, found=f'"{text}"', allowed=EXAMPLE)
    return Hour(
        time or "now", found["wind"], found.get("gust"), found.get("direction"), found.get("temperature"),
        found.get("rain"),
    )  # fmt: skip
