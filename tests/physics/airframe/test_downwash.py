"""Downwash: closed-form limits, smoothness, sense."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.airframe.downwash import LARGEST_ANGLE, downwash_angle, downwash_growth, far_downwash
from smooth import has_no_kink

FACTORS = nominal_factors(1)[0]
SPAN = 0.9


def angle(lift: float, pressure: float = 61.25, aft: float = 0.7, height: float = 0.0) -> float:
    return downwash_angle(lift, pressure, SPAN, aft, height, FACTORS)


def test_growth_limits() -> None:
    assert downwash_growth(0.0, 0.0, SPAN) == pytest.approx(0.5)
    assert downwash_growth(1e4, 0.0, SPAN) == pytest.approx(1.0)
    assert downwash_growth(-1e4, 0.0, SPAN) == pytest.approx(0.0, abs=1e-8)
    assert downwash_growth(-0.5, 0.0, SPAN) < 0.0  # upwash ahead


def test_growth_is_that_of_the_horseshoe_vortex() -> None:
    # textbook horseshoe on the centre line, without a core: (1 + sqrt(x² + s²)/x)/2 of the far field
    half_gap = math.pi * SPAN / 8.0
    for aft in (1.0, 2.0, 4.0):
        textbook = 0.5 * (1.0 + math.hypot(aft, half_gap) / aft)
        assert downwash_growth(aft, 0.0, SPAN) == pytest.approx(textbook, rel=0.01)


def test_small_lift_is_the_far_field_law_times_growth() -> None:
    expected = far_downwash(0.01, 61.25, SPAN) * downwash_growth(0.7, 0.0, SPAN)
    assert angle(0.01) == pytest.approx(expected, rel=1e-4)


def test_far_field_is_twice_the_lift_coefficient_over_pi_aspect_ratio() -> None:
    lift_coefficient, aspect_ratio = 3.0, 10.0
    area = SPAN**2 / aspect_ratio
    assert far_downwash(lift_coefficient * 61.25 * area, 61.25, SPAN) == pytest.approx(
        2.0 * lift_coefficient / (math.pi * aspect_ratio)
    )


@given(st.floats(-200.0, 200.0), st.floats(0.0, 500.0), st.floats(-2.0, 5.0), st.floats(-1.0, 1.0))
def test_never_beyond_the_largest_angle(lift: float, pressure: float, aft: float, height: float) -> None:
    assert abs(angle(lift, pressure, aft, height)) <= LARGEST_ANGLE * (1.0 + 1e-12)


@given(st.floats(0.1, 50.0), st.floats(-0.5, 0.5))
def test_upside_down_is_the_mirror_image(lift: float, height: float) -> None:
    assert angle(-lift, height=-height) == pytest.approx(-angle(lift, height=height), rel=1e-9)


def test_off_the_wake_plane_it_is_less() -> None:
    assert angle(5.0, height=0.4) < angle(5.0, height=0.2) < angle(5.0)


def test_the_factor_scales_it() -> None:
    more = nominal_factors(1)
    more["downwash"] = 1.2
    assert downwash_angle(1.0, 61.25, SPAN, 0.7, 0.0, more[0]) == pytest.approx(1.2 * angle(1.0), rel=1e-3)


def test_finite_and_smooth_in_still_air_and_without_lift() -> None:
    assert angle(0.0, 0.0) == 0.0
    assert angle(10.0, 0.0) == pytest.approx(LARGEST_ANGLE, rel=0.01)
    assert downwash_angle(1.0, 10.0, 0.0, 0.5, 0.0, FACTORS) == 0.0
    assert has_no_kink(lambda lift: angle(lift), -40.0, 40.0)
    assert has_no_kink(lambda pressure: angle(5.0, pressure), 0.0, 40.0)
    assert has_no_kink(lambda aft: angle(5.0, aft=aft, height=0.1), -2.0, 3.0)
    assert has_no_kink(lambda height: angle(5.0, height=height), -1.0, 1.0)
