"""The reference of the aircraft file is written from the models: every field is in it, and it is fresh."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from rotorwright.design.parts.site import AircraftTables
from rotorwright.design.problems import model_in

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def writer() -> ModuleType:
    spec = importlib.util.spec_from_file_location("aircraft_file_page", ROOT / "tools" / "aircraft_file_page.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_page_is_fresh(writer: ModuleType):
    page = (ROOT / "docs" / "aircraft-file.md").read_text(encoding="utf-8")
    assert page == writer.page(), "run: python tools/aircraft_file_page.py"


def test_every_field_of_every_table_is_told_with_a_meaning():
    page = (ROOT / "docs" / "aircraft-file.md").read_text(encoding="utf-8")
    for kind, info in AircraftTables.model_fields.items():
        model = model_in(info.annotation)
        if model is None:
            continue
        assert f"## `[{kind}" in page
        for name, field in model.model_fields.items():
            assert field.description, (kind, name)
            assert f"| `{name}` |" in page
            assert str(field.description) in page
