"""A simulated flight on the page: the aeroplane along its path in three dimensions, played or moved through by hand."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np
from nicegui import ui

from rotorwright.faces.web.view import BLUEPRINT_COLOURS, MODULES, PAPER_COLOURS
from rotorwright.sheets.fly import moment_words
from rotorwright.sheets.numbers import convert, long_units, spelled, units_of
from rotorwright.sheets.picture import BLUEPRINT_LOOK, PAPER_LOOK
from rotorwright.sheets.shapes import solids
from rotorwright.studies.flight_setup import STRIP
from rotorwright.studies.flight_story import Moment
from rotorwright.studies.fly import Flight

ROWS = 1200
"""Moments of a flight that are sent to the page, at most."""
COLUMNS = {"time": 3, "height": 3, "heading": 4, "pitch": 4, "bank": 4, "airspeed": 2}
"""Column of the history → digits that are sent."""
Place = tuple[float, float, float]


class FlightView(ui.element, component="static/flight.js", esm=MODULES):
    """One flight that can be played, stopped and moved through.

    Parameters
    ----------
    flight : Flight
    centre : tuple of float
        Centre of gravity, file axes [m]: it is what the path is told of.
    dark : bool
    """

    def __init__(self, flight: Flight, centre: Place, dark: bool) -> None:
        super().__init__()
        look = BLUEPRINT_LOOK if dark else PAPER_LOOK
        colours = BLUEPRINT_COLOURS if dark else PAPER_COLOURS
        self._props["colours"] = {
            **colours, "accent": look.accent, "grid": look.grid, "faint": look.faint, "strip": look.grid,
        }  # fmt: skip
        self._props["solids"] = [asdict(each) for each in solids(flight.aeroplane)]
        self._props["centre"] = list(centre)
        self._props["flight"] = told_flight(flight)
        self._props["said"] = (
            f"{flight.aeroplane.name} flown along its path in three dimensions: it {flight.outcome.words}. The moments "
            "are told in words below."
        )


def told_flight(flight: Flight) -> dict[str, Any]:
    """Return a flight as the page plays it: thinned columns, moments in words, the units it is told in."""
    history, units = flight.history, units_of(flight.aeroplane.told)
    rows = np.unique(np.linspace(0, len(history) - 1, min(len(history), ROWS)).round().astype(np.intp))
    columns = {name: np.round(history[name][rows], digits).tolist() for name, digits in COLUMNS.items()}
    speed, length = units.unit_for("m/s"), long_units(units).unit_for("m")
    events = iter(event.words for event in flight.conditions.events)

    def said(moment: Moment) -> str:
        return next(events, "") if moment.what == "event" else moment_words(moment, flight, units)

    return {
        **columns,
        "ahead": np.round(history["north"][rows], 3).tolist(),
        "left": np.round(-history["east"][rows], 3).tolist(),
        "strip": flight.aeroplane.field.length or STRIP,
        "moments": [{"time": each.time, "words": said(each)} for each in flight.story.moments],
        "units": {
            "speed": convert(1.0, "m/s", speed), "speed_name": spelled(speed),
            "length": convert(1.0, "m", length), "length_name": spelled(length),
        },
    }  # fmt: skip
