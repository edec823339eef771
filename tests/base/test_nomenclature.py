"""One name, one unit: the table of symbols against the docstrings of the physics rooms."""

from __future__ import annotations

import ast
import importlib.util
import re

import pytest

from house.walk import PACKAGE, ROOT, public_functions
from rotorwright.base.nomenclature import terms, unit_of

PHYSICS = sorted((PACKAGE / "physics").rglob("*.py"))
OTHERWISE = {
    ("resistance", "K/W"): "a thermal resistance, in the heat module",
    ("deflection", "m"): "of a shaft, in the structure room",
    ("mass", "kg/m"): "per length of a shaft or belt, in the structure room",
}
"""Names that mean something else in one place, with the reason."""
SPELLINGS = {"": "1", "-": "1", "kg/m3": "kg/m³", "m2": "m²", "kg m2": "kg m²", "ohm": "Ω"}


def stated_units(docstring: str) -> list[tuple[str, str]]:
    """The (argument, unit) pairs of a Parameters section, from entries with one argument or as many units."""
    found = re.search(r"^Parameters\n-{3,}\n(.*?)(?=^\S[^\n]*\n-{3,}\n|\Z)", docstring, re.M | re.S)
    if not found:
        return []
    pairs: list[tuple[str, str]] = []
    for entry in re.split(r"\n(?=\S)", found[1].strip("\n")):
        head, _, text = entry.partition("\n")
        units = re.findall(r"\[([^\]]*)\]", text)
        names = [name.strip() for name in head.partition(" : ")[0].split(",")]
        if len(names) == len(units):
            pairs += [(name, SPELLINGS.get(unit, unit)) for name, unit in zip(names, units, strict=True)]
    return pairs


def test_names_are_unique_and_rows_complete() -> None:
    names = [name for term in terms() for name in term.names]
    assert len(names) == len(set(names))
    assert all(all(term) for term in terms())


def test_one_name_has_one_unit_everywhere() -> None:
    seen: dict[str, set[str]] = {}
    for path in PHYSICS:
        for function in public_functions(path):
            for name, unit in stated_units(ast.get_docstring(function) or ""):
                if (name, unit) not in OTHERWISE:
                    seen.setdefault(name, set()).add(unit)
    assert len(seen) > 20
    wrong = {name: units for name, units in seen.items() if unit_of(name) is not None and units != {unit_of(name)}}
    assert not wrong, "the docstrings of the kernels state other units than the table of symbols"


def test_the_reader_sees_a_unit() -> None:
    docstring = "Do.\n\nParameters\n----------\nlift, torque : float\n    [N], [N m]\nlength : float\n    One [m].\n"
    assert stated_units(docstring) == [("lift", "N"), ("torque", "N m"), ("length", "m")]


def test_the_page_is_fresh() -> None:
    specification = importlib.util.spec_from_file_location("nomenclature_page", ROOT / "tools" / "nomenclature_page.py")
    assert specification is not None
    assert specification.loader is not None
    tool = importlib.util.module_from_spec(specification)
    specification.loader.exec_module(tool)
    assert tool.PAGE.read_text(encoding="utf-8") == tool.page(), "run python tools/nomenclature_page.py"


@pytest.mark.parametrize(("name", "unit"), [("spin_ratio", "1"), ("rotor_speed", "rad/s"), ("no such name", None)])
def test_unit_of(name: str, unit: str | None) -> None:
    assert unit_of(name) == unit
