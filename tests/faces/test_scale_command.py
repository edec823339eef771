"""``rotorwright scale`` as a maker types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from rotorwright.design.aircraft_file import load
from rotorwright.faces.cli.main import app

EXAMPLE = str(Path(__file__).parents[2] / "examples" / "thistledown.toml")


def test_the_larger_one_is_written_and_drawn(tmp_path: Path) -> None:
    out, picture = tmp_path / "larger.toml", tmp_path / "sizes.svg"
    line = ["scale", EXAMPLE, "--size", "1.5", "--samples", "16", "--out", str(out), "--picture", str(picture)]
    answer = CliRunner().invoke(app, line)
    assert answer.exit_code == 0, answer.output
    assert "1.5 times the size" in answer.output
    assert "Where it ends" in answer.output
    assert load(out).value("rotor.left.span") == pytest.approx(1.5 * load(EXAMPLE).value("rotor.left.span"))
    assert "<svg" in picture.read_text(encoding="utf-8")
    again = CliRunner().invoke(app, line)
    assert again.exit_code == 2


def test_json_holds_the_schema_and_wrong_words_are_told_at_once() -> None:
    answer = CliRunner().invoke(app, ["scale", EXAMPLE, "--area", "2", "--samples", "16", "--json"])
    assert answer.exit_code == 0, answer.output
    told = json.loads(answer.stdout)
    assert told["conditions"]["size"] == pytest.approx(2.0**0.5)
    assert {"rotorwright", "schema", "aircraft", "conditions", "quantities", "verdict", "warnings"} <= told.keys()
    assert told["ends"]
    wrong = CliRunner().invoke(app, ["scale", EXAMPLE, "--size", "big", "--thickness", "fat"])
    assert wrong.exit_code == 2
