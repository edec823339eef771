"""Near the ground: level flight takes less throttle there, the tail feels less downwash, and the trap shows."""

from __future__ import annotations

import numpy as np
import pytest

from house.walk import ROOT
from rotorwright.design.aircraft_file import load
from rotorwright.flight.envelope import HOLDING, TURN_HELD
from rotorwright.flight.solver import GUESS_ALL, Solutions
from rotorwright.flight.steady import AIRSPEED, COMMAND, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.physics.airframe.ground import ground_help
from rotorwright.studies.first_flights_draws import nominal_draw
from rotorwright.studies.flight_setup import Conditions, Setup, numbers_for, set_up

HELD = {"wind": 0.0, "turbulent": False, "launch": "air", "plans": False}


@pytest.fixture(scope="module")
def setup() -> Setup:
    return set_up(load(ROOT / "examples" / "drum-major.toml"), Conditions(**HELD, duration=10.0))


def level(setup: Setup, height: float, free: tuple[int, ...]) -> dict[str, float]:
    numbers = numbers_for(setup, nominal_draw())
    numbers.vehicle["y"] = 0.0
    air = numbers.air
    air["ground_relief"], air["ground_slowing"], air["ground_nearness"] = ground_help(height, setup.span, 0.5)
    rows = Solutions(numbers, np.zeros(1, dtype=np.int64))
    rows.flight[:, AIRSPEED], rows.flight[:, INCIDENCE] = setup.airspeed, setup.incidence
    rows.flight[:, THROTTLE] = float(setup.pilot["throttle"][0])
    rows.flight[:, COMMAND] = float(setup.pilot["command"][0])
    steady = rows.solve(free, GUESS_ALL)
    assert steady.found.all()
    names = {"airspeed": AIRSPEED, "throttle": THROTTLE, "elevator": ELEVATOR}
    return {name: float(steady.flight[0, column]) for name, column in names.items()}


def test_at_the_same_speed_level_flight_near_the_ground_takes_less_throttle_and_more_up_elevator(setup: Setup) -> None:
    low, high, away = (level(setup, height * setup.span, TURN_HELD) for height in (0.25, 1.0, 3.0))
    assert low["airspeed"] == pytest.approx(away["airspeed"])
    assert low["throttle"] < high["throttle"] < away["throttle"]
    assert low["throttle"] < 0.985 * away["throttle"]
    assert low["elevator"] < high["elevator"] < away["elevator"]  # less downwash on the tail: the nose goes down


def test_with_the_elevator_left_alone_it_flies_faster_near_the_ground(setup: Setup) -> None:
    low, high, away = (level(setup, height * setup.span, HOLDING) for height in (0.25, 1.0, 3.0))
    assert low["airspeed"] > high["airspeed"] > away["airspeed"]
