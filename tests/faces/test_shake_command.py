"""``shake`` on the command line: one document, one sheet, mistakes named."""

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


def test_shake_in_json(rotorwright: Run) -> None:
    told = rotorwright("shake", EXAMPLE, "--samples", "16", "--sag", "0.2 mm", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    assert set(answer["quantities"]) <= explanations().keys()
    assert "first_critical_from_sag" in answer["quantities"]
    assert answer["rotors"][0]["rotors"] == ["left", "right"]


def test_shake_in_words(rotorwright: Run) -> None:
    said = rotorwright("shake", EXAMPLE, "--nominal", "--rig-resonance", "18 Hz")
    assert said.exit_code == 0, said.output
    assert "Where it turns and where it rings" in said.output
    assert "your test rig" in said.output


def test_mistakes_are_named(rotorwright: Run) -> None:
    told = rotorwright("shake", EXAMPLE, "--sag", "12 kg")
    assert told.exit_code == 2
    assert "--sag" in told.output
    told = rotorwright("shake", EXAMPLE, "--set", 'rotor.left.shaft.bearing_positions=["0 mm"]')
    assert told.exit_code == 2
