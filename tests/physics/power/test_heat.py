import math
from typing import Any

import pytest

from rotorwright.physics.power.heat import (
    OPEN_BELL,
    case_to_air,
    heat_time_constant,
    steady_temperature,
    temperature_after,
    thermal_resistance,
    winding_to_case,
)


def test_warming_by_hand() -> None:
    # closed form: 22.5 J/K, 4 K/W, 40 W: time constant 90 s, 75 K after 56.9 s
    assert temperature_after(0.0, 160.0, 90.0, 56.9) == pytest.approx(75.0, rel=5e-3)
    assert heat_time_constant(0.05, 4.0, 0.0) == pytest.approx(90.0, rel=1e-3)


def test_settled_winding_balances_its_heat() -> None:
    hot = steady_temperature(20.0, 5.0, 4.0, 300.0)
    grown = 20.0 * (1.0 + 0.00393 * (hot - 298.15)) + 5.0
    assert hot - 300.0 == pytest.approx(4.0 * grown, rel=2e-3)


def test_run_away_is_a_high_finite_temperature() -> None:
    assert 1000.0 < steady_temperature(200.0, 5.0, 4.0, 300.0) < math.inf


@pytest.mark.parametrize(("airspeed", "expected"), [(0.0, 16.0), (5.0, 4.2), (10.0, 2.9), (20.0, 1.9)])
def test_case_of_a_hundred_gram_motor(factors: Any, airspeed: float, expected: float) -> None:
    # a closed cylinder, computed from Churchill and Bernstein 1977 with other air properties; the bell is open
    bell = 1.0 if airspeed == 0.0 else OPEN_BELL
    assert case_to_air(0.1, airspeed, 0.0, factors) * bell == pytest.approx(expected, rel=0.06)
    assert thermal_resistance(0.1, airspeed, 0.0, factors) == pytest.approx(
        case_to_air(0.1, airspeed, 0.0, factors) + winding_to_case(0.1, factors)
    )


def test_turning_and_wind_both_cool(factors: Any) -> None:
    still = thermal_resistance(0.05, 0.0, 0.0, factors)
    assert thermal_resistance(0.05, 0.0, 800.0, factors) < still
    assert thermal_resistance(0.05, 8.0, 800.0, factors) < thermal_resistance(0.05, 0.0, 800.0, factors)
