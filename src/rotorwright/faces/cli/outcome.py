"""Exit codes, and the one place where errors become words.

0 the question is answered (also "will not fly"), 2 the input cannot be used, 3 a fault of the program,
130 interrupted. No traceback reaches a maker unless ``--debug`` asks for it.
"""

from __future__ import annotations

import functools
import os
import sys
from collections.abc import Callable
from typing import Any, TypeVar

import typer

from rotorwright.faces.cli.streams import give_up_output

ANSWERED, BAD_INPUT, INTERNAL_FAULT, INTERRUPTED = 0, 2, 3, 130
DEBUG = "ROTORWRIGHT_DEBUG"

Command = TypeVar("Command", bound=Callable[..., Any])


def say(text: str = "") -> None:
    """Write a line to standard error, where progress and messages go."""
    print(text, file=sys.stderr)


def answering(command: Command) -> Command:
    """Wrap a command so that whatever goes wrong ends in plain words and a documented exit code."""

    @functools.wraps(command)
    def guarded(*given: Any, **named: Any) -> Any:
        try:
            return command(*given, **named)
        except typer.Exit:
            raise
        except BrokenPipeError:
            give_up_output()
            raise typer.Exit(ANSWERED) from None
        except KeyboardInterrupt:
            say("Interrupted: nothing was saved.")
            raise typer.Exit(INTERRUPTED) from None
        except Exception as problem:
            code = explain_failure(problem)
            if named.get("json"):
                print_failure(problem, code)
            raise typer.Exit(code) from None

    return guarded  # type: ignore[return-value]


def explain_failure(problem: BaseException) -> int:
    """Say in plain words what went wrong and return the exit code that goes with it."""
    from rotorwright.base.errors import InputProblems

    if isinstance(problem, InputProblems):
        problems = problem.problems
        if len(problems) > 1:
            say(f"{len(problems)} things to mend:")
        for each in problems:
            say(each.sentence())
        return BAD_INPUT
    if os.environ.get(DEBUG):
        import traceback

        traceback.print_exception(problem)
    from rotorwright import __version__

    first = str(problem).strip().splitlines()
    what = f"{type(problem).__name__}: {first[0]}" if first else type(problem).__name__
    say(f"Rotorwright {__version__} has a fault: {what}")
    say("Your files are as they were. Please report this line, the command and the aircraft file;")
    say("run the command again with --debug to see where it happened.")
    return INTERNAL_FAULT


def print_failure(problem: BaseException, code: int) -> None:
    """Print the JSON document that stands for the answer where there is none."""
    from rotorwright.base.errors import InputProblems
    from rotorwright.sheets.document import as_json, failure_document

    problems = problem.problems if isinstance(problem, InputProblems) else ()
    message = "" if problems else f"{type(problem).__name__}: {problem}".rstrip(": ")
    print(as_json(failure_document(code, problems, message)))
