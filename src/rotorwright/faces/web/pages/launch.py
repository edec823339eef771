"""Launch and wind: the first flight along its path, off the ground and down again, and which hours suit."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from nicegui import ui
from nicegui.elements.mixins.text_element import TextElement

from rotorwright.base.errors import InputProblems
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.faces.web.asking import Ask, Asking, measure
from rotorwright.faces.web.box import FileBox
from rotorwright.faces.web.chart import Drawing, drawing_of
from rotorwright.faces.web.flight_view import FlightView
from rotorwright.faces.web.frame import Here
from rotorwright.faces.web.latest import Progress
from rotorwright.faces.web.pages.answer_page import AnswerPlace
from rotorwright.faces.web.pages.first_flights import FirstFlightsPlace
from rotorwright.faces.web.questions import Answer
from rotorwright.faces.web.sheet_view import heading, push
from rotorwright.sheets.content import Section, Sheet
from rotorwright.studies.forecast import Hour

AS_TOLD = "as the file says"
LARGEST_TABLE = 200_000
"""Bytes of a forecast's table."""
CIRCUIT, HOLD = "flies a circuit", "holds heading and height"
SURFACE_WORDS = (AS_TOLD, "hard", "short grass", "long grass", "sand", "snow")
PILOT_WORDS = ("club", "learner", "old-hand")
FLIGHT = (
    Ask("wind", "Wind", "Mean, 10 m up. Empty: as the file says.", reader=measure("speed", 0.0, 20.0, "0 to 20 m/s")),
    Ask("wind_from", "Wind comes from", "To the right of the strip: 0 deg is head-on.", reader=measure("angle")),
    Ask("gust", "One gust", "Along it; a lull if negative.", reader=measure("speed", -20.0, 20.0, "up to 20 m/s")),
    Ask("gust_time", "The gust comes at", "20 s if left empty.", reader=measure("time", 0.0, 600.0, "0 to 600 s")),
    Ask("launch", "Launched", choices=(AS_TOLD, "ground", "hand", "air")),
    Ask("surface", "From", choices=SURFACE_WORDS),
    Ask("pilot", "Pilot", choices=PILOT_WORDS),
    Ask("plan", "Who", choices=(CIRCUIT, HOLD)),
    Ask("event", "Something goes wrong", 'Such as "rotor left stops at 20 s".'),
)  # fmt: skip
STRIP = (
    Ask("surface", "It rolls on", choices=SURFACE_WORDS),
    Ask("strip", "Usable strip", "Empty: as the file says.", reader=measure("length", 1.0, 3000.0, "1 to 3000 m")),
    Ask("runway", "Heading of the strip", "From north over east; used either way.", reader=measure("angle")),
    Ask("slope", "Uphill", "Downhill if negative.", reader=measure("angle", -0.35, 0.35, "-20 to 20 deg")),
    Ask("high", "Something in the way, high", reader=measure("length", 0.1, 300.0, "up to 300 m")),
    Ask("far", "and from the start", reader=measure("length", 1.0, 3000.0, "1 to 3000 m")),
    Ask("around", "Country around", choices=("open", "hedges", "trees")),
    Ask("flown", "It is", choices=("on its first flights", "trimmed and known")),
)


FLIGHT_SAID = {
    "above": "The path from above; the numbers are the moments told above.",
    "side": "Height over the way flown.",
    "history": "Height, speed, rotors, throttle, stick, bank, heat and charge over time.",
}
LAUNCH_SAID = {
    "run": "Airspeed along the strip, and stopping again from lift-off speed.",
    "cut": "What still carries, and what height is lost, after all motors stop in level flight.",
    "wind": "The wind it stands: bar the limit, line its band, mark the rule of thumb for first flights.",
}


def forecast_read(text: str) -> tuple[Hour, ...]:
    """Return the hours of a forecast: a table with heads, or an hour a line in words.

    Raises
    ------
    InputProblems
        If it cannot be read.
    """
    from rotorwright.studies.forecast_table import forecast_from, typed_hour

    lines = [line for line in text.splitlines() if line.strip()]
    if lines and any(mark in lines[0] for mark in ",;\t") and not lines[0].lstrip()[:1].isdigit():
        return forecast_from(text, "the forecast")
    problems: list[Any] = []
    hours = []
    for number, line in enumerate(lines, 1):
        try:
            hours.append(typed_hour(line, f"line {number}"))
        except InputProblems as trouble:
            problems += trouble.problems
    if problems:
        raise InputProblems(problems)
    return tuple(hours)


FORECAST = Ask(
    "forecast", "Forecast, an hour a line, or a table with heads",
    'Such as "14:00 4 m/s gust 7 m/s 230 deg", or pasted with the heads time, wind [km/h], gust [km/h], direction.',
    reader=forecast_read, long=True,
)  # fmt: skip


def draw_launch(here: Here) -> None:
    """Draw the page."""
    heading(1, "Launch and wind")
    _LaunchPage(here)


