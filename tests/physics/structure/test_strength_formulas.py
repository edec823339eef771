"""Strength formulas against independent ways to the same number: integration, ODE solutions, limits."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.structure import balance_grade, bearing_life, strength_hoop, strength_loads, strength_tube
from rotorwright.physics.structure.strength_beam import bend, even_beam, nodes_of


def test_a_stepped_overhung_shaft_bends_as_the_differential_equation_says() -> None:
    from scipy.integrate import solve_bvp

    def stiffness(x: np.ndarray) -> np.ndarray:
        return np.where(x < 0.5, 20.0, 60.0)

    nodes = nodes_of(1.0, [0.1, 0.5, 0.8], 40)
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    supports = [int(np.argmin(np.abs(nodes - x))) for x in (0.1, 0.8)]
    bent = bend(nodes, stiffness(middle)[None], np.full((1, 1, len(middle)), 7.0), supports)
    # statics by hand: moment of an even load on two bearings with overhangs
    right = 7.0 * 1.0 * (0.5 - 0.1) / 0.7
    left = 7.0 - right
    assert bent.reactions[0, 0] == pytest.approx([-left, -right], rel=1e-9)

    def moment(x: np.ndarray) -> np.ndarray:
        return -3.5 * x**2 + left * np.maximum(x - 0.1, 0.0) + right * np.maximum(x - 0.8, 0.0)

    def rates(x: np.ndarray, state: np.ndarray) -> np.ndarray:
        return np.stack([state[1], -moment(x) / stiffness(x)])

    between = solve_bvp(
        rates, lambda a, b: np.array([a[0], b[0]]), np.linspace(0.1, 0.8, 401), np.zeros((2, 401)), tol=1e-8,
        max_nodes=20000,
    )  # fmt: skip
    inside = (nodes > 0.1) & (nodes < 0.8)
    assert bent.deflection[0, 0, inside] == pytest.approx(between.sol(nodes[inside])[0], abs=2e-6)


def test_a_middle_bearing_takes_ten_eighths_of_half_the_load() -> None:
    nodes = np.linspace(0.0, 2.0, 21)
    bent = bend(nodes, np.full((1, 20), 50.0), np.full((1, 1, 20), 3.0), [0, 10, 20])
    assert bent.reactions[0, 0] == pytest.approx([-3.0 * 0.375, -3.0 * 1.25, -3.0 * 0.375], rel=1e-9)
    assert np.abs(bent.moment).max() == pytest.approx(3.0 / 8.0, rel=1e-9)


@given(stiffness=st.floats(1.0, 1e4), length=st.floats(0.2, 4.0))
def test_beam_laws_of_scale(stiffness: float, length: float) -> None:
    one = even_beam(load=2.0, length=length, stiffness=stiffness)
    double = even_beam(load=2.0, length=2.0 * length, stiffness=stiffness)
    assert double["deflection"] == pytest.approx(16.0 * one["deflection"], rel=1e-6)
    assert double["slope"] == pytest.approx(8.0 * one["slope"], rel=1e-6)


def test_a_holed_disc_agrees_with_the_plane_stress_equations() -> None:
    from scipy.integrate import solve_bvp

    density, speed, inner, outer, poisson, modulus = 1200.0, 300.0, 0.02, 0.15, 0.3, 2.3e9

    def rates(r: np.ndarray, state: np.ndarray) -> np.ndarray:  # displacement u and radial stress s
        u, s = state
        strain = (s * (1.0 - poisson**2) / modulus) - poisson * u / r
        hoop = modulus / (1.0 - poisson**2) * (u / r + poisson * strain)
        return np.stack([strain, (hoop - s) / r - density * speed**2 * r])

    grid = np.linspace(inner, outer, 400)
    answer = solve_bvp(rates, lambda a, b: np.array([a[1] / 1e6, b[1] / 1e6]), grid, np.zeros((2, 400)), tol=1e-8)
    u, s = answer.sol(inner)
    strain = s * (1.0 - poisson**2) / modulus - poisson * u / inner
    hoop = modulus / (1.0 - poisson**2) * (u / inner + poisson * strain)
    ours = strength_hoop.disc_stress(density=density, rotor_speed=speed, outer_radius=outer, hole_radius=inner)
    assert float(ours) == pytest.approx(hoop, rel=1e-4)


def test_crushing_is_the_ring_bent_by_its_largest_moment() -> None:
    # statically indeterminate ring under two opposed loads P: the moment under a load is P R/pi (integrated here)
    angle = np.linspace(0.0, 0.5 * math.pi, 200_001)
    share = np.trapezoid(0.5 * np.cos(angle), angle) / (0.5 * math.pi)  # moment at the side, over P R
    under_load = share  # M(0) = P R/2 * 1 - ... : PR(1/2 - (1/2 - 1/pi))
    assert under_load == pytest.approx(1.0 / math.pi, rel=1e-9)
    load = strength_tube.crushing_load(outer=0.01, inner=0.008, transverse_strength=40e6)
    stress = 6.0 * load * 0.0045 / math.pi / 0.001**2
    assert stress == pytest.approx(40e6, rel=1e-12)


def test_grades() -> None:
    speed = 1800.0 * math.pi / 30.0
    whole = balance_grade.permissible_unbalance(grade=0.016, mass=0.22, rotor_speed=speed)
    assert whole == pytest.approx(9549.3 * 16.0 * 0.22 / 1800.0 * 1e-6, rel=1e-4)  # the workshop form, g mm
    assert balance_grade.grade_reached(unbalance=whole, mass=0.22, rotor_speed=speed) == pytest.approx(0.016)
    assert balance_grade.grade_step(0.0064) == 0.016
    assert balance_grade.grade_step(0.0063) == 0.0063
    assert math.isinf(balance_grade.grade_step(9.0))
    assert balance_grade.grade_word(0.0063) == "G 6.3"
    assert balance_grade.plane_shares(left=0.1, right=0.9) == pytest.approx((0.7, 0.3))
    steps = np.array(balance_grade.GRADES)
    assert np.all(np.abs(steps[1:] / steps[:-1] - 2.5) < 0.05)  # the standard's factor


def test_bearing_loads_join_without_a_step() -> None:
    radial, static, factor = 100.0, 600.0, 12.0
    loads = [
        bearing_life.equivalent_load(radial=radial, axial=axial, static_rating=static, geometry_factor=factor)
        for axial in np.linspace(0.0, 300.0, 601)
    ]
    assert np.all(np.diff(loads) >= -0.6)
    assert bearing_life.static_equivalent_load(radial=10.0, axial=0.0) == 10.0
    assert bearing_life.static_equivalent_load(radial=10.0, axial=40.0) == pytest.approx(26.0)


def test_gusts_on_rotors() -> None:
    up = strength_loads.rotor_gust_up(
        gust=4.0, airspeed=12.0, drag_coefficient=2.0, area=0.3, weight=2.5 * 9.80665, air_density=1.225
    )
    assert up == pytest.approx(0.76, abs=0.01)  # closed form of the same relation, K = 1
    assert strength_loads.rotor_gust_ahead(gust=3.0, airspeed=12.0, spin_follows=False) == pytest.approx(0.25)
    assert strength_loads.rotor_gust_ahead(gust=3.0, airspeed=12.0, spin_follows=True) == pytest.approx(0.5625)


def test_arrays_and_numbers_go_the_same_way() -> None:
    outer = np.array([0.008, 0.01])
    values = strength_tube.bending_stress(moment=1.0, outer=outer, inner=outer - 0.002)
    assert values[1] == pytest.approx(strength_tube.bending_stress(moment=1.0, outer=0.01, inner=0.008))
    stress = strength_hoop.disc_stress(density=35.0, rotor_speed=200.0, outer_radius=outer, hole_radius=0.001)
    assert stress.shape == (2,)
