"""What each step buys: in closed form where it can be, in the maker's units, ranked, with bands of differences."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

import rotorwright
from rotorwright.base.errors import InputProblems
from rotorwright.studies.lever_steps import every_lever, round_step
from rotorwright.studies.lever_table import LeverTable, levers
from rotorwright.studies.outcomes import CHANCE

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@lru_cache(maxsize=4)
def nominal(name: str) -> LeverTable:
    return levers(rotorwright.load(EXAMPLES / f"{name}.toml"), nominal_only=True)


@lru_cache(maxsize=1)
def sampled() -> LeverTable:
    return levers(rotorwright.load(EXAMPLES / "thistledown.toml"), samples=16)


@pytest.mark.parametrize("name", ["drum-major", "lead-duck"])
def test_fifty_grams_on_top_weigh_fifty_grams_and_hardly_move_the_weight_limit(name: str) -> None:
    """What holds a mass up does not care whether it is there already: the limit moves by far less than the mass."""
    more = next(effect for effect in nominal(name).others if effect.lever.field == "mass" and effect.lever.shed < 0.0)
    step = -more.lever.shed
    assert step == pytest.approx(0.05) or step < 0.05
    assert more.added_mass == pytest.approx(step, rel=1e-9)
    assert more.effects["mass"].value == pytest.approx(step, rel=1e-9)
    limit = more.effects["weight_limit"].value
    assert limit is not None
    assert abs(limit) < 0.35 * step


def test_mass_taken_off_at_the_balance_point_buys_thrust_and_a_lower_speed() -> None:
    less = next(effect for effect in nominal("thistledown").others if effect.lever.shed > 0.0)
    assert (less.effects["reserve_thrust"].value or 0.0) > 0.0
    assert (less.effects["slowest_level_speed"].value or 0.0) < 0.0
    speed = nominal("thistledown").base["slowest_level_speed"].value
    mass = nominal("thistledown").base["mass"].value
    assert speed is not None
    assert mass is not None
    # closed form: lift of a free rotor goes with V², so V with the root of the mass
    expected = speed * (np.sqrt(1.0 - less.lever.shed / mass) - 1.0)
    assert less.effects["slowest_level_speed"].value == pytest.approx(expected, rel=0.35)


def test_every_kind_of_design_number_has_a_step_in_the_makers_units() -> None:
    found = every_lever(rotorwright.load(EXAMPLES / "drum-major.toml"))
    fields = {lever.field for lever in found}
    for field in (
        "rotor.left.span", "rotor.left.diameter", "rotor.left.discs.count", "rotor.left.shaft.tube", "drive.belt.ratio",
        "drive.belt.speed", "thruster.nose.propeller", "thruster.nose.tilt", "battery.main.cells",
        "battery.main.capacity", "battery.main.position.x", "surface.tailplane.span", "surface.tailplane.incidence",
        "body.fuselage.width", "item.servos.mass", "rotor.left.position.z", "mass",
    ):  # fmt: skip
        assert field in fields, field
    labels = {lever.label for lever in found}
    assert "rotor left: diameter 130 mm → 140 mm, discs with it" in labels
    assert "thruster nose: tilt 0 deg → 1 deg" in labels
    assert "rotor left: 3 → 4 discs" in labels
    assert len(labels) == len(found)


def test_a_maker_in_inches_gets_steps_in_inches() -> None:
    aeroplane = rotorwright.load(EXAMPLES / "thistledown.toml", {"rotor.left.span": "15 in"})
    labels = [lever.label for lever in every_lever(aeroplane) if lever.field == "rotor.left.span"]
    assert labels == ["rotor left: span 15 in → 15.5 in", "rotor left: span 15 in → 14.5 in"]


def test_a_propeller_keeps_its_letters() -> None:
    changes = [
        str(lever.changes[0][1])
        for lever in every_lever(rotorwright.load(EXAMPLES / "thistledown.toml"))
        if lever.field == "thruster.nose.propeller"
    ]
    assert changes
    assert all(text.endswith(" sf") for text in changes)


@pytest.mark.parametrize(("wanted", "step"), [(0.0501, 0.05), (0.0199, 0.01), (0.9, 0.5), (7.3, 5.0)])
def test_steps_are_round(wanted: float, step: float) -> None:
    assert round_step(wanted) == pytest.approx(step)


def test_steps_with_draws_are_ranked_with_bands_and_chances() -> None:
    table = sampled()
    assert table.ranked
    assert len({effect.lever.field for effect in table.ranked}) == len(table.ranked)
    for effect in table.ranked:
        gain = effect.effects["reserve_thrust"]
        assert gain.low is not None
        assert gain.high is not None
        assert gain.value is not None
        assert gain.low <= gain.value <= gain.high
        assert effect.effects[CHANCE].value is not None
    worth = [round(effect.worth / 0.05) for effect in table.ranked]
    assert worth == sorted(worth, reverse=True)


def test_pairs_compare_with_the_sum_of_both() -> None:
    table = sampled()
    assert table.pairs
    alone = {effect.lever: effect.effects["reserve_thrust"].value or 0.0 for effect in table.ranked}
    for pair in table.pairs:
        together, beyond = pair.together.value, pair.beyond_sum.value
        assert together is not None
        assert beyond is not None
        summed = alone[pair.first] + alone[pair.second]
        assert together - beyond == pytest.approx(summed, abs=0.3 * abs(summed) + 0.05)  # medians do not add exactly


def test_per_gram_steps_that_weigh_nothing_come_first() -> None:
    aeroplane = rotorwright.load(EXAMPLES / "marsh-tumbler.toml")
    table = levers(aeroplane, target="weight", per="gram", nominal_only=True)
    gaining = [effect for effect in table.others if effect.worth > 0.0]
    free = [effect.added_mass <= 0.0005 for effect in gaining]
    assert free == sorted(free, reverse=True)
    assert not all(free)
    heavy = [effect.worth for effect, weightless in zip(gaining, free, strict=True) if not weightless]
    assert heavy == sorted(heavy, reverse=True)


def test_per_hour_needs_hours_and_takes_the_closest_field() -> None:
    aeroplane = rotorwright.load(EXAMPLES / "marsh-tumbler.toml")
    with pytest.raises(InputProblems, match="hours"):
        levers(aeroplane, per="hour", nominal_only=True)
    table = levers(aeroplane, per="hour", hours={"rotor.left": 4.0, "rotor.left.span": 2.0}, nominal_only=True)
    spans = [effect for effect in table.others if effect.lever.field == "rotor.left.span"]
    assert {effect.hours for effect in spans} == {2.0}
    first = table.others[0]
    assert first.lever.field.startswith("rotor.left")
    assert first.worth == pytest.approx((first.effects["reserve_thrust"].value or 0.0) / (first.hours or 1.0))
    for wrong in ({"target": "beauty"}, {"per": "mile"}, {"hours": {"rotor.left": 0.0}}):
        with pytest.raises(InputProblems):
            levers(aeroplane, nominal_only=True, **wrong)  # type: ignore[arg-type]
