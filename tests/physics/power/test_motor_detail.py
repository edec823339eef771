"""Second-order terms of a motor: they vanish where they should and bend the right way."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.power.motor import bus_terms, motor_current, switching_share
from rotorwright.physics.power.motor_detail import (
    BENCH_WARMTH,
    measured_no_load_current,
    second_order_current,
    warm_resistance,
    warm_speed_constant,
)


@given(voltage=st.floats(0.5, 30.0), share=st.floats(-0.5, 1.5), resistance=st.floats(0.02, 1.0))
def test_without_its_terms_it_is_the_first_order(voltage: float, share: float, resistance: float) -> None:
    speed = share * voltage * 100.0
    assert second_order_current(100.0, resistance, 0.0, 0.0, voltage, speed) == pytest.approx(
        motor_current(100.0, resistance, 1.0, voltage, speed), rel=1e-9, abs=1e-9
    )


@given(current=st.floats(-80.0, 80.0), rise=st.floats(0.0, 1e-3), resistance=st.floats(0.02, 0.5))
def test_a_rising_resistance_is_solved_exactly(current: float, rise: float, resistance: float) -> None:
    voltage = current * (resistance + rise * current * current)
    assert second_order_current(100.0, resistance, rise, 0.0, voltage, 0.0) == pytest.approx(
        current, rel=1e-7, abs=1e-7
    )


def test_lag_takes_voltage_at_speed() -> None:
    """τ = 5 µs at 1000 rad/s is half a per cent of the back voltage."""
    plain = second_order_current(100.0, 0.1, 0.0, 0.0, 12.0, 1000.0)
    late = second_order_current(100.0, 0.1, 0.0, 5e-6, 12.0, 1000.0)
    assert plain - late == pytest.approx(0.005 * 10.0 / 0.1)


def test_copper_from_20_to_100_degrees() -> None:
    """+31 % (handbook coefficient 0.00393/K, closed form)."""
    rise = warm_resistance(0.1, 373.15) - warm_resistance(0.1, 293.15)
    assert rise / 0.1 == pytest.approx(0.3144)
    assert warm_resistance(0.1, BENCH_WARMTH) == 0.0


def test_warm_magnets_turn_faster() -> None:
    assert warm_speed_constant(100.0, BENCH_WARMTH) == 100.0
    assert warm_speed_constant(100.0, BENCH_WARMTH + 40.0) == pytest.approx(104.4)


def test_measured_no_load_current_is_odd_and_smooth() -> None:
    assert measured_no_load_current(0.5, 1e-3, 0.0, 0.0) == 0.0
    assert measured_no_load_current(0.5, 1e-3, 1e-7, -800.0) == -measured_no_load_current(0.5, 1e-3, 1e-7, 800.0)
    assert measured_no_load_current(0.5, 1e-3, 0.0, 1000.0) == pytest.approx(1.5, rel=1e-3)


def test_a_controller_passes_on_less_at_small_duty(factors) -> None:
    """Switching loss follows winding current × bus voltage, so the share passed on is d/(d + k)."""
    loss = switching_share(factors)
    for duty in (0.25, 0.5, 1.0):
        current = motor_current(100.0, 0.1, duty, 12.0, 0.9 * duty * 1200.0)
        a, b = bus_terms(100.0, 0.1, duty, 0.9 * duty * 1200.0, factors)
        assert duty * current / (a * 12.0 - b) == pytest.approx(duty / (duty + loss))
    assert math.isclose(0.5 / (0.5 + loss), factors["controller_efficiency"])
