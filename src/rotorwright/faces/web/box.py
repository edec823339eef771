"""Fields to type or choose in: plain boxes of the browser, whose text stays while the page round them changes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

from nicegui import ui

Typed = Callable[[str], None]
TYPED_EVERY = 0.04
"""Shortest time between two reports of what is being typed [s]."""


class Box(ui.element, component="static/box.js"):
    """One field.

    Parameters
    ----------
    value : str
    name : str
        Its name on the page, for its label.
    tag : str
        ``input``, ``textarea`` or ``select``.
    words : sequence of str
        What a ``select`` offers.
    typed, done : callable, optional
        Called with the text while it changes, and once it is left or chosen.
    more : str
        More attributes, as in HTML.
    """

    def __init__(
        self,
        value: str,
        name: str,
        *,
        tag: Literal["input", "textarea", "select"] = "input",
        words: Sequence[str] = (),
        typed: Typed | None = None,
        done: Typed | None = None,
        more: str = "",
    ) -> None:
        super().__init__()
        self._props["tag"] = tag
        self._props["value"] = value
        self._props["words"] = list(words)
        self.props(f'id="{name}" autocomplete="off" spellcheck="false" {more}')
        if typed is not None:
            self.on("typed", lambda event: typed(str(event.args)), throttle=TYPED_EVERY)
        if done is not None:
            self.on("done", lambda event: done(str(event.args)))

    def show(self, value: str) -> None:
        """Put another text into the field."""
        if self._props["value"] != value:
            self._props["value"] = value
            self.update()

    def hold(self, value: str) -> None:
        """Remember what stands in the field, without writing to it."""
        self._props["value"] = value


class FileBox(ui.element, component="static/file.js"):
    """A field to choose a text file in, which is read in the browser.

    Parameters
    ----------
    label, name : str
    most : int
        Largest file that is read [bytes].
    kinds : str
        Endings that are offered, as in HTML.
    read : callable
        Called with the text.
    """

    def __init__(self, label: str, name: str, *, most: int, kinds: str, read: Typed) -> None:
        super().__init__()
        self._props["label"] = label
        self._props["most"] = most
        self.props(f'id="{name}" accept="{kinds}"')
        self.on("read", lambda event: read(str(event.args)))
