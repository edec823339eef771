"""``rotorwright levers`` and ``rotorwright compare`` on the command line."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
from typer.testing import Result

from rotorwright.sheets.document import SCHEMA_FILE

Run = Callable[..., Result]
EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "thistledown.toml"
SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))


def test_levers_answers_first_then_ranks_and_draws(rotorwright: Run, tmp_path: Path) -> None:
    picture = tmp_path / "steps.svg"
    told = rotorwright("levers", EXAMPLE, "--samples", "16", "--picture", picture)
    assert told.exit_code == 0, told.output
    lines = told.stdout.splitlines()
    assert lines[0].endswith("what should I change first?")
    assert lines[1].startswith(("First: ", "Nothing must change"))
    assert len(lines) < 70
    assert max(len(line) for line in lines) <= 80
    assert picture.read_text(encoding="utf-8").startswith("<svg")


def test_levers_in_json(rotorwright: Run) -> None:
    told = rotorwright("levers", EXAMPLE, "--nominal", "--for", "climb", "--json")
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    jsonschema.validate(answer, SCHEMA)
    assert answer["conditions"]["for"] == "climb"
    assert len(answer["levers"]) > 50
    climbs = [each["worth"] for each in answer["levers"] if each["worth"] is not None]
    assert climbs == sorted(climbs, reverse=True)


def test_what_drives_the_band(rotorwright: Run, tmp_path: Path) -> None:
    picture = tmp_path / "band.svg"
    told = rotorwright("levers", EXAMPLE, "--band", "--draws", "64", "--picture", picture)
    assert told.exit_code == 0, told.output
    assert "Most of the band comes from" in told.stdout
    assert "all others together" in told.stdout
    assert picture.is_file()
    wrong = rotorwright("levers", EXAMPLE, "--band", "--draws", "100")
    assert wrong.exit_code == 2
    assert "--draws" in wrong.output


def test_wrong_words_and_hours_are_told_as_options(rotorwright: Run) -> None:
    for given, said in ((("--for", "beauty"), "--for"), (("--per", "mile"), "--per"), (("--hours", "x"), "--hours")):
        told = rotorwright("levers", EXAMPLE, "--nominal", *given)
        assert told.exit_code == 2
        assert said in told.output


def test_compare_two_files(rotorwright: Run, tmp_path: Path) -> None:
    new = tmp_path / "new.toml"
    text = EXAMPLE.read_text(encoding="utf-8")
    changed = text.replace('span = "380 mm"', 'span = "400 mm"').replace('"8x4.3 sf"', '"9x4.3 sf"')
    assert changed != text
    new.write_text(changed, encoding="utf-8")
    picture = tmp_path / "steps.svg"
    told = rotorwright("compare", EXAMPLE, new, "--samples", "16", "--picture", picture)
    assert told.exit_code == 0, told.output
    for words in ("380 mm → 400 mm", "What moved", "Which change did it", "together", "in any order"):
        assert words in told.stdout
    assert picture.read_text(encoding="utf-8").startswith("<svg")
    answer = json.loads(rotorwright("compare", EXAMPLE, new, "--nominal", "--json").stdout)
    jsonschema.validate(answer, SCHEMA)
    (step,) = answer["steps"]
    assert [each["field"] for each in step["changed"]] == ["rotor.left.span", "thruster.nose.propeller"]
    shared = step["which_change_did_it"]["reserve_thrust"]
    assert abs(sum(part["value"] for part in shared["order_free"]) - shared["total"]) < 1e-9


def test_compare_the_same_file_and_too_few(rotorwright: Run) -> None:
    told = rotorwright("compare", EXAMPLE, EXAMPLE, "--nominal")
    assert told.exit_code == 0
    assert "Nothing changed" in told.stdout
    assert rotorwright("compare", EXAMPLE).exit_code == 2
