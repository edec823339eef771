"""Wash of a disc: momentum limits, continuity, cover, smoothness."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.airframe.wash import STILL_SPEED, disc_induced_speed, disc_wash, wash_cover
from smooth import has_no_kink

RADIUS, DENSITY = 0.12, 1.225
AREA = math.pi * RADIUS**2


@given(st.floats(0.1, 50.0), st.floats(1.0, 30.0))
def test_momentum_balances_the_thrust(thrust: float, airspeed: float) -> None:
    speed = disc_induced_speed(thrust, AREA, airspeed, DENSITY)
    stream = math.hypot(airspeed, STILL_SPEED)
    assert DENSITY * AREA * (stream + speed) * 2.0 * speed == pytest.approx(thrust, rel=1e-9)


def test_standing_still_it_is_the_hover_value() -> None:
    assert disc_induced_speed(8.0, AREA, 0.0, DENSITY) == pytest.approx(
        math.sqrt(8.0 / (2.0 * DENSITY * AREA)), rel=0.01
    )


def test_growth_and_contraction() -> None:
    here, radius = disc_wash(8.0, RADIUS, 0.0, DENSITY, 0.0)
    far, narrow = disc_wash(8.0, RADIUS, 0.0, DENSITY, 5.0)
    ahead, wide = disc_wash(8.0, RADIUS, 0.0, DENSITY, -5.0)
    assert radius == pytest.approx(RADIUS, rel=1e-3)
    assert far == pytest.approx(2.0 * here, rel=1e-3)
    assert narrow == pytest.approx(RADIUS / math.sqrt(2.0), rel=0.01)
    assert ahead == pytest.approx(0.0, abs=0.01)
    assert RADIUS < wide <= 2.0 * RADIUS


@given(st.floats(0.1, 20.0), st.floats(3.0, 20.0), st.floats(0.0, 1.0))
def test_the_same_air_passes_everywhere(thrust: float, airspeed: float, aft: float) -> None:
    extra, radius = disc_wash(thrust, RADIUS, airspeed, DENSITY, aft)
    speed = disc_induced_speed(thrust, AREA, airspeed, DENSITY)
    assert radius**2 * (airspeed + extra) == pytest.approx(RADIUS**2 * (airspeed + speed), rel=5e-3)


def test_a_braking_disc_slows_the_air_and_nothing_breaks() -> None:
    extra, radius = disc_wash(-1.0, RADIUS, 10.0, DENSITY, 0.3)
    assert extra < 0.0
    assert radius > RADIUS
    for thrust, airspeed in ((-80.0, 0.5), (0.0, 0.0), (-1.0, -5.0), (80.0, -5.0)):
        assert all(math.isfinite(number) for number in disc_wash(thrust, RADIUS, airspeed, DENSITY, 0.3))
    assert disc_wash(1.0, 0.0, 5.0, DENSITY, 0.0) == (0.0, 0.0)


@pytest.mark.parametrize("part", [0, 1])
def test_wash_has_no_kink(part: int) -> None:
    assert has_no_kink(lambda thrust: disc_wash(thrust, RADIUS, 0.0, DENSITY, 0.2)[part], -0.02, 0.02)
    assert has_no_kink(lambda thrust: disc_wash(thrust, RADIUS, 8.0, DENSITY, 0.2)[part], -10.0, 10.0)
    assert has_no_kink(lambda airspeed: disc_wash(5.0, RADIUS, airspeed, DENSITY, 0.2)[part], -1.0, 5.0)
    assert has_no_kink(lambda aft: disc_wash(5.0, RADIUS, 5.0, DENSITY, aft)[part], -1.0, 1.0)


@given(
    st.floats(0.05, 0.5), st.floats(-0.6, 0.6), st.floats(-0.4, 0.4), st.floats(0.05, 1.0), st.floats(0.05, 0.4)
)  # fmt: skip
def test_cover_is_the_shared_area(radius: float, y: float, z: float, span: float, height: float) -> None:
    # by counting: strips of the rectangle across the span, each clipped by the circle
    along = y - 0.5 * span + span * (np.arange(4000) + 0.5) / 4000
    half = np.sqrt(np.maximum(radius**2 - along**2, 0.0))
    clipped = np.minimum(half, z + 0.5 * height) - np.maximum(-half, z - 0.5 * height)
    counted = np.maximum(clipped, 0.0).mean() / height
    assert wash_cover(radius, y, z, span, height) == pytest.approx(counted, abs=2e-3)


def test_cover_limits_and_smoothness() -> None:
    assert wash_cover(1.0, 0.1, 0.0, 0.6, 0.12) == pytest.approx(1.0)
    assert wash_cover(0.1, 0.6, 0.0, 0.6, 0.12) == 0.0
    assert wash_cover(0.0, 0.0, 0.0, 0.6, 0.12) == 0.0
    assert wash_cover(0.1, 0.0, 0.0, 0.0, 0.12) == 0.0
    assert has_no_kink(lambda y: wash_cover(0.1, y, 0.03, 0.6, 0.12), -0.6, 0.6, 800)
    assert has_no_kink(lambda z: wash_cover(0.1, 0.1, z, 0.6, 0.12), -0.3, 0.3, 800)
    assert has_no_kink(lambda radius: wash_cover(radius, 0.1, 0.03, 0.6, 0.12), 0.01, 0.6, 800)
