"""A sheet on the page: the same sentences, tables and pictures as in the terminal and on paper.

A number can be touched: it then says what it means, how sure it is, what moves it and where it comes from.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.quantity import Quantity
from rotorwright.faces.web.chart import Chart, Drawing, drawing_table, picture_spec, picture_table
from rotorwright.sheets.content import Cell, Far, Item, Picture, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits
from rotorwright.sheets.terminal import cell_text

Ask = Callable[[str, Quantity], None]
"""Called with the name of a quantity and the quantity when it is touched."""

_CLASS = {"lead": "rw-lead", "plain": "", "doubt": "rw-doubt", "caution": "rw-caution", "quiet": "rw-quiet"}
_BEFORE = {"caution": "Caution: "}
_STOP = re.compile(r"(?<=\.) ")
_OPTION = re.compile(r"(?:^|\s)--[a-z]")
_COMMAND = re.compile(r"`([a-z]+)`")
_PAGE = {name: f"the page {name.capitalize()}" for name in ("balance", "power", "shake", "handling")}
_PAGE |= {"check": "the page Aeroplane", "rotor": "the page Rotors"}


class SheetView:
    """Draws sheets into the place it is made in.

    Parameters
    ----------
    quantities : mapping of str to Quantity
        What the sheet tells, by name: those can be touched.
    ask : callable
        What a touched number calls.
    dark : bool
        Whether pictures are drawn light on dark.
    """

    def __init__(self, quantities: Mapping[str, Quantity], ask: Ask, dark: bool) -> None:
        self._names = {id(quantity): name for name, quantity in quantities.items()}
        self._ask = ask
        self._dark = dark

    def show(self, sheet: Sheet, *, lead: bool = True) -> None:
        """Draw a sheet; ``lead`` tells whether its first sentences are drawn too."""
        if lead:
            for sentence in sheet.lead:
                self._sentence(sentence)
        for section in sheet.sections:
            self._section(section, sheet.units)

    def _section(self, section: Section, units: ShownUnits) -> None:
        with ui.element("section"):
            if section.heading:
                heading(2, section.heading)
            for item in section.items:
                self._item(item, units)

    def _item(self, item: Item, units: ShownUnits) -> None:
        if isinstance(item, Sentence):
            self._sentence(item)
        elif isinstance(item, Table):
            self._table(item, units)
        else:
            self.picture(item, units)

    def _sentence(self, sentence: Sentence) -> None:
        said = on_the_page(sentence.text)
        if said:
            words(_BEFORE.get(sentence.tone, "") + said, _CLASS[sentence.tone])

    def _table(self, table: Table, units: ShownUnits) -> None:
        columns = max((len(row.cells) for row in table.rows), default=0)
        used = [
            place
            for place in range(columns)
            if any(place < len(row.cells) and cell_text(row.cells[place], units) for row in table.rows)
        ]
        with ui.element("div").classes("rw-scroll"), ui.element("table").classes("rw-table"):
            if table.heads:
                with ui.element("thead"), ui.element("tr"):
                    for place in used:
                        head = table.heads[place] if place < len(table.heads) else ""
                        TextElement(tag="th" if head else "td", text=head).props('scope="col"' if head else "")
            with ui.element("tbody"):
                for row in table.rows:
                    with ui.element("tr"):
                        for place in used:
                            cell: Cell = row.cells[place] if place < len(row.cells) else ""
                            with ui.element("td"):
                                self._cell(cell, units)
                                if place == used[0] and row.note:
                                    text(row.note).classes("rw-note")

    def _cell(self, cell: Cell, units: ShownUnits) -> None:
        quantity = cell.quantity if isinstance(cell, Share | Far) else cell
        name = self._names.get(id(quantity)) if isinstance(quantity, Quantity) else None
        if name is None or not isinstance(quantity, Quantity):
            text(cell_text(cell, units))
            return
        button = TextElement(tag="button", text=cell_text(cell, units)).classes("rw-number").props('type="button"')
        button.mark(name).on("click", partial(self._touched, name, quantity))

    def _touched(self, name: str, quantity: Quantity, _: object) -> None:
        self._ask(name, quantity)

    def picture(self, picture: Picture, units: ShownUnits) -> None:
        """Draw one picture with what can be saved of it."""
        said = picture.said or picture.title
        spec = picture_spec(picture, units, self._dark)
        figure(spec, said, picture.title, lambda: picture_table(picture, units), caption=picture.said)

    def drawing(self, drawing: Drawing) -> None:
        """Draw a chart that a sheet made, whole however narrow the page is."""
        spec = drawing.in_look(self._dark)
        figure(spec, drawing.said, drawing.title, lambda: drawing_table(spec), caption=drawing.said, whole=True)


def figure(
    spec: dict[str, Any], said: str, title: str, table: Callable[[], str], *, caption: str = "", whole: bool = False
) -> None:
    """Draw a specification with a caption and what can be saved of it."""
    stem = "".join(letter if letter.isalnum() else "-" for letter in title.lower()).strip("-") or "picture"
    with ui.element("figure").classes("rw-figure"):
        chart = Chart(spec, said)
        chart.classes("rw-whole" if whole else "")
        if caption:
            TextElement(tag="figcaption", text=caption)
        with ui.element("div").classes("rw-row"):
            for kind in ("svg", "png"):
                push(f"Save as {kind.upper()}", partial(chart.run_method, "save", kind, stem), small=True)
            push("Save as CSV", lambda: ui.download.content(table(), f"{stem}.csv", "text/csv"), small=True)


def on_the_page(said: str) -> str:
    """Return what is said without what only helps at the command line, commands named as the pages they are here."""
    kept = (each for each in _STOP.split(said) if not _OPTION.search(each))
    return _COMMAND.sub(lambda found: _PAGE.get(found[1], found[0]), " ".join(kept))


def text(said: str) -> TextElement:
    """Write plain text into the element around it."""
    return TextElement(tag="span", text=said)


def words(said: str, classes: str = "") -> TextElement:
    """Write a paragraph."""
    return TextElement(tag="p", text=said).classes(classes)


def heading(level: int, said: str) -> TextElement:
    """Write a heading."""
    return TextElement(tag=f"h{level}", text=said)


def push(
    said: str, act: Callable[[], object], *, small: bool = False, main: bool = False, mark: str = ""
) -> ui.element:
    """Return a button that says what it does."""
    button = TextElement(tag="button", text=said).classes("rw-button").props('type="button"')
    button.classes("rw-small" if small else "").classes("rw-main" if main else "")
    button.on("click", lambda _: act())
    return button.mark(mark or said)
