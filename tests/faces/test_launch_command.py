"""``rotorwright launch`` on the command line."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE

Run = Callable[..., Result]
EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "thistledown.toml"


def test_launch_in_json(rotorwright: Run) -> None:
    told = rotorwright(
        "launch", EXAMPLE, "--samples", "16", "--wind", "2 m/s gust 3 m/s 250 deg", "--runway", "270 deg",
        "--strip", "40 m", "--obstacle", "6 m at 50 m", "--slope", "1 %", "--json",
    )  # fmt: skip
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    assert {"take_off_distance", "throw_speed", "landing_sink", "clears_obstacle"} <= answer["quantities"].keys()
    assert answer["hours"][0]["word"] in ("go", "wait", "no")
    assert 1.8 < answer["conditions"]["wind"] < 2.0
    assert {each["phase"] for each in answer["wind_limits"]} >= {"taxi", "take-off", "circuit", "landing"}


def test_launch_in_words_with_a_forecast_and_pictures(rotorwright: Run, tmp_path: Path) -> None:
    table = tmp_path / "hours.csv"
    table.write_text("time,wind [m/s],gust [m/s],direction\n09:00,0.3,0.5,W\n15:00,9,14,W\n", encoding="utf-8")
    picture = tmp_path / "field.svg"
    told = rotorwright(
        "launch", EXAMPLE, "--samples", "16", "--forecast", table, "--hour", "18:00 1 m/s", "--picture", picture
    )
    assert told.exit_code == 0, told.output
    for words in ("lifts off at", "Landing without a flare", "Wind it stands", "Hour by hour", "15:00  NO"):
        assert words in told.output
    assert len(told.stdout.splitlines()) < 100
    assert {path.stem for path in tmp_path.glob("*.svg")} == {"field-run", "field-cut", "field-wind"}


def test_everything_wrong_is_told_at_once(rotorwright: Run, tmp_path: Path) -> None:
    table = tmp_path / "hours.csv"
    table.write_text("time,wind [m/s]\n09:00,brisk\n", encoding="utf-8")
    told = rotorwright(
        "launch", EXAMPLE, "--wind", "windy", "--surface", "mud", "--obstacle", "8 m", "--slope", "60 deg",
        "--forecast", table,
    )  # fmt: skip
    assert told.exit_code == 2
    for words in ("--wind", "--surface", "--obstacle", "--slope", "hours.csv:2", '"brisk"', "5 things to mend"):
        assert words in told.output


def test_check_judges_the_wheels(rotorwright: Run) -> None:
    good = rotorwright("check", EXAMPLE).output
    assert "The main wheels touch" in good
    assert "tips onto its nose" not in " ".join(good.split())
    bad = rotorwright("check", EXAMPLE, "--set", 'wheel.main.position=["175 mm", "90 mm", "-125 mm"]').output
    assert "tips onto its nose" in " ".join(bad.split())
