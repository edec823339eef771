"""What ``rotorwright power FILE`` answers about hardware: bench data, a bench run, rotor drives, a stopped thruster."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from rotorwright.design.aeroplane import Aeroplane

Bench = Annotated[
    str | None,
    typer.Option("--bench", metavar="CSV", help="Own bench readings of the thruster, or NAME=CSV: what they say."),
]
TestPlan = Annotated[
    bool, typer.Option("--test-plan", help="A bench run to print: steps, what to expect, when to stop, cautions.")
]
Drive = Annotated[
    bool,
    typer.Option("--drive", help="The rotor drive: belts, pulleys, gears, starting, what a chop does."),
]
Centre = Annotated[
    str | None,
    typer.Option("--shafts", metavar="MEASURE", help='With --drive: distance of motor and rotor shaft, "90 mm".'),
]
OneStopped = Annotated[
    bool, typer.Option("--one-stopped", help="Each thruster stopped in turn: thrust left, climb, yaw, rudder.")
]


def with_bench(aeroplane: Aeroplane, bench: str | None) -> Aeroplane:
    """Return the aeroplane with bench data named on the command line (``CSV`` or ``THRUSTER=CSV``).

    Raises
    ------
    InputProblems
        If there is no such thruster.
    """
    if bench is None:
        return aeroplane
    from rotorwright.studies.bench_plan import thruster_asked

    name, _, file = bench.rpartition("=") if not Path(bench).is_file() else ("", "", bench)
    thruster = thruster_asked(aeroplane, name or None)
    return aeroplane.changed({f"thruster.{thruster}.bench": str(Path(file).absolute())})


def answered(
    aeroplane: Aeroplane,
    *,
    bench: str | None,
    test_plan: bool,
    drive: bool,
    shafts: str | None,
    one_stopped: bool,
    samples: int,
    seed: int,
    json: bool,
) -> bool:
    """Answer the question about hardware that was asked, if one was, and return whether."""
    if drive or shafts is not None:
        answer_drive_parts(aeroplane, shafts, samples, seed, json)
    elif one_stopped:
        answer_one_stopped(aeroplane, samples, seed, json)
    elif bench is not None:
        answer_bench(aeroplane, bench, json)
    elif test_plan:
        answer_test_plan(aeroplane, json)
    else:
        return False
    return True


def answer_bench(aeroplane: Aeroplane, bench: str, json: bool) -> None:
    """Print what own bench readings say of motor and propeller, as a sheet or as a JSON document."""
    from rotorwright.faces.cli.progress import working

    with working("Fitting the bench"):
        from rotorwright.studies.bench_rig_use import on_the_bench

        stood = on_the_bench(with_bench(aeroplane, bench))
    from rotorwright.sheets.power_bench import bench_report_sheet

    more = {"bench": [{"thruster": each.thruster, "file": each.file, **each.fit.as_dict()} for each in stood]}
    _show(aeroplane, bench_report_sheet(aeroplane, stood), more, json)


def answer_test_plan(aeroplane: Aeroplane, json: bool) -> None:
    """Print a bench run: steps, expected readings, limits, cautions."""
    from rotorwright.faces.cli.progress import working

    with working("Asking motor and propeller"):
        from rotorwright.studies.bench_plan import bench_plan

        plans = [bench_plan(aeroplane, name) for name in aeroplane.tables.thruster]
    from rotorwright.sheets.power_bench import bench_plan_sheet

    for plan in plans[:1] if json else plans:
        _show(aeroplane, bench_plan_sheet(plan), {"test_plan": [each.as_dict() for each in plans]}, json)


def answer_drive_parts(aeroplane: Aeroplane, shafts: str | None, samples: int, seed: int, json: bool) -> None:
    """Print belts, gears, starting and chop of the rotor drives; ``shafts`` is the wanted distance as text."""
    from rotorwright.faces.cli.options import Measures
    from rotorwright.faces.cli.progress import working

    measures = Measures()
    centre = measures.read("--shafts", shafts, "length")
    if centre is not None and not 0.005 <= centre <= 2.0:
        measures.trouble("--shafts", "is out of range", allowed="5 mm to 2 m")
    measures.insist()
    with working("Flying it for the duty of the drive"):
        from rotorwright.studies.rotor_drive_parts import rotor_drive_parts

        drives = rotor_drive_parts(aeroplane, samples=samples, seed=seed, centre=centre)
    from rotorwright.sheets.power_drive import drive_parts_sheet

    more = {"quantities": dict(drives[0].quantities), "drives": [each.as_dict() for each in drives]}
    _show(aeroplane, drive_parts_sheet(aeroplane, drives), more, json)


def answer_one_stopped(aeroplane: Aeroplane, samples: int, seed: int, json: bool) -> None:
    """Print what is left when each thruster in turn stops."""
    from rotorwright.faces.cli.progress import working

    with working("Stopping one thruster after the other"):
        from rotorwright.studies.thruster_stopped import thrusters_stopped

        stopped = thrusters_stopped(aeroplane, samples=samples, seed=seed)
    from rotorwright.sheets.power_stopped import stopped_sheet

    more = {"quantities": dict(stopped[0].quantities), "one_stopped": [each.as_dict() for each in stopped]}
    _show(aeroplane, stopped_sheet(aeroplane, stopped), more, json)


def _show(aeroplane: Aeroplane, sheet: Any, more: dict[str, Any], json: bool) -> None:
    from rotorwright.sheets.document import as_json, document
    from rotorwright.sheets.terminal import print_sheet

    if json:
        told = {"name": aeroplane.name, "file": aeroplane.source, "revision": aeroplane.revision}
        quantities = more.pop("quantities", {})
        print(as_json(document(quantities=quantities, aircraft=told, **more)))
    else:
        print_sheet(sheet, sys.stdout)
