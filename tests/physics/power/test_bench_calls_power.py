import json
import math
from typing import Any

import pytest

import rotorwright
from rotorwright.base.constants import RPM
from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.unknown import nominal_factors
from rotorwright.studies.bench_battery import battery_alone

MOTOR = {"speed_constant": 1100 * RPM, "resistance": 0.085, "no_load_current": 0.8, "mass": 0.06}
PROPELLER = {"diameter": 0.2286, "pitch": 0.127}


def ask_propeller(**changes: Any) -> Any:
    usual = {"diameter": 0.254, "pitch": 0.127, "rotor_speed": 600.0}
    return rotorwright.propeller_alone(**(usual | changes))


def ask_bench(**changes: Any) -> Any:
    usual = {"motor": MOTOR, "propeller": PROPELLER, "voltage": 10.8}
    return rotorwright.motor_and_propeller_alone(**(usual | changes))


def test_propeller_obeys_momentum_theory() -> None:
    # actuator disc: static thrust cannot exceed (2 ρ A P²)^⅓
    for family in ("narrow", "broad slow", "engine-type"):
        for pitch in (0.06, 0.1, 0.15, 0.22, 0.3):
            found = ask_propeller(family=family, pitch=pitch)
            ideal = (2.0 * 1.225 * math.pi * 0.127**2 * found.power.nominal**2) ** (1.0 / 3.0)
            assert found.thrust.nominal < ideal


def test_propeller_result_is_consistent_and_banded() -> None:
    found = ask_propeller(airspeed=8.0)
    assert found.thrust.low < found.thrust.value < found.thrust.high
    assert found.efficiency.nominal == pytest.approx(8.0 * found.thrust.nominal / found.power.nominal)
    assert found.advance_ratio.low == found.advance_ratio.high == pytest.approx(8.0 / (600.0 / (2 * math.pi) * 0.254))
    assert found.thrust.sources
    json.dumps(found.as_dict(), allow_nan=False)


def test_coefficients_are_null_at_rest_and_efficiency_when_windmilling() -> None:
    still = ask_propeller(rotor_speed=0.0, airspeed=10.0)
    assert still.thrust_coefficient.value is None
    assert still.thrust_coefficient.reason
    assert still.thrust.value < 0.0
    assert ask_propeller(rotor_speed=200.0, airspeed=25.0).efficiency.value is None


