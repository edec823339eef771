"""Own rig data: what the reader takes and refuses, and what the fit makes of it."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import pytest

import rotorwright
from rotorwright.base.constants import RPM
from rotorwright.base.unknown import unknowns
from rotorwright.studies.bench_rotor import rotor_alone, with_fit
from rotorwright.studies.rotor_rig import read_rig, read_rig_file
from rotorwright.studies.rotor_rig_fit import RotorFit

BUCKET: dict[str, Any] = {"kind": "vaned", "diameter": 0.12, "span": 0.6, "overlap": 0.0063, "disc_diameter": 0.132}
DRUM: dict[str, Any] = {"kind": "drum", "diameter": 0.1, "span": 0.5, "disc_diameter": 0.2}
TABLE = """# shed, calm evening
airspeed_mps, rotor_speed_rpm, lift_n, drag_n, torque_nm, note
8.0, 1500, 2.4, 2.1, 0, first
10, 1900, , 3.3, 0.01,
12.5,2400,5.5,,,windy
"""


def test_a_table_is_read_with_blanks_and_notes() -> None:
    rows = read_rig(TABLE)
    assert [row.line for row in rows] == [3, 4, 5]
    assert rows[0].rotor_speed == pytest.approx(1500 * RPM)
    assert (rows[0].lift, rows[1].lift, rows[2].torque) == (2.4, None, None)


@pytest.mark.parametrize(
    ("head", "line", "expected"),
    [
        ("airspeed_kmh;lift_gf", "36,5;250", (36.5 / 3.6, 0.25 * 9.80665)),
        ("Airspeed [mph]\tLift [lbf]", "20,0\t1,5", (20.0 * 0.44704, 1.5 * 4.4482216)),
        ('"airspeed_mps","lift_n"', '"8.5","2"', (8.5, 2.0)),
        ("airspeed_kt,lift_ozf", "18,10", (18 * 1852 / 3600, 10 * 0.27801385)),
    ],
)
def test_separators_commas_and_units(head: str, line: str, expected: tuple[float, float]) -> None:
    (row,) = read_rig(f"{head}\n{line}\n")
    assert (row.airspeed, row.lift) == pytest.approx(expected)


def test_air_of_the_day(tmp_path: Any) -> None:
    place = tmp_path / "rig.csv"
    place.write_bytes("airspeed_mps;lift_n;temperature_degc;pressure_hpa;note\n8;2;25,5;990;böig\n".encode("latin-1"))
    (row,) = read_rig_file(place)
    assert row.temperature == pytest.approx(298.65)
    assert row.pressure == pytest.approx(99000.0)
    with pytest.raises(rotorwright.InputError, match="cannot be read"):
        read_rig_file(tmp_path / "none.csv")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "is empty"),
        ("airspeed_mps,lift_n\n", "holds no reading"),
        ("airspeed,lift_n\n8,2\n", "does not say its unit"),
        ("airspeed_mps,lift_n,lift_gf\n8,2,3\n", "twice"),
        ("lift_n\n2\n", "airspeed: is missing"),
        ("airspeed_mps\n2\n", "nothing that was measured"),
        ("airspeed_mps,lfit_n\n8,2\n", "Did you mean lift_n"),
        ("airspeed_mps,lift_n\n8,2\n9,two\n", 'rig:3: lift_n: is not a number (found "two")'),
        ("airspeed_mps,lift_n\n8,5,2,3\n", "more cells"),
        ("airspeed_mps;lift_n\n8;1.234,5\n", "is not a number"),
        ("airspeed_mps,lift_n\n0,2\n", "out of range"),
        ("airspeed_mps,lift_n\n,2\n", "airspeed: is missing"),
        ("airspeed_mps,rotor_speed_rpm,lift_n\n8,1500,\n", "Write 0 as its torque"),
        ("airspeed_mps,lift_n\n8,nan\n", "is not a number"),
        ("airspeed_mps,lift_n\n8,1_0\n", "is not a number"),
        ('airspeed_mps,lift_n\n8,"2\n', "quotation mark"),
        ("airspeed_mps\0,lift_n\n8,2\n", "not a text file"),
    ],
)
def test_what_it_refuses_names_the_line(text: str, says: str) -> None:
    with pytest.raises(rotorwright.InputProblems) as caught:
        read_rig(text)
    assert says in str(caught.value)


def made_up(
    rotor: dict[str, Any], true: dict[str, float], noise: float, airspeeds: Any, ratios: Any, seed: int = 1
) -> list[dict[str, float]]:
    """Readings that a rotor with known factors would give: only to see whether the fit finds them again."""
    from rotorwright.base.unknown import nominal_factors
    from rotorwright.physics.rotor.loads import rotor_load_parts
    from rotorwright.physics.rotor.tables import rotor_tables
    from rotorwright.studies.bench_rotor_input import rotor_row

    row = rotor_row({**(rotor_alone.__kwdefaults__ or {}), **rotor, "airspeed": 10.0})
    factors = nominal_factors(1)
    for name, value in true.items():
        factors[name] = value
    random = np.random.default_rng(seed)
    readings = []
    for airspeed in airspeeds:
        for ratio in ratios:
            speed = ratio * airspeed / (0.5 * rotor["diameter"])
            parts = rotor_load_parts(row, rotor_tables(), airspeed, speed, 1.225, 1.789e-5, factors[0])
            wobble = 1.0 + noise * random.standard_normal(3)
            readings.append(
                {
                    "airspeed": float(airspeed),
                    "rotor_speed": float(speed),
                    "lift": parts[0] * wobble[0],
                    "drag": (parts[1] + parts[2] + parts[3]) * wobble[1],
                    "torque": (parts[4] + parts[5]) * wobble[2],
                }
            )
    return readings


TRUE = {"vane_lift": 1.3, "vane_drag": 0.85, "vane_torque": 0.94, "vane_freewheel_ratio": 1.08}


def fitted(rotor: dict[str, Any], readings: Any) -> RotorFit:
    stated = {**(rotor_alone.__kwdefaults__ or {}), **rotor, "airspeed": 10.0, "free": True, "fit": readings}
    fit = with_fit(stated)["fit"]
    assert isinstance(fit, RotorFit)
    return fit


def test_the_fit_finds_the_factors_and_narrows_their_bands_no_further_than_the_rig_allows() -> None:
    fit = fitted(BUCKET, made_up(BUCKET, TRUE, 0.03, (7.0, 9.0, 11.0, 13.0), (0.5, 0.8, 1.0, 1.2)))
    prior = {unknown.name: unknown for unknown in unknowns()}
    for name, value in TRUE.items():
        found = fit.posterior[name]
        half = 0.5 * (found.high - found.low)
        assert abs(found.value - value) < 2.0 * half  # 2.6 standard deviations
        assert found.high - found.low < prior[name].high - prior[name].low
    lift = fit.posterior["vane_lift"]
    # 3 % of airspeed common to all readings is 6 % of lift, 80 % half-width 7.7 %: no amount of readings undercuts it
    assert (lift.high - lift.low) / (2.0 * lift.value) > 0.05
    assert not [residual for residual in fit.residuals if residual.sticks_out]
    assert fit.disagreements == ()
    json.dumps(fit.as_dict(), allow_nan=False)


def test_eight_of_ten_bands_hold_the_truth() -> None:
    """Truth drawn from the priors, rig errors from theirs: coverage of the 80 % band over many rigs."""
    random = np.random.default_rng(7)
    prior = {unknown.name: unknown for unknown in unknowns()}
    held = []
    for seed in range(24):
        true = {name: prior[name].at(float(random.standard_normal())) for name in TRUE}
        readings = made_up(BUCKET, true, 0.04, (7.0, 10.0, 13.0), (0.5, 0.8, 1.1), seed)
        stretch = 1.0 + 0.03 * random.standard_normal()
        for reading in readings:
            reading["airspeed"] *= stretch
        fit = fitted(BUCKET, readings)
        held += [fit.posterior[name].low <= value <= fit.posterior[name].high for name, value in true.items()]
    assert 0.68 <= np.mean(held) <= 0.95


def test_more_noise_gives_wider_bands_and_one_reading_moves_little() -> None:
    grid = ((7.0, 9.0, 11.0, 13.0), (0.5, 0.8, 1.0, 1.2))
    calm, rough = (fitted(BUCKET, made_up(BUCKET, TRUE, noise, *grid)).posterior["vane_lift"] for noise in (0.02, 0.3))
    assert rough.high - rough.low > 1.3 * (calm.high - calm.low)
    single = fitted(BUCKET, made_up(BUCKET, TRUE, 0.0, (10.0,), (1.0,)))
    assert any("few readings" in note for note in single.notes)
    lone = single.posterior["vane_lift"]
    assert lone.high - lone.low > calm.high - calm.low


def test_the_reading_that_sticks_out_is_named_and_hardly_pulls() -> None:
    readings = made_up(BUCKET, TRUE, 0.02, (7.0, 9.0, 11.0, 13.0), (0.5, 0.8, 1.0, 1.2))
    clean = fitted(BUCKET, readings).posterior["vane_lift"].value
    readings[5]["lift"] *= 1.8
    fit = fitted(BUCKET, readings)
    assert [(one.line, one.quantity) for one in fit.residuals if one.sticks_out] == [(6, "lift")]
    assert fit.posterior["vane_lift"].value == pytest.approx(clean, rel=0.02)


def test_a_rig_against_all_that_is_published_is_called_out() -> None:
    fit = fitted(BUCKET, made_up(BUCKET, {"vane_lift": 3.0}, 0.02, (7.0, 10.0, 13.0), (0.6, 1.0)))
    assert "vane_lift" in fit.disagreements


def test_free_running_alone_tells_the_freewheel_ratio() -> None:
    free = [{"airspeed": v, "rotor_speed": 1.05 * v / 0.06, "torque": 0.0} for v in (7.0, 9.0, 11.0, 13.0)]
    before = rotor_alone(**BUCKET, airspeed=10.0, free=True).spin_ratio
    after = rotor_alone(**BUCKET, airspeed=10.0, free=True, fit=free).spin_ratio
    assert abs(after.value - 1.05) < abs(before.value - 1.05)
    assert after.high - after.low < before.high - before.low
    assert after.support == "inside data"
    assert "own-rig" in after.sources


def test_the_answer_follows_the_rig_where_it_was_measured() -> None:
    readings = made_up(BUCKET, TRUE, 0.02, (8.0, 10.0, 12.0), (0.8, 1.0))
    plain = rotor_alone(**BUCKET, airspeed=10.0, spin_ratio=0.9)
    own = rotor_alone(**BUCKET, airspeed=10.0, spin_ratio=0.9, fit=readings)
    assert own.lift.value == pytest.approx(1.3 * plain.lift.nominal, rel=0.06)
    assert own.lift.high - own.lift.low < 0.6 * (plain.lift.high - plain.lift.low)
    assert (plain.lift.support, own.lift.support) == ("beyond data", "inside data")
    far = rotor_alone(**BUCKET, airspeed=10.0, spin_ratio=1.9, fit=readings)
    assert far.lift.support == "beyond data"


def test_a_drum_on_the_rig() -> None:
    true = {"drum_lift": 0.9, "skin_friction": 2.1}
    fit = fitted({**DRUM}, made_up(DRUM, true, 0.02, (7.0, 9.0, 11.0), (1.5, 2.5, 3.5)))
    for name, value in true.items():
        assert fit.posterior[name].low <= value <= fit.posterior[name].high
    assert set(fit.names) >= {"drum_lift", "drum_profile_drag", "skin_friction", "turning_disc_gain"}


@pytest.mark.parametrize(
    ("readings", "says"),
    [
        ([], "holds no reading"),
        ("table", "not a list of readings"),
        ([{"airspeed": 8.0}], "tells nothing"),
        ([{"airspeed": 8.0, "lift": "2"}], "cannot be used"),
        ([{"airspeed": 8.0, "lift": 2.0, "mood": 1.0}], "cannot be used"),
        ([{"airspeed": 8.0, "lift": math.nan}], "out of range"),
        ([3.0], "is not a reading"),
        ([{"airspeed": 8.0, "lift": 2.0, "torque": 0.1}], "rotor_speed"),
        ([{"airspeed": 8.0, "lift": 2.0, "pressure": 9.9e4}], "goes with a temperature"),
    ],
)
def test_readings_it_cannot_use(readings: Any, says: str) -> None:
    with pytest.raises(rotorwright.InputProblems, match=says):
        rotor_alone(**BUCKET, airspeed=10.0, free=True, fit=readings)


def test_a_drum_needs_its_speed() -> None:
    with pytest.raises(rotorwright.InputProblems, match="rotor_speed"):
        rotor_alone(**DRUM, airspeed=10.0, spin_ratio=2.0, fit=[{"airspeed": 8.0, "lift": 2.0}])
