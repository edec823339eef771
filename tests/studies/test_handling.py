"""Handling moves the right way, keeps its closed forms, and is told with units, bands and words."""

from __future__ import annotations

import json
import math
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from rotorwright.base.citations import citations
from rotorwright.design.aircraft_file import load
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.handling import handling_sheet
from rotorwright.sheets.terminal import sheet_text
from rotorwright.studies.handling import Handling, handling
from rotorwright.studies.handling_criteria import (
    dutch_roll_level,
    phugoid_level,
    roll_level,
    short_period_level,
    spiral_level,
    time_scale,
)

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
DRUM = "drum-major"


@lru_cache
def told(name: str, *changes: tuple[str, str]) -> Handling:
    return handling(load(EXAMPLES / f"{name}.toml", dict(changes)), samples=16)


def nominal(name: str, quantity: str, *changes: tuple[str, str]) -> float:
    found = told(name, *changes).quantities[quantity].nominal
    assert found is not None
    return found


def test_every_number_is_explained_and_has_its_sources() -> None:
    for name in (DRUM, "marsh-tumbler"):
        for key, quantity in told(name).quantities.items():
            entry = explanations()[key]
            assert entry.unit == quantity.unit, key
            assert "handling" in entry.commands, key
            assert set(quantity.sources) <= citations().keys(), key


def test_heavier_discs_make_more_of_a_gyroscope() -> None:
    heavy = ("rotor.left.discs.thickness", "6 mm")
    assert nominal(DRUM, "spin_momentum", heavy) > 1.1 * nominal(DRUM, "spin_momentum")
    assert nominal(DRUM, "spiral_growth", heavy) > nominal(DRUM, "spiral_growth")


def test_a_smaller_fin_tightens_less_and_wags_more_slowly() -> None:
    small = ("surface.fin.span", "180 mm")
    assert nominal(DRUM, "spiral_growth", small) < nominal(DRUM, "spiral_growth")
    assert nominal(DRUM, "dutch_roll_frequency", small) < nominal(DRUM, "dutch_roll_frequency")


def test_a_smaller_tailplane_brings_the_neutral_point_forward() -> None:
    small = ("surface.tailplane.span", "420 mm")
    assert nominal(DRUM, "neutral_point", small) < nominal(DRUM, "neutral_point")
    assert nominal(DRUM, "pitch_control", small) < nominal(DRUM, "pitch_control")


def test_the_balance_point_lies_inside_its_range() -> None:
    for name in (DRUM, "marsh-tumbler", "great-roller"):
        first, now, last = (
            told(name).quantities[key].value for key in ("balance_point_first", "balance_point", "balance_point_last")
        )
        assert first is not None
        assert now is not None
        assert last is not None
        assert first < now < last < told(name).quantities["neutral_point"].value  # type: ignore[operator]


def test_a_free_rotor_loses_more_lift_in_a_lull_once_its_spin_has_followed() -> None:
    free, driven = told("marsh-tumbler").quantities, told(DRUM).quantities
    assert free["lull_lift_lost"].value > 1.2 * free["lull_lift_lost_at_once"].value  # type: ignore[operator]
    assert driven["lull_lift_lost"].value == pytest.approx(driven["lull_lift_lost_at_once"].value, rel=0.05)
    assert "spin_time_constant" not in driven


def test_turns_follow_the_closed_form_and_cost_height() -> None:
    """Radius V²/(g tan φ), time of a quarter π/2 V/(g tan φ)."""
    level = [turn for turn in told(DRUM).turns if turn.throttle == "level"]
    for turn in level:
        speed, radius, time = (each.nominal for each in (turn.airspeed, turn.radius, turn.time))
        assert speed is not None
        assert radius == pytest.approx(speed**2 / (9.80665 * math.tan(turn.bank)), rel=1e-3)
        assert time == pytest.approx(0.5 * math.pi * speed / (9.80665 * math.tan(turn.bank)), rel=1e-3)
    lost = [turn.height_lost.nominal or 0.0 for turn in level]
    assert 0.0 < lost[0] < lost[1] < lost[2]


def test_throws_are_those_of_the_file() -> None:
    """Drum Major: elevator chord 0.35 × 180 mm at 25°: 26.6 mm."""
    elevator = next(each for each in told(DRUM).throws if each.channel == "elevator")
    assert elevator.throw == pytest.approx(0.35 * 0.180 * math.sin(math.radians(25.0)))
    assert elevator.low_rate_throw < elevator.throw
    assert elevator.servo_torque.value == pytest.approx(3.0 * (elevator.hinge_moment.value or 0.0))


def test_limits_are_the_printed_ones() -> None:
    """MIL-F-8785C, class I, category B as printed in a secondary source; scaling by Froude: 1.2 m is 0.3303."""
    assert time_scale(1.2) == pytest.approx(0.3303, abs=1e-4)
    assert dutch_roll_level(0.09, 2.0, 1.0) == 1
    assert dutch_roll_level(0.07, 5.0, 1.0) == 2
    assert dutch_roll_level(0.2, 0.5, 1.0) == 2
    assert [roll_level(time, 1.0) for time in (1.3, 2.9, 9.0, 11.0)] == [1, 2, 3, 4]
    assert roll_level(0.4, time_scale(1.2)) == 1
    assert [spiral_level(math.log(2.0) / time) for time in (25.0, 10.0, 5.0, 1.0)] == [1, 2, 3, 4]
    assert spiral_level(-0.1) == 1
    assert [short_period_level(damping) for damping in (0.5, 0.25, 0.16, 0.1)] == [1, 2, 3, 4]
    assert [phugoid_level(0.05, 0.0), phugoid_level(0.01, 0.0)] == [1, 2]
    assert [phugoid_level(-0.1, 0.01), phugoid_level(-0.1, 0.1)] == [3, 4]


def test_the_story_tells_the_gyroscope_in_words() -> None:
    assert any("rolls it right" in text for text in told(DRUM).story)
    assert not any("rolls it right" in text for text in told("lead-duck").story[:1])
    assert "cannot hold its height" in told("lead-duck").story[0]


def test_the_sheet_and_the_document_hold_together() -> None:
    answer = told("marsh-tumbler")
    text = sheet_text(handling_sheet(answer, more=True), 100)
    for word in ("Left alone in level flight", "The gyroscope", "Balance point", "spiral", "safety"):
        assert word in text
    short = sheet_text(handling_sheet(answer), 80)
    assert len(short.splitlines()) <= 62
    assert "damping ratio" not in short
    data: Any = json.loads(json.dumps(answer.as_dict()))
    assert {motion["name"] for motion in data["motions"]} >= {"phugoid", "spiral"}
    assert data["conditions"]["samples"] == 16
