"""``rotorwright power``: is it strong enough in the air, what gets hot and when, how long does it fly, which parts?"""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from rotorwright.faces.cli.options import AircraftFile, Json, Nominal, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering
from rotorwright.faces.cli.power_hardware import Bench, Centre, Drive, OneStopped, TestPlan, answered


@answering
def command(
    file: AircraftFile,
    set_: Set = None,
    plan: Annotated[
        str | None,
        typer.Option("--plan", metavar="PLAN", help='Such as "full 25 s, level 3 min, climb 1 m/s 20 s, rest 5 min".'),
    ] = None,
    cooling: Annotated[
        str, typer.Option("--cooling", metavar="WORD", help="Of controller and pack: open, vented or closed.")
    ] = "vented",
    classes: Annotated[
        str | None, typer.Option("--classes", metavar="TOML", help="Own mass and power classes: your local rules.")
    ] = None,
    choose: Annotated[
        bool, typer.Option("--choose", help="Rank motors, propellers or fans and cells for this aeroplane instead.")
    ] = False,
    parts: Annotated[
        str | None, typer.Option("--parts", metavar="CSV", help="With --choose: own motors and propellers as well.")
    ] = None,
    largest: Annotated[
        str | None,
        typer.Option("--largest", metavar="MEASURE", help='With --choose: room for a propeller of at most "13 in".'),
    ] = None,
    all_: Annotated[bool, typer.Option("--all", help="Everything: pictures, materials, alarms, classes.")] = False,
    nominal: Nominal = False,
    samples: Samples = 64,
    seed: Seed = 0,
    json: Json = False,
    bench: Bench = None,
    test_plan: TestPlan = False,
    drive: Drive = False,
    shafts: Centre = None,
    one_stopped: OneStopped = False,
) -> None:
    """Tell the power story of an aeroplane: thrust available against required, heat, endurance, fail-safe."""
    from rotorwright.base.errors import InputError
    from rotorwright.faces.cli.progress import working

    if choose or parts is not None or largest is not None:
        from rotorwright.faces.cli.power_choice import answer_choice

        answer_choice(file, set_, parts, largest, nominal, min(samples, 32), seed, all_, json)
        return
    if cooling not in ("open", "vented", "closed"):
        raise InputError("is not a way of cooling", place="--cooling", found=cooling, allowed="open, vented, closed")
    aeroplane, changes = load_changed(file, set_)
    if answered(
        aeroplane, bench=bench, test_plan=test_plan, drive=drive, shafts=shafts, one_stopped=one_stopped,
        samples=samples, seed=seed, json=json,
    ):  # fmt: skip
        return
    with working("Matching thrust and drag") as progress:
        from rotorwright.studies.power import power

        answer = power(
            aeroplane, plan=plan, cooling=cooling, classes=classes, samples=samples, seed=seed, nominal_only=nominal,
            progress=progress,
        )  # fmt: skip
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.power import power_sheet
    from rotorwright.sheets.terminal import print_sheet

    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(power_sheet(answer, everything=all_), sys.stdout)
