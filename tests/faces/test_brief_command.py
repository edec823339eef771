"""``rotorwright brief`` as a maker types it."""

from __future__ import annotations

import json
from pathlib import Path

from typer.testing import CliRunner

from rotorwright.design.aircraft_file import load
from rotorwright.faces.cli.main import app


def test_a_newcomer_gets_one_answer_with_a_file_and_first_steps(tmp_path: Path) -> None:
    folder = tmp_path / "first"
    answer = CliRunner().invoke(app, ["brief", "--first", "--out", str(folder)])
    assert answer.exit_code == 0, answer.output
    assert "What to build first" in answer.output
    assert "cover the rotors" in " ".join(answer.output.split())
    (written,) = folder.glob("*.toml")
    assert load(written).tables.rotor


def test_wrong_wishes_are_told_at_once_and_json_is_an_error_document() -> None:
    line = ["brief", "--mass", "heavy", "--launch", "cannon", "--material", "granite", "--json"]
    answer = CliRunner().invoke(app, line)
    assert answer.exit_code == 2
    problems = json.loads(answer.stdout)["error"]["problems"]
    assert {each["place"] for each in problems} == {"--mass", "--launch", "--material"}
