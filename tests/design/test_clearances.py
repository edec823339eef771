"""Gaps by hand on simple arrangements."""

from __future__ import annotations

import math

import pytest

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.aircraft_file import loads
from rotorwright.design.clearances import clearances, ground, spin_direction, tip_bank

TEXT = """format = 1
name = "Gaps"
[rotor.left]
kind = "vaned"
section = "s-section"
span = "500 mm"
diameter = "200 mm"
mirror = true
position = ["400 mm", "-330 mm", "50 mm"]
discs = { diameter = "300 mm", thickness = "4 mm", count = 2 }
[body.fuselage]
length = "600 mm"
width = "100 mm"
height = "100 mm"
position = ["320 mm", "0 mm", "0 mm"]
[thruster.nose]
kind = "propeller"
propeller = "10x5"
position = ["0 mm", "0 mm", "0 mm"]
motor = { speed_constant = "900 kv", mass = "60 g" }
[battery.main]
cells = "3S"
capacity = "2 Ah"
[wheel.main]
position = ["300 mm", "150 mm", "-150 mm"]
diameter = "60 mm"
mirror = true
"""


def gap(aeroplane: Aeroplane, one: str, other: str) -> float:
    return min(item.distance for item in clearances(aeroplane) if {item.one, item.other} == {one, other})


def test_gaps_by_hand():
    aeroplane = loads(TEXT)
    # inner disc: 330 − 250 − 2 = 78 mm from the middle line, body half width 50 mm
    assert gap(aeroplane, "rotor left", "body fuselage") == pytest.approx(0.028)
    # disc bottom 50 − 150 = −100 mm, ground −180 mm
    assert gap(aeroplane, "rotor left", "the ground") == pytest.approx(0.08)
    assert gap(aeroplane, "propeller nose", "the ground") == pytest.approx(0.18 - 0.127)
    assert gap(aeroplane, "propeller nose", "body fuselage") == pytest.approx(0.02)
    # inner discs of the two rotors: 2 × 78 mm apart
    assert gap(aeroplane, "rotor left", "rotor right") == pytest.approx(0.156)
    # propeller plane to the disc rim, 400 − 150 mm; nearest in y: 78 − 127 overlaps
    assert gap(aeroplane, "propeller nose", "rotor left") == pytest.approx(0.25)


def test_parts_that_run_into_each_other_are_told_first():
    aeroplane = loads(TEXT).changed({"rotor.left.position.y": "-290 mm", "wheel.main.diameter": "20 mm"})
    first = clearances(aeroplane)[0]
    assert first.distance < 0.0
    assert "runs" in first.sentence()
    assert first.tight


def test_ground_follows_the_wheels():
    aeroplane = loads(TEXT + '[wheel.tail]\nposition = ["900 mm", "0 mm", "-20 mm"]\ndiameter = "20 mm"\n')
    floor = ground(aeroplane)
    assert floor is not None
    assert floor.under(0.3) == pytest.approx(-0.18)
    assert floor.under(0.9) == pytest.approx(-0.03)
    assert gap(aeroplane, "rotor left", "the ground") == pytest.approx(
        (0.05 + 0.18 - 0.1 * floor.slope) / math.hypot(1.0, floor.slope) - 0.15
    )


def test_no_wheels_no_ground():
    aeroplane = loads(TEXT[: TEXT.index("[wheel.main]")])
    assert ground(aeroplane) is None
    assert tip_bank(aeroplane) is None
    assert all(item.other != "the ground" for item in clearances(aeroplane))


def test_bank_until_a_tip_touches():
    bank = tip_bank(loads(TEXT))
    # outer disc: 582 − 150 mm beyond the wheel, 80 mm up
    assert bank == pytest.approx(math.atan2(0.08, 0.582 - 0.15))


def test_direction_of_spin_in_workshop_words():
    aeroplane = loads(TEXT)
    rotor = aeroplane.tables.rotor["left"]
    assert "hollow side of the vane faces the wind" in spin_direction(rotor)
    assert "top moves aft" in spin_direction(rotor.model_copy(update={"kind": "drum", "section": None}))
    assert "either way" in spin_direction(rotor.model_copy(update={"section": "plate"}))


def test_a_leg_against_a_disc_by_hand():
    text = TEXT + '[strut.leg]\nstart = ["400 mm", "330 mm", "-300 mm"]\nend = ["400 mm", "330 mm", "-80 mm"]\n'
    text += 'diameter = "4 mm"\nmirror = true\n'
    aeroplane = loads(text)
    # drum of 100 mm radius about 50 mm up: its underside at -50 mm, the top of the leg at -80 mm less 2 mm of wire
    assert gap(aeroplane, "rotor left", "strut leg-mirror") == pytest.approx(0.028)
    assert gap(aeroplane, "rotor right", "strut leg") == pytest.approx(0.028)
    # propeller plane at 0 mm, the leg 400 mm behind and 330 - 127 mm out at -80 mm
    away = math.hypot(0.33, 0.08) - 0.127
    assert gap(aeroplane, "propeller nose", "strut leg") == pytest.approx(math.hypot(0.4, away) - 0.002)


def test_a_drive_too_slow_for_its_rotor_is_named_with_what_mends_it():
    text = TEXT.replace('kind = "vaned"\nsection = "s-section"', 'kind = "drum"\ndrive = "belt"')
    text += '[drive.belt]\nmotor = { speed_constant = "600 rpm/V", mass = "40 g" }\nratio = 5\nspeed = "1600 rpm"\n'
    slow = loads(text)
    # 600 rpm/V on three cells of 3.7 V through 5, 85 % of it under load: 1132 rpm
    said = next(remark for remark in slow.remarks if remark.startswith("drive.belt"))
    assert "reaches about 1132 of the 1600 rpm asked on 3S" in said
    assert "a motor with about 848 rpm/V" in said
    mending = {"battery.main.cells": "5S", "drive.belt.ratio": 3.0, "drive.belt.motor.speed_constant": "900 kv"}
    for field, value in mending.items():
        assert not any("reaches about" in remark for remark in slow.changed({field: value}).remarks)
