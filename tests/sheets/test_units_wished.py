"""What a face shows everything in: the file's own units unless it was told others, and back again."""

from __future__ import annotations

import math
from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

import pytest

from rotorwright.base.quantity import Quantity
from rotorwright.faces.web.questions import Answer
from rotorwright.sheets.numbers import number_text, quantity_text, show_in, shown_in, units_of

METRIC_FILE = {"rotor": {"left": {"span": "380 mm", "mass": "90 g"}}, "wind": "3 m/s"}
INCH_FILE = {"rotor": {"left": {"span": "15 in", "mass": "3 oz"}}, "wind": "7 mph"}


@pytest.fixture(autouse=True)
def as_found() -> Iterator[None]:
    yield
    show_in("")


def test_a_wish_goes_before_the_file_and_can_be_taken_back() -> None:
    assert number_text(0.381, "m", units_of(METRIC_FILE)) == "381 mm"
    show_in("imperial")
    assert shown_in() == "imperial"
    units = units_of(METRIC_FILE)
    # exact by definition: inch 25.4 mm, pound 0.45359237 kg, mile 1609.344 m (1959 agreement)
    assert number_text(0.381, "m", units) == "15 in"
    assert number_text(0.45359237, "kg", units) == "16 oz"
    assert number_text(0.44704, "m/s", units) == "1 mph"
    assert number_text(298.15, "K", units) == "77 degF" or number_text(298.15, "K", units) == "77 °F"
    show_in("metric")
    assert number_text(0.381, "m", units_of(INCH_FILE)) == "381 mm"
    show_in("")
    assert number_text(0.381, "m", units_of(INCH_FILE)) == "15 in"


def test_a_band_is_shown_in_the_same_unit_as_its_value() -> None:
    show_in("imperial")
    speed = Quantity(4.4704, 4.02336, 4.91744, 4.4704, "m/s", 1.0, "inside data", ())
    assert quantity_text(speed, units_of({})) == "10.0 mph (9.0–11.0)"


def test_an_unknown_system_is_refused() -> None:
    with pytest.raises(ValueError, match="no system of units"):
        show_in("furlongs")
    assert shown_in() == ""


def test_a_sheet_is_made_anew_for_other_units_and_kept_for_each() -> None:
    made: list[str] = []

    def make(result: Any) -> Any:
        made.append(shown_in())
        return SimpleNamespace(said=number_text(math.pi, "m", units_of(METRIC_FILE)))

    answer = Answer(None, {}, make)
    first = answer.sheet
    show_in("imperial")
    assert answer.sheet is not first
    show_in("")
    assert answer.sheet is first
    assert made == ["", "imperial"]
