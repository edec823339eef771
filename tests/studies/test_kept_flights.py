"""Flights kept in a file: they come back to the last bit, go on, and are never mixed with others."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.studies.flight_history import Column, History, history_dataset, save_history_table
from rotorwright.studies.kept_flights import keep_in
from rotorwright.studies.labelled import load_netcdf, save_netcdf

WORDS = {"wind": ("m/s", "mean wind"), "outcome": ("1", "what became of it")}
RESTS = {"aircraft": "abc", "seed": 3, "wind": 2.5}


def some(first: int, last: int) -> dict[str, np.ndarray]:
    numbers = np.random.default_rng(1).standard_normal(100)[first:last]
    return {"wind": numbers, "outcome": np.round(numbers)}


def test_flights_come_back_to_the_last_bit_and_go_on(tmp_path: Path) -> None:
    path = tmp_path / "flights.nc"
    kept = keep_in(path, RESTS, WORDS)
    kept.add(some(0, 40))
    kept.add(some(40, 60))
    kept.save()
    again = keep_in(path, RESTS, WORDS)
    assert len(again) == 60
    again.add(some(60, 100))
    again.save()
    whole = keep_in(path, RESTS, WORDS)
    for name, values in some(0, 100).items():
        assert whole.columns[name].tobytes() == values.tobytes()
        assert whole.first(70)[name].tobytes() == values[:70].tobytes()


def test_the_first_add_is_in_the_file_at_once(tmp_path: Path) -> None:
    kept = keep_in(tmp_path / "flights.nc", RESTS, WORDS)
    kept.add(some(0, 10))
    assert len(keep_in(tmp_path / "flights.nc", RESTS, WORDS)) == 10


def test_any_array_program_reads_units_and_words(tmp_path: Path) -> None:
    keep_in(tmp_path / "flights.nc", RESTS, WORDS).add(some(0, 10))
    dataset = load_netcdf(tmp_path / "flights.nc")
    assert dataset["wind"].attrs == {"units": "m/s", "long_name": "mean wind"}


def test_other_flights_are_refused_and_the_difference_told(tmp_path: Path) -> None:
    path = tmp_path / "flights.nc"
    keep_in(path, RESTS, WORDS).add(some(0, 10))
    before = path.read_bytes()
    with pytest.raises(InputProblems, match=r"seed 3, now 4"):
        keep_in(path, {**RESTS, "seed": 4}, WORDS)
    with pytest.raises(InputProblems, match=r"can be continued"):
        keep_in(path, RESTS, {**WORDS, "sink": ("m/s", "sink")})
    assert path.read_bytes() == before


def test_a_file_that_holds_something_else_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letter.nc").write_text("not an array", encoding="utf-8")
    with pytest.raises(InputProblems, match="NetCDF"):
        keep_in(tmp_path / "letter.nc", RESTS, WORDS)


def test_a_history_goes_to_table_and_dataset_and_back(tmp_path: Path) -> None:
    time = np.arange(5) * 0.1
    history = History(
        {
            "time": Column(time, "s", "since the start"),
            "height": Column(np.array([0.0, 0.1, np.nan, 0.3, 1.0 / 3.0]), "m", "above ground"),
            "rotor_speed_of_left": Column(np.arange(5.0), "rad/s", "speed of rotor left"),
        }
    )
    assert history.names("rotor_speed") == ("rotor_speed_of_left",)
    save_history_table(history, tmp_path / "one.csv")
    lines = (tmp_path / "one.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "time [s],height [m],rotor_speed_of_left [rad/s]"
    assert lines[3] == "0.2,,2"
    assert float(lines[5].split(",")[1]) == pytest.approx(1.0 / 3.0, rel=1e-8)
    save_netcdf(history_dataset(history, "one flight", aircraft="Sparrow"), tmp_path / "one.nc")
    back = load_netcdf(tmp_path / "one.nc")
    assert np.array_equal(back["height"].values, history["height"], equal_nan=True)
    assert back["height"].attrs["units"] == "m"
    assert back.attrs["aircraft"] == "Sparrow"
