"""Twice as big: closed forms beside flown numbers, and where the idea ends."""

from __future__ import annotations

from pathlib import Path

import pytest

from rotorwright.base.errors import InputError
from rotorwright.design.aircraft_file import load
from rotorwright.sheets.document import as_json
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.scale import mistakes, scale_sheet
from rotorwright.studies.power_classes import Class
from rotorwright.studies.scale import Scale, scale
from rotorwright.studies.scale_ends import Rung, ends_of

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def twice() -> Scale:
    return scale(load(EXAMPLES / "thistledown.toml"), size=2.0, search=False, samples=16)


def test_geometry_and_mass_follow_the_closed_form(twice: Scale) -> None:
    assert twice.row("area").exponent == pytest.approx(2.0, abs=1e-9)
    for name, room in (("mass", 0.2), ("loading", 0.2), ("airspeed", 0.15), ("rotor_speed", 0.2), ("power", 0.4)):
        row = twice.row(name)
        assert row.exponent is not None
        assert row.expected is not None
        assert row.exponent == pytest.approx(row.expected, abs=room), name


def test_ratios_come_from_the_same_draws(twice: Scale) -> None:
    row = twice.row("airspeed")
    assert row.ratio.low is not None
    assert row.ratio.high is not None
    assert row.after.low is not None
    assert row.after.high is not None
    wide = (row.after.high - row.after.low) / row.after.value  # type: ignore[operator]
    assert (row.ratio.high - row.ratio.low) / row.ratio.value < wide  # type: ignore[operator]


def test_everything_reported_is_explained_and_said(twice: Scale) -> None:
    for name, quantity in twice.quantities.items():
        assert explanations()[name].unit == quantity.unit
        assert "scale" in explanations()[name].commands
    assert '"scaling"' in as_json(twice.as_dict())
    sheet = scale_sheet(twice)
    assert sheet.lead[0].text.startswith("2 times the size")
    assert "4 times the area" in mistakes(twice)[0]


def test_area_and_span_and_mass_mean_what_they_say() -> None:
    old = load(EXAMPLES / "thistledown.toml")
    by_area = scale(old, area=2.0, search=False, samples=16)
    assert by_area.size == pytest.approx(2.0**0.5)
    assert by_area.row("area").ratio.nominal == pytest.approx(2.0, rel=1e-6)
    with pytest.raises(InputError, match="told twice"):
        scale(old, size=2.0, mass=1.0)
    with pytest.raises(InputError, match="out of range"):
        scale(old, size=30.0)
    with pytest.raises(InputError, match="not a rule"):
        scale(old, build="thick")


def _rung(size: float, chance: float, share: float, margin: float) -> Rung:
    return Rung(size, size**3, chance, 8.0 * size**0.5, 50.0 * size**3.5, share, margin, "thrust is short")


def test_ends_lie_where_numbers_cross() -> None:
    rungs = (_rung(0.5, 0.2, 0.4, 4.0), _rung(1.0, 0.8, 0.6, 2.0), _rung(2.0, 0.9, 0.9, 0.5))
    ends = ends_of(rungs, (Class("mass", "light", 2.0, "", ""),))
    found = {(end.what, end.larger): end.size for end in ends}
    assert found["chance", False] == pytest.approx(0.5**0.5)
    assert found["strength", True] == pytest.approx(2.0 ** (2.0 / 3.0))
    assert found["shake", True] == pytest.approx(2.0 ** (0.25 / 0.3))
    assert found["class", True] == pytest.approx(2.0 ** (1.0 / 7.0))
    assert found["chance", True] is None
