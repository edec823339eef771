"""Inertia of solids against numerical integration over their volume."""

from __future__ import annotations

import numpy as np
import pytest

from rotorwright.base import solids

RNG = np.random.default_rng(20261125)


def sampled(points: np.ndarray, mass: float) -> np.ndarray:
    """Principal inertia about x, y, z of equal point masses, about their own middle."""
    square = np.mean((points - points.mean(axis=0)) ** 2, axis=0)
    return mass * (square.sum() - square)


def polar_grid(outer: float, inner: float, length: float) -> np.ndarray:
    """Points of equal volume in a tube along x."""
    radius = np.sqrt(inner**2 + (outer**2 - inner**2) * (np.arange(200) + 0.5) / 200) / 2.0
    angle = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    along = (np.arange(50) + 0.5) / 50 * length
    r, a, x = np.meshgrid(radius, angle, along, indexing="ij")
    return np.column_stack([x.ravel(), (r * np.cos(a)).ravel(), (r * np.sin(a)).ravel()])


@pytest.mark.parametrize(("outer", "inner", "length"), [(0.2, 0.0, 0.5), (0.2, 0.15, 0.6), (0.4, 0.02, 0.01)])
def test_round_solids(outer: float, inner: float, length: float) -> None:
    xx, yy, zz = sampled(polar_grid(outer, inner, length), 2.0)
    ours = solids.tube(2.0, outer, inner, length)
    assert (ours.axial, ours.transverse, ours.transverse) == pytest.approx((xx, yy, zz), rel=0.01)


def test_thin_limits() -> None:
    assert solids.tube(1.0, 0.2, 0.199999, 0.4) == pytest.approx(solids.shell(1.0, 0.2, 0.4), rel=1e-5)
    assert solids.cylinder(1.0, 0.0, 0.6) == pytest.approx((0.0, 0.03))


def test_box_and_shell() -> None:
    sides = np.array([0.3, 0.2, 0.1])
    grid = [(np.arange(40) + 0.5) / 40 * side for side in sides]
    points = np.stack(np.meshgrid(*grid, indexing="ij"), axis=-1).reshape(-1, 3)
    assert solids.box(1.5, *sides) == pytest.approx(sampled(points, 1.5), rel=1e-3)
    plates = []
    for normal in range(3):
        others = [axis for axis in range(3) if axis != normal]
        count = int(400_000 * sides[others[0]] * sides[others[1]] / 0.06)
        plate = RNG.random((count, 3)) * sides
        plate[:, normal] = np.where(RNG.random(count) < 0.5, 0.0, sides[normal])
        plates.append(plate)
    assert solids.box_shell(1.5, *sides) == pytest.approx(sampled(np.vstack(plates), 1.5), rel=0.01)


def test_ball_and_nothing() -> None:
    points = RNG.normal(size=(200_000, 3))
    points *= (RNG.random(200_000) ** (1.0 / 3.0) / np.linalg.norm(points, axis=1))[:, None]
    assert solids.sphere(1.0, 2.0).axial == pytest.approx(sampled(points, 1.0).mean(), rel=0.01)
    assert solids.box_shell(0.0, 0.0, 0.0, 0.0) == (0.0, 0.0, 0.0)


def test_half_tube_about_an_offset_axis() -> None:
    angle = np.pi * (np.arange(4000) + 0.5) / 4000  # a half-circle over the chord along x
    x, y = 0.05 * np.cos(angle) - 0.02, 0.05 * np.sin(angle)
    assert solids.half_tube_radius_of_gyration(0.1, 0.02) == pytest.approx(np.sqrt(np.mean(x**2 + y**2)), rel=1e-6)
