"""Drawn blades: momentum, scaling, the reader, and flight with them."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import rotorwright
from house.small_aeroplane import SMALL
from rotorwright.base.records import NARROW
from rotorwright.physics.power.blade_element import blade_loads, section
from rotorwright.studies.bench_propeller import propeller_alone
from rotorwright.studies.custom_blade import as_label, blade_alone, filled, read_blade_file

PLAN = ((0.02, 0.016, 0.60), (0.04, 0.02, 0.44), (0.06, 0.019, 0.33), (0.08, 0.016, 0.26), (0.10, 0.008, 0.20))


def loads(**changed):
    told = {
        "diameter": 0.2, "radius_shares": (0.2, 0.4, 0.6, 0.8, 1.0), "chord_shares": (0.16, 0.2, 0.19, 0.16, 0.08),
        "angles": (0.6, 0.44, 0.33, 0.26, 0.2), "blades": 2, "shaft_speed": 800.0, "airspeed": 0.0,
        "air_density": 1.225, "air_viscosity": 1.789e-5,
    }  # fmt: skip
    return blade_loads(**{**told, **changed})


def test_power_is_never_less_than_momentum_asks() -> None:
    """Actuator disc: P ≥ T (V + √(V² + 2 T/ρA))/2 (closed form)."""
    area = math.pi * 0.01
    for airspeed in (0.0, 3.0, 6.0, 9.0):
        found = loads(airspeed=airspeed)
        thrust = max(found.thrust, 0.0)
        ideal = thrust * 0.5 * (airspeed + math.sqrt(airspeed**2 + 2.0 * thrust / (1.225 * area)))
        assert found.torque * 800.0 > ideal


def test_thrust_falls_and_ends_with_airspeed() -> None:
    thrusts = [loads(airspeed=speed).thrust for speed in (0.0, 4.0, 8.0, 12.0, 20.0, 30.0)]
    assert thrusts == sorted(thrusts, reverse=True)
    assert thrusts[0] > 0.0 > thrusts[-1]


def test_size_and_density_scale_as_they_must() -> None:
    """At one Reynolds number thrust goes with ρ n² D⁴ (similarity)."""
    small = loads()
    large = loads(diameter=0.4, shaft_speed=200.0)
    assert large.reynolds == pytest.approx(small.reynolds, rel=1e-9)
    assert large.thrust == pytest.approx(small.thrust, rel=1e-9)  # ρ (n/4)² (2 D)⁴


def test_more_blades_pull_more_but_less_than_in_proportion() -> None:
    two, three = loads().thrust, loads(blades=3).thrust
    assert two < three < 1.5 * two


def test_a_section_stalls_softly() -> None:
    lift, drag = section(0.0, 1e5)
    assert 0.3 < lift < 0.7
    assert section(0.6, 1e5)[0] < 1.53
    assert section(0.0, 2.5e4)[1] == pytest.approx(2.0 * drag)


def test_the_label_that_stands_for_the_blade_gives_its_static_loads_and_ends_where_it_ends() -> None:
    diameter, pitch, thrust_scale, power_scale = as_label(PLAN, 2, NARROW)
    speed = 2.0 * 59.847 / (0.75 * diameter)
    drawn, label = blade_alone(stations=PLAN, rotor_speed=speed), None
    label = propeller_alone(diameter=diameter, pitch=pitch, rotor_speed=speed)
    size = (diameter / 0.254) ** 0.12  # the label's own trend with Reynolds number at this size
    assert label.thrust.nominal * thrust_scale == pytest.approx(drawn.thrust.nominal * size, rel=0.02)
    assert 0.3 < power_scale < 3.0
    assert drawn.thrust.low < drawn.thrust.nominal < drawn.thrust.high


def test_a_blade_file_is_read_in_millimetres_or_inches(tmp_path: Path) -> None:
    place = tmp_path / "blade.csv"
    lines = ["radius_mm; chord_mm; angle_deg; note"]
    lines += [f"{1e3 * r:.4g}; {1e3 * c:.4g}; {math.degrees(a):.6g}; " for r, c, a in PLAN]
    place.write_text("\n".join(lines), encoding="utf-8")
    for told, read in zip(PLAN, read_blade_file(place), strict=True):
        assert read == pytest.approx(told, rel=1e-5)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("radius_mm,chord_mm\n20,16\n", "angle: is missing"),
        ("radius_mm,chord_mm,angle_deg\n20,16,30\n40,20,25\n", "more stations"),
        ("radius_mm,chord_mm,angle_deg\n20,16,30\n40,20,25\n30,20,25\n50,9,20\n", "must rise"),
        ("radius_mm,chord_mm,angle_deg\n20,16,\n", "is not whole"),
    ],
)
def test_what_a_blade_file_must_hold(tmp_path: Path, text: str, says: str) -> None:
    place = tmp_path / "blade.csv"
    place.write_text(text, encoding="utf-8")
    with pytest.raises(rotorwright.InputProblems) as caught:
        read_blade_file(place)
    assert says in str(caught.value)


def test_an_aeroplane_flies_with_its_drawn_blade(tmp_path: Path) -> None:
    lines = ["radius_mm, chord_mm, angle_deg"] + [f"{1e3 * r}, {1e3 * c}, {math.degrees(a)}" for r, c, a in PLAN]
    (tmp_path / "blade.csv").write_text("\n".join(lines), encoding="utf-8")
    text = SMALL.replace('propeller = "8x4"', 'propeller = "8x4"\nblade = "blade.csv"')
    (tmp_path / "small.toml").write_text(text, encoding="utf-8")
    row = filled(rotorwright.load(tmp_path / "small.toml")).thrusters[0]
    diameter, pitch, thrust, power = as_label(PLAN, 2, NARROW)
    assert (row["diameter"], row["pitch"]) == (diameter, pitch)
    assert (row["thrust_scale"], row["power_scale"]) == (thrust, power)
