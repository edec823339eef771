"""The linear model against what the nonlinear solver says, closed forms, and the gyroscope's signs."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from rotorwright.design.aircraft_file import load
from rotorwright.flight.layout import VELOCITY
from rotorwright.flight.linear import Linear, P, Q, R, U, W, linearise
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.steady import AIRSPEED
from rotorwright.studies.bench_modes import modes_of
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.held_flight import held_flight, level_or_held

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def level(name: str) -> tuple[Flown, Solutions, Linear]:
    flown = fly(load(EXAMPLES / f"{name}.toml"), samples=0, few=True)
    rows = held_flight(flown.numbers, level_or_held(flown)).solve((), GUESS_INNER)
    return flown, rows, linearise(rows, 0)


@pytest.fixture(scope="module", params=["drum-major", "marsh-tumbler"])
def flight(request: pytest.FixtureRequest) -> tuple[Flown, Solutions, Linear]:
    """Level flight of a driven and of a free rotor aeroplane."""
    return level(request.param)


def test_settled_speed_derivatives_are_those_of_the_steady_solver(flight: tuple[Flown, Solutions, Linear]) -> None:
    """Forward and downward force over airspeed with everything that turns settled: duty of the governor included."""
    flown, rows, model = flight
    forces = []
    step = 0.02
    for sign in (1.0, -1.0):
        moved = rows.take(np.array([0]))
        moved.flight[:, AIRSPEED] += sign * step
        moved.solve((), GUESS_INNER)
        steady, incidence = moved.steady[0], float(moved.flight[0, 2])
        lift, drag = steady["air_lift"], steady["drag"]
        along = -drag * np.cos(incidence) + lift * np.sin(incidence)
        down = -drag * np.sin(incidence) - lift * np.cos(incidence)
        forces.append((along, down))
    by_solver = (np.array(forces[0]) - np.array(forces[1])) / (2.0 * step) / model.mass
    incidence = float(rows.flight[0, 2])
    matrix = model.settled()
    along_path = matrix[[U, W]][:, [U, W]] @ np.array([np.cos(incidence), np.sin(incidence)])
    thrust = []
    for sign in (1.0, -1.0):
        moved = rows.take(np.array([0]))
        moved.flight[:, AIRSPEED] += sign * step
        thrust.append(float(moved.solve((), GUESS_INNER).steady["thrust"][0]))
    axis = flown.numbers.thrusters["tilt"][0, 0]
    pull = (thrust[0] - thrust[1]) / (2.0 * step) / model.mass * np.array([np.cos(axis), -np.sin(axis)])
    # the free rotor also feels the pitching that a gust starts, which the solver does not: 1 %
    assert along_path == pytest.approx(by_solver + pull, rel=2e-2, abs=2e-3)


def test_the_spin_makes_roll_of_yaw_and_yaw_of_roll(flight: tuple[Flown, Solutions, Linear]) -> None:
    """Etkin and Reid (1996), eq. 4.6,2: L gains +H r, N loses H p; nothing happens in pitch."""
    _, _, model = flight
    gained = model.matrix - model.without_spin().matrix
    spin = model.momentum[1]
    assert spin > 0.0
    couples = model.inertia @ gained[P : R + 1, P : R + 1]
    assert couples[0, 2] == pytest.approx(spin, rel=1e-6)
    assert couples[2, 0] == pytest.approx(-spin, rel=1e-6)
    assert gained[Q, Q] == pytest.approx(0.0, abs=1e-6)
    assert np.abs(np.delete(gained, [P, Q, R], axis=0)).max() == 0.0


def test_a_symmetric_aeroplane_keeps_its_planes_apart() -> None:
    """Great Roller: two propellers turning against each other, so nothing mixes climbing with yawing."""
    _, _, model = level("great-roller")
    mixed = np.abs(model.matrix[np.ix_([0, 2, 4, 7], [1, 3, 5, 6])]).max()
    assert mixed < 1e-3 * np.abs(model.matrix[:8, :8]).max()


def test_controls_act_the_right_way(flight: tuple[Flown, Solutions, Linear]) -> None:
    """Elevator down pitches down; rudder trailing edge to the left (positive) and throttle have their signs."""
    _, _, model = flight
    assert model.effect[Q, model.controls.index("elevator")] < 0.0
    assert abs(model.effect[R, model.controls.index("rudder")]) > 1.0
    settled = model.settled_effect()
    assert settled[U, model.controls.index("throttle")] > 0.0
    if "rotor_command" in model.controls:
        assert settled[W, model.controls.index("rotor_command")] < 0.0  # faster drums lift more: up is negative


def test_the_phugoid_is_near_its_energy_estimate() -> None:
    """ω = √n g/V with lift ~ V^n (energy method, Lanchester 1908 for n = 2; an estimate, within 40 %)."""
    _, rows, model = level("drum-major")
    speed = float(rows.flight[0, AIRSPEED])
    steady = model.settled()
    exponent = -steady[W, U] * speed / 9.80665
    phugoid = modes_of(model.matrix, model.states)["phugoid"]
    assert phugoid.natural_frequency == pytest.approx(np.sqrt(exponent) * 9.80665 / speed, rel=0.4)


def test_states_start_at_level_flight(flight: tuple[Flown, Solutions, Linear]) -> None:
    _, rows, model = flight
    speed = float(rows.flight[0, AIRSPEED])
    assert np.hypot(model.at[VELOCITY], model.at[W]) == pytest.approx(speed)
    assert len(model.states) == len(model.at) == len(model.matrix)
