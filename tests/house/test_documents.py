"""What README and docs tell people to type exists."""

from __future__ import annotations

import re

import pytest
from typer.testing import CliRunner

from house.walk import ROOT
from rotorwright.faces.cli.main import app

COMMANDS = tuple(str(command.name) for command in app.registered_commands)


def options() -> set[str]:
    found = {"--debug", "--version"}
    for command in COMMANDS:
        found |= set(re.findall(r"--[a-z-]+", CliRunner().invoke(app, [command, "--help"]).output))
    return found


@pytest.mark.parametrize("page", ["README.md", "docs/command-line.md", "CONTRIBUTING.md"])
def test_commands_and_options_named_there_exist(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    named = set(re.findall(r"rotorwright ([a-z]+)\b(?! import)", text)) - {"import"}
    lines = [line for line in text.splitlines() if "rotorwright" in line or line.startswith("| `--")]
    used = set(re.findall(r"(?<!\w)--[a-z][a-z-]+", "\n".join(lines)))
    assert {word for word in named if f"rotorwright {word}" in text and word not in COMMANDS} == set()
    assert used - options() == set()


def test_every_command_is_described() -> None:
    text = (ROOT / "docs" / "command-line.md").read_text(encoding="utf-8")
    for command in COMMANDS:
        assert f"rotorwright {command}" in text


def test_make_targets_named_there_exist_and_the_demo_has_its_aeroplane() -> None:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    targets = set(re.findall(r"^([a-z]+):", makefile, re.M))
    for page in ("README.md", "CONTRIBUTING.md"):
        named = set(re.findall(r"make ([a-z]+)\b", (ROOT / page).read_text(encoding="utf-8")))
        assert named & {"demo", "test", "tests", "docs"} == {word for word in named if word in targets}
    (demo,) = re.findall(r"^DEMO := (\S+)$", makefile, re.M)
    assert (ROOT / demo).is_file()


def test_the_gate_runs_what_a_contributor_runs() -> None:
    gate = ROOT / ".ci" / "run"
    assert gate.stat().st_mode & 0o100
    assert gate.read_text(encoding="utf-8").rstrip().endswith("exec make test")
