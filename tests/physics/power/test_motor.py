import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.base.constants import RPM
from rotorwright.physics.power.motor import (
    bus_terms,
    controller_heat,
    effective_duty,
    effective_resistance,
    motor_current,
    motor_torque,
    no_load_current_at,
)

KV = 1390.0 * RPM


def test_first_order_motor_by_hand() -> None:
    # Drela 2005, eqs 1–9: at 11.1 V and 20 A speed (v − iR)K = 13 956 rpm, torque (i − I0)/K = 0.12503 N m
    speed = (11.1 - 20.0 * 0.053) * KV
    assert math.isclose(speed / RPM, 13956.0, rel_tol=1e-3)
    assert math.isclose(motor_current(KV, 0.053, 1.0, 11.1, speed), 20.0, rel_tol=1e-9)
    # no-load current quoted at the running speed, where our law returns the label
    torque = motor_torque(KV, 1.8, speed / KV, 20.0, speed)
    assert math.isclose(torque, 0.12503, rel_tol=1e-3)
    assert math.isclose(torque * speed / (11.1 * 20.0), 0.8231, rel_tol=1e-3)


@given(
    duty=st.floats(0.05, 1.0), voltage=st.floats(6.0, 26.0), share=st.floats(0.0, 1.0), resistance=st.floats(0.02, 0.5)
)
def test_ledger_closes(factors: Any, duty: float, voltage: float, share: float, resistance: float) -> None:
    speed = share * duty * voltage * KV
    current = motor_current(KV, resistance, duty, voltage, speed)
    a, b = bus_terms(KV, resistance, duty, speed, factors)
    drawn = voltage * (a * voltage - b)
    shaft = motor_torque(KV, 1.8, 10.0, current, speed) * speed
    winding = current**2 * resistance
    iron = no_load_current_at(KV, 1.8, 10.0, speed) * speed / KV
    controller = controller_heat(current, voltage, 0.0, factors)
    assert math.isclose(drawn, shaft + winding + iron + controller, rel_tol=1e-9, abs_tol=1e-6)


def test_no_load_current_is_odd_smooth_and_meets_the_label() -> None:
    at = no_load_current_at(KV, 1.8, 10.0, 10.0 * KV)
    assert math.isclose(at, 1.8, rel_tol=1e-3)
    assert no_load_current_at(KV, 1.8, 10.0, 0.0) == 0.0
    assert no_load_current_at(KV, 1.8, 10.0, -50.0) == -no_load_current_at(KV, 1.8, 10.0, 50.0)
    assert no_load_current_at(KV, 1.8, 0.0, 10.0 * KV) == at  # unknown voltage: 10 V


def test_throttle_ends_stay_put_whatever_the_unknown(factors: Any) -> None:
    assert effective_duty(0.0, factors) == 0.0
    assert effective_duty(1.0, factors) == 1.0


def test_effective_resistance_holds_winding_and_controller(factors: Any) -> None:
    assert effective_resistance(0.05, 0.008, factors) == pytest.approx(factors["motor_resistance"] * 0.05 + 0.008)
