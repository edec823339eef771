"""A recording of a phone or logger strapped to the aeroplane: read from a text file, put on an even clock, cleaned.

Units are read from the heads of the columns; what cannot be trusted (clock too wild, too slow for the spin) is refused
with the reason.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.base.errors import InputError, InputProblems, Problem

Floats = npt.NDArray[np.float64]

TIME_UNITS = {"s": 1.0, "sec": 1.0, "seconds": 1.0, "ms": 1e-3, "us": 1e-6, "ns": 1e-9}
ACCELERATION_UNITS = {
    "mps2": 1.0,
    "ms2": 1.0,
    "m/s2": 1.0,
    "m/s^2": 1.0,
    "m/s²": 1.0,
    "g": GRAVITY,
    "mg": 1e-3 * GRAVITY,
}
AXES = ("x", "y", "z")
MOST_ROWS = 2_000_000
FEWEST_ROWS = 64
GAP = 5.0
"""A step of the clock this many times the usual one is a gap: the longest piece without one is used."""
WILD = 0.6
"""Scatter of the clock (standard deviation of its steps over the usual step) above which a recording is refused."""
EVEN = 0.01
"""Scatter up to which a clock counts as even."""
SAFE_SHARE = 0.4
"""Frequencies up to this share of the sampling rate are believed; the rest may be folded down from above."""
WILD_SHARE = 0.25
"""The same for a recording that had to be put on an even clock."""


@dataclass(frozen=True)
class VibrationRecord:
    """A recording on an even clock with gravity and drift taken out."""

    rate: float
    """Samples per second [Hz]."""
    acceleration: Floats
    """Shape (samples, axes) [m/s²]."""
    axes: tuple[str, ...]
    start: float
    """Time of the first sample [s]."""
    marks: Floats
    """Times at which a mark on the rotor passed [s]; empty without a mark column."""
    jitter: float
    """Standard deviation of the clock's steps over the usual step."""
    notes: tuple[str, ...] = ()

    @property
    def duration(self) -> float:
        """Return how long it lasts [s]."""
        return len(self.acceleration) / self.rate

    @property
    def highest(self) -> float:
        """Return the highest frequency that can be believed [Hz]."""
        return (SAFE_SHARE if self.jitter <= EVEN else WILD_SHARE) * self.rate


def read_record_file(path: str | Path) -> VibrationRecord:
    """Return the recording of a file.

    Parameters
    ----------
    path : str or Path
        Text with columns: see `read_record`.

    Raises
    ------
    InputProblems
        If it cannot be read or used.
    """
    place = Path(path)
    try:
        raw = place.read_bytes()
    except OSError as trouble:
        reason = (trouble.strerror or type(trouble).__name__).lower()
        raise InputError(f"cannot be read: {reason}", place=str(path)) from None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = raw.decode("latin-1")
    return read_record(text, str(path))


def read_record(text: str, place: str = "recording") -> VibrationRecord:
    """Return the recording of a table in text.

    Parameters
    ----------
    text : str
        First line the columns with their units, in the loggers' usual forms: ``time_s,x_mps2,y_mps2,z_mps2`` or
        ``Time (ms);Acceleration x (g)``. One axis is enough; a column ``mark`` holds 1 while a mark on the rotor passes
        a sensor, else 0. Comma, semicolon or tab between; decimal commas where commas do not separate.
    place : str
        Named in messages.

    Raises
    ------
    InputProblems
        Everything that is wrong with it.
    """
    if "\0" in text:
        raise InputError("is not a text file", place=place)
    lines = [line for line in text.splitlines() if line.strip(" ;,\t") and not line.lstrip().startswith("#")]
    if len(lines) < FEWEST_ROWS + 1:
        raise InputError("is too short", place=place, found=f"{max(len(lines) - 1, 0)} samples", allowed="64 or more")
    if len(lines) > MOST_ROWS:
        raise InputError("is too long", place=place, found=f"{len(lines)} lines", allowed=f"up to {MOST_ROWS}")
    separator = ";" if ";" in lines[0] else "\t" if "\t" in lines[0] else ","
    columns, scales = _columns(next(csv.reader(io.StringIO(lines[0]), delimiter=separator)), place)
    numbers = _numbers(lines[1:], separator, max(columns.values()) + 1, place)
    time = numbers[:, columns["time"]] * scales["time"]
    axes = tuple(axis for axis in AXES if axis in columns)
    parts = np.stack([numbers[:, columns[axis]] * scales[axis] for axis in axes], axis=1)
    mark = numbers[:, columns["mark"]] if "mark" in columns else None
    return clean_record(time, parts, axes=axes, mark=mark, place=place)


def _columns(heads: list[str], place: str) -> tuple[dict[str, int], dict[str, float]]:
    columns: dict[str, int] = {}
    scales: dict[str, float] = {}
    problems = []
    for index, head in enumerate(heads):
        words, unit = _head(head)
        if {"time", "t", "timestamp", "elapsed"} & set(words):
            name, units = "time", TIME_UNITS
        elif words == ["mark"] or words == ["pulse"]:
            columns.setdefault("mark", index)
            continue
        elif (axis := [word for word in words if word in AXES or word in ("ax", "ay", "az")]) and not (
            {"gyro", "gyroscope", "rotation", "magnetic", "magnetometer"} & set(words)
        ):
            name, units = axis[-1][-1], ACCELERATION_UNITS
        else:
            continue
        if unit not in units:
            allowed = ", ".join(f"({each})" for each in list(units)[:4])
            problems.append(Problem("does not say its unit", place, 1, f'column "{head.strip()}"', unit, allowed))
            continue
        if name in columns:
            problems.append(Problem("stands there twice", place, 1, f'column "{head.strip()}"'))
        columns[name], scales[name] = index, units[unit]
    if not problems and "time" not in columns:
        problems.append(Problem("has no column of time", place, 1, allowed="time_s, Time (ms)"))
    if not problems and not set(AXES) & set(columns):
        problems.append(Problem("has no column of acceleration", place, 1, allowed="x_mps2, Acceleration x (g)"))
    if problems:
        raise InputProblems(problems)
    return columns, scales


