"""No number reaches a maker without an explanation, and the unit there is the unit here."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from rotorwright.base.citations import citations
from rotorwright.base.quantity import Quantity
from rotorwright.faces.cli.main import app
from rotorwright.sheets.check import check_document
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.rotor_alone import rotor_quantities
from rotorwright.studies.bench_rotor import rotor_alone

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def unexplained(quantities: dict[str, str], command: str) -> list[str]:
    wrong = []
    for name, unit in quantities.items():
        entry = explanations().get(name)
        if entry is None:
            wrong.append(f"{name}: not explained")
        elif entry.unit != unit:
            wrong.append(f"{name}: [{unit}] here, [{entry.unit}] in its explanation")
        elif command not in entry.commands:
            wrong.append(f"{name}: does not say that {command} reports it")
    return wrong


def unknown_sources(quantities: Iterable[Quantity | dict[str, Any]]) -> set[str]:
    keys: set[str] = set()
    for quantity in quantities:
        sources = quantity.sources if isinstance(quantity, Quantity) else quantity["sources"]
        assert sources, "a number without a source"
        keys.update(sources)
    return keys - citations().keys()


def test_one_rotor_alone() -> None:
    answer = rotor_alone(
        kind="drum", diameter=0.1, span=0.5, airspeed=10.0, spin_ratio=2.0, polar_inertia=1e-4, samples=16
    )
    quantities = rotor_quantities(answer)
    assert len(quantities) >= 16
    assert all(isinstance(quantity, Quantity) for quantity in quantities.values())
    assert unexplained({name: quantity.unit for name, quantity in quantities.items()}, "rotor") == []
    assert unknown_sources(quantities.values()) == set()


def test_a_checked_file(small: Path) -> None:
    from rotorwright.design.aircraft_file import load
    from rotorwright.studies.check import check

    document = check_document(check(load(small), samples=16))
    units = {name: quantity["unit"] for name, quantity in document["quantities"].items()}
    assert len(units) >= 12
    assert unexplained(units, "check") == []
    assert unknown_sources(document["quantities"].values()) == set()


@pytest.mark.parametrize("name", sorted(explanations()))
def test_no_explanation_is_idle(name: str) -> None:
    assert set(explanations()[name].commands) <= {str(command.name) for command in app.registered_commands}


def test_a_balance(small: Path) -> None:
    from rotorwright.design.aircraft_file import load
    from rotorwright.sheets.balance_words import DRAG, IN_PER_CENT, LEDGER, SECTIONS
    from rotorwright.studies.balance import balance

    answer = balance(load(small, {"field.wind": "2 m/s"}), nominal_only=True)
    units = {name: quantity.unit for name, quantity in answer.quantities.items()}
    assert len(units) >= 60
    assert unexplained(units, "balance") == []
    assert unknown_sources(answer.quantities.values()) == set()
    told = {name for section in SECTIONS.values() for name in section} | DRAG.keys() | LEDGER.keys()
    assert units.keys() - told == set(), "reported, but shown nowhere on the sheet"
    assert {name for name in IN_PER_CENT if units.get(name, "1") != "1"} == set()


def test_power_benches_cite_works_that_exist() -> None:
    from rotorwright import fan_alone, motor_and_propeller_alone, propeller_alone

    motor = {"speed_constant": 115.0, "resistance": 0.085, "no_load_current": 0.8, "mass": 0.06}
    answers = (
        propeller_alone(diameter=0.23, pitch=0.127, rotor_speed=800.0, airspeed=8.0),
        motor_and_propeller_alone(motor=motor, propeller={"diameter": 0.23, "pitch": 0.127}, voltage=11.1),
        fan_alone(exit_area=0.003, electrical_power=300.0),
    )
    for answer in answers:
        quantities = [value for value in vars(answer).values() if isinstance(value, Quantity)]
        assert quantities
        assert unknown_sources(quantities) == set()


def test_a_power_story_and_a_choice_of_parts(small: Path) -> None:
    from rotorwright.design.aircraft_file import load
    from rotorwright.studies.choose_parts import choose_parts
    from rotorwright.studies.power import power

    aeroplane = load(small)
    story, choice = power(aeroplane, nominal_only=True), choose_parts(aeroplane, samples=0)
    quantities = story.quantities | choice.quantities
    assert len(quantities) >= 40
    assert unexplained({name: quantity.unit for name, quantity in quantities.items()}, "power") == []
    assert unknown_sources(quantities.values()) == set()


def test_levers(small: Path) -> None:
    from rotorwright.design.aircraft_file import load
    from rotorwright.studies.lever_table import levers

    quantities = levers(load(small), nominal_only=True).base
    assert unexplained({name: quantity.unit for name, quantity in quantities.items()}, "levers") == []
    assert unknown_sources(quantities.values()) == set()


def test_a_launch() -> None:
    from rotorwright.design.aircraft_file import load
    from rotorwright.sheets.launch import launch_document
    from rotorwright.sheets.launch_words import EVERYTHING
    from rotorwright.studies.launch import launch

    document = launch_document(launch(load(EXAMPLES / "drum-major.toml"), strip=60.0, obstacle=(5.0, 50.0), samples=16))
    units = {name: quantity["unit"] for name, quantity in document["quantities"].items()}
    assert len(units) >= 30
    assert unexplained(units, "launch") == []
    assert unknown_sources(document["quantities"].values()) == set()
    assert units.keys() - EVERYTHING.keys() == set(), "reported, but shown nowhere on the sheet"
    limits = [each["wind"] for each in document["wind_limits"]]
    assert unknown_sources(limits) == set()
