"""``rotor FILE --strips`` on the command line: one document, one short sheet, mistakes named."""

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


def test_strips_in_json(rotorwright: Run) -> None:
    told = rotorwright("rotor", EXAMPLE, "--strips", "--height", "0.5 m", "--samples", "16", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    assert answer["conditions"]["height"] == 0.5
    for name, quantity in answer["quantities"].items():
        assert explanations()[name].unit == quantity["unit"]
        assert "rotor" in explanations()[name].commands
    assert len(answer["rotors"]) == 2
    assert len(answer["strips"][0]["place"]) == len(answer["strips"][0]["lift_per_span"])


def test_strips_on_a_sheet(rotorwright: Run) -> None:
    told = rotorwright("rotor", EXAMPLE, "--strips", "--samples", "16")
    assert told.exit_code == 0, told.output
    assert "along the span" in told.output
    assert "downwash at the tail" in told.output
    assert len(told.output.splitlines()) <= 80
    assert "nan" not in told.output.lower().split()


def test_what_does_not_go_together_is_said(rotorwright: Run) -> None:
    answer = rotorwright("rotor", "--strips")
    assert answer.exit_code == 2
    assert "needs an aircraft file" in answer.output
    answer = rotorwright("rotor", EXAMPLE, "--height", "1 m")
    assert answer.exit_code == 2
    assert "goes with --strips only" in answer.output
    answer = rotorwright("rotor", EXAMPLE, "--strips", "--airspeed", "9 m/s")
    assert answer.exit_code == 2
    assert "does not go with --strips" in answer.output
    answer = rotorwright("rotor", EXAMPLE, "--strips", "--height", "0 m")
    assert answer.exit_code == 2
    assert "out of range" in answer.output
