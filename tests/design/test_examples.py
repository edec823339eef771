"""The example aeroplanes load, weigh what their words say, and have room for what turns."""

from __future__ import annotations

from pathlib import Path

import pytest

from rotorwright.design.aircraft_file import load
from rotorwright.design.clearances import clearances
from rotorwright.design.edit import edit_text
from rotorwright.design.fill import fill

FOLDER = Path(__file__).parents[2] / "examples"
MASSES = {
    "thistledown": (0.25, 0.35),
    "marsh-tumbler": (1.3, 1.7),
    "drum-major": (1.8, 2.2),
    "great-roller": (7.0, 12.0),
    "plain-wing": (0.7, 1.7),
    "lead-duck": (1.0, 2.5),
}


def test_every_example_is_told_of():
    readme = (FOLDER / "README.md").read_text(encoding="utf-8")
    files = {path.stem for path in FOLDER.glob("*.toml")}
    assert files == set(MASSES)
    assert all(f"`{name}.toml`" in readme for name in files)


@pytest.mark.parametrize("name", sorted(MASSES))
def test_an_example_weighs_what_it_says_and_runs_into_nothing(name: str):
    aeroplane = load(FOLDER / f"{name}.toml")
    mass = fill(aeroplane).masses["mass"].sum()
    low, high = MASSES[name]
    assert low <= mass <= high
    assert aeroplane.remarks == ()
    assert [gap.sentence() for gap in clearances(aeroplane) if gap.distance < 0.0] == []


@pytest.mark.parametrize("name", sorted(MASSES))
def test_an_edit_that_changes_nothing_changes_no_letter(name: str):
    text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    assert edit_text(text, {}) == text
    aeroplane = load(FOLDER / f"{name}.toml")
    same = {f"field.{field}": getattr(aeroplane.field, field) for field in ("elevation", "temperature")}
    assert edit_text(text, same) == text
