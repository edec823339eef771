"""Balancing from the maker's readings: corrections with honest bands, and plain words for what cannot be used."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rotorwright import InputProblems, balance_planes, bearing_life
from rotorwright.studies.balancing import balance_without_phase

INFLUENCE = np.array([[40.0 + 66.0j, -12.0 + 8.0j], [9.0 + 2.0j, -26.0 + 20.0j], [3.0 - 9.0j, 14.0 + 31.0j]])
UNBALANCE = np.array([1.1 - 0.4j, 0.2 + 0.7j])


def runs(trials: list[list[complex]], left_on: bool = False, sensors: int = 2, error: float = 0.0, seed: int = 0):
    random = np.random.default_rng(seed)
    there = np.zeros(2, dtype=complex)
    told = [{"readings": list(INFLUENCE[:sensors] @ UNBALANCE)}]
    for trial in trials:
        there = there + trial if left_on else np.array(trial)
        told.append({"trials": trial, "readings": list(INFLUENCE[:sensors] @ (UNBALANCE + there))})
    for run in told:
        noise = error * (random.normal(size=sensors) + 1j * random.normal(size=sensors)) / math.sqrt(2.0)
        run["readings"] = list(np.array(run["readings"]) * (1.0 + noise))
    return told


@pytest.mark.parametrize("left_on", [False, True])
@pytest.mark.parametrize("sensors", [2, 3])
def test_a_known_rotor_is_balanced(left_on: bool, sensors: int) -> None:
    trials = [[0.8j, 0.0], [0.0, -0.6]]
    answer = balance_planes(runs=runs(trials, left_on, sensors), trial_left_on=left_on)
    total = [cut.amount.nominal * np.exp(1j * cut.angle.nominal) for cut in answer.corrections]
    assert total == pytest.approx(list(-UNBALANCE), rel=1e-9)
    rest = [cut.amount.nominal * np.exp(1j * cut.angle.nominal) for cut in answer.still_to_add]
    on_it = np.array([0.8j, -0.6]) if left_on else np.zeros(2)
    assert rest == pytest.approx(list(-UNBALANCE - on_it), rel=1e-9)
    assert answer.reduction.nominal < 1e-9
    assert answer.notes == ()


def test_the_bands_hold_the_truth_about_as_often_as_they_say() -> None:
    held = 0
    for seed in range(60):
        told = runs([[0.8j, 0.0], [0.0, -0.6]], sensors=3, error=0.02, seed=seed)
        answer = balance_planes(runs=told, samples=128, seed=seed)
        held += sum(
            cut.amount.low <= abs(true) <= cut.amount.high
            for cut, true in zip(answer.corrections, -UNBALANCE, strict=True)
        )
    assert 0.65 <= held / 120 <= 0.97  # 80 % bands; a relative error per reading is not quite the assumed one


def test_holes_take_the_correction_between_them() -> None:
    holes = [list(np.radians(np.arange(0, 360, 60))), list(np.radians([0.0, 90.0, 180.0, 270.0]))]
    answer = balance_planes(runs=runs([[0.8j, 0.0], [0.0, -0.6]]), holes=holes)
    for plane, cut in enumerate(answer.corrections):
        acting = sum(amount * np.exp(1j * holes[plane][place]) for place, amount in cut.holes)
        assert acting == pytest.approx(-UNBALANCE[plane], rel=1e-9)


def test_one_plane_and_pairs_of_amplitude_and_angle() -> None:
    answer = balance_planes(runs=[{"readings": [(2.0, 0.5)]}, {"trial": (1.0, math.pi), "readings": [(3.0, 0.5)]}])
    assert answer.amounts == pytest.approx((2.0,))
    assert answer.angles == pytest.approx((0.0,), abs=1e-9)  # the trial at 180° made it worse by half


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ([{"readings": [1.0]}], "one as found"),
        ([{"readings": [1.0]}, {"readings": [2.0]}], "no trial"),
        ([{"readings": [1.0]}, {"trial": 1.0, "readings": [2.0, 3.0]}], "same number"),
        ([{"readings": [1.0]}, {"trial": 1.0, "plane": 1, "readings": [2.0]}], "fewer"),
        ([{"readings": [1.0, 2.0]}, {"trial": 1.0, "plane": 1, "readings": [2.0, 4.0]}], "tell the planes apart"),
        ([{"trial": 1.0}], "no readings"),
        ([{"readings": [1.0]}, {"trial": "much", "readings": [2.0]}], "cannot be read"),
        ([{"readings": [math.nan]}, {"trial": 1.0, "readings": [2.0]}], "none"),
    ],
)
def test_runs_that_cannot_be_used_are_refused_in_words(told, words: str) -> None:
    with pytest.raises(InputProblems, match=words):
        balance_planes(runs=told)


def test_a_trial_too_light_is_named() -> None:
    answer = balance_planes(runs=runs([[0.05, 0.0], [0.0, 0.05]]))
    assert sum("heavier" in note for note in answer.notes) == 2


def test_without_phase_the_band_holds_the_truth() -> None:
    truth, answer_per = 3.0, 0.7
    places = np.radians([0.0, 120.0, 240.0])
    vector = truth * np.exp(1j * math.radians(222.0))
    held = 0
    for seed in range(40):
        random = np.random.default_rng(seed)
        read = answer_per * np.abs(np.concatenate([[vector], vector + 2.0 * np.exp(1j * places)]))
        read = read + 0.02 * read.mean() * random.normal(size=4)
        found = balance_without_phase(as_found=read[0], amplitudes=read[1:], trial=2.0, samples=128, seed=seed)
        held += found.unbalance.low <= truth <= found.unbalance.high
        assert found.correction.angle.nominal == pytest.approx(math.radians(42.0), abs=0.15)
    assert 0.6 <= held / 40 <= 0.97


def test_without_phase_bad_readings_are_refused() -> None:
    for told in (
        {"as_found": 1.0, "amplitudes": [1.0, 2.0]},
        {"as_found": 1.0, "amplitudes": [1.0, 1.0, 1.0]},
        {"as_found": 0.0, "amplitudes": [1.0, 2.0, 3.0]},
        {"as_found": 1.0, "amplitudes": [1.0, 2.0, 1.5], "angles": [0.0, 0.01, 0.02]},
    ):
        with pytest.raises(InputProblems):
            balance_without_phase(trial=1.0, **told)


def test_bearing_life_follows_the_standard() -> None:
    plain = bearing_life(load_rating=1256.0, radial=20.0, rotor_speed=157.08)
    assert plain.hours > 2e6
    better = bearing_life(load_rating=1256.0, radial=20.0, rotor_speed=157.08, pair_factor=1.62, life_factor=0.5)
    assert better.hours == pytest.approx(plain.hours * 1.62**3 * 0.5)
    mixed = bearing_life(
        load_rating=1000.0, radial=100.0, axial=50.0, x=0.56, y=1.45, exponent=10 / 3, rotor_speed=-10.0
    )
    assert mixed.equivalent_load.nominal == pytest.approx(128.5)
    for wrong in ({"radial": 0.0}, {"load_rating": -1.0}, {"rotor_speed": 0.0}, {"axial": math.nan}):
        with pytest.raises(InputProblems):
            bearing_life(**{"load_rating": 1000.0, "radial": 10.0, "rotor_speed": 100.0} | wrong)
