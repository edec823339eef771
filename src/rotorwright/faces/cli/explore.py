"""``rotorwright explore``: what the aeroplane could be, over any of its numbers."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.drawing import drawing
from rotorwright.faces.cli.options import AircraftFile, Json, Scheduler, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import INTERRUPTED, answering

Vary = Annotated[
    list[str] | None,
    typer.Option(
        "--vary", metavar="FIELD=RANGE", help='"rotor.main.diameter=120..200 mm" or "battery.main.cells=2S or 3S".'
    ),
]
Along = Annotated[
    list[str] | None,
    typer.Option("--along", metavar="FIELD", help="Keeps its proportion to the first field that varies. Repeatable."),
]
Keep = Annotated[
    list[str] | None, typer.Option("--keep", metavar="LIMIT", help='A limit, "level_speed<12 m/s". Repeatable.')
]
Most = Annotated[list[str] | None, typer.Option("--most", metavar="NAME", help="Make this as great as can be.")]
Least = Annotated[list[str] | None, typer.Option("--least", metavar="NAME", help="Make this as small as can be.")]
Watch = Annotated[list[str] | None, typer.Option("--watch", metavar="NAME", help="Note this of every design too.")]
Grid = Annotated[
    int | None, typer.Option("--grid", metavar="N", min=2, max=500, help="Steps along each side of a sweep or map.")
]
Designs = Annotated[
    int | None, typer.Option("--designs", metavar="N", min=2, max=2_000_000, help="Scatter N designs evenly.")
]
Seek = Annotated[
    int | None, typer.Option("--seek", metavar="N", min=8, max=200_000, help="Search for the best with N designs.")
]
Quick = Annotated[bool, typer.Option("--quick", help="A first look only: no reserve, nose held from outside.")]
Draws = Annotated[
    int, typer.Option("--draws", metavar="N", min=0, max=256, help="Fly every design with N draws: chance_of_flying.")
]
Out = Annotated[str | None, typer.Option("--out", metavar="FILE.nc", help="Keep every design in a NetCDF file.")]
Resume = Annotated[bool, typer.Option("--resume", help="Go on with what --out holds.")]
Picture = Annotated[str | None, typer.Option("--picture", metavar="FILE", help="Draw it: .svg, .png or .json.")]
Best = Annotated[int, typer.Option("--best", metavar="N", min=0, max=20, help="How many of the best to tell and save.")]
Into = Annotated[str | None, typer.Option("--into", metavar="FOLDER", help="Save the best as aircraft files here.")]


@answering
def command(
    file: AircraftFile,
    vary: Vary = None,
    along: Along = None,
    keep: Keep = None,
    most: Most = None,
    least: Least = None,
    watch: Watch = None,
    grid: Grid = None,
    designs: Designs = None,
    seek: Seek = None,
    quick: Quick = False,
    draws: Draws = 0,
    seed: Seed = 0,
    best: Best = 3,
    out: Out = None,
    resume: Resume = False,
    into: Into = None,
    picture: Picture = None,
    scheduler: Scheduler = None,
    set_: Set = None,
    json: Json = False,
) -> None:
    """Explore what an aeroplane could be: one field is a sweep, two a map, more are scattered or searched."""
    aeroplane, changes = load_changed(file, set_)
    draw = drawing(picture)
    from rotorwright.faces.cli.progress import working

    with working("Exploring") as progress:
        from rotorwright.studies.explore import explore, save_best

        message = progress.message

        def told(done: int, total: int) -> None:
            progress(done, total)
            progress.message = f"{message}: {done} of {total} designs"

        answer = explore(
            aeroplane, vary or [], along=along or [], keep=keep or [], most=most or [], least=least or [],
            watch=watch or [], grid=grid, designs=designs, seek=seek, quick=quick, draws=draws, seed=seed, best=best,
            path=out, resume=resume, scheduler=scheduler, progress=told,
        )  # fmt: skip
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.explore import explore_sheet, head_of
    from rotorwright.sheets.terminal import print_sheet

    saved = save_best(answer, into, head_of) if into is not None else []
    if draw is not None and len(answer.kept):
        from rotorwright.sheets.explore_pictures import explore_picture

        draw(explore_picture(answer))
    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes, "saved": [str(path) for path in saved]}))
    else:
        print_sheet(explore_sheet(answer), sys.stdout)
        for path in saved:
            print(f"Saved {path}")
    if not answer.finished:
        raise typer.Exit(INTERRUPTED)
