"""The folder on the table: the file is the truth, hand edits appear, nothing leads out of the folder."""

import shutil
from pathlib import Path

import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.faces.web.desk import Desk

EXAMPLES = Path(__file__).parents[3] / "examples"


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    shutil.copy(EXAMPLES / "thistledown.toml", tmp_path)
    (tmp_path / "settings.toml").write_text("[tool]\nx = 1\n", encoding="utf-8")
    return Desk(tmp_path)


def test_only_aircraft_files_are_listed(desk: Desk) -> None:
    assert desk.names() == ["thistledown"]


def test_a_change_is_in_the_file_with_its_comments_and_can_be_taken_back(desk: Desk) -> None:
    held, told = desk.file("thistledown"), []
    held.listeners.append(lambda: told.append(held.text))
    before = held.text
    held.change({"rotor.left.span": "400 mm"})
    text = held.path.read_text(encoding="utf-8")
    assert 'span = "400 mm"' in text
    assert "# An invention of this project" in text
    assert held.aeroplane is not None
    assert held.aeroplane.value("rotor.left.span") == pytest.approx(0.4)
    assert held.take_back() is not None
    assert held.path.read_text(encoding="utf-8") == before
    assert held.repeat() is not None
    assert held.path.read_text(encoding="utf-8") == text
    assert len(told) == 3


def test_a_wrong_value_changes_nothing_and_says_what_is_allowed(desk: Desk) -> None:
    held = desk.file("thistledown")
    before = held.text
    with pytest.raises(InputProblems, match="mm"):
        held.change({"rotor.left.span": "400"})
    assert held.path.read_text(encoding="utf-8") == before == held.text


def test_a_hand_edit_appears_and_a_broken_one_is_named(desk: Desk) -> None:
    held = desk.file("thistledown")
    held.path.write_text(held.text.replace('name = "Thistledown"', 'name = "Other"'), encoding="utf-8")
    assert held.look()
    assert held.aeroplane is not None
    assert held.aeroplane.name == "Other"
    held.path.write_text(held.text.replace('span = "380 mm"', 'span = "380 kg"'), encoding="utf-8")
    assert held.look()
    assert held.aeroplane is None
    assert "span" in held.problems[0].sentence()
    assert held.take_back() is not None
    assert held.aeroplane is not None


def test_an_edit_outside_meanwhile_is_not_overwritten(desk: Desk) -> None:
    held = desk.file("thistledown")
    held.path.write_text(held.text.replace("Thistledown", "Elsewhere"), encoding="utf-8")
    with pytest.raises(InputProblems, match="changed by another program"):
        held.change({"rotor.left.span": "400 mm"})
    assert "Elsewhere" in held.path.read_text(encoding="utf-8")


def test_a_file_that_vanishes_can_be_put_back(desk: Desk) -> None:
    held = desk.file("thistledown")
    held.path.unlink()
    assert held.look()
    assert held.gone
    desk.put_back(held)
    assert held.path.is_file()
    assert not held.gone


@pytest.mark.parametrize("name", ["../thistledown", "", ".hidden", "a/b", "/etc/hosts", "nowhere"])
def test_no_name_leads_out_of_the_folder(desk: Desk, name: str) -> None:
    with pytest.raises(InputProblems):
        desk.file(name)


def test_a_new_file_takes_no_taken_name(desk: Desk) -> None:
    text = desk.file("thistledown").text
    assert desk.add("second", text).aeroplane is not None
    with pytest.raises(InputProblems, match="exists already"):
        desk.add("second", text)
    with pytest.raises(InputProblems):
        desk.add("../third", text)
    assert desk.names() == ["second", "thistledown"]
