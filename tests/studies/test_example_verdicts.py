"""The examples give the answers their words promise: five should fly near neutral, one cannot and says by how much."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from rotorwright.design.aircraft_file import load
from rotorwright.flight.envelope import LEVEL, OPENED
from rotorwright.studies.evaluate import fly
from rotorwright.studies.shortfall import shortage_sentence
from rotorwright.studies.verdict import probability_of_flight

FOLDER = Path(__file__).parents[2] / "examples"


@pytest.mark.parametrize("name", ["thistledown", "marsh-tumbler", "drum-major", "great-roller", "plain-wing"])
def test_a_flying_example_should_fly_near_neutral_within_its_limits(name: str) -> None:
    flown = fly(load(FOLDER / f"{name}.toml"))
    chance = probability_of_flight(flown)
    assert chance is not None
    assert chance >= 0.7
    level, full = flown.envelope.steady[0, LEVEL], flown.envelope.steady[0, OPENED]
    assert abs(float(level["elevator"])) <= 0.5
    assert abs(float(np.degrees(level["incidence"]))) <= 12.0
    thruster = flown.rows.thrusters[0]
    assert full["motor_current"] <= thruster["motor_current_limit"]
    assert full["motor_current"] <= thruster["controller_current_limit"]
    assert full["pack_current"] <= flown.rows.batteries["current_limit"].sum()


def test_the_one_that_cannot_fly_names_newtons_and_grams() -> None:
    flown = fly(load(FOLDER / "lead-duck.toml"))
    assert probability_of_flight(flown) == 0.0
    assert re.search(r"short by [0-9.]+ N .* [0-9]+ g \([0-9]+–[0-9]+\) lighter", shortage_sentence(flown))
