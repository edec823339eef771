"""``rotorwright brief``: several different first designs for what you have and wish."""

from __future__ import annotations

import sys
from typing import Annotated, Any

import typer

from rotorwright.faces.cli.options import Json, Measures, speaking_of_options
from rotorwright.faces.cli.outcome import answering

OPTION_OF = {"span limit": "--span"}


@answering
def command(
    mass: Annotated[
        str | None, typer.Option("--mass", metavar="MEASURE", help="Ready to fly; 1.2 kg unless told.")
    ] = None,
    payload: Annotated[str | None, typer.Option("--payload", metavar="MEASURE", help="What it is to carry.")] = None,
    span: Annotated[str, typer.Option("--span", metavar="MEASURE", help="The most span.")] = "1.4 m",
    length: Annotated[str | None, typer.Option("--length", metavar="MEASURE", help="The most length.")] = None,
    boot: Annotated[
        str | None, typer.Option("--boot", metavar="MEASURE", help="Longest piece that fits into the car.")
    ] = None,
    elevation: Annotated[str, typer.Option("--elevation", metavar="MEASURE", help="Of your field.")] = "100 m",
    temperature: Annotated[
        str, typer.Option("--temperature", metavar="MEASURE", help="On a warm flying day.")
    ] = "25 degC",
    runway: Annotated[str | None, typer.Option("--runway", metavar="MEASURE", help="Length of the strip.")] = None,
    surface: Annotated[str, typer.Option("--surface", metavar="WORD", help="What it rolls on.")] = "short grass",
    material: Annotated[
        str, typer.Option("--material", metavar="WORD", help="Sheet for skins and discs you have.")
    ] = "foam sheet",
    launch: Annotated[str, typer.Option("--launch", metavar="WORD", help="hand, wheels or bungee.")] = "wheels",
    cells: Annotated[str, typer.Option("--cells", metavar="WORD", help="Of the packs you have.")] = "3S",
    no_propeller: Annotated[bool, typer.Option("--no-open-propeller", help="Ducted fans only.")] = False,
    first: Annotated[bool, typer.Option("--first", help="What shall I build first? One answer.")] = False,
    out: Annotated[
        str | None, typer.Option("--out", metavar="FOLDER", help="Write every design that should fly there.")
    ] = None,
    ask: Annotated[
        bool | None, typer.Option("--ask/--no-ask", help="Ask on the terminal; so it does when nothing is told.")
    ] = None,
    json: Json = False,
) -> None:
    """Find several different first designs for what you have and wish, with reasons for and against."""
    from pathlib import Path

    from rotorwright.design.catalogue.reader import find_material, near_material
    from rotorwright.design.units import read_cells
    from rotorwright.studies.brief_words import LAUNCHES, SURFACES

    given: dict[str, Any] = {"mass": mass, "payload": payload, "span": span, "elevation": elevation, "launch": launch,
                             "cells": cells}  # fmt: skip
    bare = len(sys.argv) <= 2 and sys.stdin.isatty() and sys.stdout.isatty()
    if ask or (ask is None and bare):
        given = _asked(given)
    measures = Measures()
    wishes: dict[str, Any] = {
        "mass": measures.read("--mass", given["mass"], "mass", (("kg", "g"), 0.1, 60.0)),
        "payload": measures.read("--payload", given["payload"], "mass", (("g", "kg"), 0.0, 20.0)) or 0.0,
        "span": measures.read("--span", given["span"], "length", (("m", "mm", "cm", "in"), 0.15, 12.0)),
        "length": measures.read("--length", length, "length", (("m", "mm", "cm", "in"), 0.15, 12.0)),
        "piece": measures.read("--boot", boot, "length", (("m", "mm", "cm", "in"), 0.15, 12.0)),
        "elevation": measures.read("--elevation", given["elevation"], "length", (("m", "ft"), -500.0, 6000.0)),
        "temperature": measures.read("--temperature", temperature, "temperature"),
        "runway": measures.read("--runway", runway, "length", (("m", "ft"), 1.0, 5000.0)),
        "surface": measures.choose("--surface", surface, SURFACES),
        "launch": measures.choose("--launch", given["launch"], LAUNCHES),
        "open_propeller": not no_propeller,
        "sheet": material,
        "first": first,
    }
    if find_material(material) is None:
        measures.trouble("--material", "is no material known here", hint=near_material(material))
    pack = measures.parse("--cells", given["cells"], read_cells)
    measures.insist()
    folder = Path(out) if out is not None else None
    if folder is not None and folder.is_file():
        measures.trouble("--out", "is a file, not a folder")
        measures.insist()

    from rotorwright.faces.cli.progress import working

    with working("Sizing first designs") as progress, speaking_of_options(OPTION_OF, measures.typed):
        from rotorwright.studies.brief import brief

        answer = brief(**wishes, cells=pack.series, progress=progress)
    files: dict[str, str] = {}
    if folder is not None:
        from rotorwright.faces.cli.files import refuse_to_overwrite, write_new_file

        folder.mkdir(parents=True, exist_ok=True)
        kept = [answer.first] if first and answer.first is not None else list(answer.feasible)
        places = {each.concept.key: folder / f"{each.concept.key}.toml" for each in kept}
        for place in places.values():
            refuse_to_overwrite(place)
        for each in kept:
            write_new_file(places[each.concept.key], each.text)
            files[each.concept.key] = str(places[each.concept.key])

    from rotorwright.sheets.brief import brief_sheet
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "files": files}))
    else:
        print_sheet(brief_sheet(answer, files, measures.units(), first=first), sys.stdout)


def _asked(given: dict[str, Any]) -> dict[str, Any]:
    """Ask on the terminal for the main wishes; enter takes what stands in brackets."""
    said = {"mass": "Mass ready to fly", "payload": "Payload", "span": "The most span",
            "elevation": "Elevation of the field",
            "launch": "Launch: hand, wheels or bungee", "cells": "Cells of your packs"}  # fmt: skip
    start = {**given, "mass": given["mass"] or "1.2 kg", "payload": given["payload"] or "0 g"}
    return {name: str(typer.prompt(words, default=start[name], err=True)) for name, words in said.items()}