def test_support_words_follow_the_data() -> None:
    assert ask_propeller().thrust.support == "inside data"
    assert ask_propeller(blades=3).thrust.support == "between data"
    assert ask_propeller(diameter=1.2, pitch=0.6).thrust.support == "beyond data"


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"diameter": math.nan}, "diameter"),
        ({"diameter": -0.2}, "diameter"),
        ({"pitch": 3.0}, "pitch"),
        ({"rotor_speed": math.inf}, "rotor_speed"),
        ({"rotor_speed": "fast"}, "rotor_speed"),
        ({"blades": 2.5}, "blades"),
        ({"blades": True}, "blades"),
        ({"family": "narow"}, "family"),
        ({"air_density": 0.0}, "air_density"),
    ],
)
def test_propeller_refuses_bad_arguments_by_name(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as caught:
        ask_propeller(**changes)
    assert caught.value.problems[0].field == field
    assert caught.value.problems[0].allowed or field == "blades"


def test_wrong_word_and_wrong_key_name_the_nearest_right_one() -> None:
    with pytest.raises(InputError, match="Did you mean narrow"):
        ask_propeller(family="narow")
    with pytest.raises(InputError, match="Did you mean resistance"):
        ask_bench(motor={**MOTOR, "resistanse": 0.1})
    with pytest.raises(InputError, match=r"motor\.mass"):
        ask_bench(motor={name: value for name, value in MOTOR.items() if name != "mass"})
    with pytest.raises(InputError, match="mapping"):
        ask_bench(propeller=9)


def test_bench_answers_more_throttle_with_more_of_everything() -> None:
    half, full = ask_bench(throttle=0.5), ask_bench(throttle=1.0)
    for name in ("rotor_speed", "current", "electrical_power", "thrust", "winding_current"):
        assert getattr(full, name).nominal > getattr(half, name).nominal > 0.0
    assert half.winding_current.nominal > half.current.nominal
    assert half.winding_temperature.nominal > 298.15
    assert half.calibration == {}
    json.dumps(full.as_dict(), allow_nan=False)


def test_airspeed_unloads_the_bench() -> None:
    still, moving = ask_bench(), ask_bench(airspeed=12.0)
    assert moving.rotor_speed.nominal > still.rotor_speed.nominal
    assert moving.current.nominal < still.current.nominal
    assert moving.thrust.nominal < still.thrust.nominal


def test_motor_off_stands_still_or_windmills_without_drawing() -> None:
    still = ask_bench(throttle=0.0)
    assert still.rotor_speed.nominal < 1.0
    assert still.current.nominal == 0.0
    moving = ask_bench(throttle=0.0, airspeed=20.0)
    assert moving.rotor_speed.nominal > 20.0
    assert moving.thrust.nominal < 0.0


def test_winding_warms_with_time_and_reports_a_run_away_as_such() -> None:
    short, long = ask_bench(running_time=5.0, throttle=0.6), ask_bench(running_time=60.0, throttle=0.6)
    assert 298.15 < short.winding_temperature.nominal < long.winding_temperature.nominal
    small = ask_bench(motor={**MOTOR, "mass": 0.015}, voltage=16.0)
    assert small.winding_temperature.value is None
    assert "never settles" in small.winding_temperature.reason


def test_a_reading_made_by_a_known_bench_is_recovered_and_bands_narrow() -> None:
    # a made-up true bench (not evidence of accuracy): the fit must lead back towards it
    true = ask_bench(motor={**MOTOR, "resistance": 0.105}, propeller={"diameter": 0.2286, "pitch": 0.135})
    reading = {name: getattr(true, name).nominal for name in ("rotor_speed", "current", "thrust")}
    before, after = ask_bench(), ask_bench(fit=[{"voltage": 10.8, **reading}])
    for name, measured in reading.items():
        plain, fitted = getattr(before, name), getattr(after, name)
        assert abs(fitted.nominal - measured) < 0.5 * abs(plain.nominal - measured)
        assert fitted.high - fitted.low < 0.6 * (plain.high - plain.low)
        assert fitted.low < measured < fitted.high
    assert after.calibration["motor_resistance"].nominal > nominal_factors(1)["motor_resistance"][0]


def test_more_readings_narrow_further_but_never_to_nothing() -> None:
    reading = {"voltage": 10.8, "rotor_speed": ask_bench().rotor_speed.nominal}
    one, many = ask_bench(fit=[reading]), ask_bench(fit=[reading] * 40)
    width_one = one.rotor_speed.high / one.rotor_speed.low
    width_many = many.rotor_speed.high / many.rotor_speed.low
    assert 1.02 < width_many <= width_one


@pytest.mark.parametrize(
    "fit", [[], "row", [{"voltage": 10.0}], [{"rotor_speed": 900.0}], [{"voltage": 10.0, "rpm": 9}]]
)
def test_readings_that_say_nothing_are_refused(fit: Any) -> None:
    with pytest.raises(InputProblems, match="fit"):
        ask_bench(fit=fit)


def test_fan_obeys_its_momentum_and_loses_thrust_with_speed() -> None:
    still = rotorwright.fan_alone(exit_area=0.0023, electrical_power=300.0)
    # closed form: T = ρ A v²
    assert still.thrust.nominal == pytest.approx(1.225 * 0.0023 * still.exit_speed.nominal**2, rel=1e-6)
    moving = rotorwright.fan_alone(exit_area=0.0023, electrical_power=300.0, airspeed=20.0)
    assert moving.thrust.nominal == pytest.approx(
        1.225 * 0.0023 * moving.exit_speed.nominal * (moving.exit_speed.nominal - 20.0), rel=1e-6
    )
    assert 0.4 < moving.thrust.nominal / still.thrust.nominal < 0.75
    double = rotorwright.fan_alone(exit_area=0.0023, electrical_power=600.0)
    assert double.thrust.nominal / still.thrust.nominal == pytest.approx(4.0 ** (1.0 / 3.0), rel=1e-6)
    with pytest.raises(InputError):
        rotorwright.fan_alone(exit_area=0.0023, electrical_power=0.0)


def test_pack_sags_by_current_and_by_power_alike() -> None:
    by_current = battery_alone(cells=3, capacity=7920.0, current=20.0)
    by_power = battery_alone(cells=3, capacity=7920.0, power=20.0 * by_current.voltage.nominal)
    assert by_power.voltage.nominal == pytest.approx(by_current.voltage.nominal, rel=1e-6)
    drop = by_current.rest_voltage.nominal - by_current.voltage.nominal
    assert drop == pytest.approx(20.0 * by_current.resistance.nominal, rel=1e-6)
    assert battery_alone(cells=3, capacity=7920.0).endurance.value is None
