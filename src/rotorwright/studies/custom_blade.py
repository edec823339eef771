"""A propeller with drawn blades: stations of chord and angle from a file, asked alone, and flown."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from rotorwright.base.constants import SEA_LEVEL_DENSITY, SEA_LEVEL_VISCOSITY
from rotorwright.base.errors import InputError, Problem
from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import FilledRows, fill
from rotorwright.design.mirrors import twin_name
from rotorwright.physics.power.blade_element import blade_loads
from rotorwright.physics.power.propeller import static_coefficients
from rotorwright.studies import bench_inputs as check
from rotorwright.studies.bench_propeller import BenchResult
from rotorwright.studies.measured_table import Columns, read_table, read_text

THRUST_BAND, POWER_BAND, NEAR_END = 0.16, 0.22, 0.012
"""80 % half-widths of thrust and power, and of the coefficients near the end of thrust (power: half of it): a polar
fitted to one of two propellers of known plan misses the other by 8–10 % and 10–16 % root mean square."""
BLADE_SOURCES = ("brandt2011", "deters2014")
LEAST_STATIONS = 4


@dataclass(frozen=True)
class BladeResult(BenchResult):
    """A propeller with drawn blades alone."""

    thrust: Quantity
    power: Quantity
    thrust_coefficient: Quantity
    power_coefficient: Quantity
    advance_ratio: Quantity
    efficiency: Quantity


def _whole(held: Sequence[str], place: str, line: int) -> list[Problem]:
    usual = {"radius": "radius_mm", "chord": "chord_mm", "angle": "angle_deg"}
    return [Problem("is missing", place, line, name, "", usual[name]) for name in usual if name not in held]


def _row(numbers: Mapping[str, float], place: str, line: int) -> list[Problem]:
    if len(numbers) < 3:
        return [Problem("is not whole", place, line, "", "", "radius, chord and angle in every line")]
    return []


_LENGTH = {"mm": 1e-3, "in": 0.0254}
COLUMNS = Columns(
    units={
        "radius": _LENGTH,
        "chord": _LENGTH,
        "angle": {"deg": math.pi / 180.0, "rad": 1.0},
    },
    limits={
        "radius": (0.001, 1.5, "1 mm to 1.5 m"),
        "chord": (5e-4, 0.5, "0.5 to 500 mm"),
        "angle": (-0.2, 1.5, "−11 to 86°"),
    },
    ignored=("note", "thickness_mm", "station"),
    whole=_whole,
    row=_row,
)


def read_blade_file(path: str | Path) -> tuple[tuple[float, float, float], ...]:
    """Return the stations of a blade file: radius [m], chord [m], blade angle [rad], from the hub outwards.

    Parameters
    ----------
    path : str or Path
        Text with columns ``radius_mm; chord_mm; angle_deg`` (or in), a station a line; see `read_table`.

    Raises
    ------
    InputProblems
        With the number of the line, if it cannot be read or used.
    """
    return stations_of(
        [(row["radius"], row["chord"], row["angle"]) for _, row in read_table(read_text(path), str(path), COLUMNS)],
        str(path),
    )


def stations_of(stations: Any, place: str) -> tuple[tuple[float, float, float], ...]:
    """Return stations checked: at least four, radius rising.

    Raises
    ------
    InputError
        If they cannot be used.
    """
    if not isinstance(stations, Sequence) or isinstance(stations, str) or len(stations) < LEAST_STATIONS:
        raise InputError("needs more stations", place=place, allowed=f"at least {LEAST_STATIONS}, hub to tip")
    found = []
    for number, station in enumerate(stations, 1):
        if not isinstance(station, Sequence) or len(station) != 3:
            raise InputError("is not a station", place=place, field=f"station {number}", allowed="radius, chord, angle")
        found.append(
            (
                check.number("radius", station[0], low=0.001, high=1.5, unit="m", place=place),
                check.number("chord", station[1], low=5e-4, high=0.5, unit="m", place=place),
                check.number("angle", station[2], low=-0.2, high=1.5, unit="rad", place=place),
            )
        )
    if any(later[0] <= one[0] for one, later in pairwise(found)):
        raise InputError("must rise from the hub to the tip", place=place, field="radius")
    return tuple(found)


def blade_alone(
    *,
    stations: Any,
    blades: int = 2,
    rotor_speed: float,
    airspeed: float = 0.0,
    air_density: float = SEA_LEVEL_DENSITY,
    air_viscosity: float = SEA_LEVEL_VISCOSITY,
) -> BladeResult:
    """Ask a propeller with drawn blades alone, as on a stand or in a tunnel.

    Parameters
    ----------
    stations : sequence
        (radius [m], chord [m], blade angle [rad]) from hub to tip; the last radius is the tip.
    blades : int
        Number of blades.
    rotor_speed, airspeed : float
        [rad/s], [m/s].
    air_density, air_viscosity : float
        [kg/m³], [Pa s].

    Returns
    -------
    result : BladeResult
        thrust [N], power [W], coefficients, advance ratio, efficiency (null at rest and beyond the end of thrust).

    Raises
    ------
    InputProblems
        If an argument cannot be used.

    Notes
    -----
    See `rotorwright.physics.power.blade_element` and docs/physics/power-blades.md. The band is that of the method.
    """
    plan = stations_of(stations, "stations")
    count = check.whole("blades", blades, low=2, high=8)
    speed = check.number("rotor_speed", rotor_speed, low=1.0, high=1e4, unit="rad/s")
    flying = check.number("airspeed", airspeed, low=0.0, high=100.0, unit="m/s")
    density = check.number("air_density", air_density, low=0.2, high=3.0, unit="kg/m³")
    viscosity = check.number("air_viscosity", air_viscosity, low=5.0e-6, high=5.0e-5, unit="Pa s")
    diameter = 2.0 * plan[-1][0]
    loads = _loads(plan, count, speed, flying, density, viscosity)
    turns = speed / (2.0 * math.pi)
    force, watts = density * turns**2 * diameter**4, density * turns**3 * diameter**5
    support = "between data" if 2.0e4 <= loads.reynolds <= 2.0e5 and 0.15 <= diameter <= 0.5 else "beyond data"

    def banded(value: float, scale: float, band: float, near: float, unit: str) -> Quantity:
        half = math.hypot(band * value, near * scale)
        return Quantity(value, value - half, value + half, value, unit, support=support, sources=BLADE_SOURCES)

    thrust, power = loads.thrust, loads.torque * speed
    ratio = flying / (turns * diameter)
    useful = thrust * flying / power if flying > 0.0 and thrust > 0.0 and power > 0.0 else None
    return BladeResult(
        thrust=banded(thrust, force, THRUST_BAND, NEAR_END, "N"),
        power=banded(power, watts, POWER_BAND, 0.5 * NEAR_END, "W"),
        thrust_coefficient=banded(thrust / force, 1.0, THRUST_BAND, NEAR_END, "1"),
        power_coefficient=banded(power / watts, 1.0, POWER_BAND, 0.5 * NEAR_END, "1"),
        advance_ratio=Quantity(ratio, ratio, ratio, ratio, "1", support=support, sources=BLADE_SOURCES),
        efficiency=Quantity(
            useful, None if useful is None else 0.85 * useful, None if useful is None else min(1.12 * useful, 0.9),
            useful, "1", 1.0 if useful else 0.0, support, BLADE_SOURCES, "" if useful else "it makes no useful thrust",
        ),
    )  # fmt: skip


def _loads(plan: Any, blades: int, speed: float, flying: float, density: float, viscosity: float) -> Any:
    table = np.array(plan)
    radius = table[-1, 0]
    return blade_loads(
        diameter=2.0 * radius, radius_shares=table[:, 0] / radius, chord_shares=table[:, 1] / radius,
        angles=table[:, 2], blades=blades, shaft_speed=speed, airspeed=flying, air_density=density,
        air_viscosity=viscosity,
    )  # fmt: skip


@lru_cache(maxsize=16)
def as_label(
    plan: tuple[tuple[float, float, float], ...], blades: int, family: float
) -> tuple[float, float, float, float]:
    """Return diameter, pitch, thrust and power scale of the labelled propeller that does what drawn blades do.

    Parameters
    ----------
    plan : tuple
        Stations as from `read_blade_file`.
    blades : int
        Number of blades.
    family : float
        Code of the family whose shapes over advance ratio are borrowed.

    Notes
    -----
    Pitch from the advance ratio at which the blade elements end their thrust (the family's line J₀ = a + b P/D turned
    round), thrust and power scale from their static coefficients at the family's reference speed, so that the flight's
    propeller law carries them on over airspeed and Reynolds number.
    """
    diameter = 2.0 * plan[-1][0]
    speed = 2.0 * 59.847 / (0.75 * diameter)  # reference speed of the static lines at three quarters of the radius
    density, viscosity = SEA_LEVEL_DENSITY, SEA_LEVEL_VISCOSITY
    turns = speed / (2.0 * math.pi)
    low, high = 0.0, 2.5
    for _ in range(40):
        middle = 0.5 * (low + high)
        if _loads(plan, blades, speed, middle * turns * diameter, density, viscosity).thrust > 0.0:
            low = middle
        else:
            high = middle
    advance = 0.5 * (low + high)
    first, second = (static_coefficients(ratio, family)[2] for ratio in (0.0, 1.0))
    pitch = min(max((advance - first) / (second - first), 0.2), 1.3)
    still = _loads(plan, blades, speed, 0.0, density, viscosity)
    thrust, power, _ = static_coefficients(pitch, family)
    more = 0.5 * blades
    thrust *= more**0.74 * density * turns**2 * diameter**4
    power *= more**0.916 * density * turns**3 * diameter**5
    return diameter, pitch * diameter, still.thrust / thrust, still.torque * speed / power


def filled(aeroplane: Aeroplane) -> FilledRows:
    """Return the record rows of an aeroplane, its drawn blades in place of their labels.

    Raises
    ------
    InputProblems
        If a blade file cannot be read or used.
    """
    rows = fill(aeroplane)
    drawn = {name: str(thruster.blade) for name, thruster in aeroplane.tables.thruster.items() if thruster.blade}
    if not drawn:
        return rows
    thrusters = rows.thrusters.copy()
    for name, file in drawn.items():
        place = Path(aeroplane.source).parent / file if aeroplane.source else Path(file)
        plan = read_blade_file(place)
        for row, told in zip(thrusters, rows.names.thrusters, strict=True):
            if told in (name, twin_name(name)):
                diameter, pitch, thrust, power = as_label(plan, int(row["blades"]), float(row["family"]))
                row["diameter"], row["pitch"] = diameter, pitch
                row["thrust_scale"] *= thrust
                row["power_scale"] *= power
    return rows._replace(thrusters=thrusters)
