"""Every mistake in an aircraft file is named with file, line, field, found, allowed and the nearest right name."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.design.aircraft_file import load, loads

GOOD = (Path(__file__).parent / "format_example.toml").read_text(encoding="utf-8")


def problems_of(text: str, changes: dict[str, Any] | None = None) -> list[Any]:
    with pytest.raises(InputProblems) as caught:
        loads(text, "plane.toml", changes)
    return list(caught.value.problems)


# old text, new text, field, part of the message, part of what was found, part of what is allowed, part of the hint
CASES = [
    ('span = "620 mm"', "span = 620", "rotor.main.span", "needs a unit", "620", "length between", '"620 mm"'),
    ('span = "620 mm"', 'span = "620"', "rotor.main.span", "needs a unit", '"620"', "length", "mm"),
    ('span = "620 mm"', 'span = "620 g"', "rotor.main.span", "is a mass", "620 g", "a length between", ""),
    ('span = "620 mm"', 'span = "1,500 m"', "rotor.main.span", "two ways", "1,500", "length", "1500 m"),
    ('span = "620 mm"', 'span = "nan mm"', "rotor.main.span", "finite", "nan", "length", ""),
    ('span = "620 mm"', "span = inf", "rotor.main.span", "unit", "inf", "length", ""),
    ('span = "620 mm"', "span = true", "rotor.main.span", "is not a length", "true", "length", ""),
    ('span = "620 mm"', 'span = ["620 mm"]', "rotor.main.span", "is not a length", "620 mm", "length", ""),
    ('span = "620 mm"', 'span = "40 m"', "rotor.main.span", "outside", "40 m", "10 m", ""),
    ('span = "620 mm"', 'span = "-620 mm"', "rotor.main.span", "outside", "-620", "20 mm", ""),
    ('span = "620 mm"', 'span = "620 mmm"', "rotor.main.span", "not known", "620 mmm", "length", '"mm"'),
    ('span = "620 mm"\n', "", "rotor.main.span", "is missing", "nothing", '"620 mm"', ""),
    ('span = "620 mm"', 'spam = "620 mm"', "rotor.main.spam", "not a field", "spam", "diameter", '"span"'),
    ('diameter = "150 mm"', 'diametr = "150 mm"', "rotor.main.diametr", "not a field", "diametr", "span", '"diameter"'),
    ('kind = "vaned"', 'kind = "vane"', "rotor.main.kind", "not one of", "vane", '"drum"', '"vaned"'),
    ('kind = "vaned"', 'kind = "drum"', "rotor.main.section", "vaned rotors", "s-section", "leave it out", ""),
    (
        'section = "s-section"',
        'section = "s section"',
        "rotor.main.section",
        "not one of",
        "s section",
        "bucket",
        "s-section",
    ),
    ('drive = "free"', 'drive = "bellt"', "rotor.main.drive", "names no drive", "bellt", '"free", "belt"', '"belt"'),
    ("stages = 3", "stages = 0", "rotor.main.stages", "outside", "0", "at least 1", ""),
    ("stages = 3", "stages = 2.5", "rotor.main.stages", "whole number", "2.5", "whole number", ""),
    ("stages = 3", "stages = true", "rotor.main.stages", "whole number", "true", "whole number", ""),
    ("stages = 3", 'stages = "three"', "rotor.main.stages", "whole number", "three", "whole number", ""),
    ("\nmirror = true", '\nmirror = "maybe"', "rotor.main.mirror", "true or false", "maybe", "true", ""),
    (
        '"400 mm", "60 mm"]',
        '"100 mm", "60 mm"]',
        "rotor.main.position",
        "run through each other",
        "100 mm",
        "310 mm",
        "",
    ),
    ('["180 mm", "400 mm", "60 mm"]', '["180 mm", "400 mm"]', "rotor.main.position.2", "missing", "", "", ""),
    ('["180 mm", "400 mm", "60 mm"]', '"180 mm"', "rotor.main.position", "must be a list", "180", "aft", ""),
    (
        '["180 mm", "400 mm", "60 mm"]',
        '["180 mm", "400 g", "60 mm"]',
        "rotor.main.position.1",
        "is a mass",
        "400 g",
        "length",
        "",
    ),
    (
        '"foam board" }',
        '"fome board" }',
        "rotor.main.discs.material",
        "names no material",
        "fome",
        "balsa",
        '"foam board"',
    ),
    ("count = 4", "count = 99", "rotor.main.discs.count", "outside", "99", "at most 40", ""),
    ("count = 4", "cuont = 4", "rotor.main.discs.cuont", "not a field", "cuont", "count", '"count"'),
    ('diameter = "230 mm"', 'diameter = "30 mm"', "rotor.main.discs.diameter", "smaller", "30 mm", "75 mm", ""),
    ('"carbon 8x6 mm"', '"carbon 8x6"', "rotor.main.shaft.tube", "needs a unit", "8x6", '"8x6 mm"', "mm"),
    ('"carbon 8x6 mm"', '"carbon 6x8 mm"', "rotor.main.shaft.tube", "not wider outside", "6x8", "8x6", ""),
    (
        '"carbon 8x6 mm"',
        '"karbon 8x6 mm"',
        "rotor.main.shaft.tube",
        "names no material",
        "karbon",
        "carbon tube",
        "carbon tube",
    ),
    ('bearings = "688"', 'bearings = "689"', "rotor.main.shaft.bearings", "not a bearing size", "689", '"688"', "698"),
    (
        'battery = "main"\n[surface',
        'battery = "mian"\n[surface',
        "drive.belt.battery",
        "names no battery",
        "mian",
        '"main"',
        '"main"',
    ),
    (
        'speed = "2400 rpm"',
        'speed = "2400 rpm/V"',
        "drive.belt.speed",
        "speed constant",
        "2400",
        "speed of rotation",
        "",
    ),
    ("ratio = 3.2", 'ratio = "3.2 mm"', "drive.belt.ratio", "is a length", "3.2 mm", "number", ""),
    ("ratio = 3.2\n", "", "drive.belt.ratio", "missing", "nothing", "ratio = 3.2", ""),
    ('propeller = "9x5"', 'propeller = "9-5"', "thruster.nose.propeller", "not a propeller size", "9-5", '"9x5"', ""),
    ('propeller = "9x5"\n', "", "thruster.nose.propeller", "missing", "nothing", '"9x5"', ""),
    ('kind = "propeller"', 'kind = "propelor"', "thruster.nose.kind", "not one of", "propelor", '"fan"', '"propeller"'),
    ('cells = "3S"', 'cells = "11.1 V"', "battery.main.cells", "not a number of cells", "11.1 V", '"3S"', ""),
    (
        'capacity = "2200 mAh"',
        'capacity = "2200 mA"',
        "battery.main.capacity",
        "is a current",
        "2200 mA",
        "capacity",
        "",
    ),
    ('mass = "12 g"', 'mass = "12 kg/m3"', "item.receiver.mass", "is a density", "12 kg/m3", "mass", ""),
    ('mass = "12 g"', 'mass = "-12 g"', "item.receiver.mass", "outside", "-12 g", "mass between", ""),
    (
        'name = "elevator"',
        'name = "elevater"',
        "surface.tailplane.control.name",
        "not one of",
        "elevater",
        "rudder",
        '"elevator"',
    ),
    ('chord = "160 mm"\n', "", "surface.tailplane", "chord or an area", "neither", "chord =", ""),
    ("[surface.tailplane]", "[surface.thing]", "surface.thing.kind", "missing", "", '"tailplane"', ""),
    ('elevation = "120 m"', 'elevation = "120 km"', "field.elevation", "outside", "120 km", "6000 m", ""),
    ('temperature = "12 degC"', 'temperature = "12 C"', "field.temperature", "not known", "12 C", "degC", ""),
    ('bank = "20 deg"', 'bank = "20"', "reserve.bank", "needs a unit", "20", "angle", "deg"),
    ("[reserve]", "[resreve]", "resreve", "not a table", "resreve", "rotor", '"reserve"'),
    ("format = 1", "format = 2", "format", "newer file format", "2", "1", ""),
    ("format = 1\n", "", "format", "missing", "nothing", "1", ""),
    ('name = "Example"', "name = 3", "name", "must be text", "3", "quotes", ""),
    ("[item.receiver]", '[item."my receiver"]', "item.my receiver", "not a name", "my receiver", "letter", ""),
    ("[item.receiver]", "[[item]]", "item", "must be a table", "", "[item.main]", ""),
]


@pytest.mark.parametrize("case", CASES, ids=[f"{case[2]}-{index}" for index, case in enumerate(CASES)])
def test_a_mistake_is_named_with_everything_needed_to_mend_it(case: tuple[str, ...]):
    old, new, field, message, found, allowed, hint = case
    assert GOOD.count(old) >= 1
    text = GOOD.replace(old, new, 1)
    problems = problems_of(text)
    problem = next((problem for problem in problems if problem.field == field), None)
    assert problem is not None, [problem.sentence() for problem in problems]
    assert message in problem.message
    assert found in problem.found
    assert allowed in problem.allowed
    assert hint in problem.hint
    assert problem.place == "plane.toml"
    assert problem.line is not None or field in {"format", "name"}
    if new and problem.line is not None and "\n" not in new:
        written = text.splitlines()[problem.line - 1]
        assert new in written or message in {"missing", "is missing", "chord or an area"} or field.endswith("section")
    assert problem.sentence().startswith("plane.toml")


def test_there_are_enough_cases():
    assert len(CASES) >= 40


def test_all_mistakes_are_reported_at_once():
    text = GOOD.replace('"620 mm"', '"620"').replace('"2200 mAh"', '"2200"').replace('"9x5"', '"9"')
    assert {problem.field for problem in problems_of(text)} == {
        "rotor.main.span",
        "battery.main.capacity",
        "thruster.nose.propeller",
    }


def test_wrong_units_and_wrong_references_come_together():
    text = GOOD.replace('"620 mm"', '"620"').replace('drive = "free"', 'drive = "gear"', 1)
    text = text.replace('battery = "main"\n[surface', 'battery = "mian"\n[surface').replace('"2200 mAh"', '"2200"')
    assert {problem.field for problem in problems_of(text)} == {
        "rotor.main.span",
        "rotor.main.drive",
        "drive.belt.battery",
        "battery.main.capacity",
    }


def test_a_spoilt_battery_does_not_make_its_users_wrong():
    text = GOOD.replace('"2200 mAh"', '"2200"').replace('battery = "main"\n[battery', "[battery")
    assert [problem.field for problem in problems_of(text)] == ["battery.main.capacity"]


def test_the_line_of_a_field_in_an_inline_table_and_after_a_long_text():
    text = GOOD.replace('name = "Example"', 'name = """Example\nof\nthree lines"""').replace("count = 4", "count = 99")
    problem = problems_of(text)[0]
    assert problem.line is not None
    assert "count = 99" in text.splitlines()[problem.line - 1]


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ('format = 1\nname = "A\n', 2, "not written in TOML"),
        ("format = 1\nname = A\n", 2, "not TOML"),
        ("format = 1\nspan = 620 mm\n", 2, "TOML"),
        ('format = 1\nname = "A"\nname = "B"\n', 3, "twice"),
        ("format = 1\n[rotor.main]\n[rotor.main]\n", 3, "twice"),
        ("format = 1\n[rotor.main\n", 2, "TOML"),
        ("format = 1\n= 3\n", 2, "TOML"),
        ('format = 1\nname = "\x00"\n', 2, "text"),
    ],
)
def test_what_is_not_toml_is_told_with_its_line(text: str, line: int, words: str):
    problem = problems_of(text)[0]
    assert problem.line == line
    assert words in problem.message


def test_a_missing_file_names_the_nearest(tmp_path: Path):
    (tmp_path / "tumbler.toml").write_text(GOOD, encoding="utf-8")
    with pytest.raises(InputProblems, match=r"does not exist.*tumbler\.toml"):
        load(tmp_path / "tumblr.toml")


def test_a_folder_a_large_file_and_other_bytes_are_refused(tmp_path: Path):
    with pytest.raises(InputProblems, match="is a folder"):
        load(tmp_path)
    large = tmp_path / "large.toml"
    large.write_bytes(b"# padding\n" * 1_000_000)
    with pytest.raises(InputProblems, match="too large"):
        load(large)
    other = tmp_path / "latin.toml"
    other.write_bytes('format = 1\nname = "Käfer"\n'.encode("latin-1"))
    with pytest.raises(InputProblems, match=r"latin\.toml:2: is not UTF-8"):
        load(other)
    with pytest.raises(InputProblems, match="cannot be read"):
        load("bad\x00name.toml")


def test_a_byte_order_mark_does_no_harm(tmp_path: Path):
    file = tmp_path / "marked.toml"
    file.write_bytes(b"\xef\xbb\xbf" + GOOD.encode())
    assert load(file).name == "Example"


def test_nothing_to_fly_with_and_absurd_masses():
    problem = problems_of('format = 1\nname = "Nothing"\n')[0]
    assert "nothing to fly with" in problem.message
    light = 'format = 1\nname = "Fly"\n[surface.wing]\nspan = "40 mm"\nchord = "20 mm"\nmass = "3 g"\n'
    light += 'position = ["0 m", "0 m", "0 m"]\n'
    assert "is too light to be checked" in problems_of(light)[0].message
    heavy = GOOD.replace('mass = "12 g"', 'mass = "140 kg"').replace('mass = "60 g"', 'mass = "40 kg"')
    assert "150 kg" in problems_of(heavy)[0].allowed


def test_missing_and_doubtful_batteries():
    none = GOOD.replace('[battery.main]\ncells = "3S"\ncapacity = "2200 mAh"\n', "")
    assert {problem.field for problem in problems_of(none)} == {"drive.belt.battery", "thruster.nose.battery"}
    two = GOOD.replace('battery = "main"\n[battery', "[battery") + '[battery.second]\ncells = "2S"\ncapacity = "1 Ah"\n'
    problem = problems_of(two)[0]
    assert problem.field == "thruster.nose.battery"
    assert '"second"' in problem.allowed


def test_a_mirror_that_is_described_as_well_and_one_on_the_middle_line():
    text = GOOD.replace("[rotor.main]", "[rotor.left]")
    twice = text + text[text.index("[rotor.left]") : text.index("[drive.belt]")].replace(
        "[rotor.left]", "[rotor.right]"
    ).replace("mirror = true", "mirror = false")
    assert any("is the mirror of" in problem.message for problem in problems_of(twice))
    centred = GOOD.replace("[item.receiver]", "[item.receiver]\nmirror = true")
    assert any("middle line" in problem.message for problem in problems_of(centred))


CHANGES = [
    ("rotor.main.diametr", "200 mm", "rotor.main.diametr", "not a field", '"diameter"'),
    ("rotor.mian.diameter", "200 mm", "rotor.mian.diameter", "names no rotor", "rotor.main.diameter"),
    ("rotor.main-mirror.diameter", "200 mm", "rotor.main-mirror.diameter", "names no rotor", "mirrors"),
    ("rotr.main.diameter", "200 mm", "rotr.main.diameter", "not a field of an aircraft file", "rotor.main.diameter"),
    ("rotor.main", "200 mm", "rotor.main", "is not a field", ""),
    ("rotor.main.diameter", "200", "rotor.main.diameter", "needs a unit", "200 mm"),
    ("rotor.main.diameter", float("nan"), "rotor.main.diameter", "finite", ""),
    ("rotor.main.position.q", "1 mm", "rotor.main.position.q", "no such place", ""),
    ("rotor.main.kind.x", "drum", "rotor.main.kind.x", "no such place", ""),
    ("rotor.main.drive", "gear", "rotor.main.drive", "names no drive", ""),
]


@pytest.mark.parametrize(("field", "value", "named", "message", "hint"), CHANGES)
def test_a_wrong_change_names_itself_as_the_place(field: str, value: Any, named: str, message: str, hint: str):
    problem = problems_of(GOOD, {field: value})[0]
    assert problem.field == named
    assert message in problem.message
    assert hint in problem.hint
    assert problem.place == f"change to {field}"


def test_changes_take_plain_numbers_lists_and_none():
    aeroplane = loads(
        GOOD,
        changes={
            "rotor.main.stages": "4",
            "rotor.main.mirror": "true",
            "item.receiver.position": '["1 cm", "0 mm", "0 mm"]',
            "rotor.main.discs": None,
            "surface.tailplane.control.chord_share": 0.4,
        },
    )
    assert aeroplane.tables.rotor["main"].stages == 4
    assert aeroplane.tables.rotor["main"].discs is None
    assert aeroplane.tables.item["receiver"].position[0] == pytest.approx(0.01)
