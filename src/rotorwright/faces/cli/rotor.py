"""``rotorwright rotor``: one rotor alone, as on a rig or in a tunnel."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rotorwright.faces.cli.options import Json, Measures, Samples, Seed, Set, load_changed, speaking_of_options
from rotorwright.faces.cli.outcome import answering

if TYPE_CHECKING:
    from rotorwright.sheets.numbers import ShownUnits

MEASURED = {
    "diameter": "length",
    "span": "length",
    "disc_diameter": "length",
    "disc_thickness": "length",
    "overlap": "length",
    "stage_phase": "angle",
    "bearing_torque": "torque",
    "polar_inertia": "inertia",
}
"""Options that describe the rotor as measures, with their dimension."""
OPTION_OF = {"hand_speed": "--hand-spin", "inner_end": "--sealed-end"}
"""Options that are called otherwise than the argument they give."""
ON_ANY_RIG = ("branch", "skin_friction_factor", "two_dimensional", "air_density", "air_viscosity", "flow")
"""What may be told besides a rotor that comes from a file: it belongs to the rig and the day."""


def _measure(name: str, text: str) -> Any:
    return typer.Option(name, help=text, metavar="MEASURE", show_default=False)


def _word(name: str, text: str) -> Any:
    return typer.Option(name, help=text, metavar="WORD", show_default=False)


def _number(name: str, text: str) -> Any:
    return typer.Option(name, help=text, metavar="NUMBER", show_default=False)


@answering
def command(
    file: Annotated[
        str | None, typer.Argument(metavar="[FILE]", help="Take the rotor from this aircraft file.")
    ] = None,
    name: Annotated[str | None, _word("--name", "Which rotor of the file.")] = None,
    set_: Set = None,
    airspeed: Annotated[str | None, _measure("--airspeed", 'Such as "10 m/s"; "0 m/s" is still air.')] = None,
    spin_ratio: Annotated[
        float | None, _number("--spin-ratio", "How it spins, surface speed over airspeed: 2.5.")
    ] = None,
    rotor_speed: Annotated[str | None, _measure("--rotor-speed", 'Or how it spins in turns: "2400 rpm".')] = None,
    free: Annotated[bool, typer.Option("--free", help="Or let the wind turn it, and say how fast.")] = False,
    kind: Annotated[str | None, _word("--kind", "drum (unless told) or vaned.")] = None,
    diameter: Annotated[str | None, _measure("--diameter", 'Of the turning body, such as "100 mm".')] = None,
    span: Annotated[str | None, _measure("--span", 'Such as "500 mm".')] = None,
    section: Annotated[
        str | None, _word("--section", "Of a vaned rotor: bucket (unless told), s-section, plate.")
    ] = None,
    buckets: Annotated[int | None, _number("--buckets", "Number of buckets; 2 unless told.")] = None,
    overlap: Annotated[str | None, _measure("--overlap", "Gap by which two buckets overlap; none unless told.")] = None,
    stages: Annotated[int | None, _number("--stages", "Sections phased along the span; 1 unless told.")] = None,
    stage_phase: Annotated[str | None, _measure("--stage-phase", 'Between neighbours, such as "60 deg".')] = None,
    disc_diameter: Annotated[
        str | None, _measure("--disc-diameter", "Of the discs; without it there are none.")
    ] = None,
    disc_thickness: Annotated[str | None, _measure("--disc-thickness", 'Such as "3 mm".')] = None,
    disc_count: Annotated[int | None, _number("--disc-count", "All discs; 2 unless told, more stand between.")] = None,
    fixed_discs: Annotated[bool, typer.Option("--fixed-discs", help="The end discs do not turn.")] = False,
    sealed_end: Annotated[bool, typer.Option("--sealed-end", help="One end is closed by a wide body.")] = False,
    two_dimensional: Annotated[bool, typer.Option("--two-dimensional", help="Between walls: no ends.")] = False,
    surface: Annotated[str | None, _word("--surface", "smooth (unless told) or rough.")] = None,
    flow: Annotated[str | None, _word("--flow", "quiet (unless told), outdoor or turbulent air.")] = None,
    branch: Annotated[str | None, _word("--branch", "Force the quiet or the turbulent family of drum data.")] = None,
    skin_friction_factor: Annotated[
        float | None, _number("--skin-friction-factor", "Measured skin friction over that of a smooth cylinder.")
    ] = None,
    bearing_torque: Annotated[
        str | None, _measure("--bearing-torque", 'Friction, such as "2 mN m"; none unless told.')
    ] = None,
    polar_inertia: Annotated[
        str | None, _measure("--polar-inertia", 'For the stored energy, such as "2 kg cm2".')
    ] = None,
    rig: Annotated[
        str | None,
        typer.Option("--rig", help="Own rig data (CSV): they move and narrow the answer.", metavar="CSV"),
    ] = None,
    breakout_torque: Annotated[str | None, _measure("--breakout-torque", 'Friction at rest: "3 mN m".')] = None,
    hand_spin: Annotated[str | None, _measure("--hand-spin", 'Spin given by hand at the start: "200 rpm".')] = None,
    run_acceleration: Annotated[
        str | None, _measure("--run-acceleration", 'Of a take-off run up to the airspeed: "2 m/s2".')
    ] = None,
    slow_to: Annotated[str | None, _measure("--slow-to", 'Airspeed the running rotor drops to: "7 m/s".')] = None,
    lift_share: Annotated[
        str | None, _measure("--lift-share", 'Share of the lift down to which seconds count: "60 %".')
    ] = None,
    drive_torque: Annotated[
        str | None, _measure("--drive-torque", 'What a drive gives at the shaft of the rotor: "50 mN m".')
    ] = None,
    air_density: Annotated[
        str | None, _measure("--air-density", 'Such as "1.18 kg/m3"; standard air unless told.')
    ] = None,
    elevation: Annotated[str | None, _measure("--elevation", 'Of the field, instead of a density: "600 m".')] = None,
    temperature: Annotated[str | None, _measure("--temperature", 'Of the air there: "25 degC".')] = None,
    drive: Annotated[
        bool,
        typer.Option("--drive", help="Driven or free: fly the file with driven drums, free and driven vanes."),
    ] = False,
    wash: Annotated[
        bool,
        typer.Option("--wash", help="Blown rotors: what the propeller's wash gives and costs, here and elsewhere."),
    ] = False,
    strips: Annotated[
        bool,
        typer.Option("--strips", help="Along the span: lift per strip, who blows on whom, downwash, damping."),
    ] = False,
    height: Annotated[str | None, _measure("--height", 'With --strips: above the ground, such as "0.5 m".')] = None,
    sideslip: Annotated[
        str | None, _measure("--sideslip", 'With --strips: air from the right, such as "5 deg".')
    ] = None,
    ramp: Annotated[str | None, _measure("--ramp", 'With --drive: time in which a rotor shall come up, "3 s".')] = None,
    samples: Samples = 256,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Ask one rotor alone, as on a rig or in a tunnel: lift, drag, torque, power, with bands.

    Give the airspeed and one of --spin-ratio, --rotor-speed or --free; describe the rotor, or take it from a file. With
    --drive the whole aeroplane of a file is flown three ways instead: driven or free? With --wash it is flown with its
    propeller at other places, with --strips it is cut into strips along rotors and surfaces.
    """
    given = dict(locals())
    measures = Measures()
    if drive or wash or strips or any(told is not None for told in (ramp, height, sideslip)):
        _whole_aeroplane(given, measures)
        return
    motion = {
        "airspeed": measures.need("--airspeed", airspeed, "speed"),
        "spin_ratio": spin_ratio,
        "rotor_speed": measures.read("--rotor-speed", rotor_speed, "rotation"),
        "free": free,
    }
    if sum((spin_ratio is not None, rotor_speed is not None, free)) != 1:
        said = "give exactly one of the three, which say how it spins"
        allowed = 'a spin ratio such as 2.5, a rotor speed such as "2400 rpm", or --free for what the wind turns'
        measures.trouble("--spin-ratio, --rotor-speed, --free", said, allowed)
    story = {
        name: measures.read(f"--{option}", text, dimension)
        for name, option, text, dimension in (
            ("breakout_torque", "breakout-torque", breakout_torque, "torque"),
            ("hand_speed", "hand-spin", hand_spin, "rotation"),
            ("slow_to", "slow-to", slow_to, "speed"),
            ("lift_share", "lift-share", lift_share, "share"),
            ("drive_torque", "drive-torque", drive_torque, "torque"),
            ("run_acceleration", "run-acceleration", run_acceleration, "acceleration"),
        )
        if text is not None
    }
    described = _described(given, measures)
    if file is None:
        for option, text in (("--diameter", diameter), ("--span", span)):
            if text is None:
                measures.need(option, None, "length")
        for option, stated in (("--name", name), ("--set", set_)):
            if stated:
                measures.trouble(option, "goes with an aircraft file only")
        measures.insist()
        question, units = {"kind": "drum", **described}, measures.units()
    else:
        geometry = [
            option for option in described if option not in ("branch", "skin_friction_factor", "two_dimensional")
        ]
        for option in geometry:
            hint = f'Change it with --set rotor.{name or "main"}.… ="…"'
            measures.trouble(f"--{option.replace('_', '-')}", "the file describes the rotor", hint=hint)
        measures.insist()
        question, units = _from_file(file, name, set_)
        question |= described
    question |= motion
    _answer(question, story, rig, units, measures.typed, samples, seed, json)


