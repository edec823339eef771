"""Results kept in one NetCDF file while a study runs: written every few seconds, and known by what they rest on."""

from __future__ import annotations

import json
import time
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import xarray

SAVE_EVERY = 5.0
"""Seconds between two writes of the file, at least."""
RESTS_ON = "rests_on"
"""Attribute of the file that tells what its results rest on (aircraft, seed, settings, program)."""


class KeptFile:
    """What is kept in a file; whoever keeps something tells its ``path`` and its `dataset`."""

    path: Path | None
    _saved = -1e9
    _unsaved = False

    def dataset(self) -> xarray.Dataset:
        """Return everything kept, as a labelled dataset."""
        raise NotImplementedError

    def changed(self) -> None:
        """Take note that there is something new; the file follows within a few seconds."""
        self._unsaved = True
        if time.monotonic() - self._saved > SAVE_EVERY:
            self.save()

    def save(self) -> None:
        """Write the file now, if there is one to write and anything new to write."""
        if self.path is None or not self._unsaved:
            return
        from rotorwright.studies.labelled import save_netcdf

        save_netcdf(self.dataset(), self.path)
        self._saved, self._unsaved = time.monotonic(), False


def as_text(rests_on: Mapping[str, Any]) -> str:
    """Return what results rest on, as it stands in the file."""
    return json.dumps(rests_on, sort_keys=True)


def other_grounds(told: str, rests_on: Mapping[str, Any]) -> dict[str, tuple[Any, Any]]:
    """Return what a file's results rest on otherwise than those asked for: name → (there, wanted)."""
    there, wanted = json.loads(told), json.loads(as_text(rests_on))
    return {
        name: (there.get(name), wanted.get(name))
        for name in sorted({*there, *wanted})
        if there.get(name) != wanted.get(name)
    }
