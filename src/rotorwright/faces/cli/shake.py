"""``rotorwright shake``: at which speeds the rotors shake, how far flight stays from them, what moves them."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.options import AircraftFile, Json, Measures, Nominal, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering


@answering
def command(
    file: AircraftFile,
    set_: Set = None,
    sag: Annotated[
        str | None,
        typer.Option("--sag", metavar="MEASURE", help='Sag you measured at mid-span, such as "0.8 mm".'),
    ] = None,
    rig: Annotated[
        str | None,
        typer.Option(
            "--rig-resonance", metavar="MEASURE", help='The test rig\'s own resonance: "18 Hz" or "1080 rpm".'
        ),
    ] = None,
    nominal: Nominal = False,
    samples: Samples = 64,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Say where the rotors shake: speeds to keep out of, how badly, how sure, and which fix moves them."""
    measures = Measures()
    dropped = measures.read("--sag", sag, "length")
    if dropped is not None and not 1.0e-6 <= dropped <= 1.0:
        measures.trouble("--sag", "is out of range", allowed="0.001 mm to 1 m")
    resonance = measures.read("--rig-resonance", rig, "rotation")
    if resonance is not None and not 1.0 <= resonance <= 1.0e5:
        measures.trouble("--rig-resonance", "is out of range", allowed="10 rpm to 950000 rpm")
    measures.insist()

    aeroplane, changes = load_changed(file, set_)

    from rotorwright.faces.cli.progress import working

    with working("Listening to the rotors"):
        from rotorwright.studies.shake import shake

        answer = shake(aeroplane, samples=samples, seed=seed, nominal_only=nominal, sag=dropped, rig=resonance)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.shake import shake_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(shake_sheet(answer), sys.stdout)
