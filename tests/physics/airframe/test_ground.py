"""Ground effect: limits, order, smooth continuation."""

from __future__ import annotations

import pytest

from rotorwright.physics.airframe.ground import ground_factor_mccormick, ground_factor_wieselsberger
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
