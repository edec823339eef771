"""Leads: gauge, resistance with warmth, what they carry."""

from __future__ import annotations

import pytest

from rotorwright.physics.power.wire import (
    GAUGES,
    chassis_current,
    gauge_of_area,
    lead_resistance,
    wire_area,
    wire_diameter,
    wire_resistance,
)


def test_gauge_36_and_0000_define_the_scale() -> None:
    """ASTM B258: 0.005 in at 36, 0.46 in at 4/0, and 39 equal ratios between."""
    assert wire_diameter(36) == pytest.approx(0.127e-3)
    assert wire_diameter(-3) == pytest.approx(0.46 * 0.0254)


@pytest.mark.parametrize("gauge", GAUGES)
def test_gauge_and_area_undo_each_other(gauge: int) -> None:
    assert gauge_of_area(wire_area(gauge)) == pytest.approx(gauge)


def test_three_gauges_down_is_half_the_area() -> None:
    assert wire_area(15) / wire_area(12) == pytest.approx(0.5, abs=0.002)


def test_copper_warms_and_resists() -> None:
    cold = wire_resistance(1e-6, 1.0)
    assert cold == pytest.approx(0.01724, rel=1e-3)
    assert wire_resistance(1e-6, 1.0, 373.15) / cold == pytest.approx(1.0 + 0.00393 * 80.0)


def test_a_pair_of_leads_counts_twice() -> None:
    assert lead_resistance(14, 0.3, connectors=0) == pytest.approx(2.0 * wire_resistance(wire_area(14), 0.3))
    assert lead_resistance(14, 0.3, connectors=2) - lead_resistance(14, 0.3, connectors=0) == pytest.approx(0.002)


def test_chassis_current_meets_the_table_and_falls_between() -> None:
    assert [chassis_current(gauge) for gauge in (12, 16, 20)] == pytest.approx([41.0, 22.0, 11.0])
    assert 22.0 < chassis_current(15) < chassis_current(14)
    assert chassis_current(4) == 73.0
    assert chassis_current(40) == 2.2
