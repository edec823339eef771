"""Generic motors, propellers and fans by scaling laws, and the maker's own parts from a CSV file: no brand among them.

A class is what a usual part of that size is like, not a product: weigh and measure what you buy.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import RPM
from rotorwright.base.errors import Problem
from rotorwright.base.records import BROAD_SLOW, FAN, NARROW, PROPELLER
from rotorwright.design.catalogue.reader import rule
from rotorwright.physics.power.fan import EXIT_SHARE
from rotorwright.studies.measured_table import Columns, read_table, read_text

Rows = npt.NDArray[np.void]

INCH = 0.0254
MOTOR_MASSES = (0.010, 0.014, 0.020, 0.028, 0.038, 0.052, 0.070, 0.095, 0.125, 0.165, 0.215, 0.280, 0.360, 0.460)
WINDINGS = 9
SLOWEST_WINDING, WINDING_SPREAD = 450.0 * RPM, 9.0
"""Speed constant of the slowest winding of a 100 g motor, and how much faster the fastest is."""
ANCHOR_MASS = 0.085
"""Middle of the six published motors the winding constant was fitted to [kg]."""
DIAMETERS = (4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 15.0, 16.0, 17.0)
NARROW_PITCHES = (0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95)
BROAD_PITCHES = (0.38, 0.46, 0.54, 0.62)
FAN_SIZES = (0.050, 0.055, 0.064, 0.070, 0.080, 0.090, 0.105, 0.125)
CELLS = (2, 3, 4, 5, 6, 8)

MOTOR_CLASS = np.dtype(
    [
        (name, np.float64)
        for name in (
            "mass",
            "speed_constant",
            "resistance",
            "no_load_current",
            "burst_power",  # [W]
            "own",  # line in the maker's file, 0: generic
        )
    ]
)
PROPULSOR_CLASS = np.dtype(
    [
        (name, np.float64)
        for name in ("kind", "diameter", "pitch", "family", "blades", "exit_area", "mass", "speed_limit", "own")
    ]
)
"""``speed_limit`` of the shaft [rad/s]."""
_OWN = Columns(
    units={
        "speed_constant": {"rpmv": RPM, "radpsv": 1.0},
        "resistance": {"mohm": 1e-3, "ohm": 1.0},
        "no_load_current": {"a": 1.0},
        "current_limit": {"a": 1.0},
        "mass": {"g": 1e-3, "kg": 1.0},
        "diameter": {"in": INCH, "mm": 1e-3},
        "pitch": {"in": INCH, "mm": 1e-3},
        "blades": {"count": 1.0},
    },
    limits={
        "speed_constant": (1.0, 3000.0, "10 to 28 000 rpm/V"),
        "resistance": (1e-4, 10.0, "0.1 mohm to 10 ohm"),
        "no_load_current": (0.0, 50.0, "0 to 50 A"),
        "current_limit": (0.1, 1000.0, "0.1 to 1000 A"),
        "mass": (1e-3, 5.0, "1 g to 5 kg"),
        "diameter": (0.05, 1.0, "2 to 39 in"),
        "pitch": (0.01, 1.0, "0.4 to 39 in"),
        "blades": (2.0, 12.0, "2 to 12"),
    },
    ignored=("name", "note", "maker"),
    whole=lambda quantities, place, line: _head_problems(quantities, place, line),
    row=lambda numbers, place, line: _row_problems(numbers, place, line),
)


@dataclass(frozen=True)
class PartClasses:
    """What to choose from."""

    motors: Rows
    propulsors: Rows
    cells: tuple[int, ...]


class GenericMotor(NamedTuple):
    """What a usual outrunner of some mass and winding is like."""

    resistance: float
    """[ohm]"""
    no_load_current: float
    """[A]"""
    burst_power: float
    """Electrical, for some tens of seconds [W]."""
    torque_per_root_watt: float
    """Winding constant [N m/√W]."""


def generic_motor(*, mass: float, speed_constant: float) -> GenericMotor:
    """Return what a usual outrunner of this mass and speed constant is like.

    Parameters
    ----------
    mass : float
        [kg].
    speed_constant : float
        [rad/s/V].

    Notes
    -----
    Winding constant K_m = 0.55 mN m/√W/g × 85 g × (m/85 g)^(5/6), R = (1/(K K_m))², no-load torque 0.09 N m/kg, burst
    power 5500 W/kg. The exponent follows from mass ∝ torque^(3/3.5) and R ∝ K_t² torque^(−5/3.5).

    Validity: 50–120 g measured, 10–460 g by scaling. Band of K_m −45/+15 %.
    Source: fitted to six published outrunners (read secondary); M. Budinger et al., Aerospace Sci. Tech. 98 (2020)
    105658 (exponent of mass read secondary, that of resistance from memory).
    """
    constant = rule("motor", "torque_per_root_watt").value
    strength = constant * ANCHOR_MASS * (mass / ANCHOR_MASS) ** (5.0 / 6.0)
    return GenericMotor(
        resistance=(1.0 / (speed_constant * strength)) ** 2,
        no_load_current=rule("motor", "no_load_torque").value * mass * speed_constant,
        burst_power=rule("motor", "power_limit").value * mass,
        torque_per_root_watt=strength,
    )


def motor_classes() -> Rows:
    """Return generic outrunners: masses × windings, see `generic_motor`."""
    rows = np.zeros(len(MOTOR_MASSES) * WINDINGS, dtype=MOTOR_CLASS)
    place = 0
    for mass in MOTOR_MASSES:
        slowest = SLOWEST_WINDING * (0.1 / mass) ** 0.55
        for step in range(WINDINGS):
            speed = slowest * WINDING_SPREAD ** (step / (WINDINGS - 1))
            usual = generic_motor(mass=mass, speed_constant=speed)
            rows[place] = (mass, speed, usual.resistance, usual.no_load_current, usual.burst_power, 0.0)
            place += 1
    return rows


def propulsor_classes() -> Rows:
    """Return generic propellers (two blades, narrow and broad slow) and ducted fans.

    Notes
    -----
    Propeller mass 18 g (D/9 in)^2.5; shaft speed limit by family (145 000 and 65 000 rpm over inches); fan: exit area
    by size, 20 kg/m² of disc without motor, tip speed 150 m/s. Source: makers' rules of thumb (from memory), catalogue
    rules.
    """
    nine = rule("propeller", "mass_nine_inch").value
    per_area = rule("fan", "mass_per_area").value
    rows: list[tuple[float, ...]] = []
    for family, pitches, most in ((NARROW, NARROW_PITCHES, 145_000.0), (BROAD_SLOW, BROAD_PITCHES, 65_000.0)):
        for inches in DIAMETERS:
            for ratio in pitches:
                diameter = inches * INCH
                pitch = round(2.0 * inches * ratio) / 2.0 * INCH
                mass = nine * (inches / 9.0) ** 2.5
                rows.append((PROPELLER, diameter, pitch, family, 2.0, 0.0, mass, most / inches * RPM, 0.0))
    for diameter in FAN_SIZES:
        mass = per_area * math.pi / 4.0 * diameter**2
        exit_area = EXIT_SHARE * diameter**2
        rows.append((FAN, diameter, diameter, NARROW, 8.0, exit_area, mass, 150.0 / (0.5 * diameter), 0.0))
    return np.array(rows, dtype=PROPULSOR_CLASS)


def part_classes(own: str | Path | None = None) -> PartClasses:
    """Return the generic classes and, with a file, the maker's own parts.

    Parameters
    ----------
    own : str or Path, optional
        CSV: motors have ``speed_constant_rpmv``, ``mass_g`` and perhaps ``resistance_mohm``, ``no_load_current_a``,
        ``current_limit_a``; propellers have ``diameter_in``, ``pitch_in`` and perhaps ``blades_count``, ``mass_g``.

    Raises
    ------
    InputProblems
        If the file cannot be used.
    """
    motors, propulsors = motor_classes(), propulsor_classes()
    if own is not None:
        found = read_table(read_text(own), str(own), _OWN)
        mine = [_own_motor(line, numbers) for line, numbers in found if "speed_constant" in numbers]
        discs = [_own_propeller(line, numbers) for line, numbers in found if "diameter" in numbers]
        if mine:
            motors = np.concatenate([np.array(mine, dtype=MOTOR_CLASS), motors])
        if discs:
            propulsors = np.concatenate([np.array(discs, dtype=PROPULSOR_CLASS), propulsors])
    return PartClasses(motors, propulsors, CELLS)


def _own_motor(line: int, told: Mapping[str, float]) -> tuple[float, ...]:
    mass, speed = told["mass"], told["speed_constant"]
    usual = generic_motor(mass=mass, speed_constant=speed)
    resistance = told.get("resistance", usual.resistance)
    idle = told.get("no_load_current", usual.no_load_current)
    burst = usual.burst_power
    if "current_limit" in told:
        burst = told["current_limit"] * 11.1
    return mass, speed, resistance, idle, burst, float(line)


def _own_propeller(line: int, told: Mapping[str, float]) -> tuple[float, ...]:
    diameter = told["diameter"]
    inches = diameter / INCH
    mass = told.get("mass", rule("propeller", "mass_nine_inch").value * (inches / 9.0) ** 2.5)
    limit = 145_000.0 / inches * RPM
    return PROPELLER, diameter, told["pitch"], NARROW, told.get("blades", 2.0), 0.0, mass, limit, float(line)


def _head_problems(quantities: Sequence[str], place: str, line: int) -> list[Problem]:
    if "speed_constant" in quantities or {"diameter", "pitch"} <= set(quantities):
        return []
    return [Problem("holds neither motors nor propellers", place, line, allowed="speed_constant_rpmv, or diameter_in")]


def _row_problems(numbers: Mapping[str, float], place: str, line: int) -> list[Problem]:
    if "speed_constant" in numbers:
        return [] if "mass" in numbers else [Problem("a motor needs its mass", place, line)]
    if "diameter" in numbers and "pitch" in numbers:
        return []
    return [Problem("is neither a motor nor a propeller", place, line)]
