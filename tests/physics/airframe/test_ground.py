"""Ground effect: limits, order, smooth continuation."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from rotorwright.physics.airframe.ground import (
    ground_factor_mccormick,
    ground_factor_wieselsberger,
    ground_help,
    induced_drag_kept,
)
from smooth import has_no_kink

LAWS = [ground_factor_mccormick, ground_factor_wieselsberger]


@pytest.mark.parametrize("law", LAWS)
def test_less_induced_drag_the_nearer_the_ground(law) -> None:  # type: ignore[no-untyped-def]
    heights = [0.07, 0.1, 0.2, 0.3, 0.45, 0.55, 0.8, 1.5, 5.0, 50.0]
    factors = [law(height, 1.0) for height in heights]
    assert factors == sorted(factors)
    assert 0.0 < factors[0] < 0.6
    assert 0.99 < factors[-1] < 1.0


@pytest.mark.parametrize("law", LAWS)
def test_only_height_over_span_counts_and_there_is_no_kink(law) -> None:  # type: ignore[no-untyped-def]
    assert law(0.2, 1.0) == pytest.approx(law(0.5, 2.5))
    assert has_no_kink(lambda height: law(height, 1.0), 0.05, 2.0)


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_the_ground_spares_what_the_laws_say_and_nothing_from_three_spans_up(share: float) -> None:
    for height in (0.25, 0.3, 0.5, 1.5):  # lower down the line's own thickness lifts it by up to a fiftieth of the span
        assert ground_help(height, 1.0, share)[0] == pytest.approx(
            1.0 - induced_drag_kept(height, 1.0, share), abs=5e-3
        )
    assert ground_help(3.0, 1.0, share) == (0.0, 0.0, 0.0)
    assert induced_drag_kept(0.2, 1.0, 0.0) == ground_factor_wieselsberger(0.2, 1.0)
    assert induced_drag_kept(0.2, 1.0, 1.0) == ground_factor_mccormick(0.2, 1.0)


@pytest.mark.parametrize("part", [0, 1, 2])
def test_the_ground_lets_go_without_a_kink_and_holds_on_the_ground_too(part: int) -> None:
    assert has_no_kink(lambda height: ground_help(height, 1.0, 0.5)[part], -0.05, 3.5)
    helped = [ground_help(height, 1.0, 0.5)[part] for height in (0.0, 0.1, 0.3, 0.8, 2.0, 2.9, 3.0)]
    assert helped == sorted(helped, reverse=True)
    assert 0.0 < helped[0] < 60.0


def test_the_image_holds_the_air_back_as_its_bound_vortex_does() -> None:
    """Against the law of Biot and Savart integrated along a straight vortex of span π b/4 at depth 2 h."""
    height, span = 0.5, 1.0
    deep, half = 2.0 * height, math.pi * span / 8.0
    pulled = quad(lambda y: deep / (4.0 * math.pi * (y * y + deep * deep) ** 1.5), -half, half)[0]
    assert ground_help(height, span, 0.5)[1] == pytest.approx(pulled, rel=5e-3)
