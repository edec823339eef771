"""``rotorwright fly`` on the command line."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import numpy as np
from typer.testing import Result

from house.walk import ROOT
from rotorwright.sheets.document import SCHEMA_FILE
from rotorwright.sheets.explanation import explanations
from rotorwright.studies.labelled import load_netcdf

Run = Callable[..., Result]
DRUM_MAJOR = ROOT / "examples" / "drum-major.toml"
SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))


def test_a_flight_in_words_pictures_table_and_netcdf(rotorwright: Run, tmp_path: Path) -> None:
    table, netcdf, picture = tmp_path / "one.csv", tmp_path / "one.nc", tmp_path / "one.svg"
    told = rotorwright("fly", DRUM_MAJOR, "--csv", table, "--netcdf", netcdf, "--picture", picture)
    assert told.exit_code == 0, told.output
    assert "flew a circuit and landed" in told.output
    assert "fourth quarter turn" in told.output
    assert "Caution" in told.output
    assert len(told.stdout.splitlines()) <= 60
    head = table.read_text(encoding="utf-8").splitlines()[0]
    assert head.startswith("time [s],north [m],east [m],height [m],airspeed [m/s]")
    dataset = load_netcdf(netcdf)
    assert dataset["rotor_speed_of_left"].attrs["units"] == "rad/s"
    rows = np.genfromtxt(table, delimiter=",", skip_header=1)
    assert np.allclose(rows[:, 3], dataset["height"].values, rtol=1e-8)
    for name in ("above", "side", "history"):
        assert (tmp_path / f"one-{name}.svg").read_text(encoding="utf-8").startswith("<svg")


def test_a_flight_in_json_with_an_event(rotorwright: Run) -> None:
    told = rotorwright("fly", DRUM_MAJOR, "--launch", "air", "--hold", "--event", "rotor left stops at 3 s", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, SCHEMA)
    assert answer["outcome"]["name"] == "lost_spin"
    assert [moment["time"] for moment in answer["story"] if moment["what"] == "event"] == [3.0]
    check_explained(answer)


def check_explained(answer: dict) -> None:  # type: ignore[type-arg]
    for name, quantity in answer["quantities"].items():
        assert explanations()[name].unit == quantity["unit"], name
        assert quantity["sources"], name


def test_many_flights_resume_to_the_same_answer(rotorwright: Run, tmp_path: Path) -> None:
    kept = tmp_path / "kept.nc"
    question = ("fly", DRUM_MAJOR, "--duration", "20 s", "--wind", "1 m/s", "--json", "--seed", "5")
    first = rotorwright(*question, "--flights", "20", "--resume", kept)
    assert first.exit_code == 0, first.output
    went_on = json.loads(rotorwright(*question, "--flights", "48", "--resume", kept).stdout)
    whole = json.loads(rotorwright(*question, "--flights", "48").stdout)
    assert went_on == whole
    jsonschema.validate(whole, SCHEMA)
    check_explained(whole)
    assert sum(each["flights"] for each in whole["outcomes"]) == 48
    refused = rotorwright(*question[:-1], "6", "--flights", "48", "--resume", kept)
    assert refused.exit_code == 2
    assert "rest on something else" in refused.output


def test_many_flights_are_drawn(rotorwright: Run, tmp_path: Path) -> None:
    told = rotorwright("fly", DRUM_MAJOR, "--flights", "30", "--duration", "15 s", "--picture", tmp_path / "many.svg")
    assert told.exit_code == 0, told.output
    assert "first flights" in told.output
    assert (tmp_path / "many.svg").read_text(encoding="utf-8").startswith("<svg")


def test_the_time_left_is_told_once_it_can_be() -> None:
    from rotorwright.faces.cli.progress import time_left

    assert time_left(0.01, 30.0) == ""
    assert time_left(0.5, 2.0) == ""
    assert time_left(0.25, 20.0) == ", about 60 s left"
    assert time_left(0.1, 60.0) == ", about 9 min left"
    assert time_left(1.0, 60.0) == ""
    # gone on with at 80 %: half of the rest took a minute
    assert time_left(0.9, 60.0, 0.8) == ", about 60 s left"
    assert time_left(0.802, 60.0, 0.8) == ""


def test_time_left_counts_from_the_share_a_study_began_with() -> None:
    from rotorwright.faces.cli.progress import Progress

    progress = Progress()
    progress(80, 100)
    assert progress.began is not None
    assert progress.began[0] == 0.8
    progress(90, 100)
    assert progress.began[0] == 0.8
    progress(1, 100)  # the next part of the work
    assert progress.began[0] == 0.01


def test_mistakes_come_at_once_with_what_is_allowed(rotorwright: Run) -> None:
    told = rotorwright("fly", DRUM_MAJOR, "--pilot", "ace", "--event", "cow moos at 2 s", "--wind", "fast")
    assert told.exit_code == 2
    for words in ("--pilot", "old-hand", "--event", "--wind"):
        assert words in told.output
    told = rotorwright("fly", DRUM_MAJOR, "--resume", "x.nc")
    assert told.exit_code == 2
    assert "--flights" in told.output


def test_what_is_too_heavy_is_not_thrown(rotorwright: Run) -> None:
    told = rotorwright("fly", ROOT / "examples" / "great-roller.toml", "--launch", "hand")
    assert told.exit_code == 2
    assert "too heavy to be thrown" in told.output


def test_what_the_balance_says_cannot_fly_flies_no_circuit(rotorwright: Run) -> None:
    duck = ROOT / "examples" / "lead-duck.toml"
    answer = json.loads(rotorwright("fly", duck, "--flights", "40", "--wind", "0 m/s", "--json").stdout)
    assert answer["quantities"]["chance_of_circuit"]["value"] == 0.0


def test_an_ordinary_aeroplane_in_still_air_mostly_comes_back(rotorwright: Run) -> None:
    wing = ROOT / "examples" / "plain-wing.toml"
    question = ("fly", wing, "--flights", "60", "--wind", "0 m/s", "--pilot", "old-hand", "--json")
    answer = json.loads(rotorwright(*question).stdout)
    assert answer["quantities"]["chance_of_circuit"]["value"] > 0.9
