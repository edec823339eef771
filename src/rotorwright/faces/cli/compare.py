"""``rotorwright compare``: what changed between revisions, what that moved, which change did it."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.drawing import drawing
from rotorwright.faces.cli.levers import Picture
from rotorwright.faces.cli.options import Json, Nominal, Samples, Seed
from rotorwright.faces.cli.outcome import answering


@answering
def command(
    files: Annotated[
        list[str],
        typer.Argument(metavar="OLD NEW [MORE]", help="Aircraft files, each compared with the one before it."),
    ],
    picture: Picture = None,
    more: Annotated[bool, typer.Option("--more", help="Every result that moved, every one shared out.")] = False,
    samples: Samples = 64,
    seed: Seed = 0,
    nominal: Nominal = False,
    json: Json = False,
) -> None:
    """Say what changed between two or more aircraft files, what moved and which change did it."""
    from rotorwright.base.errors import InputError
    from rotorwright.design.aircraft_file import load

    if len(files) < 2:
        raise InputError(
            "needs two aircraft files at least", place="compare", found=", ".join(files), allowed="OLD NEW"
        )
    aeroplanes = [load(file) for file in files]
    from rotorwright.faces.cli.progress import working

    draw = drawing(picture)
    with working("Flying both") as progress:
        from rotorwright.studies.compare import compare

        answer = compare(
            aeroplanes[0], *aeroplanes[1:], samples=0 if nominal else samples, seed=seed, progress=progress
        )
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.terminal import print_sheet

    if draw is not None:
        from rotorwright.sheets.compare import compare_picture

        draw(compare_picture(answer))
    if json:
        print(as_json(answer.as_dict()))
        return
    from rotorwright.sheets.compare import compare_sheet

    print_sheet(compare_sheet(answer, more=more), sys.stdout)
