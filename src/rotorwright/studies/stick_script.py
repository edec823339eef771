"""Sticks over time from a table, in the pilot's place: what a maker wants to try, or what a logger recorded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputProblems, Problem
from rotorwright.flight.flight_rows import C_TIME, COMMAND_COLUMNS
from rotorwright.studies.measured_table import Columns, read_table, read_text

Floats = npt.NDArray[np.float64]

ORDER = ("time", "elevator", "rudder", "aileron", "throttle", "drive")
"""As the columns of a command."""
_SHARE = {"pct": 0.01, "percent": 0.01, "share": 1.0}
EXAMPLE = "time_s, throttle_pct, elevator_pct, rudder_pct, aileron_pct, drive_pct"


def _whole(held: Sequence[str], place: str, line: int) -> list[Problem]:
    problems = []
    if "time" not in held:
        problems.append(Problem("has no column for the time", place, line, "", ", ".join(held), EXAMPLE))
    if not set(held) - {"time"}:
        problems.append(Problem("has no column for a stick", place, line, "", ", ".join(held), EXAMPLE))
    return problems


def _row(numbers: Mapping[str, float], place: str, line: int) -> list[Problem]:
    return [] if "time" in numbers else [Problem("tells no time", place, line, "time")]


COLUMNS = Columns(
    units={"time": {"s": 1.0, "ms": 1e-3, "min": 60.0}, **dict.fromkeys(ORDER[1:], _SHARE)},
    limits={
        "time": (0.0, 3600.0, "0 to 3600 s"),
        **dict.fromkeys(("elevator", "rudder", "aileron"), (-1.0, 1.0, "-100 to 100 %")),
        "throttle": (0.0, 1.0, "0 to 100 %"),
        "drive": (0.0, 1.2, "0 to 120 %"),
    },
    ignored=("note",),
    whole=_whole,
    row=_row,
)


@dataclass(frozen=True)
class StickScript:
    """Sticks over time."""

    rows: Floats
    """Time [s]; elevator, rudder, aileron over their travel, −1…1; throttle, 0…1; rotor drives over their speed.
    NaN: as level flight is trimmed."""
    place: str
    """Where it came from."""

    def as_dict(self) -> dict[str, object]:
        """Return plain JSON-ready data."""
        given = [(k, name) for k, name in enumerate(ORDER) if not np.isnan(self.rows[:, k]).any()]
        return {name: [float(value) for value in self.rows[:, k]] for k, name in given}

    def about(self, trim: Mapping[str, float]) -> Floats:
        """Return the rows with sticks that have no column held where level flight is trimmed."""
        rows = self.rows.copy()
        for column, name in enumerate(ORDER[1:5], 1):
            rows[:, column] = np.where(np.isnan(rows[:, column]), trim[name], rows[:, column])
        return rows


def read_sticks(path: str | Path) -> StickScript:
    """Return the sticks of a table in a file; see `sticks_from`."""
    return sticks_from(read_text(path), str(path))


def sticks_from(text: str, place: str) -> StickScript:
    """Return the sticks of a table in text.

    Parameters
    ----------
    text : str
        First line the columns with their units: ``time_s, throttle_pct, elevator_pct, rudder_pct, aileron_pct,
        drive_pct``. Elevator is positive with the trailing edge down, aileron where it rolls to the right. A stick
        without a column stays where level flight is trimmed, drives at their speed; between the numbers of a column it
        moves evenly, before the first and after the last it stays; an empty cell says nothing.
    place : str
        Named in messages.

    Raises
    ------
    InputProblems
        Everything that is wrong with it, with line numbers.
    """
    readings = read_table(text, place, COLUMNS)
    times = np.array([numbers["time"] for _, numbers in readings])
    problems = [
        Problem("is not later than the line before", place, readings[k + 1][0], "time", f"{times[k + 1]:g} s")
        for k in np.flatnonzero(np.diff(times) <= 0.0)
    ]
    if problems:
        raise InputProblems(problems[:20])
    rows = np.zeros((len(times), COMMAND_COLUMNS))
    rows[:, C_TIME] = times
    for column, name in enumerate(ORDER[1:], 1):
        given = [(numbers["time"], numbers[name]) for _, numbers in readings if name in numbers]
        if given:
            when, what = np.array(given).T
            rows[:, column] = np.interp(times, when, what)
        else:
            rows[:, column] = 1.0 if name == "drive" else np.nan
    return StickScript(rows, place)
