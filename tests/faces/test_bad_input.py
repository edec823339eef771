"""Whatever a maker types, the answer is plain words, exit code 2, no traceback, and nothing overwritten."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import Result

Run = Callable[..., Result]
DRUM = ("rotor", "--diameter", "100 mm", "--span", "500 mm")


def refused(result: Result, *said: str) -> None:
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert "Traceback" not in result.stderr
    for words in said:
        assert words in result.stderr


@pytest.mark.parametrize("command", ["check", "balance"])
def test_missing_file(rotorwright: Run, small: Path, command: str) -> None:
    refused(rotorwright(command, small.with_name("smal.toml")), "smal.toml", "does not exist", "small.toml")


@pytest.mark.parametrize("command", ["check", "balance"])
def test_directory(rotorwright: Run, small: Path, command: str) -> None:
    refused(rotorwright(command, small.parent), "is a folder")


def test_not_utf8(rotorwright: Run, tmp_path: Path) -> None:
    path = tmp_path / "old.toml"
    path.write_bytes('format = 1\nname = "Mü"\n'.encode("latin-1"))
    refused(rotorwright("check", path), "old.toml:2", "not UTF-8")


def test_ten_megabytes(rotorwright: Run, tmp_path: Path) -> None:
    path = tmp_path / "big.toml"
    path.write_text("# x\n" * 2_500_000, encoding="utf-8")
    refused(rotorwright("check", path), "too large")


def test_not_toml(rotorwright: Run, tmp_path: Path) -> None:
    path = tmp_path / "odd.toml"
    path.write_text('format = 1\nname = "x\n', encoding="utf-8")
    refused(rotorwright("check", path), "odd.toml:2")


def test_every_mistake_is_told_at_once(rotorwright: Run, small: Path) -> None:
    text = small.read_text(encoding="utf-8")
    text = text.replace('diameter = "120 mm"', 'diametr = "120 mm"').replace('"420 mm"', '"1,500 mm"')
    small.write_text(text.replace('battery = "main"', 'battery = "mian"'), encoding="utf-8")
    refused(
        rotorwright("check", small),
        "things to mend",
        "small.toml:8",
        'Did you mean "diameter"',
        "1,500",
        "small.toml:14",
    )


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("rotor.main.diametr=200 mm", 'Did you mean "diameter"'),
        ("rotor.mian.diameter=200 mm", 'Did you mean "rotor.main.diameter"'),
        ("rotr.main.diameter=200 mm", 'Did you mean "rotor.main.diameter"'),
        ("rotor.main.diameter=200 kg", "mass"),
        ("rotor.main.diameter=200", "needs a unit"),
        ("rotor.main.diameter=nan mm", "not a finite number"),
        ("rotor.main.diameter=400 m", "between"),
        ("rotor.main.diameter", "needs a field and a value"),
        ("=200 mm", "needs a field and a value"),
    ],
)
def test_a_wrong_what_if(rotorwright: Run, small: Path, change: str, said: str) -> None:
    before = small.read_bytes()
    refused(rotorwright("check", small, "--set", change), said)
    assert small.read_bytes() == before


def test_several_wrong_what_ifs_are_told_at_once(rotorwright: Run, small: Path) -> None:
    refused(rotorwright("check", small, "--set", "rotr.a.b=1 m", "--set", "itm.x.mass=1 g"), "rotr", "itm")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("balence", "x.toml"), "balance"),
        (("balance",), "FILE"),
        (("balance", "x.toml", "--jsn"), "--json"),
        (("balance", "x.toml", "--samples", "many"), "--samples"),
        (("balance", "x.toml", "--samples", "5"), "16"),
        (("explain", "rotr_sped"), "rotor_speed"),
        (("rotor",), "--diameter: is needed"),
        ((*DRUM, "--airspeed", "10 m/s"), "exactly one"),
        ((*DRUM, "--airspeed", "10 m/s", "--free", "--spin-ratio", "2"), "exactly one"),
        ((*DRUM, "--airspeed", "10", "--free"), 'Write "10 m/s"'),
        ((*DRUM, "--airspeed", "10 m/s", "--spin-ratio", "nan"), "--spin-ratio"),
        ((*DRUM, "--airspeed", "0 m/s", "--spin-ratio", "2"), "still air"),
        ((*DRUM, "--airspeed", "10 m/s", "--spin-ratio", "2", "--kind", "cylinder"), "--kind"),
        ((*DRUM, "--airspeed", "10 m/s", "--spin-ratio", "2", "--name", "main"), "aircraft file"),
        ((*DRUM, "--airspeed", "10 m/s", "--free", "--air-density", "1 kg/m3", "--elevation", "3 m"), "--air-density"),
        (("rotor", "--diameter", "100", "--span", "5", "--airspeed", "x", "--free"), "3 things to mend"),
    ],
)
def test_wrong_arguments(rotorwright: Run, arguments: tuple[str, ...], said: str) -> None:
    refused(rotorwright(*arguments), said)


def test_a_rotor_that_the_file_does_not_know(rotorwright: Run, small: Path) -> None:
    refused(rotorwright("rotor", small, "--name", "mian", "--airspeed", "9 m/s", "--free"), 'Did you mean "main"')
    refused(rotorwright("rotor", small, "--diameter", "2 in", "--airspeed", "9 m/s", "--free"), "--set rotor.main")


def test_new_never_overwrites(rotorwright: Run, small: Path) -> None:
    before = small.read_bytes()
    refused(rotorwright("new", small), "is there already")
    assert small.read_bytes() == before


def test_new_into_nowhere(rotorwright: Run, tmp_path: Path) -> None:
    refused(rotorwright("new", tmp_path / "no" / "my.toml"), "folder does not exist")
    refused(rotorwright("new", tmp_path), "is a folder")


def test_new_with_wrong_numbers(rotorwright: Run, tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    result = rotorwright("new", path, "--mass", "3", "--cells", "three", "--rotor", "free vane", "--thrust", "jet")
    refused(result, "4 things to mend", 'Write "3 g"', "3S", 'Did you mean "free vaned"', "propeller, fan")
    assert not path.exists()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--mass", "2 g"), "--mass: cannot be used"),
        (("--span", "20 m"), "--span: cannot be used"),
        (("--mass", "10 kg", "--span", "300 mm"), "--span: cannot be used"),
        (("--cells", "3S2P"), "series only"),
        (("--cells", "99S"), "--cells: cannot be used"),
        (("--elevation", "9000 m"), "--elevation: cannot be used"),
    ],
)
def test_new_with_numbers_that_cannot_be_sized(
    rotorwright: Run, tmp_path: Path, arguments: tuple[str, ...], said: str
) -> None:
    refused(rotorwright("new", tmp_path / "my.toml", *arguments), said)
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize("failure", [PermissionError(13, "Permission denied"), OSError(30, "Read-only file system")])
def test_new_into_a_folder_that_cannot_be_written(
    rotorwright: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, failure: OSError
) -> None:
    """The failure is put in by hand: for the superuser no folder is read-only."""
    path = tmp_path / "my.toml"
    real = Path.open

    def unwilling(self: Path, *given: object, **named: object) -> object:
        if self == path:
            raise failure
        return real(self, *given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(Path, "open", unwilling)
    refused(rotorwright("new", path), "cannot be written", "folder of your own")
    monkeypatch.undo()
    assert os.listdir(tmp_path) == []
