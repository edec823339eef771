"""The power story of the examples: one with the equation of motion; heat adds up; plans and fixes do what they say."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from rotorwright import InputProblems, load
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.evaluate import fly
from rotorwright.studies.heat_plan import HeatBench, heat_story
from rotorwright.studies.heat_plan_inputs import fill_losses
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.power import PowerStory, power
from rotorwright.studies.power_classes import class_of, read_classes
from rotorwright.studies.power_fixes import fixes
from rotorwright.studies.power_plan import CLIMB, FULL, LEVEL, REST, THROTTLE, Phase, read_plan
from rotorwright.studies.power_state import power_state

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@lru_cache(maxsize=4)
def example(name: str) -> Aeroplane:
    return load(EXAMPLES / f"{name}.toml")


@lru_cache(maxsize=4)
def story(name: str) -> PowerStory:
    return power(example(name), samples=32)


def test_every_motor_and_pack_is_read_as_the_ledger_has_it() -> None:
    flown = fly(example("drum-major"), samples=8)
    level = level_or_held(flown)
    rows = held_flight(flown.numbers, level)
    rows.solve((), 1)
    state = power_state(rows)
    assert state.motors[:, 0, 0] == pytest.approx(rows.steady["motor_current"])
    assert state.current[:, 0] == pytest.approx(rows.steady["pack_current"])
    assert state.voltage[:, 0] == pytest.approx(rows.steady["pack_voltage"])
    bus = state.motors[:, 0, 2] * state.voltage[:, 0]
    assert bus - state.motors[:, 0, 3] == pytest.approx(rows.steady["thruster_motor_loss"])


def test_heat_is_all_that_is_lost() -> None:
    flown = fly(example("marsh-tumbler"), samples=8)
    level = level_or_held(flown)
    rows = held_flight(flown.numbers, level)
    rows.solve((), 1)
    state = power_state(rows)
    for case in range(len(level)):
        part, factors = flown.numbers.thrusters[case, 0], flown.numbers.factors[case]
        heat = np.zeros(6)
        fill_losses(part, state.motors[case, 0], float(state.voltage[case, 0]), factors, heat)
        lost = float(rows.steady["thruster_motor_loss"][case])
        assert heat[:4].sum() == pytest.approx(lost, rel=2e-3)


def test_thrust_required_is_that_of_level_flight() -> None:
    found = story("drum-major").match
    curves = {curve.name: curve for curve in found.curves}
    level = story("drum-major").quantities
    speed = level["level_speed"].nominal
    required = np.interp(speed, found.airspeed, curves["thrust_required"].nominal)
    assert required == pytest.approx(level["level_thrust"].nominal, rel=0.06)
    available = np.interp(speed, found.airspeed, curves["thrust_available"].nominal)
    assert available == pytest.approx(level["full_throttle_thrust"].nominal, rel=0.02)
    assert found.trimmed_by == "rotor command"
    # more speed costs more thrust, and throttle follows
    there = [k for k, number in enumerate(curves["throttle_level"].nominal) if np.isfinite(number)]
    assert len(there) >= 10
    assert curves["throttle_level"].nominal[there[-1]] > curves["throttle_level"].nominal[there[3]]


def test_static_thrust_is_a_footnote_with_the_share_left() -> None:
    found = story("thistledown").quantities
    left = found["thrust_left_in_flight"].nominal
    assert left is not None
    assert 0.3 < left < 0.95
    assert left == pytest.approx(found["thrust_at_level_speed"].nominal / found["static_thrust"].nominal, rel=1e-6)


def test_limits_grow_worse_with_a_weaker_controller() -> None:
    weak = power(example("drum-major").changed({"thruster.nose.controller.current_limit": "20 A"}), nominal_only=True)
    worst = [(limit.what, used) for _, limit, used in weak.match.nominal_limits]
    assert {what for what, _ in worst} == {"current of the controller"}
    assert min(used for _, used in worst) > 1.0


def test_plans_in_words() -> None:
    plan = read_plan("full 25 s, 60 % 2 min; climb 1 m/s 20 s, level 1.5 min, rest 5 min")
    assert plan == (
        Phase(FULL, 25.0),
        Phase(THROTTLE, 120.0, 0.6),
        Phase(CLIMB, 20.0, 1.0),
        Phase(LEVEL, 90.0),
        Phase(REST, 300.0),
    )


@pytest.mark.parametrize("text", ["", "full", "full speed 20 s", "120 % 20 s", "climb 20 s", "level -3 s", "level 9 h"])
def test_plans_that_make_no_sense_are_refused(text: str) -> None:
    with pytest.raises(InputProblems):
        read_plan(text)


def test_an_example_overheats_in_a_stated_time_and_the_offered_fix_removes_it() -> None:
    hot = story("marsh-tumbler")
    full = hot.heat.full_time
    assert full.nominal is not None
    assert 5.0 < full.nominal < 60.0
    assert hot.heat.full_limit is not None
    offered = [fix for fix in hot.fixes if fix.removes and fix.changes]
    assert offered
    fixed = power(example("marsh-tumbler").changed(dict(offered[0].changes)), nominal_only=True)
    assert fixed.heat.full_time.nominal is None or fixed.heat.full_time.nominal >= 60.0
    assert fixed.heat.margin > 0.0
    assert fixed.fixes == ()


def test_shutting_the_air_out_makes_everything_warmer() -> None:
    flown = fly(example("marsh-tumbler"), samples=0)
    level = level_or_held(flown)
    reader = Reader(flown, "between data")
    plan = read_plan("full 30 s, level 2 min")
    peaks = {
        cooling: heat_story(HeatBench(flown, level, cooling), reader, plan).warmed.peaks[0, :, 0]
        for cooling in ("open", "vented", "closed")
    }
    assert (peaks["open"] <= peaks["vented"] + 1e-6).all()
    assert (peaks["vented"] < peaks["closed"]).all()


def test_a_rest_cools_and_takes_no_charge() -> None:
    flown = fly(example("marsh-tumbler"), samples=0)
    bench = HeatBench(flown, level_or_held(flown))
    worked = bench.run(read_plan("full 30 s"))
    rested = bench.run(read_plan("full 30 s, rest 10 min"))
    assert rested.charge == pytest.approx(worked.charge)
    assert (rested.history[0, -1, 1:4] < worked.history[0, -1, 1:4]).all()
    assert worked.energy.sum() == pytest.approx(rested.energy.sum())


def test_energy_and_charge_tell_the_same() -> None:
    flown = fly(example("plain-wing"), samples=0)
    bench = HeatBench(flown, level_or_held(flown))
    warmed = bench.run(read_plan("level 3 min"))
    level = level_or_held(flown)
    # charge drawn at the level current, which hardly changes over three minutes
    capacity = float(flown.rows.batteries["capacity"][0])
    assert 1.0 - warmed.charge[0, 0] == pytest.approx(180.0 * float(level["pack_current"][0]) / capacity, rel=0.06)
    assert warmed.energy[0, 0] == pytest.approx(180.0 * float(level["bus_power"][0]), rel=0.03)


def test_a_heavier_pack_has_an_optimum() -> None:
    packs = story("drum-major").packs
    endurance = [each.value for each in packs.endurance]
    assert endurance[2] is not None
    assert endurance[3] is not None
    assert endurance[3] > endurance[2]
    one, two = packs.mass[3], packs.mass[6]
    assert packs.endurance[6].nominal is not None
    assert packs.endurance[3].nominal is not None
    gain = packs.endurance[6].nominal / packs.endurance[3].nominal
    assert gain < two / one, "mass must cost something"
    spare = [each.nominal for each in packs.spare]
    assert spare[6] is not None
    assert spare[3] is not None
    assert spare[6] < spare[3]


def test_fail_safe_shows_both_sides_of_a_driven_drum() -> None:
    found = story("drum-major")
    assert found.fail_safe.driven
    assert found.quantities["cut_drive_sink"].value is None
    slow = found.quantities["cut_drive_slow_time"]
    assert slow.nominal is not None
    assert 0.1 < slow.nominal < 10.0
    assert found.quantities["alarm_rotor_speed"].nominal < found.aeroplane.value("drive.belt.speed")
    for name in ("alarm_cell_voltage", "alarm_full_voltage"):
        assert 3.0 < found.quantities[name].nominal < 3.85
    assert found.quantities["alarm_full_voltage"].nominal < found.quantities["alarm_cell_voltage"].nominal


def test_classes_are_data(tmp_path: Path) -> None:
    ours = read_classes()
    assert class_of(ours.mass, 0.2).name == "very light"  # type: ignore[union-attr]
    assert class_of(ours.mass, 80.0).up_to == float("inf")  # type: ignore[union-attr]
    own = tmp_path / "rules.toml"
    own.write_text('[[mass]]\nname = "all"\n[[power]]\nname = "little"\nup_to = 100\n', encoding="utf-8")
    assert class_of(read_classes(own).power, 150.0) is None
    own.write_text('[[mass]]\nname = "all"\nup_to = -1\n', encoding="utf-8")
    with pytest.raises(InputProblems):
        read_classes(own)


def test_fixes_name_only_changes_that_the_file_takes() -> None:
    aeroplane = example("marsh-tumbler")
    for fix in fixes(aeroplane, read_plan("full 20 s, level 1 min"), "vented", 0.0):
        assert aeroplane.changed(dict(fix.changes)) is not None


def test_no_thruster_is_told_in_plain_words() -> None:
    plain = example("plain-wing")
    bare = replace(plain, tables=plain.tables.model_copy(update={"thruster": {}}))
    with pytest.raises(InputProblems, match="no thruster"):
        power(bare, nominal_only=True)


def test_a_fan_has_its_own_limits_and_a_starved_pack_gets_a_larger_one() -> None:
    plain = example("plain-wing")
    fan = plain.changed(
        {
            "thruster.nose.kind": "fan",
            "thruster.nose.propeller": None,
            "thruster.nose.diameter": "80 mm",
            "thruster.nose.motor.speed_constant": "2300 rpm/V",
            "thruster.nose.motor.mass": "120 g",
            "thruster.nose.motor.resistance": "15 mohm",
        }
    )
    found = power(fan, nominal_only=True)
    named = {limit.what: limit for limit in found.match.limits}
    assert {"tip speed of the fan", "speed of the duct's jet"} <= named.keys()
    assert "speed of the propeller" not in named
    jet = named["speed of the duct's jet"].used[0]
    assert (np.diff(jet) > 0.0).all(), "the faster it flies, the less the jet gives"
    assert 0.0 < jet[-1] < 1.0
    words = [fix.words for fix in fixes(fan, read_plan("full 20 s"), "vented", 0.0)]
    assert any("pack of 1.4 times" in text for text in words)
