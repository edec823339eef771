"""Side force of discs in sideslip: against lifting-surface theory worked out here, and as a law."""

import math

import numpy as np
import pytest

from rotorwright.base.records import DRUM, ROTOR
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.airframe.surface import lift_slope
from rotorwright.physics.rotor.side import PLATE_AHEAD, PLATE_SLOPE, plate_area, side_constants, side_loads


def round_plate(strips: int, rows: int) -> tuple[float, float]:
    """Return normal-force slope on the area, and lead of the force in diameters, of a round plate by a vortex lattice.

    Horseshoes on the quarter line of each panel, no flow through its three-quarter point (the classic lattice).
    """
    edges = -np.cos(np.linspace(0.0, math.pi, strips + 1))
    middles = -np.cos((np.arange(strips) + 0.5) * math.pi / strips)
    shares = 0.5 * (1.0 - np.cos(np.linspace(0.0, math.pi, rows + 1)))
    steps = np.diff(shares)

    def place(share: float, y: np.ndarray) -> np.ndarray:
        half = np.sqrt(np.maximum(1.0 - y * y, 0.0))
        return np.stack((half * (1.0 - 2.0 * share), y, 0.0 * y), axis=-1)

    quarter, three = shares[:-1] + 0.25 * steps, shares[:-1] + 0.75 * steps
    left = np.concatenate([place(share, edges[:-1]) for share in quarter])
    right = np.concatenate([place(share, edges[1:]) for share in quarter])
    points = np.concatenate([place(share, middles) for share in three])
    behind = np.array([-500.0, 0.0, 0.0])

    def upwards(start: np.ndarray, end: np.ndarray) -> np.ndarray:
        first, second = points[:, None] - start[None], points[:, None] - end[None]
        across = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
        unit = first / np.linalg.norm(first, axis=-1)[..., None] - second / np.linalg.norm(second, axis=-1)[..., None]
        return ((end - start)[None] * unit).sum(axis=-1) / (4.0 * math.pi * across)

    matrix = upwards(left, right) + upwards(right, right + behind) + upwards(left + behind, left)
    pull = np.linalg.solve(matrix, np.ones(len(points))) * (right - left)[:, 1]
    lead = float((pull * 0.5 * (left + right)[:, 0]).sum() / pull.sum())
    return 2.0 * float(pull.sum()) / math.pi, 0.5 * lead


def test_a_round_plate_by_lifting_surface_theory() -> None:
    slope, lead = round_plate(28, 14)
    assert pytest.approx(slope, rel=0.01) == PLATE_SLOPE
    assert pytest.approx(lead, abs=0.012) == PLATE_AHEAD


def test_a_round_plate_by_the_law_of_finite_surfaces() -> None:
    """Helmbold (1942) at the aspect ratio of a circle, 4/π: 3 % off the lifting surface."""
    assert lift_slope(4.0 / math.pi, 1.0) == pytest.approx(PLATE_SLOPE, rel=0.03)


def rotor(diameter: float = 0.13, disc: float = 0.26, ends: float = 2.0, between: float = 1.0) -> np.ndarray:
    row = np.zeros(1, dtype=ROTOR)
    row["kind"], row["span"], row["diameter"], row["disc_diameter"] = DRUM, 0.72, diameter, disc
    row["end_discs"], row["middle_discs"], row["discs_turn"] = ends, between, 1.0
    return row


def test_the_body_hides_the_faces_it_stands_on() -> None:
    face = math.pi / 4.0 * 0.26**2
    assert plate_area(rotor(diameter=1.0e-6)[0]) == pytest.approx(3.0 * face)
    assert plate_area(rotor()[0]) == pytest.approx((2.0 * 0.875 + 0.75) * face)
    assert plate_area(rotor(disc=0.13)[0]) == 0.0


def test_force_lies_against_the_slip_and_takes_energy() -> None:
    slide, broadside, ahead = side_constants(rotor()[0], nominal_factors(1)[0])
    for u in (-8.0, 0.0, 10.0):
        for v in (-3.0, -0.1, 0.1, 12.0):
            force, roll, yaw = side_loads(slide, broadside, ahead, u, v, 2.0, 1.2)
            assert force * v < 0.0
            mirrored = side_loads(slide, broadside, ahead, u, -v, 2.0, 1.2)
            assert mirrored == pytest.approx((-force, -roll, -yaw))
    force, roll, yaw = side_loads(slide, broadside, ahead, 10.0, 0.5, 0.0, 1.2)
    assert yaw == pytest.approx(0.26 * 0.26 * force, rel=0.06)  # ahead: turns the nose away from the wind
    assert roll == 0.0


def test_broadside_is_the_drag_of_one_disc() -> None:
    slide, broadside, ahead = side_constants(rotor()[0], nominal_factors(1)[0])
    force, roll, yaw = side_loads(slide, broadside, ahead, 0.0, 10.0, 0.0, 1.2)
    assert -force == pytest.approx(0.5 * 1.2 * 100.0 * 1.12 * math.pi / 4.0 * 0.26**2, rel=1e-4)
    assert (roll, yaw) == (0.0, 0.0)
    assert side_loads(slide, broadside, ahead, 0.0, 0.0, 0.0, 1.2) == (0.0, 0.0, 0.0)


def test_it_is_smooth_through_no_slip_and_still_air() -> None:
    slide, broadside, ahead = side_constants(rotor()[0], nominal_factors(1)[0])
    step = 1.0e-5
    for u in (0.0, 1.0e-3, 10.0):
        before, here, after = (side_loads(slide, broadside, ahead, u, v, 0.0, 1.2)[0] for v in (-step, 0.0, step))
        assert (after - here) / step == pytest.approx((here - before) / step, rel=1e-6)
