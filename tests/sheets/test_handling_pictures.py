"""Map and paths of natural motions show what the motions are, without any flight behind them."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from rotorwright.sheets.handling_map import PLAIN, map_picture
from rotorwright.sheets.handling_paths import LARGEST, motion_path, paths_picture
from rotorwright.sheets.picture import specification
from rotorwright.studies.bench_modes import Modes, modes_of

SPEED = 236.0
STATES = ("u", "v", "w", "p", "q", "r", "phi", "theta")
ALONG = (
    (-0.006868, 0.01395, 0.0, -9.81),
    (-0.09055, -0.3151, 236.0, 0.0),
    (0.000389, -0.00336, -0.4285, 0.0),
    (0.0, 0.0, 1.0, 0.0),
)
ACROSS = (
    (-0.0558, 0.0, -235.9, 9.81),
    (-0.0127, -0.4351, 0.4143, 0.0),
    (0.003566, -0.006124, -0.1458, 0.0),
    (0.0, 1.0, 0.0, 0.0),
)


def transport(faster: float = 1.0) -> Modes:
    """A jet transport's motions: figures of Etkin and Reid 1996, chapter 6, partly rounded; only the shape is used."""
    matrix = np.zeros((8, 8))
    matrix[np.ix_((0, 2, 4, 7), (0, 2, 4, 7))] = ALONG
    matrix[np.ix_((1, 3, 5, 6), (1, 3, 5, 6))] = ACROSS
    return modes_of(faster * matrix, STATES)


def answer() -> Any:
    return SimpleNamespace(
        modes=transport(),
        modes_without_spin=transport(1.1),
        modes_drawn=(transport(0.9), transport(1.2)),
        airspeed=SPEED,
        aeroplane=SimpleNamespace(name="Transport"),
    )


def data_of(found: dict[str, Any]) -> list[dict[str, Any]]:
    return [row for values in found.get("datasets", {}).values() for row in values] + [
        row for layer in found.get("layer", ()) for row in layer.get("data", {}).get("values", ())
    ]


def test_the_map_places_each_motion_by_growth_and_swings() -> None:
    rows = data_of(specification(map_picture(answer())))
    modes = transport()
    for name in ("short period", "phugoid", "Dutch roll", "roll", "spiral"):
        there = [row for row in rows if row.get("name") == f"{name}: {PLAIN[name]}" and row["kind"] == "as it is"]
        mode = modes[name]
        assert any(
            row["x"] == pytest.approx(mode.real) and row["y"] == pytest.approx(abs(mode.imaginary) / (2.0 * math.pi))
            for row in there
        ), name
        assert len(there) == 3, name


def test_a_path_bends_as_its_motion_says() -> None:
    for mode in transport():
        path = motion_path(mode, SPEED)
        assert path.along[0] == 0.0
        assert path.aside[0] == 0.0
        assert np.all(np.isfinite(path.aside))
        assert float(np.abs(path.lean).max()) <= LARGEST * (1.0 + 1e-9)
    phugoid = motion_path(transport()["phugoid"], SPEED)
    # energy is exchanged: height swings against speed, V Δu = −g Δh within the small damping of the motion
    swing = float(phugoid.aside.max() - phugoid.aside.min())
    mode = transport()["phugoid"]
    shape = mode.shape
    climb = SPEED * shape["theta"] - shape["w"]
    per_speed = abs(climb / mode.eigenvalue) / abs(shape["u"])
    assert per_speed == pytest.approx(SPEED / 9.81, rel=0.15)
    assert swing > 10.0


def test_seen_from_above_right_lies_down() -> None:
    found = specification(paths_picture(answer()))
    told = str(found)
    assert "'reverse': True" in told
    for name in PLAIN:
        if name != "coupled roll-spiral":
            assert name in told
