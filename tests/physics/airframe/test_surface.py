"""A plain surface: limits, signs, symmetry, smoothness over the whole circle."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.base.records import FIN, SURFACE, TAIL, WING
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.airframe import surface as room
from smooth import has_no_kink

FACTORS = nominal_factors(1)[0]
DENSITY, VISCOSITY = 1.225, 1.789e-5
SPEEDS = st.floats(-30.0, 30.0)


def tail(**changes: float) -> np.void:
    """Return a flat tailplane record, some fields changed."""
    row = np.zeros(1, dtype=SURFACE)[0]
    fields = {
        "kind": TAIL, "area": 0.06, "span": 0.5, "chord": 0.12, "max_lift": 1.0, "section_drag": 0.02,
        "control_share": 0.35,
    }  # fmt: skip
    for name, value in (fields | changes).items():
        row[name] = value
    return row


def loads(row: np.void, u: float, v: float, w: float, deflection: float = 0.0) -> tuple[float, float, float, float]:
    return room.surface_loads(row, u, v, w, deflection, DENSITY, VISCOSITY, FACTORS)


def at_angle(row: np.void, degrees: float, speed: float = 10.0, deflection: float = 0.0) -> tuple[float, float]:
    """Return lift and drag at an angle of incidence."""
    angle = math.radians(degrees)
    fx, _, fz, _ = loads(row, speed * math.cos(angle), 0.0, speed * math.sin(angle), deflection)
    return fx * math.sin(angle) - fz * math.cos(angle), -fx * math.cos(angle) - fz * math.sin(angle)


def test_still_air_and_no_area_give_no_force() -> None:
    assert loads(tail(), 0.0, 0.0, 0.0, 0.3) == (0.0, 0.0, 0.0, 0.0)
    assert loads(tail(area=0.0, span=0.0), 10.0, 1.0, 1.0) == (0.0, 0.0, 0.0, 0.0)


def test_lift_slope_near_zero_is_the_closed_form() -> None:
    row = tail(kind=WING)
    pressure_area = 0.5 * DENSITY * 100.0 * 0.06
    lift = at_angle(row, 1.0)[0] - at_angle(row, -1.0)[0]
    slope = room.lift_slope(0.5**2 / 0.06, room.LIFT_SLOPE_SHARE)
    assert lift / (2.0 * math.radians(1.0)) == pytest.approx(slope * pressure_area, rel=5e-3)


def test_lift_slope_limits() -> None:
    assert room.lift_slope(1e6, 1.0) == pytest.approx(2.0 * math.pi, rel=1e-5)
    assert room.lift_slope(0.01, 1.0) == pytest.approx(math.pi * 0.01 / 2.0, rel=1e-4)


def test_flap_limits() -> None:
    assert room.flap_effectiveness(0.0) == pytest.approx(0.0, abs=1e-12)
    assert room.flap_effectiveness(1.0) == pytest.approx(1.0)
    assert room.flap_moment_slope(0.0) == pytest.approx(0.0, abs=1e-12)
    assert room.flap_moment_slope(1.0) == pytest.approx(0.0, abs=1e-12)
    # small flap: 4 sqrt(E)/π
    assert room.flap_effectiveness(1e-4) == pytest.approx(4.0 * math.sqrt(1e-4) / math.pi, rel=1e-3)


@given(SPEEDS, SPEEDS, SPEEDS)
def test_mirror_image_about_the_chord_plane(u: float, v: float, w: float) -> None:
    up, down = loads(tail(), u, v, w, 0.2), loads(tail(), u, v, -w, -0.2)
    assert down == pytest.approx((up[0], up[1], -up[2], -up[3]), rel=1e-9, abs=1e-9)


@given(SPEEDS, SPEEDS, SPEEDS)
def test_a_surface_never_gains_energy_from_the_air(u: float, v: float, w: float) -> None:
    for row in (tail(), tail(tilt=0.5, incidence=0.1), tail(kind=FIN, tilt=math.pi / 2.0)):
        fx, fy, fz, _ = loads(row, u, v, w, 0.1)
        assert fx * u + fy * v + fz * w <= 1e-9


@given(SPEEDS, SPEEDS, SPEEDS)
def test_a_fin_is_a_tailplane_on_its_side(u: float, v: float, w: float) -> None:
    flat = loads(tail(), u, -w, v, 0.1)  # rolled left by 90°: the tail's right is the fin's down
    fin = loads(tail(tilt=-math.pi / 2.0), u, v, w, 0.1)
    assert fin == pytest.approx((flat[0], flat[2], -flat[1], flat[3]), rel=1e-9, abs=1e-9)


def test_signs() -> None:
    assert at_angle(tail(), 4.0)[0] > 0.0
    assert at_angle(tail(), 0.0, deflection=0.2)[0] > 0.0  # trailing edge down lifts
    assert loads(tail(), 10.0, 0.0, 0.0, 0.2)[3] < 0.0  # and turns its own nose down
    assert at_angle(tail(incidence=0.05), 0.0)[0] > 0.0
    assert at_angle(tail(zero_lift_angle=-0.05), 0.0)[0] > 0.0
    fin = tail(kind=FIN, tilt=math.pi / 2.0)
    assert loads(fin, 10.0, 1.0, 0.0)[1] < 0.0  # sliding right, pushed left
    assert loads(fin, 10.0, 0.0, 0.0, 0.2)[1] > 0.0  # trailing edge left pushes the tail right
    dihedral = tail(kind=WING, tilt=-0.1)  # right half, tip up
    assert loads(dihedral, 10.0, 1.0, 0.0)[2] < 0.0  # sliding right lifts the right half


def test_drag_square_on_is_that_of_a_plate() -> None:
    drag = at_angle(tail(kind=WING), 90.0)[1] / (0.5 * DENSITY * 100.0 * 0.06)
    aspect_ratio = 0.5**2 / 0.06
    assert drag == pytest.approx(1.11 + 0.018 * aspect_ratio, abs=0.05)


def test_stall_keeps_to_the_stated_largest_lift() -> None:
    row = tail(kind=WING)
    coefficients = [at_angle(row, angle)[0] / (0.5 * DENSITY * 100.0 * 0.06) for angle in np.arange(0.0, 20.0, 0.25)]
    assert 0.85 * room.FINITE_SPAN_STALL < max(coefficients) < 1.05 * room.FINITE_SPAN_STALL


def test_drag_coefficient_falls_with_reynolds_number() -> None:
    slow, fast = at_angle(tail(), 0.0, 5.0)[1] / 25.0, at_angle(tail(), 0.0, 20.0)[1] / 400.0
    assert 1.3 < slow / fast < 2.0


def test_closed_tips_steepen_the_lift() -> None:
    assert at_angle(tail(end_plates=1.0), 3.0)[0] > at_angle(tail(), 3.0)[0]


@pytest.mark.parametrize("part", [0, 2, 3])
def test_no_kink_round_the_circle(part: int) -> None:
    row = tail(incidence=0.03, zero_lift_angle=-0.02)

    def law(angle: float) -> float:
        return loads(row, 10.0 * math.cos(angle), 0.0, 10.0 * math.sin(angle), 0.2)[part]

    assert has_no_kink(law, -3.5, 3.5)


@pytest.mark.parametrize("part", [0, 1, 2, 3])
def test_no_kink_through_zero_speed(part: int) -> None:
    row = tail(tilt=0.3)
    assert has_no_kink(lambda step: loads(row, step, 0.3 * step, 0.2 * step, 0.1)[part], -2.0, 2.0)
    assert has_no_kink(lambda step: loads(row, step, 0.0, 0.5, 0.1)[part], -2.0, 2.0)
    assert has_no_kink(lambda step: loads(row, 8.0, 0.0, 0.0, step)[part], -1.5, 1.5)
