"""``rotorwright balance``: does it fly, by how much, how sure are we, what is short, what to change first."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.options import AircraftFile, Json, Nominal, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering
from rotorwright.faces.cli.power_hardware import Bench, with_bench


@answering
def command(
    file: AircraftFile,
    set_: Set = None,
    nominal: Nominal = False,
    samples: Samples = 128,
    seed: Seed = 0,
    short: Annotated[bool, typer.Option("--short", help="The verdict and what to change first, no more.")] = False,
    more: Annotated[
        bool, typer.Option("--more", help="Every number, the picture, rules of thumb and known machines.")
    ] = False,
    bench: Bench = None,
    json: Json = False,
) -> None:
    """Judge an aeroplane: the verdict first, then the speeds, thrust, power and what to change."""
    aeroplane, changes = load_changed(file, set_)
    aeroplane = with_bench(aeroplane, bench)

    from rotorwright.faces.cli.progress import working

    with working("Flying it on paper") as progress:
        from rotorwright.studies.balance import balance

        answer = balance(aeroplane, samples=samples, seed=seed, nominal_only=nominal, progress=progress)
    from rotorwright.sheets.balance import balance_sheet
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(balance_sheet(answer, short=short, more=more), sys.stdout)
