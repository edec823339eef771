"""A phone's recording: units and clock read or refused, the spin found, a known unbalance told within its band."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rotorwright import InputProblems
from rotorwright.studies.vibration_orders import RecordAnswer, analyse_record
from rotorwright.studies.vibration_record import clean_record, read_record
from studies.vibration_made import as_csv, made_recording


def analysed(mark: bool = True, told: float | None = None, **story) -> tuple[dict, RecordAnswer]:
    made = made_recording(**story)
    record = clean_record(made["time"], made["acceleration"], mark=made["mark"] if mark else None)
    return made, analyse_record(record, rotor_speed=told, body_mass=made["body_mass"])


@pytest.mark.parametrize("seed", range(6))
def test_a_known_unbalance_is_told_within_its_band(seed: int) -> None:
    made, answer = analysed(seed=seed)
    assert answer.found
    assert answer.rotor_speed.nominal == pytest.approx(made["speed"], rel=2e-3)
    assert answer.unbalance.low < made["unbalance"] < answer.unbalance.high
    assert answer.unbalance.high < 1.4 * answer.unbalance.low, "a band that says something"
    turn = abs(math.remainder(answer.heavy_angle.nominal - made["heavy"], 2.0 * math.pi))
    assert turn < 0.15
    assert "unbalance" in answer.causes[0]
    assert any("gravity" in note for note in answer.notes)
    assert any("clock scatters" in note for note in answer.notes)


def test_text_in_the_loggers_usual_forms_gives_the_same() -> None:
    made = made_recording(jitter=0.0)
    plain = analyse_record(read_record(as_csv(made)))
    other = as_csv(
        made, head="Time (ms),Acceleration x (g),Acceleration y (g),Acceleration z (g)", scale=(1e-3, 9.80665)
    )
    assert analyse_record(read_record(other)).orders[0].acceleration.nominal == pytest.approx(
        plain.orders[0].acceleration.nominal, rel=1e-3
    )
    german = as_csv(made).replace(",", ";").replace(".", ",")
    assert analyse_record(read_record(german)).rotor_speed.nominal == pytest.approx(plain.rotor_speed.nominal)


def test_a_speed_that_is_told_is_refined_and_orders_beyond_the_clock_are_left_out() -> None:
    made, answer = analysed(told=1230.0 * math.pi / 30.0, jitter=0.0, rate=110.0)
    assert not answer.found
    assert answer.rotor_speed.nominal == pytest.approx(made["speed"], rel=2e-3)
    assert [line.order for line in answer.orders] == [1, 2]
    assert any("only multiples" in note for note in answer.notes)


def test_a_spin_too_fast_for_the_clock_is_refused_with_the_reason() -> None:
    made = made_recording(rpm=3000.0, rate=100.0)  # 50 turns a second: folded down to nothing that is true
    record = clean_record(made["time"], made["acceleration"])
    with pytest.raises(InputProblems, match="shows nothing true above"):
        analyse_record(record, rotor_speed=3000.0 * math.pi / 30.0)


def test_a_found_speed_warns_of_what_it_may_be_folded_from() -> None:
    _, answer = analysed()
    assert any("Hz would look the same" in note for note in answer.notes)


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda time: time[::-1], "runs back"),
        (lambda time: time * 0.0, "stands still"),
        (lambda time: np.cumsum(np.random.default_rng(1).exponential(0.005, len(time))), "too wild"),
    ],
)
def test_clocks_that_cannot_be_put_right_are_refused(spoil, words: str) -> None:
    made = made_recording(duration=4.0)
    with pytest.raises(InputProblems, match=words):
        clean_record(spoil(made["time"]), made["acceleration"])


def test_the_longest_piece_without_a_gap_is_used() -> None:
    made = made_recording(duration=8.0)
    time = made["time"].copy()
    time[400:] += 3.0
    record = clean_record(time, made["acceleration"])
    assert any("gaps" in note for note in record.notes)
    assert record.duration == pytest.approx(made["time"][-1] - made["time"][400], rel=0.02)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("time,x_mps2\n" + "0,1\n" * 70, "unit"),
        ("time_s,gyro x (rad/s)\n" + "0,1\n" * 70, "no column of acceleration"),
        ("x_mps2\n" + "1\n" * 70, "no column of time"),
        ("time_s,x_feet\n" + "0,1\n" * 70, "unit"),
        ("time_s,x_g\n0,1\n", "too short"),
        ("time_s,x_g\n" + "0,much\n" * 70, "not a number"),
    ],
)
def test_files_that_cannot_be_used_are_refused_in_words(text: str, words: str) -> None:
    with pytest.raises(InputProblems, match=words):
        read_record(text)


def test_a_run_through_speeds_shows_the_predicted_resonance() -> None:
    critical = 150.0
    made = made_recording(rpm=900.0, rpm_end=2000.0, duration=60.0, resonance=critical, unbalance=20e-6, rate=250.0)
    record = clean_record(made["time"], made["acceleration"])
    answer = analyse_record(record, rotor_speed=None, predicted=(143.0, 260.0))
    assert answer.peaks, "the resonance lies within the run"
    assert answer.peaks[0].rotor_speed == pytest.approx(critical, rel=0.05)
    assert answer.peaks[0].predicted == 143.0
    assert any("resonance" in cause for cause in answer.causes)


def test_causes_follow_the_pattern() -> None:
    _, twice = analysed(twice=3.0)
    assert any("twice per turn" in cause for cause in twice.causes)
    made = made_recording(unbalance=1e-9, seed=2)
    record = clean_record(made["time"], made["acceleration"])
    quiet = analyse_record(record, rotor_speed=made["speed"])
    assert not quiet.orders[0].clear
    assert "something else" in quiet.causes[0]
