"""Flights kept in a file while a study runs, so that a stop, a crash or a night in between loses none.

One NetCDF file holds what every flight met and what became of it; it is written whole or not at all. A study that is
told the same file goes on where the file ends. What the flights rest on (aircraft, seed, settings, program) is in the
file too: another aircraft is refused, not mixed in.
"""

from __future__ import annotations

import json
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError

if TYPE_CHECKING:
    import xarray

Floats = npt.NDArray[np.float64]

SAVE_EVERY = 5.0
"""Seconds between two writes of the file, at least."""
RESTS_ON = "rests_on"


@dataclass
class KeptFlights:
    """Flights 0 … n − 1 as columns: name → values, shape (n,); units and words by name."""

    rests_on: Mapping[str, Any]
    words: Mapping[str, tuple[str, str]]
    """Name of a column → unit, what it is."""
    path: Path | None = None
    columns: dict[str, Floats] = field(default_factory=dict)
    _saved: float = field(default=-1e9, repr=False)
    _unsaved: bool = field(default=False, repr=False)

    def __len__(self) -> int:
        """Return how many flights there are."""
        return len(next(iter(self.columns.values()))) if self.columns else 0

    def add(self, columns: Mapping[str, Floats]) -> None:
        """Add the flights that come next; the file follows within a few seconds."""
        if self.columns and set(columns) != set(self.columns):
            raise ValueError(f"other columns than before: {sorted(set(columns) ^ set(self.columns))}")
        self.columns = {
            name: np.concatenate([self.columns[name], values]) if self.columns else np.array(values, dtype=np.float64)
            for name, values in columns.items()
        }
        self._unsaved = True
        if time.monotonic() - self._saved > SAVE_EVERY:
            self.save()

    def first(self, flights: int) -> dict[str, Floats]:
        """Return the columns of the first so many flights."""
        return {name: values[:flights] for name, values in self.columns.items()}

    def save(self) -> None:
        """Write the file now, if there is one to write and anything new to write."""
        if self.path is None or not self._unsaved:
            return
        from rotorwright.studies.labelled import save_netcdf

        save_netcdf(self.dataset(), self.path)
        self._saved, self._unsaved = time.monotonic(), False

    def dataset(self) -> xarray.Dataset:
        """Return the flights as a labelled dataset over ``flight``."""
        from rotorwright.studies.labelled import Axis, Field, labelled

        axis = Axis(np.arange(len(self)), "1", "number of the flight")
        fields = {name: Field(("flight",), values, *self.words[name]) for name, values in self.columns.items()}
        return labelled("First flights", {"flight": axis}, fields, **{RESTS_ON: _as_text(self.rests_on)})


def _as_text(rests_on: Mapping[str, Any]) -> str:
    return json.dumps(rests_on, sort_keys=True)


def keep_in(path: str | Path | None, rests_on: Mapping[str, Any], words: Mapping[str, tuple[str, str]]) -> KeptFlights:
    """Return the flights kept in a file, none if it is not there yet.

    Parameters
    ----------
    path : str or Path, optional
        Without it the flights are kept in memory only.
    rests_on : mapping
        What the flights rest on, as plain text and numbers.
    words : mapping of str to (unit, words)
        Of every column.

    Raises
    ------
    InputError
        If the file is no such file, or its flights rest on something else: which, is told.
    """
    if path is None:
        return KeptFlights(dict(rests_on), words)
    whole = Path(path)
    if not whole.exists():
        return KeptFlights(dict(rests_on), words, whole)
    from rotorwright.studies.labelled import load_netcdf

    dataset = load_netcdf(whole)
    text = dataset.attrs.get(RESTS_ON)
    if not isinstance(text, str) or "flight" not in dataset.sizes or set(dataset.data_vars) != set(words):
        hint = "Choose a new name, or a file that fly --flights wrote with this version"
        raise InputError("does not hold first flights that can be continued", place=str(path), hint=hint)
    there = json.loads(text)
    wanted = json.loads(_as_text(rests_on))
    if there != wanted:
        other = [name for name in sorted({*there, *wanted}) if there.get(name) != wanted.get(name)]
        found = ", ".join(f"{name} {there.get(name)}, now {wanted.get(name)}" for name in other)
        hint = "Choose a new name for the file, or ask as the file was asked"
        raise InputError("holds flights that rest on something else", place=str(path), found=found, hint=hint)
    columns = {name: np.array(dataset[name].values, dtype=np.float64) for name in words}
    return KeptFlights(wanted, words, whole, columns)
