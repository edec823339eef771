"""``rotorwright levers``: what should I change first?"""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.drawing import drawing
from rotorwright.faces.cli.options import AircraftFile, Json, Nominal, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering

Picture = Annotated[
    str | None, typer.Option("--picture", metavar="FILE", help="Draw it into FILE.svg or FILE.png.", show_default=False)
]


@answering
def command(
    file: AircraftFile,
    rank_by: Annotated[
        str, typer.Option("--for", metavar="WORD", help="Rank by chance, thrust, weight, slow, climb or clear.")
    ] = "chance",
    per: Annotated[str, typer.Option("--per", metavar="WORD", help="Per step, gram or hour.")] = "step",
    hours: Annotated[
        list[str] | None,
        typer.Option("--hours", metavar="FIELD=HOURS", help="Bench hours of a step: rotor.left=3. Repeatable."),
    ] = None,
    band: Annotated[bool, typer.Option("--band", help="What drives the band: which Unknown to measure first.")] = False,
    of: Annotated[
        str, typer.Option("--of", metavar="NAME", help="With --band: of which number, such as level speed limits.")
    ] = "reserve_thrust",
    draws: Annotated[
        int, typer.Option("--draws", metavar="N", help="With --band: a power of two from 64 to 8192.")
    ] = 512,
    picture: Picture = None,
    set_: Set = None,
    samples: Samples = 64,
    seed: Seed = 0,
    nominal: Nominal = False,
    json: Json = False,
) -> None:
    """Say what every natural step of every design number buys, and what drives the band."""
    from rotorwright.faces.cli.options import speaking_of_options

    aeroplane, changes = load_changed(file, set_)
    stated = _hours(hours)
    from rotorwright.faces.cli.progress import working

    names = {"target": "--for", "name": "--of", "rows": "--draws", "per": "--per", "hours": "--hours"}
    draw = drawing(picture)
    with speaking_of_options(names), working("Trying every step") as progress:
        if band:
            from rotorwright.studies.band_shares import band_shares

            shares = band_shares(aeroplane, of, rows=draws, seed=seed, progress=progress)
        else:
            from rotorwright.studies.lever_table import levers

            table = levers(
                aeroplane, target=rank_by, per="hour" if stated and per == "step" else per, hours=stated,
                samples=samples, seed=seed, nominal_only=nominal, progress=progress,
            )  # fmt: skip
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.terminal import print_sheet

    if draw is not None:
        from rotorwright.sheets.levers import band_picture, levers_picture

        draw(band_picture(shares) if band else levers_picture(table))
    if json:
        answer = shares.as_dict() if band else table.as_dict()
        print(as_json({**answer, "changes_asked_for": changes}))
        return
    from rotorwright.sheets.levers import band_sheet, levers_sheet

    print_sheet(band_sheet(shares) if band else levers_sheet(table), sys.stdout)


def _hours(given: list[str] | None) -> dict[str, float]:
    """Return ``FIELD=HOURS`` options as field → hours."""
    from rotorwright.base.errors import InputProblems, Problem

    found: dict[str, float] = {}
    problems = []
    for text in given or []:
        field, _, number = text.partition("=")
        try:
            found[field.strip()] = float(number.strip().removesuffix("h").strip())
        except ValueError:
            problems.append(Problem("needs a field and hours", "--hours", found=f'"{text}"', allowed="rotor.left=3"))
    if problems:
        raise InputProblems(problems)
    return found
