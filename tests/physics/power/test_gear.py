"""Spur gears: sizes, contact ratio, tooth bending."""

from __future__ import annotations

import math

import pytest

from rotorwright.physics.power.gear import (
    MODULES,
    form_factor,
    gear_geometry,
    gear_side_load,
    tooth_stress,
)


def test_a_textbook_pair() -> None:
    """Module 3 mm, 12 and 24 teeth: centres 54 mm, base circles 33.829 and 67.658 mm, tips 42 and 78 mm (from memory:
    the standard worked example of gear makers' references)."""
    pair = gear_geometry(module=0.003, pinion_teeth=12, wheel_teeth=24)
    assert pair["centre"] == pytest.approx(0.054)
    assert pair["pinion_base"] == pytest.approx(0.033829, abs=1e-6)
    assert pair["wheel_base"] == pytest.approx(0.067658, abs=1e-6)
    assert pair["pinion_outside"] == pytest.approx(0.042)
    assert pair["wheel_outside"] == pytest.approx(0.078)


def test_contact_ratio_grows_towards_the_rack() -> None:
    """Between two racks of 20° it is 2/(π sin α cos α) = 1.981 (closed form)."""
    ratios = [gear_geometry(module=1e-3, pinion_teeth=z, wheel_teeth=z)["contact_ratio"] for z in (17, 40, 200, 100000)]
    assert ratios == sorted(ratios)
    angle = math.radians(20.0)
    assert ratios[-1] == pytest.approx(2.0 / (math.pi * math.sin(angle) * math.cos(angle)), rel=1e-3)


def test_contact_ratio_does_not_know_the_module() -> None:
    found = {round(gear_geometry(module=m, pinion_teeth=15, wheel_teeth=60)["contact_ratio"], 12) for m in MODULES}
    assert len(found) == 1


def test_teeth_bend_less_when_there_are_more_of_them() -> None:
    assert [form_factor(z) for z in (8, 12, 20, 50, 300, 999)] == [0.245, 0.245, 0.322, 0.409, 0.472, 0.472]
    assert tooth_stress(1e-3, 0.008, 12, 30.0, 0.0) > tooth_stress(1e-3, 0.008, 40, 30.0, 0.0)
    assert tooth_stress(1e-3, 0.008, 20, 10.0, 6.1) == pytest.approx(2.0 * tooth_stress(1e-3, 0.008, 20, 10.0, 0.0))


def test_side_load() -> None:
    assert gear_side_load(10.0) == pytest.approx(10.0 / math.cos(math.radians(20.0)))
