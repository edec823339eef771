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
        ('rotor.main.diameter="200 mm', "has a quote that is not closed"),
        ("rotor.main.diameter='200 mm", "--set 'rotor.main.diameter=\"200 mm\"'"),
        ("battery.main.mass=149.9 kg", "too heavy"),
    ],
)
def test_a_wrong_what_if(rotorwright: Run, small: Path, change: str, said: str) -> None:
    before = small.read_bytes()
    refused(rotorwright("check", small, "--set", change), said)
    assert small.read_bytes() == before


def test_several_wrong_what_ifs_are_told_at_once(rotorwright: Run, small: Path) -> None:
    refused(rotorwright("check", small, "--set", "rotr.a.b=1 m", "--set", "itm.x.mass=1 g"), "rotr", "itm")


def test_wrong_names_wrong_values_and_wrong_forms_of_what_ifs_come_together(rotorwright: Run, small: Path) -> None:
    wrong = ("rotor.mian.span=1 m", "rotor.main.diameter=200", "item.rest", "battery.main.cells=3")
    options = [part for text in wrong for part in ("--set", text)]
    for command in (("check", small), ("rotor", small, "--airspeed", "9 m/s", "--free")):
        refused(rotorwright(*command, *options), "4 things to mend", "rotor.mian.span", 'Write "200 mm"', '"item.rest"')
    small.write_text(small.read_text(encoding="utf-8").replace('"1300 mAh"', '"1300"'), encoding="utf-8")
    refused(rotorwright("check", small, *options[:2]), "2 things to mend", "rotor.mian.span", "small.toml:33")


def test_the_field_of_a_what_if_is_said_once(rotorwright: Run, small: Path) -> None:
    told = rotorwright("check", small, "--set", "rotor.main.diameter=200 kg").stderr
    assert told.startswith("change to rotor.main.diameter: is a mass")
    told = rotorwright("check", small, "--set", 'rotor.main.position=["1 mm", "2 g", "3 mm"]').stderr
    assert told.startswith("change to rotor.main.position.1: is a mass")


@pytest.mark.parametrize(
    ("option", "typed", "said"),
    [
        ("--diameter", "100", 'Write "100 mm"'),
        ("--hand-spin", "200", 'Write "200 rpm"'),
        ("--run-acceleration", "2", 'Write "2 m/s2"'),
        ("--drive-torque", "50", 'Write "50 mN m"'),
        ("--polar-inertia", "2", "a moment of inertia"),
        ("--stage-phase", "60", 'Write "60 deg"'),
        ("--air-density", "1.2", 'Write "1.2 kg/m3"'),
        ("--temperature", "20", 'Write "20 degC"'),
        ("--diameter", "100 km", '(found "100 km")'),
        ("--slow-to", "30 m/s", '(found "30 m/s")'),
        ("--rotor-speed", "9", "exactly one of the three"),
    ],
)
def test_every_option_with_a_unit_says_what_it_needs(rotorwright: Run, option: str, typed: str, said: str) -> None:
    wind = ("--kind", "Vaned", "--airspeed", "10 m/s", "--free")
    told = rotorwright(*DRUM, *wind, option, typed)
    refused(told, f"{option}", said)


@pytest.mark.parametrize(
    ("option", "typed", "said"),
    [
        ("--mass", "2", 'Write "2 kg"'),
        ("--mass", "600", 'Write "600 g"'),
        ("--span", "1.4", 'Write "1.4 m"'),
        ("--span", "1400", 'Write "1400 mm"'),
        ("--elevation", "300", 'Write "300 m"'),
        ("--cells", "3", 'Write "3S"'),
        ("--rotor", "Driven-Dram", 'Did you mean "driven drum"'),
    ],
)
def test_new_guesses_what_a_bare_number_means(
    rotorwright: Run, tmp_path: Path, option: str, typed: str, said: str
) -> None:
    told = rotorwright("new", tmp_path / "my.toml", option, typed)
    refused(told, said)
    assert "things to mend" not in told.stderr


def test_a_wrong_mass_is_no_fault_of_the_span(rotorwright: Run, tmp_path: Path) -> None:
    told = rotorwright("new", tmp_path / "my.toml", "--mass", "2000 kg")
    refused(told, '--mass: cannot be used to size an aeroplane (found "2000 kg")')
    assert "--span" not in told.stderr


def test_nonsense_still_gets_the_nearest_names(rotorwright: Run) -> None:
    refused(rotorwright("explain", "blah"), "The nearest names: ")
    refused(rotorwright("explain", "speed"), "level_speed")
    refused(rotorwright("explain", "climbing"), "best_climb")


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
    refused(rotorwright("rotor", small, "--name", "rechts", "--airspeed", "9 m/s", "--free"), "main, main-mirror")
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
    refused(result, "4 things to mend", 'Write "3 kg"', "3S", 'Did you mean "free vaned"', "propeller, fan")
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
