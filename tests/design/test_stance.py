"""How an aeroplane stands on its wheels."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from rotorwright import load
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.stance import Stance, stance

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "drum-major.toml"


def stands(aeroplane: Aeroplane, aft: float = 0.33) -> Stance:
    found = stance(aeroplane, aft, 0.0)
    assert found is not None
    return found


def test_a_tail_wheel_gear() -> None:
    found = stands(load(EXAMPLE))
    assert found.tail_wheel
    assert found.wheels_ahead == pytest.approx(0.06)
    assert found.wheel_angle == pytest.approx(math.atan2(0.06, 0.26))
    # main wheels at 270 mm touch 260 mm down, the tail wheel at 1190 mm touches 70 mm down
    assert found.nose_up == pytest.approx(math.atan2(0.19, 0.92), abs=1e-6)
    assert found.nose_up_limit <= found.nose_up + 1e-9
    assert found.nose_down_limit < 0.0
    assert found.trouble() == ""


def test_wheels_under_or_far_from_the_balance_point_are_told() -> None:
    aeroplane = load(EXAMPLE)
    assert "tips onto its nose" in stands(aeroplane, 0.28).trouble()
    assert "ground loop" in stands(aeroplane, 0.50).trouble()


def test_a_nose_wheel_gear() -> None:
    moved = load(EXAMPLE).changed({"wheel.tail.position": ["20 mm", "0 mm", "-240 mm"]})
    found = stands(moved, 0.22)
    assert not found.tail_wheel
    assert found.trouble() == ""
    assert "sits down on its tail" in stands(moved, 0.27).trouble()
    assert found.nose_up_limit > 0.05
