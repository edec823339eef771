"""A script gets JSON even when the input is wrong; a number is explained for one aeroplane."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE

Run = Callable[..., Result]
ERROR = json.loads(SCHEMA_FILE.with_name("error-1.json").read_text(encoding="utf-8"))
ANSWER = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))


@pytest.mark.parametrize("command", ["check", "balance"])
def test_wrong_input_is_told_as_data_too(rotorwright: Run, small: Path, command: str) -> None:
    small.write_text(small.read_text(encoding="utf-8").replace("diameter =", "diametr =", 1), encoding="utf-8")
    result = rotorwright(command, small, "--json")
    assert result.exit_code == 2
    document = json.loads(result.stdout)
    jsonschema.validate(document, ERROR)
    assert document["error"]["code"] == 2
    problems = document["error"]["problems"]
    assert any(problem["line"] and "diameter" in problem["hint"] for problem in problems)
    for problem in problems:
        assert problem["sentence"] in result.stderr
    assert rotorwright(command, small).stdout == "", "without --json standard output stays empty"


def test_a_mistake_on_the_command_line_is_told_as_data_too() -> None:
    called = subprocess.run(
        [sys.executable, "-m", "rotorwright", "balance", "--json", "--sampels", "16"], capture_output=True, check=False
    )
    assert called.returncode == 2
    document = json.loads(called.stdout)
    jsonschema.validate(document, ERROR)
    assert "--sampels" in document["error"]["message"]
    assert b"--sampels" in called.stderr


def test_a_number_is_explained_where_it_stands(rotorwright: Run, small: Path) -> None:
    result = rotorwright("explain", "rotor_speed", small)
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines()[0] == "Rotor speed [rpm]"
    assert "What moves it here" in result.stdout
    assert "rad/s" not in result.stdout.split("Formula")[0]
    document = json.loads(rotorwright("explain", "rotor_speed", small, "--json").stdout)
    jsonschema.validate(document, ANSWER)
    assert 0 < len(document["moved_by"]) < 15, "only what matters"
    shares = [each["share"] for each in document["moved_by"]]
    assert shares == sorted(shares, reverse=True)
    assert set(document["quantities"]) == {"rotor_speed"}


def test_a_number_that_is_not_there_says_so(rotorwright: Run, small: Path) -> None:
    result = rotorwright("explain", "stored_energy", small)
    assert result.exit_code == 2
    assert "no number of this aeroplane" in result.stderr
