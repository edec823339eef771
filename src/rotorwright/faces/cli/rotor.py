"""``rotorwright rotor``: one rotor alone, as on a rig or in a tunnel."""

from __future__ import annotations

import sys
from typing import Annotated, Any

import typer

from rotorwright.faces.cli.options import Json, Measures, Samples, Seed, speaking_of_options
from rotorwright.faces.cli.outcome import answering


def _option(name: str, text: str, metavar: str = "MEASURE") -> Any:
    return typer.Option(name, help=text, show_default=False, metavar=metavar)


def _word(name: str, text: str) -> Any:
    return typer.Option(name, help=text, metavar="WORD")


def _count(name: str, text: str) -> Any:
    return typer.Option(name, help=text, metavar="N")


@answering
def command(
    kind: Annotated[str, _word("--kind", "drum or vaned.")] = "drum",
    diameter: Annotated[str | None, _option("--diameter", 'Of the turning body, such as "100 mm".')] = None,
    span: Annotated[str | None, _option("--span", 'Such as "500 mm".')] = None,
    airspeed: Annotated[str | None, _option("--airspeed", 'Such as "10 m/s"; "0 m/s" is still air.')] = None,
    spin_ratio: Annotated[
        float | None, _option("--spin-ratio", "Surface speed over airspeed, such as 2.5.", "NUMBER")
    ] = None,
    rotor_speed: Annotated[str | None, _option("--rotor-speed", 'Such as "2400 rpm".')] = None,
    free: Annotated[bool, typer.Option("--free", help="Let it freewheel and say how fast it turns.")] = False,
    section: Annotated[str, _word("--section", "Of a vaned rotor: bucket, s-section or plate.")] = "bucket",
    buckets: Annotated[int, _count("--buckets", "Number of buckets.")] = 2,
    overlap: Annotated[str, _option("--overlap", "Gap by which two buckets overlap; none unless given.")] = "0 mm",
    stages: Annotated[int, _count("--stages", "Sections phased along the span.")] = 1,
    stage_phase: Annotated[str | None, _option("--stage-phase", 'Between neighbours, such as "60 deg".')] = None,
    disc_diameter: Annotated[str | None, _option("--disc-diameter", "End discs; without it there are none.")] = None,
    fixed_discs: Annotated[bool, typer.Option("--fixed-discs", help="The discs do not turn.")] = False,
    disc_thickness: Annotated[str | None, _option("--disc-thickness", 'Such as "3 mm".')] = None,
    disc_count: Annotated[int | None, _count("--disc-count", "All discs: 2, more stand between the ends.")] = None,
    sealed_end: Annotated[bool, typer.Option("--sealed-end", help="One end closed by a wide body.")] = False,
    surface: Annotated[str, _word("--surface", "smooth or rough.")] = "smooth",
    flow: Annotated[str, _word("--flow", "quiet, outdoor or turbulent air.")] = "quiet",
    two_dimensional: Annotated[bool, typer.Option("--two-dimensional", help="Between walls: no ends.")] = False,
    branch: Annotated[str | None, _word("--branch", "Force the quiet or the turbulent family of drum data.")] = None,
    skin_friction_factor: Annotated[
        float | None, _option("--skin-friction-factor", "Your skin's friction over a smooth cylinder's.", "NUMBER")
    ] = None,
    polar_inertia: Annotated[str | None, _option("--polar-inertia", 'For the stored energy: "2 kg cm2".')] = None,
    bearing_torque: Annotated[str | None, _option("--bearing-torque", 'Friction, such as "2 mN m".')] = None,
    air_density: Annotated[str | None, _option("--air-density", 'Such as "1.18 kg/m3"; else standard air.')] = None,
    elevation: Annotated[str | None, _option("--elevation", 'Of the field, instead of a density: "600 m".')] = None,
    temperature: Annotated[str | None, _option("--temperature", 'Of the air there: "25 degC".')] = None,
    samples: Samples = 256,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Ask one rotor alone, as on a rig or in a tunnel: lift, drag, torque, power, with bands.

    Give the airspeed and one of --spin-ratio, --rotor-speed or --free.
    """
    from rotorwright.base.errors import Problem

    measures = Measures()
    for name, text in (("--diameter", diameter), ("--span", span), ("--airspeed", airspeed)):
        if text is None:
            measures.problems.append(Problem("is needed", name, allowed='a measure with its unit, such as "100 mm"'))
    if sum((spin_ratio is not None, rotor_speed is not None, free)) != 1:
        measures.problems.append(
            Problem(
                "give exactly one of the three", "--spin-ratio, --rotor-speed, --free", hint="They say how it spins"
            )
        )
    question: dict[str, Any] = {
        "kind": kind,
        "diameter": measures.read("--diameter", diameter, "length"),
        "span": measures.read("--span", span, "length"),
        "disc_diameter": measures.read("--disc-diameter", disc_diameter, "length"),
        "discs_turn": not fixed_discs,
        "airspeed": measures.read("--airspeed", airspeed, "speed"),
        "spin_ratio": spin_ratio,
        "rotor_speed": measures.read("--rotor-speed", rotor_speed, "rotation"),
        "free": free,
        "two_dimensional": two_dimensional,
        "surface": surface,
        "flow": flow,
        "branch": branch,
        "skin_friction_factor": skin_friction_factor,
        "disc_count": disc_count,
        "inner_end": "sealed" if sealed_end else "open",
        "polar_inertia": measures.read("--polar-inertia", polar_inertia, "inertia"),
    }
    if disc_thickness is not None:
        question["disc_thickness"] = measures.read("--disc-thickness", disc_thickness, "length")
    if kind == "vaned":
        question |= {
            "section": section,
            "buckets": buckets,
            "overlap": measures.read("--overlap", overlap, "length"),
            "stages": stages,
            "stage_phase": measures.read("--stage-phase", stage_phase, "angle"),
        }
    if bearing_torque is not None:
        question["bearing_torque"] = measures.read("--bearing-torque", bearing_torque, "torque")
    question |= _air(measures, air_density, elevation, temperature)
    measures.insist()

    from rotorwright.faces.cli.progress import working
    from rotorwright.sheets.document import as_json, document
    from rotorwright.sheets.numbers import units_like
    from rotorwright.sheets.rotor_alone import rotor_quantities, rotor_sheet, rotor_warnings
    from rotorwright.sheets.terminal import print_sheet

    with working("Asking the rotor"):
        from rotorwright.studies.bench_rotor import rotor_alone

        with speaking_of_options():
            answer = rotor_alone(**question, samples=samples, seed=seed)
    if json:
        conditions = {**question, "samples": samples, "seed": seed}
        print(
            as_json(
                document(quantities=rotor_quantities(answer), conditions=conditions, warnings=rotor_warnings(answer))
            )
        )
    else:
        print_sheet(rotor_sheet(question, answer, units_like(measures.written)), sys.stdout)


def _air(measures: Measures, density: str | None, elevation: str | None, temperature: str | None) -> dict[str, float]:
    from rotorwright.base.errors import Problem

    if density is not None and (elevation is not None or temperature is not None):
        measures.problems.append(Problem("give a density, or elevation and temperature", "--air-density"))
        return {}
    if density is not None:
        return {"air_density": measures.read("--air-density", density, "density")}
    if elevation is None and temperature is None:
        return {}
    height = measures.read("--elevation", elevation or "0 m", "length")
    warmth = measures.read("--temperature", temperature or "15 degC", "temperature")
    if measures.problems:
        return {}
    from rotorwright.physics.air.atmosphere import air_state, standard_atmosphere

    if temperature is None:
        warmth = standard_atmosphere(height)[0]
    density_there, viscosity = air_state(height, warmth, 0.0, 0.0)
    return {"air_density": density_there, "air_viscosity": viscosity}
