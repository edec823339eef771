"""One simulated flight, told as a story: take-off, climb, turns, landing, and what was worst."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from rotorwright.base.quantity import Quantity, exact
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import Names
from rotorwright.flight.flight_rows import FIGURE_NAMES, HISTORY_BODY
from rotorwright.flight.simulate import RATE, simulate
from rotorwright.studies.document_head import head
from rotorwright.studies.first_flights_draws import Draws, draw, nominal_draw
from rotorwright.studies.flight_history import Column, History, history_dataset
from rotorwright.studies.flight_outcomes import OUTCOMES, Outcome, judge_flights
from rotorwright.studies.flight_setup import Conditions, Setup, flights_for, numbers_for, set_up
from rotorwright.studies.flight_story import Story, tell

SCHEMA = 1
KEPT_RATE = 50
"""Rows of history a second."""
SOURCES = ("mechanics", "etkin1996")
BODY_WORDS = {
    "time": ("s", "since the start"),
    "north": ("m", "along the strip from the start"),
    "east": ("m", "to the right of the strip"),
    "height": ("m", "of the balance point above the ground"),
    "airspeed": ("m/s", "speed through the air"),
    "ground_speed": ("m/s", "speed over the ground"),
    "climb": ("m/s", "rate of climb"),
    "bank": ("rad", "bank, right side down positive"),
    "pitch": ("rad", "nose above level"),
    "heading": ("rad", "turned to the right since the start"),
    "incidence": ("rad", "air from below the nose positive"),
    "sideslip": ("rad", "air from the right positive"),
    "roll_rate": ("rad/s", "right side going down positive"),
    "pitch_rate": ("rad/s", "nose going up positive"),
    "yaw_rate": ("rad/s", "nose going right positive"),
    "on_ground": ("1", "1 while anything touches the ground"),
    "elevator": ("1", "share of its travel, trailing edge down positive"),
    "rudder": ("1", "share of its travel"),
    "aileron": ("1", "share of its travel, rolling right positive; parts the drives where there are no ailerons"),
    "head_wind": ("m/s", "wind down the strip where the aeroplane is"),
    "phase": ("1", "what the pilot is at: 0 spinning up, 1 rolling, 2 flying, 3 landed"),
    "leg": ("1", "leg of the circuit: 0 upwind, 1 crosswind, 2 downwind, 3 base, 4 final"),
}


@dataclass(frozen=True)
class Flight:
    """One flight of an aeroplane under stated conditions."""

    aeroplane: Aeroplane
    conditions: Conditions
    outcome: Outcome
    story: Story
    history: History
    quantities: dict[str, Quantity]
    notes: tuple[str, ...]
    """What a reader must know beside the story."""
    level_speed: float
    seed: int

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout. The history is not in it: see `save_history`."""
        return {
            **head(self.aeroplane, {**self.conditions.as_dict(), "seed": self.seed}, SCHEMA),
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": None,
            "outcome": {"name": self.outcome.name, "words": self.outcome.words, "good": self.outcome.good},
            "story": [moment.as_dict() for moment in self.story.moments],
            "worst": [extreme.as_dict() for extreme in self.story.extremes],
            "warnings": list(self.notes),
        }

    def save_history(self, *, table: str | Path | None = None, netcdf: str | Path | None = None) -> None:
        """Write the history, fifty rows a second, as CSV, NetCDF or both.

        Parameters
        ----------
        table, netcdf : str or Path, optional

        Raises
        ------
        InputError
            If a file cannot be written.
        """
        from rotorwright.studies.flight_history import save_history_table

        if table is not None:
            save_history_table(self.history, table)
        if netcdf is not None:
            from rotorwright.studies.labelled import save_netcdf

            title = f"A simulated flight of {self.aeroplane.name}"
            dataset = history_dataset(
                self.history, title, aircraft=self.aeroplane.name, revision=self.aeroplane.revision, seed=self.seed
            )
            save_netcdf(dataset, netcdf)


