"""The parts of an aeroplane as fields to fill in, with the words, units and limits of the aircraft file.

A field takes what the file takes ("620 mm", "24 in", "3S") and says what is wrong beside itself, in the words of the
command line; nothing is written until all of it can be used.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any, Literal, get_args, get_origin

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement
from pydantic import BaseModel

from rotorwright.base.errors import InputProblems, Problem
from rotorwright.design.changes import from_text
from rotorwright.design.problems import model_at
from rotorwright.faces.web.box import Box
from rotorwright.faces.web.desk import OpenFile

Tried = Callable[[str, str], None]
"""Called with a dotted field and its text while it is typed."""

KINDS = {
    "field": "The field it flies from", "reserve": "What must be in hand", "rotor": "Rotor", "drive": "Rotor drive",
    "surface": "Surface", "body": "Body", "strut": "Strut", "thruster": "Thruster", "battery": "Battery",
    "wheel": "Wheel", "item": "Item", "weighed": "On the scale", "material": "Material",
}  # fmt: skip
SINGLE = ("field", "reserve", "weighed")
POINTS = ("position", "start", "end", "size", "balance")


class PartsForm:
    """Fields of every part that is told in the file.

    Parameters
    ----------
    file : OpenFile
    tried : callable
        Called while a value is typed, for the live verdict.
    """

    def __init__(self, file: OpenFile, tried: Tried) -> None:
        self._file = file
        self._tried = tried
        self._inputs: dict[str, Field] = {}

    def build(self, open_part: str = "") -> None:
        """Draw the fields; ``open_part`` is the table that stands open."""
        aeroplane = self._file.aeroplane
        if aeroplane is None:
            return
        guessed = {entry.field for entry in aeroplane.filled_in}
        fields = self._told()
        for kind, title in KINDS.items():
            tables = aeroplane.told.get(kind)
            if not isinstance(tables, Mapping):
                continue
            for path in [kind] if kind in SINGLE else [f"{kind}.{name}" for name in tables]:
                name = "" if kind in SINGLE else f" {path.partition('.')[2]}"
                with ui.element("details").classes("rw-part").mark(path) as part:
                    if path == open_part:
                        part.props("open")
                    TextElement(tag="summary", text=f"{title}{name}")
                    with ui.element("div").classes("rw-fields"):
                        for field, value in fields.items():
                            if field.startswith(f"{path}."):
                                self._draw(field, value, field in guessed)

    def refresh(self) -> bool:
        """Show the values of the file as it is now; return False if it has other fields than those drawn."""
        told = self._told()
        if told.keys() != self._inputs.keys():
            return False
        for path, value in told.items():
            self._inputs[path].refresh(value)
        return True

    def _told(self) -> dict[str, Any]:
        """Return every field that can be changed here, with what the file tells."""
        aeroplane = self._file.aeroplane
        if aeroplane is None:
            return {}
        return {
            path: value
            for kind in KINDS
            if isinstance(aeroplane.told.get(kind), Mapping)
            for path, value in _leaves(kind, aeroplane.told[kind])
        }

    def _draw(self, path: str, value: Any, guessed: bool) -> None:
        table, _, name = path.rpartition(".")
        axis = name if name in _AXES and table.rpartition(".")[2] in POINTS else ""
        if axis:
            said, choices = _AXES[axis], _NONE
        else:
            said, choices = _described(table, name)
        self._inputs[path] = Field(self._file, path, value, said, guessed, choices, self._tried)


class Field:
    """One field of the file: label, value, what it is, and what is wrong with what was typed."""

    def __init__(
        self, file: OpenFile, path: str, value: Any, said: str, guessed: bool, choices: tuple[str, ...], tried: Tried
    ) -> None:
        self._file, self._path, self._tried = file, path, tried
        self.shown = _as_typed(value)
        with ui.element("div").classes("rw-field") as self.box:
            key = f"f-{path.replace('.', '-')}"
            TextElement(tag="label", text=_label(path)).props(f'for="{key}"')
            words = choices or (("true", "false") if isinstance(value, bool) else ())
            self.input = Box(
                self.shown, key, tag="select" if words else "input", words=words, typed=self._typing, done=self._done
            ).mark(path)
            self.small = TextElement(tag="small", text=said + (" A guess so far." if guessed else ""))
            self.wrong = TextElement(tag="div", text="").classes("rw-wrong-words").props('role="alert"')
            self.wrong.set_visibility(False)

    def _typing(self, typed: str) -> None:
        if typed != self.shown:
            self._tried(self._path, typed)

    def _done(self, typed: str) -> None:
        self.input.hold(typed)
        typed = typed.strip()
        if typed == self.shown:
            return
        try:
            said = f"{_label(self._path)}: {self.shown} → {typed}"
            before, self.shown = self.shown, typed
            self._file.change({self._path: _as_told(typed)}, said)
        except InputProblems as problem:
            self.shown = before
            self.complain(" ".join(_beside(each, self._path) for each in problem.problems))
            return
        self.complain("")

    def refresh(self, value: Any) -> None:
        """Show another value, unless it is the one already there (what is being typed stays)."""
        text = _as_typed(value)
        if text != self.shown:
            self.shown = text
            self.input.show(text)
            self.complain("")

    def complain(self, words: str) -> None:
        """Say what is wrong beside the field, or nothing."""
        self.wrong.set_text(words)
        self.wrong.set_visibility(bool(words))
        self.box.classes(add="rw-wrong") if words else self.box.classes(remove="rw-wrong")


_NONE: tuple[str, ...] = ()
_AXES = {"x": "Aft of the nose point.", "y": "To the right (left is negative).", "z": "Above the nose point."}


def _beside(problem: Problem, path: str) -> str:
    """Return a problem as it is said beside the field itself: without the place, unless it stands elsewhere."""
    here = problem.field == path or problem.field.startswith(f"{path}.")
    said = (replace(problem, place="", line=None, field="") if here else replace(problem, place="")).sentence()
    return f"{said[:1].upper()}{said[1:]}"


def _as_typed(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)


def _as_told(typed: str) -> Any:
    """Return what was typed as the file tells it: words as text, whole numbers, shares and switches as they are."""
    return from_text(typed) if typed else None


def _label(path: str) -> str:
    """Return a field in words: ``rotor.left.discs.diameter`` → ``discs diameter``."""
    parts = path.split(".")
    rest = parts[1:] if parts[0] in SINGLE else parts[2:]
    axis = {"x": "aft", "y": "right", "z": "up"}
    words = [axis.get(part, part.replace("_", " ")) for part in rest]
    return " ".join(words)


def _leaves(path: str, told: Any) -> Iterator[tuple[str, Any]]:
    """Yield every single value under a table with its dotted field; the three of a position one by one."""
    if isinstance(told, Mapping):
        for name, value in told.items():
            yield from _leaves(f"{path}.{name}", value)
    elif isinstance(told, list) and len(told) == 3 and path.rpartition(".")[2] in POINTS:
        for axis, value in zip("xyz", told, strict=True):
            yield f"{path}.{axis}", value
    elif not isinstance(told, list):
        yield path, told


def _described(table: str, name: str) -> tuple[str, tuple[str, ...]]:
    """Return what a field is, in the words of the file format, and the words it may take."""
    model = model_at(table.split("."))
    if model is None or name not in model.model_fields:
        return "", ()
    return model.model_fields[name].description or "", _choices(model, name)


def _choices(model: type[BaseModel], name: str) -> tuple[str, ...]:
    """Return the words a field may take, if it takes only some."""
    waiting = [model.model_fields[name].annotation]
    while waiting:
        annotation = waiting.pop()
        if get_origin(annotation) is Literal:
            return tuple(str(each) for each in get_args(annotation))
        waiting += list(get_args(annotation))
    return ()
