"""``rotorwright explore`` on the command line."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
from typer.testing import Result

from rotorwright.design.aircraft_file import load
from rotorwright.sheets.document import SCHEMA_FILE

Run = Callable[..., Result]
EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "drum-major.toml"
DIAMETER = ("--vary", "rotor.left.diameter=110..150 mm", "--along", "rotor.left.discs.diameter")


def test_a_map_in_json_with_picture_file_and_saved_designs(rotorwright: Run, tmp_path: Path) -> None:
    told = rotorwright(
        "explore", EXAMPLE, *DIAMETER, "--vary", "rotor.left.span=650..750 mm", "--grid", "3", "--keep",
        "level_speed<9 m/s", "--picture", tmp_path / "map.svg", "--out", tmp_path / "all.nc", "--into",
        tmp_path / "best", "--best", "1", "--json",
    )  # fmt: skip
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    assert answer["designs"]["asked"] == answer["designs"]["flown"] == 9
    (best,) = answer["best"]
    (saved,) = answer["saved"]
    again = load(saved)
    assert again.value("rotor.left.span") == best["changes"]["rotor.left.span"]
    assert again.value("rotor.left.discs.diameter") == best["changes"]["rotor.left.discs.diameter"]
    assert "Hatched" in (tmp_path / "map.svg").read_text(encoding="utf-8")
    assert (tmp_path / "all.nc").stat().st_size > 1000


def test_a_sweep_in_words_fits_a_screen(rotorwright: Run, tmp_path: Path) -> None:
    told = rotorwright("explore", EXAMPLE, *DIAMETER, "--grid", "3", "--best", "2", "--picture", tmp_path / "s.svg")
    assert told.exit_code == 0, told.output
    assert "designs fly level with the reserve" in told.output.replace("\n", " ")
    assert "The best beside yours" in told.output
    assert len(told.stdout.splitlines()) < 60
    assert not {"nan", "None"} & set(told.output.split())


def test_a_search_with_two_goals_draws_the_trade(rotorwright: Run, tmp_path: Path) -> None:
    told = rotorwright(
        "explore", EXAMPLE, *DIAMETER, "--most", "endurance", "--least", "mass", "--seek", "12", "--best", "1",
        "--picture", tmp_path / "t.svg",
    )  # fmt: skip
    assert told.exit_code == 0, told.output
    assert "trade most endurance against least mass" in told.output.replace("\n  ", " ")
    assert "endurance [min]" in (tmp_path / "t.svg").read_text(encoding="utf-8")


def test_no_design_that_does_it_all_is_an_answer(rotorwright: Run) -> None:
    told = rotorwright("explore", EXAMPLE, *DIAMETER, "--grid", "2", "--keep", "level_speed<2 m/s")
    assert told.exit_code == 0, told.output
    assert "None of 2 designs does it all" in told.output


def test_what_cannot_be_asked_is_told(rotorwright: Run) -> None:
    assert rotorwright("explore", EXAMPLE).exit_code == 2
    told = rotorwright("explore", EXAMPLE, *DIAMETER, "--keep", "lift_off<3")
    assert told.exit_code == 2
    assert "names no quantity of a balance" in told.output
