"""``rotorwright shake`` asked for strength, tolerances, balancing or a recording."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from rotorwright.base.citations import citations
from rotorwright.sheets.explanation import explanations
from studies.vibration_made import as_csv, made_recording

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
DRUM = str(EXAMPLES / "drum-major.toml")
RUNS = ["--run", "4.2@112 1.9@78", "--run", "1: 0.5@0 = 5.8@94 2.1@68", "--run", "2: 0.5@0 = 4.6@115 2.8@104"]


@pytest.fixture
def run(rotorwright):
    """The program in this process."""
    return rotorwright


@pytest.mark.parametrize("question", ["--strength", "--tolerances"])
def test_the_answer_fits_a_screen_and_carries_its_caution(run, question: str) -> None:
    answer = run("shake", DRUM, question)
    lines = answer.stdout.splitlines()
    assert answer.exit_code == 0
    assert len(lines) <= 70
    assert max(len(line) for line in lines) <= 80
    assert not re.search(r"\bnan\b", answer.stdout)
    if question == "--strength":
        assert "safety officer" in answer.stdout.replace("\n  ", " ")
        assert " m away" in " ".join(answer.stdout.split())


@pytest.mark.parametrize("question", ["--strength", "--tolerances"])
def test_every_quantity_is_explained_in_its_unit_and_cites_what_exists(run, question: str) -> None:
    document = json.loads(run("shake", DRUM, question, "--json").stdout)
    assert document["quantities"]
    for name, quantity in document["quantities"].items():
        entry = explanations()[name]
        assert entry.unit == quantity["unit"]
        assert "shake" in entry.commands
        assert quantity["sources"]
        assert set(quantity["sources"]) <= set(citations())


def test_a_what_if_changes_the_margins(run) -> None:
    plain = json.loads(run("shake", DRUM, "--strength", "--nominal", "--json").stdout)
    thicker = ("--set", 'rotor.left.shaft.tube="carbon 10x6 mm"')
    other = json.loads(run("shake", DRUM, "--strength", "--nominal", "--json", *thicker).stdout)

    def tilt(document: dict) -> float:
        return next(each["margin"]["nominal"] for each in document["strength"] if each["check"] == "bearing tilt")

    assert tilt(other) > 1.1 * tilt(plain)


def test_balancing_typed_and_from_a_table(run, tmp_path: Path) -> None:
    typed = run("shake", *RUNS, "--radius", "100 mm", "--holes", "12")
    assert typed.exit_code == 0
    assert "plane 1: 0.86" in typed.stdout
    assert "Split for plane 2" in typed.stdout
    table = tmp_path / "runs.csv"
    rows = ("plane;trial_g;trial_deg;a;a_deg;b;b_deg", ";;;4,2;112;1,9;78", "1;0,5;0;5,8;94;2,1;68",
            "2;0,5;0;4,6;115;2,8;104")  # fmt: skip
    table.write_text("\n".join(rows), encoding="utf-8")
    read = run("shake", "--runs", str(table), "--radius", "100 mm", "--holes", "12")
    assert read.stdout == typed.stdout


def test_balancing_without_phase(run) -> None:
    tried = ("4.2", "1: 1@0 = 5.1", "1: 1@120 = 3.0", "1: 1@240 = 5.6")
    answer = run("shake", "--radius", "4 in", "--json", *(word for text in tried for word in ("--run", text)))
    assert json.loads(answer.stdout)["balancing"]["correction"]["amount"]["value"] > 0.0


def test_a_recording_is_told(run, tmp_path: Path) -> None:
    path = tmp_path / "phone.csv"
    path.write_text(as_csv(made_recording()), encoding="utf-8")
    answer = run("shake", "--record", str(path), "--shaken-mass", "2 kg")
    assert answer.exit_code == 0
    assert "Once per turn leads" in answer.stdout
    assert "g mm" in answer.stdout
    with_file = run("shake", DRUM, "--record", str(path), "--rotor-speed", "1210 rpm")
    assert with_file.exit_code == 0


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--strength"], "FILE"),
        ([DRUM, "--gust", "4 m/s"], "--strength"),
        ([DRUM, "--strength", "--gust", "400 m/s"], "out of range"),
        ([DRUM, "--strength", "--tolerances"], "does not go with"),
        (["--radius", "100 mm"], "--run"),
        (["--run", "4@3"], "--radius"),
        (["--run", "fast", "--radius", "100 mm"], "cannot be read"),
        ([DRUM, *RUNS, "--radius", "100 mm"], "balancing"),
        (["--record", "nowhere.csv"], "cannot be read"),
        (["--rotor-speed", "100 rpm"], "--record"),
        ([], "FILE"),
    ],
)
def test_questions_that_cannot_be_answered_end_in_plain_words(run, arguments: list[str], words: str) -> None:
    answer = run("shake", *arguments)
    assert answer.exit_code == 2
    assert words in answer.stderr
    assert "Traceback" not in answer.stderr