def _head(head: str) -> tuple[list[str], str]:
    """Split the head of a column into its words and its unit."""
    text = head.strip().strip('"').lower()
    bracket = re.search(r"[(\[]([^)\]]*)[)\]]", text)
    if bracket:
        unit = re.sub(r"\s+", "", bracket[1])
        words = re.findall(r"[a-z]+", text[: bracket.start()])
        return words, unit
    words = re.findall(r"[a-z]+[0-9]*", text)
    return words[:-1] or words, words[-1] if len(words) > 1 else ""


def _numbers(lines: list[str], separator: str, needed: int, place: str) -> Floats:
    if separator != ",":
        lines = [line.replace(",", ".") for line in lines]
    try:
        numbers = np.loadtxt(lines, delimiter=separator, usecols=range(needed), ndmin=2, dtype=np.float64)
    except ValueError as trouble:
        where = re.search(r"row (\d+)", str(trouble))
        line = int(where[1]) + 2 if where else None
        raise InputError("holds something that is not a number", place=place, line=line) from None
    if not np.isfinite(numbers).all():
        raise InputError("holds something that is not a number", place=place)
    return numbers


def clean_record(
    time: Floats, acceleration: Floats, *, axes: tuple[str, ...] = AXES, mark: Floats | None = None,
    place: str = "recording",
) -> VibrationRecord:  # fmt: skip
    """Return a recording on an even clock with gravity and drift taken out.

    Parameters
    ----------
    time : array, shape (samples,)
        [s], rising.
    acceleration : array, shape (samples, axes)
        [m/s²], gravity in it or not.
    axes : tuple of str
    mark : array, shape (samples,), optional
        1 while a mark on the rotor passes a sensor, else 0.
    place : str
        Named in messages.

    Raises
    ------
    InputProblems
        If the clock runs back, or scatters too much to be put right.
    """
    steps = np.diff(time)
    notes: list[str] = []
    same = steps == 0.0
    if same.any() and same.mean() < 0.2:  # loggers write a sample twice when they are late
        keep = np.concatenate([[True], ~same])
        time, acceleration = time[keep], acceleration[keep]
        mark = None if mark is None else mark[keep]
        steps = np.diff(time)
        notes.append(f"{int(same.sum())} samples with the time of the one before were left out")
    if not (steps > 0.0).all():
        raise InputError("has a clock that runs back or stands still", place=place, field="time")
    usual = float(np.median(steps))
    first, last = _longest_piece(steps, GAP * usual)
    if last - first + 1 < len(time):
        notes.append(f"its clock has gaps: the longest piece without one is used, {time[last] - time[first]:.3g} s")
        time, acceleration = time[first : last + 1], acceleration[first : last + 1]
        mark = None if mark is None else mark[first : last + 1]
        steps = np.diff(time)
    if len(time) < FEWEST_ROWS:
        raise InputError("is too short", place=place, found=f"{len(time)} samples", allowed="64 or more in one piece")
    mean = float(np.mean(steps))
    jitter = float(np.std(steps) / mean)
    if jitter > WILD:
        raise InputError(
            "has a clock too wild to be put right", place=place, field="time",
            found=f"steps scatter by {100.0 * jitter:.0f} %", allowed=f"up to {100.0 * WILD:.0f} %",
            hint="Set a fixed sampling rate in the logger, close other programs, and record again.",
        )  # fmt: skip
    marks = np.zeros(0)
    if mark is not None:
        up = np.flatnonzero((mark[1:] > 0.5) & (mark[:-1] <= 0.5)) + 1
        marks = time[up]
    rate = 1.0 / mean
    if jitter > EVEN:
        from scipy.interpolate import CubicSpline

        even = time[0] + np.arange(len(time)) * mean
        even = even[even <= time[-1]]
        acceleration = CubicSpline(time, acceleration, axis=0)(even)
        notes.append(
            f"its clock scatters by {100.0 * jitter:.0f} %: put on an even clock of {rate:.0f} Hz, believed up to "
            f"{WILD_SHARE * rate:.0f} Hz"
        )
    pull = float(np.linalg.norm(acceleration.mean(axis=0)))
    if 0.5 * GRAVITY < pull < 1.5 * GRAVITY:
        notes.append(f"gravity was in it ({pull:.1f} m/s²) and was taken out")
    from scipy.signal import detrend

    return VibrationRecord(rate, detrend(acceleration, axis=0), axes, float(time[0]), marks, jitter, tuple(notes))


def _longest_piece(steps: Floats, gap: float) -> tuple[int, int]:
    """Return first and last sample of the longest run of steps below a gap."""
    cuts = [-1, *np.flatnonzero(steps > gap).tolist(), len(steps)]
    pieces = [(cuts[place] + 1, cuts[place + 1]) for place in range(len(cuts) - 1)]
    return max(pieces, key=lambda piece: piece[1] - piece[0])
