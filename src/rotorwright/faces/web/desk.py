"""The folder on the table: its aircraft files, what changes in them, who wants to know. No page in here.

The file on disk is the single truth. Every change goes through it (loss-free edit, atomic save), a hand edit is found
by looking at it again, and each state is kept so that it can be taken back.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rotorwright.base.errors import InputError, InputProblems, Problem
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.aircraft_file import loads
from rotorwright.design.edit import edit_text, save_text
from rotorwright.design.file_text import read_text
from rotorwright.logbook.steps import Step, Steps

ENDING = ".toml"
Listener = Callable[[], None]


@dataclass(eq=False)
class OpenFile:
    """One aircraft file as it stands on disk, and the aeroplane in it if it can be read."""

    path: Path
    steps: Steps
    text: str = ""
    aeroplane: Aeroplane | None = None
    problems: tuple[Problem, ...] = ()
    gone: bool = False
    """Whether the file has vanished from its folder; its last text is still held."""
    listeners: list[Listener] = field(default_factory=list)

    @property
    def name(self) -> str:
        """Return the file's name without its ending."""
        return self.path.stem

    def look(self) -> bool:
        """Read the file again; return whether it is another than before, and tell the listeners if so."""
        try:
            text = read_text(self.path)
        except InputProblems as problem:
            changed = not self.gone
            self.gone, self.problems = True, tuple(problem.problems)
            if changed:
                self._tell()
            return changed
        if text == self.text and not self.gone:
            return False
        first = not self.text
        self.gone = False
        self._take(text)
        self.steps.keep(self.path.name, text, "as found" if first else "changed outside this page")
        self._tell()
        return True

    def change(self, changes: Mapping[str, Any], said: str = "") -> None:
        """Change fields in the file.

        Parameters
        ----------
        changes : mapping
            Dotted field to a text as in the file, an SI number, or None to untell it.
        said : str
            What changes, in words; made up from the fields if empty.

        Raises
        ------
        InputProblems
            If a value cannot be used or the file was changed meanwhile; nothing is then written.
        """
        after = edit_text(self.text, changes, str(self.path))
        words = said or ", ".join(f"{name} → {value}" for name, value in changes.items())
        self._write(after)
        self.steps.keep(self.path.name, after, words)
        self._tell()

    def replace(self, text: str, said: str) -> None:
        """Put a whole new text in the file's place (a hand edit in the page).

        Raises
        ------
        InputProblems
            If it cannot be read as an aircraft file; nothing is then written.
        """
        loads(text, str(self.path))
        self._write(text)
        self.steps.keep(self.path.name, text, said)
        self._tell()

    def take_back(self) -> Step | None:
        """Go back one state; return it, or None if there is none."""
        return self._go(self.steps.back(self.path.name))

    def repeat(self) -> Step | None:
        """Go forward to the state taken back last; return it, or None if there is none."""
        return self._go(self.steps.forward(self.path.name))

    def preview(self, changes: Mapping[str, Any]) -> Aeroplane:
        """Return the aeroplane with some fields told differently, nothing written.

        Raises
        ------
        InputProblems
            If a value cannot be used, or the file itself cannot be read.
        """
        if self.aeroplane is None:
            raise InputProblems(list(self.problems))
        return self.aeroplane.changed(changes)

    def _go(self, step: Step | None) -> Step | None:
        if step is not None:
            self._write(step.text)
            self.steps.go(self.path.name, step)
            self._tell()
        return step

    def _write(self, text: str) -> None:
        save_text(self.path, text, replaces=self.text)
        self._take(text)

    def _take(self, text: str) -> None:
        self.text = text
        try:
            self.aeroplane, self.problems = loads(text, str(self.path)), ()
        except InputProblems as problem:
            self.aeroplane, self.problems = None, tuple(problem.problems)

    def _tell(self) -> None:
        for listener in list(self.listeners):
            listener()


class Desk:
    """All aircraft files of one folder.

    Parameters
    ----------
    folder : Path

    Raises
    ------
    InputError
        If it is no folder.
    """

    def __init__(self, folder: Path) -> None:
        if not folder.is_dir():
            raise InputError("is no folder", place=str(folder), hint="Name the folder your aircraft files are in")
        self.folder = folder.resolve()
        self.steps = Steps(self.folder)
        self._open: dict[str, OpenFile] = {}

    def names(self) -> list[str]:
        """Return the names of the aircraft files in the folder, without their ending, in order."""
        found = (path for path in self.folder.glob(f"*{ENDING}") if path.is_file() and not path.name.startswith("."))
        return sorted((path.stem for path in found if _is_aircraft(path)), key=str.casefold)

    def file(self, name: str) -> OpenFile:
        """Return an aircraft file of the folder by its name.

        Raises
        ------
        InputError
            If there is none of that name, or the name leads out of the folder.
        """
        if name in self._open:
            return self._open[name]
        path = self.folder / f"{name}{ENDING}"
        if not name or path.resolve().parent != self.folder or path.name.startswith("."):
            raise InputError("is no name of a file in this folder", found=f'"{name}"')
        if not path.is_file():
            names = ", ".join(self.names()) or "none yet"
            raise InputError("is not in this folder", place=str(path), allowed=names)
        held = OpenFile(path, self.steps)
        held.look()
        self._open[name] = held
        return held

    def look(self) -> None:
        """Look at every open file again."""
        for held in self._open.values():
            held.look()

    def put_back(self, held: OpenFile) -> None:
        """Write a file that has vanished from the folder again, as it was last."""
        save_text(held.path, held.text)
        held.look()

    def free_name(self, said: str) -> str:
        """Return a name for a new file after some words, not that of any other file here."""
        stem = "-".join("".join(letter if letter.isalnum() else " " for letter in said.lower()).split())[:60] or "mine"
        free, number = stem, 2
        while (self.folder / f"{free}{ENDING}").exists():
            free, number = f"{stem}-{number}", number + 1
        return free

    def add(self, name: str, text: str, place: str = "") -> OpenFile:
        """Put a new aircraft file into the folder; ``place`` is what problems in the text call it.

        Raises
        ------
        InputProblems
            If the name is taken or cannot be used, or the text is no aircraft file; nothing is then written.
        """
        path = self.folder / f"{name}{ENDING}"
        if not name.strip() or path.resolve().parent != self.folder or name.startswith("."):
            raise InputError("cannot be the name of an aircraft file", found=f'"{name}"')
        loads(text, place or path.name)
        save_text(path, text)
        self._open.pop(name, None)
        return self.file(name)


def _is_aircraft(path: Path) -> bool:
    """Return whether a file says that it is an aircraft file; other settings files may stand beside it."""
    try:
        head = path.read_bytes()[:4096]
    except OSError:
        return False
    return any(line.replace(b" ", b"").startswith(b"format=") for line in head.splitlines())
