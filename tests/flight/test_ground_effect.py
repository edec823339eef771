"""Near the ground: level flight takes less throttle there, the tail feels less downwash, and the trap shows."""

from __future__ import annotations

import numpy as np
import pytest

from house.walk import ROOT
from rotorwright.design.aircraft_file import load
from rotorwright.flight.envelope import HOLDING
from rotorwright.flight.solver import GUESS_ALL, Solutions
from rotorwright.flight.steady import AIRSPEED, COMMAND, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.physics.airframe.ground import ground_help
from rotorwright.studies.first_flights_draws import nominal_draw
from rotorwright.studies.flight_setup import Conditions, Setup, numbers_for, set_up

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
