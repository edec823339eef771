"""Does the rotor hold: margins follow the loads, fixes are tried by the model, and the answer comes at once."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rotorwright import InputProblems, load
from rotorwright.studies.evaluate import fly
from rotorwright.studies.strength import GONE, Strength, strength
from rotorwright.studies.strength_checks import WORDS, Loads, Scatter, margins
from rotorwright.studies.strength_fixes import fixes_for
from rotorwright.studies.strength_parts import RotorBuild, rotor_builds

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture(scope="module")
def drum() -> Strength:
    return strength(load(EXAMPLES / "drum-major.toml"), samples=32)


@pytest.fixture(scope="module")
def build() -> RotorBuild:
    flown = fly(load(EXAMPLES / "drum-major.toml"), samples=0, few=True)
    return rotor_builds(flown.aeroplane, flown.rows, flown.numbers.rotors[0])[0]


def loads(across: float, speed: float = 200.0, torque: float = 0.1) -> Loads:
    one = np.ones(1)
    return Loads(("level flight",), np.full((1, 1), across), np.zeros((1, 1)), speed * one, speed * one, torque * one)


AS_TOLD = Scatter(np.ones(1), np.full(1, 1e-9), np.ones(1), np.zeros(1), np.ones(1))


def test_every_margin_says_what_breaks_and_the_worst_stand_first(drum: Strength) -> None:
    values = [each.margin.value for each in drum.margins]
    assert values == sorted(values)
    assert {each.check for each in drum.margins} <= set(WORDS) | {"bearings left"}
    assert all(each.margin.low <= each.margin.value <= each.margin.high for each in drum.margins)
    assert 0.0 <= drum.probability <= 1.0


def test_a_weak_place_comes_with_a_fix_that_the_model_tried(drum: Strength) -> None:
    weak = [each for each in drum.margins if each.margin.value < 1.0 and each.case != GONE]
    assert weak, "the example has one"
    for each in weak:
        assert each.fix is not None
        assert each.fix.margin > each.margin.nominal


def test_the_margins_are_those_of_the_closed_forms(build: RotorBuild) -> None:
    plain = replace(build, skin_modulus=0.0, length=build.span, supports=(0.0, build.span))
    found = margins(plain, loads(20.0), AS_TOLD)
    stiffness = build.tube.modulus * math.pi / 64.0 * (build.outer**4 - build.inner**4)
    moment = 20.0 * build.span**2 / 8.0
    stress = moment * 0.5 * build.outer / (stiffness / build.tube.modulus)
    assert found["shaft bending"][0][0, 0] == pytest.approx(build.tube.bending / stress, rel=1e-6)
    slope = 20.0 * build.span**3 / 24.0 / stiffness
    assert found["bearing tilt"][0][0, 0] == pytest.approx(math.radians(10.0 / 60.0) / slope, rel=1e-6)
    sag = 5.0 * 20.0 * build.span**4 / 384.0 / stiffness
    assert found["shaft deflection"][0][0, 0] == pytest.approx(build.span / 80.0 / sag, rel=1e-6)


def test_margins_fall_with_load_and_with_the_square_of_the_speed(build: RotorBuild) -> None:
    light, heavy = margins(build, loads(10.0), AS_TOLD), margins(build, loads(20.0), AS_TOLD)
    for check in ("shaft bending", "shaft deflection", "bearing tilt", "tube crushing"):
        assert light[check][0][0, 0] == pytest.approx(2.0 * heavy[check][0][0, 0], rel=1e-6)
    slow, fast = margins(build, loads(10.0, 150.0), AS_TOLD), margins(build, loads(10.0, 300.0), AS_TOLD)
    for check in ("disc burst", "skin burst"):
        assert slow[check][0][0, 0] == pytest.approx(4.0 * fast[check][0][0, 0], rel=1e-6)


def test_the_burst_of_a_foam_disc_is_told_with_its_factor_of_four(build: RotorBuild) -> None:
    discs = build.discs
    assert discs is not None
    assert discs.strength is not None
    found = margins(build, loads(10.0, 240.0), AS_TOLD)["disc burst"][0][0, 0]
    radius, hole = 0.5 * discs.diameter, 0.5 * build.outer
    stress = 3.3 / 4.0 * discs.density * 240.0**2 * (radius**2 + 0.7 / 3.3 * hole**2)
    assert found == pytest.approx(discs.strength.disc / (4.0 * stress), rel=1e-6)


@pytest.mark.parametrize("check", sorted(WORDS))
def test_every_fix_that_is_offered_first_helps_its_check(build: RotorBuild, check: str) -> None:
    before = margins(build, loads(300.0, 900.0, 3.0), AS_TOLD)
    if check not in before:
        return
    fixes = list(fixes_for(check, build))
    better = [fix for fix in fixes if margins(fix.build, loads(300.0, 900.0, 3.0), AS_TOLD)[check][0].min()
              > before[check][0].min()]  # fmt: skip
    assert better or not fixes


def test_a_third_bearing_catches_the_loss_of_one() -> None:
    told = load(EXAMPLES / "drum-major.toml")
    two = strength(told, nominal_only=True)
    three = strength(told.changed({"rotor.left.shaft.bearing_count": 3}), nominal_only=True)
    gone = {name: next(each for each in answer.margins if each.case == GONE) for name, answer in
            (("two", two), ("three", three))}  # fmt: skip
    assert gone["two"].margin.nominal == 0.0
    assert gone["two"].fix is not None
    assert gone["three"].margin.nominal > 1.0


def test_a_stronger_gust_never_helps() -> None:
    told = load(EXAMPLES / "thistledown.toml")
    calm, rough = strength(told, nominal_only=True, gust=1.0), strength(told, nominal_only=True, gust=6.0)
    for check in ("shaft bending", "tube crushing"):
        first, second = ([each.margin.nominal for each in answer.margins if each.check == check and each.case != GONE]
                         for answer in (calm, rough))  # fmt: skip
        assert second[0] < first[0]


def test_the_answer_comes_within_a_second() -> None:
    told = load(EXAMPLES / "drum-major.toml")
    flown = fly(told, samples=64, few=True)
    start = time.perf_counter()
    strength(told, flown=flown)
    assert time.perf_counter() - start < 1.0


def test_an_aeroplane_without_rotors_is_told_so() -> None:
    with pytest.raises(InputProblems, match="no rotor"):
        strength(load(EXAMPLES / "plain-wing.toml"))
