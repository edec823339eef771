"""Bringing in a file: taken as it is, never written over another, refused in the words of the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from faces.web.browser import EXAMPLES
from rotorwright.base.errors import InputProblems
from rotorwright.design.aircraft_file import load
from rotorwright.design.file_text import LARGEST_FILE
from rotorwright.faces.web.bring import bring
from rotorwright.faces.web.desk import Desk

GOOD = (EXAMPLES / "thistledown.toml").read_bytes()


def said(raw: bytes, name: str, folder: Path) -> str:
    with pytest.raises(InputProblems) as trouble:
        bring(Desk(folder), name, raw)
    assert not list(folder.glob("*.toml")), "nothing is written"
    return " ".join(each.sentence() for each in trouble.value.problems)


def said_of_a_file(path: Path) -> str:
    with pytest.raises(InputProblems) as trouble:
        load(str(path))
    return " ".join(each.sentence() for each in trouble.value.problems)


def test_a_file_is_taken_as_it_is_and_beside_its_namesake(tmp_path: Path) -> None:
    desk = Desk(tmp_path)
    assert bring(desk, "My Plane.toml", GOOD) == "my-plane"
    assert bring(desk, "my plane.toml", GOOD) == "my-plane-2"
    assert (tmp_path / "my-plane.toml").read_bytes() == GOOD


@pytest.mark.parametrize("name", ["../../out.toml", "/etc/out.toml", "..\\out.toml", ".out.toml", "", ".."])
def test_no_name_leads_out_of_the_folder(tmp_path: Path, name: str) -> None:
    made = bring(Desk(tmp_path), name, GOOD)
    assert (tmp_path / f"{made}.toml").is_file()
    assert not made.startswith(".")
    assert len(list(tmp_path.parent.glob("*.toml"))) == 0


@pytest.mark.parametrize(
    "raw",
    [b"\xff\xfe not text", b"format = 1\nname = ", b"x" * (LARGEST_FILE + 1), GOOD.replace(b'"380 mm"', b'"380"'),
     b"a\x00b", b"[" * 5000],
    ids=["no text", "half", "huge", "no unit", "zero byte", "brackets"],
)  # fmt: skip
def test_a_bad_file_is_refused_in_the_words_of_the_command_line(tmp_path: Path, raw: bytes) -> None:
    elsewhere = tmp_path / "elsewhere"
    folder = tmp_path / "folder"
    elsewhere.mkdir()
    folder.mkdir()
    path = elsewhere / "bad.toml"
    path.write_bytes(raw)
    assert said(raw, "bad.toml", folder) == said_of_a_file(path).replace(str(path), "bad.toml")
