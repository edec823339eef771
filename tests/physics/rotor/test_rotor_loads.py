"""The rotor kernel: signs, symmetry, scaling, limits and smoothness."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.base.records import BUCKET, DRUM, OUTDOOR, PLATE, QUIET, ROTOR, S_SECTION, TURBULENT, VANED
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.rotor.discs import disc_moment_coefficient, free_disc_torque
from rotorwright.physics.rotor.loads import rotor_load_parts
from rotorwright.physics.rotor.span import effective_span
from rotorwright.physics.rotor.tables import rotor_tables, smooth_cylinder_friction

DENSITY, VISCOSITY = 1.225, 1.789e-5
TABLES = rotor_tables()
FACTORS = nominal_factors(1)[0]
LIFT, PROFILE, END, DISC, BODY_TORQUE, DISC_TORQUE = range(6)


def rotor(**fields: float) -> Any:
    row = np.zeros(1, dtype=ROTOR)[0]
    standard = {"span": 0.6, "diameter": 0.12, "disc_diameter": 0.12, "discs_turn": 1, "buckets": 2, "stages": 1}
    for name, value in (standard | fields).items():
        row[name] = value
    return row


def loads(row: Any, airspeed: float, rotor_speed: float, factors: Any = FACTORS) -> tuple[float, ...]:
    return rotor_load_parts(row, TABLES, airspeed, rotor_speed, DENSITY, VISCOSITY, factors)


CASES = {
    "plain drum": rotor(kind=DRUM),
    "big drum": rotor(kind=DRUM, diameter=0.3, span=1.0, disc_diameter=0.45, end_discs=2, flow=OUTDOOR),
    "drum, fixed discs": rotor(kind=DRUM, disc_diameter=0.24, end_discs=2, discs_turn=0, flow=TURBULENT),
    "drum, five discs": rotor(kind=DRUM, disc_diameter=0.24, disc_thickness=0.003, end_discs=2, middle_discs=3),
    "bucket": rotor(kind=VANED, section=BUCKET, overlap=0.0063, disc_diameter=0.15, end_discs=2),
    "three buckets": rotor(kind=VANED, section=BUCKET, buckets=3, overlap=0.0063, disc_diameter=0.132, end_discs=2),
    "s-section, stages": rotor(
        kind=VANED, section=S_SECTION, stages=3, disc_diameter=0.18, end_discs=2, middle_discs=2
    ),
    "plate": rotor(kind=VANED, section=PLATE, disc_diameter=0.132, end_discs=2),
}
every_rotor = pytest.mark.parametrize("row", CASES.values(), ids=CASES.keys())


@every_rotor
def test_lifting_sense_lifts_and_drag_is_never_thrust(row: Any) -> None:
    for spin in (0.2, 0.5, 1.0, 2.0, 4.0, 9.0):
        parts = loads(row, 10.0, spin * 10.0 / (0.5 * row["diameter"]))
        if spin > 0.8:  # below it the quiet family may lose or reverse its lift
            assert parts[LIFT] > 0.0
        assert min(parts[PROFILE], parts[END], parts[DISC]) >= 0.0
        assert parts[DISC_TORQUE] <= 0.0


@every_rotor
def test_lift_is_odd_and_drag_even_in_spin(row: Any) -> None:
    forward, backward = loads(row, 9.0, 250.0), loads(row, 9.0, -250.0)
    assert backward[LIFT] == -forward[LIFT]
    assert backward[PROFILE : DISC + 1] == forward[PROFILE : DISC + 1]
    assert backward[DISC_TORQUE] == -forward[DISC_TORQUE]


@every_rotor
def test_still_air_leaves_windage_only(row: Any) -> None:
    parts = loads(row, 0.0, 500.0)
    assert parts[:4] == (0.0, 0.0, 0.0, 0.0)
    assert parts[BODY_TORQUE] < 0.0
    assert loads(row, 0.0, -500.0)[BODY_TORQUE] > 0.0
    nothing = loads(row, 0.0, 0.0)
    assert max(abs(part) for part in nothing) < 1e-12


@every_rotor
def test_standstill_is_a_bluff_body(row: Any) -> None:
    parts = loads(row, 10.0, 0.0)
    pressure_area = 0.5 * DENSITY * 100.0 * row["span"] * row["diameter"]
    assert parts[LIFT] == 0.0
    assert parts[END] == 0.0
    assert 0.3 < parts[PROFILE] / pressure_area < 1.4
    assert parts[DISC_TORQUE] == 0.0


def test_a_free_two_bucket_rotor_is_turned_from_rest_but_drum_and_plate_are_not() -> None:
    assert loads(CASES["bucket"], 10.0, 0.0)[BODY_TORQUE] > 0.0
    assert loads(CASES["plain drum"], 10.0, 0.0)[BODY_TORQUE] == 0.0
    assert loads(CASES["plate"], 10.0, 0.0)[BODY_TORQUE] == 0.0


def _roughness(values: np.ndarray) -> float:
    return float(np.max(np.abs(np.diff(values, 2))))


@every_rotor
@pytest.mark.parametrize("airspeed", [4.0, 10.0, 25.0])
def test_smooth_in_rotor_speed(row: Any, airspeed: float) -> None:
    """A kink leaves second differences that shrink like the step, a smooth law like its square."""
    top = 12.0 * airspeed / (0.5 * row["diameter"])

    def scan(points: int) -> list[float]:
        speeds = np.linspace(-0.31 * top, top, points)
        table = np.array([loads(row, airspeed, float(speed)) for speed in speeds])
        scale = np.maximum(np.max(np.abs(table), axis=0), 1e-9)
        return [_roughness(table[:, part] / scale[part]) for part in range(6)]

    coarse, fine = scan(6001), scan(12001)
    for before, after in zip(coarse, fine, strict=True):
        assert after < max(0.4 * before, 1e-11)


@every_rotor
@pytest.mark.parametrize("rotor_speed", [120.0, 480.0])
def test_smooth_in_airspeed(row: Any, rotor_speed: float) -> None:
    def scan(points: int) -> list[float]:
        table = np.array([loads(row, float(speed), rotor_speed) for speed in np.linspace(0.0, 40.0, points)])
        scale = np.maximum(np.max(np.abs(table), axis=0), 1e-9)
        return [_roughness(table[:, part] / scale[part]) for part in range(6)]

    coarse, fine = scan(6001), scan(12001)
    for before, after in zip(coarse, fine, strict=True):
        assert after < max(0.4 * before, 1e-11)


@settings(max_examples=200, deadline=None)
@given(
    st.sampled_from(sorted(CASES)),
    st.floats(0.0, 60.0),
    st.floats(-3000.0, 3000.0),
    st.sampled_from([QUIET, OUTDOOR, TURBULENT]),
)
def test_always_finite(name: str, airspeed: float, rotor_speed: float, flow: float) -> None:
    row = CASES[name].copy()
    row["flow"] = flow
    assert all(math.isfinite(part) for part in loads(row, airspeed, rotor_speed))


@every_rotor
def test_loads_scale_with_size_at_equal_reynolds_number_and_spin_ratio(row: Any) -> None:
    double = row.copy()
    for name in ("span", "diameter", "disc_diameter", "disc_thickness", "overlap"):
        double[name] *= 2.0
    small = loads(row, 12.0, 300.0)
    large = loads(double, 6.0, 75.0)  # equal Reynolds number, so equal forces and torques twice as large
    for part in (LIFT, PROFILE, END):
        assert large[part] == pytest.approx(small[part], rel=1e-9)
    assert large[BODY_TORQUE] == pytest.approx(2.0 * small[BODY_TORQUE], rel=1e-6)


def test_lift_is_held_beyond_spin_ratio_eight() -> None:
    row = CASES["plain drum"]
    radius = 0.5 * row["diameter"]
    at = [loads(row, 5.0, spin * 5.0 / radius)[LIFT] for spin in (8.0, 12.0, 40.0, 400.0)]
    assert at == sorted(at)
    assert at[-1] < 1.03 * at[0]


def test_bigger_turning_discs_lift_more_and_cost_more_torque() -> None:
    plain = loads(rotor(kind=DRUM), 10.0, 600.0)
    discs = [loads(rotor(kind=DRUM, disc_diameter=0.12 * size, end_discs=2), 10.0, 600.0) for size in (1.5, 2.0, 3.0)]
    lifts = [plain[LIFT], *(part[LIFT] for part in discs)]
    torques = [abs(plain[DISC_TORQUE]), *(abs(part[DISC_TORQUE]) for part in discs)]
    assert lifts == sorted(lifts)
    assert torques == sorted(torques)
    assert torques[3] / torques[2] > 1.5**4.5  # nearly the fifth power of the diameter


def test_fixed_discs_take_no_torque_and_close_the_ends_less() -> None:
    turning = loads(rotor(kind=DRUM, disc_diameter=0.24, end_discs=2), 10.0, 600.0)
    fixed = loads(rotor(kind=DRUM, disc_diameter=0.24, end_discs=2, discs_turn=0), 10.0, 600.0)
    assert fixed[DISC_TORQUE] == 0.0
    assert fixed[LIFT] < turning[LIFT]


def test_a_sealed_inner_end_counts_the_mirrored_span() -> None:
    half = rotor(kind=DRUM, span=0.3, inner_end=1)
    whole = rotor(kind=DRUM, span=0.6)
    assert loads(half, 10.0, 700.0)[LIFT] == pytest.approx(0.5 * loads(whole, 10.0, 700.0)[LIFT], rel=1e-12)
    assert loads(half, 10.0, 700.0)[END] == pytest.approx(0.5 * loads(whole, 10.0, 700.0)[END], rel=1e-12)


def test_walls_at_both_ends_leave_no_end_drag_and_no_plateau() -> None:
    walls = loads(rotor(kind=DRUM, inner_end=2), 10.0, 700.0)
    free = loads(rotor(kind=DRUM), 10.0, 700.0)
    assert walls[END] < 1e-3 * free[END]
    assert walls[LIFT] > free[LIFT]


def test_effective_span_gives_the_end_drag() -> None:
    """Closed form: D = L²/(π q b_e²), below the part of the plateau where plain ends soften."""
    for name in ("drum, fixed discs", "bucket", "plate"):
        row = CASES[name]
        parts = loads(row, 10.0, 150.0)
        span = effective_span(row, FACTORS)
        expected = parts[LIFT] ** 2 / (math.pi * 0.5 * DENSITY * 100.0 * span * span)
        assert parts[END] == pytest.approx(expected, rel=1e-9)


def test_free_disc_follows_the_published_laws() -> None:
    """Closed form: 3.87 R^−½ and 0.146 R^−1/5 (Bird, Stewart & Lightfoot), edgewise factor 1 + 0.75 (V/ωa)²."""
    assert disc_moment_coefficient(1.0e5) == pytest.approx(3.87e0 / math.sqrt(1.0e5), rel=1e-5)
    assert disc_moment_coefficient(1.0e6) == pytest.approx(0.146 * 1.0e6**-0.2, rel=1e-5)
    still = free_disc_torque(0.2, 600.0, 0.0, DENSITY, VISCOSITY)
    edgewise = free_disc_torque(0.2, 600.0, 24.0, DENSITY, VISCOSITY)
    assert edgewise / still == pytest.approx(1.0 + 0.75 * 0.2**2, rel=2e-3)


def test_spinning_cylinder_keeps_its_laminar_limit() -> None:
    """Closed form: an endless cylinder in unbounded fluid takes 4 π μ r² ω per length."""
    thin = rotor(kind=DRUM, diameter=0.002, span=1.0)
    skin = nominal_factors(1)[0]
    skin["skin_friction"] = 1.0
    torque = loads(thin, 0.0, 5.0, skin)[BODY_TORQUE]
    assert torque == pytest.approx(-4.0 * math.pi * VISCOSITY * 0.001**2 * 5.0, rel=1e-3)


def test_friction_table_reads_back_the_implicit_law() -> None:
    for reynolds in (1.0e3, 3.3e4, 1.0e5, 7.7e5, 1.0e7):
        friction = smooth_cylinder_friction(reynolds)
        right = -0.6 + 4.07 * math.log10(reynolds * math.sqrt(friction))
        assert 1.0 / math.sqrt(friction) == pytest.approx(right, rel=1e-3)
        row = rotor(kind=DRUM, diameter=0.2, span=1.0)
        skin = nominal_factors(1)[0]
        skin["skin_friction"] = 1.0
        speed = reynolds * VISCOSITY / DENSITY / 0.01
        expected = math.pi * DENSITY * friction * speed**2 * 0.1**4
        assert -loads(row, 0.0, speed, skin)[BODY_TORQUE] == pytest.approx(expected, rel=2e-3)
