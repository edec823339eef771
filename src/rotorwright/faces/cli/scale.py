"""``rotorwright scale``: what if I build it twice as big?"""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.drawing import drawing
from rotorwright.faces.cli.options import AircraftFile, Json, Measures, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering


@answering
def command(
    file: AircraftFile,
    size: Annotated[
        str | None, typer.Option("--size", metavar="NUMBER", help="New length over the present one; 2 unless told.")
    ] = None,
    span: Annotated[
        str | None, typer.Option("--span", metavar="MEASURE", help='The span to reach, such as "2.4 m".')
    ] = None,
    area: Annotated[
        str | None, typer.Option("--area", metavar="NUMBER", help="Lifting area over the present one.")
    ] = None,
    mass: Annotated[
        str | None, typer.Option("--mass", metavar="MEASURE", help='The mass to reach, such as "3 kg".')
    ] = None,
    thickness: Annotated[
        str,
        typer.Option("--thickness", metavar="WORD", help="same, grown (with size) or stock (next tube in the table)."),
    ] = "same",
    power: Annotated[
        str, typer.Option("--power", metavar="WORD", help="grown (with size), same, or chosen (anew).")
    ] = "grown",
    speed: Annotated[
        str | None,
        typer.Option("--speed", metavar="WORD", help="Rotors and propellers made for the same or froude airspeed."),
    ] = None,
    classes: Annotated[
        str | None, typer.Option("--classes", metavar="TOML", help="Own mass classes: your local rules.")
    ] = None,
    out: Annotated[
        str | None, typer.Option("--out", metavar="FILE", help="Write the aeroplane of that size to this file.")
    ] = None,
    picture: Annotated[
        str | None, typer.Option("--picture", metavar="FILE", help="Draw all sizes (.svg or .png).")
    ] = None,
    set_: Set = None,
    samples: Samples = 32,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Build it larger or smaller under stated rules: what really happens, and where the idea ends."""
    from pathlib import Path

    from rotorwright.design.edit import edit_text
    from rotorwright.design.file_text import read_text
    from rotorwright.design.grown import BUILDS, POWERS, SPEEDS
    from rotorwright.faces.cli.files import refuse_to_overwrite, write_new_file

    measures = Measures()
    told = {
        "size": _number(measures, "--size", size),
        "span": measures.read("--span", span, "length", (("m", "mm", "in"), 0.1, 20.0)),
        "area": _number(measures, "--area", area),
        "mass": measures.read("--mass", mass, "mass", (("kg", "g"), 0.05, 100.0)),
        "build": measures.choose("--thickness", thickness, BUILDS),
        "power": measures.choose("--power", power, POWERS),
        "speed": "" if speed is None else measures.choose("--speed", speed, SPEEDS),
    }
    given = [f"--{name}" for name in ("size", "span", "area", "mass") if told[name] is not None]
    if len(given) > 1:
        measures.trouble(given[1], "cannot be told beside " + given[0], hint="Give one of them")
    measures.insist()
    if out is not None:
        refuse_to_overwrite(Path(out))
    draw = drawing(picture)
    aeroplane, changes = load_changed(file, set_)

    from rotorwright.faces.cli.options import speaking_of_options
    from rotorwright.faces.cli.progress import working

    with (
        working("Building it at other sizes") as progress,
        speaking_of_options({"build": "--thickness"}, measures.typed),
    ):
        from rotorwright.studies.scale import scale

        answer = scale(aeroplane, **told, classes=classes, samples=samples, seed=seed, progress=progress)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.scale import scale_picture, scale_sheet, scaled_text
    from rotorwright.sheets.terminal import print_sheet

    if out is not None:
        text = read_text(file)
        write_new_file(Path(out), scaled_text(answer, edit_text(text, changes, file) if changes else text, file))
    if draw is not None:
        draw(scale_picture(answer))
    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(scale_sheet(answer, out or ""), sys.stdout)


def _number(measures: Measures, option: str, text: str | None) -> float | None:
    """Return a plain number of an option."""
    if text is None:
        return None
    try:
        found = float(text.strip().lower().removesuffix("x").replace(",", "."))
    except ValueError:
        found = 0.0
    if not 0.0 < found < 1000.0:
        measures.trouble(option, "is not a number above zero", allowed="a plain number, such as 2 or 0.5")
        return None
    return found
