"""Shake: the example that shakes in flight and the fix that cures it, limits, consistency with the shaft alone."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

import rotorwright
from rotorwright.base.citations import citations
from rotorwright.base.constants import RPM
from rotorwright.base.errors import InputError
from rotorwright.base.unknown import nominal_factors
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import fill
from rotorwright.physics.structure.critical import critical_shapes, mixed_criticals, whirl_criticals
from rotorwright.physics.structure.shaft import case_of
from rotorwright.physics.structure.unequal import unstable_edges
from rotorwright.physics.structure.whirl import reduced, speed_map, whirl_at
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.shake import shake_sheet
from rotorwright.sheets.terminal import sheet_text
from rotorwright.studies.evaluate import factors_for
from rotorwright.studies.shake import Shake, shake
from rotorwright.studies.shake_model import RotorShaft, rotor_shaft

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@lru_cache(maxsize=8)
def example(name: str) -> Aeroplane:
    return rotorwright.load(EXAMPLES / f"{name}.toml")


@lru_cache(maxsize=4)
def shaken(name: str) -> Shake:
    return shake(example(name), samples=32)


@lru_cache(maxsize=8)
def shaft_of(name: str, **changes: str) -> RotorShaft:
    aeroplane = example(name)
    return rotor_shaft(aeroplane, fill(aeroplane), "left", nominal_factors(1))


def changed_shaft(name: str, changes: dict[str, object]) -> RotorShaft:
    aeroplane = example(name).changed({f"rotor.left.{field}": value for field, value in changes.items()})
    return rotor_shaft(aeroplane, fill(aeroplane), "left", nominal_factors(1))


def first(shaft: RotorShaft) -> float:
    return float(whirl_criticals(shaft.model)[0, 0])


def test_one_example_flies_in_a_band_and_the_offered_fix_moves_it_out() -> None:
    answer = shaken("great-roller")
    rotor = answer.rotors[0]
    band = rotor.bands[0]
    level = answer.speeds.level[0]
    assert band.how == "avoid"
    assert band.low < level < band.high
    assert rotor.clear < 0.3
    assert answer.word in ("likely to shake", "shakes in flight")
    best = rotor.fixes[0]
    assert best.clear >= 0.85
    cured = shake(example("great-roller").changed(dict(best.changes)), samples=32)
    assert cured.rotors[0].clear >= 0.85
    assert cured.rotors[0].bands[0].low > cured.speeds.fastest[0]
    critical = cured.rotors[0].quantities["first_critical"].nominal
    assert critical is not None
    assert critical == pytest.approx(best.first_critical.nominal, rel=0.02)


def test_fixes_are_ranked_and_tell_fields_of_the_file() -> None:
    aeroplane = example("great-roller")
    shares = [round(fix.clear, 2) for fix in shaken("great-roller").rotors[0].fixes]
    assert shares == sorted(shares, reverse=True)
    for fix in shaken("great-roller").rotors[0].fixes:
        aeroplane.changed(dict(fix.changes))


@pytest.mark.parametrize("name", ["thistledown", "marsh-tumbler", "drum-major"])
def test_the_good_examples_are_clear(name: str) -> None:
    answer = shaken(name)
    assert answer.word in ("clear", "should be clear")
    assert not answer.rotors[0].bands or answer.rotors[0].bands[0].low > 0.0


def test_sheet_and_document_say_the_same() -> None:
    answer = shaken("great-roller")
    text = sheet_text(shake_sheet(answer))
    assert answer.word in text
    assert "Keep out of" in text
    assert "club's" in text
    assert len(text.splitlines()) < 70
    document = answer.as_dict()
    assert document["shake"]["word"] == answer.word
    assert document["rotors"][0]["fixes"][0]["fix"] in text.replace("\n", " ").replace("  ", " ")


@pytest.mark.parametrize("name", ["great-roller", "thistledown", "lead-duck"])
def test_every_number_is_explained_and_sourced(name: str) -> None:
    quantities = shaken(name).rotors[0].quantities
    for key, quantity in quantities.items():
        assert explanations()[key].unit == quantity.unit
        assert "shake" in explanations()[key].commands
        assert quantity.sources
        assert set(quantity.sources) <= citations().keys()
        if quantity.value is not None:
            assert quantity.low is not None
            assert quantity.high is not None
            assert quantity.low <= quantity.value <= quantity.high


def test_the_model_of_a_drum_is_its_bench_shaft() -> None:
    """The same tube, discs and mounts told to the bench call, skin left without stiffness or mass."""
    aeroplane = example("drum-major").changed({"rotor.left.skin.areal_mass": "1 g/m2", "rotor.left.discs.count": 2})
    factors = nominal_factors(1)
    factors["skin_bending_share"] = 0.0
    rows = fill(aeroplane)
    shaft = rotor_shaft(aeroplane, rows, "left", factors)
    told = aeroplane.tables.rotor["left"]
    half = 0.5 * told.shaft.length
    disc = rows.masses[rows.names.masses.index("left disc 1")]
    tube = {"outer": 0.010, "inner": 0.008, "modulus": 1.15e11, "shear_modulus": 4.3e9, "density": 1550.0}
    discs = [
        {"position": half + way * 0.36, "mass": float(disc["mass"]), "polar_inertia": float(disc["iyy"]),
         "diametral_inertia": float(disc["ixx"])}
        for way in (-1.0, 1.0)
    ]  # fmt: skip
    mount = 1.0 / (1.0 / told.shaft.mount_stiffness + 1.0 / 1.0e7)
    supports = [{"position": half + place, "kx": mount} for place in told.shaft.bearing_positions]
    bench = rotorwright.shaft_alone(
        elements=[{**tube, "length": 2.0 * half / 24}] * 24, discs=discs, supports=supports
    )  # fmt: skip
    ours = whirl_criticals(shaft.model)[0, :2]
    theirs = [quantity.nominal for quantity in bench.forward_critical_speeds[:2]]
    assert ours == pytest.approx(theirs, rel=0.01)


def test_stiffer_things_ring_higher() -> None:
    plain = first(shaft_of("drum-major"))
    assert first(changed_shaft("drum-major", {"shaft.mount_stiffness": "2 N/mm"})) < plain
    assert first(changed_shaft("drum-major", {"shaft.tube": "carbon 16x14 mm", "shaft.bearings": None})) > plain
    three = {"shaft.bearing_positions": ["-370 mm", "0 mm", "370 mm"]}
    assert first(changed_shaft("drum-major", three)) > 1.5 * plain


def test_a_measured_mount_narrows_the_band() -> None:
    def width(changes: dict[str, str]) -> float:
        aeroplane = example("drum-major").changed(changes)
        factors, _ = factors_for(64, 0)
        shaft = rotor_shaft(aeroplane, fill(aeroplane), "left", factors)
        low, high = np.quantile(whirl_criticals(shaft.model)[1:, 0], (0.1, 0.9))
        return float(math.log(high / low))

    measured = width({"rotor.left.shaft.mount_stiffness": "16 N/mm"})
    word = width({"rotor.left.shaft.mount": "bracket"})
    nothing = width({"rotor.left.shaft.mount": None})  # type: ignore[dict-item]
    assert measured < word < nothing


def test_a_dead_axle_does_not_care_for_its_own_spin() -> None:
    """A stiff shell on a dead axle: the shell whirls, the axle stands; both together are lighter on their feet."""
    shaft = changed_shaft("drum-major", {"shaft.turns": False, "skin.material": "balsa", "skin.thickness": "2 mm"})
    found = first(shaft)
    assert 300.0 * RPM < found < 30000.0 * RPM
    assert shaft.mass[0] > 0.05


def test_reduced_map_is_the_full_model_within_a_thousandth() -> None:
    for name in ("drum-major", "great-roller"):
        model = case_of(shaft_of(name).model, 0)
        top = 2.0 * first(shaft_of(name))
        small = reduced(model)
        assert len(small.stiffness) <= 16
        for speed in (0.0, 0.5 * top, top):
            quick, _ = speed_map(small, np.array([speed]), many=6)
            full = whirl_at(model, speed).frequencies[:6]
            inside = full < 2.0 * top
            assert quick[0][inside] == pytest.approx(full[inside], rel=1e-3)


def test_uneven_mounts_split_the_critical() -> None:
    shaft = changed_shaft("drum-major", {"shaft.mount_stiffness": "5 N/mm", "shaft.mount_stiffness_fore": "50 N/mm"})
    assert not shaft.model.even
    pair = mixed_criticals(shaft.model)[0, :2]
    soft = first(changed_shaft("drum-major", {"shaft.mount_stiffness": "5 N/mm"}))
    stiff = first(changed_shaft("drum-major", {"shaft.mount_stiffness": "50 N/mm"}))
    assert soft * 0.95 < pair[0] < pair[1] < stiff * 1.05
    shapes = critical_shapes(case_of(shaft.model, 0), many=2)
    assert abs(shapes[0].direction) < 0.9


def test_a_single_stage_plate_has_the_edges_of_its_two_directions() -> None:
    changes = {"kind": "vaned", "section": "plate", "stages": 1, "skin.material": "balsa", "drive": "free"}
    shaft = changed_shaft("drum-major", changes)
    assert shaft.unequal is not None
    low, high = (float(edge[0]) for edge in unstable_edges(shaft.unequal))
    bare = nominal_factors(1)
    bare["skin_bending_share"] = 1e-9
    aeroplane = example("drum-major").changed({f"rotor.left.{field}": value for field, value in changes.items()})
    tube_only = first(rotor_shaft(aeroplane, fill(aeroplane), "left", bare))
    assert low == pytest.approx(tube_only, rel=0.03)  # across the plate the vane is a thread
    assert high > 1.2 * low


def test_no_rotor_is_said() -> None:
    with pytest.raises(InputError, match="nothing spins"):
        shake(example("plain-wing"))


def test_sag_and_rig_are_answered() -> None:
    answer = shake(example("marsh-tumbler"), nominal_only=True, sag=0.8e-3, rig=18.0 * 2.0 * math.pi)
    told = answer.rotors[0].quantities["first_critical_from_sag"]
    assert told.nominal is not None
    assert 500.0 * RPM < told.nominal < 2500.0 * RPM
    assert answer.others[-1].name == "your test rig"
    assert answer.others[-1].frequency.value == pytest.approx(36.0 * math.pi)
    text = sheet_text(shake_sheet(answer))
    assert "From the sag you measured" in text


def test_same_seed_same_answer() -> None:
    again = shake(example("great-roller"), samples=32)
    assert again.as_dict() == shaken("great-roller").as_dict()
