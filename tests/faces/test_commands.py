"""The commands answer in words and in JSON, the same answer both ways."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE

Run = Callable[..., Result]
SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
DRUM = ("rotor", "--diameter", "100 mm", "--span", "500 mm", "--airspeed", "10 m/s")


def answer(result: Result) -> dict[str, Any]:
    assert result.exit_code == 0, result.output
    document: dict[str, Any] = json.loads(result.stdout)
    jsonschema.validate(document, SCHEMA)
    return document


def words(result: Result) -> str:
    assert result.exit_code == 0, result.output
    assert max(len(line) for line in result.stdout.splitlines()) <= 80
    return " ".join(result.stdout.split())


def test_the_schema_itself_is_sound() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_a_drum_on_the_bench(rotorwright: Run) -> None:
    document = answer(rotorwright(*DRUM, "--spin-ratio", "2", "--json"))
    quantities = document["quantities"]
    assert document["conditions"]["diameter"] == 0.1
    assert quantities["rotor_speed"]["value"] == pytest.approx(2 * 10.0 / 0.05)
    dynamic = 0.5 * 1.225 * 100.0 * 0.05
    assert quantities["lift"]["value"] == pytest.approx(dynamic * quantities["lift_coefficient"]["value"], rel=1e-3)
    said = words(rotorwright(*DRUM, "--spin-ratio", "2"))
    assert "At 3820 rpm it lifts" in said
    assert f"{quantities['lift']['value']:.1f} N" in said
    assert "Caution" in said


def test_the_same_seed_gives_the_same_answer(rotorwright: Run) -> None:
    first = rotorwright(*DRUM, "--spin-ratio", "2", "--seed", "7", "--samples", "64", "--json")
    assert first.stdout == rotorwright(*DRUM, "--spin-ratio", "2", "--seed", "7", "--samples", "64", "--json").stdout
    assert first.stdout != rotorwright(*DRUM, "--spin-ratio", "2", "--seed", "8", "--samples", "64", "--json").stdout


def test_answers_come_in_the_makers_units(rotorwright: Run) -> None:
    inches = ("rotor", "--diameter", "4 in", "--span", "20 in", "--airspeed", "25 mph", "--spin-ratio", "2")
    said = words(rotorwright(*inches))
    assert "4 in × 20 in, no discs, in 25 mph" in said


def test_a_smooth_drum_does_not_turn_itself(rotorwright: Run) -> None:
    assert "does not turn itself" in words(rotorwright(*DRUM, "--free"))


def test_still_air(rotorwright: Run) -> None:
    question = ("rotor", "--diameter", "100 mm", "--span", "500 mm", "--airspeed", "0 m/s", "--rotor-speed", "3000 rpm")
    assert "In still air it lifts nothing" in words(rotorwright(*question))
    assert answer(rotorwright(*question, "--json"))["quantities"]["lift_coefficient"]["value"] is None


def test_thin_air_lifts_less(rotorwright: Run) -> None:
    low = answer(rotorwright(*DRUM, "--spin-ratio", "2", "--json"))["quantities"]["lift"]["value"]
    high = answer(rotorwright(*DRUM, "--spin-ratio", "2", "--elevation", "2000 m", "--json"))["quantities"]["lift"][
        "value"
    ]
    assert 0.75 < high / low < 0.87


def test_a_rotor_of_a_file_on_the_bench(rotorwright: Run, small: Path) -> None:
    document = answer(rotorwright("rotor", small, "--airspeed", "9 m/s", "--free", "--json"))
    assert document["conditions"]["disc_diameter"] == 0.18
    assert document["quantities"]["stored_energy"]["value"] > 0.0
    larger = answer(
        rotorwright("rotor", small, "--set", "rotor.main.diameter=150 mm", "--airspeed", "9 m/s", "--free", "--json")
    )
    assert larger["conditions"]["diameter"] == 0.15
    assert larger["quantities"]["rotor_speed"]["value"] < document["quantities"]["rotor_speed"]["value"]


def test_a_mirrored_rotor_answers_to_its_own_name(rotorwright: Run, small: Path) -> None:
    asked = ("rotor", small, "--airspeed", "9 m/s", "--free", "--samples", "16", "--json")
    one, other = (answer(rotorwright(*asked, "--name", name)) for name in ("main", "main-mirror"))
    assert one["quantities"] == other["quantities"]


def test_the_words_of_a_rotor_that_does_not_turn(rotorwright: Run) -> None:
    still = words(rotorwright(*DRUM, "--free"))
    assert "a smooth drum gives the wind nothing to hold on to" in still
    assert "no discs" in still
    assert "ends " not in still
    calm = words(
        rotorwright(
            "rotor", "--kind", "VANED", "--diameter", "100 mm", "--span", "500 mm", "--airspeed", "0 m/s", "--free"
        )
    )
    assert "without wind nothing turns it" in calm
    assert "drum" not in calm


def test_torques_are_told_in_words_not_in_signs(rotorwright: Run) -> None:
    driven = words(rotorwright(*DRUM, "--spin-ratio", "2", "--disc-diameter", "150 mm"))
    assert "torque of the air, brakes the spin" in driven
    assert "torque on the discs, brakes the spin" in driven
    assert "2 discs of 150 mm" in driven
    back = words(rotorwright(*DRUM, "--spin-ratio", "-2"))
    assert "pushes down with" in back
    assert "torque of the air, brakes the spin" in back


def test_the_moment_that_lost_lift_counts_from_is_named(rotorwright: Run) -> None:
    rotor = ("--kind", "vaned", "--bearing-torque", "2 mN m", "--polar-inertia", "2 kg cm2", "--stages", "3")
    drop = words(rotorwright(*DRUM, *rotor, "--free", "--lift-share", "70 %"))
    assert "the wind on it drops at once from 10 m/s to 7 m/s" in drop
    assert "until 70 % of the lift is left" in drop
    assert "lift left [%] over time after it" in drop
    assert "The 3 stages are taken as spread evenly, 60° between neighbours" in drop
    stop = words(rotorwright(*DRUM, "--spin-ratio", "2", "--polar-inertia", "2 kg cm2", "--drive-torque", "50 mN m"))
    assert "the drive stops, in a steady 10 m/s of wind" in stop


def test_check_weighs_and_measures(rotorwright: Run, small: Path) -> None:
    document = answer(rotorwright("check", small, "--json"))
    assert document["aircraft"]["name"] == "Sparrow on a stick"
    assert sum(part["mass"] for part in document["masses"]) == pytest.approx(
        document["quantities"]["mass"]["nominal"], rel=0.1
    )
    said = words(rotorwright("check", small))
    for part in ("Ready to fly it weighs", "balances", "the top moves aft", "Clearances", "Filled in"):
        assert part in said
    heavier = answer(rotorwright("check", small, "--set", "battery.main.mass=400 g", "--json"))
    assert heavier["quantities"]["mass"]["value"] > document["quantities"]["mass"]["value"] + 0.1
    assert heavier["aircraft"]["revision"] != document["aircraft"]["revision"]


def test_check_warns_of_what_runs_into_what(rotorwright: Run, small: Path) -> None:
    result = rotorwright("check", small, "--set", 'rotor.main.position=["180 mm", "260 mm", "60 mm"]')
    assert "Caution: Rotor main runs" in words(result)


def test_explain_in_words_and_json(rotorwright: Run) -> None:
    assert "What the band is made of" in words(rotorwright("explain", "lift"))
    assert answer(rotorwright("explain", "lift", "--json"))["explanation"]["key"] == "lift"
    assert "drawn within its band" in words(rotorwright("explain", "downwash"))
    assert "lift" in answer(rotorwright("explain", "--json"))["explanations"]
    assert "What can be explained" in words(rotorwright("explain"))


def test_help_lists_every_command_and_the_exit_codes(rotorwright: Run) -> None:
    said = words(rotorwright("--help"))
    for word in ("new", "check", "balance", "rotor", "explain", "130 interrupted"):
        assert word in said


@pytest.mark.parametrize("command", ["new", "check", "balance", "rotor", "explain"])
def test_the_documented_options_exist(rotorwright: Run, command: str) -> None:
    assert "--json" in words(rotorwright(command, "--help"))
