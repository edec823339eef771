"""Designs that were flown, kept as labelled arrays: written every few seconds, taken up again where they ended."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.studies.explore_designs import FLOWN, REFUSED, UNKNOWN_STATE, Answers
from rotorwright.studies.kept_file import RESTS_ON, KeptFile, as_text, other_grounds

if TYPE_CHECKING:
    import xarray

Floats = npt.NDArray[np.float64]
REASONS = "refusals"


@dataclass
class KeptDesigns(KeptFile):
    """Designs 0 … n − 1: shares of the way of every field, what they do, what became of them."""

    rests_on: Mapping[str, Any]
    fields: tuple[str, ...]
    names: tuple[str, ...]
    units: tuple[str, ...]
    path: Path | None = None
    shares: Floats = field(default_factory=lambda: np.empty((0, 0)))
    columns: Floats = field(default_factory=lambda: np.empty((0, 0)))
    state: npt.NDArray[np.int8] = field(default_factory=lambda: np.empty(0, dtype=np.int8))
    refused: dict[str, int] = field(default_factory=dict)
    values: Mapping[str, tuple[npt.NDArray[Any], str]] = field(default_factory=dict)
    """Values of the fields of all designs with their units, filled in before writing."""

    def __len__(self) -> int:
        """Return how many designs there are, flown or not."""
        return len(self.state)

    def column(self, name: str) -> Floats:
        """Return one quantity of every design."""
        return self.columns[:, self.names.index(name)]

    def ask(self, shares: Floats) -> slice:
        """Add designs that are not flown yet and return their place."""
        first = len(self)
        self.shares = np.concatenate([self.shares.reshape(first, len(self.fields)), shares])
        self.columns = np.concatenate(
            [self.columns.reshape(first, len(self.names)), np.full((len(shares), len(self.names)), np.nan)]
        )
        self.state = np.concatenate([self.state, np.full(len(shares), UNKNOWN_STATE, dtype=np.int8)])
        return slice(first, len(self))

    def put(self, designs: npt.NDArray[np.int64], answers: Answers) -> None:
        """Take note of what designs do; the file follows within a few seconds."""
        self.state[designs] = answers.state
        self.columns[designs] = answers.columns
        for why, count in answers.refused.items():
            self.refused[why] = self.refused.get(why, 0) + count
        self.changed()

    def dataset(self) -> xarray.Dataset:
        """Return the designs as a labelled dataset over ``design``, shares of the way over ``field`` as well."""
        from rotorwright.studies.labelled import Axis, Field, labelled

        axes = {
            "design": Axis(np.arange(len(self)), "1", "number of the design"),
            "field": Axis(list(self.fields), "", "field that varies"),
        }
        said = f"{UNKNOWN_STATE} not flown yet, {FLOWN} flown, {REFUSED} no possible aeroplane"
        fields = {
            "share": Field(("design", "field"), self.shares, "1", "share of the way between the ends of the field"),
            "state": Field(("design",), self.state, "1", said),
        }
        for place, (name, unit) in enumerate(zip(self.names, self.units, strict=True)):
            fields[name] = Field(("design",), self.columns[:, place], unit, name.replace("_", " "))
        for name in self.fields:
            told = self.values.get(name)
            if told is not None and len(told[0]) == len(self):
                fields[name] = Field(("design",), told[0], told[1], f"{name} of the design")
        return labelled(
            "Explored designs", axes, fields,
            **{RESTS_ON: as_text(self.rests_on), REASONS: json.dumps(self.refused)},
        )  # fmt: skip


def keep_designs(
    path: str | Path | None, rests_on: Mapping[str, Any], fields: Sequence[str], names: Sequence[str],
    units: Sequence[str], *, resume: bool = False,
) -> KeptDesigns:  # fmt: skip
    """Return designs to be kept in a file, with those already in it if it is to be gone on with.

    Raises
    ------
    InputError
        If the file is there and is not to be gone on with, or holds something else.
    """
    fresh = KeptDesigns(dict(rests_on), tuple(fields), tuple(names), tuple(units), Path(path) if path else None)
    if path is None or not Path(path).exists():
        return fresh
    if not resume:
        hint = "Add --resume to go on with it, or choose another name"
        raise InputError("is there already", place=str(path), hint=hint)
    from rotorwright.studies.labelled import load_netcdf

    dataset = load_netcdf(path)
    told = dataset.attrs.get(RESTS_ON)
    if not isinstance(told, str) or not {"share", "state", *names} <= set(dataset.data_vars):
        raise InputError("holds no explored designs that can be gone on with", place=str(path))
    other = other_grounds(told, rests_on)
    if other:
        hint = "Choose a new name for the file, or ask as the file was asked"
        raise InputError(
            "holds designs that rest on something else", place=str(path), found=", ".join(other), hint=hint
        )
    fresh.shares = np.array(dataset["share"].values, dtype=np.float64)
    fresh.state = np.array(dataset["state"].values, dtype=np.int8)
    fresh.columns = np.stack([np.array(dataset[name].values, dtype=np.float64) for name in names], axis=1)
    fresh.refused = dict(json.loads(dataset.attrs.get(REASONS, "{}")))
    return fresh
