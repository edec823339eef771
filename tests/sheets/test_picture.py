"""Saved pictures: three kinds from one specification, nothing lost when a file cannot be written."""

import json
import xml.etree.ElementTree as tree
from pathlib import Path

import pytest

from rotorwright.base.errors import InputError
from rotorwright.sheets.picture import axis, lines, save_picture, save_pictures, themed

ROWS = [
    {"x": float(x), "nominal": float(x * x), "low": 0.8 * x * x, "high": 1.2 * x * x, "name": name}
    for name in ("free", "driven")
    for x in range(6)
]


def chart():  # type: ignore[no-untyped-def]
    return themed(lines(ROWS, "airspeed [m/s]", "lift [N]", ["free", "driven"]).properties(title="lift"))


def test_one_chart_becomes_three_kinds_of_file(tmp_path: Path) -> None:
    drawing = tree.parse(save_picture(chart(), tmp_path / "a.svg")).getroot()
    words = {element.text for element in drawing.iter() if element.tag.endswith("text")}
    assert {"airspeed [m/s]", "lift [N]", "free", "driven"} <= words
    assert save_picture(chart(), tmp_path / "a.PNG").read_bytes()[:8] == b"\x89PNG\r\n\x1a\n"
    kept = json.loads(save_picture(chart(), tmp_path / "a.json").read_text(encoding="utf-8"))
    assert kept["config"]["background"].startswith("#")


def test_several_charts_stand_beside_each_other(tmp_path: Path) -> None:
    saved = save_pictures({"path": chart(), "heat": chart()}, tmp_path / "flight.svg")
    assert [path.name for path in saved] == ["flight-path.svg", "flight-heat.svg"]


def test_another_ending_is_refused_with_those_allowed(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"\.svg, \.png or \.json"):
        save_picture(chart(), tmp_path / "a.gif")
    with pytest.raises(InputError, match="folder does not exist"):
        save_picture(chart(), tmp_path / "nowhere" / "a.svg")


def test_axis_carries_its_unit() -> None:
    assert axis("height [m]").to_dict()["title"] == "height [m]"
