"""The equation of motion against closed forms and published motions: tumbling, nutation, couples, drops, turns."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from flight.bare_parts import Machine, integrate
from rotorwright.base.records import DRUM, NONE
from rotorwright.flight.alone import rates_alone

# NASA/TM-2015-218675 (Murri, Jackson, Shelton 2015), check case 2, tumbling brick without damping: the published
# trajectory of the first simulation. Torque free, so the body rates need no model of the Earth. Read in a public copy.
BRICK = {"mass": 2.26796, "ixx": 0.00256822, "iyy": 0.00842101, "izz": 0.00975466}
BRICK_START = tuple(math.radians(rate) for rate in (10.0, 20.0, 30.0))
BRICK_RATES = {
    1.0: (0.07433081, 0.40351913, 0.49532126),
    2.0: (-0.03055749, 0.41276265, 0.48993696),
    3.0: (-0.13365582, 0.37755820, 0.50950933),
    10.0: (-0.04221781, -0.41106989, 0.49093656),
    30.0: (0.22023247, -0.30364322, 0.54313929),
}

# Worked by hand: a thin shell of 0.12 kg and 0.06 m radius at 2000 rpm in an airframe of 0.04 and 0.08 kg m².
SHELL_INERTIA = 0.12 * 0.06**2
SHELL_SPEED = 2000.0 * 2.0 * math.pi / 60.0
SHELL_MOMENTUM = SHELL_INERTIA * SHELL_SPEED


@pytest.fixture(scope="module")
def brick() -> dict[float, Any]:
    """States of the tumbling brick at the published times."""
    machine = Machine({"masses": [BRICK]}, gravity=0.0)
    state = machine.state(body_rates=BRICK_START)
    found, now = {}, 0.0
    for time in BRICK_RATES:
        state = integrate(machine, state, time - now, round((time - now) * 50.0))
        found[time], now = state.copy(), time
    return found


@pytest.mark.published
@pytest.mark.parametrize("time", BRICK_RATES)
def test_a_tumbling_brick_turns_as_published(brick: dict[float, Any], time: float) -> None:
    assert brick[time][3:6] == pytest.approx(BRICK_RATES[time], abs=1.0e-5)


def test_a_tumbling_brick_keeps_energy_and_angular_momentum(brick: dict[float, Any]) -> None:
    inertia = np.array([BRICK["ixx"], BRICK["iyy"], BRICK["izz"]])
    at_start = np.array(BRICK_START)
    for state in brick.values():
        rates = state[3:6]
        assert 0.5 * inertia @ rates**2 == pytest.approx(0.5 * inertia @ at_start**2, rel=1e-8)
        assert np.linalg.norm(inertia * rates) == pytest.approx(np.linalg.norm(inertia * at_start), rel=1e-8)
        assert np.linalg.norm(state[6:10]) == pytest.approx(1.0, abs=1e-8)


def test_angular_momentum_stays_put_in_space(brick: dict[float, Any]) -> None:
    """Turned into north-east-down by the attitude quaternion, the vector itself is constant (tests attitude too)."""
    inertia = np.array([BRICK["ixx"], BRICK["iyy"], BRICK["izz"]])
    expected = inertia * np.array(BRICK_START)  # body and earth axes agree at the start
    for state in brick.values():
        assert _to_earth(state[6:10]) @ (inertia * state[3:6]) == pytest.approx(expected, abs=1e-8)


def _to_earth(quaternion: Any) -> Any:
    a, b, c, d = quaternion
    cross = np.array([[0.0, -d, c], [d, 0.0, -b], [-c, b, 0.0]])
    vector = np.array([b, c, d])
    return (a * a - vector @ vector) * np.eye(3) + 2.0 * np.outer(vector, vector) + 2.0 * a * cross


def shell_parts(**more: float) -> dict[str, Any]:
    """An airframe of 0.04, 0.06, 0.08 kg m² (rotor in it as if locked) that carries the shell, no air."""
    rotor = {"kind": DRUM, "span": 0.6, "diameter": 0.12, "disc_diameter": 0.12, "stages": 1.0} | more
    shell = {"mass": 0.12, "iyy": SHELL_INERTIA, "rotor": 0.0}
    frame = {"mass": 1.08, "ixx": 0.04, "iyy": 0.06 - SHELL_INERTIA, "izz": 0.08}
    return {"rotors": [rotor], "masses": [shell, frame]}


def test_a_spinning_rotor_makes_the_airframe_nutate() -> None:
    """Closed form: ω = H/√(Ix Iz) = 1.59944 rad/s, p = p0 cos ωt, r = −p0 √(Ix/Iz) sin ωt."""
    pace = SHELL_MOMENTUM / math.sqrt(0.04 * 0.08)
    assert pace == pytest.approx(1.59944, abs=1e-5)
    machine = Machine(shell_parts(), air_density=0.0, gravity=0.0)
    state = machine.state(body_rates=(0.01, 0.0, 0.0), spins=(SHELL_SPEED,))
    for time in (0.5, 1.0, 3.0):
        state = machine.state(body_rates=(0.01, 0.0, 0.0), spins=(SHELL_SPEED,))
        state = integrate(machine, state, time, 200)
        assert state[3] == pytest.approx(0.01 * math.cos(pace * time), abs=1e-7)
        assert state[5] == pytest.approx(-0.01 * math.sqrt(0.5) * math.sin(pace * time), abs=1e-7)
        assert state[4] == pytest.approx(0.0, abs=1e-4)  # second order in the disturbance


def test_yaw_right_rolls_right_and_roll_right_yaws_left() -> None:
    """A lifting rotor has its momentum along +y: ṗ = +r H/Ix, ṙ = −p H/Iz; pitch rate makes no couple."""
    yawing = rates_alone(parts=shell_parts(), body_rates=(0, 0, 0.5), spins=(SHELL_SPEED,), air_density=0.0)
    rolling = rates_alone(parts=shell_parts(), body_rates=(0.5, 0, 0), spins=(SHELL_SPEED,), air_density=0.0)
    pitching = rates_alone(parts=shell_parts(), body_rates=(0, 0.5, 0), spins=(SHELL_SPEED,), air_density=0.0)
    assert yawing["p"] == pytest.approx(0.5 * SHELL_MOMENTUM / 0.04, rel=1e-9)
    assert yawing["p"] > 0.0
    assert rolling["r"] == pytest.approx(-0.5 * SHELL_MOMENTUM / 0.08, rel=1e-9)
    assert pitching["p"] == pytest.approx(0.0, abs=1e-12)
    assert pitching["r"] == pytest.approx(0.0, abs=1e-12)


def test_braking_bearings_pass_the_spin_to_the_airframe() -> None:
    """A rotor slowing on its bearings gives its spin momentum to the airframe: nose up, total unchanged."""
    parts = shell_parts(bearing_torque=0.02)
    found = rates_alone(parts=parts, spins=(SHELL_SPEED,), air_density=0.0, gravity=0.0)
    assert found["spin_0"] < 0.0
    assert found["q"] > 0.0
    assert 0.06 * found["q"] + SHELL_INERTIA * found["spin_0"] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("duty", [0.2, 0.9])
def test_driving_the_spin_up_pitches_the_nose_down(duty: float) -> None:
    """No air, so no couple from outside: airframe, rotor and geared motor share a constant pitch momentum.

    Locked inertia × q̇ + (rotor + ratio × motor) × spin-up = 0: the motor turns ratio times as fast, with the rotor.
    """
    ratio, motor = 4.0, 2.0e-5
    parts = shell_parts(drive=0.0) | {
        "drives": [
            {
                "motor_speed_constant": 94.0,
                "motor_resistance": 0.1,
                "motor_no_load_current": 0.8,
                "motor_no_load_voltage": 10.0,
                "motor_inertia": motor,
                "ratio": ratio,
                "efficiency": 0.96,
                "rotors": 1.0,
            }
        ],
        "batteries": [
            {
                "cells": 3.0,
                "parallel": 1.0,
                "capacity": 7920.0,
                "resistance_capacity": 0.03,
                "charge": 0.8,
                "temperature": 293.15,
                "usable": 0.8,
            }
        ],
    }
    found = rates_alone(parts=parts, spins=(20.0,), controls=(0, 0, 0, 0, duty), air_density=0.0, gravity=0.0)
    assert found["spin_0"] > 0.0
    assert found["q"] < 0.0
    carried = SHELL_INERTIA + ratio * motor
    assert 0.06 * found["q"] + carried * found["spin_0"] == pytest.approx(0.0, abs=1e-9 * carried * found["spin_0"])


def test_a_drop_without_air_is_free_fall() -> None:
    machine = Machine({"masses": [BRICK]}, air_density=0.0)
    state = integrate(machine, machine.state(velocity=(3.0, 0.0, 0.0)), 2.0, 40)
    assert state[10:13] == pytest.approx((6.0, 0.0, 0.5 * 9.80665 * 4.0), rel=1e-10)
    assert state[2] == pytest.approx(2.0 * 9.80665, rel=1e-10)


def test_a_dropped_sphere_closes_in_on_its_terminal_speed() -> None:
    """Closed form: V = V_t tanh(g t/V_t), z = V_t²/g ln cosh(g t/V_t), V_t = √(2 m g/(ρ C_D A))."""
    machine = Machine({"masses": [BRICK], "bodies": [{"drag_area": 0.01, "top_area": 0.01, "side_area": 0.01}]})
    factor = float(machine.numbers.factors["body_drag"][0])
    terminal = math.sqrt(2.0 * BRICK["mass"] * 9.80665 / (1.225 * 0.01 * factor))
    for time in (1.0, 4.0, 8.0):
        state = integrate(machine, machine.state(), time, 400)
        assert state[2] == pytest.approx(terminal * math.tanh(9.80665 * time / terminal), rel=1e-7)
        fallen = terminal**2 / 9.80665 * math.log(math.cosh(9.80665 * time / terminal))
        assert state[12] == pytest.approx(fallen, rel=1e-7)


def test_steady_wind_carries_a_dropped_body_along() -> None:
    """In the air the fall is the same in wind as in calm: started with the air, only the ground moves."""
    body = {"masses": [BRICK], "bodies": [{"drag_area": 0.01, "top_area": 0.01, "side_area": 0.01}]}
    calm, windy = Machine(body), Machine(body, wind=(2.0, 5.0, 0.0))
    still = integrate(calm, calm.state(), 3.0, 100)
    moved = integrate(windy, windy.state(velocity=(2.0, 5.0, 0.0)), 3.0, 100)
    assert moved[10:13] - still[10:13] == pytest.approx((6.0, 15.0, 0.0), abs=1e-9)


@pytest.mark.parametrize("wind", [(4.0, 0.0, 0.0), (0.0, -3.0, 0.0), (1.0, 2.0, -0.5)])
def test_moving_with_the_wind_is_standing_in_still_air(wind: tuple[float, float, float]) -> None:
    """At any attitude: velocity over the ground equal to the wind's leaves no air force."""
    attitude = (0.3, -0.2, 1.1)
    machine = Machine({"masses": [BRICK]}, gravity=0.0)
    state = machine.state(attitude=attitude)
    velocity = _to_earth(state[6:10]).T @ np.array(wind)
    body = {"masses": [BRICK], "bodies": [{"drag_area": 0.01, "top_area": 0.01, "side_area": 0.01}]}
    found = rates_alone(parts=body, velocity=velocity, attitude=attitude, wind=wind, gravity=0.0)
    assert [found[f"force_{axis}"] for axis in "xyz"] == pytest.approx([0.0, 0.0, 0.0], abs=1e-12)
    assert [found[name] for name in ("north", "east", "down")] == pytest.approx(wind, abs=1e-12)


def test_a_free_rotor_keeps_its_inertial_spin_when_the_airframe_pitches() -> None:
    """A motor-less, friction-less rotor in vacuum feels no torque: Ω̇ = −q̇ while something else pitches the airframe."""
    parts = shell_parts(drive=NONE) | {"bodies": [{"drag_area": 0.05, "top_area": 0.05, "z": 0.4}]}
    found = rates_alone(parts=parts, velocity=(12.0, 0.0, 0.0), air_density=1.225, gravity=0.0)
    vacuum = rates_alone(parts=parts, velocity=(12.0, 0.0, 0.0), air_density=0.0, gravity=0.0)
    assert vacuum["spin_0"] == pytest.approx(0.0, abs=1e-12)
    assert found["q"] != pytest.approx(0.0, abs=1e-3)
    # the air gives a standing drum no torque
    assert found["spin_0"] == pytest.approx(-found["q"], rel=1e-6)
