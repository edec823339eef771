"""A sheet on the terminal: plain lines, at most as wide as the window, the same text with and without colour."""

from __future__ import annotations

import re
import textwrap
from typing import IO

from rotorwright.sheets.content import Cell, Far, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, long_units, quantity_text
from rotorwright.sheets.strip_chart import strip_chart

WIDEST = 100
NARROWEST = 8
ROOM_FOR_WORDS = 20
_STYLES = {"lead": "bold", "plain": "", "doubt": "", "caution": "bold", "quiet": "dim", "heading": "bold"}
_MARKS = {"doubt": "Doubt: ", "caution": "Caution: "}
_POINT = re.compile(r"(\d\.|•) ")
StyledLine = tuple[str, str]
"""Text and style name."""


def print_sheet(sheet: Sheet, stream: IO[str], width: int | None = None) -> None:
    """Write a sheet to a stream; colour and weight only where the stream is a terminal that wants them."""
    if not stream.isatty():
        stream.write(sheet_text(sheet, min(width or 80, WIDEST)))
        return
    from rich.console import Console
    from rich.text import Text

    console = Console(file=stream, highlight=False, soft_wrap=True, emoji=False, markup=False)
    for text, style in sheet_lines(sheet, min(width or console.width, WIDEST)):
        console.print(Text(text, style=_STYLES.get(style, "")))


def sheet_text(sheet: Sheet, width: int = 80) -> str:
    """Return a sheet as plain text."""
    return "".join(f"{text}\n" for text, _ in sheet_lines(sheet, width))


def sheet_lines(sheet: Sheet, width: int) -> list[StyledLine]:
    """Return a sheet as lines of at most ``width`` characters, each with the name of its style."""
    lines: list[StyledLine] = [(text, "heading") for text in textwrap.wrap(sheet.title, width)]
    for sentence in sheet.lead:
        lines += _sentence(sentence, width)
    for section in sheet.sections:
        lines += [("", "plain"), *_section(section, sheet.units, width)]
    return lines


def _section(section: Section, units: ShownUnits, width: int) -> list[StyledLine]:
    lines: list[StyledLine] = [(section.heading, "heading")]
    for item in section.items:
        if isinstance(item, Sentence):
            lines += _sentence(item, width, "  ")
        elif isinstance(item, Table):
            lines += _table(item, units, width)
        else:
            lines += _picture(item, units, width)
    return lines


def _sentence(sentence: Sentence, width: int, indent: str = "") -> list[StyledLine]:
    text = _MARKS.get(sentence.tone, "") + sentence.text
    point = _POINT.match(text)
    hanging = indent + " " * len(point[0]) if point else indent
    wrapped = textwrap.wrap(text, width, initial_indent=indent, subsequent_indent=hanging, break_on_hyphens=False)
    return [(line, sentence.tone) for line in wrapped]


def cell_text(cell: Cell, units: ShownUnits) -> str:
    """Return a cell as text."""
    if isinstance(cell, Share):
        return quantity_text(cell.quantity, units, as_percent=True)
    if isinstance(cell, Far):
        return quantity_text(cell.quantity, long_units(units))
    return cell if isinstance(cell, str) else quantity_text(cell, units)


def _table(table: Table, units: ShownUnits, width: int) -> list[StyledLine]:
    rows = [[cell_text(cell, units) for cell in row.cells] for row in table.rows]
    columns = max((len(row) for row in [*rows, list(table.heads)]), default=0)
    all_rows = [list(table.heads), *rows] if table.heads else rows
    all_rows = [row + [""] * (columns - len(row)) for row in all_rows]
    used = [column for column in range(columns) if any(row[column] for row in all_rows)]
    all_rows = [[row[column] for column in used] for row in all_rows]
    columns = len(used)
    if not columns:
        return []
    widths = [max(len(row[column]) for row in all_rows) for column in range(columns)]
    over = sum(widths) + 2 * columns - width
    if over > 0 and columns > 1:  # the last column gives way first: it holds the words that wrap best
        given = min(over, max(widths[-1] - ROOM_FOR_WORDS, 0))
        widths[-1] -= given
    while sum(widths) + 2 * columns > width and max(widths) > NARROWEST:
        widths[widths.index(max(widths))] -= 1
    lines: list[StyledLine] = []
    if table.heads:
        lines += [(line, "quiet") for line in _cells(all_rows[0], widths)]
    for row, texts in zip(table.rows, all_rows[1:] if table.heads else all_rows, strict=True):
        lines += [(line, "plain") for line in _cells(texts, widths)]
        lines += _note(row, width)
    return lines


def _cells(texts: list[str], widths: list[int]) -> list[str]:
    wrapped = [
        textwrap.wrap(text, room, break_on_hyphens=False) or [""] for text, room in zip(texts, widths, strict=True)
    ]
    tall = max(len(cell) for cell in wrapped)
    lines = []
    for index in range(tall):
        parts = [
            (cell[index] if index < len(cell) else "").ljust(room) for cell, room in zip(wrapped, widths, strict=True)
        ]
        lines.append("  " + "  ".join(parts).rstrip())
    return lines


def _note(row: Row, width: int) -> list[StyledLine]:
    if not row.note:
        return []
    wrapped = textwrap.wrap(row.note, width, initial_indent="    ", subsequent_indent="    ", break_on_hyphens=False)
    return [(line, "quiet") for line in wrapped]


def _picture(picture: Picture, units: ShownUnits, width: int) -> list[StyledLine]:
    lines: list[StyledLine] = [(f"  {picture.title}", "plain")] if picture.title else []
    lines += [(f"  {line}", "plain") for line in strip_chart(picture, units, width - 4)]
    if picture.said:
        lines += _sentence(Sentence(picture.said), width, "  ")
    return lines
