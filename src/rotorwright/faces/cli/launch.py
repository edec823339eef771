"""``rotorwright launch``: off the ground, down again, and in which wind."""

from __future__ import annotations

import re
import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rotorwright.faces.cli.drawing import drawing
from rotorwright.faces.cli.options import AircraftFile, Json, Measures, Samples, Seed, Set, load_changed
from rotorwright.faces.cli.outcome import answering

if TYPE_CHECKING:
    from rotorwright.studies.forecast import Hour

WIND = '"4 m/s gust 7 m/s 230 deg"'
Wind = Annotated[str | None, typer.Option("--wind", metavar="WIND", help=f"As a forecast tells it, at 10 m: {WIND}.")]
Surface = Annotated[
    str | None, typer.Option("--surface", metavar="WORD", help="hard, short grass, long grass, sand or snow.")
]
Slope = Annotated[
    str | None, typer.Option("--slope", metavar="ANGLE", help='Of the run, uphill positive: "2 deg" or "3 %".')
]
Obstacle = Annotated[
    str | None, typer.Option("--obstacle", metavar="WHAT", help='In the way: "8 m at 60 m" from the start.')
]
Runway = Annotated[
    str | None, typer.Option("--runway", metavar="HEADING", help='Heading of the run, either way: "270 deg".')
]
Strip = Annotated[str | None, typer.Option("--strip", metavar="LENGTH", help='Usable length of the strip: "80 m".')]
Around = Annotated[str, typer.Option("--around", metavar="WORD", help="Country around: open, hedges or trees.")]
Forecast = Annotated[
    str | None,
    typer.Option("--forecast", metavar="CSV", help="Table of hours: time, wind, gust, direction."),
]
HourOption = Annotated[
    list[str] | None,
    typer.Option("--hour", metavar="HOUR", help='"14:00 4 m/s gust 7 m/s 230 deg 12 degC". Repeatable.'),
]
FlownOption = Annotated[
    bool, typer.Option("--flown", help="It is trimmed and known: rules of thumb for first flights do not count.")
]
All = Annotated[bool, typer.Option("--all", help="Every number, not only those a pilot asks first.")]
PictureOption = Annotated[
    str | None, typer.Option("--picture", metavar="FILE", help="Draw run, landing and wind into FILE-….svg or .png.")
]


@answering
def command(
    file: AircraftFile,
    set_: Set = None,
    wind: Wind = None,
    surface: Surface = None,
    slope: Slope = None,
    obstacle: Obstacle = None,
    runway: Runway = None,
    strip: Strip = None,
    around: Around = "open",
    forecast: Forecast = None,
    hour: HourOption = None,
    flown: FlownOption = False,
    all_: All = False,
    picture: PictureOption = None,
    samples: Samples = 48,
    seed: Seed = 0,
    json: Json = False,
) -> None:
    """Tell how it gets off the ground and down again, and in which wind: run, throw, landing, limits, forecast."""
    aeroplane, changes = load_changed(file, set_)
    asked, hours = _asked(wind, surface, slope, obstacle, runway, strip, around, forecast, hour)
    draw = drawing(picture)

    from rotorwright.faces.cli.progress import working

    with working("Running down the strip"):
        from rotorwright.studies.launch import launch

        answer = launch(aeroplane, hours=hours, flown=flown, samples=samples, seed=seed, **asked)
    from rotorwright.sheets.document import as_json
    from rotorwright.sheets.launch import launch_document, launch_sheet
    from rotorwright.sheets.terminal import print_sheet

    if draw is not None:
        from rotorwright.sheets.launch_pictures import launch_charts

        draw(launch_charts(answer))
    if json:
        print(as_json(launch_document(answer, changes_asked_for=changes)))
    else:
        print_sheet(launch_sheet(answer, whole=all_), sys.stdout)


def _asked(
    wind: str | None,
    surface: str | None,
    slope: str | None,
    obstacle: str | None,
    runway: str | None,
    strip: str | None,
    around: str,
    forecast: str | None,
    hour: list[str] | None,
) -> tuple[dict[str, Any], list[Hour]]:
    """Return the options as arguments of `launch`, and the hours to judge; all that is wrong is raised at once."""
    from rotorwright.base.errors import InputProblems
    from rotorwright.physics.air.wind import ROUGHNESS
    from rotorwright.physics.airframe.rolling import SURFACES
    from rotorwright.studies.forecast_table import read_forecast, typed_hour

    measures = Measures()
    asked: dict[str, Any] = {"around": measures.choose("--around", around, tuple(ROUGHNESS))}
    if surface is not None:
        asked["surface"] = measures.choose("--surface", surface, tuple(SURFACES))
    asked["slope"] = slope_of(measures, slope)
    asked["runway"] = measures.read("--runway", runway, "angle")
    asked["strip"] = measures.read("--strip", strip, "length")
    asked["obstacle"] = _obstacle(measures, obstacle)
    hours: list[Hour] = []
    for option, text in [("--wind", wind), *(("--hour", text) for text in hour or [])]:
        if text is None:
            continue
        try:
            read = typed_hour(text, option, clock=option == "--hour")
        except InputProblems as trouble:
            measures.problems += trouble.problems
            continue
        if option == "--wind":
            asked["wind"] = read
        else:
            hours.append(read)
    if forecast is not None:
        try:
            hours += read_forecast(forecast)
        except InputProblems as trouble:
            measures.problems += trouble.problems
    measures.insist()
    return asked, hours


def slope_of(measures: Measures, text: str | None) -> float:
    """Return a slope told as an angle or in per cent [rad]; 0 if none is told."""
    if text is None:
        return 0.0
    match = re.fullmatch(r"\s*([+-]?\d+(?:[.,]\d+)?)\s*%\s*", text)
    if match:
        import math

        angle = math.atan(float(match[1].replace(",", ".")) / 100.0)
    else:
        angle = measures.read("--slope", text, "angle") or 0.0
    if abs(angle) > 0.35:
        measures.trouble("--slope", "is too steep for a run", allowed="up to 20 deg either way")
    return float(angle)


def _obstacle(measures: Measures, text: str | None) -> tuple[float, float] | None:
    if text is None:
        return None
    height, found, distance = text.partition(" at ")
    if not found:
        measures.trouble("--obstacle", "needs a height and a distance", allowed='"8 m at 60 m"')
        return None
    high, far = measures.read("--obstacle", height, "length"), measures.read("--obstacle", distance, "length")
    if high is None or far is None:
        return None
    if high <= 0.0 or far <= 0.0:
        measures.trouble("--obstacle", "must be above the ground and ahead", allowed='"8 m at 60 m"')
        return None
    return high, far