def _whole_aeroplane(given: dict[str, Any], measures: Measures) -> None:
    """Answer ``--drive``, ``--wash`` or ``--strips``: they ask a whole aeroplane and take nothing about one rotor."""
    option = next((f"--{name}" for name in ("wash", "strips") if given[name]), "--drive")
    also = ("file", "set_", "samples", "seed", "json", "ramp", "height", "sideslip", option[2:])
    for name, owner in (("ramp", "drive"), ("height", "strips"), ("sideslip", "strips")):
        if given[name] is not None and not given[owner]:
            measures.trouble(f"--{name}", f"goes with --{owner} only")
    if given["file"] is None:
        measures.trouble(option, "needs an aircraft file", hint=f"rotorwright rotor my.toml {option}")
    for name, told in given.items():
        if name not in also and told not in (None, False):
            measures.trouble(f"--{name.replace('_', '-')}", f"does not go with {option}: the file describes everything")
    seconds = measures.read("--ramp", given["ramp"], "time")
    if seconds is not None and not 0.05 <= seconds <= 600.0:
        measures.trouble("--ramp", "is out of range", allowed="0.05 s to 10 min")
    height = measures.read("--height", given["height"], "length")
    if height is not None and not 0.0 < height <= 1000.0:
        measures.trouble("--height", "is out of range", allowed="above 0, up to 1000 m")
    slip = measures.read("--sideslip", given["sideslip"], "angle")
    if slip is not None and not abs(slip) <= 0.5:
        measures.trouble("--sideslip", "is out of range", allowed="-28 to 28 deg")
    measures.insist()

    from rotorwright.faces.cli.rotor_drive import answer_drive, answer_strips, answer_wash

    common = (given["set_"], given["samples"], given["seed"], given["json"])
    if given["wash"]:
        answer_wash(given["file"], *common)
    elif given["strips"]:
        answer_strips(given["file"], height, slip or 0.0, *common)
    else:
        answer_drive(given["file"], seconds, *common)


