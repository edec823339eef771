"""Held straight, parts stopped, unlike rotor speeds and the drawn motions: signs, mirror images and closed forms."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from rotorwright.design.aircraft_file import load
from rotorwright.flight.linear import STICKS, Linear, P, R, V
from rotorwright.sheets.handling import handling_sheet
from rotorwright.sheets.handling_pictures import LARGEST, motion_lines, motions_picture
from rotorwright.sheets.picture import save_picture
from rotorwright.sheets.terminal import sheet_text
from rotorwright.studies.handling import Handling, handling
from rotorwright.studies.handling_sideways import Straight, straight_controls

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@lru_cache
def told() -> Handling:
    return handling(load(EXAMPLES / "great-roller.toml"), samples=4)


def straight(what: str) -> Straight:
    return next(each for each in told().sideways.straight if each.what == what)


def nominal(name: str) -> float:
    found = told().quantities[name].nominal
    assert found is not None
    return found


def linear(aileron: float) -> Linear:
    """Return a model of sideways flight with round numbers, 10 m/s."""
    matrix, effect = np.zeros((8, 8)), np.zeros((8, 4))
    matrix[V, [V, R, 6]] = -0.5, -10.0, 9.80665
    matrix[P, [V, P, R]] = -0.8, -8.0, 2.0
    matrix[R, [V, P, R]] = 1.2, -0.3, -1.5
    effect[[V, P, R], STICKS.index("rudder")] = 1.0, 0.2, -6.0
    effect[P, STICKS.index("aileron")] = aileron
    at = np.array([10.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0])
    names = ("u", "v", "w", "p", "q", "r", "phi", "theta")
    return Linear(names, STICKS, matrix, effect, at, np.zeros(3), np.eye(3), 1.0)


def test_a_yawing_pull_is_held_without_sideslip_where_there_are_ailerons() -> None:
    bank, slip, rudder, aileron, _ = straight_controls(linear(20.0), np.array([0.0, 0.0, 3.0]))
    assert rudder == pytest.approx(0.5)  # 3/6 of full rudder
    assert aileron == pytest.approx(-0.2 * 0.5 / 20.0)
    assert bank == pytest.approx(-0.5 / 9.80665)
    assert slip == 0.0


def test_without_ailerons_sideslip_makes_the_roll_that_is_missing() -> None:
    bank, slip, rudder, aileron, _ = straight_controls(linear(0.0), np.array([0.0, 1.0, 0.0]))
    assert aileron == 0.0
    # roll: 1 − 0.8·10 slip + 0.2 rudder = 0; yaw: 1.2·10 slip − 6 rudder = 0
    assert slip == pytest.approx(1.0 / (8.0 - 0.4))
    assert rudder == pytest.approx(2.0 * slip)
    assert 9.80665 * bank == pytest.approx(5.0 * slip - rudder)


def test_nothing_to_hold_it_with_is_no_answer() -> None:
    model = linear(0.0)
    model.effect[:] = 0.0
    assert all(math.isnan(number) for number in straight_controls(model, np.array([0.0, 1.0, 0.0])))


def test_an_aeroplane_like_its_mirror_image_flies_straight_by_itself() -> None:
    whole = straight("level flight")
    assert whole.held == 1.0
    assert whole.bank.nominal == pytest.approx(0.0, abs=1e-6)
    assert whole.rudder.nominal == pytest.approx(0.0, abs=1e-6)


def test_stopping_the_left_thruster_is_the_mirror_image_of_stopping_the_right_one() -> None:
    left, right = (each for each in told().sideways.straight if each.part == "thruster")
    assert left.held == right.held
    for name in ("bank", "rudder", "rotors"):
        one, other = getattr(left, name).nominal, getattr(right, name).nominal
        if one is None or math.isnan(one):
            assert other is None or math.isnan(other)
        else:
            assert one == pytest.approx(-other, rel=1e-3, abs=1e-6)
            assert abs(one) > 1e-4


def test_rotors_driven_apart_stand_in_for_ailerons() -> None:
    bank, slip, rudder, aileron, rotors = straight_controls(
        linear(0.0), np.array([0.0, 1.0, 0.0]), np.array([0.0, 20.0, 0.0])
    )
    assert (slip, aileron, rudder) == (0.0, 0.0, pytest.approx(0.0))
    assert rotors == pytest.approx(-1.0 / 20.0)
    assert bank == pytest.approx(0.0)


def test_a_rotor_stopped_on_one_side_cannot_be_held() -> None:
    rotors = [each for each in told().sideways.straight if each.part == "rotor"]
    assert len(rotors) == 2
    assert all(each.held < 0.5 for each in rotors)


def test_a_faster_left_rotor_rolls_right() -> None:
    assert nominal("differential_roll") > 0.0
    assert nominal("differential_room") > 0.0
    apart = nominal("differential_for_couple") / (100.0 * math.pi / 30.0)
    assert nominal("differential_most") > nominal("differential_roll")
    assert apart * nominal("differential_roll") == pytest.approx(nominal("gyroscopic_couple"))


def test_outputs_hold_every_servo_and_mix_the_two_rotors_against_each_other() -> None:
    outputs = told().sideways.outputs
    assert [each.output for each in outputs[:3]] == ["servo tailplane", "servo left-fin", "servo right-fin"]
    mixed = [each for each in outputs if each.mixed_with]
    assert len(mixed) == 2
    assert mixed[0].share == pytest.approx(-mixed[1].share)
    assert next(each for each in mixed if "left" in each.output or each is mixed[0]).share > 0.0


def test_drawn_motions_keep_their_times(tmp_path: Path) -> None:
    answer = told()
    for mode in answer.modes:
        if mode.name in ("spiral", "Dutch roll", "phugoid"):
            found = motion_lines(mode, answer.airspeed)
            assert max(float(np.abs(values).max()) for _, values in found.values()) == pytest.approx(LARGEST)
            if mode.name == "spiral":
                times, bank = found["bank"]
                growth = math.log(abs(bank[-1] / bank[0])) / (times[-1] - times[0])
                assert growth == pytest.approx(mode.real, rel=1e-6)
    saved = save_picture(motions_picture(answer), tmp_path / "motions.svg")
    text = saved.read_text(encoding="utf-8")
    assert "time [s]" in text
    assert "spiral" in text


def test_the_sheet_tells_how_it_is_held_and_mixed() -> None:
    text = sheet_text(handling_sheet(told()), 100)
    for word in ("Held straight", "stopped", "Rolling with the rotors' speeds", "kg cm", "rotor speed"):
        assert word in text
