"""The history of one simulated flight: named columns over time, in SI, kept as CSV or NetCDF."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    import xarray

Floats = npt.NDArray[np.float64]


class Column(NamedTuple):
    """One quantity over time."""

    values: Floats
    unit: str
    said: str


@dataclass(frozen=True)
class History:
    """One flight over time; ``columns`` always holds ``time``, first."""

    columns: Mapping[str, Column]

    def __getitem__(self, name: str) -> Floats:
        """Return the values of a column."""
        return self.columns[name].values

    def __contains__(self, name: object) -> bool:
        """Return whether there is such a column."""
        return name in self.columns

    def __len__(self) -> int:
        """Return how many moments were kept."""
        return len(self["time"])

    def names(self, kind: str) -> tuple[str, ...]:
        """Return the columns of one kind: ``rotor_speed`` gives ``rotor_speed_left``, ``rotor_speed_right``."""
        return tuple(name for name in self.columns if name == kind or name.startswith(f"{kind}_of_"))

    def at(self, time: float) -> int:
        """Return the row nearest to a time [s]."""
        return int(np.abs(self["time"] - time).argmin())


def save_history_table(history: History, path: str | Path) -> Path:
    """Write a history as CSV, a column each with its unit in the head, rows in order of time.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    from rotorwright.studies.labelled import save_table

    return save_table({name: (column.values, column.unit) for name, column in history.columns.items()}, path)


def history_dataset(history: History, title: str, **told: str | float | int) -> xarray.Dataset:
    """Return a history as a labelled dataset over ``time``, units in attributes."""
    from rotorwright.studies.labelled import Axis, Field, labelled

    time = history.columns["time"]
    fields = {
        name: Field(("time",), column.values, column.unit, column.said)
        for name, column in history.columns.items()
        if name != "time"
    }
    return labelled(title, {"time": Axis(time.values, time.unit, time.said)}, fields, **told)
