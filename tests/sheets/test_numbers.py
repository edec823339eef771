"""Digits follow the band, units follow the maker. Unit factors are checked against scipy.constants."""

from __future__ import annotations

import math

import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.base.quantity import Quantity, exact
from rotorwright.sheets.numbers import (
    METRIC,
    ShownUnits,
    convert,
    decimals_for,
    number_text,
    percent_text,
    quantity_text,
    units_like,
    written,
)

INCHES = units_like(["in", "in", "mm", "oz", "lb", "mph"])


def band(value: float, low: float, high: float, unit: str) -> Quantity:
    return Quantity(value, low, high, value, unit)


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (band(11.234, 10.41, 12.34, "m/s"), "11.2 m/s (10.4–12.3)"),
        (band(250.0, 220.0, 281.0, "rad/s"), "2390 rpm (2100–2680)"),
        (band(0.0043, 0.0021, 0.0069, "1"), "0.0043 (0.0021–0.0069)"),
        (band(-0.1, -1.2, 0.4, "N"), "-0.1 N (-1.2 to 0.4)"),
        (band(123456.0, 90000.0, 160000.0, "1"), "120000 (90000–160000)"),
        (band(10.0, 9.999, 10.001, "m/s"), "10.0 m/s (10.0–10.0)"),
        (band(0.35, 0.30, 0.41, "rad"), "20° (17–23)"),
        (exact(1.52, "kg"), "1520 g"),
        (exact(7.25, "kg"), "7.25 kg"),
        (exact(288.15, "K"), "15 °C"),
        (exact(600.0, "s"), "10 min"),
        (exact(2.2 * 3600.0, "A s"), "2200 mAh"),
        (Quantity(None, None, None, None, "m/s", 0.2, reason="too heavy"), "—"),
    ],
)
def test_quantity_text(quantity: Quantity, text: str) -> None:
    assert quantity_text(quantity) == text


def test_shares_read_in_per_cent() -> None:
    assert quantity_text(band(0.31, 0.25, 0.4, "1"), as_percent=True) == "31 % (25–40)"


@pytest.mark.parametrize(
    ("number", "si_unit", "text"),
    [(0.62, "m", "24.4 in"), (1.0, "kg", "35.3 oz"), (10.0, "m/s", "22.4 mph"), (1.0, "N", "3.6 oz of force")],
)
def test_a_maker_in_inches_is_answered_in_inches(number: float, si_unit: str, text: str) -> None:
    assert number_text(number, si_unit, INCHES) == text


def test_units_agree_with_a_reference_library() -> None:
    assert convert(1.0, "m", "in") == pytest.approx(1.0 / scipy.constants.inch, rel=1e-12)
    assert convert(1.0, "kg", "oz") == pytest.approx(1.0 / scipy.constants.oz, rel=1e-12)
    assert convert(1.0, "m/s", "mph") == pytest.approx(1.0 / scipy.constants.mph, rel=1e-12)
    assert convert(1.0, "m/s", "kt") == pytest.approx(1.0 / scipy.constants.knot, rel=1e-12)
    assert convert(300.0, "K", "degF") == pytest.approx(scipy.constants.convert_temperature(300.0, "K", "F"), rel=1e-12)
    assert convert(1.0, "N", "ozf") == pytest.approx(16.0 / scipy.constants.lbf, rel=1e-12)


def test_every_metric_unit_is_a_unit_of_the_reader() -> None:
    for si_unit, unit in METRIC.items():
        if unit not in ("", si_unit):
            assert convert(1.0, si_unit, unit) != 1.0, f"{si_unit} has no unit {unit}"


def test_a_metric_maker_stays_metric() -> None:
    assert units_like(["mm", "g", "mm", "in"]).chosen == {}
    assert units_like([]) == ShownUnits()


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e5))
def test_rounding_stays_inside_the_band(value: float, half_width: float) -> None:
    decimals = decimals_for(value, half_width)
    step = 10.0**-decimals
    if abs(value) < 100.0 * half_width and decimals > -6:
        assert step <= half_width * 1.0000001 or abs(value) >= 100.0 * step
    assert math.isfinite(float(written(value, decimals)))
    assert abs(float(written(value, decimals)) - value) <= 0.5000001 * step + 1e-9 * abs(value)


def test_zero_never_has_a_sign() -> None:
    assert written(-0.0004, 2) == "0.00"


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.0, "under 1 %"), (0.004, "under 1 %"), (0.784, "78 %"), (0.996, "over 99 %"), (1.0, "over 99 %")],
)
def test_no_probability_claims_certainty(share: float, text: str) -> None:
    assert percent_text(share) == text
