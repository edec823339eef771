"""The command line: one program, one word per question. Nothing heavy is imported until a command needs it."""

from __future__ import annotations

import gc
import os
import sys
from typing import Annotated

import typer

from rotorwright.faces.cli import (
    balance,
    brief,
    check,
    compare,
    explain,
    explore,
    fly,
    handling,
    launch,
    levers,
    new,
    open,
    power,
    rotor,
    scale,
    shake,
)
from rotorwright.faces.cli.outcome import DEBUG, INTERRUPTED, say
from rotorwright.faces.cli.streams import give_up_output, prepare_streams

INTRODUCTION = """From one text file to an honest flight verdict for aeroplanes that hang from spinning rotors.

Begin with: rotorwright new my.toml, then: rotorwright balance my.toml"""
CODES = """Exit codes: 0 answered (also "will not fly"), 2 the input cannot be used, 3 a fault of the program,
130 interrupted. Answers go to standard output, progress and messages to standard error."""

app = typer.Typer(
    name="rotorwright",
    help=INTRODUCTION,
    epilog=CODES,
    rich_markup_mode=None,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    suggest_commands=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
app.command("new", short_help="Write a complete commented aircraft file.")(new.command)
app.command("check", short_help="Mistakes, mass, balance point, spin, clearances.")(check.command)
app.command("balance", short_help="The verdict: does it fly, and what is short?")(balance.command)
app.command("rotor", short_help="One rotor alone, as on a rig or in a tunnel.")(rotor.command)
app.command("power", short_help="Strong enough in the air, what gets hot, how long?")(power.command)
app.command("shake", short_help="Where the rotors shake, and what moves it.")(shake.command)
app.command("handling", short_help="What it is like to fly: motions, gyroscope, balance point.")(handling.command)
app.command("launch", short_help="Off the ground, down again, and in which wind.")(launch.command)
app.command("fly", short_help="A flight simulated and told; many first flights counted.")(fly.command)
app.command("explore", short_help="Sweeps, maps and the best designs over any numbers.")(explore.command)
app.command("open", short_help="The page in the browser.")(open.command)
app.command("levers", short_help="What should I change first, and what drives the band?")(levers.command)
app.command("compare", short_help="Two revisions: what changed, what moved, which change did it.")(compare.command)
app.command("scale", short_help="What if I build it twice as big?")(scale.command)
app.command("brief", short_help="First designs for what you have and wish.")(brief.command)
app.command("explain", short_help="What stands behind a number.")(explain.command)


def _version(wanted: bool) -> None:
    if wanted:
        from rotorwright import __version__

        print(f"rotorwright {__version__}")
        raise typer.Exit


@app.callback()
def common(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say the version.")
    ] = False,
    debug: Annotated[bool, typer.Option("--debug", help="Show where a fault of the program happened.")] = False,
) -> None:
    """Take the options that stand before the command."""


def run(arguments: list[str] | None = None) -> None:
    """Run the program and leave with its exit code."""
    gc.set_threshold(200_000, 50, 50)  # start-up makes many lasting objects: looking them over costs a tenth of it
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # looking for them reads about all that is installed
    prepare_streams()
    given = list(sys.argv[1:] if arguments is None else arguments)
    if "--debug" in given:  # welcome anywhere on the line
        given = [text for text in given if text != "--debug"]
        os.environ[DEBUG] = "1"
    try:
        try:
            if "--json" in given:
                _answer_in_json(given)
            else:
                app(args=given, prog_name="rotorwright")
        finally:
            sys.stdout.flush()
    except BrokenPipeError:
        give_up_output()
    except KeyboardInterrupt:
        say("Interrupted.")
        sys.exit(INTERRUPTED)


def _answer_in_json(given: list[str]) -> None:
    """Run a command whose mistakes of the command line itself are told in JSON as well."""
    try:
        code = app(args=given, prog_name="rotorwright", standalone_mode=False)
    except Exception as trouble:
        told, code = getattr(trouble, "format_message", None), getattr(trouble, "exit_code", None)
        if told is None or not isinstance(code, int):
            raise
        from rotorwright.base.errors import Problem
        from rotorwright.sheets.document import as_json, failure_document

        say(f"Error: {told()}")
        print(as_json(failure_document(code, [Problem(told(), "command line")])))
    sys.exit(code if isinstance(code, int) else 0)
