"""Own bench data: what the reader takes and refuses, what the fit makes of it, how an aeroplane flies with it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import rotorwright
from house.small_aeroplane import SMALL
from rotorwright.base.constants import RPM
from rotorwright.base.unknown import nominal_factors, unknowns
from rotorwright.studies.bench_motor import bench_fit
from rotorwright.studies.bench_rig import read_bench
from rotorwright.studies.bench_rig_fit import HEAT_NAMES, MOTOR_NAMES, factors_after
from rotorwright.studies.bench_rig_use import on_the_bench
from rotorwright.studies.evaluate import fly

MOTOR: dict[str, Any] = {"speed_constant": 1100 * RPM, "resistance": 0.085, "no_load_current": 0.8, "mass": 0.06}
PROPELLER: dict[str, Any] = {"diameter": 0.2032, "pitch": 0.1016}
TABLE = """# shed
throttle_pct; volts; amps; rpm; thrust_g; note
50; 11,6; 2,4; 6000; 210; first
100; 11,1; ; 9900; ;
"""


def test_a_table_in_workshop_words() -> None:
    rows = read_bench(TABLE)
    assert [row.line for row in rows] == [3, 4]
    assert rows[0].throttle == pytest.approx(0.5)
    assert rows[0].rotor_speed == pytest.approx(6000 * RPM)
    assert rows[0].thrust == pytest.approx(0.21 * 9.80665)
    assert (rows[1].current, rows[1].voltage) == (None, 11.1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("throttle_pct,amps\n50,3\n", "voltage: is missing"),
        ("volts,note\n11,x\n", "nothing that was measured"),
        ("volts,amps\n11,\n", "tells nothing"),
        ("rpm,thrust_g\n6000,\n", "tells nothing without the voltage"),
        ("volts,amps,thrust\n11,3,4\n", "does not say its unit"),
        ("volts,amps\n11,-3\n", "out of range"),
        ("volts,ampere_a\n11,3\n", "is not a column it knows"),
        ("volts,amps,throttle_pct\n11,3,150\n", "throttle: is out of range"),
    ],
)
def test_what_it_refuses_names_the_line(text: str, says: str) -> None:
    with pytest.raises(rotorwright.InputProblems) as caught:
        read_bench(text)
    assert says in str(caught.value)


def made_up(true: dict[str, float], throttles: Any, *, heat: bool = False) -> list[dict[str, float]]:
    """Readings that a motor with known factors would give: only to see whether the fit finds them again."""
    from rotorwright.physics.power.tables import power_tables
    from rotorwright.studies.bench_point import ANSWERS, CASE, CURRENT, SPEED, THRUST, bench_point, read_motor
    from rotorwright.studies.bench_propeller import propeller_row

    factors, answer = nominal_factors(1), np.empty(ANSWERS)
    for name, value in true.items():
        factors[name] = value
    rows = propeller_row(PROPELLER, "propeller")
    readings = []
    for throttle in throttles:
        point = np.array([throttle, 11.3, 0.0, 1.225, 1.789e-5, 298.15, 90.0, 0.0, 0.0])
        bench_point(rows, power_tables(), read_motor(MOTOR), point, factors[0], answer)
        reading = {"throttle": throttle, "voltage": 11.3, "running_time": 90.0}
        reading |= {"rotor_speed": answer[SPEED], "current": answer[CURRENT], "thrust": answer[THRUST]}
        readings.append(reading | ({"motor_temperature": answer[CASE]} if heat else {}))
    return readings


TRUE = {"motor_resistance": 2.8, "motor_speed_constant": 0.96, "propeller_thrust": 1.08, "propeller_power": 0.95}


def fitted(readings: Any) -> Any:
    return bench_fit(motor=MOTOR, propeller=PROPELLER, readings=readings)


def test_the_fit_finds_the_factors_and_narrows_their_bands() -> None:
    fit = fitted(made_up(TRUE, (0.4, 0.6, 0.8, 1.0)))
    prior = {unknown.name: unknown for unknown in unknowns()}
    for name, value in TRUE.items():
        found = fit.posterior[name]
        assert abs(found.value - value) < 1.2 * (found.high - found.low), name
    for name in ("propeller_thrust", "motor_speed_constant"):
        assert fit.posterior[name].high - fit.posterior[name].low < 0.9 * (prior[name].high - prior[name].low)
    assert fit.disagreements == ()
    assert not [each for each in fit.residuals if each.sticks_out]
    json.dumps(fit.as_dict(), allow_nan=False)


def test_forty_copies_of_a_reading_are_no_forty_readings() -> None:
    few, many = fitted(made_up(TRUE, (0.5, 1.0))), fitted(made_up(TRUE, (0.5, 1.0) * 20))
    for name in ("motor_resistance", "propeller_thrust"):
        width = [fit.posterior[name].high - fit.posterior[name].low for fit in (few, many)]
        assert width[1] > 0.85 * width[0]


def test_a_reading_that_lies_is_named_and_counts_little() -> None:
    readings = made_up(TRUE, (0.4, 0.5, 0.6, 0.7, 0.85, 1.0))
    honest = fitted(readings)
    readings[2]["thrust"] *= 1.6
    fit = fitted(readings)
    assert [(each.line, each.quantity) for each in fit.residuals if each.sticks_out] == [(3, "thrust")]
    thrust = "propeller_thrust"
    assert fit.posterior[thrust].nominal == pytest.approx(honest.posterior[thrust].nominal, rel=0.03)


def test_a_bench_far_off_is_called_out() -> None:
    readings = made_up(TRUE, (0.5, 0.75, 1.0))
    for reading in readings:
        reading["thrust"] *= 0.6
    assert "propeller_thrust" in fitted(readings).disagreements


def test_temperatures_tell_about_the_heat_and_nothing_else_does() -> None:
    true = {**TRUE, "heat_transfer": 0.55}
    cold, warm = fitted(made_up(true, (0.6, 1.0))), fitted(made_up(true, (0.6, 0.8, 1.0), heat=True))
    assert not set(HEAT_NAMES) & set(cold.names)
    assert set(HEAT_NAMES) <= set(warm.names)
    assert warm.posterior["heat_transfer"].nominal < 0.93  # and winding_heat_share takes the rest


def test_thrust_over_rpm_alone_speaks_of_the_propeller_only() -> None:
    readings = [{"rotor_speed": each["rotor_speed"], "thrust": each["thrust"]} for each in made_up(TRUE, (0.6, 1.0))]
    fit = fitted(readings)
    assert not set(MOTOR_NAMES) & set(fit.names)
    assert fit.posterior["propeller_thrust"].nominal == pytest.approx(1.08, abs=0.03)


def test_samples_after_the_fit_keep_the_other_unknowns() -> None:
    fit = fitted(made_up(TRUE, (0.5, 1.0)))
    scores = np.random.default_rng(1).standard_normal((8, len(unknowns())))
    after, before = factors_after(fit, scores), factors_after(fit, np.zeros((1, len(unknowns()))))
    assert before["motor_resistance"][0] == pytest.approx(fit.posterior["motor_resistance"].nominal)
    assert np.ptp(after["motor_resistance"]) > 0.0
    free = fitted(made_up({}, (0.5, 1.0)))
    assert (factors_after(free, scores)["vane_lift"] == after["vane_lift"]).all()


@pytest.fixture
def benched(tmp_path: Path) -> Path:
    lines = ["throttle_share, volts, amps, rpm, thrust_n"]
    for each in made_up(TRUE, (0.5, 0.75, 1.0)):
        numbers = (each["throttle"], each["voltage"], each["current"], each["rotor_speed"] / RPM, each["thrust"])
        lines.append(", ".join(f"{number:.5g}" for number in numbers))
    (tmp_path / "nose.csv").write_text("\n".join(lines), encoding="utf-8")
    text = SMALL.replace('propeller = "8x4"', 'propeller = "8x4"\nbench = "nose.csv"')
    (tmp_path / "small.toml").write_text(text, encoding="utf-8")
    return tmp_path / "small.toml"


def test_an_aeroplane_flies_with_what_its_bench_said(benched: Path) -> None:
    aeroplane = rotorwright.load(benched)
    (stood,) = on_the_bench(aeroplane)
    assert (stood.thruster, len(stood.readings)) == ("nose", 3)
    plain = fly(aeroplane.changed({"thruster.nose.bench": None}), samples=16, few=True, thorough=False)
    there = fly(aeroplane, samples=16, few=True, thorough=False)
    one, other = plain.numbers.thrusters[:, 0], there.numbers.thrusters[:, 0]
    resistance = other["motor_resistance"] * there.numbers.factors["motor_resistance"]
    assert resistance[0] / one["motor_resistance"][0] == pytest.approx(
        stood.fit.posterior["motor_resistance"].nominal, rel=1e-6
    )
    thrust = other["thrust_scale"] * there.numbers.factors["propeller_thrust"]
    assert thrust[0] == pytest.approx(stood.fit.posterior["propeller_thrust"].nominal, rel=1e-6)
    assert np.std(thrust[1:]) < 0.7 * np.std(plain.numbers.factors["propeller_thrust"][1:])
    assert (plain.numbers.factors["controller_duty"] != there.numbers.factors["controller_duty"]).any()


def test_a_what_if_with_another_motor_keeps_that_motors_label_band(benched: Path) -> None:
    changed = rotorwright.load(benched).changed({"thruster.nose.motor.speed_constant": "900 rpm/V"})
    flown = fly(changed, samples=16, few=True, thorough=False)
    assert (flown.numbers.thrusters["motor_resistance"] == flown.numbers.thrusters["motor_resistance"][0]).all()
    assert np.ptp(flown.numbers.thrusters["thrust_scale"]) > 0.0


def test_a_bench_file_that_is_not_there_is_named(benched: Path) -> None:
    (benched.parent / "nose.csv").unlink()
    with pytest.raises(rotorwright.InputProblems, match=r"nose\.csv"):
        fly(rotorwright.load(benched), samples=0, few=True, thorough=False)
