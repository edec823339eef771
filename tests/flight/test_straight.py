"""Rolling and straight flight in time: order, energy, and agreement with steady flight."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from rotorwright import load
from rotorwright.flight.straight import Ground, glide_on, roll, rolling_gain, stepped
from rotorwright.studies.launch_ready import Ready, make_ready

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "thistledown.toml"


@pytest.fixture(scope="module")
def ready() -> Ready:
    return make_ready(load(EXAMPLE), samples=16, seed=0)


def test_steps_are_of_second_order() -> None:
    def rates(now: np.ndarray) -> tuple[np.ndarray, float]:
        return np.array([-now[0], 0.0, now[0], 0.0]), 0.0

    errors = []
    for step in (0.1, 0.05):
        moments = stepped(rates, np.array([1.0, 0.0, 0.0, 0.0]), step, lambda *_: False, round(1.0 / step) + 1)
        errors.append(abs(float(moments.airspeed[-1]) - math.exp(-1.0)))
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.1)


def test_level_flight_stays_level(ready: Ready) -> None:
    flying = ready.straight(throttle=float(ready.level["throttle"][0]), drive=True)[0]
    speed = float(ready.airspeed[0])
    push = flying.push(speed, 0.0, np.full(flying.rotors, float(ready.level["rotor_speed"][0])))
    assert push.lift == pytest.approx(flying.weight, rel=5e-3)
    assert abs(push.along) < 0.02 * flying.weight
    assert np.abs(push.spin_up).max() < 3.0


def test_without_thrust_energy_only_falls(ready: Ready) -> None:
    idle = ready.straight(throttle=None, drive=False)[0]
    spins = np.full(idle.rotors, float(ready.level["rotor_speed"][0]))
    cut = glide_on(idle, float(ready.airspeed[0]), 0.0, 20.0, spins, duration=2.0)
    inertia = float(idle.inertia.sum())
    energy = 0.5 * cut.airspeed**2 * idle.mass + idle.weight * cut.height + 0.5 * inertia * cut.spin**2
    assert (np.diff(energy) < 1e-3).all()


def test_more_friction_a_longer_run_and_wind_a_shorter_one(ready: Ready) -> None:
    pulling = ready.straight(throttle=1.0, drive=True)[0]
    spins = np.zeros(pulling.rotors)
    runs = [
        float(roll(pulling, ground, ground.headwind, spins, lift_off=True).way[-1])
        for ground in (Ground(0.02), Ground(0.15), Ground(0.02, headwind=2.0))
    ]
    assert runs[2] < runs[0] < runs[1]


def test_uphill_takes_gravity_and_a_standing_wheel_no_friction() -> None:
    level, up = Ground(0.1), Ground(0.1, slope=math.radians(5.0))
    assert rolling_gain(0.0, 0.0, 0.0, level, 1.0, 9.8) == 0.0
    difference = rolling_gain(5.0, 0.0, 3.0, level, 1.0, 9.8) - rolling_gain(5.0, 0.0, 3.0, up, 1.0, 9.8)
    assert difference == pytest.approx(9.8 * math.sin(up.slope), rel=0.02)
