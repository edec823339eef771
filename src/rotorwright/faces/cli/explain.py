"""``rotorwright explain``: what stands behind a number."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from rotorwright.faces.cli.options import Json, Set, load_changed
from rotorwright.faces.cli.outcome import answering

if TYPE_CHECKING:
    from rotorwright.sheets.explanation import Explanation


@answering
def command(
    quantity: Annotated[
        str | None, typer.Argument(metavar="[QUANTITY]", help="A quantity or an Unknown; without it, the list of all.")
    ] = None,
    file: Annotated[
        str | None,
        typer.Argument(metavar="[FILE]", help="An aircraft file: its number, and what moves it there."),
    ] = None,
    set_: Set = None,
    json: Json = False,
) -> None:
    """Explain a number: formula, inputs, assumptions, sources, and what its band is made of."""
    from dataclasses import asdict

    from rotorwright.base.unknown import Unknown
    from rotorwright.sheets import explanation
    from rotorwright.sheets.document import as_json, document
    from rotorwright.sheets.terminal import print_sheet

    if quantity is None:
        if json:
            names = {key: entry.title for key, entry in explanation.explanations().items()}
            print(as_json(document(quantities={}, explanations=names)))
            return
        print_sheet(explanation.list_sheet(), sys.stdout)
        return
    found = explanation.find(quantity)
    if file is not None and isinstance(found, explanation.Explanation):
        _explain_here(found, file, set_, json)
    elif json:
        print(as_json(document(quantities={}, explanation=asdict(found))))
    elif isinstance(found, Unknown):
        print_sheet(explanation.unknown_sheet(found), sys.stdout)
    else:
        print_sheet(explanation.explanation_sheet(found), sys.stdout)


def _explain_here(entry: Explanation, file: str, changes: list[str] | None, json: bool) -> None:
    """Explain a number of one aeroplane: its value there and what moves it."""
    from dataclasses import asdict

    from rotorwright.faces.cli.progress import working
    from rotorwright.sheets.document import as_json, document
    from rotorwright.sheets.explanation import explanation_sheet
    from rotorwright.sheets.numbers import units_of
    from rotorwright.sheets.terminal import print_sheet

    aeroplane, _ = load_changed(file, changes)
    with working("Flying it on paper") as progress:
        from rotorwright.studies.what_moves import what_moves

        moved = what_moves(aeroplane, entry.key, progress=progress)
    if not json:
        print_sheet(explanation_sheet(entry, moved, units_of(aeroplane.told)), sys.stdout)
        return
    movers = [{"unknown": each.unknown.name, "share": each.share, "rises": each.rises} for each in moved.movers]
    aircraft = {"name": aeroplane.name, "file": aeroplane.source or None, "revision": aeroplane.revision}
    conditions = {"samples": moved.samples}
    print(
        as_json(
            document(
                quantities={entry.key: moved.quantity}, aircraft=aircraft, conditions=conditions,
                explanation=asdict(entry), moved_by=movers,
            )
        )
    )  # fmt: skip
