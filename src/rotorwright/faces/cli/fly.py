"""``rotorwright fly``: a flight simulated and told, or many first flights counted."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rotorwright.faces.cli.drawing import Draw, drawing
from rotorwright.faces.cli.launch import slope_of
from rotorwright.faces.cli.options import AircraftFile, Json, Measures, Scheduler, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import INTERRUPTED, answering

if TYPE_CHECKING:
    from rotorwright.design.aeroplane import Aeroplane
    from rotorwright.studies.flight_setup import Conditions

Wind = Annotated[
    str | None,
    typer.Option("--wind", metavar='"SPEED"', help="Mean wind at 10 m. One flight: the file's; many: a light wind."),
]
WindFrom = Annotated[
    str | None,
    typer.Option("--wind-from", metavar='"ANGLE"', help="Direction it comes from, to the right of the strip."),
]
Gust = Annotated[
    str | None, typer.Option("--gust", metavar='"SPEED"', help="One gust along the wind; a lull if negative.")
]
GustAt = Annotated[str | None, typer.Option("--gust-at", metavar='"TIME"', help="When it comes (20 s).")]
Launch = Annotated[str | None, typer.Option("--launch", metavar="KIND", help="ground, hand, bungee or air.")]
Surface = Annotated[
    str | None, typer.Option("--surface", metavar="KIND", help="hard, short grass, long grass, sand, snow.")
]
Slope = Annotated[
    str | None, typer.Option("--slope", metavar="ANGLE", help='Of the strip, uphill positive: "2 deg" or "3 %".')
]
Bungee = Annotated[
    str | None,
    typer.Option("--bungee", metavar='"STIFFNESS"', help="Of the line of a bungee launch, else sized for it: 8 N/m."),
]
Stretch = Annotated[
    str | None, typer.Option("--stretch", metavar='"LENGTH"', help="How far that line is stretched, else sized for it.")
]
Script = Annotated[
    str | None,
    typer.Option(
        "--script", metavar="FILE.csv", help="Sticks over time in the pilot's place (time_s, throttle_pct …)."
    ),
]
PilotKind = Annotated[str, typer.Option("--pilot", metavar="KIND", help="learner, club or old-hand.")]
Events = Annotated[
    list[str] | None,
    typer.Option("--event", metavar='"WHAT at TIME"', help='"rotor left stops at 20 s". Repeatable.'),
]
Hold = Annotated[bool, typer.Option("--hold", help="Hold heading and height instead of flying a circuit.")]
Duration = Annotated[str | None, typer.Option("--duration", metavar='"TIME"', help="How long it is followed (90 s).")]
Flights = Annotated[
    int | None,
    typer.Option("--flights", metavar="N", min=1, max=1_000_000, help="Count what becomes of N first flights."),
]
Resume = Annotated[
    str | None,
    typer.Option("--resume", metavar="FILE.nc", help="Keep the flights in this file, or go on where it ends."),
]
Table = Annotated[str | None, typer.Option("--csv", metavar="FILE", help="Write the history of the flight as CSV.")]
NetCdf = Annotated[
    str | None, typer.Option("--netcdf", metavar="FILE", help="Write the history (or the flights) as NetCDF.")
]
PictureFile = Annotated[
    str | None,
    typer.Option("--picture", metavar="FILE", help="Draw path and histories (or outcomes): .svg, .png or .json."),
]


@answering
def command(
    file: AircraftFile,
    flights: Flights = None,
    wind: Wind = None,
    wind_from: WindFrom = None,
    gust: Gust = None,
    gust_at: GustAt = None,
    launch: Launch = None,
    surface: Surface = None,
    slope: Slope = None,
    bungee: Bungee = None,
    stretch: Stretch = None,
    script: Script = None,
    pilot: PilotKind = "club",
    event: Events = None,
    hold: Hold = False,
    duration: Duration = None,
    resume: Resume = None,
    csv: Table = None,
    netcdf: NetCdf = None,
    picture: PictureFile = None,
    scheduler: Scheduler = None,
    set_: Set = None,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Simulate a flight and tell it as a story, or many first flights and count what becomes of them."""
    aeroplane, changes = load_changed(file, set_)
    measures = Measures()
    told = {
        "wind": measures.read("--wind", wind, "speed"),
        "wind_from": measures.read("--wind-from", wind_from, "angle"),
        "gust": measures.read("--gust", gust, "speed"),
        "gust_time": measures.read("--gust-at", gust_at, "time"),
        "duration": measures.read("--duration", duration, "time"),
        "slope": slope_of(measures, slope),
        "bungee": measures.read("--bungee", bungee, "force per length"),
        "stretch": measures.read("--stretch", stretch, "length"),
    }
    words = {"launch": launch, "surface": surface, "pilot": pilot}
    if flights is None and resume is not None:
        measures.trouble("--resume", "belongs to many flights", hint="Say how many with --flights")
    if flights is not None and csv is not None:
        measures.trouble("--csv", "writes the history of one flight", hint="Leave --flights out, or use --netcdf")
    if flights is None and scheduler is not None:
        measures.trouble("--scheduler", "belongs to many flights", hint="Say how many with --flights")
    asked = _conditions(aeroplane, told, words, event or [], hold, script, measures)
    draw = drawing(picture)
    if flights is not None:
        _many(aeroplane, asked, changes, flights, seed, resume, netcdf, draw, scheduler, json)
    else:
        _one(aeroplane, asked, changes, seed, csv, netcdf, draw, json)


