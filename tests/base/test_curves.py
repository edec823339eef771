"""Curves through tables, against SciPy's monotone cubic; smooth helpers at their limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from rotorwright.base.curves import curve, monotone_slopes, points_on, read_curve, smooth_max, smooth_step
from smooth import has_no_kink

TABLES = st.lists(st.tuples(st.floats(0.05, 2.0), st.integers(-500, 500)), min_size=3, max_size=9)


@given(TABLES)
def test_same_as_the_reference_inside_the_table(rows: list[tuple[float, int]]) -> None:
    steps, y = np.array(rows).T
    x, y = np.cumsum(steps), y / 100.0
    reference = PchipInterpolator(x, y)
    table = curve(x, y)
    places = np.linspace(x[0], x[-1], 31)
    assert [read_curve(table, float(place)) for place in places] == pytest.approx(reference(places), abs=1e-9)


def test_beyond_the_ends_it_goes_straight_on() -> None:
    table = curve([0.0, 1.0, 3.0], [1.0, 2.0, 2.5])
    slopes = monotone_slopes(table[0], table[1])
    assert read_curve(table, -2.0) == pytest.approx(1.0 - 2.0 * slopes[0])
    assert read_curve(table, 5.0) == pytest.approx(2.5 + 2.0 * slopes[-1])
    assert has_no_kink(lambda x: read_curve(table, x), -2.0, 5.0)


def test_two_nodes_are_a_line_and_monotone_data_stay_monotone() -> None:
    assert read_curve(curve([0.0, 2.0], [1.0, 5.0]), 0.5) == pytest.approx(2.0)
    table = curve([0.0, 1.0, 1.1, 4.0], [0.0, 0.0, 3.0, 3.1])
    values = [read_curve(table, float(x)) for x in np.linspace(0.0, 4.0, 400)]
    assert np.all(np.diff(values) >= -1e-12)


def test_smooth_step_and_maximum() -> None:
    assert [smooth_step(x, 1.0, 3.0) for x in (0.0, 1.0, 2.0, 3.0, 9.0)] == [0.0, 0.0, 0.5, 1.0, 1.0]
    assert has_no_kink(lambda x: smooth_step(x, 1.0, 3.0), 0.0, 4.0)
    assert smooth_max(5.0, 1.0, 0.1) == pytest.approx(5.0, abs=1e-3)
    assert smooth_max(2.0, 2.0, 0.1) == pytest.approx(2.05)
    assert has_no_kink(lambda x: smooth_max(x, 0.0, 0.2), -2.0, 2.0)


def test_points_on_a_curve_are_those_of_scipy() -> None:
    x = np.array([0.0, 0.4, 1.0, 1.7, 3.0])
    y = np.array([0.0, 0.9, 0.7, 1.4, 1.5])
    places = np.linspace(0.0, 3.0, 61)
    assert points_on(curve(x, y), places) == pytest.approx(PchipInterpolator(x, y)(places), abs=1e-12)
