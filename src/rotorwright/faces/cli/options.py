"""Options that several commands share, and the reading of measures given as options."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from rotorwright.base.errors import Problem
    from rotorwright.sheets.numbers import ShownUnits

AircraftFile = Annotated[str, typer.Argument(metavar="FILE", help="The aircraft file (TOML).", show_default=False)]
Set = Annotated[
    list[str] | None,
    typer.Option("--set", metavar='FIELD="VALUE"', help='What if: rotor.right.diameter="200 mm". Repeatable.'),
]
Json = Annotated[bool, typer.Option("--json", help="Print one JSON document in SI units.")]
Nominal = Annotated[bool, typer.Option("--nominal", help="Quick look: every Unknown at its median, no bands.")]
Samples = Annotated[
    int,
    typer.Option(
        "--samples", metavar="N", min=16, max=1024, help="Draws of the Unknowns behind the bands, 16 to 1024."
    ),
]
Seed = Annotated[int, typer.Option("--seed", metavar="N", min=0, max=2**31 - 1, help="Another seed, other draws.")]


def read_changes(given: list[str] | None) -> dict[str, str]:
    """Return ``--set`` options as field → text, the last one winning."""
    from rotorwright.base.errors import InputProblems, Problem

    changes: dict[str, str] = {}
    problems: list[Problem] = []
    for text in given or []:
        field, equals, value = text.partition("=")
        field, value = field.strip(), value.strip()
        if not equals or not field or not value:
            problems.append(
                Problem("needs a field and a value", "--set", found=f'"{text}"', allowed='rotor.right.span="600 mm"')
            )
        changes[field] = value[1:-1] if len(value) > 1 and value[0] == value[-1] and value[0] in "\"'" else value
    if problems:
        raise InputProblems(problems)
    return changes


class Measures:
    """Reads measures given as options and collects everything that is wrong with them."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self.written: list[str] = []

    def read(self, option: str, text: str | None, dimension: str) -> Any:
        """Return the SI number of an option, or None if it was not given or is not right."""
        from rotorwright.design.units import reading

        if text is None:
            return None
        answer = self.parse(option, text, lambda words: reading(words, dimension))
        if answer is None:
            return None
        self.written.append(answer.unit)
        return answer.value

    def parse(self, option: str, text: str, reader: Callable[[str], Any]) -> Any:
        """Return what a reader of the trade's short forms makes of an option, or None if it is not right."""
        from rotorwright.base.errors import Problem
        from rotorwright.design.units import UnitProblem

        try:
            return reader(text)
        except UnitProblem as trouble:
            self.problems.append(
                Problem(trouble.message, option, None, "", trouble.found, trouble.allowed, trouble.hint)
            )
            return None

    def choose(self, option: str, word: str, allowed: tuple[str, ...]) -> str:
        """Return a word if it is one of those allowed, else take note of the problem."""
        from difflib import get_close_matches

        from rotorwright.base.errors import Problem

        if word not in allowed:
            near = get_close_matches(word, allowed, n=1)
            hint = f'Did you mean "{near[0]}"?' if near else ""
            self.problems.append(
                Problem("is not one of the kinds", option, found=f'"{word}"', allowed=", ".join(allowed), hint=hint)
            )
        return word

    def need(self, option: str, text: str | None, dimension: str) -> Any:
        """Return the SI number of an option that must be given."""
        from rotorwright.design.unit_table import DIMENSIONS

        if text is None:
            self.trouble(option, "is needed", allowed=DIMENSIONS[dimension].allowed)
        return self.read(option, text, dimension)

    def trouble(self, option: str, message: str, allowed: str = "", hint: str = "") -> None:
        """Take note of something wrong with an option."""
        from rotorwright.base.errors import Problem

        self.problems.append(Problem(message, option, allowed=allowed, hint=hint))

    def units(self) -> ShownUnits:
        """Return the units in which to answer whoever wrote these measures."""
        from rotorwright.sheets.numbers import units_like

        return units_like(self.written)

    def insist(self) -> None:
        """Raise everything that was wrong, at once."""
        from rotorwright.base.errors import InputProblems

        if self.problems:
            raise InputProblems(self.problems)


@contextmanager
def speaking_of_options(names: Mapping[str, str] | None = None) -> Iterator[None]:
    """Let problems with an argument of the library speak of the option that gave it."""
    from dataclasses import replace

    from rotorwright.base.errors import InputProblems

    def option(field: str) -> str:
        return (names or {}).get(field, f"--{field.replace('_', '-')}")

    try:
        yield
    except InputProblems as trouble:
        raise InputProblems(
            [
                replace(problem, place=option(problem.field), field="") if problem.field else problem
                for problem in trouble.problems
            ]
        ) from None
