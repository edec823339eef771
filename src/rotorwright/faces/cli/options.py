"""Options that several commands share, and the reading of measures given as options."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from rotorwright.base.errors import Problem
    from rotorwright.design.aeroplane import Aeroplane
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
Scheduler = Annotated[
    str | None, typer.Option("--scheduler", metavar="ADDRESS", help="Fly on a Dask cluster, tcp://192.168.1.20:8786.")
]
Seed = Annotated[int, typer.Option("--seed", metavar="N", min=0, max=2**31 - 1, help="Another seed, other draws.")]


def load_changed(file: str, given: list[str] | None) -> tuple[Aeroplane, dict[str, str]]:
    """Return the aeroplane of a file with the ``--set`` options made, and these as field → text, the last one winning.

    Raises
    ------
    InputProblems
        With every fault of the options and of the file at once.
    """
    from rotorwright.base.errors import InputProblems
    from rotorwright.design.aircraft_file import load

    changes, problems = read_changes(given)
    if not problems:
        return load(file, changes), changes
    try:
        load(file, changes)
    except InputProblems as more:
        problems += more.problems
    raise InputProblems(problems)


def read_changes(given: list[str] | None) -> tuple[dict[str, str], list[Problem]]:
    """Return ``--set`` options as field → text, the last one winning, and what was wrong with them."""
    from rotorwright.base.errors import Problem

    changes: dict[str, str] = {}
    problems: list[Problem] = []
    for text in given or []:
        field, equals, value = text.partition("=")
        field, value = field.strip(), value.strip()
        quote = value[:1] if value[:1] in ("'", '"') else ""
        if not equals or not field or not value:
            found, allowed = f'"{text}"', 'rotor.right.span="600 mm"'
            problems.append(Problem("needs a field and a value", "--set", found=found, allowed=allowed))
        elif quote and (len(value) < 2 or value[-1] != quote):
            hint = f"Write --set '{field}=\"{value.strip(quote)}\"', or leave the quotes out"
            problems.append(Problem("has a quote that is not closed", "--set", found=text, hint=hint))
        else:
            changes[field] = value[1:-1] if quote else value
    return changes, problems


Likely = tuple[tuple[str, ...], float, float]
"""Units that a bare number may be meant in, likeliest first, and the SI limits it should then lie between."""


def _plainly(word: str) -> str:
    return "".join(letter for letter in word.casefold() if letter.isalnum())


class Measures:
    """Reads measures given as options and collects everything that is wrong with them."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self.written: list[str] = []
        self.typed: dict[str, str] = {}

    def read(self, option: str, text: str | None, dimension: str, likely: Likely | None = None) -> Any:
        """Return the SI number of an option, or None if it was not given or is not right."""
        from dataclasses import replace

        from rotorwright.design.units import likely_unit, reading

        if text is None:
            return None
        answer = self.parse(option, text, lambda words: reading(words, dimension))
        if answer is None:
            if likely is not None and (hint := likely_unit(text, dimension, *likely)):
                self.problems[-1] = replace(self.problems[-1], hint=hint)
            return None
        self.written.append(answer.unit)
        return answer.value

    def parse(self, option: str, text: str, reader: Callable[[str], Any]) -> Any:
        """Return what a reader of the trade's short forms makes of an option, or None if it is not right."""
        from rotorwright.base.errors import Problem
        from rotorwright.design.units import UnitProblem

        self.typed[option] = f'"{text}"'
        try:
            return reader(text)
        except UnitProblem as trouble:
            self.problems.append(
                Problem(trouble.message, option, None, "", trouble.found, trouble.allowed, trouble.hint)
            )
            return None

    def choose(self, option: str, word: str, allowed: tuple[str, ...]) -> str:
        """Return the one of some words that is meant, in whatever case it is written, or take note of the problem."""
        from difflib import get_close_matches

        from rotorwright.base.errors import Problem

        spelled = {_plainly(one): one for one in allowed}
        if _plainly(word) in spelled:
            return spelled[_plainly(word)]
        near = get_close_matches(_plainly(word), spelled, n=1)
        hint = f'Did you mean "{spelled[near[0]]}"?' if near else ""
        self.problems.append(
            Problem("is not a word known here", option, found=f'"{word}"', allowed=", ".join(allowed), hint=hint)
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
def speaking_of_options(
    names: Mapping[str, str] | None = None, typed: Mapping[str, str] | None = None
) -> Iterator[None]:
    """Let problems with an argument of the library speak of the option that gave it, and of what was typed there.

    ``names`` leads from argument to option where they differ by more than dashes, ``typed`` from option to its text.
    """
    from dataclasses import replace

    from rotorwright.base.errors import InputProblems

    def spoken(problem: Problem) -> Problem:
        option = (names or {}).get(problem.field, f"--{problem.field.replace('_', '-')}")
        return replace(problem, place=option, field="", found=(typed or {}).get(option, problem.found))

    try:
        yield
    except InputProblems as trouble:
        raise InputProblems([spoken(each) if each.field else each for each in trouble.problems]) from None
