"""``power`` on the command line: one document, one sheet of bearable length, mistakes named."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE
from rotorwright.sheets.explanation import explanations

Run = Callable[..., Result]
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))


def test_the_story_in_json(rotorwright: Run) -> None:
    told = rotorwright("power", EXAMPLES / "drum-major.toml", "--samples", "16", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, SCHEMA)
    assert set(answer["quantities"]) <= explanations().keys()
    curves = answer["match"]["curves"]
    assert len(curves["thrust_available"]["nominal"]) == len(answer["match"]["airspeed"]["values"])
    assert any(number is None for number in curves["thrust_required"]["nominal"]), "no level flight at every speed"
    assert {each["where"] for each in answer["heat"]["softening"]} >= {"winding", "case", "mount", "pack", "controller"}
    assert {each["kind"] for each in answer["classes"]} == {"mass", "power"}


def test_the_story_in_words(rotorwright: Run) -> None:
    short = rotorwright("power", EXAMPLES / "marsh-tumbler.toml", "--samples", "16").output
    assert "ull throttle" in short
    assert "Caution: " in short
    assert len(short.splitlines()) <= 75
    assert max(len(line) for line in short.splitlines()) <= 80
    whole = rotorwright(
        "power", EXAMPLES / "marsh-tumbler.toml", "--samples", "16", "--all", "--plan", "full 20 s, level 2 min"
    ).output
    for heading in ("Alarms for this aeroplane", "Classes", "Check your local rules"):
        assert heading in whole
    assert "full throttle at level speed 20 s, level 120 s" in " ".join(whole.split()) or "level 2 min" in whole


def test_choosing_in_json_and_words(rotorwright: Run) -> None:
    told = rotorwright("power", EXAMPLES / "thistledown.toml", "--choose", "--nominal", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, SCHEMA)
    assert set(answer["quantities"]) <= explanations().keys()
    assert len(answer["choices"]) >= 4
    assert sum(answer["counts"].values()) == answer["conditions"]["combinations"]
    said = rotorwright("power", EXAMPLES / "thistledown.toml", "--choose", "--nominal", "--largest", "7 in").output
    assert "7 in (178 mm)" in said
    assert "8x" not in said


@pytest.mark.parametrize(
    ("options", "named"),
    [
        (("--plan", "full speed 20 s"), "--plan"),
        (("--cooling", "icy"), "--cooling"),
        (("--classes", "nowhere.toml"), "nowhere.toml"),
        (("--choose", "--parts", "nowhere.csv"), "nowhere.csv"),
        (("--largest", "big"), "--largest"),
    ],
)
def test_mistakes_are_named(rotorwright: Run, options: tuple[str, ...], named: str) -> None:
    told = rotorwright("power", EXAMPLES / "thistledown.toml", *options)
    assert told.exit_code == 2
    assert named in told.stderr
