"""The JSON Schema accepts what the program accepts, and refuses a wrong shape."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from rotorwright.design.schema import json_schema

EXAMPLES = [
    Path(__file__).parent / "format_example.toml",
    *sorted((Path(__file__).parents[2] / "examples").glob("*.toml")),
]


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    schema = json_schema()
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_fits_the_schema(validator: Draft202012Validator, path: Path):
    assert list(validator.iter_errors(tomllib.loads(path.read_text(encoding="utf-8")))) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [('"620 mm"', "620"), ('kind = "vaned"', 'kind = "vane"'), ("stages = 3", "stages = 0"), ("diameter", "diametr")],
)
def test_a_wrong_shape_does_not_fit(validator: Draft202012Validator, old: str, new: str):
    text = EXAMPLES[0].read_text(encoding="utf-8").replace(old, new, 1)
    assert list(validator.iter_errors(tomllib.loads(text)))


def test_measures_carry_their_unit():
    schema = json_schema()
    span = schema["$defs"]["Rotor"]["properties"]["span"]
    assert span["x-unit"] == "m"
    assert "mm" in span["x-units"]
    assert span["x-minimum"] == 0.02
