"""Belts and gears for a duty, and what a drive does to the aeroplane when it is chopped."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

import rotorwright
from house.small_aeroplane import SMALL
from house.walk import ROOT
from rotorwright.base.citations import citations
from rotorwright.design.aircraft_file import loads
from rotorwright.physics.power.belt import belt_length, pitch_diameter
from rotorwright.physics.power.belt_profiles import profile_named
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.power_drive import drive_parts_sheet
from rotorwright.sheets.terminal import sheet_text
from rotorwright.studies.rotor_drive_belts import KEEP_OFF, RATIO_TOLERANCE, Duty, belt_drives, gear_drive
from rotorwright.studies.rotor_drive_parts import rotor_drive_parts

DUTY = Duty(
    ratio=3.0, rotor_turns=40.0, level_torque=0.05, ramp_torque=0.12, largest_pulley=0.12, centre=None,
    shaking=(("rotor", 40.0),),
)  # fmt: skip


def test_every_belt_shown_fits_ratio_room_and_length() -> None:
    found = belt_drives(DUTY, most=20)
    assert len(found) >= 4
    for belt in found:
        profile = profile_named(belt.profile)
        assert abs(belt.rotor_teeth / belt.motor_teeth / 3.0 - 1.0) <= RATIO_TOLERANCE
        assert {belt.motor_teeth, belt.rotor_teeth} <= set(profile.pulleys)
        small, large = pitch_diameter(belt.motor_teeth, profile.pitch), pitch_diameter(belt.rotor_teeth, profile.pitch)
        assert belt_length(small, large, belt.centre) == pytest.approx(belt.belt_teeth * profile.pitch, abs=1e-9)
        assert belt.centre > 0.5 * (small + large)
        assert belt.centre_one_less < belt.centre < belt.centre_one_more
        assert large <= DUTY.largest_pulley
        assert belt.used.nominal <= 1.0
        assert belt.mesh >= 5.0


def test_a_wanted_centre_distance_is_met_within_a_tooth() -> None:
    for belt in belt_drives(replace(DUTY, centre=0.11)):
        assert abs(belt.centre - 0.11) < 0.5 * profile_named(belt.profile).pitch


def test_more_torque_takes_a_stronger_belt_until_none_is_left() -> None:
    light, heavy = belt_drives(DUTY)[0], belt_drives(replace(DUTY, ramp_torque=1.2))[0]
    assert heavy.mass.nominal > light.mass.nominal
    assert heavy.side_load.nominal > light.side_load.nominal
    assert belt_drives(replace(DUTY, ramp_torque=100.0)) == ()


def test_a_span_near_the_rotor_is_told() -> None:
    belt = belt_drives(DUTY)[0]
    near = replace(DUTY, shaking=(("rotor", belt.frequency_at_rest),))
    same = next(each for each in belt_drives(near, most=30) if (each.profile, each.width) == (belt.profile, belt.width))
    if same.belt_teeth == belt.belt_teeth and same.motor_teeth == belt.motor_teeth:
        assert same.shaken == ("rotor",)
    else:  # it has moved away
        assert abs(same.frequency_at_rest / belt.frequency_at_rest - 1.0) > 0.0
    assert 0.0 < KEEP_OFF < 1.0


def test_gears_bear_the_ramp_or_are_not_offered() -> None:
    gear = gear_drive(DUTY)
    assert gear is not None
    assert gear.ratio == pytest.approx(3.0, rel=0.05)
    assert gear.stress <= 15.0e6
    stronger = gear_drive(replace(DUTY, ramp_torque=1.0))
    assert stronger is None or stronger.module > gear.module
    assert gear_drive(replace(DUTY, ramp_torque=1e4)) is None


@pytest.fixture(scope="module")
def roller():
    aeroplane = rotorwright.load(ROOT / "examples" / "great-roller.toml")
    return aeroplane, rotor_drive_parts(aeroplane, samples=16)


def test_an_example_gets_belts_and_its_chop(roller) -> None:
    aeroplane, (parts,) = roller
    assert parts.belts
    assert parts.quantities["chop_moment"].nominal > 0.0
    # closed form: J ω/10 over the torque that keeps one of the two rotors turning
    each = parts.quantities["chop_moment"].nominal / 2.0
    inertia = 0.1 * parts.duty.rotor_turns * 2.0 * math.pi / each
    assert parts.quantities["spin_lost_time"].nominal / inertia == pytest.approx(
        parts.spin_up.stored_energy.nominal / aeroplane.value(f"drive.{parts.name}.speed") ** 2, rel=1e-3
    )
    text = " ".join(sheet_text(drive_parts_sheet(aeroplane, (parts,))).split())
    assert "teeth at the motor" in text
    assert "safety officer" in text


def test_every_quantity_of_a_drive_is_explained(roller) -> None:
    _, (parts,) = roller
    for name, quantity in parts.quantities.items():
        assert explanations()[name].unit == quantity.unit
        assert "power" in explanations()[name].commands
        assert set(quantity.sources) <= citations().keys()
    for belt in parts.belts:
        for quantity in (belt.used, belt.side_load, belt.loss, belt.mass):
            assert set(quantity.sources) <= citations().keys()


def test_without_a_driven_rotor_it_says_so() -> None:
    with pytest.raises(rotorwright.InputError, match="drives no rotor"):
        rotor_drive_parts(loads(SMALL), samples=0)
