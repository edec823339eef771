"""States of an aircraft file: kept on disk, taken back and repeated, lost to nobody."""

from pathlib import Path

import pytest

from rotorwright.base.errors import InputError
from rotorwright.logbook.steps import MOST_STEPS, Steps


def test_states_are_taken_back_and_repeated_by_another_program_too(tmp_path: Path) -> None:
    steps = Steps(tmp_path)
    assert steps.back("a.toml") is None
    for number in range(3):
        steps.keep("a.toml", f"text {number}", f"change {number}")
    back = Steps(tmp_path).back("a.toml")
    assert back is not None
    assert (back.text, back.said) == ("text 1", "change 1")
    steps.go("a.toml", back)
    forward = Steps(tmp_path).forward("a.toml")
    assert forward is not None
    assert forward.text == "text 2"


def test_a_change_after_taking_back_drops_what_was_taken_back(tmp_path: Path) -> None:
    steps = Steps(tmp_path)
    for number in range(3):
        steps.keep("a.toml", f"text {number}", "")
    back = steps.back("a.toml")
    assert back is not None
    steps.go("a.toml", back)
    steps.keep("a.toml", "another", "")
    assert steps.forward("a.toml") is None
    assert [step.text for step in steps.all("a.toml")] == ["text 0", "text 1", "another"]


def test_files_do_not_mix_and_equal_states_are_kept_once(tmp_path: Path) -> None:
    steps = Steps(tmp_path)
    steps.keep("a.toml", "one", "")
    steps.keep("b.toml", "two", "")
    steps.keep("a.toml", "one", "")
    assert [step.text for step in steps.all("a.toml")] == ["one"]
    assert [step.text for step in steps.all("b.toml")] == ["two"]


def test_only_so_many_states_are_kept(tmp_path: Path) -> None:
    steps = Steps(tmp_path)
    for number in range(MOST_STEPS + 5):
        steps.keep("a.toml", str(number), "")
    kept = steps.all("a.toml")
    assert len(kept) == MOST_STEPS
    assert kept[-1].text == str(MOST_STEPS + 4)


def test_a_broken_record_says_so_and_touches_nothing(tmp_path: Path) -> None:
    steps = Steps(tmp_path)
    steps.keep("a.toml", "one", "")
    steps.path.write_bytes(b"this is no database" * 100)
    with pytest.raises(InputError, match="aircraft files are not touched"):
        steps.back("a.toml")


def test_a_word_is_recalled(tmp_path: Path) -> None:
    assert Steps(tmp_path).recall("look") is None
    Steps(tmp_path).remember("look", "dark")
    assert Steps(tmp_path).recall("look") == "dark"
