"""The unit reader against exact definitions, and against everything a maker may mistype."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
import scipy.constants as constants
from hypothesis import given
from hypothesis import strategies as st

from rotorwright.design.unit_table import DIMENSIONS
from rotorwright.design.units import (
    Range,
    UnitProblem,
    read,
    read_cells,
    read_propeller,
    read_tube,
    show,
)

# scipy.constants holds the exact international definitions and CODATA values: an outside reference for the factors.
OUTSIDE = [
    ("1 in", "length", constants.inch),
    ("1 ft", "length", constants.foot),
    ("1 yd", "length", constants.yard),
    ("1 oz", "mass", constants.oz),
    ("1 lb", "mass", constants.lb),
    ("1 mph", "speed", constants.mph),
    ("1 kt", "speed", constants.knot),
    ("1 km/h", "speed", constants.kmh),
    ("1 hp", "power", constants.hp),
    ("1 lbf", "force", constants.lbf),
    ("1 kgf", "force", constants.kgf),
    ("1 mbar", "pressure", 1e-3 * constants.bar),
    ("1 inHg", "pressure", 25.4 * constants.mmHg),
    ("1 deg", "angle", constants.degree),
    ("1 Wh", "energy", constants.hour),
    ("1 oz/yd2", "areal mass", constants.oz / constants.yard**2),
    ("1 oz/ft2", "areal mass", constants.oz / constants.foot**2),
    ("1 lb/ft3", "density", constants.lb / constants.foot**3),
    ("1 oz in", "torque", constants.oz * constants.g * constants.inch),
    ("1 kg cm", "torque", constants.g * 0.01),
    ("1 mAh", "charge", 3.6),
    ("1 rpm/V", "speed constant", math.pi / 30.0),
    ("32 degF", "temperature", constants.zero_Celsius),
    ("212 degF", "temperature", constants.zero_Celsius + 100.0),
    ("0 degC", "temperature", constants.zero_Celsius),
]


@pytest.mark.parametrize(("text", "dimension", "expected"), OUTSIDE)
def test_factors_agree_with_exact_definitions(text: str, dimension: str, expected: float):
    assert read(text, dimension) == pytest.approx(expected, rel=1e-6)


GOOD = [
    ("620 mm", "length", 0.62),
    ("62cm", "length", 0.62),
    ("1,5 m", "length", 1.5),
    ("0,25 m", "length", 0.25),
    ("3/16 in", "length", 3 / 16 * 0.0254),
    ("1 1/4 in", "length", 1.25 * 0.0254),
    ("1-1/4 in", "length", 1.25 * 0.0254),
    ('12 "', "length", 12 * 0.0254),
    ("5 ft 3 in", "length", 63 * 0.0254),
    ("5'3\"", "length", 63 * 0.0254),
    ("2 lb 3 oz", "mass", 35 * 0.45359237 / 16),
    ("-3 deg", "angle", -math.radians(3)),
    ("−3 deg", "angle", -math.radians(3)),
    ("+5 mm", "length", 0.005),
    ("900kv", "speed constant", 900 * math.pi / 30),
    ("900 KV", "speed constant", 900 * math.pi / 30),
    ("12°C", "temperature", 285.15),
    ("300 g/m²", "areal mass", 0.3),
    ("3 mN·m", "torque", 0.003),
    ("85 mΩ", "resistance", 0.085),
    ("1e-3 m", "length", 0.001),
    (".5 m", "length", 0.5),
    ("12 KG", "mass", 12.0),
    ("35 %", "share", 0.35),
    ("0.35", "share", 0.35),
]


@pytest.mark.parametrize(("text", "dimension", "expected"), GOOD)
def test_workshop_spellings_are_read(text: str, dimension: str, expected: float):
    assert read(text, dimension) == pytest.approx(expected, rel=1e-12)


BAD = [
    ("620", "length", "needs a unit"),
    ("", "length", "number"),
    ("mm", "length", "number"),
    ("mm 620", "length", "number"),
    ("1,500 m", "length", "two ways"),
    ("1,234.5 m", "length", "two ways"),
    ("1.234,5 m", "length", "comma"),
    ("1,2,3 m", "length", "two ways"),
    ("1 500 mm", "length", "inside the number"),
    ("3 m + 2 m", "length", "not known"),
    ("180 kg", "length", "is a mass, but this needs a length"),
    ("5 m/s", "length", "is a speed"),
    ("620 mmm", "length", "not known"),
    ("nan mm", "length", "finite"),
    ("inf m", "length", "finite"),
    ("-Infinity m", "length", "finite"),
    ("1e999 m", "length", "finite"),
    ("1.2.3 m", "length", "number"),
    ("1/0 in", "length", "zero"),
    ("0x10 m", "length", "not known"),
    ("3 MW", "power", "not known"),
    ("85 Mohm", "resistance", "not known"),
    ("½ in", "length", "number"),
]


@pytest.mark.parametrize(("text", "dimension", "words"), BAD)
def test_doubtful_texts_are_refused_with_the_right_form_shown(text: str, dimension: str, words: str):
    with pytest.raises(UnitProblem) as caught:
        read(text, dimension)
    problem = caught.value
    assert words in problem.message
    assert text[:5] in problem.found
    assert DIMENSIONS[dimension].example in problem.allowed


def test_the_hint_on_a_thousands_comma_shows_both_readings():
    with pytest.raises(UnitProblem) as caught:
        read("1,500 m", "length")
    assert '"1.500 m"' in caught.value.hint
    assert '"1500 m"' in caught.value.hint


def test_every_listed_unit_reads_itself_and_shows_itself():
    for dimension in DIMENSIONS.values():
        for unit in dimension.units:
            number = read(f"12.5 {unit}", dimension.name)
            again = read(show(number, unit, dimension.name, 9), dimension.name)
            assert again == pytest.approx(number, rel=1e-7), unit


def test_every_example_is_accepted():
    for dimension in DIMENSIONS.values():
        assert math.isfinite(read(dimension.example.split(" or ")[-1].strip('"'), dimension.name))


@given(st.floats(min_value=1e-3, max_value=1e5), st.sampled_from(sorted(DIMENSIONS["length"].units)))
def test_reading_and_showing_are_inverse(number: float, unit: str):
    value = read(f"{number:.9g} {unit}", "length")
    assert value == pytest.approx(number * DIMENSIONS["length"].units[unit][0], rel=1e-8)
    assert read(show(value, f"1 {unit}", "length", 9), "length") == pytest.approx(value, rel=1e-6)


@given(st.integers(0, 999), st.integers(0, 99), st.integers(1, 2))
def test_a_short_decimal_comma_means_the_same_as_a_point(whole: int, rest: int, digits: int):
    fraction = str(rest).zfill(digits)[:digits]
    assert read(f"{whole},{fraction} m", "length") == read(f"{whole}.{fraction} m", "length")


def outcome(reader: Callable[..., Any], *arguments: str) -> Any:
    try:
        return reader(*arguments)
    except UnitProblem as problem:
        return problem


@given(st.text(max_size=25))
def test_no_text_does_anything_but_give_a_finite_number_or_a_unit_problem(text: str):
    for dimension in ("length", "mass", "share", "temperature"):
        result = outcome(read, text, dimension)
        assert result.allowed if isinstance(result, UnitProblem) else math.isfinite(result)
    for reader in (read_cells, read_propeller, read_tube):
        result = outcome(reader, text)
        assert isinstance(result, tuple) or result.allowed


def test_short_forms_of_the_trade():
    assert read_cells("4S2P") == (4, 2)
    assert read_cells("3s") == (3, 1)
    assert read_propeller("10x4.7")[:2] == pytest.approx((0.254, 0.11938))
    assert read_propeller("6x4e").letters == "e"
    assert read_propeller("9 x 5")[:2] == pytest.approx((0.2286, 0.127))
    assert read_propeller("230x120 mm")[:2] == pytest.approx((0.23, 0.12))
    assert read_tube("carbon 8x6 mm").words == "carbon"
    assert read_tube("8x6 mm")[:2] == pytest.approx((0.008, 0.006))


@pytest.mark.parametrize("text", ["8x6", "6x8 mm", "8 mm", "carbon", "8x8 mm"])
def test_bad_tubes_are_refused(text: str):
    with pytest.raises(UnitProblem):
        read_tube(text)


@pytest.mark.parametrize("text", ["S3", "0S", "3", "3S0P", "11.1 V"])
def test_bad_cells_are_refused(text: str):
    with pytest.raises(UnitProblem):
        read_cells(text)


def test_ranges_are_told_in_usual_units():
    assert Range("length", 0.001, 8.0).words() == 'a length between 1 mm and 8 m, such as "620 mm"'
    assert Range("temperature", 243.15, 343.15).words().startswith("a temperature between -30 degC and 70 degC")


def test_an_answer_echoes_the_unit_of_the_maker():
    assert show(0.2, "620 mm", "length") == "200 mm"
    assert show(0.127, "3/16 in", "length") == "5 in"
    assert show(285.15, "54 degF", "temperature") == "53.6 degF"
    assert show(0.62, "not a measure", "length") == "620 mm"
