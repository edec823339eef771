"""Mass properties: closed forms, parallel axes, rotors, factors."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.base.records import MASS, NONE, ROTOR, VEHICLE
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.mass.properties import mass_properties

TENSOR = ("ixx", "iyy", "izz", "ixy", "ixz", "iyz")


def solve(masses: np.ndarray, rotors: np.ndarray | None = None, **changes: float) -> tuple[np.void, np.ndarray]:
    """Fill a vehicle (and rotors) from mass rows, with some factors changed."""
    factors = nominal_factors(1)
    for name, value in changes.items():
        factors[name] = value
    if rotors is None:
        rotors = np.zeros(0, dtype=ROTOR)
    vehicle = np.zeros(1, dtype=VEHICLE)
    mass_properties(masses, rotors, factors[0], vehicle[0])
    return vehicle[0], rotors


def points(rows: list[tuple[float, float, float, float]]) -> np.ndarray:
    """Return weighed point masses (mass, x, y, z)."""
    masses = np.zeros(len(rows), dtype=MASS)
    masses["mass"], masses["x"], masses["y"], masses["z"] = np.array(rows).T
    masses["weighed"] = 1.0
    masses["rotor"] = NONE
    return masses


POINTS = st.lists(st.tuples(st.floats(0.01, 5.0), *[st.floats(-2.0, 2.0)] * 3), min_size=1, max_size=6)


@given(POINTS)
def test_inertia_of_points_is_the_plain_sum(rows: list[tuple[float, float, float, float]]) -> None:
    vehicle, _ = solve(points(rows))
    data = np.array(rows)
    mass, places = data[:, 0], data[:, 1:]
    centre = mass @ places / mass.sum()
    offset = places - centre
    tensor = sum(m * (d @ d * np.eye(3) - np.outer(d, d)) for m, d in zip(mass, offset, strict=True))
    assert vehicle["mass"] == pytest.approx(mass.sum())
    assert [vehicle[axis] for axis in "xyz"] == pytest.approx(centre, abs=1e-12)
    ours = [vehicle[name] for name in TENSOR]
    theirs = [tensor[0, 0], tensor[1, 1], tensor[2, 2], -tensor[0, 1], -tensor[0, 2], -tensor[1, 2]]
    assert ours == pytest.approx(theirs, abs=1e-9)


@given(POINTS, st.tuples(*[st.floats(-3.0, 3.0)] * 3))
def test_moving_everything_moves_only_the_centre(rows, shift) -> None:  # type: ignore[no-untyped-def]
    here, _ = solve(points(rows))
    there, _ = solve(points([(m, x + shift[0], y + shift[1], z + shift[2]) for m, x, y, z in rows]))
    assert [there[axis] - here[axis] for axis in "xyz"] == pytest.approx(shift, abs=1e-9)
    assert [there[name] for name in TENSOR] == pytest.approx([here[name] for name in TENSOR], abs=1e-8)


def test_a_bar_in_pieces_is_the_bar() -> None:
    # ten pieces of a uniform rod along x: each piece m l²/12 about its own middle, the whole M L²/12
    count, length, mass = 10, 2.0, 3.0
    piece = length / count
    masses = points([(mass / count, (i + 0.5) * piece, 0.0, 0.0) for i in range(count)])
    masses["iyy"] = masses["izz"] = mass / count * piece**2 / 12.0
    vehicle, _ = solve(masses)
    assert vehicle["iyy"] == pytest.approx(mass * length**2 / 12.0, rel=1e-12)
    assert vehicle["izz"] == pytest.approx(mass * length**2 / 12.0, rel=1e-12)
    assert vehicle["ixx"] == pytest.approx(0.0, abs=1e-12)


def test_turning_rows_go_to_their_rotor_about_its_axis() -> None:
    rotors = np.zeros(2, dtype=ROTOR)
    rotors["x"], rotors["z"], rotors["y"] = [-0.2, -0.6], [-0.05, 0.0], [0.4, -0.4]
    rotors["polar_inertia"] = 99.0  # stale numbers are overwritten
    masses = points([(0.2, -0.2, 0.1, -0.05), (0.05, -0.2 + 0.06, 0.7, -0.05), (1.0, 0.0, 0.0, 0.0)])
    masses["iyy"][0] = 4e-4
    masses["rotor"][:2] = 0.0
    vehicle, rotors = solve(masses, rotors)
    assert rotors["mass"] == pytest.approx([0.25, 0.0])
    assert rotors["polar_inertia"] == pytest.approx([4e-4 + 0.05 * 0.06**2, 0.0])
    assert vehicle["mass"] == pytest.approx(1.25)


def test_factors_scale_what_they_name() -> None:
    masses = points([(1.0, 0.0, 0.0, 0.0), (1.0, 1.0, 0.0, 0.0)])
    masses["iyy"] = 0.1
    masses["weighed"][1] = 0.0
    plain, _ = solve(masses)
    heavy, _ = solve(masses, computed_mass=1.1)
    weighed, _ = solve(masses, weighed_mass=1.01)
    shifted, _ = solve(masses, centre_of_gravity_shift=0.003)
    assert (heavy["mass"], weighed["mass"]) == pytest.approx((2.1, 2.01))
    assert heavy["x"] == pytest.approx(1.1 / 2.1)
    assert heavy["iyy"] == pytest.approx(0.21 + 1.1 / 2.1)
    assert shifted["x"] - plain["x"] == pytest.approx(0.003)
    assert shifted["iyy"] == plain["iyy"]


def test_a_wider_stated_spread_widens_the_part() -> None:
    masses = points([(1.0, 0.0, 0.0, 0.0)])
    masses["weighed"] = 0.0
    totals = []
    for spread in (0.0, 0.04, 0.087, 0.2):
        masses["spread"] = spread
        totals.append(float(solve(masses, computed_mass=1.1)[0]["mass"]))
        assert solve(masses)[0]["mass"] == 1.0
    assert totals[0] == pytest.approx(totals[2])
    assert totals[1] < totals[2] < totals[3]


def test_ballast_adds_mass_alone() -> None:
    masses = points([(1.0, 0.2, 0.0, 0.0), (1.0, -0.2, 0.1, 0.0)])
    vehicle = np.zeros(1, dtype=VEHICLE)
    vehicle["extra_mass"] = 0.5
    mass_properties(masses, np.zeros(0, dtype=ROTOR), nominal_factors(1)[0], vehicle[0])
    plain, _ = solve(masses)
    assert vehicle[0]["mass"] == plain["mass"] + 0.5
    assert [vehicle[0][name] for name in TENSOR] == [plain[name] for name in TENSOR]


def test_no_mass_is_all_zero() -> None:
    vehicle, _ = solve(np.zeros(0, dtype=MASS))
    assert all(vehicle[name] == 0.0 for name in ("mass", "x", "y", "z", *TENSOR))
