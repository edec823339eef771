"""Balancing runs as a maker notes them: typed in short words, or a table with a line for each run."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rotorwright.base.errors import InputError, InputProblems, Problem

_NUMBER = r"[+-]?(?:\d+[.,]?\d*|[.,]\d+)"
_READING = re.compile(rf"({_NUMBER})\s*(?:@\s*({_NUMBER})\s*(?:deg|°)?)?\Z")
_TRIAL = re.compile(rf"(?:plane\s*)?(\d+)\s*:\s*({_NUMBER})\s*(?:g)?\s*@\s*({_NUMBER})\s*(?:deg|°)?\Z", re.I)
ALLOWED = '"4.2@112 1.9@78" as found, "1: 1.15@0 = 5.0@94 2.1@68" with 1.15 g on plane 1 at 0 degrees'
FIXED = ("plane", "trial_g", "trial_deg", "radius_mm")


@dataclass(frozen=True)
class NotedRun:
    """One run: amplitudes and phases of its sensors, and the trial mass it had."""

    amplitudes: tuple[float, ...]
    phases: tuple[float | None, ...]
    """[rad]; None where only the amplitude was read."""
    plane: int | None = None
    """Counted from 0; None as found."""
    trial: float = 0.0
    """Mass times radius [kg m]."""
    angle: float = 0.0
    """[rad]"""

    @property
    def has_phase(self) -> bool:
        """Return whether every sensor gave a phase."""
        return all(phase is not None for phase in self.phases)

    def as_run(self) -> dict[str, Any]:
        """Return the run as `balance_planes` takes it."""
        readings = [(size, phase or 0.0) for size, phase in zip(self.amplitudes, self.phases, strict=True)]
        told: dict[str, Any] = {"readings": readings}
        if self.plane is not None:
            told |= {"plane": self.plane, "trial": (self.trial, self.angle)}
        return told


def read_run(text: str, radius: float, place: str = "--run") -> NotedRun:
    """Return a run typed in short words.

    Parameters
    ----------
    text : str
        Readings, each amplitude@phase in degrees or an amplitude alone, between blanks; before them, with an equals
        sign, the plane and the trial mass in grams at its angle: ``1: 1.15@0 = 5.0@94 2.1@68``.
    radius : float
        At which the trial masses sit [m].
    place : str
        Named in messages.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    head, equals, tail = text.rpartition("=")
    words = re.sub(r"\s*@\s*", "@", tail).split()
    found = [_READING.fullmatch(word) for word in words]
    trial = _TRIAL.fullmatch(head.strip()) if equals else None
    if not words or None in found or (equals and trial is None):
        raise InputError("cannot be read", place=place, found=f'"{text}"', allowed=ALLOWED)
    sizes = tuple(_number(match[1]) for match in found if match)
    phases = tuple(None if match[2] is None else math.radians(_number(match[2])) for match in found if match)
    if trial is None:
        return NotedRun(sizes, phases)
    plane = int(trial[1])
    if plane < 1:
        raise InputError("counts planes from 1", place=place, found=f'"{text}"')
    return NotedRun(sizes, phases, plane - 1, 1e-3 * _number(trial[2]) * radius, math.radians(_number(trial[3])))


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def read_runs_file(path: str | Path, radius: float | None) -> tuple[NotedRun, ...]:
    """Return the runs of a table in a file.

    Parameters
    ----------
    path : str or Path
        First line the columns: plane (blank or 0 as found), trial_g, trial_deg, perhaps radius_mm, then for every
        sensor its amplitude and, with ``_deg`` at the end of its name, its
        phase: ``plane;trial_g;trial_deg;left;left_deg``.
    radius : float, optional
        At which trial masses sit [m], where the table does not say.

    Raises
    ------
    InputProblems
        With the number of the line, if it cannot be read or used.
    """
    place = Path(path)
    try:
        text = place.read_bytes().decode("utf-8-sig", errors="replace")
    except OSError as trouble:
        reason = (trouble.strerror or type(trouble).__name__).lower()
        raise InputError(f"cannot be read: {reason}", place=str(path)) from None
    return read_runs(text, radius, str(path))


def read_runs(text: str, radius: float | None, place: str = "runs") -> tuple[NotedRun, ...]:
    """Return the runs of a table in text (columns as in `read_runs_file`).

    Parameters
    ----------
    text : str
    radius : float, optional
        At which trial masses sit [m].
    place : str
        Named in messages.

    Raises
    ------
    InputProblems
        Everything that is wrong with it.
    """
    lines = [
        (k, line) for k, line in enumerate(text.splitlines(), 1) if line.strip(" ;,\t") and line.lstrip()[0] != "#"
    ]
    if len(lines) < 3:
        raise InputError("holds no runs", place=place, allowed="a line of columns, a run as found, runs with trials")
    separator = ";" if ";" in lines[0][1] else "\t" if "\t" in lines[0][1] else ","
    heads = [head.strip().lower() for head in next(csv.reader(io.StringIO(lines[0][1]), delimiter=separator))]
    sensors = [head for head in heads if head and head not in (*FIXED, "note", "run") and not head.endswith("_deg")]
    loose = [head for head in heads if head.endswith("_deg") and head != "trial_deg" and head[:-4] not in sensors]
    if not sensors or loose:
        raise InputError(
            "has columns that do not fit", place=place, line=lines[0][0], found=", ".join(loose) or "no amplitudes",
            allowed="plane;trial_g;trial_deg;left;left_deg",
        )  # fmt: skip
    problems: list[Problem] = []
    runs = []
    for line, written in lines[1:]:
        cells = next(csv.reader(io.StringIO(written), delimiter=separator))
        row = {head: cell.strip() for head, cell in zip(heads, cells, strict=False)}
        try:
            runs.append(_table_run(row, sensors, radius))
        except (ValueError, KeyError):
            problems.append(Problem("cannot be read", place, line, found=written[:60]))
        except InputError as trouble:
            problems.append(Problem(trouble.problems[0].message, place, line, hint=trouble.problems[0].hint))
    if problems:
        raise InputProblems(problems[:20])
    return tuple(runs)


def _table_run(row: dict[str, str], sensors: Sequence[str], radius: float | None) -> NotedRun:
    sizes = tuple(_number(row[name]) for name in sensors)
    phases = tuple(math.radians(_number(row[f"{name}_deg"])) if row.get(f"{name}_deg") else None for name in sensors)
    plane = int(row.get("plane") or 0)
    if plane == 0 and not row.get("trial_g"):
        return NotedRun(sizes, phases)
    own = _number(row["radius_mm"]) / 1000.0 if row.get("radius_mm") else radius
    if own is None:
        raise InputError("needs the radius of the trial mass", hint="Give --radius, or a column radius_mm.")
    trial = 1e-3 * _number(row["trial_g"]) * own
    return NotedRun(sizes, phases, max(plane, 1) - 1, trial, math.radians(_number(row["trial_deg"])))
