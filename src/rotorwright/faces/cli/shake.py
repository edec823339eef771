"""``rotorwright shake``: at which speeds the rotors shake, how far flight stays from them, what moves them."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.options import Json, Measures, Nominal, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering


@answering
def command(
    file: Annotated[str | None, typer.Argument(metavar="[FILE]", help="The aircraft file (TOML).")] = None,
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
    strength: Annotated[bool, typer.Option("--strength", help="Do the rotors hold? Margins, worst first.")] = False,
    gust: Annotated[
        str | None, typer.Option("--gust", metavar="MEASURE", help='With --strength: "4 m/s" unless told.')
    ] = None,
    all_: Annotated[bool, typer.Option("--all", help="With --strength: every margin.")] = False,
    tolerances: Annotated[
        bool, typer.Option("--tolerances", help="How true must it be built? Balance grades by hand.")
    ] = False,
    run: Annotated[
        list[str] | None,
        typer.Option(
            "--run", metavar="RUN", help='Balancing: "4.2@112 1.9@78", then "1: 0.5@0 = 5.8@94 2.1@68". Repeat.'
        ),
    ] = None,
    runs: Annotated[
        str | None, typer.Option("--runs", metavar="CSV", help="Balancing: a table with a line for each run.")
    ] = None,
    radius: Annotated[
        str | None, typer.Option("--radius", metavar="MEASURE", help='Where the masses sit, such as "100 mm".')
    ] = None,
    holes: Annotated[
        int | None, typer.Option("--holes", metavar="N", help="Places round the disc that can take mass.")
    ] = None,
    left_on: Annotated[bool, typer.Option("--left-on", help="The trial masses stayed on.")] = False,
    record: Annotated[
        str | None, typer.Option("--record", metavar="CSV", help="A phone's recording: time and acceleration.")
    ] = None,
    rotor_speed: Annotated[
        str | None, typer.Option("--rotor-speed", metavar="MEASURE", help='With --record: as measured, "1850 rpm".')
    ] = None,
    shaken_mass: Annotated[
        str | None,
        typer.Option("--shaken-mass", metavar="MEASURE", help='With --record: all that hung freely, "2.1 kg".'),
    ] = None,
    nominal: Nominal = False,
    samples: Samples = 64,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Say where the rotors shake: speeds to keep out of, how badly, how sure, and which fix moves them.

    Or ask something else about the same rotors: --strength, --tolerances; balancing with --run or --runs; a recording
    with --record.
    """
    given = dict(locals())
    measures = Measures()
    dropped = measures.read("--sag", sag, "length")
    if dropped is not None and not 1.0e-6 <= dropped <= 1.0:
        measures.trouble("--sag", "is out of range", allowed="0.001 mm to 1 m")
    resonance = measures.read("--rig-resonance", rig, "rotation")
    if resonance is not None and not 1.0 <= resonance <= 1.0e5:
        measures.trouble("--rig-resonance", "is out of range", allowed="10 rpm to 950000 rpm")
    from rotorwright.faces.cli.shake_more import answered, needs_file

    if answered(given, measures):
        return
    needs_file(file, measures)
    measures.insist()

    aeroplane, changes = load_changed(str(file), set_)

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
