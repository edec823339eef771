"""The freewheel balance: who turns by himself, how fast, and what friction does to it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from rotorwright.base.records import BUCKET, DRUM, PLATE, ROTOR, VANED
from rotorwright.base.status import NOT_APPLICABLE, OK, OUT_OF_LIMITS
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.rotor.bearings import ball_bearing_torque, bearing_friction
from rotorwright.physics.rotor.freewheel import freewheel_guess, freewheel_speed
from rotorwright.physics.rotor.loads import rotor_torque
from rotorwright.physics.rotor.tables import rotor_tables

DENSITY, VISCOSITY = 1.2, 1.789e-5
TABLES = rotor_tables()
FACTORS = nominal_factors(1)[0]


def rotor(**fields: float) -> Any:
    row = np.zeros(1, dtype=ROTOR)[0]
    standard = {"kind": VANED, "section": BUCKET, "span": 0.6, "diameter": 0.12, "buckets": 2, "overlap": 0.0063}
    standard |= {"disc_diameter": 0.132, "end_discs": 2, "discs_turn": 1, "stages": 1}
    for name, value in (standard | fields).items():
        row[name] = value
    return row


def speed(row: Any, airspeed: float = 10.0) -> tuple[float, int]:
    return freewheel_speed(row, TABLES, airspeed, DENSITY, VISCOSITY, FACTORS)


@pytest.mark.parametrize("fields", [{}, {"section": PLATE}, {"buckets": 3}, {"stages": 3, "middle_discs": 2}])
def test_torques_balance_and_the_branch_is_stable(fields: dict[str, float]) -> None:
    row = rotor(bearing_torque=0.002, bearing_drag=1e-6, **fields)
    omega, status = speed(row)
    assert status == OK
    assert omega > 0.0

    def net(at: float) -> float:
        drive = rotor_torque(row, TABLES, 10.0, at, DENSITY, VISCOSITY, FACTORS)
        return drive - bearing_friction(row, at, FACTORS)

    scale = abs(net(1.2 * omega))
    assert abs(net(omega)) < 1e-6 * scale
    assert net(0.99 * omega) > 0.0 > net(1.01 * omega)


def test_a_smooth_drum_does_not_turn_itself() -> None:
    assert speed(rotor(kind=DRUM)) == (0.0, NOT_APPLICABLE)


def test_too_much_friction_keeps_it_still() -> None:
    assert speed(rotor(bearing_torque=5.0)) == (0.0, OUT_OF_LIMITS)
    assert speed(rotor(), 0.0) == (0.0, OK)


def test_friction_and_discs_slow_it() -> None:
    free = speed(rotor())[0]
    braked = speed(rotor(bearing_torque=0.004))[0]
    discs = speed(rotor(disc_diameter=0.2))[0]
    assert braked < free
    assert discs < free
    shares = [speed(rotor(bearing_torque=0.004), v)[0] / speed(rotor(), v)[0] for v in (5.0, 12.0)]
    assert shares[0] < shares[1]  # the same bearing brakes more in a slow stream


def test_spin_ratio_hardly_changes_with_airspeed_without_friction() -> None:
    ratios = [speed(rotor(span=3.0, diameter=0.6, overlap=0.03, disc_diameter=0.66), v)[0] / v for v in (12.0, 24.0)]
    assert ratios[0] == pytest.approx(ratios[1], rel=0.01)


def test_the_guess_is_near() -> None:
    row = rotor(bearing_torque=0.002)
    guess = freewheel_guess(row, TABLES, 10.0, DENSITY, VISCOSITY, FACTORS)
    assert guess == pytest.approx(speed(row)[0], rel=0.25)


def test_bearing_friction_opposes_and_is_smooth_through_zero() -> None:
    row = rotor(bearing_torque=0.003, bearing_drag=2e-5)
    assert bearing_friction(row, 100.0, FACTORS) == pytest.approx(0.003 + 0.002, rel=1e-3)
    assert bearing_friction(row, -100.0, FACTORS) == -bearing_friction(row, 100.0, FACTORS)
    assert bearing_friction(row, 0.0, FACTORS) == 0.0


def test_load_torque_of_a_ball_bearing() -> None:
    """Closed form of the makers' pages: ½ · 0.0015 · 10 N · 5 mm = 0.0375 N mm."""
    assert ball_bearing_torque(0.0015, 10.0, 0.005) == pytest.approx(3.75e-5, rel=1e-12)
