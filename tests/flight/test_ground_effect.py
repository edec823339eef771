"""Near the ground: level flight takes less throttle there, the tail feels less downwash, and the trap shows."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from house.walk import ROOT
from rotorwright.design.aircraft_file import load
from rotorwright.flight.envelope import HOLDING
from rotorwright.flight.flight_rows import FIGURE_NAMES
from rotorwright.flight.layout import POSITION
from rotorwright.flight.simulate import simulate
from rotorwright.flight.solver import GUESS_ALL, Solutions
from rotorwright.flight.steady import AIRSPEED, COMMAND, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.physics.airframe.ground import ground_help
from rotorwright.studies.first_flights_draws import nominal_draw
from rotorwright.studies.flight_outcomes import OUTCOMES, judge_flights
from rotorwright.studies.flight_setup import Conditions, Setup, flights_for, numbers_for, set_up
from rotorwright.studies.flight_story import tell
from rotorwright.studies.fly import history_of

HELD = {"wind": 0.0, "turbulent": False, "launch": "air", "plans": False}


@pytest.fixture(scope="module")
def setup() -> Setup:
    return set_up(load(ROOT / "examples" / "drum-major.toml"), Conditions(**HELD, duration=10.0))


def level(setup: Setup, height: float) -> dict[str, float]:
    numbers = numbers_for(setup, nominal_draw())
    numbers.vehicle["y"] = 0.0
    air = numbers.air
    air["ground_relief"], air["ground_slowing"], air["ground_nearness"] = ground_help(height, setup.span, 0.5)
    rows = Solutions(numbers, np.zeros(1, dtype=np.int64))
    rows.flight[:, AIRSPEED], rows.flight[:, INCIDENCE] = setup.airspeed, setup.incidence
    rows.flight[:, THROTTLE] = float(setup.pilot["throttle"][0])
    rows.flight[:, COMMAND] = float(setup.pilot["command"][0])
    steady = rows.solve(HOLDING, GUESS_ALL)
    assert steady.found.all()
    names = {"airspeed": AIRSPEED, "throttle": THROTTLE, "elevator": ELEVATOR}
    return {name: float(steady.flight[0, column]) for name, column in names.items()}


def test_level_flight_near_the_ground_takes_less_throttle_and_more_up_elevator(setup: Setup) -> None:
    low, high, away = (level(setup, height * setup.span) for height in (0.25, 1.0, 3.0))
    assert low["throttle"] < high["throttle"] <= away["throttle"]
    assert low["throttle"] < 0.97 * away["throttle"]
    assert low["elevator"] < away["elevator"]  # less downwash on the tail lifts it: the nose goes down
    assert low["airspeed"] > away["airspeed"]  # the image takes a little lift


def skim(setup: Setup, throttle: float, *, helped: bool) -> tuple[dict[str, float], Any]:
    """Begin level a fifth of a span over the ground with no more than so much throttle."""
    draws = nominal_draw()
    numbers = numbers_for(setup, draws)
    flights = flights_for(setup, numbers, draws)
    starts = flights.starts.copy()
    starts[:, POSITION + 2] = -0.45 * setup.span
    flights.pilots["height"] = 1.0
    numbers.thrusters["motor_speed_constant"] *= throttle
    if not helped:
        flights.scripts["wing_above"] = 1e6
    figures, histories = simulate(numbers, flights._replace(starts=starts), keep=4)
    return dict(zip(FIGURE_NAMES, figures[0], strict=True)), history_of(histories[0], setup.rows.names)


def test_a_flight_that_only_the_ground_carries_is_told(setup: Setup) -> None:
    """The trap: with thrust too short for free air it goes on skimming as long as the ground helps."""
    weak = replace(setup, conditions=replace(setup.conditions, duration=8.0))
    with_help, history = skim(weak, WEAK, helped=True)
    without, _ = skim(weak, WEAK, helped=False)
    assert with_help["time"] > without["time"] + 0.5
    assert with_help["greatest_height"] < setup.span
    story = tell(history, level_spin=setup.spin, span=setup.span)
    assert "skims" in [moment.what for moment in story.moments]
    code = judge_flights({name: np.array([value]) for name, value in with_help.items()}, setup.bounds)[0]
    assert OUTCOMES[code].name == "never_clear"


WEAK = 0.85
