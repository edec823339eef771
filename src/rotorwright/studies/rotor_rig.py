"""Rig data of one rotor: a table of airspeed, rotor speed, lift, drag, torque, read from a text file with columns.

Units stand in the names of the columns; any of the measured columns may be missing, any cell may be blank.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rotorwright.base.errors import Problem
from rotorwright.studies.measured_table import (
    DENSITY,
    FORCE,
    PRESSURE,
    ROTATION,
    SPEED,
    TEMPERATURE,
    TORQUE,
    Columns,
    given_rows,
    read_table,
    read_text,
)


@dataclass(frozen=True)
class RigRow:
    """One reading, SI; None where nothing was measured. ``torque`` is what the shaft gives, > 0 with the spin."""

    line: int
    airspeed: float
    rotor_speed: float | None = None
    lift: float | None = None
    drag: float | None = None
    torque: float | None = None
    temperature: float | None = None
    pressure: float | None = None
    density: float | None = None


def _whole(held: Sequence[str], place: str, line: int) -> list[Problem]:
    problems = []
    if "airspeed" not in held:
        problems.append(Problem("is missing", place, line, "airspeed", "", "a column airspeed_mps"))
    if not {"rotor_speed", "lift", "drag", "torque"} & set(held):
        allowed = "rotor_speed_rpm, lift_n, drag_n, torque_nm"
        problems.append(Problem("holds nothing that was measured", place, line, "", "", allowed))
    return problems


def _row(numbers: Mapping[str, float], place: str, line: int) -> list[Problem]:
    problems = []
    if "airspeed" not in numbers:
        problems.append(Problem("is missing", place, line, "airspeed", "", "a number in every reading"))
    tells = {"lift", "drag", "torque"} & numbers.keys()
    if not tells:
        hint = "Write 0 as its torque if the rotor turned freely." if "rotor_speed" in numbers else ""
        allowed = "lift, drag or torque"
        problems.append(Problem("tells nothing about the rotor", place, line, "", "", allowed, hint))
    return problems


COLUMNS = Columns(
    units={
        "airspeed": SPEED,
        "rotor_speed": ROTATION,
        "lift": FORCE,
        "drag": FORCE,
        "torque": TORQUE,
        "temperature": TEMPERATURE,
        "pressure": PRESSURE,
        "density": DENSITY,
    },
    limits={
        "airspeed": (0.3, 150.0, "0.3 to 150 m/s"),
        "rotor_speed": (-20000.0, 20000.0, "up to 190 000 rpm"),
        "lift": (-1e5, 1e5, "up to 100 kN"),
        "drag": (-1e5, 1e5, "up to 100 kN"),
        "torque": (-1e4, 1e4, "up to 10 kN m"),
        "temperature": (220.0, 340.0, "−53 to 67 °C"),
        "pressure": (3e4, 1.1e5, "300 to 1100 hPa"),
        "density": (0.2, 3.0, "0.2 to 3 kg/m³"),
    },
    ignored=("note", "time_s", "run"),
    whole=_whole,
    row=_row,
)


def read_rig_file(path: str | Path) -> tuple[RigRow, ...]:
    """Return the readings of a file.

    Parameters
    ----------
    path : str or Path
        Text with columns: see `read_rig`.

    Raises
    ------
    InputProblems
        With the number of the line, if it cannot be read or used.
    """
    return read_rig(read_text(path), str(path))


def read_rig(text: str, place: str = "rig") -> tuple[RigRow, ...]:
    """Return the readings of a table in text.

    Parameters
    ----------
    text : str
        First line the columns, named with their unit (``airspeed_mps; rotor_speed_rpm; lift_n``), then one reading a
        line; see `read_table`.
    place : str
        Named in messages.

    Raises
    ------
    InputProblems
        Everything that is wrong with it, with line numbers.
    """
    return tuple(RigRow(line=line, **numbers) for line, numbers in read_table(text, place, COLUMNS))


def rig_rows(readings: Sequence[Any]) -> tuple[RigRow, ...]:
    """Return readings given as mappings (SI, names of `RigRow`) or as `RigRow`, checked.

    Raises
    ------
    InputProblems
        If one cannot be used.
    """
    return tuple(
        numbers if isinstance(numbers, RigRow) else RigRow(line=place, **numbers)
        for place, numbers in given_rows(readings, COLUMNS, RigRow)
    )
