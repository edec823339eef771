"""Tooth belts: geometry both ways, limits, forces."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.physics.power.belt import (
    allowed_force,
    belt_forces,
    belt_geometry,
    belt_length,
    centre_distance,
    idle_power,
    pitch_diameter,
    span_frequency,
    wrap_angle,
)
from rotorwright.physics.power.belt_profiles import PROFILES, profile_named, tooth_force

SMALL = st.floats(0.005, 0.1)


@settings(max_examples=200, deadline=None)
@given(small=SMALL, times=st.floats(1.0, 8.0), gap=st.floats(1.02, 20.0))
def test_length_and_centre_distance_undo_each_other(small: float, times: float, gap: float) -> None:
    large = small * times
    centre = gap * 0.5 * (small + large)
    length = belt_length(small, large, centre)
    assert centre_distance(length, small, large) == pytest.approx(centre, rel=1e-9)


def test_the_chord_rule_of_the_trade_is_close() -> None:
    """L ≈ 2 C + π (d₁ + d₂)/2 + (d₂ − d₁)²/(4 C): 323.65 mm for 20 and 60 teeth of 3 mm at 100 mm."""
    small, large = pitch_diameter(20, 0.003), pitch_diameter(60, 0.003)
    near = 0.2 + 0.5 * math.pi * (small + large) + (large - small) ** 2 / 0.4
    assert belt_length(small, large, 0.1) == pytest.approx(near, abs=2e-5)


def test_equal_pulleys() -> None:
    assert belt_length(0.02, 0.02, 0.1) == pytest.approx(0.2 + math.pi * 0.02, rel=1e-12)
    assert wrap_angle(0.02, 0.02, 0.1) == pytest.approx(math.pi)


def test_too_short_a_belt_has_no_centre_distance() -> None:
    assert math.isnan(centre_distance(0.1, 0.02, 0.06))
    assert math.isnan(belt_length(0.02, 0.06, 0.01))


def test_a_string_of_an_organ_of_forces() -> None:
    """A steel string of 1 m, 10 g/m under 400 N sounds at √(400/0.01)/2 = 100 Hz."""
    assert span_frequency(400.0, 0.01, 1.0) == pytest.approx(100.0)


@pytest.mark.parametrize("profile", PROFILES, ids=[profile.name for profile in PROFILES])
def test_profiles_are_sound(profile) -> None:
    assert profile_named(profile.name.lower().replace(" ", "")) is profile
    assert profile.pulleys == tuple(sorted(profile.pulleys))
    assert profile.least_teeth in profile.pulleys
    assert 0.0 < profile.line_offset < profile.pitch
    forces = [tooth_force(profile, turns) for turns in (0.0, 10.0, 50.0, 166.0, 500.0)]
    assert forces == sorted(forces, reverse=True)
    assert min(forces) > 0.0


def test_printed_capacity_of_the_3m_belt() -> None:
    """9 mm wide, six teeth in mesh, 4000 rpm: 7.9 N/cm/tooth × 6 × 0.9 cm = 42.66 N; a fifth less a tooth below six."""
    profile = profile_named("HTD 3M")
    full = allowed_force(profile, 0.009, 6.0, 4000.0 / 60.0)
    assert full == pytest.approx(42.66)
    assert allowed_force(profile, 0.009, 11.0, 4000.0 / 60.0) == full
    assert allowed_force(profile, 0.009, 5.0, 4000.0 / 60.0) == pytest.approx(0.8 * full)
    assert allowed_force(profile, 0.009, 0.5, 4000.0 / 60.0) == 0.0


def test_no_span_ever_goes_slack() -> None:
    profile = profile_named("GT2")
    for force in (0.0, 5.0, 60.0, 400.0):
        forces = belt_forces(profile, 0.006, math.pi, force, 10.0)
        assert forces.slack >= 0.0
        assert forces.tight - forces.slack == pytest.approx(force)
        assert forces.side_load == pytest.approx(2.0 * forces.installed)


def test_idle_power_grows_with_speed_and_not_with_its_sense() -> None:
    profile = profile_named("GT2")
    assert idle_power(profile, 0.006, 5000.0 / 60.0) == pytest.approx(0.5)
    assert idle_power(profile, 0.006, -5000.0 / 60.0) == pytest.approx(0.5)


def test_geometry_from_belt_or_from_distance_is_one() -> None:
    one = belt_geometry(profile="HTD 3M", small_teeth=20, large_teeth=60, belt_teeth=110)
    other = belt_geometry(profile="HTD 3M", small_teeth=20, large_teeth=60, centre=one["centre"])
    assert other["belt_teeth"] == pytest.approx(110.0)
    assert one["mesh"] == pytest.approx(20.0 * one["wrap"] / (2.0 * math.pi))


def test_an_unknown_profile_is_no_profile() -> None:
    with pytest.raises(KeyError):
        profile_named("Q7")
