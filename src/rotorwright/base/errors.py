"""The error tree. Errors carry data so that terminal, page and report phrase them alike.

RotorwrightError
├── InputError          the maker's input cannot be used (file, field, unit, range); exit code 2
│   └── InputProblems   several of them, reported together
└── InternalError       a promise of the program is broken; exit code 3

A steady flight that does not exist is a *result*, never an error.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

CHANGE = "change to "
"""Begins the place of a problem that stands in no file: the dotted field that was to be changed follows."""


class RotorwrightError(Exception):
    """Base of every error this package raises on purpose."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong with the maker's input, as data.

    ``place`` is the file (or the option) it stands in, ``line`` its line there if known, ``field`` the dotted
    path, ``found`` what stood there, ``allowed`` what would be accepted and ``hint`` the nearest right thing.
    """

    message: str
    place: str = ""
    line: int | None = None
    field: str = ""
    found: str = ""
    allowed: str = ""
    hint: str = ""

    def sentence(self) -> str:
        """Return the problem as one line of plain words."""
        where = self.place
        if self.line is not None:
            where = f"{where}:{self.line}" if where else f"line {self.line}"
        if where.startswith(CHANGE) and self.field.startswith(where[len(CHANGE) :]):
            where, field = f"{CHANGE}{self.field}", ""  # the place names the field already
        else:
            field = self.field
        head = ": ".join(part for part in (where, field) if part)
        body = self.message
        if self.found:
            body += f" (found {self.found})"
        if self.allowed:
            body += f"; allowed: {self.allowed}"
        if self.hint:
            body += f". {self.hint}"
        return f"{head}: {body}" if head else body


class InputProblems(RotorwrightError):
    """Everything that is wrong with the input, collected so that the maker mends it in one go."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(problem.sentence() for problem in self.problems))


class InputError(InputProblems):
    """A single input problem."""

    def __init__(
        self,
        message: str,
        *,
        place: str = "",
        line: int | None = None,
        field: str = "",
        found: str = "",
        allowed: str = "",
        hint: str = "",
    ) -> None:
        super().__init__([Problem(message, place, line, field, found, allowed, hint)])


class InternalError(RotorwrightError):
    """A promise of the program is broken: please report it."""
