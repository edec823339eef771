"""The ground pushes, never pulls, and starts smoothly."""

from __future__ import annotations

import math

import pytest

from rotorwright.flight.contact import SOFT_START, friction_share, pressing_depth, pressing_force


def test_the_force_starts_without_a_kink() -> None:
    step = 1e-7
    for edge in (0.0, SOFT_START):
        before = (pressing_depth(edge) - pressing_depth(edge - step)) / step
        after = (pressing_depth(edge + step) - pressing_depth(edge)) / step
        assert pressing_depth(edge + step) - pressing_depth(edge - step) < 3.0 * step
        assert after == pytest.approx(before, abs=1e-3)


def test_the_ground_never_pulls_and_pushes_harder_the_faster_it_comes() -> None:
    assert pressing_force(-0.01, 5.0, 1e3, 50.0) == 0.0
    assert pressing_force(0.01, -100.0, 1e3, 50.0) == 0.0
    forces = [pressing_force(0.01, closing, 1e3, 50.0) for closing in (-1.0, 0.0, 1.0)]
    assert forces == sorted(forces)
    assert forces[1] == pytest.approx(1e3 * (0.01 - 0.5 * SOFT_START))


def test_friction_turns_with_the_sense_of_sliding() -> None:
    assert friction_share(0.0) == 0.0
    assert friction_share(-2.0) == -friction_share(2.0)
    assert friction_share(2.0) == pytest.approx(1.0, abs=0.01)
    assert math.isfinite(friction_share(1e6))
