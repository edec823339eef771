"""Flights kept in a file while a study runs, so that a stop, a crash or a night in between loses none.

One NetCDF file holds what every flight met and what became of it; it is written whole or not at all. A study that is
told the same file goes on where the file ends. What the flights rest on (aircraft, seed, settings, program) is in the
file too: another aircraft is refused, not mixed in.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.studies.kept_file import RESTS_ON, KeptFile, as_text, other_grounds

if TYPE_CHECKING:
    import xarray

Floats = npt.NDArray[np.float64]


@dataclass
class KeptFlights(KeptFile):
    """Flights 0 … n − 1 as columns: name → values, shape (n,); units and words by name."""

    rests_on: Mapping[str, Any]
    words: Mapping[str, tuple[str, str]]
    """Name of a column → unit, what it is."""
    path: Path | None = None
    columns: dict[str, Floats] = field(default_factory=dict)

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
        self.changed()

    def first(self, flights: int) -> dict[str, Floats]:
        """Return the columns of the first so many flights."""
        return {name: values[:flights] for name, values in self.columns.items()}

    def dataset(self) -> xarray.Dataset:
        """Return the flights as a labelled dataset over ``flight``."""
        from rotorwright.studies.labelled import Axis, Field, labelled

        axis = Axis(np.arange(len(self)), "1", "number of the flight")
        fields = {name: Field(("flight",), values, *self.words[name]) for name, values in self.columns.items()}
        return labelled("First flights", {"flight": axis}, fields, **{RESTS_ON: as_text(self.rests_on)})


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
    other = other_grounds(text, rests_on)
    if other:
        found = ", ".join(f"{name} {there}, now {wanted}" for name, (there, wanted) in other.items())
        hint = "Choose a new name for the file, or ask as the file was asked"
        raise InputError("holds flights that rest on something else", place=str(path), found=found, hint=hint)
    columns = {name: np.array(dataset[name].values, dtype=np.float64) for name in words}
    return KeptFlights(json.loads(text), words, whole, columns)
