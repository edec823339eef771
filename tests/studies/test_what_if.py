"""One change at a time to an example, and the answer moves the way physics says: nominal runs, no bands."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import rotorwright
from rotorwright.base.status import OK, OVER_THROTTLE
from rotorwright.flight.batch import stop_rotor, sweep_airspeed
from rotorwright.flight.envelope import LEVEL, TURN, UNTRIMMED
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.spin_up import spin_up_times
from rotorwright.studies.balance_quantities import read_quantities
from rotorwright.studies.evaluate import Flown, fly

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
FREE, DRIVEN = "marsh-tumbler", "drum-major"
INCH = 0.0254


@lru_cache(maxsize=64)
def flown(name: str, *changes: tuple[str, Any], more_mass: float = 0.0) -> Flown:
    """The nominal envelope of an example with some fields told differently."""
    aeroplane = rotorwright.load(EXAMPLES / f"{name}.toml")
    if changes:
        aeroplane = aeroplane.changed(dict(changes))
    return fly(aeroplane, samples=0, shed=-more_mass)


def level(there: Flown, which: int = LEVEL) -> Any:
    """The level flight of a nominal run, which must exist."""
    steady = there.envelope.steady[0, which]
    assert steady["status"] == OK
    return steady


def held(there: Flown) -> Any:
    """Level flight with neutral controls and the nose held; more than full throttle is allowed."""
    steady = there.envelope.steady[0, UNTRIMMED]
    assert steady["status"] in (OK, OVER_THROTTLE)
    return steady


def figure(there: Flown, name: str) -> float:
    return float(there.envelope.figures[name][0])


def told(name: str, field: str) -> Any:
    return rotorwright.load(EXAMPLES / f"{name}.toml").value(field)


def at_speed(there: Flown, airspeed: float = 6.0, numbers: AeroplaneNumbers | None = None) -> Any:
    """Everything settled at one airspeed, level attitude, full throttle; the aeroplane itself not in balance."""
    zero = np.zeros(1)
    return sweep_airspeed(numbers or there.numbers, np.array([airspeed]), zero, zero, np.ones(1))[0, 0]


def without_wash(there: Flown) -> AeroplaneNumbers:
    """The same aeroplane with propeller wash that touches nothing."""
    factors = there.numbers.factors.copy()
    factors["wash_force"] = 0.0
    return there.numbers._replace(factors=factors)


@pytest.mark.parametrize("name", [FREE, DRIVEN, "plain-wing"])
def test_more_mass_is_flown_faster_with_more_thrust_and_less_in_hand(name: str) -> None:
    # lift must carry it, and more lift costs drag; added at the balance point, so trim hardly changes
    light, heavy = flown(name), flown(name, more_mass=0.08)
    assert held(heavy)["airspeed"] > held(light)["airspeed"]
    if name != DRIVEN:  # a drum at a held speed may gain: flown faster it needs less lift coefficient, less end loss
        assert held(heavy)["thrust"] > held(light)["thrust"]
        assert held(heavy)["throttle"] > held(light)["throttle"]
        assert figure(heavy, "untrimmed_surplus") < figure(light, "untrimmed_surplus")


def test_a_freewheelers_level_speed_goes_with_the_root_of_its_weight() -> None:
    # a free rotor keeps its spin ratio, so lift goes with V² (a little more, as friction matters less when faster)
    light, heavy = held(flown(FREE)), held(flown(FREE, more_mass=0.15))
    assert heavy["airspeed"] / light["airspeed"] == pytest.approx(math.sqrt(heavy["lift"] / light["lift"]), rel=0.01)


def test_lift_grows_with_airspeed_by_how_the_spin_is_held() -> None:
    # lift ~ Vⁿ, n = 2 − dln CL/dln spin_ratio: 2 for a free rotor that keeps its spin ratio, nearer 1 at a held rotor
    # speed, and nearly 0 about spin ratio 2, where the section lift of a drum falls about as V rises
    def exponent(name: str, airspeed: float) -> float:
        numbers = without_wash(flown(name))
        slow, fast = (at_speed(flown(name), speed, numbers)["rotor_lift"] for speed in (airspeed, 1.02 * airspeed))
        return math.log(fast / slow) / math.log(1.02)

    assert exponent(FREE, 7.0) == pytest.approx(2.0, abs=0.15)
    drum = flown(DRIVEN).numbers
    rim = float(drum.drives["speed"][0, 0] * 0.5 * drum.rotors["diameter"][0, 0])
    assert 0.5 < exponent(DRIVEN, rim / 3.2) < 1.5
    assert exponent(DRIVEN, rim / 2.0) < 0.6


@pytest.mark.parametrize("name", [FREE, DRIVEN])
def test_a_bigger_rotor_diameter_flies_slower(name: str) -> None:
    # more area (and at held rotor speed more rim speed) lifts the weight at less airspeed; the rotor gets heavier
    diameter, disc = told(name, "rotor.left.diameter"), told(name, "rotor.left.discs.diameter")
    bigger = flown(name, ("rotor.left.diameter", 1.15 * diameter), ("rotor.left.discs.diameter", 1.15 * disc))
    assert bigger.numbers.vehicle["mass"][0] > flown(name).numbers.vehicle["mass"][0]
    assert held(bigger)["airspeed"] < held(flown(name))["airspeed"]


@pytest.mark.parametrize("name", [FREE, DRIVEN])
def test_more_rotor_span_flies_slower_and_lifts_better_for_its_drag(name: str) -> None:
    # more area, and less end loss at the greater aspect ratio; outward, so that the inner end stays where it is
    span, place = told(name, "rotor.left.span"), told(name, "rotor.left.position")
    longer = flown(name, ("rotor.left.span", 1.2 * span), ("rotor.left.position.y", place[1] - 0.1 * span))
    assert held(longer)["airspeed"] < held(flown(name))["airspeed"]
    now, before = (at_speed(there, numbers=without_wash(there)) for there in (longer, flown(name)))
    assert now["rotor_lift"] > 1.2 * before["rotor_lift"]
    assert now["rotor_lift"] / now["rotor_end_drag"] > before["rotor_lift"] / before["rotor_end_drag"]


def test_bigger_discs_brake_a_free_rotor() -> None:
    # windage grows with about the fifth power of the disc: more disc drag, and a free rotor turns slower for it
    disc = told(FREE, "rotor.left.discs.diameter")
    bigger, before = at_speed(flown(FREE, ("rotor.left.discs.diameter", 1.2 * disc))), at_speed(flown(FREE))
    assert bigger["rotor_disc_drag"] > 1.3 * before["rotor_disc_drag"]
    assert bigger["rotor_speed"] < before["rotor_speed"]


def test_bigger_discs_close_the_ends_of_a_drum_and_cost_drive_power() -> None:
    # at held speed the spin cannot fall: lift rises with the effective aspect ratio, windage with about the fifth power
    disc = told(DRIVEN, "rotor.left.discs.diameter")
    bigger, before = at_speed(flown(DRIVEN, ("rotor.left.discs.diameter", 1.2 * disc))), at_speed(flown(DRIVEN))
    assert bigger["rotor_lift"] > before["rotor_lift"]
    assert bigger["rotor_disc_drag"] > before["rotor_disc_drag"]
    assert bigger["spin_power"] > before["spin_power"]


@pytest.mark.parametrize("name", [FREE, DRIVEN])
def test_more_discs_cost_drag_and_spin(name: str) -> None:
    # discs between the ends bring windage and drag; in the model they bring no lift (the ends are closed already)
    count = told(name, "rotor.left.discs.count")
    more, before = at_speed(flown(name, ("rotor.left.discs.count", count + 2))), at_speed(flown(name))
    assert more["rotor_disc_drag"] > before["rotor_disc_drag"]
    if name == FREE:
        assert more["rotor_speed"] < before["rotor_speed"]
        assert more["rotor_lift"] < before["rotor_lift"]
    else:
        assert more["spin_power"] > before["spin_power"]


def test_bearing_friction_slows_a_free_rotor_and_eats_thrust() -> None:
    # slower rotor, less lift at the same airspeed; so it must fly faster and has less in hand
    friction = told(FREE, "rotor.left.bearing_torque")
    dry = flown(FREE, ("rotor.left.bearing_torque", friction + 0.02))
    assert at_speed(dry)["rotor_speed"] < at_speed(flown(FREE))["rotor_speed"]
    assert at_speed(dry)["rotor_lift"] < at_speed(flown(FREE))["rotor_lift"]
    assert held(dry)["airspeed"] > held(flown(FREE))["airspeed"]
    assert held(dry)["bearing_power"] > held(flown(FREE))["bearing_power"]
    assert figure(dry, "untrimmed_surplus") < figure(flown(FREE), "untrimmed_surplus")


@pytest.mark.parametrize("name", [FREE, "plain-wing"])
def test_hot_and_high_is_flown_faster_with_less_in_hand(name: str) -> None:
    # equal dynamic pressure carries the weight, so true airspeed goes with 1/√density; thrust falls with density
    high = flown(name, ("field.elevation", 1800.0), ("field.temperature", 308.15))
    thin = float(high.numbers.air["density"][0] / flown(name).numbers.air["density"][0])
    assert thin < 0.85
    ratio = held(high)["airspeed"] / held(flown(name))["airspeed"]
    assert ratio == pytest.approx(1.0 / math.sqrt(thin), rel=0.02)
    assert figure(high, "untrimmed_surplus") < figure(flown(name), "untrimmed_surplus")
    assert held(high)["throttle"] > held(flown(name))["throttle"]


def test_thin_air_asks_a_driven_drum_for_more_speed_yet() -> None:
    # at held rotor speed lift goes nearer density × V: more than 1/√density
    high = flown(DRIVEN, ("field.elevation", 400.0), ("field.temperature", 293.15))
    thin = float(high.numbers.air["density"][0] / flown(DRIVEN).numbers.air["density"][0])
    ratio = held(high)["airspeed"] / held(flown(DRIVEN))["airspeed"]
    assert ratio > 1.0 / math.sqrt(thin)


@pytest.mark.parametrize(
    "change", [("battery.main.charge", 0.3), ("battery.main.resistance", 0.12)], ids=["emptier", "weaker"]
)
@pytest.mark.parametrize("name", [FREE, DRIVEN, "plain-wing"])
def test_less_voltage_takes_thrust_in_hand_and_leaves_the_air_alone(name: str, change: tuple[str, float]) -> None:
    # level flight needs the same thrust at the same speed; the throttle goes up for it and less is left above
    tired, fresh = flown(name, change), flown(name)
    assert held(tired)["airspeed"] == pytest.approx(held(fresh)["airspeed"], rel=1e-6)
    assert held(tired)["thrust"] == pytest.approx(held(fresh)["thrust"], rel=1e-6)
    assert held(tired)["throttle"] > held(fresh)["throttle"]
    assert figure(tired, "untrimmed_surplus") < figure(fresh, "untrimmed_surplus")


def test_one_more_cell_of_the_same_mass_is_thrust_in_hand() -> None:
    # higher voltage turns the same propeller faster; the air side of level flight does not know of cells
    series = told(FREE, "battery.main.cells").series
    more = flown(FREE, ("battery.main.cells", f"{series + 1}S"))
    assert more.numbers.vehicle["mass"][0] == pytest.approx(flown(FREE).numbers.vehicle["mass"][0])
    assert held(more)["throttle"] < held(flown(FREE))["throttle"]
    assert held(more)["thrust"] == pytest.approx(held(flown(FREE))["thrust"], rel=1e-4)
    assert figure(more, "untrimmed_surplus") > figure(flown(FREE), "untrimmed_surplus")
    assert at_speed(more)["pack_current"] > at_speed(flown(FREE))["pack_current"]


@pytest.mark.parametrize("name", [FREE, DRIVEN])
def test_a_larger_propeller_pulls_more_and_draws_more(name: str) -> None:
    # thrust goes with nearly the fourth power of the diameter; the motor turns slower under it and draws more
    propeller = told(name, "thruster.nose.propeller")
    text = f"{propeller.diameter / INCH + 1:g}x{propeller.pitch / INCH:g}"
    larger = flown(name, ("thruster.nose.propeller", text))
    assert at_speed(larger)["thrust"] > at_speed(flown(name))["thrust"]
    assert at_speed(larger)["thruster_speed"] < at_speed(flown(name))["thruster_speed"]
    assert at_speed(larger)["motor_current"] > at_speed(flown(name))["motor_current"]
    assert figure(larger, "untrimmed_surplus") > figure(flown(name), "untrimmed_surplus")


@pytest.mark.parametrize("name", [FREE, "plain-wing"])
def test_more_body_drag_takes_thrust_in_hand(name: str) -> None:
    # drag without lift: more thrust for the same flight
    numbers = flown(name).numbers
    plump = numbers._replace(bodies=numbers.bodies.copy())
    plump.bodies["drag_area"] *= 3.0
    before, after = at_speed(flown(name)), at_speed(flown(name), numbers=plump)
    assert after["body_drag"] > 2.0 * before["body_drag"]
    assert after["rotor_lift"] == pytest.approx(before["rotor_lift"], rel=1e-9)
    boxy = flown(name, ("body.fuselage.drag_coefficient", 1.5))
    assert held(boxy)["body_drag"] > held(flown(name))["body_drag"]
    assert held(boxy)["thrust"] > held(flown(name))["thrust"]
    assert figure(boxy, "untrimmed_surplus") < figure(flown(name), "untrimmed_surplus")


@pytest.mark.parametrize("name", [DRIVEN, "plain-wing"])
def test_balance_point_aft_lifts_the_nose(name: str) -> None:
    # the air does not know where the mass is: about a CG moved aft by d all forces turn the nose up by weight × d more,
    # so level flight with the nose held needs that much less help (or more nose-down elevator)
    base = flown(name)
    numbers = base.numbers
    shifted = numbers._replace(vehicle=numbers.vehicle.copy())
    shifted.vehicle["x"] -= 0.02
    weight = float(numbers.vehicle["mass"][0] * numbers.air["gravity"][0])
    before = held(base)
    after = _held_level(shifted, before)
    assert after["airspeed"] == pytest.approx(before["airspeed"], rel=1e-3)
    assert after["pitch_aid"] - before["pitch_aid"] == pytest.approx(-0.02 * weight, rel=0.02)


def _held_level(numbers: AeroplaneNumbers, start: Any) -> Any:
    """Level flight with the nose held by a made-up moment, from a neighbouring solution."""
    from rotorwright.flight.solver import GUESS_INNER, Solutions
    from rotorwright.flight.steady import AIRSPEED, COMMAND, INCIDENCE, PITCH_AID, THROTTLE

    rows = Solutions(numbers, np.zeros(1, dtype=np.int64))
    for which, name in ((AIRSPEED, "airspeed"), (INCIDENCE, "incidence"), (COMMAND, "command"), (THROTTLE, "throttle")):
        rows.flight[:, which] = start[name]
    rows.solve((AIRSPEED, THROTTLE, PITCH_AID), GUESS_INNER)
    assert rows.found.all()
    return rows.steady[0]


def test_a_lower_thrust_line_lifts_the_nose() -> None:
    # thrust below the CG turns the nose up: lowering it by d takes thrust × d off the help the nose needs
    base = flown("plain-wing")
    numbers = without_wash(base)  # else the wash would move over the tail as well
    lower = numbers._replace(thrusters=numbers.thrusters.copy(), vehicle=numbers.vehicle.copy())
    lower.thrusters["z"] += 0.05
    before, after = _held_level(numbers, held(base)), _held_level(lower, held(base))
    along = math.cos(float(numbers.thrusters["tilt"][0, 0])) * math.cos(float(numbers.thrusters["toe"][0, 0]))
    assert after["pitch_aid"] - before["pitch_aid"] == pytest.approx(-0.05 * before["thrust"] * along, rel=1e-3)


def test_heavier_discs_take_longer_to_spin_up() -> None:
    # the same torque turns more inertia: at equal running speed the time goes with the inertia
    thickness = told(FREE, "rotor.left.discs.thickness")
    heavy = flown(FREE, ("rotor.left.discs.thickness", 3.0 * thickness))
    times = [spin_up_times(there.numbers, 0, 6.0)[0] for there in (flown(FREE), heavy)]
    inertia = [there.numbers.rotors["polar_inertia"][0, 0] for there in (flown(FREE), heavy)]
    assert inertia[1] > 1.2 * inertia[0]
    assert times[1] / times[0] == pytest.approx(inertia[1] / inertia[0], rel=0.02)


def test_a_faster_stream_spins_up_quicker_and_a_drum_never_by_itself() -> None:
    numbers = flown(FREE).numbers
    slow, fast = (spin_up_times(numbers, 0, speed)[0] for speed in (4.0, 8.0))
    assert 0.0 < fast < slow
    assert math.isnan(spin_up_times(flown(DRIVEN).numbers, 0, 8.0)[0])


def test_a_drum_driven_faster_flies_slower_and_draws_more() -> None:
    # lift goes with rotor speed × airspeed: the same weight at less airspeed, paid for at the drive
    speed = told(DRIVEN, "drive.belt.speed")
    faster = flown(DRIVEN, ("drive.belt.speed", 1.15 * speed))
    assert held(faster)["airspeed"] < held(flown(DRIVEN))["airspeed"]
    assert at_speed(faster)["rotor_lift"] > at_speed(flown(DRIVEN))["rotor_lift"]
    assert at_speed(faster)["spin_power"] > 1.15**2 * at_speed(flown(DRIVEN))["spin_power"]


@pytest.mark.parametrize("name", [FREE, DRIVEN])
def test_one_rotor_stopped_loses_about_half_the_lift_and_rolls_towards_it(name: str) -> None:
    # a rotor that stands still lifts nothing; the other one, on the far side, turns the aeroplane over
    numbers, steady = flown(name).numbers, flown(name).envelope.steady[:, LEVEL]
    for stopped in (0, 1):
        side = float(np.sign(numbers.rotors["y"][0, stopped]))
        lost, roll = stop_rotor(numbers, steady, stopped)
        assert 0.3 < lost[0] < 0.6
        assert side * roll[0] > 0.0


def test_fewer_stages_give_the_mean_torque_back_and_need_fewer_discs() -> None:
    # phased stages cost some mean torque (their gain is in starting and in smoothness), and each brings a disc
    one = flown(FREE, ("rotor.left.stages", 1))
    assert at_speed(one)["rotor_speed"] > at_speed(flown(FREE))["rotor_speed"]
    assert spin_up_times(one.numbers, 0, 6.0)[0] < spin_up_times(flown(FREE).numbers, 0, 6.0)[0]
    fewer_discs = flown(FREE, ("rotor.left.stages", 1), ("rotor.left.discs.count", 2))
    assert at_speed(fewer_discs)["rotor_disc_drag"] < at_speed(one)["rotor_disc_drag"]


def test_wind_changes_nothing_in_the_air_and_everything_over_the_ground() -> None:
    calm, windy = flown(FREE), flown(FREE, ("field.wind", 4.0))
    for name in calm.envelope.steady.dtype.names or ():
        np.testing.assert_array_equal(windy.envelope.steady[name], calm.envelope.steady[name], err_msg=name)
    quantities = read_quantities(windy)
    speed = float(level(calm)["airspeed"])
    assert quantities["ground_speed_upwind"].nominal == pytest.approx(speed - 4.0)
    assert quantities["ground_speed_downwind"].nominal == pytest.approx(speed + 4.0)
    assert "ground_speed_upwind" not in read_quantities(calm)


@pytest.mark.parametrize("name", [FREE, DRIVEN])
def test_a_turn_costs_speed_and_thrust(name: str) -> None:
    # lift must rise by 1/cos(bank), and only speed or spin gives it
    straight, turning = level(flown(name)), level(flown(name), TURN)
    assert turning["lift"] * math.cos(math.radians(30.0)) == pytest.approx(straight["lift"], rel=0.02)
    assert turning["airspeed"] > straight["airspeed"]
    assert turning["thrust"] > straight["thrust"]


WORSE = {
    "heavier": ((), 0.35),
    "hot and high": ((("field.elevation", 1800.0), ("field.temperature", 308.15)), 0.0),
    "nearly empty": ((("battery.main.charge", 0.1),), 0.0),
    "draggy": ((("body.fuselage.drag_coefficient", 1.9),), 0.0),
}


@pytest.mark.parametrize("change", WORSE)
@pytest.mark.parametrize("name", [FREE, DRIVEN, "plain-wing"])
def test_the_answer_itself_gets_worse(name: str, change: str) -> None:
    # trimmed and with the reserve paid for, over all elevators and rotor speeds visited: what the verdict reads
    fields, mass = WORSE[change]
    worse = flown(name, *fields, more_mass=mass)
    assert figure(worse, "reserve_surplus") < figure(flown(name), "reserve_surplus")


@pytest.mark.parametrize("name", [FREE, DRIVEN, "plain-wing"])
def test_one_more_cell_makes_the_answer_better(name: str) -> None:
    series = told(name, "battery.main.cells").series
    better = flown(name, ("battery.main.cells", f"{series + 1}S"))
    plenty = 0.25 * float(better.numbers.vehicle["mass"][0] * better.numbers.air["gravity"][0])
    # beyond plenty the level flight nearer neutral is preferred to the one with the most thrust left
    assert figure(better, "reserve_surplus") > min(figure(flown(name), "reserve_surplus"), plenty)


def test_a_sloppy_change_moves_nothing() -> None:
    """The comparisons above mean something: told the same values again, every figure stays."""
    again = flown(FREE, ("rotor.left.span", told(FREE, "rotor.left.span")))
    for name in again.envelope.steady.dtype.names or ():
        np.testing.assert_array_equal(again.envelope.steady[name], flown(FREE).envelope.steady[name], err_msg=name)
