"""Sticks from a table, a bungee, a sloping strip, eyes that misread: each does what it says."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from house.walk import ROOT
from rotorwright.base.errors import InputError
from rotorwright.design.aircraft_file import load
from rotorwright.flight.flight_audit import AUDIT_NAMES, GAINED, MOVED, WORKS
from rotorwright.flight.flight_rows import FIGURE_NAMES
from rotorwright.flight.numbers import physics_tables
from rotorwright.flight.pilot import BANK, HEADING, TURNED_THEN
from rotorwright.flight.simulate import simulate_with
from rotorwright.studies.first_flights_draws import draw, nominal_draw
from rotorwright.studies.flight_history import History
from rotorwright.studies.flight_setup import Conditions, Setup, flights_for, numbers_for, set_up
from rotorwright.studies.fly import history_of
from rotorwright.studies.launch_throw import BUNGEE_SHARE
from rotorwright.studies.pilot_eye import MISREAD, misreadings
from rotorwright.studies.stick_script import sticks_from


@pytest.fixture(scope="module")
def aeroplane() -> Any:
    return load(ROOT / "examples" / "drum-major.toml")


def conditions(**told: Any) -> Conditions:
    return Conditions(**{"wind": 0.0, "turbulent": False, "launch": "air", "plans": False, "duration": 3.0, **told})


def flown(setup: Setup) -> tuple[dict[str, float], History, Any]:
    draws = nominal_draw()
    numbers = numbers_for(setup, draws)
    done = simulate_with(numbers, physics_tables(), flights_for(setup, numbers, draws), keep=4)
    figures = dict(zip(FIGURE_NAMES, done.figures[0], strict=True))
    return figures, history_of(done.histories[0], setup.rows.names), done.audits[0]


def test_sticks_do_what_their_table_says(aeroplane: Any) -> None:
    table = "time_s,throttle_pct,elevator_pct,aileron_pct,drive_pct\n0,50,0,0,100\n1,50,0,0,100\n1.5,90,-40,30,100\n"
    _, history, _ = flown(set_up(aeroplane, conditions(commands=sticks_from(table, "t.csv"))))
    end = len(history) - 1
    assert history["elevator"][end] == pytest.approx(-0.4, abs=0.01)
    assert history["aileron"][end] == pytest.approx(0.3, abs=0.01)
    assert history["throttle_of_nose"][end] == pytest.approx(0.9, abs=0.01)
    assert history["throttle_of_nose"][history.at(0.95)] == pytest.approx(0.5, abs=0.02)
    assert history["bank"][end] > history["bank"][history.at(1.0)]


def test_a_run_by_script_waits_until_the_throttle_opens(aeroplane: Any) -> None:
    table = "time_s,throttle_pct\n0,0\n1.5,0\n1.6,100\n4,100\n"
    told = conditions(launch="ground", duration=4.0, commands=sticks_from(table, "t.csv"))
    _, history, _ = flown(set_up(aeroplane, told))
    assert abs(history["north"][history.at(1.5)]) < 0.05
    assert history["ground_speed"][-1] > 2.0


def test_a_bungee_gives_the_work_it_says_and_lets_go(aeroplane: Any) -> None:
    setup = set_up(aeroplane, conditions(launch="bungee", plans=True, duration=2.0))
    figures, history, audit = flown(setup)
    works = dict(zip(AUDIT_NAMES, audit, strict=True))
    stored = 0.5 * setup.line.stiffness * setup.line.stretch**2
    assert works["work_of_line"] == pytest.approx(BUNGEE_SHARE * stored, rel=0.05)  # closed form η k s²/2
    assert abs(audit[GAINED] - audit[:WORKS].sum()) < 5e-3 * audit[MOVED]
    on_line = history.at(0.1)
    assert history["throttle_of_nose"][on_line] < 0.05
    assert history["throttle_of_nose"][-1] > 0.3
    fastest = history["airspeed"].max()
    assert 0.9 * setup.airspeed < fastest < 1.6 * setup.airspeed
    assert figures["lift_off_time"] == 0.0


def test_a_line_that_tears_an_airframe_apart_is_refused(aeroplane: Any) -> None:
    setup = set_up(aeroplane, conditions(launch="bungee", bungee=200.0, stretch=20.0))
    with pytest.raises(InputError, match="harder than an airframe bears"):
        _ = setup.line
    with pytest.raises(InputError, match="belong to a bungee launch"):
        set_up(aeroplane, conditions(bungee=10.0))


def test_uphill_the_run_is_longer_and_downhill_shorter(aeroplane: Any) -> None:
    ways = []
    for slope in (-2.0, 0.0, 2.0):
        told = conditions(launch="ground", plans=True, duration=14.0, slope=math.radians(slope))
        figures, history, _ = flown(set_up(aeroplane, told))
        ways.append(figures["lift_off_distance"])
        stood = history.at(0.5)
        assert abs(history["climb"][stood]) < 0.05
        assert history["pitch"][stood] == pytest.approx(history["pitch"][0], abs=0.02)
    assert ways[0] < ways[1] < ways[2]


def test_an_aeroplane_at_rest_on_a_slope_is_pitched_by_it(aeroplane: Any) -> None:
    pitches = []
    for slope in (0.0, 0.05):
        shut = sticks_from("time_s,throttle_pct\n0,0\n", "t.csv")
        told = conditions(launch="ground", duration=1.5, slope=slope, commands=shut)
        _, history, _ = flown(set_up(aeroplane, told))
        pitches.append(history["pitch"][-1])
        assert history["on_ground"][-1] == 1.0
    assert pitches[1] - pitches[0] == pytest.approx(0.05, abs=0.01)


def test_misreadings_have_the_scatter_they_say_and_belong_to_their_flight() -> None:
    draws = draw(0, 40, seed=2)
    eyes = misreadings(draws, 60.0)
    scale = draws.values["pilot_eye"]
    spread = eyes[:, BANK].std(axis=1) / scale
    assert np.mean(spread) == pytest.approx(MISREAD[BANK], rel=0.15)
    assert np.array_equal(eyes[:, TURNED_THEN], eyes[:, HEADING])
    alone = misreadings(draw(7, 8, seed=2), 60.0)
    assert np.array_equal(alone[0], eyes[7])
    assert np.abs(np.corrcoef(eyes[:, BANK, ::20].ravel(), eyes[:, HEADING, ::20].ravel())[0, 1]) < 0.1


def test_eyes_that_misread_move_the_sticks_more(aeroplane: Any) -> None:
    restless = []
    for misreads in (False, True):
        _, history, _ = flown(set_up(aeroplane, conditions(misreads=misreads, duration=8.0)))
        restless.append(float(np.abs(np.diff(history["aileron"])).sum()))
    assert restless[1] > 2.0 * restless[0]
