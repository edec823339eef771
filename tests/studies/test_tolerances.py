"""Tolerances of hand building: drawing agrees with closed forms; better building is never worse."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from rotorwright import InputProblems, load
from rotorwright.physics.structure.tolerance_unbalance import (
    CLASSES,
    BuildClass,
    ScatteredRotor,
    demonstration_unbalance,
    draw_unbalance,
    even_grade,
    plane_unbalances,
)
from rotorwright.studies.tolerances import STATES, Tolerances, tolerances

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
DRUM = ScatteredRotor(1.0, 0.1, 0.075, True, 0, 1, 0.01, 4, 0.04)
NOTHING = BuildClass(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


@pytest.fixture(scope="module")
def drum() -> Tolerances:
    return tolerances(load(EXAMPLES / "drum-major.toml"), draws=1024)


def rayleigh(values: np.ndarray) -> float:
    """The sigma of one direction that a two-dimensional scatter's size tells."""
    return float(np.sqrt(np.mean(np.abs(values) ** 2) / 2.0))


@pytest.mark.parametrize(
    ("field", "sigma", "expected"),
    [
        ("bow", 0.001, 0.18 * 2.0 / math.pi * 0.001),
        ("centring", 0.001, 0.001 * math.hypot(0.1 / math.sqrt(2.0), 0.02)),
        ("gradient", 0.02, 0.02 * 0.0375 * 0.1),
        ("disc", 0.001, 0.001 * 0.01 * 2.0),
    ],
)
def test_each_scatter_alone_is_its_closed_form(field: str, sigma: float, expected: float) -> None:
    build = NOTHING._replace(**{field: sigma})
    drawn = draw_unbalance(DRUM, build, np.ones(20_000), np.random.default_rng(1))
    assert rayleigh(drawn.total) == pytest.approx(expected, rel=0.03)


def test_balanced_vanes_need_equal_masses_only() -> None:
    vanes = ScatteredRotor(0.6, 0.06, 0.04, False, 2, 3, 0.01, 4, 0.02)
    drawn = draw_unbalance(vanes, NOTHING._replace(vane=0.02), np.ones(20_000), np.random.default_rng(2))
    one = 0.06 / 6.0
    mean_square = 6.0 * (one * 0.02 * 0.04) ** 2  # every vane on its own, whatever its angle
    assert float(np.mean(np.abs(drawn.total) ** 2)) == pytest.approx(mean_square, rel=0.05)


def test_two_planes_carry_total_and_couple() -> None:
    left, right = plane_unbalances(np.array([2.0 + 0j]), np.array([0.25 + 0j]), 0.5)
    assert (left[0], right[0]) == pytest.approx((0.5, 1.5))
    grade = even_grade(np.array([1e-5 + 0j]), np.array([0j]), 1.0, 0.2, np.array([100.0]))
    assert grade[0] == pytest.approx(1e-5 * 100.0 / 0.2)


@pytest.mark.parametrize(("build", "median", "often"), [("careful", 0.15e-3, 0.27e-3), ("typical", 0.33e-3, 0.60e-3),
                                                        ("rough", 0.90e-3, 1.60e-3)])  # fmt: skip
def test_a_second_drawing_of_the_same_drum_agrees(build: str, median: float, often: float) -> None:
    """Another program's drawing of this made-up drum, with the same scatters laid out a little otherwise."""
    ours = demonstration_unbalance(build=build)
    assert ours["median"] == pytest.approx(median, rel=0.15)
    assert ours["often"] == pytest.approx(often, rel=0.15)


def test_better_building_and_more_balancing_are_never_worse(drum: Tolerances) -> None:
    rotor = drum.rotors[0]
    grades = {(each.build, each.state): each.grade.value for each in rotor.reached}
    for state in STATES[:2]:
        assert grades["careful", state] < grades["typical", state] < grades["rough", state]
    for build in CLASSES:
        assert grades[build, "two planes"] < grades[build, "as built"]
    for each in rotor.reached:
        assert each.chances["first spin"] >= each.chances["flight"] >= each.chances["good"]
    for share in rotor.shares.values():
        assert sum(share.values()) == pytest.approx(1.0)


def test_a_straighter_tube_is_never_worse(drum: Tolerances) -> None:
    first = [row[1] for row in drum.rotors[0].straightness]
    assert all(after <= before + 0.02 for before, after in pairwise(first))


def test_what_the_grade_asks_follows_the_standard(drum: Tolerances) -> None:
    asked = drum.rotors[0].quantities
    speed = asked["balancing_speed"].nominal
    assert asked["permissible_eccentricity"].nominal == pytest.approx(0.016 / speed)
    assert asked["permissible_unbalance_per_plane"].nominal == pytest.approx(
        0.5 * asked["permissible_unbalance"].nominal
    )
    assert asked["permissible_run_out"].nominal == pytest.approx(2.0 * asked["permissible_bow"].nominal)


def test_an_aeroplane_without_rotors_is_told_so() -> None:
    with pytest.raises(InputProblems, match="no rotor"):
        tolerances(load(EXAMPLES / "plain-wing.toml"))
