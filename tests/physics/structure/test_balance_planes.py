"""Corrections from runs: exact on made rotors, honest about what the readings cannot tell."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.physics.structure.balance_planes import (
    correction,
    fit_amplitudes,
    fit_influence,
    residual,
    split_on_holes,
    to_planes,
)

ANGLES = st.floats(0.0, 2.0 * math.pi)


def made(seed: int, sensors: int, planes: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A linear machine: influence, unbalance as found, and the vibration it gives."""
    random = np.random.default_rng(seed)
    influence = random.normal(size=(sensors, planes)) + 1j * random.normal(size=(sensors, planes))
    unbalance = random.normal(size=planes) + 1j * random.normal(size=planes)
    return influence, unbalance, influence @ unbalance


@given(seed=st.integers(0, 10_000), sensors=st.integers(2, 5), planes=st.integers(1, 2))
def test_a_linear_machine_is_balanced_exactly(seed: int, sensors: int, planes: int) -> None:
    influence, unbalance, vibration = made(seed, sensors, planes)
    trials = np.concatenate([np.zeros((1, planes)), 0.7 * np.eye(planes)]).astype(np.complex128)
    found = fit_influence(trials, vibration + trials @ influence.T)
    wanted = correction(found.as_found, found.influence)
    size = np.abs(influence).max()
    if np.linalg.cond(influence) < 1e4:
        assert np.allclose(wanted, -unbalance, atol=1e-8 * max(np.abs(unbalance).max(), 1.0))
        assert np.abs(residual(found.as_found, found.influence, wanted)).max() < 1e-8 * size
    assert found.misfit < 1e-12


def test_more_runs_than_needed_show_a_run_that_does_not_belong() -> None:
    influence, _, vibration = made(3, 2, 1)
    trials = np.array([[0.0], [1.0], [2.0], [1.0j]], dtype=np.complex128)
    readings = vibration + trials @ influence.T
    readings[2] *= 1.4  # a run at another speed
    assert fit_influence(trials, readings).misfit > 0.05


def test_runs_that_tell_one_plane_only_are_refused() -> None:
    with pytest.raises(np.linalg.LinAlgError):
        fit_influence(np.array([[0, 0], [1, 1], [2, 2]], dtype=np.complex128), np.ones((3, 2), dtype=np.complex128))


def test_least_squares_is_that_of_scipy() -> None:
    from scipy.optimize import least_squares

    influence, _, vibration = made(11, 4, 2)
    vibration = vibration + np.array([0.3, -0.2j, 0.1, 0.4j])

    def left(real: np.ndarray) -> np.ndarray:
        vector = vibration + influence @ (real[:2] + 1j * real[2:])
        return np.concatenate([vector.real, vector.imag])

    best = least_squares(left, np.zeros(4), xtol=1e-15, gtol=1e-15).x
    assert np.allclose(correction(vibration, influence), best[:2] + 1j * best[2:], atol=1e-7)


@given(unbalance=st.floats(0.5, 5.0), where=ANGLES, answer=st.floats(0.1, 3.0), trial=st.floats(0.8, 4.0))
def test_four_runs_without_phase_find_size_and_place(
    unbalance: float, where: float, answer: float, trial: float
) -> None:
    places = np.array([0.0, 2.0, 4.2])
    vector = unbalance * np.exp(1j * where)
    amplitudes = answer * np.abs(vector + trial * np.exp(1j * places))
    found = fit_amplitudes(answer * unbalance, amplitudes, places, trial)
    fix = found.unbalance * np.exp(1j * found.angle)
    assert abs(vector + fix) < 1e-5 * unbalance
    assert found.answer == pytest.approx(answer, rel=1e-6)
    assert found.misfit < 1e-6


def test_amplitudes_that_do_not_belong_together_give_no_number() -> None:
    found = fit_amplitudes(2.0, np.array([2.0, 2.0, 2.0]), np.array([0.0, 2.0, 4.0]), 1.0)
    assert math.isnan(found.unbalance)


@given(amount=st.floats(0.1, 9.0), angle=ANGLES, first=ANGLES, count=st.integers(3, 12))
def test_split_masses_act_as_the_one_wanted(amount: float, angle: float, first: float, count: int) -> None:
    holes = first + 2.0 * math.pi * np.arange(count) / count
    shares = split_on_holes(amount, angle, holes)
    assert (shares >= -1e-12).all()
    assert np.count_nonzero(shares > 1e-9) <= 2
    assert abs((shares * np.exp(1j * holes)).sum() - amount * np.exp(1j * angle)) < 1e-8 * amount


def test_holes_on_one_side_only_give_the_nearest_that_can_be_had() -> None:
    holes = np.radians([0.0, 40.0, 80.0])
    shares = split_on_holes(2.0, math.radians(120.0), holes)
    left = abs((shares * np.exp(1j * holes)).sum() - 2.0 * np.exp(1j * math.radians(120.0)))
    assert (shares >= 0.0).all()
    assert left == pytest.approx(2.0 * math.sin(math.radians(40.0)), rel=1e-6)


def test_two_planes_carry_the_same_sum_and_moment() -> None:
    unbalances = np.array([1.0, 2.0j, -0.5])
    positions = np.array([0.1, 0.45, 0.9])
    first, second = to_planes(unbalances, positions, 0.2, 0.7)
    assert first + second == pytest.approx(unbalances.sum())
    assert 0.2 * first + 0.7 * second == pytest.approx((unbalances * positions).sum())
