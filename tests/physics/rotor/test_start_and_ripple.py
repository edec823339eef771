"""Coming up to speed, losing spin, swinging within a turn: against closed forms and an independent integrator."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from rotorwright.base.records import BUCKET, DRUM, PLATE, ROTOR, VANED
from rotorwright.base.status import NOT_APPLICABLE, OK, OUT_OF_LIMITS
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.rotor.freewheel import freewheel_speed
from rotorwright.physics.rotor.ripple import left_of_harmonic, ripple_shares, speed_ripple
from rotorwright.physics.rotor.start import (
    friction_limit,
    linear_time_constant,
    net_torque,
    spin_history,
    spin_up_time,
)
from rotorwright.physics.rotor.tables import rotor_tables

DENSITY, VISCOSITY = 1.2, 1.789e-5
TABLES = rotor_tables()
FACTORS = nominal_factors(1)[0]


def rotor(**fields: float) -> Any:
    row = np.zeros(1, dtype=ROTOR)[0]
    standard = {"kind": VANED, "section": BUCKET, "span": 0.6, "diameter": 0.12, "buckets": 2, "overlap": 0.0063}
    standard |= {"disc_diameter": 0.132, "end_discs": 2, "discs_turn": 1, "stages": 1, "polar_inertia": 3e-4}
    for name, value in (standard | fields).items():
        row[name] = value
    return row


def up(row: Any, airspeed: float = 10.0, start: float = 0.0, share: float = 0.9) -> tuple[float, int]:
    return spin_up_time(row, TABLES, airspeed, start, share, DENSITY, VISCOSITY, FACTORS)


def history(row: Any, rows: int = 101, step: float = 0.02, **given: float) -> Any:
    asked = {"start": 0.0, "from_airspeed": 10.0, "to_airspeed": 10.0, "acceleration": 1.0, "torque": 0.0, "top": 0.0}
    asked |= given
    out = np.empty((rows, 4))
    spin_history(
        row, TABLES, asked["start"], asked["from_airspeed"], asked["to_airspeed"], asked["acceleration"],
        asked["torque"], asked["top"], step, DENSITY, VISCOSITY, FACTORS, out,
    )  # fmt: skip
    return out


def test_near_freewheel_the_spin_settles_with_the_time_constant_of_its_torque_line() -> None:
    """tau = 2 I/(rho V S R² k), closed form, with the slope k of our own torque curve at freewheel."""
    row = rotor(span=6.0, diameter=1.0, overlap=0.05, disc_diameter=1.1, polar_inertia=3.0)
    top, status = freewheel_speed(row, TABLES, 10.0, DENSITY, VISCOSITY, FACTORS)
    assert status == OK
    slope_torque = net_torque(row, TABLES, 10.0, 0.93 * top, DENSITY, VISCOSITY, FACTORS) / (0.07 * top)
    slope = slope_torque / (0.25 * DENSITY * 10.0 * 6.0 * 1.0 * 0.5**2) / 2.0
    tau = linear_time_constant(3.0, DENSITY, 10.0, 6.0, 1.0, slope)
    seconds = up(row, start=0.90 * top, share=0.95)[0]
    assert seconds == pytest.approx(tau * math.log(2.0), rel=0.03)


def test_time_by_quadrature_is_the_time_of_an_independent_integrator() -> None:
    row = rotor(bearing_torque=0.002)
    top = freewheel_speed(row, TABLES, 10.0, DENSITY, VISCOSITY, FACTORS)[0]

    def rate(_: float, speed: Any) -> Any:
        return [net_torque(row, TABLES, 10.0, float(speed[0]), DENSITY, VISCOSITY, FACTORS) / 3e-4]

    def there(_: float, speed: Any) -> float:
        return float(speed[0]) - 0.9 * top

    there.terminal = True  # type: ignore[attr-defined]
    answer = solve_ivp(rate, (0.0, 30.0), [0.0], events=there, rtol=1e-8, atol=1e-8, max_step=0.02)
    seconds, status = up(row)
    assert status == OK
    assert seconds == pytest.approx(answer.t_events[0][0], rel=3e-3)
    rows = history(row)
    at = np.interp(seconds, 0.02 * np.arange(len(rows)), rows[:, 0])
    assert at == pytest.approx(0.9 * top, rel=3e-3)
    assert rows[-1, 3] == pytest.approx(10.0 * 2.0)


def test_a_hand_spin_saves_time_and_twice_the_inertia_takes_twice_as_long() -> None:
    plain, doubled = up(rotor())[0], up(rotor(polar_inertia=6e-4))[0]
    assert doubled == pytest.approx(2.0 * plain)
    assert 0.0 < up(rotor(), start=100.0)[0] < plain
    assert up(rotor(), start=2000.0) == (0.0, OK)


def test_what_does_not_come_up_says_so() -> None:
    assert up(rotor(kind=DRUM))[1] == NOT_APPLICABLE
    assert up(rotor(bearing_torque=5.0))[1] == OUT_OF_LIMITS
    plate = rotor(section=PLATE, overlap=0.0)
    assert up(plate)[1] == OUT_OF_LIMITS  # no torque at rest
    assert up(plate, start=50.0)[1] == OK


def test_a_run_covers_half_a_t_squared_and_ends_slower_than_the_stream_allows() -> None:
    rows = history(rotor(), from_airspeed=0.0, acceleration=2.0, rows=251)
    assert rows[-1, 1] == pytest.approx(10.0)
    assert rows[-1, 3] == pytest.approx(0.5 * 2.0 * 5.0**2, rel=1e-9)
    top = freewheel_speed(rotor(), TABLES, 10.0, DENSITY, VISCOSITY, FACTORS)[0]
    assert 0.3 * top < rows[-1, 0] < top


def test_a_drum_without_drive_loses_spin_and_lift_and_the_energy_goes_into_friction() -> None:
    row = rotor(kind=DRUM, overlap=0.0, disc_diameter=0.24, bearing_torque=0.003)
    rows = history(row, start=500.0, step=0.02, rows=201)
    assert np.all(np.diff(rows[:, 0]) < 0.0)
    assert rows[-1, 2] < rows[0, 2]
    lost = 0.5 * 3e-4 * (rows[0, 0] ** 2 - rows[-1, 0] ** 2)
    taken = [-net_torque(row, TABLES, 10.0, float(w), DENSITY, VISCOSITY, FACTORS) * w for w in rows[:, 0]]
    assert lost == pytest.approx(np.trapezoid(taken, dx=0.02), rel=1e-3)


def test_a_drive_brings_it_to_its_speed_and_no_further() -> None:
    row = rotor(kind=DRUM, overlap=0.0, disc_diameter=0.24)
    rows = history(row, torque=0.3, top=400.0, step=0.02, rows=201)
    assert 0.97 * 400.0 < rows[-1, 0] < 400.0
    early = rows[:6, 0]
    assert early[1] == pytest.approx(0.3 / 3e-4 * 0.02, rel=0.05)  # at first all torque goes into the inertia


def test_friction_limit_is_where_the_plate_dies() -> None:
    plate = rotor(section=PLATE, overlap=0.0)
    most = friction_limit(plate, TABLES, 10.0, DENSITY, VISCOSITY, FACTORS)
    for share, expected in ((0.97, OK), (1.03, OUT_OF_LIMITS)):
        row = rotor(section=PLATE, overlap=0.0, bearing_torque=share * most)
        assert freewheel_speed(row, TABLES, 10.0, DENSITY, VISCOSITY, FACTORS)[1] == expected
    assert friction_limit(rotor(kind=DRUM), TABLES, 10.0, DENSITY, VISCOSITY, FACTORS) == 0.0


@pytest.mark.parametrize("stages", [2, 3, 4])
def test_even_phasing_cancels_all_but_multiples_of_twice_the_stages(stages: int) -> None:
    for harmonic in range(2, 13, 2):
        left = left_of_harmonic(stages, math.pi / stages, harmonic)
        assert left == pytest.approx(1.0 if harmonic % (2 * stages) == 0 else 0.0, abs=1e-12)


def test_stages_calm_the_ripple_and_in_phase_they_do_not() -> None:
    one = ripple_shares(rotor())
    phased = ripple_shares(rotor(stages=2, stage_phase=math.pi / 2))
    together = ripple_shares(rotor(stages=2, stage_phase=0.0))
    assert together == pytest.approx(one)
    assert phased[0] == pytest.approx(0.1 * one[0])
    assert phased[2] < 0.2 * one[2]
    assert ripple_shares(rotor(section=PLATE))[0] == pytest.approx(1.05)  # (4.50 − 2.20)/2.20, Smith 1970


def test_speed_ripple_is_the_closed_form() -> None:
    """Half-amplitude C/(32 I* spin_ratio²) with two pulses per turn."""
    span, diameter, inertia, airspeed, ratio, coefficient = 0.6, 0.12, 3e-4, 10.0, 1.2, 0.27
    star = inertia / (DENSITY * diameter**4 * span)
    torque = coefficient * 0.5 * DENSITY * airspeed**2 * span * diameter * 0.5 * diameter
    ours = speed_ripple(torque, inertia, ratio * airspeed / (0.5 * diameter), 2)
    assert ours == pytest.approx(coefficient / (32.0 * star * ratio**2))
    assert math.isnan(speed_ripple(1.0, inertia, 0.0, 2))
