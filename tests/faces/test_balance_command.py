"""The balance command: verdict first, words and JSON agree, a "no" is an answer."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE
from rotorwright.sheets.numbers import percent_text

Run = Callable[..., Result]
SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
QUICK = ("--samples", "16")


def document(result: Result) -> dict[str, Any]:
    assert result.exit_code == 0, result.output
    answer: dict[str, Any] = json.loads(result.stdout)
    jsonschema.validate(answer, SCHEMA)
    return answer


def test_words_and_json_tell_the_same(rotorwright: Run, small: Path) -> None:
    answer = document(rotorwright("balance", small, *QUICK, "--json"))
    result = rotorwright("balance", small, *QUICK)
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert max(len(line) for line in lines) <= 80
    verdict = answer["verdict"]
    assert lines[1].startswith(f"{verdict['word'].capitalize()}: {percent_text(verdict['probability'])}")
    said = " ".join(result.stdout.split())
    assert " ".join(verdict["shortage"].split()) in said
    assert verdict["advice"] in said
    for change in verdict["changes"]:
        assert change["sentence"] in said
    more = " ".join(rotorwright("balance", small, *QUICK, "--more").stdout.split())
    for warning in answer["warnings"]:
        assert warning.rstrip(".") in more
    assert more.count(percent_text(verdict["probability"])) >= 2, "the verdict stands at the end once more"


def test_the_first_answer_fits_a_screen_and_more_tells_the_rest(rotorwright: Run, small: Path) -> None:
    first = rotorwright("balance", small, *QUICK).stdout
    more = rotorwright("balance", small, *QUICK, "--more").stdout
    assert len(first.splitlines()) <= 45
    for words in ("level speed", "mass to spare", "balance point", "rotor speed", "--more"):
        assert words in first
    for words in ("Rules of thumb", "Known machines"):
        assert words not in first
        assert words in more
    assert "samples of the Unknowns" in first
    assert "airspeed the rotors feel, with wash" in more


def test_short_is_short(rotorwright: Run, small: Path) -> None:
    result = rotorwright("balance", small, *QUICK, "--short")
    assert result.exit_code == 0
    assert len(result.stdout.splitlines()) < 25


def test_nominal_has_no_bands_and_no_probability(rotorwright: Run, small: Path) -> None:
    answer = document(rotorwright("balance", small, "--nominal", "--json"))
    assert answer["verdict"]["probability"] is None
    assert answer["conditions"]["samples"] == 0
    assert all(quantity["low"] in (None, quantity["value"]) for quantity in answer["quantities"].values())
    said = " ".join(rotorwright("balance", small, "--nominal").stdout.split())
    assert "no bands" in said
    assert "middle 80 %" not in said


def test_a_brick_will_not_fly_and_that_is_an_answer(rotorwright: Run, small: Path) -> None:
    result = rotorwright("balance", small, *QUICK, "--set", "battery.main.mass=9 kg")
    assert result.exit_code == 0
    assert "Will not fly: under 1 % chance" in " ".join(result.stdout.split())
    answer = document(rotorwright("balance", small, *QUICK, "--set", "battery.main.mass=9 kg", "--json"))
    assert answer["verdict"]["word"] == "will not fly"
    assert answer["changes_asked_for"] == {"battery.main.mass": "9 kg"}
    assert answer["quantities"]["level_speed"]["value"] is None
    assert answer["quantities"]["level_speed"]["reason"]


def test_a_what_if_leaves_the_file_alone(rotorwright: Run, small: Path) -> None:
    before = small.read_bytes()
    plain = document(rotorwright("balance", small, "--nominal", "--json"))
    heavier = document(rotorwright("balance", small, "--nominal", "--json", "--set", "battery.main.mass=250 g"))
    assert small.read_bytes() == before
    assert heavier["quantities"]["weight"]["nominal"] > plain["quantities"]["weight"]["nominal"] + 0.5
    assert heavier["aircraft"]["revision"] != plain["aircraft"]["revision"]


def test_the_seed_decides(rotorwright: Run, small: Path) -> None:
    one = document(rotorwright("balance", small, *QUICK, "--seed", "3", "--json"))
    assert one == document(rotorwright("balance", small, *QUICK, "--seed", "3", "--json"))
    other = document(rotorwright("balance", small, *QUICK, "--seed", "4", "--json"))
    assert other["quantities"]["mass"] != one["quantities"]["mass"]


@pytest.mark.parametrize("units", ["in", "mm"])
def test_the_answer_comes_in_the_files_units(rotorwright: Run, small: Path, units: str) -> None:
    if units == "in":
        text = re.sub(
            r'"(\d+) mm"', lambda found: f'"{int(found[1]) / 25.4:.3g} in"', small.read_text(encoding="utf-8")
        )
        small.write_text(text.replace('"60 g"', '"2 oz"'), encoding="utf-8")
    said = rotorwright("check", small).stdout
    assert (" oz (" in said) == (units == "in")
    assert (" mm (" in said) == (units == "mm")
