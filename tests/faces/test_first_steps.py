"""The page of first steps is run as it stands, and so is the command that the page on rigs tells for the demo file."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import Result

from rotorwright.design.aircraft_file import load
from rotorwright.design.clearances import clearances, tip_bank

Run = Callable[..., Result]
ROOT = Path(__file__).resolve().parents[2]


def commands(page: str) -> list[list[str]]:
    blocks = re.findall(r"```sh\n(.*?)```", (ROOT / "docs" / page).read_text(encoding="utf-8"), flags=re.DOTALL)
    return [shlex.split(line)[1:] for block in blocks for line in block.splitlines() if line.startswith("rotorwright")]


def test_every_first_step_answers(rotorwright: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    steps = commands("first-steps.md")
    assert [step[0] for step in steps] == ["new", "check", "balance", "balance", "rotor", "explain"]
    said = {}
    for step in steps:
        result = rotorwright(*step)
        assert result.exit_code == 0, result.output
        said[step[0]] = result.stdout
    written = (tmp_path / "my.toml").read_text(encoding="utf-8")
    for field in ("span", "diameter"):
        value = re.search(rf'^{field} = "([^"]+)"', written[written.index("[rotor.right]") :], flags=re.MULTILINE)
        assert value is not None
        assert value[1] in said["new"]
    propeller = re.search(r'^propeller = "([^"]+)"', written, flags=re.MULTILINE)
    assert propeller is not None
    assert propeller[1] in said["new"]
    assert "propeller nose to the ground" in said["check"]
    aeroplane = load(tmp_path / "my.toml")
    assert [gap.sentence() for gap in clearances(aeroplane) if gap.tight] == []
    bank = tip_bank(aeroplane)
    assert bank is not None
    assert bank > 0.17
    assert min(wheel.diameter for wheel in aeroplane.tables.wheel.values()) >= 0.025


def test_the_demo_rig_file_is_read(rotorwright: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    rig = [step for step in commands("physics/rotor-rig.md") if "examples/rig/demo-rotor.csv" in step]
    assert len(rig) == 1
    result = rotorwright(*rig[0])
    assert result.exit_code == 0, result.output
    assert "4 readings" in result.stdout
