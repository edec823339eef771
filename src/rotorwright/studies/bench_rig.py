"""Bench data of one motor with its propeller: throttle, volts, amps, rpm, thrust, torque, temperature, any of them."""

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

MEASURED = ("rotor_speed", "current", "electrical_power", "thrust", "torque", "motor_temperature")
"""What a reading may hold besides the settings of the bench."""


@dataclass(frozen=True)
class BenchRow:
    """One reading, SI; None where nothing was measured."""

    line: int
    throttle: float | None = None
    voltage: float | None = None
    """At the controller while the motor runs [V]."""
    airspeed: float = 0.0
    current: float | None = None
    """From the battery [A]."""
    electrical_power: float | None = None
    rotor_speed: float | None = None
    """Of the propeller [rad/s]."""
    thrust: float | None = None
    torque: float | None = None
    """The propeller's, such as the stand's own reaction [N m]."""
    motor_temperature: float | None = None
    """Of the motor's case [K]."""
    running_time: float | None = None
    """Since the motor, as warm as the air, was started at this setting [s]; None: settled."""
    temperature: float | None = None
    """Of the air [K]."""
    pressure: float | None = None
    density: float | None = None


def _whole(held: Sequence[str], place: str, line: int) -> list[Problem]:
    problems = []
    if not {"voltage", "rotor_speed"} & set(held):
        allowed = "voltage_v (or volts); for a propeller alone speed_rpm (or rpm)"
        problems.append(Problem("is missing", place, line, "voltage", "", allowed))
    if not set(MEASURED) & set(held):
        allowed = "rpm, amps, watts, thrust_gf, torque_mnm, motor_temperature_degc"
        problems.append(Problem("holds nothing that was measured", place, line, "", "", allowed))
    return problems


def _row(numbers: Mapping[str, float], place: str, line: int) -> list[Problem]:
    told = set(MEASURED) & numbers.keys()
    if "voltage" not in numbers:
        if "rotor_speed" not in numbers:
            hint = "Volts at the controller while it runs, not at rest; without them only rpm with thrust or torque."
            return [Problem("is missing", place, line, "voltage", "", "a number, or a rotor speed", hint)]
        if not {"thrust", "torque"} & told:
            return [Problem("tells nothing without the voltage", place, line, "", "", "thrust or torque beside rpm")]
        return []
    if not told:
        return [Problem("tells nothing that was measured", place, line, "", "", ", ".join(MEASURED))]
    return []


COLUMNS = Columns(
    units={
        "throttle": {"pct": 0.01, "share": 1.0},
        "voltage": {"v": 1.0, "mv": 1e-3},
        "airspeed": SPEED,
        "current": {"a": 1.0, "ma": 1e-3},
        "electrical_power": {"w": 1.0},
        "rotor_speed": ROTATION,
        "thrust": FORCE,
        "torque": TORQUE,
        "motor_temperature": TEMPERATURE,
        "running_time": {"s": 1.0, "min": 60.0},
        "temperature": TEMPERATURE,
        "pressure": PRESSURE,
        "density": DENSITY,
    },
    limits={
        "throttle": (0.02, 1.0, "2 to 100 %"),
        "voltage": (0.5, 100.0, "0.5 to 100 V"),
        "airspeed": (0.0, 100.0, "0 to 100 m/s"),
        "current": (1e-3, 1e3, "above 0 to 1000 A"),
        "electrical_power": (1e-2, 5e4, "above 0 to 50 kW"),
        "rotor_speed": (5.0, 1e4, "50 to 95 000 rpm"),
        "thrust": (1e-3, 2e3, "above 0 to 2000 N"),
        "torque": (1e-5, 1e2, "above 0 to 100 N m"),
        "motor_temperature": (250.0, 500.0, "−23 to 227 °C"),
        "running_time": (1.0, 1e5, "1 s to a day"),
        "temperature": (220.0, 340.0, "−53 to 67 °C"),
        "pressure": (3e4, 1.1e5, "300 to 1100 hPa"),
        "density": (0.2, 3.0, "0.2 to 3 kg/m³"),
    },
    ignored=("note", "run", "point"),
    whole=_whole,
    row=_row,
    also={
        "volts": "voltage_v",
        "amps": "current_a",
        "watts": "electrical_power_w",
        "power_w": "electrical_power_w",
        "rpm": "rotor_speed_rpm",
        "speed_rpm": "rotor_speed_rpm",
        "thrust_g": "thrust_gf",
        "time_s": "running_time_s",
    },
)


def read_bench_file(path: str | Path) -> tuple[BenchRow, ...]:
    """Return the readings of a file.

    Parameters
    ----------
    path : str or Path
        Text with columns: see `read_bench`.

    Raises
    ------
    InputProblems
        With the number of the line, if it cannot be read or used.
    """
    return read_bench(read_text(path), str(path))


def read_bench(text: str, place: str = "bench") -> tuple[BenchRow, ...]:
    """Return the readings of a table in text.

    Parameters
    ----------
    text : str
        First line the columns, named with their unit (``throttle_pct; volts; amps; rpm; thrust_gf``), then one reading
        a line; see `read_table`.
    place : str
        Named in messages.

    Raises
    ------
    InputProblems
        Everything that is wrong with it, with line numbers.
    """
    return tuple(BenchRow(line=line, **numbers) for line, numbers in read_table(text, place, COLUMNS))


def bench_rows(readings: Sequence[Any]) -> tuple[BenchRow, ...]:
    """Return readings given as mappings (SI, names of `BenchRow`) or as `BenchRow`, checked.

    Raises
    ------
    InputProblems
        If one cannot be used.
    """
    return tuple(
        numbers if isinstance(numbers, BenchRow) else BenchRow(line=place, **numbers)
        for place, numbers in given_rows(readings, COLUMNS, BenchRow)
    )
