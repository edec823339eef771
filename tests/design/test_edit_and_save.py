"""Editing keeps comments, order and units; saving is all or nothing."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.design.aircraft_file import load, loads
from rotorwright.design.edit import edit_file, edit_text, save_text

EXAMPLE = Path(__file__).parent / "format_example.toml"
TEXT = EXAMPLE.read_text(encoding="utf-8")


def changed_lines(before: str, after: str) -> list[tuple[str, str]]:
    pairs = zip(before.splitlines(), after.splitlines(), strict=True)
    return [(one, other) for one, other in pairs if one != other]


def test_one_change_touches_one_line_and_keeps_its_comment():
    after = edit_text(TEXT, {"drive.belt.speed": "2600 rpm"})
    assert changed_lines(TEXT, after) == [
        ('speed = "2400 rpm"        # governed, or throttle', 'speed = "2600 rpm"        # governed, or throttle')
    ]


def test_an_si_number_is_written_in_the_unit_that_stood_there():
    text = TEXT.replace('"520 mm"', '"20 1/2 in"')
    after = edit_text(text, {"surface.tailplane.span": 0.5588, "rotor.main.diameter": 0.2, "field.temperature": 300.15})
    assert 'span = "22 in"' in after
    assert 'diameter = "200 mm"' in after
    assert 'temperature = "27 degC"' in after
    assert loads(after).tables.surface["tailplane"].span == pytest.approx(0.5588)


def test_places_inline_tables_and_plain_numbers_are_edited_in_place():
    after = edit_text(
        TEXT,
        {
            "rotor.main.position.x": 0.2,
            "rotor.main.discs.count": "3",
            "surface.tailplane.control.chord_share": 0.4,
            "rotor.main.stages": "2",
        },
    )
    assert len(changed_lines(TEXT, after)) == 4
    assert '["200 mm", "400 mm", "60 mm"]   # mid-span' in after
    aeroplane = loads(after)
    assert aeroplane.tables.rotor["main"].discs.count == 3
    assert aeroplane.tables.rotor["main"].stages == 2


def test_a_new_field_and_a_new_inline_table_can_be_told_and_struck_out_again():
    after = edit_text(TEXT, {"battery.main.mass": "180 g", "thruster.nose.controller.mass": "22 g"})
    aeroplane = loads(after)
    assert aeroplane.tables.battery["main"].mass == pytest.approx(0.18)
    assert aeroplane.tables.thruster["nose"].controller.mass == pytest.approx(0.022)
    assert loads(edit_text(after, {"battery.main.mass": None})).tables.battery["main"].mass != pytest.approx(0.18)


def test_a_change_that_cannot_be_read_again_is_refused():
    with pytest.raises(InputProblems, match="needs a unit"):
        edit_text(TEXT, {"rotor.main.diameter": "200"})
    with pytest.raises(InputProblems, match="names no rotor"):
        edit_text(TEXT, {"rotor.mian.diameter": "200 mm"})


def test_editing_a_file_on_disk(tmp_path: Path):
    file = tmp_path / "plane.toml"
    file.write_text(TEXT, encoding="utf-8")
    file.chmod(0o640)
    aeroplane = edit_file(file, {"rotor.main.diameter": "180 mm"})
    assert aeroplane.tables.rotor["main"].diameter == pytest.approx(0.18)
    assert load(file).revision == aeroplane.revision
    assert stat.S_IMODE(file.stat().st_mode) == 0o640
    assert [entry.name for entry in tmp_path.iterdir()] == ["plane.toml"]


def test_a_failed_edit_leaves_the_file_as_it_was(tmp_path: Path):
    file = tmp_path / "plane.toml"
    file.write_text(TEXT, encoding="utf-8")
    with pytest.raises(InputProblems):
        edit_file(file, {"rotor.main.diameter": "180 kg"})
    assert file.read_text(encoding="utf-8") == TEXT


def test_an_existing_file_is_not_overwritten(tmp_path: Path):
    file = tmp_path / "plane.toml"
    save_text(file, TEXT)
    with pytest.raises(InputProblems, match="exists already"):
        save_text(file, "other")
    assert file.read_text(encoding="utf-8") == TEXT


def test_a_file_changed_meanwhile_is_not_overwritten(tmp_path: Path):
    file = tmp_path / "plane.toml"
    file.write_text("format = 1 # newer\n", encoding="utf-8")
    with pytest.raises(InputProblems, match="changed by another program"):
        save_text(file, TEXT, replaces="format = 1\n")
    assert file.read_text(encoding="utf-8") == "format = 1 # newer\n"


def test_line_ends_and_links_are_kept(tmp_path: Path):
    file = tmp_path / "plane.toml"
    file.write_bytes(TEXT.replace("\n", "\r\n").encode())
    link = tmp_path / "link.toml"
    link.symlink_to(file)
    edit_file(link, {"battery.main.capacity": "2600 mAh"})
    assert link.is_symlink()
    assert file.read_bytes() == TEXT.replace("2200 mAh", "2600 mAh").replace("\n", "\r\n").encode()


def test_a_missing_folder_is_told(tmp_path: Path):
    with pytest.raises(InputProblems, match="folder does not exist"):
        save_text(tmp_path / "no" / "plane.toml", TEXT)


@contextlib.contextmanager
def as_ordinary_user() -> Iterator[None]:
    """Give up the rights of root for a while, if the tests run as root."""
    if os.name == "nt" or os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.mark.skipif(os.name == "nt", reason="folder permissions work differently there")
def test_a_read_only_folder_is_told_and_nothing_is_lost():
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "locked"
        folder.mkdir()
        Path(name).chmod(0o755)
        file = folder / "plane.toml"
        file.write_text(TEXT, encoding="utf-8")
        folder.chmod(0o555)
        try:
            with as_ordinary_user():
                with pytest.raises(InputProblems, match="cannot be written"):
                    save_text(folder / "new.toml", TEXT)
                with pytest.raises(InputProblems, match="cannot be written"):
                    edit_file(file, {"rotor.main.diameter": "180 mm"})
            assert file.read_text(encoding="utf-8") == TEXT
            assert [entry.name for entry in folder.iterdir()] == ["plane.toml"]
        finally:
            folder.chmod(0o755)


@pytest.mark.skipif(os.name == "nt", reason="file permissions work differently there")
def test_a_read_only_file_is_left_alone():
    with tempfile.TemporaryDirectory() as name:
        Path(name).chmod(0o777)
        file = Path(name) / "plane.toml"
        file.write_text(TEXT, encoding="utf-8")
        file.chmod(0o444)
        with as_ordinary_user(), pytest.raises(InputProblems, match="read-only"):
            edit_file(file, {"rotor.main.diameter": "180 mm"})
        assert file.read_text(encoding="utf-8") == TEXT
