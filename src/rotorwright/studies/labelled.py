"""Labelled arrays: results over named axes with units, kept in one NetCDF file that any array program reads.

xarray is imported only here and only when asked, since it takes a second to load.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
import numpy.typing as npt

import rotorwright
from rotorwright.base.errors import InputError
from rotorwright.base.whole_file import write_whole

if TYPE_CHECKING:
    import xarray

CONVENTIONS = "CF-1.11"
PACKED = {"zlib": True, "complevel": 4}


class Axis(NamedTuple):
    """One axis: its values, unit ("1" for a plain number, "" for words) and what it is in words."""

    values: Sequence[Any] | npt.NDArray[Any]
    unit: str
    said: str


class Field(NamedTuple):
    """One array over some axes: their names in order, the values, unit and what it is in words."""

    axes: tuple[str, ...]
    values: npt.NDArray[Any]
    unit: str
    said: str


def labelled(
    title: str, axes: Mapping[str, Axis], fields: Mapping[str, Field], **told: str | float | int
) -> xarray.Dataset:
    """Return results as a labelled dataset, units in attributes.

    Parameters
    ----------
    title : str
    axes : mapping of str to Axis
    fields : mapping of str to Field
    **told : str, float or int
        More attributes of the whole set: aircraft, revision, seed.

    Returns
    -------
    dataset : xarray.Dataset
    """
    import xarray

    found = xarray.Dataset(
        {name: (each.axes, np.asarray(each.values), _words(each)) for name, each in fields.items()},
        coords={name: ((name,), np.asarray(each.values), _words(each)) for name, each in axes.items()},
    )
    return found.assign_attrs(
        Conventions=CONVENTIONS, title=title, source=f"rotorwright {rotorwright.__version__}", **told
    )


def _words(each: Axis | Field) -> dict[str, str]:
    return {"long_name": each.said, **({"units": each.unit} if each.unit else {})}


def save_netcdf(dataset: xarray.Dataset, path: str | Path) -> Path:
    """Write a dataset to a NetCDF file, all or nothing; numbers are packed without loss.

    Raises
    ------
    InputError
        If the file cannot be written; what stood there stays.
    """
    packed = {name: PACKED for name, field in dataset.data_vars.items() if field.dtype.kind in "fiu" and field.ndim}
    with tempfile.TemporaryDirectory() as folder:
        whole = Path(folder) / "whole.nc"
        dataset.to_netcdf(whole, engine="h5netcdf", encoding=packed)
        return write_whole(path, whole.read_bytes())


def load_netcdf(path: str | Path) -> xarray.Dataset:
    """Read a NetCDF file whole into memory and close it.

    Raises
    ------
    InputError
        If it cannot be read or is no such file.
    """
    import xarray

    try:
        return xarray.load_dataset(path, engine="h5netcdf")
    except FileNotFoundError:
        raise InputError("cannot be read: there is no such file", place=str(path)) from None
    except (OSError, ValueError) as problem:
        reason = str(problem).splitlines()[0] if str(problem) else "unreadable"
        raise InputError(f"cannot be read as NetCDF: {reason}", place=str(path)) from None


def save_table(columns: Mapping[str, tuple[npt.NDArray[Any], str]], path: str | Path) -> Path:
    """Write columns of equal length as CSV, the unit in brackets in the head: ``time [s],height [m]``.

    Parameters
    ----------
    columns : mapping of str to (array, unit)
    path : str or Path

    Raises
    ------
    InputError
        If the file cannot be written; what stood there stays.
    """
    import csv
    import io

    page = io.StringIO(newline="")
    writer = csv.writer(page, lineterminator="\n")
    writer.writerow([f"{name} [{unit}]" if unit else name for name, (_, unit) in columns.items()])
    plain = [[_plain(value) for value in values] for values, _ in columns.values()]
    writer.writerows(zip(*plain, strict=True))
    return write_whole(path, page.getvalue().encode("utf-8"))


def _plain(value: Any) -> Any:
    """Return a number with nine digits (an empty cell for one that does not exist), anything else as it is."""
    if isinstance(value, (float, np.floating)):
        return f"{float(value):.9g}" if np.isfinite(value) else ""
    return value
