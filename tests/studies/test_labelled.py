"""Labelled arrays: units and words survive the file, and the file is whole or absent."""

from pathlib import Path

import numpy as np
import pytest

from rotorwright.base.errors import InputError
from rotorwright.studies.labelled import Axis, Field, labelled, load_netcdf, save_netcdf, save_table


def dataset():  # type: ignore[no-untyped-def]
    values = np.arange(6.0).reshape(2, 3)
    values[1, 2] = np.nan
    return labelled(
        "two flights",
        {"flight": Axis([0, 1], "1", "number of the flight"), "time": Axis([0.0, 0.5, 1.0], "s", "time")},
        {
            "height": Field(("flight", "time"), values, "m", "height"),
            "end": Field(("flight",), np.array(["down", "up"]), "", "how it ended"),
        },
        aircraft="Made Up", seed=3,
    )  # fmt: skip


def test_what_is_saved_is_what_is_read(tmp_path: Path) -> None:
    path = save_netcdf(dataset(), tmp_path / "flights.nc")
    again = load_netcdf(path)
    assert again.identical(dataset())
    assert again["height"].attrs["units"] == "m"
    assert again.attrs["Conventions"].startswith("CF-")
    path.unlink()  # nothing holds the file


def test_a_file_that_is_no_netcdf_is_named(tmp_path: Path) -> None:
    (tmp_path / "a.nc").write_text("no arrays here", encoding="utf-8")
    with pytest.raises(InputError, match="cannot be read as NetCDF"):
        load_netcdf(tmp_path / "a.nc")
    with pytest.raises(InputError, match="no such file"):
        load_netcdf(tmp_path / "b.nc")


def test_a_table_has_units_in_its_head_and_empty_cells_for_what_does_not_exist(tmp_path: Path) -> None:
    columns = {
        "time": (np.array([0.0, 0.1]), "s"),
        "height": (np.array([1.0 / 3.0, np.nan]), "m"),
        "said": (np.array(["up", "down, hard"]), ""),
    }
    text = save_table(columns, tmp_path / "a.csv").read_text(encoding="utf-8")
    assert text == 'time [s],height [m],said\n0,0.333333333,up\n0.1,,"down, hard"\n'
