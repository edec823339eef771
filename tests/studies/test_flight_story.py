"""A made flight is told as it was made: run, lift-off, climb, a square of left turns, touch-down."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rotorwright.studies.flight_history import Column, History
from rotorwright.studies.flight_story import blank_history, stretches, tell, time_in_the_air

STEP = 0.1


def made(bounce: bool = False) -> History:
    """Return 100 s: 4 s run, climb to 20 m till 24 s, a left circle 30…70 s, descent from 80 s, down at 95 s."""
    time = np.arange(0.0, 100.0, STEP)
    columns = blank_history(len(time))
    columns["time"].values[:] = time
    height = np.interp(time, [0.0, 4.0, 24.0, 80.0, 95.0], [0.0, 0.0, 20.0, 20.0, 0.0])
    turn = np.interp(time, [30.0, 70.0], [0.0, -2.0 * math.pi])
    speed = np.interp(time, [0.0, 4.0, 95.0, 99.0], [0.0, 8.0, 8.0, 0.0])
    columns["height"].values[:] = height
    columns["climb"].values[:] = np.gradient(height, time)
    columns["heading"].values[:] = (turn + math.pi) % (2.0 * math.pi) - math.pi
    columns["airspeed"].values[:] = speed
    columns["bank"].values[:] = np.where((time > 30.0) & (time < 70.0), -0.3, 0.0)
    columns["north"].values[:] = np.cumsum(speed * np.cos(turn)) * STEP
    columns["east"].values[:] = np.cumsum(speed * np.sin(turn)) * STEP
    ground = (time < 4.0) | (time >= 95.0)
    if bounce:
        ground[(time > 2.0) & (time < 2.3)] = False
    columns["on_ground"].values[:] = ground
    columns["rotor_speed_of_left"] = Column(np.minimum(40.0 * time, 100.0), "rad/s", "")
    columns["rotor_speed_of_right"] = Column(np.minimum(30.0 * time, 100.0), "rad/s", "")
    columns["winding_temperature_of_nose"] = Column(290.0 + 0.5 * time, "K", "")
    return History(columns)


def test_the_moments_come_in_order_and_say_what_was_made() -> None:
    story = tell(made(), level_spin=100.0, span=1.0)
    assert [moment.what for moment in story.moments] == [
        "rotors up to speed", "lift-off", "clear of the ground", "top of the climb",
        "quarter turn", "quarter turn", "quarter turn", "quarter turn", "touch-down", "end",
    ]  # fmt: skip
    by = {moment.what: moment for moment in story.moments}
    assert by["rotors up to speed"].time == pytest.approx(80.0 / 30.0, abs=STEP)
    assert by["lift-off"].time == pytest.approx(4.0, abs=STEP)
    assert by["lift-off"].numbers["distance"] == pytest.approx(16.0, rel=0.05)
    assert by["clear of the ground"].time == pytest.approx(5.0, abs=2 * STEP)
    assert by["top of the climb"].numbers["climb"] == pytest.approx(1.0, rel=0.02)
    assert by["quarter turn"].time == pytest.approx(70.0, abs=0.5)
    assert by["quarter turn"].numbers["side"] == -1.0
    assert by["touch-down"].numbers["sink"] == pytest.approx(20.0 / 15.0, rel=0.02)


def test_the_worst_moments_are_those_in_the_air() -> None:
    story = tell(made(), level_spin=100.0, span=1.0)
    worst = {extreme.what: extreme for extreme in story.extremes}
    assert worst["slowest"].value == pytest.approx(8.0, abs=0.1)
    assert worst["steepest bank"].value == pytest.approx(0.3)
    assert worst["greatest height"].value == pytest.approx(20.0)
    assert worst["hottest motor nose"].value == pytest.approx(340.0, abs=0.1)


def test_a_bounce_is_no_lift_off() -> None:
    history = made(bounce=True)
    assert len(stretches(history["on_ground"] < 0.5)) == 2
    assert len(time_in_the_air(history)) == 1
    assert tell(history, level_spin=100.0, span=1.0) == tell(made(), level_spin=100.0, span=1.0)


def test_what_never_leaves_the_ground_has_no_turns_and_no_worst_bank() -> None:
    history = made()
    history["on_ground"][:] = 1.0
    story = tell(history, level_spin=100.0, span=1.0)
    assert [moment.what for moment in story.moments] == ["rotors up to speed", "end"]
    assert not any(extreme.what == "steepest bank" for extreme in story.extremes)


def test_events_stand_in_their_place() -> None:
    story = tell(made(), level_spin=100.0, span=1.0, events=((20.0, "rotor left stops"), (500.0, "never")))
    whats = [moment.what for moment in story.moments]
    assert whats.index("event") == whats.index("clear of the ground") + 1
    assert whats.count("event") == 1


def test_what_has_rolled_over_is_told_once_and_turns_no_more() -> None:
    history = made()
    history["bank"][history["time"] > 45.0] = 2.0
    whats = [moment.what for moment in tell(history, level_spin=100.0, span=1.0).moments]
    assert whats.count("out of control") == 1
    assert whats.count("quarter turn") == 1


def test_a_flight_that_never_rises_out_of_the_grounds_help_is_told_as_skimming() -> None:
    columns = blank_history(500)
    columns["time"].values[:] = np.arange(500) / 50.0
    columns["north"].values[:] = 7.0 * columns["time"].values
    columns["on_ground"].values[:100] = 1.0
    columns["height"].values[100:] = 0.5
    low = tell(History(columns), level_spin=0.0, span=1.0)
    (told,) = [moment for moment in low.moments if moment.what == "skims"]
    assert told.time == pytest.approx(2.0, abs=0.03)
    assert told.numbers["highest"] < 1.0
    assert told.numbers["distance"] == pytest.approx(7.0 * told.numbers["lasted"], rel=0.01)
    columns["height"].values[300:] = 2.0
    clear = tell(History(columns), level_spin=0.0, span=1.0)
    assert "skims" not in [moment.what for moment in clear.moments]
