"""Strips of a whole aeroplane: what is told hangs together, and what the ground and sealed ends do is told right."""

from __future__ import annotations

from pathlib import Path

import pytest

import rotorwright
from rotorwright.base.errors import InputError
from rotorwright.studies.span_wise import QUANTITIES, ROTOR_QUANTITIES, SpanWiseAnswer, span_wise

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture(scope="module")
def drums() -> SpanWiseAnswer:
    return span_wise(rotorwright.load(EXAMPLES / "drum-major.toml"), samples=8)


def nominal(answer: SpanWiseAnswer, name: str) -> float:
    number = answer.quantities[name].nominal
    assert number is not None
    return number


def test_everything_is_told_with_unit_and_band(drums: SpanWiseAnswer) -> None:
    assert {name: quantity.unit for name, quantity in drums.quantities.items()} == QUANTITIES
    for told in drums.rotors.values():
        assert set(told) == set(ROTOR_QUANTITIES)
    assert all(quantity.low is not None and quantity.sources for quantity in drums.quantities.values())
    assert drums.as_dict()["strips"][0]["unit"] == "N/m"


def test_left_and_right_are_alike_and_add_up(drums: SpanWiseAnswer) -> None:
    left, right = drums.rotors.values()
    assert left["lift"].nominal == pytest.approx(right["lift"].nominal, rel=1e-3)
    own = sum(told["induced_drag"].nominal or 0.0 for told in drums.rotors.values())
    assert own == pytest.approx(nominal(drums, "span_induced_drag"), rel=1e-9)


def test_halves_save_each_other_drag_and_turning_is_damped(drums: SpanWiseAnswer) -> None:
    assert nominal(drums, "span_drag_from_others") < 0.0
    assert 0.0 < nominal(drums, "roll_damping") == pytest.approx(nominal(drums, "roll_damping_quick"), rel=0.35)
    assert nominal(drums, "yaw_from_roll") < 0.0 < nominal(drums, "roll_from_yaw")


def test_a_gap_sealed_by_the_body_brings_the_downwash_back_to_the_tail(drums: SpanWiseAnswer) -> None:
    aeroplane = rotorwright.load(EXAMPLES / "drum-major.toml", {"rotor.left.inner_end": "closed"})
    sealed = span_wise(aeroplane, samples=0)
    assert nominal(sealed, "tail_downwash") > 1.5 * nominal(drums, "tail_downwash")


def test_near_the_ground_the_tail_meets_less_downwash_and_the_drums_slower_air(drums: SpanWiseAnswer) -> None:
    low = span_wise(rotorwright.load(EXAMPLES / "drum-major.toml"), height=0.3, samples=0)
    assert nominal(low, "tail_downwash") < 0.5 * nominal(drums, "tail_downwash")
    assert nominal(low, "span_lift_from_others") < -0.05
    assert nominal(low, "tail_pressure_share") < nominal(drums, "tail_pressure_share")


def test_a_wing_has_strips_and_no_rotors() -> None:
    wing = span_wise(rotorwright.load(EXAMPLES / "plain-wing.toml"), samples=0, sideslip=0.1)
    assert wing.rotors == {}
    assert "span_induced_drag" not in wing.quantities
    assert nominal(wing, "tail_downwash") == pytest.approx(nominal(wing, "tail_downwash_quick"), rel=0.35)


@pytest.mark.parametrize("asked", [{"height": 0.0}, {"height": -1.0}, {"sideslip": 1.0}, {"sideslip": float("nan")}])
def test_what_makes_no_sense_is_said(asked: dict[str, float]) -> None:
    aeroplane = rotorwright.load(EXAMPLES / "plain-wing.toml")
    with pytest.raises(InputError, match="must be"):
        span_wise(aeroplane, samples=0, **asked)  # type: ignore[arg-type]
