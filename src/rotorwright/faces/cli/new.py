"""``rotorwright new``: a complete commented aircraft file from a handful of numbers."""

from __future__ import annotations

from typing import Annotated

import typer

from rotorwright.faces.cli.options import Json, Measures
from rotorwright.faces.cli.outcome import answering


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
        str, typer.Option("--rotor", metavar="WORD", help="vaned (freewheels) or drum (driven).")
    ] = "vaned",
    thrust: Annotated[str, typer.Option("--thrust", metavar="WORD", help="propeller or fan.")] = "propeller",
    cells: Annotated[str, typer.Option("--cells", metavar="WORD", help="Of the battery.")] = "3S",
    name: Annotated[str, typer.Option("--name", metavar="WORD", help="Of the aeroplane.")] = "My rotor aeroplane",
    json: Json = False,
) -> None:
    """Write a complete commented aircraft file from a handful of numbers; generic parts are marked as such."""
    from pathlib import Path

    from rotorwright.design.units import read_cells
    from rotorwright.faces.cli.files import refuse_to_overwrite, write_new_file

    path = Path(file)
    measures = Measures()
    wishes = {
        "mass": measures.read("--mass", mass, "mass"),
        "span_limit": measures.read("--span", span, "length"),
        "elevation": measures.read("--elevation", elevation, "length"),
        "temperature": measures.read("--temperature", temperature, "temperature"),
        "rotor_kind": measures.choose("--rotor", rotor, ("vaned", "drum")),
        "thrust_source": measures.choose("--thrust", thrust, ("propeller", "fan")),
        "cells": measures.parse("--cells", cells, read_cells),
    }
    measures.insist()
    refuse_to_overwrite(path)

    from rotorwright.faces.cli.progress import working

    with working("Sizing the aeroplane") as progress:
        from rotorwright.studies.quick_start import quick_start

        answer = quick_start(**wishes, name=name, progress=progress)
    write_new_file(path, answer.text)