class _LaunchPage:
    def __init__(self, here: Here) -> None:
        self._here = here
        heading(2, "The first flight")
        with ui.element("details").classes("rw-part").mark("flight-asked"):
            TextElement(tag="summary", text="Wind, launch, pilot, mishap")
            self._flight = Asking(here, "the flight", FLIGHT, self._fly)
        self._flown = AnswerPlace(here, self._flight_question(), self._show_flight)
        heading(2, "Counted first flights")
        self._many = FirstFlightsPlace(here, self._conditions)
        heading(2, "Off the ground and down again")
        self._strip = Asking(here, "the strip", (*STRIP, FORECAST), self._launch)
        FileBox(
            "Or a forecast's CSV file", "forecast-file", most=LARGEST_TABLE, kinds=".csv,.txt",
            read=lambda text: self._strip.put("forecast", text),
        )  # fmt: skip
        self._launched = AnswerPlace(here, self._launch_question(), self._show_launch)
        here.redraw = self._redraw

    def _redraw(self) -> None:
        self._flown.again()
        self._launched.again()
        self._many.refresh()

    def _fly(self) -> None:
        self._flown.ask(self._flight_question())

    def _launch(self) -> None:
        self._launched.ask(self._launch_question())

    def _conditions(self, aeroplane: Aeroplane) -> Any:
        """Return the conditions asked for; raises InputProblems where an event names what is not there."""
        return flight_asked(aeroplane, self._flight.values() or {})

    def _flight_question(self) -> partial[Answer]:
        return partial(flown, asked=tuple((self._flight.values() or {}).items()))

    def _launch_question(self) -> partial[Answer]:
        return partial(launched, asked=tuple((self._strip.values() or {}).items()))

    def _show_flight(self, answer: Answer) -> None:
        flight, centre, drawings = answer.result
        view = self._here.view(answer)
        FlightView(flight, centre, self._here.dark)
        view.show(answer.sheet)
        for drawing in drawings:
            view.drawing(drawing)
        with ui.element("div").classes("rw-row"):
            push("Save the whole flight as CSV", lambda: _save_history(flight), small=True)

    def _show_launch(self, answer: Answer) -> None:
        _, drawings = answer.result
        view = self._here.view(answer)
        view.show(answer.sheet)
        for drawing in drawings:
            view.drawing(drawing)


def flight_asked(aeroplane: Aeroplane, asked: dict[str, Any]) -> Any:
    """Return the conditions of a flight from what was asked on the page.

    Raises
    ------
    InputProblems
        If an event cannot be read or names what the aeroplane has not.
    """
    from rotorwright.studies.custom_blade import filled
    from rotorwright.studies.flight_events import read_events
    from rotorwright.studies.fly import flight_conditions

    told = {name: value for name, value in asked.items() if name not in ("plan", "event")}
    event = asked.get("event")
    events = read_events([event], filled(aeroplane).names) if event else ()
    return flight_conditions(aeroplane, **told, events=events, plans=asked.get("plan") is None)


def flown(aeroplane: Aeroplane, progress: Progress, *, asked: tuple[tuple[str, Any], ...]) -> Answer:
    """Return one flight as the page asks for it, and where its balance point is."""
    from rotorwright.sheets.flight_pictures import pictures_of
    from rotorwright.sheets.fly import flight_numbers, fly_sheet
    from rotorwright.studies.check import check
    from rotorwright.studies.fly import fly

    flight = fly(aeroplane, conditions=flight_asked(aeroplane, dict(asked)))
    progress(1, 2)
    balance_point = check(aeroplane).quantities
    places = [balance_point[f"centre_of_gravity_{axis}"].value or 0.0 for axis in ("aft", "right", "up")]
    centre = (places[0], places[1], places[2])
    drawings = _drawings(pictures_of(flight), FLIGHT_SAID, f"{aeroplane.name} flight")

    def sheet(found: Any) -> Sheet:
        return _with_numbers(fly_sheet(found[0]), flight_numbers(found[0]))

    return Answer((flight, centre, drawings), flight.quantities, sheet)


def _with_numbers(sheet: Sheet, numbers: Section) -> Sheet:
    return replace(sheet, sections=(*sheet.sections[:-1], numbers, sheet.sections[-1]))


def launched(aeroplane: Aeroplane, progress: Progress, *, asked: tuple[tuple[str, Any], ...]) -> Answer:
    """Return run, throw, landing, wind limits and judged hours as the page asks for them."""
    from rotorwright.sheets.launch import launch_sheet
    from rotorwright.sheets.launch_pictures import launch_charts
    from rotorwright.studies.launch import launch

    told = dict(asked)
    high, far = told.pop("high", None), told.pop("far", None)
    hours, flown_before = told.pop("forecast", None) or (), told.pop("flown", None)
    given = {name: value for name, value in told.items() if value is not None}
    found = launch(
        aeroplane, hours=hours, flown=flown_before is not None,
        obstacle=(high, far) if high is not None and far is not None else None, **given,
    )  # fmt: skip
    drawings = _drawings(launch_charts(found), LAUNCH_SAID, f"{aeroplane.name} launch")
    return Answer((found, drawings), found.quantities, lambda both: launch_sheet(both[0]))


def _drawings(charts: Mapping[str, Any], said: Mapping[str, str], title: str) -> tuple[Drawing, ...]:
    return tuple(drawing_of(chart, said[name], f"{title} {name}") for name, chart in charts.items())


def _save_history(flight: Any) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "flight.csv"
        flight.save_history(table=path)
        text = path.read_text(encoding="utf-8")
    ui.download.content(text, f"{flight.aeroplane.name} flight.csv", "text/csv")
