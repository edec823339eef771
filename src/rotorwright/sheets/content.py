"""A sheet as data: title, sentences, tables and pictures, before anything is drawn.

Renderers (terminal now, page and paper later) take a `Sheet` and nothing else, so that all faces say the same.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.numbers import ShownUnits

Tone = Literal["lead", "plain", "doubt", "caution", "quiet"]
"""The answer itself; running text; a limit of the data; something that can hurt; small print."""


@dataclass(frozen=True)
class Sentence:
    """Running text in a tone."""

    text: str
    tone: Tone = "plain"


@dataclass(frozen=True)
class Share:
    """A quantity that reads better in per cent."""

    quantity: Quantity


@dataclass(frozen=True)
class Far:
    """A quantity that reads better in long units: a way in metres, not millimetres."""

    quantity: Quantity


Cell = str | Quantity | Share | Far
"""A cell is text, or a quantity that the renderer writes in the maker's units."""


@dataclass(frozen=True)
class Row:
    """One line of a table; ``note`` is small print that belongs to it (a limit of the data, a mark)."""

    cells: tuple[Cell, ...]
    note: str = ""


@dataclass(frozen=True)
class Table:
    """Rows under column heads (empty heads: a plain list of name and value)."""

    rows: tuple[Row, ...]
    heads: tuple[str, ...] = ()


@dataclass(frozen=True)
class Line:
    """One line of a picture with its band."""

    name: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()


@dataclass(frozen=True)
class Picture:
    """Lines over a common axis; both axes in SI, shown in the maker's units."""

    title: str
    x_name: str
    x_unit: str
    y_name: str
    y_unit: str
    lines: tuple[Line, ...]
    said: str = ""
    """What the picture shows, in one sentence (for paper, screen readers and the terminal)."""


Item = Sentence | Table | Picture


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it."""

    heading: str
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Sheet:
    """Everything one answer shows, in order."""

    title: str
    lead: tuple[Sentence, ...]
    sections: tuple[Section, ...]
    units: ShownUnits = field(default_factory=ShownUnits)
