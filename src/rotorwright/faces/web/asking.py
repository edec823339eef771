"""What a page asks beside the aircraft file: boxes whose texts are kept, each with what is wrong beside it."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems, Problem
from rotorwright.design.units import UnitProblem, read
from rotorwright.faces.web.box import Box
from rotorwright.faces.web.frame import Here

Reader = Callable[[str], Any]


@dataclass(frozen=True)
class Ask:
    """One box: its label, what stands in it at first, what it is, and how it is read.

    ``choices`` makes it a list to choose from. An empty box, or the first choice of a list, asks for nothing.
    """

    name: str
    label: str
    said: str = ""
    given: str = ""
    reader: Reader = str
    choices: tuple[str, ...] = ()
    long: bool = False
    """Whether several lines are typed."""


def measure(dimension: str, least: float = float("-inf"), most: float = float("inf"), told: str = "") -> Reader:
    """Return what reads a measure between two numbers [SI]; ``told`` says the range in words."""

    def reader(text: str) -> float:
        found = read(text, dimension)
        if not least <= found <= most:
            raise UnitProblem("is out of range", text, told)
        return found

    return reader


class Asking:
    """The boxes of a page for one aircraft file.

    Parameters
    ----------
    here : Here
    kept : str
        Under which name the texts are kept in the folder's record.
    asks : sequence of Ask
    changed : callable
        Called after a box was left with something in it that can be read.
    """

    def __init__(self, here: Here, kept: str, asks: Sequence[Ask], changed: Callable[[], None]) -> None:
        self._here, self._changed = here, changed
        self._kept = f"{kept} of {here.file.name}"
        self._asks = {ask.name: ask for ask in asks}
        self.typed = {ask.name: ask.given or (ask.choices[0] if ask.choices else "") for ask in asks}
        held = json.loads(here.desk.steps.recall(self._kept) or "{}")
        self.typed |= {name: text for name, text in held.items() if name in self.typed}
        self._boxes: dict[str, Box] = {}
        self._wrong: dict[str, tuple[ui.element, TextElement]] = {}
        with ui.element("div").classes("rw-fields"):
            for ask in asks:
                self._draw(kept, ask)
        self.values()

    def _draw(self, kept: str, ask: Ask) -> None:
        with ui.element("div").classes("rw-field rw-wide" if ask.long else "rw-field") as around:
            key = f"{kept.replace(' ', '-')}-{ask.name}"
            TextElement(tag="label", text=ask.label).props(f'for="{key}"')
            self._boxes[ask.name] = Box(
                self.typed[ask.name], key, tag="select" if ask.choices else "textarea" if ask.long else "input",
                words=ask.choices, done=lambda typed: self.take(ask.name, typed),
                more='class="rw-text rw-few"' if ask.long else "",
            )  # fmt: skip
            if ask.said:
                TextElement(tag="small", text=ask.said)
            words = TextElement(tag="div", text="").classes("rw-wrong-words").props('role="alert"')
            words.set_visibility(False)
            self._wrong[ask.name] = (around, words)

    def put(self, name: str, text: str) -> None:
        """Put a text into a box, as if it had been typed."""
        self._boxes[name].show(text)
        self.take(name, text)

    def take(self, name: str, typed: str) -> None:
        """Take what was typed into a box."""
        if typed == self.typed[name]:
            return
        self.typed[name] = typed
        self._here.desk.steps.remember(self._kept, json.dumps(self.typed))
        if self.values() is not None:
            self._changed()

    def values(self) -> dict[str, Any] | None:
        """Return what is asked, None for a box that asks nothing; None altogether if something cannot be read."""
        found: dict[str, Any] = {}
        right = True
        for name, ask in self._asks.items():
            text = self.typed[name].strip()
            found[name] = None
            if not text or (ask.choices and text == ask.choices[0]):
                self.complain(name, "")
                continue
            try:
                found[name] = ask.reader(text)
                self.complain(name, "")
            except UnitProblem as problem:
                said = Problem(problem.message, found=problem.found, allowed=problem.allowed, hint=problem.hint)
                self.complain(name, said.sentence())
                right = False
            except InputProblems as problem:
                self.complain(name, " ".join(replace(each, place="").sentence() for each in problem.problems[:5]))
                right = False
        return found if right else None

    def complain(self, name: str, words: str) -> None:
        """Say what is wrong beside a box, or nothing."""
        around, place = self._wrong[name]
        place.set_text(words)
        place.set_visibility(bool(words))
        around.classes(add="rw-wrong") if words else around.classes(remove="rw-wrong")

    def told(self) -> Mapping[str, str]:
        """Return what stands in every box."""
        return dict(self.typed)
