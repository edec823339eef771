"""``rotorwright handling``: what it is like to fly, told before the first flight."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.drawing import drawing
from rotorwright.faces.cli.options import AircraftFile, Json, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering

PictureFile = Annotated[
    str | None,
    typer.Option(
        "--picture", metavar="FILE", help="Draw motions, map and paths: FILE-motions, FILE-map … (.svg or .png)."
    ),
]
More = Annotated[bool, typer.Option("--more", help="Every number: gyroscope, control moments, tail volumes, trim.")]


@answering
def command(
    file: AircraftFile,
    set_: Set = None,
    samples: Samples = 48,
    seed: Seed = 0,
    picture: PictureFile = None,
    more: More = False,
    json: Json = False,
) -> None:
    """Tell how an aeroplane handles: left alone, held straight, gyroscope, controls, gusts, turns, balance point."""
    aeroplane, changes = load_changed(file, set_)

    from rotorwright.faces.cli.progress import working

    draw = drawing(picture)
    with working("Disturbing level flight"):
        from rotorwright.studies.handling import handling

        answer = handling(aeroplane, samples=samples, seed=seed)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.handling import handling_sheet
    from rotorwright.sheets.terminal import print_sheet

    if draw is not None:
        from rotorwright.sheets.handling_pictures import pictures_of

        draw(pictures_of(answer))
    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(handling_sheet(answer, more=more), sys.stdout)
