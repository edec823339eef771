"""The whole question of start, spin-up, ripple and loss of spin, asked as a maker would."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import rotorwright
from rotorwright.base.citations import citations
from rotorwright.studies.rotor_start import rotor_start

BUCKET: dict[str, Any] = {
    "kind": "vaned", "diameter": 0.12, "span": 0.6, "overlap": 0.0063, "disc_diameter": 0.132, "airspeed": 10.0,
    "polar_inertia": 3e-4, "bearing_torque": 0.003, "samples": 64,
}  # fmt: skip
PLATE = {**BUCKET, "section": "plate", "overlap": 0.0, "polar_inertia": 1e-4, "bearing_torque": 0.001}
DRUM: dict[str, Any] = {
    "kind": "drum", "diameter": 0.1, "span": 0.5, "disc_diameter": 0.2, "airspeed": 10.0, "rotor_speed": 400.0,
    "polar_inertia": 2e-4, "bearing_torque": 0.002, "samples": 64,
}  # fmt: skip


def test_every_quantity_has_an_ordered_band_and_known_sources() -> None:
    for asked in (
        {**BUCKET, "hand_speed": 60.0, "run_acceleration": 2.0},
        {**PLATE, "hand_speed": 60.0},
        {**DRUM, "drive_torque": 0.1},
    ):
        quantities = rotor_start(**asked).quantities()
        assert len(quantities) >= 3
        for quantity in quantities.values():
            assert set(quantity.sources) <= set(citations())
            if quantity.value is not None:
                assert quantity.low <= quantity.value <= quantity.high


def test_a_bucket_starts_from_its_worst_angle_only_in_more_wind() -> None:
    answer = rotor_start(**BUCKET)
    assert answer.start_airspeed.nominal > 2.0 * answer.start_airspeed_best.nominal
    assert answer.dead_angle.nominal == 0.0
    slow = rotor_start(**{**BUCKET, "airspeed": 0.7 * answer.start_airspeed.nominal})
    assert 0.1 < slow.dead_angle.nominal < 2.0
    staged = rotor_start(**BUCKET, stages=2, stage_phase=np.pi / 2)
    assert staged.start_airspeed.nominal < 0.6 * answer.start_airspeed.nominal
    assert staged.torque_ripple.nominal < 0.3 * answer.torque_ripple.nominal


def test_a_measured_breakout_torque_replaces_the_guess() -> None:
    answer = rotor_start(**BUCKET, breakout_torque=0.003)
    assert answer.breakout_torque.low == answer.breakout_torque.high == pytest.approx(0.003)
    guessed = rotor_start(**BUCKET)
    ratio = guessed.start_airspeed.nominal / answer.start_airspeed.nominal
    assert ratio == pytest.approx(1.5**0.5)


def test_a_plate_needs_a_hand() -> None:
    still, spun = rotor_start(**PLATE), rotor_start(**PLATE, hand_speed=60.0)
    assert still.start_airspeed.value is None
    assert "hangs" in still.start_airspeed.reason
    assert still.spin_up_time.value is None
    assert spun.spin_up_time.value > 0.0
    assert still.kick_speed.nominal > 0.0
    assert any("broadside" in note for note in still.notes)
    heavy = rotor_start(**{**PLATE, "polar_inertia": 4e-4})
    assert heavy.kick_speed.nominal == pytest.approx(0.5 * still.kick_speed.nominal)


def test_friction_costs_spin_and_too_much_of_it_stops_the_rotor() -> None:
    answer = rotor_start(**PLATE)
    more = rotor_start(**{**PLATE, "bearing_torque": 0.002})
    from rotorwright.studies.bench_rotor import rotor_alone

    known = ("polar_inertia", "samples")
    rotor = {name: value for name, value in PLATE.items() if name not in known}
    speeds = [
        rotor_alone(**{**rotor, "bearing_torque": q}, free=True, samples=16).rotor_speed.nominal for q in (0.001, 0.002)
    ]
    assert answer.spin_lost.nominal == pytest.approx(speeds[0] - speeds[1])
    assert more.spin_lost.nominal > answer.spin_lost.nominal
    stopped = rotor_alone(**{**rotor, "bearing_torque": 1.1 * answer.friction_limit.high}, free=True, samples=16)
    assert stopped.rotor_speed.value == 0.0


def test_losing_spin() -> None:
    dropped = rotor_start(**BUCKET, slow_to=6.0, lift_share=0.5)
    assert 0.5 < dropped.lift_left_at_once.nominal < 0.7
    assert 0.0 < dropped.lift_time.nominal < 3.0
    kept = rotor_start(**BUCKET, slow_to=9.0, lift_share=0.5)
    assert kept.lift_time.value is None
    assert "stays" in kept.lift_time.reason
    drum = rotor_start(**DRUM)
    assert drum.lift_left_at_once.nominal == pytest.approx(1.0)
    heavy = rotor_start(**{**DRUM, "polar_inertia": 4e-4})
    assert heavy.lift_time.nominal == pytest.approx(2.0 * drum.lift_time.nominal, rel=0.01)
    curve = drum.curves["losing"]
    assert curve["value"][0] == pytest.approx(1.0)
    assert len({len(numbers) for numbers in curve.values()}) == 1


def test_a_drive_that_is_too_weak_says_so() -> None:
    assert rotor_start(**DRUM, drive_torque=0.1).drive_spin_up_time.value > 0.0
    weak = rotor_start(**DRUM, drive_torque=1e-3).drive_spin_up_time
    assert weak.value is None
    assert "weak" in weak.reason


def test_without_inertia_there_are_no_times_and_it_is_said() -> None:
    answer = rotor_start(**{**BUCKET, "polar_inertia": None})
    assert answer.spin_up_time is None
    assert answer.start_airspeed is not None
    assert any("inertia" in note for note in answer.notes)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"slow_to": 12.0}, "slow_to"),
        ({"hand_speed": -1.0}, "hand_speed"),
        ({"lift_share": 1.5}, "lift_share"),
        ({"drive_torque": 0.1}, "drive_torque"),
        ({"run_acceleration": 0.0}, "run_acceleration"),
        ({"wingspan": 1.0}, "wingspan"),
        ({"diameter": -0.1}, "diameter"),
    ],
)
def test_bad_arguments_are_named(change: dict[str, Any], field: str) -> None:
    with pytest.raises(rotorwright.InputProblems) as caught:
        rotor_start(**{**BUCKET, **change})
    assert caught.value.problems[0].field == field
