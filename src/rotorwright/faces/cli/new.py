"""``rotorwright new``: a complete commented aircraft file from a handful of numbers."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.options import Json, Measures, speaking_of_options
from rotorwright.faces.cli.outcome import answering

SHORT = {"vaned": "free vaned", "drum": "driven drum"}
OPTION_OF = {"span limit": "--span", "rotor kind": "--rotor", "thrust source": "--thrust"}


@answering
def command(
    file: Annotated[
        str, typer.Argument(metavar="FILE", help="The file to write, such as my.toml.", show_default=False)
    ],
    mass: Annotated[str, typer.Option("--mass", metavar="MEASURE", help="Ready to fly.")] = "1.2 kg",
    span: Annotated[
        str, typer.Option("--span", metavar="MEASURE", help="The most span that fits your car and field.")
    ] = "1.4 m",
    elevation: Annotated[str, typer.Option("--elevation", metavar="MEASURE", help="Of your field.")] = "100 m",
    temperature: Annotated[
        str, typer.Option("--temperature", metavar="MEASURE", help="On a warm flying day.")
    ] = "25 degC",
    rotor: Annotated[
        str, typer.Option("--rotor", metavar="WORD", help='"free vaned", "driven vaned" or "driven drum".')
    ] = "free vaned",
    thrust: Annotated[str, typer.Option("--thrust", metavar="WORD", help="propeller or fan.")] = "propeller",
    cells: Annotated[str, typer.Option("--cells", metavar="WORD", help="Of the battery.")] = "3S",
    name: Annotated[str, typer.Option("--name", metavar="WORD", help="Of the aeroplane.")] = "My rotor aeroplane",
    json: Json = False,
) -> None:
    """Write a complete commented aircraft file from a handful of numbers; generic parts are marked as such."""
    from pathlib import Path

    from rotorwright.design.quick_start import ROTOR_KINDS, THRUST_SOURCES
    from rotorwright.design.units import read_cells
    from rotorwright.faces.cli.files import refuse_to_overwrite, write_new_file

    path = Path(file)
    measures = Measures()
    wishes = {
        "mass": measures.read("--mass", mass, "mass", (("kg", "g"), 0.1, 60.0)),
        "span_limit": measures.read("--span", span, "length", (("m", "mm", "cm", "in"), 0.15, 12.0)),
        "elevation": measures.read("--elevation", elevation, "length", (("m", "ft"), -500.0, 6000.0)),
        "temperature": measures.read("--temperature", temperature, "temperature"),
        "rotor_kind": measures.choose("--rotor", SHORT.get(rotor.casefold(), rotor), ROTOR_KINDS),
        "thrust_source": measures.choose("--thrust", thrust, THRUST_SOURCES),
    }
    pack = measures.parse("--cells", cells, read_cells)
    if pack is not None and pack.parallel > 1:
        measures.trouble("--cells", "counts cells in series only here", hint="Change the file afterwards")
    measures.insist()
    refuse_to_overwrite(path)

    from rotorwright.faces.cli.progress import working

    with working("Sizing the aeroplane") as progress, speaking_of_options(OPTION_OF, measures.typed):
        from rotorwright.studies.quick_start import quick_start

        answer = quick_start(**wishes, cells=pack.series, name=name, progress=progress)
    write_new_file(path, answer.text)

    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.quick_start import quick_start_document, quick_start_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json(quick_start_document(answer, file, {**wishes, "cells": pack.series})))
    else:
        print_sheet(quick_start_sheet(answer, file, measures.units()), sys.stdout)
