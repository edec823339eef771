"""``rotorwright handling`` on the command line."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE

Run = Callable[..., Result]
EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "thistledown.toml"


def test_handling_in_json_and_words(rotorwright: Run) -> None:
    told = rotorwright("handling", EXAMPLE, "--samples", "16", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    assert {"spiral_double", "spin_momentum", "neutral_point"} <= answer["quantities"].keys()
    assert len(answer["turns"]) == 6
    said = rotorwright("handling", EXAMPLE, "--samples", "16").output
    assert "how it handles" in said
    assert "Left alone in level flight" in said


def test_a_machine_that_flies_at_no_speed_is_told_so(rotorwright: Run) -> None:
    told = rotorwright("handling", EXAMPLE, "--samples", "16", "--set", "item.receiver.mass=25 kg")
    assert told.exit_code == 2
    assert "no flight to disturb" in told.output
