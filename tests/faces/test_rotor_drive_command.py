"""``rotor FILE --drive`` on the command line: one document, one sheet, mistakes named."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE
from rotorwright.sheets.explanation import explanations

Run = Callable[..., Result]
EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "thistledown.toml"


def test_driven_or_free_in_json(rotorwright: Run) -> None:
    told = rotorwright("rotor", EXAMPLE, "--drive", "--ramp", "3 s", "--samples", "16", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    drum, free, vaned = answer["drive_choice"]
    assert (drum["described"], free["described"], vaned["described"]) == (False, True, False)
    assert vaned["spin_up"]["quantities"]["ramp_time"]["value"] == 3.0
    assert free["break_even_drive_mass"] is None
    assert set(answer["quantities"]) == {"break_even_drive_mass_drum", "break_even_drive_mass_vaned"}
    assert set(answer["quantities"]) <= explanations().keys()


def test_the_wash_in_json_and_words(rotorwright: Run) -> None:
    told = rotorwright("rotor", EXAMPLE, "--wash", "--samples", "16", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    assert len(answer["blown"]["places"]) == 5
    assert set(answer["quantities"]) <= explanations().keys()
    said = rotorwright("rotor", EXAMPLE, "--wash", "--samples", "16").output
    assert "rotors in the wash" in said
    assert "Places side by side" in said


def test_what_does_not_go_together_is_said(rotorwright: Run) -> None:
    answer = rotorwright("rotor", EXAMPLE, "--drive", "--airspeed", "9 m/s")
    assert answer.exit_code == 2
    assert "--airspeed: does not go with --drive" in answer.output
    answer = rotorwright("rotor", "--drive")
    assert answer.exit_code == 2
    assert "needs an aircraft file" in answer.output
    answer = rotorwright("rotor", EXAMPLE, "--ramp", "2 s")
    assert answer.exit_code == 2
    assert "goes with --drive only" in answer.output
