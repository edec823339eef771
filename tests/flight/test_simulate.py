"""Simulated flights: the same equation as level flight, the same numbers in any company, events with consequences."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from house.walk import ROOT
from rotorwright.design.aircraft_file import load
from rotorwright.flight.envelope import HOLDING
from rotorwright.flight.flight_rows import FIGURE_NAMES
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.simulate import simulate
from rotorwright.flight.solver import GUESS_ALL, Solutions
from rotorwright.flight.steady import AIRSPEED, COMMAND, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.studies.first_flights_draws import draw, nominal_draw
from rotorwright.studies.flight_events import read_event
from rotorwright.studies.flight_history import History
from rotorwright.studies.flight_setup import Conditions, Setup, flights_for, numbers_for, set_up
from rotorwright.studies.fly import history_of

DRUM_MAJOR = ROOT / "examples" / "drum-major.toml"


@pytest.fixture(scope="module")
def aeroplane() -> Any:
    return load(DRUM_MAJOR)


def conditions(**told: Any) -> Conditions:
    return Conditions(**{"wind": 0.0, "turbulent": False, "launch": "air", "plans": False, "duration": 12.0, **told})


def flown(setup: Setup, *, rate: int = 200) -> tuple[dict[str, float], History]:
    draws = nominal_draw()
    numbers = numbers_for(setup, draws)
    figures, histories = simulate(numbers, flights_for(setup, numbers, draws), rate=rate, keep=rate // 50)
    return dict(zip(FIGURE_NAMES, figures[0], strict=True)), history_of(histories[0], setup.rows.names)


@pytest.fixture(scope="module")
def quiet(aeroplane: Any) -> tuple[Setup, History]:
    setup = set_up(aeroplane, conditions(duration=60.0))
    return setup, flown(setup)[1]


def test_a_settled_flight_is_the_level_flight_of_the_steady_solver(quiet: tuple[Setup, History]) -> None:
    setup, history = quiet
    end = len(history) - 1
    assert abs(history["climb"][end]) < 0.01
    numbers = numbers_for(setup, nominal_draw())
    charge = history["charge_of_main"][end]
    numbers.batteries["charge"] = charge
    numbers.vehicle["y"] = 0.0
    rows = Solutions(numbers, np.zeros(1, dtype=np.int64))
    rows.flight[:, AIRSPEED], rows.flight[:, INCIDENCE] = setup.airspeed, setup.incidence
    rows.flight[:, THROTTLE] = float(setup.pilot["throttle"][0])
    rows.flight[:, ELEVATOR] = history["elevator"][end]
    spin = 0.5 * (
        history["rotor_speed_of_left"][end] + history["rotor_speed_of_right"][end]
    )  # it trims roll by parting
    rows.flight[:, COMMAND] = spin / numbers.drives["speed"][0, 0]
    steady = rows.solve(HOLDING, GUESS_ALL)
    assert steady.found.all()
    assert history["airspeed"][end] == pytest.approx(float(steady.flight[0, AIRSPEED]), rel=0.01)
    assert history["throttle_of_nose"][end] == pytest.approx(float(steady.flight[0, THROTTLE]), rel=0.01)
    assert history["incidence"][end] == pytest.approx(float(steady.flight[0, INCIDENCE]), abs=0.01)


def test_shorter_steps_change_little(aeroplane: Any) -> None:
    setup = set_up(aeroplane, conditions(duration=6.0))
    (_, coarse), (_, fine), (_, finest) = (flown(setup, rate=rate) for rate in (200, 400, 800))
    moved = [
        float(np.hypot(*(one[name][-1] - finest[name][-1] for name in ("north", "height")))) for one in (coarse, fine)
    ]
    assert moved[0] < 0.05
    assert moved[1] < 0.75 * moved[0]


def test_flights_are_the_same_in_any_company(aeroplane: Any) -> None:
    setup = set_up(aeroplane, conditions(wind=2.0, turbulent=True, launch="ground", plans=True, duration=20.0))
    whole = draw(0, 70, seed=3)
    numbers = numbers_for(setup, whole)
    together, _ = simulate(numbers, flights_for(setup, numbers, whole))
    for flight in (0, 33, 69):
        alone = draw(flight, flight + 1, seed=3)
        numbers = numbers_for(setup, alone)
        figures, _ = simulate(numbers, flights_for(setup, numbers, alone))
        assert np.array_equal(figures[0], together[flight], equal_nan=True)


def test_a_simulation_leaves_the_aeroplane_as_it_was(aeroplane: Any) -> None:
    setup = set_up(aeroplane, conditions(events=(read_event("pack sags at 1 s", names(aeroplane)),)))
    draws = nominal_draw()
    numbers = numbers_for(setup, draws)
    before = AeroplaneNumbers(*(part.copy() for part in numbers))
    simulate(numbers, flights_for(setup, numbers, draws))
    for part, old in zip(numbers, before, strict=True):
        assert part.tobytes() == old.tobytes()


def names(aeroplane: Any) -> Any:
    from rotorwright.studies.custom_blade import filled

    return filled(aeroplane).names


def with_event(aeroplane: Any, text: str, **told: Any) -> History:
    return flown(set_up(aeroplane, conditions(events=(read_event(text, names(aeroplane)),), **told)))[1]


def test_a_stopped_rotor_drops_its_side(aeroplane: Any) -> None:
    history = with_event(aeroplane, "rotor left stops at 2 s")
    soon = history.at(2.4)
    assert history["rotor_speed_of_left"][soon] == 0.0
    assert history["rotor_speed_of_right"][soon] > 100.0
    assert history["bank"][soon] < -0.2


def test_a_slowed_rotor_turns_slower(aeroplane: Any, quiet: tuple[Setup, History]) -> None:
    history = with_event(aeroplane, "rotor right slows at 2 s")
    soon = history.at(3.0)
    assert history["rotor_speed_of_right"][soon] < 0.8 * quiet[1]["rotor_speed_of_right"][quiet[1].at(3.0)]


def test_without_its_motor_it_comes_down(aeroplane: Any) -> None:
    history = with_event(aeroplane, "motor nose stops at 2 s")
    assert history["throttle_of_nose"][history.at(2.2)] == 0.0
    assert history["climb"][history.at(4.0)] < -0.5


def test_without_drives_the_drums_run_down_and_lift_with_them(aeroplane: Any) -> None:
    history = with_event(aeroplane, "drives stop at 2 s")
    assert history["rotor_speed_of_left"][history.at(4.0)] < 0.9 * history["rotor_speed_of_left"][history.at(2.0)]
    assert history["height"][-1] < history["height"][history.at(2.0)] - 1.0


def test_the_kill_switch_takes_thrust_and_spin(aeroplane: Any) -> None:
    history = with_event(aeroplane, "kill-switch cuts at 2 s")
    assert history["throttle_of_nose"][history.at(2.2)] == 0.0
    assert history["duty_of_belt_of_left"][history.at(2.2)] == 0.0
    assert history["climb"][history.at(4.0)] < -0.5


def test_a_sagging_pack_loses_a_cell(aeroplane: Any) -> None:
    history = with_event(aeroplane, "pack sags at 2 s")
    assert history["pack_voltage_of_main"][history.at(2.05)] < history["pack_voltage_of_main"][history.at(1.95)] - 2.0


def test_a_stuck_servo_stays(aeroplane: Any) -> None:
    history = with_event(aeroplane, "servo elevator sticks at 1 s", wind=2.0, turbulent=True)
    after = history["elevator"][history.at(1.1) :]
    assert np.ptp(after) == 0.0


def test_reversed_controls_end_the_flight(aeroplane: Any) -> None:
    history = with_event(aeroplane, "servo aileron reverses at 1 s", wind=2.0, turbulent=True)
    assert np.abs(history["bank"]).max() > 1.0


def test_the_propeller_drains_the_pack_and_warms_its_motor(quiet: tuple[Setup, History]) -> None:
    history = quiet[1]
    drawn = float(np.trapezoid(history["pack_current_of_main"], history["time"]))
    used = history["charge_of_main"][0] - history["charge_of_main"][-1]
    assert used * 3300.0 * 3.6 == pytest.approx(drawn, rel=0.03)
    assert history["winding_temperature_of_nose"][-1] > history["winding_temperature_of_nose"][0] + 3.0


def test_it_takes_off_flies_a_circuit_and_lands(aeroplane: Any) -> None:
    figures, history = flown(set_up(aeroplane, conditions(launch="ground", plans=True, duration=90.0)))
    assert figures["quarters"] >= 4.0
    assert figures["at_rest"] == 1.0
    assert figures["touch_sink"] < 1.0
    assert history["height"].max() > 8.0
