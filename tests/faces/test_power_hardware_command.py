"""Hardware questions of ``power`` on the command line: bench, bench run, rotor drive, a stopped thruster."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from typer.testing import Result

from house.walk import ROOT
from rotorwright.sheets.document import SCHEMA_FILE

Run = Callable[..., Result]
BENCH = "throttle_pct; volts; amps; rpm; thrust_gf\n50; 11,8; 2,1; 3900; 250\n100; 11,5; 11,0; 7000; 850\n"
DUCK, ROLLER = ROOT / "examples" / "lead-duck.toml", ROOT / "examples" / "great-roller.toml"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    place = tmp_path / "bench.csv"
    place.write_text(BENCH, encoding="utf-8")
    return place


def words_and_document(rotorwright: Run, *question: object) -> tuple[str, dict]:
    said, told = rotorwright(*question), rotorwright(*question, "--json")
    assert said.exit_code == 0, said.output
    assert told.exit_code == 0, told.output
    assert max(len(line) for line in said.stdout.splitlines()) <= 80
    assert len(said.stdout.splitlines()) <= 75
    document = json.loads(told.stdout)
    jsonschema.validate(document, json.loads(SCHEMA_FILE.read_text(encoding="utf-8")))
    return " ".join(said.stdout.split()), document


def test_what_a_bench_says(rotorwright: Run, bench: Path) -> None:
    words, document = words_and_document(rotorwright, "power", DUCK, "--bench", bench)
    assert "the bench agrees with what is usual" in words
    assert "Before the next run" in words
    assert document["bench"][0]["readings"] == 2
    named = rotorwright("power", DUCK, "--bench", f"nose={bench}")
    assert " ".join(named.stdout.split()) == words


def test_balance_flies_with_the_bench(rotorwright: Run, bench: Path) -> None:
    said = rotorwright("balance", DUCK, "--nominal", "--bench", bench)
    assert said.exit_code == 0, said.output
    assert "follow 2 bench readings" in " ".join(said.stdout.split())


def test_a_bench_run_to_print(rotorwright: Run) -> None:
    words, document = words_and_document(rotorwright, "power", DUCK, "--test-plan")
    for part in ("Cautions first", "What to expect", "Stop at once", "throttle_pct; volts; amps"):
        assert part in words
    assert [step["throttle"] for step in document["test_plan"][0]["steps"]] == [0.4, 0.55, 0.7, 0.85, 1.0]


def test_belts_for_a_drive(rotorwright: Run) -> None:
    words, document = words_and_document(
        rotorwright, "power", ROLLER, "--drive", "--shafts", "90 mm", "--samples", "16"
    )
    assert "Belts with shelf pulleys" in words
    for belt in document["drives"][0]["belts"]:
        assert abs(belt["centre"] - 0.09) < 0.003
    assert document["quantities"]["chop_moment"]["nominal"] > 0.0


def test_a_stopped_thruster(rotorwright: Run) -> None:
    words, document = words_and_document(rotorwright, "power", ROLLER, "--one-stopped", "--samples", "16")
    assert "left stopped:" in words
    assert [each["thruster"] for each in document["one_stopped"]] == ["left", "right"]


@pytest.mark.parametrize(
    ("options", "says"),
    [
        (("--bench", "nowhere.csv"), "cannot be read"),
        (("--bench", "tail=nowhere.csv"), "which thruster"),
        (("--drive",), "drives no rotor"),
        (("--shafts", "9 kg"), "--shafts"),
    ],
)
def test_what_cannot_be_asked(rotorwright: Run, options: tuple[str, ...], says: str) -> None:
    answer = rotorwright("power", DUCK, *options)
    assert answer.exit_code == 2
    assert says in answer.stderr
