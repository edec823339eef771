"""``rotorwright explain``: what stands behind a number."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.options import Json
from rotorwright.faces.cli.outcome import answering


@answering
def command(
    quantity: Annotated[
        str | None, typer.Argument(metavar="[QUANTITY]", help="A quantity or an Unknown; without it, the list of all.")
    ] = None,
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
    if json:
        print(as_json(document(quantities={}, explanation=asdict(found))))
    elif isinstance(found, Unknown):
        print_sheet(explanation.unknown_sheet(found), sys.stdout)
    else:
        print_sheet(explanation.explanation_sheet(found), sys.stdout)
