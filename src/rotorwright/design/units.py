"""The unit reader: one string with a unit in, one SI number out, anything doubtful refused with the right form.

A closed list, on purpose: what is not in it is not guessed. Ambiguous decimal commas, bare numbers, wrong dimensions
and numbers that are not finite are refused, and the message shows a form that would be accepted.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from rotorwright.design.unit_table import DIMENSIONS, Dimension


class UnitProblem(ValueError):
    """A text that is not the measure asked for: what is wrong, what was found, what is allowed, what might be meant."""

    def __init__(self, message: str, found: str, allowed: str, hint: str = "") -> None:
        super().__init__(message)
        self.message, self.found, self.allowed, self.hint = message, found, allowed, hint


class Reading(NamedTuple):
    """A measure as read: the number in SI and the unit the maker wrote."""

    value: float
    unit: str


_DIGITS = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_NUMBER = re.compile(rf"[+-]?{_DIGITS}\Z")
_FRACTION = re.compile(r"([+-]?)(?:(\d+)(?:\s+|-))?(\d+)\s*/\s*(\d+)\Z")
_COMMA = re.compile(r"([+-]?\d+),(\d{1,2})\Z")
_HEAD = re.compile(
    rf"\s*([+-]?\s*(?:(?:\d+(?:\s+|-))?\d+\s*/\s*\d+(?![\d.,])|{_DIGITS}(?![\d.,])|[\d.,'_]+))\s*(.*?)\s*\Z", re.DOTALL
)
_TWO_PART = re.compile(rf"\s*({_DIGITS})\s*(ft|'|lb)\s*((?:\d+\s+)?\d+\s*/\s*\d+|{_DIGITS})\s*(in|\"|oz)\s*\Z")
_NOT_FINITE = re.compile(r"\s*[+-]?(inf|infinity|nan)\b", re.IGNORECASE)
_SPELLING = str.maketrans({"²": "2", "³": "3", "·": " ", "*": " ", "Ω": "ohm", "°": "deg", "−": "-"})


def read(text: str, dimension: str) -> float:
    """Return the SI number of a measure.

    Parameters
    ----------
    text : str
        Number and unit, such as ``"620 mm"``, ``"3/16 in"``, ``"1,5 m"``.
    dimension : str
        Name of the dimension wanted, a key of `DIMENSIONS`.

    Raises
    ------
    UnitProblem
        If the text is not such a measure.
    """
    return reading(text, dimension).value


@lru_cache(maxsize=8192)
def reading(text: str, dimension: str) -> Reading:
    """Return the SI number of a measure and the unit it was written in (arguments and errors as for `read`)."""
    kind = DIMENSIONS[dimension]
    found = shorten(text)
    if _NOT_FINITE.match(text):
        raise UnitProblem("is not a finite number", found, kind.allowed)
    plain = text.translate(_SPELLING)
    two = _two_part(plain, kind)
    if two is not None:
        return two
    head = _HEAD.match(plain)
    if head is None:
        raise UnitProblem("does not start with a number", found, kind.allowed, _reordered(plain, kind))
    number = read_number(head.group(1), text, kind)
    written = " ".join(head.group(2).split())
    if not written:
        if kind.bare:
            return Reading(number, "")
        raise UnitProblem(
            "needs a unit", found, kind.allowed, f'Write "{text.strip()} {kind.usual}", or the unit you mean'
        )
    unit = find_unit(written, kind)
    if unit is None:
        raise _unit_trouble(written, found, kind)
    factor, offset = kind.units[unit]
    value = number * factor + offset
    if not math.isfinite(value):
        raise UnitProblem("is not a finite number", found, kind.allowed)
    return Reading(value, unit)


def likely_unit(text: str, dimension: str, units: tuple[str, ...], low: float, high: float) -> str:
    """Return the hint to a bare number: the first of some units with which it lies between two SI limits, or ``""``."""
    kind = DIMENSIONS[dimension]
    try:
        number = read_number(text.strip(), text, kind)
    except UnitProblem:
        return ""
    for unit in units:
        factor, offset = kind.units[unit]
        if low <= number * factor + offset <= high:
            return f'Write "{text.strip()} {unit}", or the unit you mean'
    return ""


def read_number(part: str, text: str, kind: Dimension) -> float:
    """Return the number that a part of ``text`` spells (point, one- or two-digit decimal comma, or fraction)."""
    spelled = part.strip().replace("+ ", "+").replace("- ", "-")
    found = shorten(text)
    if _NUMBER.match(spelled):
        return float(spelled)
    comma = _COMMA.match(spelled)
    if comma:
        return float(f"{comma.group(1)}.{comma.group(2)}")
    fraction = _FRACTION.match(spelled)
    if fraction:
        sign, whole, over, under = fraction.groups()
        if int(under) == 0:
            raise UnitProblem("divides by zero", found, kind.allowed)
        size = int(whole or 0) + int(over) / int(under)
        return -size if sign == "-" else size
    if "," in spelled:
        point, bare = spelled.replace(",", ".", 1), spelled.replace(",", "")
        unit = text[len(part) :].strip() or kind.usual
        hint = f'Write "{point} {unit}" or "{bare} {unit}", whichever you mean'
        if spelled.count(",") > 1 or "." in spelled:
            hint = f'Write the number without separators, such as "{re.sub("[^0-9]", "", spelled)} {unit}"'
        raise UnitProblem("has a comma that can be read in two ways", found, kind.allowed, hint)
    raise UnitProblem("is not a number this reader knows", found, kind.allowed)


def find_unit(written: str, kind: Dimension) -> str | None:
    """Return the listed spelling of a unit, or None; letter case counts only where two units differ by it."""
    if written in kind.units:
        return written
    folded = _folded(kind.name)
    unit = folded.get(written.casefold()) or folded.get(written.casefold().replace(" ", ""))
    return None if unit is None or _prefix_doubt(written, unit) else unit


def _prefix_doubt(written: str, unit: str) -> bool:
    """Tell whether a change of letter case turned milli into mega or back."""
    return {written[0], unit[0]} == {"m", "M"} and unit not in {"m", "mm", "mAh", "min", "mph", "ms", "mg", "mbar"}


@lru_cache(maxsize=64)
def _folded(name: str) -> dict[str, str]:
    units = DIMENSIONS[name].units
    table: dict[str, str] = {}
    doubtful: set[str] = set()
    for unit in units:
        for key in {unit.casefold(), unit.casefold().replace(" ", "")}:
            if key in table and units[table[key]] != units[unit]:
                doubtful.add(key)
            table.setdefault(key, unit)
    return {key: unit for key, unit in table.items() if key not in doubtful}


def _two_part(text: str, kind: Dimension) -> Reading | None:
    """Read the two-part measures of the workshop: 5 ft 3 in, 2 lb 3 oz."""
    pair = _TWO_PART.match(text)
    if pair is None:
        return None
    big, small = pair.group(2).replace("'", "ft"), pair.group(4).replace('"', "in")
    if big not in kind.units or small not in kind.units or (big, small) not in {("ft", "in"), ("lb", "oz")}:
        return None
    first = read_number(pair.group(1), text, kind) * kind.units[big][0]
    return Reading(first + read_number(pair.group(3), text, kind) * kind.units[small][0], small)


def _reordered(text: str, kind: Dimension) -> str:
    """Suggest the right order when the unit came first."""
    tail = re.search(rf"({_DIGITS})\s*\Z", text)
    if tail is None:
        return ""
    unit = find_unit(text[: tail.start()].strip(), kind)
    return f'Write "{tail.group(1)} {unit}"' if unit else ""


def _unit_trouble(written: str, found: str, kind: Dimension) -> UnitProblem:
    for other in DIMENSIONS.values():
        if other.name != kind.name and find_unit(written, other) is not None:
            return UnitProblem(f"is {other.article}, but this needs {kind.article}", found, kind.allowed)
    if re.match(r"[\d.,']", written):
        return UnitProblem("has a space or sign inside the number", found, kind.allowed)
    from difflib import get_close_matches

    near = get_close_matches(written, list(kind.units), n=1, cutoff=0.5)
    hint = f'Did you mean "{near[0]}"?' if near else ""
    return UnitProblem(f"has a unit that is not known here: {shorten(written)}", found, kind.allowed, hint)


def shorten(thing: object, limit: int = 60) -> str:
    """Return a thing as it would stand in the file, cut to a bearable length, for messages."""
    if isinstance(thing, bool):
        text = str(thing).lower()
    elif isinstance(thing, str):
        text = '"' + thing.replace("\n", "\\n") + '"'
    else:
        text = str(thing)
    return text if len(text) <= limit else text[: limit - 1] + "…"


# --- the short forms of the trade -----------------------------------------------------------------------------------


class Cells(NamedTuple):
    """Cells of a pack: in series and in parallel."""

    series: int
    parallel: int


class Propeller(NamedTuple):
    """Propeller size: diameter and pitch [m], and the letters that followed it."""

    diameter: float
    pitch: float
    letters: str


class Tube(NamedTuple):
    """Tube size: outer and inner diameter [m], and the words that stood before it."""

    outer: float
    inner: float
    words: str


_CELLS = re.compile(r"\s*(\d{1,3})\s*[sS](?:\s*(\d{1,2})\s*[pP])?\s*\Z")
_SIZE = r"(\d+(?:\.\d+)?|\d+,\d{1,2}|(?:\d+\s+)?\d+/\d+)"
_PROPELLER = re.compile(rf"\s*{_SIZE}\s*[x×X]\s*{_SIZE}\s*(mm|cm|in|\")?\s*([A-Za-z]{{0,4}})\s*\Z")
_TUBE = re.compile(rf"\s*([A-Za-z][A-Za-z \-]*?)?\s*{_SIZE}\s*[x×X]\s*{_SIZE}\s*(mm|cm|in|\")?\s*\Z")
CELLS_ALLOWED = 'cells in series and perhaps in parallel, such as "3S" or "4S2P"'
PROPELLER_ALLOWED = 'diameter and pitch in inches, such as "9x5" or "10x4.7", or with a unit, "230x120 mm"'
TUBE_ALLOWED = 'outer and inner diameter with a unit, such as "8x6 mm" or "carbon 8x6 mm"'


def read_cells(text: str) -> Cells:
    """Return the cells of a pack from ``"3S"`` or ``"4S2P"``; raises UnitProblem otherwise."""
    match = _CELLS.match(text)
    if match is None or int(match.group(1)) < 1 or int(match.group(2) or 1) < 1:
        bare = text.strip()
        hint = f'Write "{int(bare)}S"' if bare.isascii() and bare.isdigit() and int(bare) > 0 else ""
        raise UnitProblem("is not a number of cells", shorten(text), CELLS_ALLOWED, hint)
    return Cells(int(match.group(1)), int(match.group(2) or 1))


def read_propeller(text: str) -> Propeller:
    """Return a propeller size from ``"9x5"``, ``"10x4.7"``, ``"6x4e"`` (inches) or ``"230x120 mm"``."""
    match = _PROPELLER.match(text)
    length = DIMENSIONS["length"]
    if match is None:
        raise UnitProblem("is not a propeller size", shorten(text), PROPELLER_ALLOWED)
    unit = (match.group(3) or "in").replace('"', "in")
    factor = length.units[unit][0]
    return Propeller(
        read_number(match.group(1), text, length) * factor,
        read_number(match.group(2), text, length) * factor,
        match.group(4) or "",
    )


def read_tube(text: str) -> Tube:
    """Return a tube size from ``"8x6 mm"`` or ``"carbon 8x6 mm"``; raises UnitProblem otherwise."""
    match = _TUBE.match(text)
    if match is None:
        raise UnitProblem("is not a tube size", shorten(text), TUBE_ALLOWED)
    if match.group(4) is None:
        raise UnitProblem(
            "needs a unit", shorten(text), TUBE_ALLOWED, f'Write "{text.strip()} mm" if you mean millimetres'
        )
    length = DIMENSIONS["length"]
    factor = length.units[match.group(4).replace('"', "in")][0]
    outer = read_number(match.group(2), text, length) * factor
    inner = read_number(match.group(3), text, length) * factor
    if not outer > inner:
        raise UnitProblem("is not wider outside than inside", shorten(text), TUBE_ALLOWED)
    return Tube(outer, inner, (match.group(1) or "").strip())


# --- the way back -----------------------------------------------------------------------------------------------------


def show(value: float, like: str, dimension: str, figures: int = 4) -> str:
    """Return an SI number as text in the unit of ``like``.

    Parameters
    ----------
    value : float
        The number, SI.
    like : str
        A measure as the maker wrote it (``"620 mm"``), or just a unit.
    dimension : str
        Key of `DIMENSIONS`.
    figures : int
        Significant figures kept; no zeros are added.
    """
    kind = DIMENSIONS[dimension]
    unit = find_unit(" ".join(like.translate(_SPELLING).split()), kind)
    if unit is None:
        try:
            unit = reading(like, dimension).unit
        except UnitProblem:
            unit = kind.usual
    if not unit:
        return plain_number(value, figures)
    factor, offset = kind.units[unit]
    return f"{plain_number((value - offset) / factor, figures)} {unit}"


def plain_number(value: float, figures: int = 4) -> str:
    """Return a number with at most so many significant figures, never in powers of ten."""
    if value == 0.0 or not math.isfinite(value):
        return "0" if value == 0.0 else str(value)
    decimals = max(0, figures - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


@dataclass(frozen=True)
class Range:
    """What a field accepts: SI limits of a dimension, in words that quote a usual unit."""

    dimension: str
    low: float = -math.inf
    high: float = math.inf

    def words(self) -> str:
        """Return the range as words, such as ``a length between 1 mm and 10 m, such as "620 mm"``."""
        kind = DIMENSIONS[self.dimension]
        low = self._bound(self.low)
        high = self._bound(self.high)
        if math.isinf(self.low) and math.isinf(self.high):
            return kind.allowed
        if math.isinf(self.high):
            return f"{kind.article} of at least {low}, such as {kind.example}"
        if math.isinf(self.low):
            return f"{kind.article} of at most {high}, such as {kind.example}"
        return f"{kind.article} between {low} and {high}, such as {kind.example}"

    def _bound(self, number: float) -> str:
        kind = DIMENSIONS[self.dimension]
        if math.isinf(number):
            return ""
        for unit in kind.scale:
            factor, offset = kind.units[unit]
            if number == 0.0 or abs((number - offset) / factor) >= 1.0:
                return f"{plain_number((number - offset) / factor)} {unit}"
        return show(number, kind.usual, self.dimension)
