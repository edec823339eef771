"""A rigid body let go: closed forms, invariants, the Earth, mistakes told. Published: nasa2015-check-cases."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from rotorwright import InputError, rigid_body_alone
from rotorwright.flight.earth import EARTH_RATE, EQUATOR_RADIUS, geodetic, gravitation, place_of

BALL: dict[str, Any] = {"mass": 2.0, "inertia": (0.02, 0.02, 0.02), "initial_state": {"height": 100.0}}
BRICK: dict[str, Any] = {
    "mass": 2.26796,
    "inertia": (0.00256822, 0.00842101, 0.00975466),
    "initial_state": {"rates": [math.radians(rate) for rate in (10.0, 20.0, 30.0)]},
}


def test_a_fall_without_air_follows_galileo() -> None:
    motion = rigid_body_alone(**BALL, duration=3.0, step=0.01)
    assert motion.height[-1] == pytest.approx(100.0 - 0.5 * 9.80665 * 9.0, abs=1e-9)
    assert motion.at(1.5)["velocity_down"] == pytest.approx(9.80665 * 1.5, abs=1e-9)
    assert motion.latitude is None
    assert motion.north is not None


def test_a_fall_with_drag_reaches_the_closed_form() -> None:
    """v = v_end tanh(g t / v_end) at constant density."""
    motion = rigid_body_alone(
        **BALL, reference={"area": 0.05}, coefficients={"CD": 0.5}, air_density=1.225, duration=6.0, step=0.02
    )
    end = math.sqrt(2.0 * 2.0 * 9.80665 / (1.225 * 0.05 * 0.5))
    assert motion.velocity_down[-1] == pytest.approx(end * math.tanh(9.80665 * 6.0 / end), rel=1e-7)


def test_a_minute_of_tumbling_keeps_energy_and_momentum() -> None:
    """Torque free at 10, 20 and 30 degrees a second: drift below 1e-9 in a minute."""
    motion = rigid_body_alone(**BRICK, duration=60.0, step=0.01)
    for kept in (motion.turning_energy, motion.angular_momentum):
        assert np.ptp(kept) / kept[0] < 1e-9


def test_damping_slows_each_turn_as_the_closed_form_says() -> None:
    """In steady wind one axis alone fades as exp(−ρ V S b² |C| t / 4 I)."""
    wide = {"area": 0.02, "span": 0.1, "chord": 0.2}
    for axis, (name, inertia, length) in enumerate(
        (("Clp", 0.02, 0.1), ("pitch_damping", 0.03, 0.2), ("Cnr", 0.04, 0.1))
    ):
        rates = [0.0, 0.0, 0.0]
        rates[axis] = 2.0
        motion = rigid_body_alone(
            mass=1.0, inertia=(0.02, 0.03, 0.04), reference=wide, coefficients={name: -1.0}, wind=(-50.0, 0.0, 0.0),
            initial_state={"rates": rates}, gravity=0.0, air_density=1.2, duration=2.0, step=0.01,
        )  # fmt: skip
        pace = 1.2 * 50.0 * 0.02 * length**2 / 4.0 / inertia
        turned = (motion.roll_rate, motion.pitch_rate, motion.yaw_rate)[axis]
        assert turned[-1] == pytest.approx(2.0 * math.exp(-2.0 * pace), rel=1e-6)


def test_the_whole_inertia_matrix_counts() -> None:
    """A body turned in its axes moves the same, seen from outside."""
    turn = np.array([[0.6, 0.8, 0.0], [-0.8, 0.6, 0.0], [0.0, 0.0, 1.0]])
    rates = np.array([0.3, -0.5, 0.7])
    plain = rigid_body_alone(
        mass=1.0, inertia=(0.01, 0.02, 0.025), initial_state={"rates": rates}, duration=5.0, step=0.01
    )
    turned = rigid_body_alone(
        mass=1.0, inertia=turn @ np.diag([0.01, 0.02, 0.025]) @ turn.T, initial_state={"rates": turn @ rates},
        duration=5.0, step=0.01,
    )  # fmt: skip
    ends = [np.array([each.roll_rate[-1], each.pitch_rate[-1], each.yaw_rate[-1]]) for each in (plain, turned)]
    assert ends[1] == pytest.approx(turn @ ends[0], abs=1e-9)


def test_a_wind_that_grows_with_height_is_asked_on_the_way() -> None:
    motion = rigid_body_alone(
        **BALL, reference={"area": 0.5}, coefficients={"CD": 1.0}, wind=lambda height: (0.0, 0.1 * height, 0.0),
        duration=4.0, step=0.02,
    )  # fmt: skip
    assert motion.velocity_east[-1] > 1.0
    assert motion.velocity_north[-1] == pytest.approx(0.0, abs=1e-9)


def test_places_on_the_earth_go_there_and_back() -> None:
    for latitude in (-1.4, -0.3, 0.0, 0.9, 1.5):
        for height in (-100.0, 0.0, 9144.0, 4e5):
            back = geodetic(*place_of(latitude, 2.1, height))
            assert back == pytest.approx((latitude, 2.1, height), abs=1e-6)


def test_gravity_on_the_ground_is_the_standard_one() -> None:
    """Normal gravity of WGS-84: 9.7803253359 at the equator and 9.8321849379 m/s² at the poles (printed constants of
    the standard, from memory; the J2 field alone leaves out 3e-5)."""
    at_equator = -gravitation(EQUATOR_RADIUS, 0.0, 0.0)[0] - EARTH_RATE**2 * EQUATOR_RADIUS
    assert at_equator == pytest.approx(9.7803253359, abs=2e-4)
    pole = place_of(0.5 * math.pi, 0.0, 0.0)
    assert -gravitation(*pole)[2] == pytest.approx(9.8321849379, abs=2e-4)


def test_rates_over_ground_add_the_earth() -> None:
    level = {"latitude": 0.7, "height": 100.0}
    over = rigid_body_alone(
        mass=1.0, inertia=(1.0, 1.0, 1.0), initial_state={**level, "rates_over_ground": (0.0, 0.0, 0.0)}, duration=0.1,
        step=0.1, earth="rotating",
    )  # fmt: skip
    assert over.roll_rate[0] == pytest.approx(EARTH_RATE * math.cos(0.7), rel=1e-9)
    assert over.yaw_rate[0] == pytest.approx(-EARTH_RATE * math.sin(0.7), rel=1e-9)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"inertia": (1.0, 1.0, 3.0)}, "inertia"),
        ({"inertia": (1.0, 2.0)}, "3 × 3"),
        ({"inertia": [[1.0, 0.2, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]}, "symmetric"),
        ({"mass": math.nan}, "mass"),
        ({"earth": "round"}, "flat, rotating"),
        ({"initial_state": {"speed": 3.0}}, "velocity"),
        ({"initial_state": {"velocity": (1.0, 2.0)}}, "three numbers"),
        ({"coefficients": {"CD": 0.1}}, "reference.area"),
        ({"coefficients": {"CL": 0.1}}, "CD"),
        ({"coefficients": {"CD": 0.1, "drag_coefficient": 0.2}, "reference": {"area": 1.0}}, "twice"),
        ({"step": 1e-6, "duration": 1e4}, "steps"),
        ({"wind": (1.0, math.inf, 0.0)}, "wind"),
    ],
)
def test_mistakes_are_named(change: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError, match=said):
        rigid_body_alone(**{**BALL, "duration": 1.0, "step": 0.1, **change})


def test_a_time_outside_is_refused() -> None:
    motion = rigid_body_alone(**BALL, duration=1.0, step=0.1)
    with pytest.raises(InputError, match="time"):
        motion.at(1.5)
