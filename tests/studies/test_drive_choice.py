"""Driven or free, spin-up and slipstream: nominal runs on examples, moving the way physics says."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

import rotorwright
from rotorwright.base.citations import citations
from rotorwright.base.constants import RPM
from rotorwright.base.errors import InputError
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import fill
from rotorwright.sheets.blown import blown_sheet
from rotorwright.sheets.drive_choice import drive_choice_sheet
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.terminal import sheet_text
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.blown import Blown, blown, slipstream
from rotorwright.studies.blown_wake import middle_deficit, wake_spread
from rotorwright.studies.drive_choice import DriveChoice, drive_choice, reserve_over_mass
from rotorwright.studies.drive_choice_spin_up import SpinUp, spin_up_plan
from rotorwright.studies.drive_choice_variants import KINDS
from rotorwright.studies.evaluate import fly
from rotorwright.studies.held_flight import level_or_held

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@lru_cache(maxsize=4)
def example(name: str) -> Aeroplane:
    return rotorwright.load(EXAMPLES / f"{name}.toml")


@lru_cache(maxsize=4)
def chosen(name: str) -> DriveChoice:
    return drive_choice(example(name), nominal_only=True)


@lru_cache(maxsize=4)
def washed(name: str) -> Blown:
    return blown(example(name), samples=0)


def plan(aeroplane: Aeroplane, ramp_time: float | None = None) -> SpinUp:
    flown = fly(aeroplane, samples=0, few=True, thorough=False)
    return spin_up_plan(flown, Reader(flown, "between data"), level_or_held(flown), ramp_time=ramp_time)


def nominal(quantity: rotorwright.Quantity | None) -> float:
    assert quantity is not None
    assert quantity.nominal is not None
    return quantity.nominal


@pytest.mark.parametrize(("name", "kind"), [("drum-major", "drum driven"), ("marsh-tumbler", "vaned free")])
def test_three_ways_of_the_same_aeroplane(name: str, kind: str) -> None:
    answer = chosen(name)
    assert [each.variant.kind for each in answer.variants] == list(KINDS)
    assert [each.variant.kind for each in answer.variants if each.variant.described] == [kind]
    before = fill(example(name)).rotors
    for each in answer.variants:
        rotors = fill(each.variant.aeroplane).rotors
        for field in ("span", "diameter", "x", "y", "z"):
            np.testing.assert_allclose(rotors[field], before[field])
        driven = each.variant.kind.endswith("driven")
        assert (each.spin_up is not None) == driven
        assert (each.break_even is not None) == driven
        assert (rotors["drive"] >= 0).all() == driven
    drum, free, vaned = answer.variants
    assert nominal(free.quantities["mass"]) < nominal(vaned.quantities["mass"])
    assert nominal(vaned.quantities["spin_ratio"]) > nominal(free.quantities["spin_ratio"])
    assert nominal(drum.quantities["drive_loss"]) > 0.0


def test_break_even_is_where_driving_pays_no_more() -> None:
    _, free, vaned = chosen("marsh-tumbler").variants
    even, mass = nominal(vaned.break_even), nominal(vaned.quantities["drive_mass"])
    assert even > 0.0
    there = reserve_over_mass(vaned.variant.aeroplane, np.array([even - mass]), samples=0)[0, 0]
    unchanged = reserve_over_mass(free.variant.aeroplane, np.zeros(1), samples=0)[0, 0]
    heavier = reserve_over_mass(vaned.variant.aeroplane, np.array([even - mass + 0.3]), samples=0)[0, 0]
    assert there == pytest.approx(unchanged, abs=0.15)
    assert heavier < there - 0.2


def test_a_weighed_aeroplane_gains_what_its_parts_gain() -> None:
    plain = example("marsh-tumbler")
    parts = float(fill(plain).masses["mass"].sum())
    told = {**dict(plain.told), "weighed": {"mass": f"{1000.0 * parts + 150.0:.3f} g"}}
    from rotorwright.design.aircraft_file import build
    from rotorwright.studies.drive_choice_variants import _built

    weighed = build(told, plain.source, "")
    rotors = {
        name: {**rotor, "discs": {**rotor["discs"], "thickness": "6 mm"}} for name, rotor in told["rotor"].items()
    }
    thicker = float(fill(_built(plain, {**dict(plain.told), "rotor": rotors})).masses["mass"].sum())
    again = float(fill(_built(weighed, {**told, "rotor": rotors})).masses["mass"].sum())
    assert thicker > parts + 0.005
    assert again == pytest.approx(parts + 0.150 + thicker - parts, abs=1e-4)


def test_ramp_obeys_momentum_and_energy() -> None:
    aeroplane = example("drum-major")
    slow, quick = plan(aeroplane, 4.0), plan(aeroplane, 2.0)
    # energy: the pack gives at least what the rotors store and what a spun-up rotor cannot give back
    assert nominal(quick.pack_energy) > nominal(quick.stored_energy)
    rows = fill(aeroplane)
    speed = float(rows.drives["speed"][0])
    flown = fly(aeroplane, samples=0, few=True, thorough=False)
    inertia = flown.numbers.rotors["polar_inertia"][0]
    assert nominal(quick.stored_energy) == pytest.approx(0.5 * float(inertia.sum()) * speed**2)
    # momentum: halving the time adds J Ω (1/2 − 1/4) to the moment; the air's share stays
    geared = float((rows.drives["ratio"] * rows.drives["motor_inertia"]).sum())
    added = (float(inertia.sum()) + geared) * speed * (1.0 / 2.0 - 1.0 / 4.0)
    assert nominal(slow.moment_spinning_up) - nominal(quick.moment_spinning_up) == pytest.approx(added, rel=1e-6)
    assert nominal(quick.moment_spinning_up) < 0.0 < nominal(quick.moment_braking)
    assert nominal(quick.voltage_rate) == pytest.approx(2.0 * nominal(slow.voltage_rate), rel=0.1)
    assert nominal(quick.peak_current) > nominal(slow.peak_current)
    assert nominal(quick.full_current_time) < nominal(quick.shortest_ramp)


def test_a_ramp_at_the_limit_takes_four_fifths_of_it() -> None:
    weak = example("drum-major").changed({"drive.belt.controller.current_limit": "5 A"})
    shortest = nominal(plan(weak).shortest_ramp)
    at_limit = plan(weak, shortest)
    assert nominal(at_limit.current_limit) == pytest.approx(5.0)
    assert nominal(at_limit.peak_current) == pytest.approx(4.0, rel=1e-3)
    assert any("controller's, 5 A" in note for note in at_limit.notes)
    assert any("more than four fifths" in note for note in plan(weak, 0.5 * shortest).notes)


def test_a_drive_that_cannot_reach_its_speed_says_so() -> None:
    hopeless = example("drum-major").changed({"drive.belt.speed": 2600.0 * RPM, "drive.belt.ratio": 6.0})
    answer = plan(hopeless)
    assert answer.shortest_ramp.value is None
    assert "does not reach its speed" in answer.shortest_ramp.reason


def test_slipstream_far_behind_doubles_the_momentum_speed() -> None:
    # closed form: v = (−V + sqrt(V² + 2T/(ρA)))/2 at the disc, 2 v far behind (Rankine–Froude)
    thrust, diameter, airspeed, density = 8.0, 0.25, 9.0, 1.2
    area = math.pi * diameter**2 / 4.0
    induced = 0.5 * (-airspeed + math.sqrt(airspeed**2 + 2.0 * thrust / (density * area)))
    part = {"thrust": thrust, "diameter": diameter, "airspeed": airspeed, "span": 0.02, "height": 0.02}
    far = slipstream(ahead=50.0, air_density=density, **part)
    near = slipstream(ahead=0.0, air_density=density, **part)
    assert near.added_speed == pytest.approx(induced, rel=1e-3)
    assert far.added_speed == pytest.approx(2.0 * induced, rel=1e-3)
    assert far.pressure_ratio == pytest.approx((1.0 + 2.0 * induced / airspeed) ** 2, rel=1e-3)
    assert far.share == pytest.approx(1.0)
    assert slipstream(ahead=0.3, above=1.0, **part).share == 0.0
    with pytest.raises(InputError):
        slipstream(ahead=0.3, **{**part, "airspeed": 0.0})


@pytest.mark.parametrize("distance", [0.0, 0.2, 2.0])
def test_the_wake_carries_the_drag(distance: float) -> None:
    drag_per_span, pressure = 6.0, 60.0
    spread = wake_spread(drag_per_span, pressure, distance)
    deficit = middle_deficit(drag_per_span, pressure, spread)
    heights = np.linspace(-12.0, 12.0, 4001) * spread
    missing = deficit * np.exp(-0.5 * (heights / spread) ** 2)
    momentum = 2.0 * pressure * np.trapezoid(missing * (1.0 - missing), heights)
    assert momentum == pytest.approx(drag_per_span, rel=1e-6)
    assert deficit == pytest.approx(0.5) if distance == 0.0 else deficit < 0.5


def test_wash_blows_a_free_rotor_and_spares_it_above() -> None:
    there = {place.name: place for place in washed("marsh-tumbler").places}
    ahead, behind, above = there["ahead"].quantities, there["behind"].quantities, there["above"].quantities
    assert nominal(ahead["rotor_speed_gained"]) > 0.0
    assert nominal(ahead["lift_gained"]) > nominal(behind["lift_gained"]) > 0.0
    assert nominal(ahead["thrust_lost"]) > nominal(ahead["rotor_drag_added"]) > 0.0
    assert nominal(above["lift_gained"]) == 0.0
    assert nominal(behind["thrust_in_wake"]) > 0.0
    assert "thrust_in_wake" not in ahead
    assert 0.0 < nominal(behind["wake_deficit"]) < 0.5
    lift = np.array(washed("marsh-tumbler").map_lift)
    assert lift.max() == lift[washed("marsh-tumbler").map_above.index(0.0)].max()


def test_a_governed_drum_keeps_its_speed_in_the_wash() -> None:
    ahead = washed("drum-major").places[1].quantities
    assert nominal(ahead["rotor_speed_gained"]) == pytest.approx(0.0, abs=1e-9)
    assert nominal(ahead["rotor_drag_added"]) > 0.0


def test_no_propeller_is_said_plainly() -> None:
    with pytest.raises(InputError, match="is no propeller of this file"):
        blown(example("drum-major"), thruster="tail", samples=0)


def test_everything_is_explained_and_the_sheet_fits() -> None:
    answer, wash = chosen("drum-major"), washed("drum-major")
    new = {name: q for each in answer.variants if each.spin_up for name, q in each.spin_up.quantities().items()}
    for place in wash.places:
        new |= place.quantities
    new |= {name: answer.variants[0].quantities[name] for name in ("drive_mass", "rotor_speed_ceiling")}
    unexplained = [name for name, q in new.items() if name not in explanations() or explanations()[name].unit != q.unit]
    assert unexplained == []
    for quantity in new.values():
        assert set(quantity.sources) <= citations().keys()
        assert quantity.sources
    text = sheet_text(drive_choice_sheet(answer))
    blown_text = sheet_text(blown_sheet(wash, answer.aeroplane))
    assert max(len(line) for line in f"{text}\n{blown_text}".splitlines()) <= 80
    for word in ("Side by side", "Spinning up, drum driven", "Caution"):
        assert word in text
    assert "Spinning up, vaned driven" not in text  # the aeroplane as described is what is built
    for word in ("Places side by side", "The wash of nose adds"):
        assert word in blown_text
    silent = replace(answer, variants=answer.variants[:2])
    assert "vaned driven" not in sheet_text(drive_choice_sheet(silent))
