"""Start, spin-up and own rig data on the command line."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE
from rotorwright.sheets.explanation import explanations

Run = Callable[..., Result]
ROTOR = ("rotor", "--kind", "vaned", "--diameter", "120 mm", "--span", "600 mm", "--disc-diameter", "132 mm")
MOVING = (*ROTOR, "--airspeed", "10 m/s", "--free", "--polar-inertia", "3 kg cm2", "--samples", "32")
RIG = "airspeed_mps;rotor_speed_rpm;lift_n;drag_n;torque_nm\n8;1350;3,1;2,9;0\n10;1700;5,0;4,5;0\n12;2050;7,1;6,6;0\n"


def test_start_and_rig_in_words_and_json(rotorwright: Run, tmp_path: Path) -> None:
    place = tmp_path / "rig.csv"
    place.write_text(RIG, encoding="utf-8")
    options = ("--hand-spin", "500 rpm", "--run-acceleration", "2 m/s2", "--slow-to", "7 m/s", "--lift-share", "60 %")
    said = rotorwright(*MOVING, *options, "--rig", place)
    assert said.exit_code == 0, said.output
    words = " ".join(said.stdout.split())
    for heading in (
        "What your rig says",
        "How it starts",
        "Coming up to speed",
        "Losing spin",
        "Which way it must turn",
    ):
        assert heading in words
    assert max(len(line) for line in said.stdout.splitlines()) <= 80
    told = rotorwright(*MOVING, *options, "--rig", place, "--json")
    assert told.exit_code == 0, told.output
    document = json.loads(told.stdout)
    jsonschema.validate(document, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    assert document["rig"]["readings"] == 3
    assert document["quantities"]["lift"]["support"] == "inside data"
    for name, quantity in document["quantities"].items():
        assert explanations()[name].unit == quantity["unit"]
        assert "rotor" in explanations()[name].commands


def test_a_wrong_rig_file_is_named_with_its_line(rotorwright: Run, tmp_path: Path) -> None:
    place = tmp_path / "rig.csv"
    place.write_text("airspeed_mps,lift_n\n8,much\n", encoding="utf-8")
    answer = rotorwright(*MOVING, "--rig", place)
    assert answer.exit_code == 2
    assert "rig.csv:2: lift_n: is not a number" in answer.output