def _described(given: dict[str, Any], measures: Measures) -> dict[str, Any]:
    """Return what the options tell about the rotor and its air, as arguments of the bench call."""
    told: dict[str, Any] = {
        name: measures.read(f"--{name.replace('_', '-')}", given[name], dimension)
        for name, dimension in MEASURED.items()
        if given[name] is not None
    }
    for name in ("kind", "section", "surface", "flow", "branch"):
        if given[name] is not None:
            told[name] = _word_of(name, given[name], measures)
    numbers = ("buckets", "stages", "disc_count", "skin_friction_factor")
    told |= {name: given[name] for name in numbers if given[name] is not None}
    if given["fixed_discs"]:
        told["discs_turn"] = False
    if given["sealed_end"]:
        told["inner_end"] = "sealed"
    if given["two_dimensional"]:
        told["two_dimensional"] = True
    return told | _air(measures, given["air_density"], given["elevation"], given["temperature"])


def _word_of(name: str, word: str, measures: Measures) -> str:
    from rotorwright.studies.bench_rotor_input import WORDS

    return measures.choose(f"--{name}", word, tuple(each for each in WORDS[name] if each is not None))


def _air(measures: Measures, density: str | None, elevation: str | None, temperature: str | None) -> dict[str, float]:
    if density is not None and (elevation is not None or temperature is not None):
        measures.trouble("--air-density", "give a density, or elevation and temperature")
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


def _from_file(file: str, name: str | None, given: list[str] | None) -> tuple[dict[str, Any], ShownUnits]:
    from rotorwright.sheets.numbers import units_of

    aeroplane, _ = load_changed(file, given)

    from rotorwright.studies.bench_rotor_of import bench_question

    return bench_question(aeroplane, name), units_of(aeroplane.told)


def _answer(
    question: dict[str, Any],
    story: dict[str, Any],
    rig: str | None,
    units: ShownUnits,
    typed: dict[str, str],
    samples: int,
    seed: int,
    json: bool,
) -> None:
    from rotorwright.faces.cli.progress import working
    from rotorwright.sheets.document import as_json, document
    from rotorwright.sheets.rotor_alone import rotor_quantities, rotor_sheet, rotor_warnings
    from rotorwright.sheets.terminal import print_sheet
    from rotorwright.studies.rotor_rig import read_rig_file

    readings = None if rig is None else read_rig_file(rig)
    with working("Asking the rotor"), speaking_of_options(OPTION_OF, typed):
        from rotorwright.studies.bench_rotor import rotor_alone, rotor_fit
        from rotorwright.studies.rotor_start import rotor_start

        fit = None if readings is None else rotor_fit(question, readings, str(rig))
        asked = {**question, "fit": fit, "samples": samples, "seed": seed}
        answer, start = rotor_alone(**asked), None
        told = question["kind"] == "vaned" or question.get("polar_inertia")
        if story or (told and question["airspeed"] > 0.0):
            start = rotor_start(**story, **asked)
    if json:
        quantities = rotor_quantities(answer) | ({} if start is None else start.quantities())
        more: dict[str, Any] = {} if start is None else {"curves": start.curves}
        if fit is not None:
            more["rig"] = fit.as_dict()
        notes = rotor_warnings(answer) + (() if start is None else start.notes)
        conditions = {**question, **story, "samples": samples, "seed": seed}
        print(as_json(document(quantities=quantities, conditions=conditions, warnings=notes, **more)))
    else:
        print_sheet(rotor_sheet(question, answer, units, start, fit), sys.stdout)