def _conditions(
    aeroplane: Aeroplane, told: dict[str, Any], words: dict[str, str | None], events: list[str], hold: bool,
    script: str | None, measures: Measures,
) -> Conditions:  # fmt: skip
    from rotorwright.base.errors import InputProblems
    from rotorwright.faces.cli.progress import load_compiler

    load_compiler()
    from rotorwright.studies.custom_blade import filled
    from rotorwright.studies.flight_events import read_events
    from rotorwright.studies.flight_setup import LAUNCHES, PILOTS, ROLLING
    from rotorwright.studies.fly import flight_conditions

    allowed = {"launch": LAUNCHES, "surface": tuple(ROLLING), "pilot": tuple(PILOTS)}
    for name, word in words.items():
        if word is not None:
            told[name] = measures.choose(f"--{name}", word, allowed[name])
    limits = (("wind", 0.0, 20.0), ("duration", 1.0, 1200.0), ("bungee", 0.1, 1000.0), ("stretch", 0.1, 100.0))
    for name, least, most in limits:
        value = told[name]
        if value is not None and not least <= value <= most:
            measures.trouble(f"--{name}", "is out of range", allowed=f"{least:g} to {most:g} in SI units")
    found: Any = ()
    try:
        found = read_events(events, filled(aeroplane).names)
    except InputProblems as trouble:
        measures.problems += trouble.problems
    if script is not None:
        from rotorwright.studies.stick_script import read_sticks

        try:
            told["commands"] = read_sticks(script)
        except InputProblems as trouble:
            measures.problems += trouble.problems
    measures.insist()
    return flight_conditions(aeroplane, **told, events=found, plans=not hold)


def _one(
    aeroplane: Aeroplane, asked: Conditions, changes: dict[str, str], seed: int, csv: str | None, netcdf: str | None,
    draw: Draw | None, json: bool,
) -> None:  # fmt: skip
    from rotorwright.faces.cli.progress import working
    from rotorwright.studies.fly import fly

    with working("Flying"):
        flight = fly(aeroplane, conditions=asked, seed=seed)
    flight.save_history(table=csv, netcdf=netcdf)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.fly import fly_sheet
    from rotorwright.sheets.terminal import print_sheet

    if draw is not None:
        from rotorwright.sheets.flight_pictures import pictures_of

        draw(pictures_of(flight))
    if json:
        print(as_json({**flight.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(fly_sheet(flight), sys.stdout)


def _many(
    aeroplane: Aeroplane, asked: Conditions, changes: dict[str, str], flights: int, seed: int, resume: str | None,
    netcdf: str | None, draw: Draw | None, scheduler: str | None, json: bool,
) -> None:  # fmt: skip
    from rotorwright.faces.cli.progress import working
    from rotorwright.studies.first_flights import first_flights

    with working("Flying first flights") as progress:
        answer = first_flights(
            aeroplane, conditions=asked, flights=flights, seed=seed, resume=resume or netcdf, progress=progress,
            scheduler=scheduler,
        )  # fmt: skip
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.fly import first_flights_sheet
    from rotorwright.sheets.terminal import print_sheet

    if draw is not None:
        from rotorwright.sheets.flight_pictures import outcomes_of

        draw(outcomes_of(answer))
    if json:
        print(as_json({**answer.as_dict(), "changes_asked_for": changes}))
    else:
        print_sheet(first_flights_sheet(answer), sys.stdout)
    if answer.stopped:
        raise typer.Exit(INTERRUPTED)
