"""Our numbers against figures printed outside this project, one test per figure."""

from __future__ import annotations

import importlib.util
import math
import re
from pathlib import Path

import pytest

import check_value_files as checks

ROWS = checks.rows()
ROOT = Path(__file__).resolve().parents[1]
AREAS = {  # what must be covered, and how its rows are told apart
    "atmosphere": lambda row: row.room == "air",
    "rotor": lambda row: row.room == "rotor",
    "freewheel": lambda row: row.room == "rotor" and row.inputs.get("kind") == "vaned",
    "motor": lambda row: row.room == "power" and "motor" in row.function,
    "propeller": lambda row: row.room == "power" and "propeller" in row.function,
    "battery": lambda row: row.room == "power" and "battery" in row.function,
    "mass": lambda row: row.room == "mass",
    "trim": lambda row: row.room == "flight",
}


def _id(row: checks.Row) -> str:
    return row.id


@pytest.mark.published
@pytest.mark.parametrize("row", [row for row in ROWS if row.gates], ids=_id)
def test_ours_meets_the_published_figure(row: checks.Row) -> None:
    ours = checks.outcome(row)
    assert ours.meets(row), (
        f"{row.source}, {row.locator}: expected {row.expected:g} ± {row.tolerance:.3g} {row.unit}, ours {ours.ours:g}"
    )


@pytest.mark.published
def test_what_is_shown_as_a_miss_is_one() -> None:
    met = [row.id for row in ROWS if row.status == "miss" and checks.outcome(row).meets(row)]
    assert not met, "these are met now: change their status to use"


@pytest.mark.published
def test_what_is_held_from_memory_still_gives_a_number() -> None:
    shown = [row for row in ROWS if row.held_as == "memory" and row.status == "use"]
    assert not [row.id for row in shown if not math.isfinite(checks.outcome(row).ours)]


@pytest.mark.published
def test_at_least_forty_figures_from_outside_hold_the_tool() -> None:
    outside = [row for row in ROWS if row.is_outside_evidence]
    assert len(outside) >= 40


@pytest.mark.published
@pytest.mark.parametrize("area", AREAS)
def test_every_area_of_the_first_promise_is_held_by_a_figure(area: str) -> None:
    assert any(row.gates and AREAS[area](row) for row in ROWS)


GOOD = """
source = "A"
key = "made"
note = "n"
[[row]]
id = "made-1"
locator = "l"
held_as = "digitised"
kind = "experiment"
function = "math.sqrt"
inputs = {}
quantity = ""
expected = 1
unit = "1"
tolerance_abs = 0.1
tolerance_why = "w"
status = "use"
"""


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('note = "n"', 'note = "n"\nfurther = 1'),
        ('unit = "1"', 'unit = "1"\nremark = "x"'),
        ('locator = "l"\n', ""),
        ('"digitised"', '"read"'),
        ('"experiment"', '"test"'),
        ('status = "use"', 'status = "miss"'),
        ("tolerance_abs = 0.1", "tolerance_abs = 0.0"),
        ("expected = 1", 'expected = "1"'),
        ("expected = 1", "expected = nan"),
        ('key = "made"', 'key = "other"'),
    ],
)
def test_a_file_in_another_form_is_refused(tmp_path, old: str, new: str) -> None:
    path = tmp_path / "made.toml"
    path.write_text(GOOD, encoding="utf-8")
    assert checks.read_file(path)[0].gates
    assert old in GOOD
    path.write_text(GOOD.replace(old, new), encoding="utf-8")
    with pytest.raises(checks.CheckValueError):
        checks.read_file(path)


NUMBER = re.compile(r"-?\d+\.?\d*(?:e[+-]?\d+)?")


def test_the_public_page_is_fresh() -> None:
    """The page says what the code says now; numbers may differ in the last figure between machines."""
    specification = importlib.util.spec_from_file_location("published_page", ROOT / "tools" / "published_page.py")
    assert specification is not None
    assert specification.loader is not None
    tool = importlib.util.module_from_spec(specification)
    specification.loader.exec_module(tool)
    kept, made = tool.PAGE.read_text(encoding="utf-8"), tool.page()
    cure = "run python tools/published_page.py"
    assert NUMBER.sub("#", kept) == NUMBER.sub("#", made), cure
    pairs = zip(NUMBER.findall(kept), NUMBER.findall(made), strict=True)
    moved = [(old, new) for old, new in pairs if not math.isclose(float(old), float(new), rel_tol=3e-3, abs_tol=1e-9)]
    assert not moved, cure
