"""Every outcome is reached by the figures that mean it, and a mended cause changes the outcome."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rotorwright.studies.flight_outcomes import CODE, FIGURES, OUTCOMES, Bounds, judge_flights

BOUNDS = Bounds(span=1.5, strip=60.0, out_of_reach=300.0, hand_launched=False)
NONE = math.nan
GOOD = {
    "time": 90.0, "ground_strike": 0.0, "nose_over": 0.0, "at_rest": 1.0, "spin_share": 1.05, "spin_share_aloft": 0.9,
    "lift_off_time": 4.0, "lift_off_distance": 16.0, "lift_off_speed": 8.0, "greatest_height": 20.0, "quarters": 4.0,
    "slowest_airspeed": 7.0, "steepest_bank": 0.4, "touch_sink": 0.8, "touch_bank": 0.05, "touch_pitch": 0.05,
    "farthest": 150.0, "heat_share": 0.5, "charge_left": 0.6,
}  # fmt: skip
AIRBORNE = {"touch_sink": NONE, "touch_bank": NONE, "touch_pitch": NONE, "at_rest": 0.0}
GROUND = {
    **AIRBORNE, "lift_off_time": NONE, "lift_off_distance": NONE, "lift_off_speed": NONE, "greatest_height": 0.0,
    "quarters": 0.0, "spin_share_aloft": NONE, "slowest_airspeed": NONE, "steepest_bank": NONE, "farthest": 20.0,
}  # fmt: skip
CASES = {
    "landed": {},
    "still_flying": AIRBORNE,
    "landed_early": {"quarters": 1.0},
    "hard_landing": {"touch_sink": 3.0},
    "not_done": {**AIRBORNE, "quarters": 2.0},
    "never_spun_up": {**GROUND, "spin_share": 0.3},
    "never_lifted": GROUND,
    "strip_too_short": {**GROUND, "farthest": 80.0},
    "nose_over": {**GROUND, "nose_over": 1.0, "ground_strike": 1.0},
    "struck_ground": {**GROUND, "ground_strike": 1.0, "spin_share": 0.3},
    "never_clear": {"greatest_height": 0.8, "quarters": 0.0},
    "lost_spin": {"spin_share_aloft": 0.2, "touch_sink": 4.0, "quarters": 2.0},
    "overheated": {"heat_share": 1.2},
    "empty_pack": {"charge_left": 0.0},
    "carried_off": {"farthest": 400.0},
    "spiral": {"touch_bank": 1.3, "quarters": 1.0, "touch_sink": 6.0},
    "sank": {"touch_sink": 4.0, "quarters": 1.0},
}


def judged(*cases: dict[str, float], bounds: Bounds = BOUNDS) -> list[str]:
    whole = [{**GOOD, **case} for case in cases]
    figures = {name: np.array([case[name] for case in whole]) for name in FIGURES}
    return [OUTCOMES[code].name for code in judge_flights(figures, bounds)]


@pytest.mark.parametrize("name", list(CASES))
def test_each_outcome_is_reached_by_what_it_means(name: str) -> None:
    assert judged(CASES[name]) == [name]


def test_every_outcome_has_its_case() -> None:
    assert set(CASES) == set(CODE)


def test_figures_of_the_test_are_those_of_the_study() -> None:
    assert set(GOOD) == set(FIGURES)


def test_flights_are_judged_one_by_one() -> None:
    assert judged(*CASES.values()) == list(CASES)


def test_a_hand_launch_needs_no_strip() -> None:
    hand = Bounds(1.5, 60.0, 300.0, hand_launched=True)
    late = {"lift_off_distance": 70.0}
    assert judged(late) == ["strip_too_short"]
    assert judged(late, bounds=hand) == ["landed"]


def test_a_good_outcome_took_off_and_a_circuit_did_too() -> None:
    for outcome in OUTCOMES:
        assert outcome.took_off or not outcome.circuit
        assert outcome.took_off or not outcome.good
