"""The air: agreement of the laws with each other, their limits and their signs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.air import atmosphere as air

HEIGHTS = st.floats(-500.0, 10000.0)


@given(HEIGHTS)
def test_pressure_balances_the_weight_of_the_air(height: float) -> None:
    step = 1.0
    below, above = air.standard_atmosphere(height - step), air.standard_atmosphere(height + step)
    density = air.standard_atmosphere(height)[2]
    assert (below[1] - above[1]) / (2.0 * step) == pytest.approx(density * air.GRAVITY, rel=1e-5)


@given(HEIGHTS)
def test_density_altitude_inverts_the_standard_atmosphere(height: float) -> None:
    assert air.density_altitude(air.standard_atmosphere(height)[2]) == pytest.approx(height, abs=1e-5)


@given(HEIGHTS)
def test_dry_air_at_standard_temperature_is_the_standard_atmosphere(height: float) -> None:
    temperature, pressure, density, _, viscosity = air.standard_atmosphere(height)
    for stated in (0.0, math.nan, pressure):
        assert air.air_state(height, temperature, 0.0, stated) == pytest.approx((density, viscosity), rel=1e-12)


def test_the_atmosphere_goes_on_through_the_tropopause() -> None:
    below, above = air.standard_atmosphere(10999.999), air.standard_atmosphere(11000.001)
    assert above == pytest.approx(below, rel=1e-6)
    assert air.standard_atmosphere(15000.0)[0] == air.standard_atmosphere(11000.0)[0]
    assert air.standard_atmosphere(15000.0)[1] < air.standard_atmosphere(11000.0)[1]


@given(st.floats(0.0, 4000.0), st.floats(253.0, 313.0), st.floats(0.0, 0.95))
def test_warmer_damper_or_higher_air_is_thinner(elevation: float, temperature: float, humidity: float) -> None:
    density = air.air_state(elevation, temperature, humidity, 0.0)[0]
    assert air.air_state(elevation, temperature + 1.0, humidity, 0.0)[0] < density
    assert air.air_state(elevation, temperature, humidity + 0.05, 0.0)[0] < density
    assert air.air_state(elevation + 50.0, temperature, humidity, 0.0)[0] < density
    assert air.air_state(elevation, temperature, humidity, 101325.0)[0] >= density


def test_damp_air_agrees_with_the_virtual_temperature() -> None:
    # T_v = T/(1 − 0.378 e/p): the textbook form of the same mixture
    temperature, pressure = 303.15, 101325.0
    vapour = 0.5 * air.saturation_pressure(temperature)
    virtual = temperature / (1.0 - 0.378 * vapour / pressure)
    density = air.air_state(0.0, temperature, 0.5, pressure)[0]
    assert density == pytest.approx(pressure / (air.GAS_CONSTANT * virtual), rel=2e-5)


def test_geopotential_height_is_a_little_less() -> None:
    assert air.geopotential_height(0.0) == 0.0
    assert air.geopotential_height(3000.0) == pytest.approx(3000.0 - 3000.0**2 / air.EARTH_RADIUS, rel=1e-6)


def test_impossible_air_stays_finite() -> None:
    for arguments in ((0.0, 0.0, 2.0, 0.0), (0.0, 288.15, -1.0, -5.0), (0.0, 400.0, 1.0, 100.0)):
        assert all(math.isfinite(number) for number in air.air_state(*arguments))
