import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.base.constants import RPM, SEA_LEVEL_DENSITY, SEA_LEVEL_VISCOSITY
from rotorwright.base.records import BROAD_SLOW, ENGINE_TYPE, NARROW
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.power.propeller import propeller_loads, static_coefficients, zero_thrust_advance

FAMILIES = (NARROW, BROAD_SLOW, ENGINE_TYPE)


@pytest.fixture(scope="module")
def loads(make_thruster: Any, tables: Any, factors: Any) -> Any:
    def ask(airspeed: float, rpm: float, density: float = SEA_LEVEL_DENSITY, **row: float) -> tuple[float, float]:
        return propeller_loads(make_thruster(**row), tables, airspeed, rpm * RPM, density, SEA_LEVEL_VISCOSITY, factors)

    return ask


@pytest.mark.parametrize("family", FAMILIES)
@pytest.mark.parametrize("pitch_ratio", [0.2, 0.35, 0.5, 0.62, 0.8, 1.1])
def test_thrust_ends_at_the_zero_thrust_advance_and_efficiency_stays_below_one(
    loads: Any, factors: Any, family: float, pitch_ratio: float
) -> None:
    pitch = 0.254 * pitch_ratio
    zero = zero_thrust_advance(pitch_ratio, family, factors) * 100.0 * 0.254
    assert abs(loads(zero, 6000.0, pitch=pitch, family=family)[0]) < 1e-9
    best = 0.0
    for share in np.linspace(0.02, 0.98, 25):
        thrust, torque = loads(zero * share, 6000.0, pitch=pitch, family=family)
        assert thrust > 0.0
        assert torque > 0.0
        best = max(best, thrust * zero * share / (torque * 6000.0 * RPM))
    assert 0.3 < best < 0.88


@settings(max_examples=80, deadline=None)
@given(
    airspeed=st.floats(-5.0, 40.0),
    rpm=st.floats(-3000.0, 12000.0),
    pitch_ratio=st.floats(0.2, 1.3),
    family=st.sampled_from(FAMILIES),
)
def test_loads_are_finite_and_once_differentiable(
    loads: Any, airspeed: float, rpm: float, pitch_ratio: float, family: float
) -> None:
    row = {"pitch": 0.254 * pitch_ratio, "family": family}
    for along_speed in (True, False):
        h = 1e-4 if along_speed else 0.02
        steps = [k * h for k in (-2, -1, 0, 1, 2)]
        values = [loads(airspeed + s, rpm, **row) if along_speed else loads(airspeed, rpm + s, **row) for s in steps]
        for which in (0, 1):
            numbers = [value[which] for value in values]
            assert all(math.isfinite(number) for number in numbers)
            kink = numbers[4] - 2.0 * numbers[2] + numbers[0]  # a kink of slope d shows as 2 h d
            assert abs(kink) < 2.0 * h * (2e-3 if along_speed else 2e-5)


def test_at_rest_nothing_acts_and_slopes_vanish(loads: Any) -> None:
    assert loads(0.0, 0.0) == (0.0, 0.0)
    assert abs(loads(0.01, 0.0)[0]) < 1e-6
    assert abs(loads(0.0, 0.5)[0]) < 1e-6


def test_windmilling_drives_the_shaft_and_drags(loads: Any) -> None:
    thrust, torque = loads(30.0, 6000.0)
    assert thrust < 0.0
    assert torque < 0.0
    # what the shaft gains the aeroplane pays for
    assert -torque * 6000.0 * RPM < -thrust * 30.0


def test_free_windmilling_drag_on_disc_area_is_of_the_printed_size(loads: Any) -> None:
    # straight-line extrapolation of the UIUC points to zero torque: 0.05–0.09 for narrow blades, ±40 %
    low, high = 500.0, 6000.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        if loads(15.0, middle)[1] < 0.0:
            low = middle
        else:
            high = middle
    drag = -loads(15.0, low)[0] / (0.5 * SEA_LEVEL_DENSITY * 225.0 * math.pi * 0.127**2)
    assert 0.05 * 0.6 < drag < 0.09 * 1.4


def test_stopped_propeller_drags_by_its_blade_area(loads: Any) -> None:
    # closed form: 1.15 · q · blade area, area 0.21 · blades · 0.12 · diameter²
    expected = 0.5 * SEA_LEVEL_DENSITY * 100.0 * 1.15 * 0.21 * 2.0 * 0.12 * 0.254**2
    assert math.isclose(-loads(10.0, 0.0)[0], expected, rel_tol=1e-9)


def test_third_blade_adds_thirty_five_percent_thrust_for_forty_five_percent_power(loads: Any) -> None:
    two, three = loads(0.0, 6000.0), loads(0.0, 6000.0, blades=3.0)
    assert math.isclose(three[0] / two[0], 1.35, rel_tol=2e-3)
    assert math.isclose(three[1] / two[1], 1.45, rel_tol=2e-3)


def test_thin_air_costs_more_than_its_density_because_reynolds_number_falls(loads: Any) -> None:
    ratio = loads(0.0, 6000.0, density=0.9)[0] / loads(0.0, 6000.0)[0]
    assert 0.9 / SEA_LEVEL_DENSITY * 0.93 < ratio < 0.9 / SEA_LEVEL_DENSITY


def test_static_loads_scale_with_speed_squared_and_diameter_to_the_fourth_within_the_reynolds_trend(loads: Any) -> None:
    one = loads(0.0, 4000.0)
    fast = loads(0.0, 8000.0)
    assert math.isclose(fast[0] / one[0], 4.0 * 2.0**0.12, rel_tol=1e-3)
    big = loads(0.0, 4000.0, diameter=0.508, pitch=0.254)
    assert math.isclose(big[0] / one[0], 16.0 * 4.0**0.12, rel_tol=1e-3)
    assert math.isclose(big[1] / one[1], 32.0 * 4.0**-0.04, rel_tol=1e-3)


def test_measured_corrections_scale_the_working_loads(loads: Any) -> None:
    plain, scaled = loads(5.0, 6000.0), loads(5.0, 6000.0, thrust_scale=1.1, power_scale=0.9)
    assert math.isclose(scaled[0], 1.1 * plain[0], rel_tol=1e-12)
    assert math.isclose(scaled[1], 0.9 * plain[1], rel_tol=1e-12)


def test_zero_thrust_advance_spreads_most_for_broad_blades() -> None:
    high = nominal_factors(1)
    high["propeller_zero_thrust_advance"] = 1.05
    spreads = [
        zero_thrust_advance(0.5, family, high[0]) / zero_thrust_advance(0.5, family, nominal_factors(1)[0])
        for family in FAMILIES
    ]
    assert spreads == pytest.approx([1.05, 1.10, 1.075])


@given(pitch_ratio=st.floats(0.05, 1.5), family=st.sampled_from(FAMILIES))
def test_static_lines_stay_positive_and_power_rises_with_pitch(pitch_ratio: float, family: float) -> None:
    thrust, power, advance = static_coefficients(pitch_ratio, family)
    assert thrust > 0.02
    assert power > 0.0
    assert advance > 0.1
    assert static_coefficients(pitch_ratio + 0.01, family)[1] > power
