"""A body: drag, turning moment, signs, smoothness."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from rotorwright.base.records import BODY
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.airframe.body import FULLNESS, apparent_mass_difference, body_loads
from smooth import has_no_kink

FACTORS = nominal_factors(1)[0]
SPEEDS = st.floats(-30.0, 30.0)


def fuselage(**changes: float) -> np.void:
    row = np.zeros(1, dtype=BODY)[0]
    fields = {"length": 1.0, "width": 0.1, "height": 0.12, "drag_area": 0.005, "side_area": 0.08, "top_area": 0.07}
    for name, value in (fields | changes).items():
        row[name] = value
    return row


def exact_apparent_mass_difference(fineness: float) -> float:
    """Lamb's coefficients of a spheroid of semi-axes f, 1, 1 by integration (Hydrodynamics, art. 114)."""

    def part(axis: int) -> float:
        def integrand(s: float) -> float:
            along, across = fineness**2 + s, 1.0 + s
            return 1.0 / ((along if axis == 0 else across) * np.sqrt(along) * across)

        return float(fineness * quad(integrand, 0.0, np.inf, epsabs=1e-12)[0])

    alpha, beta = part(0), part(1)
    return beta / (2.0 - beta) - alpha / (2.0 - alpha)


@pytest.mark.parametrize("fineness", [1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 15.0, 20.0])
def test_apparent_mass_fit_follows_the_exact_spheroid(fineness: float) -> None:
    assert apparent_mass_difference(fineness) == pytest.approx(exact_apparent_mass_difference(fineness), abs=0.02)


def test_drag_along_is_the_stated_area() -> None:
    assert body_loads(fuselage(), 10.0, 0.0, 0.0, 1.225, FACTORS)[0] == pytest.approx(-0.5 * 1.225 * 100.0 * 0.005)


@given(SPEEDS, SPEEDS, SPEEDS)
def test_force_opposes_motion(u: float, v: float, w: float) -> None:
    fx, fy, fz, *_ = body_loads(fuselage(), u, v, w, 1.225, FACTORS)
    assert fx * u <= 0.0
    assert fy * v <= 0.0
    assert fz * w <= 0.0


def test_turning_moment_is_unstable_and_of_the_slender_body_size() -> None:
    _, _, _, roll, pitch, yaw = body_loads(fuselage(), 10.0, 1.0, 1.0, 1.225, FACTORS)
    volume = FULLNESS * 1.0 * 0.1 * 0.12
    assert roll == 0.0
    assert pitch == pytest.approx(1.225 * volume * 10.0 * 0.93, rel=0.02)
    assert yaw == -pitch


def test_a_sizeless_body_has_drag_alone() -> None:
    loads = body_loads(fuselage(length=0.0, width=0.0, height=0.0), 10.0, 1.0, 1.0, 1.225, FACTORS)
    assert loads[0] < 0.0
    assert loads[3:] == (0.0, 0.0, 0.0)


@pytest.mark.parametrize("part", [0, 1, 2, 4, 5])
def test_no_kink_through_zero_speed(part: int) -> None:
    row = fuselage()
    assert has_no_kink(lambda s: body_loads(row, s, 0.3 * s, 0.2 * s, 1.225, FACTORS)[part], -2.0, 2.0)
    assert has_no_kink(lambda s: body_loads(row, 3.0, s, 0.0, 1.225, FACTORS)[part], -2.0, 2.0)