def fly(aeroplane: Aeroplane, *, conditions: Conditions | None = None, seed: int = 0, as_drawn: bool = True) -> Flight:
    """Fly an aeroplane once and tell the story.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    conditions : Conditions, optional
        Wind, gust, launch, pilot, events; from the file's field if left out.
    seed : int
        Draws the gusts.
    as_drawn : bool
        Every Unknown at its median, built as drawn; False draws physics, hands and day of the flight number ``seed``.

    Returns
    -------
    Flight

    Raises
    ------
    InputError
        If the aeroplane has no balance at any speed, or cannot be launched so.

    Notes
    -----
    Formulas, the pilot and their limits: docs/physics/flight-simulation.md.
    """
    asked = conditions or flight_conditions(aeroplane)
    if asked.wind is None:
        asked = replace(asked, wind=aeroplane.field.wind)
    if not as_drawn:
        asked = replace(asked, misreads=asked.commands is None)
    setup = set_up(aeroplane, asked)
    draws = draw(seed, seed + 1) if not as_drawn else nominal_draw()._replace(seeds=np.array([seed + 1]))
    numbers = numbers_for(setup, draws)
    figures, histories = simulate(numbers, flights_for(setup, numbers, draws), keep=RATE // KEPT_RATE)
    history = history_of(histories[0], setup.rows.names)
    row = dict(zip(FIGURE_NAMES, figures[0], strict=True))
    code = int(judge_flights({name: np.array([value]) for name, value in row.items()}, setup.bounds)[0])
    events = tuple((event.time, event.words) for event in asked.events)
    story = tell(history, level_spin=setup.spin, span=setup.span, events=events)
    return Flight(
        aeroplane, asked, OUTCOMES[code], story, history, quantities_of(row), notes_on(setup), setup.airspeed, seed
    )


def flight_conditions(aeroplane: Aeroplane, **told: Any) -> Conditions:
    """Return the conditions an aeroplane's file tells, with others told in their place.

    Parameters
    ----------
    aeroplane : Aeroplane
    **told
        Fields of `Conditions`; None leaves what the file tells.
    """
    given = {name: value for name, value in told.items() if value is not None}
    launch = "ground" if aeroplane.tables.wheel else "hand"
    return Conditions(**{"launch": launch, "surface": aeroplane.field.surface, **given})


def history_of(rows: Any, names: Names) -> History:
    """Return the history of one flight by name from its rows, the moments after the end left out."""
    rows = rows[np.isfinite(rows[:, 0])]
    columns = {name: Column(rows[:, k].copy(), *BODY_WORDS[name]) for k, name in enumerate(HISTORY_BODY)}
    at = len(HISTORY_BODY)

    def add(kind: str, part: str, unit: str, said: str) -> None:
        nonlocal at
        columns[f"{kind}_of_{part.replace(' ', '_')}"] = Column(rows[:, at].copy(), unit, f"{said} {part}")
        at += 1

    for name in names.rotors:
        add("rotor_speed", name, "rad/s", "speed of rotor")
    for name in names.thrusters:
        add("throttle", name, "1", "throttle of")
        add("shaft_speed", name, "rad/s", "shaft speed of")
        add("winding_temperature", name, "K", "winding of")
    for name in names.drives:
        add("duty", name, "1", "duty of drive")
        add("winding_temperature", name, "K", "winding of drive")
    for name in names.batteries:
        add("pack_voltage", name, "V", "voltage of pack")
        add("pack_current", name, "A", "current of pack")
        add("charge", name, "1", "charge of pack")
    return History(columns)


def quantities_of(row: dict[str, float]) -> dict[str, Quantity]:
    """Return the numbers of one flight that are reported."""
    found = {}
    for name, column, unit in (
        ("flown_time", "time", "s"),
        ("flown_lift_off_distance", "lift_off_distance", "m"),
        ("flown_lift_off_speed", "lift_off_speed", "m/s"),
        ("flown_height", "greatest_height", "m"),
        ("flown_slowest_airspeed", "slowest_airspeed", "m/s"),
        ("flown_steepest_bank", "steepest_bank", "rad"),
        ("flown_touch_down_sink", "touch_sink", "m/s"),
        ("flown_charge_left", "charge_left", "1"),
    ):
        value = row[column]
        if np.isfinite(value):
            found[name] = exact(float(value), unit, SOURCES)
        else:
            found[name] = Quantity(None, None, None, None, unit, 0.0, sources=SOURCES, reason="this flight has none")
    return found


def notes_on(setup: Setup) -> tuple[str, ...]:
    """Return what a reader must know of how the flight was flown."""
    notes = []
    if not setup.flies_level:
        notes.append("it cannot hold its height: the pilot trims for the flight in which least is missing")
    if setup.sideways and abs(setup.sideways) > 0.0005:
        side = "right" if setup.sideways > 0.0 else "left"
        notes.append(
            f"nothing trims its roll, so it is balanced {1000.0 * abs(setup.sideways):.0f} mm to the {side} against "
            "the propeller's torque in level flight"
        )
    if setup.conditions.launch == "bungee":
        line = setup.line
        notes.append(
            f"the line pulls {line.pull:.0f} N at first ({line.stiffness:.1f} N/m, {line.stretch:.1f} m); nobody "
            "stands in its way or beside the peg, and the motor starts only when it has let go"
        )
    if setup.conditions.commands is not None:
        return (*notes, "nobody flies it: the sticks do what their table says, whatever the aeroplane does")
    bank = float(setup.pilot["bank"][0])
    if float(setup.pilot["drive_roll"][0]) > 0.0:
        notes.append("the aileron stick parts the speeds of left and right rotors, 15 % at full stick")
    elif bank < 0.12:
        notes.append(f"the rudder holds no more than {np.degrees(bank):.0f}° of bank in a turn, so turns are wide")
    return tuple(notes)


def figures_of(setup: Setup, draws: Draws) -> dict[str, Any]:
    """Fly drawn flights and return their figures by name."""
    numbers = numbers_for(setup, draws)
    figures, _ = simulate(numbers, flights_for(setup, numbers, draws))
    return {name: figures[:, k].copy() for k, name in enumerate(FIGURE_NAMES)}
