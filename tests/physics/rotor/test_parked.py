"""The parked rotor: the measured table, its superposition, the plate that hangs broadside."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from rotorwright.base.records import BUCKET, DRUM, PLATE, ROTOR, S_SECTION, VANED
from rotorwright.physics.rotor.parked import (
    ANGLES,
    PLATE_HILL,
    hill_work,
    kick_spin_ratio,
    parked_pattern,
    parked_plate_torque,
    parked_torque,
    starting_airspeed,
)


def rotor(**fields: float) -> Any:
    row = np.zeros(1, dtype=ROTOR)[0]
    standard = {"kind": VANED, "section": BUCKET, "span": 0.6, "diameter": 0.12, "buckets": 2, "stages": 1}
    for name, value in (standard | fields).items():
        row[name] = value
    return row


@pytest.mark.parametrize("section", [{}, {"buckets": 3}, {"section": S_SECTION}])
@pytest.mark.parametrize("reynolds", [3e4, 4e5, 5.5e5, 2e6])
@pytest.mark.parametrize("contrast", [0.75, 1.0, 1.5])
def test_pattern_is_positive_periodic_and_means_one(
    section: dict[str, float], reynolds: float, contrast: float
) -> None:
    row = rotor(**section)
    pattern = parked_pattern(row, ANGLES, reynolds, contrast)
    turn = 2.0 * math.pi / 3.0 if section.get("buckets") == 3 else math.pi
    assert pattern.mean() == pytest.approx(1.0, abs=0.002)
    assert pattern.min() > 0.0  # no angle was measured at which it turns backwards
    assert parked_pattern(row, ANGLES + turn, reynolds, contrast) == pytest.approx(pattern, abs=1e-9)


def test_contrast_deepens_the_dead_zone() -> None:
    flat, plain, deep = (parked_pattern(rotor(), ANGLES, 8e4, c).min() for c in (0.75, 1.0, 1.5))
    assert deep < plain < flat


@pytest.mark.parametrize(
    ("degrees", "expected"),
    [(2, 0.11), (5, 0.24), (10, 0.31), (20, 0.20), (30, 0.25), (45, 0.27), (60, 0.22), (75, 0.12), (90, 0.0)],
)
def test_plate_law(degrees: float, expected: float) -> None:
    """Angle from edge-on, evaluated once by hand from the printed law."""
    angle = np.array([math.radians(degrees) - 0.5 * math.pi])
    assert parked_plate_torque(angle)[0] == pytest.approx(expected, abs=0.006)


def test_a_plate_turns_to_broadside_from_both_sides() -> None:
    torque = parked_plate_torque(ANGLES)
    assert abs(torque.mean()) < 1e-3
    assert parked_plate_torque(np.array([-0.3]))[0] > 0.0 > parked_plate_torque(np.array([0.3]))[0]
    hill = float(np.trapezoid(parked_plate_torque(np.linspace(-0.5 * math.pi, 0.0, 2001)), dx=0.25 * math.pi / 1000))
    assert pytest.approx(hill, rel=5e-3) == PLATE_HILL


@pytest.mark.parametrize(("inertia_ratio", "expected"), [(0.25, 0.40), (0.5, 0.28), (1, 0.20), (2, 0.14), (4, 0.10)])
def test_kick_by_energy(inertia_ratio: float, expected: float) -> None:
    """½ I ω² = K q S R: with K 0.31 the spin ratios of a hand calculation."""
    assert kick_spin_ratio(inertia_ratio) == pytest.approx(expected, abs=0.006)


def whole(row: Any, mean: float) -> Any:
    return parked_torque(row, ANGLES, np.array([mean]), 60.0, 4e5, np.array([1.0]))


def test_whole_rotor() -> None:
    one = whole(rotor(), 2.0)
    assert one.mean() == pytest.approx(2.0, rel=0.002)
    two = whole(rotor(stages=2, stage_phase=math.pi / 2), 2.0)
    assert two.mean() == pytest.approx(2.0, rel=0.002)
    assert two.min() > 3.0 * one.min()
    assert np.all(whole(rotor(kind=DRUM), 2.0) == 0.0)
    plate = whole(rotor(section=PLATE), 0.0)
    assert plate.max() == pytest.approx(60.0 * 0.6 * 0.12 * 0.06 * 0.31, rel=0.02)


def test_the_hill_of_a_plate_and_of_phased_plates() -> None:
    scale = 60.0 * 0.6 * 0.12 * 0.06
    one = hill_work(whole(rotor(section=PLATE), 0.0))[0]
    assert one == pytest.approx(PLATE_HILL * scale, rel=0.01)
    assert hill_work(whole(rotor(section=PLATE, stages=2, stage_phase=math.pi / 2), 0.0))[0] < 0.5 * one
    assert hill_work(whole(rotor(), 2.0))[0] == 0.0


def test_no_help_no_start() -> None:
    assert math.isnan(starting_airspeed(0.003, -0.1, 1.2, 0.6, 0.12))
