"""The sheet of a balance on the examples: short, in one set of units, conditional where nothing flies."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from rotorwright.design.aircraft_file import load
from rotorwright.sheets.balance import balance_sheet
from rotorwright.sheets.terminal import sheet_text
from rotorwright.studies.balance import BalanceResult, balance

FOLDER = Path(__file__).parents[2] / "examples"
EXAMPLES = ("thistledown", "marsh-tumbler", "drum-major", "great-roller", "plain-wing", "lead-duck")


@cache
def answer(name: str) -> BalanceResult:
    return balance(load(FOLDER / f"{name}.toml"), samples=64)


def said(name: str, **how: bool) -> str:
    return sheet_text(balance_sheet(answer(name), **how))


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_first_answer_fits_a_screen(name: str) -> None:
    text = said(name)
    assert len(text.splitlines()) <= 47
    assert max(len(line) for line in text.splitlines()) <= 80
    assert not re.search(r"(?<![\d.])(100|0) ?%", text), "no chance is certain"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_doubt_stands_at_the_verdict(name: str) -> None:
    head = said(name).split("\n\n")[0]
    assert ("Doubt: " in head) == (answer(name).quantities["level_speed"].support != "inside data")


@pytest.mark.parametrize("name", EXAMPLES)
def test_loading_is_told_in_one_unit(name: str) -> None:
    text = said(name, more=True)
    assert "g/dm²" in text
    assert "kg/m²" not in text


def test_nothing_is_said_as_if_it_flew_where_it_does_not() -> None:
    text = said("lead-duck", more=True)
    for heading in ("Rotors, at the speed where least is missing", "Mass and loading"):
        assert f"\n{heading}\n" in text
    assert not re.search(r"\n(Rotors|Level flight|In hand)\n", text)
    assert "speed of balance, were there thrust" in text
    short = " ".join(said("lead-duck").split())
    assert "Nearest to flight" in short
    assert re.search(r"Not there: level speed; .*full throttle cannot hold its height", short)


def test_why_other_samples_lack_a_number_is_told() -> None:
    text = " ".join(said("marsh-tumbler").split())
    assert re.search(r"level speed [^A-Z]*\d+ % of samples", text)
    seldom = [q for q in answer("marsh-tumbler").quantities.values() if q.value is not None and q.share < 0.9]
    assert seldom
    assert "In the other samples: " in " ".join(said("marsh-tumbler", more=True).split())


def test_ounces_for_a_maker_in_ounces(tmp_path: Path) -> None:
    inches = FOLDER / "drum-major.toml"
    file = tmp_path / "ounces.toml"
    text = inches.read_text(encoding="utf-8")
    text = re.sub(r'"(\d+) g"', lambda found: f'"{int(found[1]) / 28.3495:.4g} oz"', text)
    file.write_text(text, encoding="utf-8")
    lines = sheet_text(balance_sheet(balance(load(file), nominal_only=True))).splitlines()
    assert "oz of force" in " ".join(lines[:4])


def test_a_balance_point_nobody_can_tell_from_the_axis_is_on_it() -> None:
    from dataclasses import replace

    from rotorwright.sheets.check import check_sheet
    from rotorwright.studies.check import check

    found = check(load(FOLDER / "marsh-tumbler.toml"), samples=16)
    ahead = found.quantities["centre_of_gravity_ahead_of_rotors"]
    near = replace(
        found, quantities={**found.quantities, "centre_of_gravity_ahead_of_rotors": replace(ahead, value=4e-4)}
    )
    assert "balances on the rotor axis" in " ".join(sheet_text(check_sheet(near)).split())
