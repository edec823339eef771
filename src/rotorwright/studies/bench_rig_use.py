"""Own bench data in an aeroplane: the thrusters that were on the stand fly with what the stand said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.records import PROPELLER
from rotorwright.base.unknown import unknowns
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.mirrors import twin_name
from rotorwright.physics.air.atmosphere import air_state
from rotorwright.physics.power.propeller import zero_thrust_advance
from rotorwright.studies.bench_point import LABELS
from rotorwright.studies.bench_rig import BenchRow, read_bench_file
from rotorwright.studies.bench_rig_fit import HEAT_NAMES, MOTOR_NAMES, BenchFit, factors_after, fit_bench
from rotorwright.studies.custom_blade import filled

Floats = npt.NDArray[np.float64]

MOTOR_FIELDS = (
    "motor_speed_constant", "motor_resistance", "motor_no_load_current", "motor_no_load_voltage", "motor_mass",
    "controller_resistance", "gear_ratio",
)  # fmt: skip
PROPELLER_FIELDS = ("diameter", "pitch", "family", "blades", "thrust_scale", "power_scale")


@dataclass(frozen=True)
class OnTheBench:
    """One thruster as it stood on the bench, with what its readings said."""

    thruster: str
    file: str
    row: Any
    """Its THRUSTER record."""
    fit: BenchFit
    readings: tuple[BenchRow, ...]


def on_the_bench(aeroplane: Aeroplane) -> tuple[OnTheBench, ...]:
    """Return the thrusters of an aeroplane that name bench data, each with its fit.

    Parameters
    ----------
    aeroplane : Aeroplane
        A what-if of a file is calibrated by what stands in the file: that is what stood on the bench.

    Raises
    ------
    InputProblems
        If a bench file cannot be read or used.
    """
    named = {name: thruster.bench for name, thruster in aeroplane.tables.thruster.items() if thruster.bench}
    if not named:
        return ()
    described = _as_filed(aeroplane)
    site = described.field
    density, viscosity = air_state(site.elevation, site.temperature, site.humidity, site.pressure or 0.0)
    rows = filled(described)
    found = []
    for name, bench in named.items():
        place = _place(aeroplane, str(bench))
        if name not in rows.names.thrusters:
            raise InputError("is not described in the file", place=aeroplane.source, field=f"thruster.{name}")
        row = rows.thrusters[rows.names.thrusters.index(name) :][:1]
        if row["kind"][0] != PROPELLER:
            raise InputError(
                "bench data are for propellers", place=aeroplane.source, field=f"thruster.{name}.bench", found="a fan"
            )
        readings, fit = _fitted(str(place), _stamp(place), row.tobytes(), (density, viscosity, site.temperature))
        found.append(OnTheBench(name, str(bench), row[0], fit, readings))
    return tuple(found)


def labels_of(row: Any) -> Floats:
    """Return the numbers of a thruster's motor in the order of `LABELS`, seen at the propeller's shaft."""
    told = {
        "speed_constant": float(row["motor_speed_constant"]) / float(row["gear_ratio"]),
        "resistance": float(row["motor_resistance"]),
        "no_load_current": float(row["motor_no_load_current"]),
        "no_load_voltage": float(row["motor_no_load_voltage"]),
        "mass": float(row["motor_mass"]),
        "controller_resistance": float(row["controller_resistance"]),
    }
    return np.array([told.get(name, usual) for name, usual, _, _, _ in LABELS], dtype=np.float64)


def _as_filed(aeroplane: Aeroplane) -> Aeroplane:
    source = Path(aeroplane.source)
    if aeroplane.source and source.is_file():
        return _loaded(str(source), _stamp(source))
    return aeroplane


def _place(aeroplane: Aeroplane, bench: str) -> Path:
    """Return where a bench file lies: beside the aircraft file, unless its name is a whole path."""
    return Path(aeroplane.source).parent / bench if aeroplane.source else Path(bench)


def _stamp(place: Path) -> tuple[int, int]:
    try:
        told = place.stat()
    except OSError:
        return 0, 0
    return told.st_mtime_ns, told.st_size


@lru_cache(maxsize=4)
def _loaded(source: str, stamp: tuple[int, int]) -> Aeroplane:
    from rotorwright.design.aircraft_file import load

    return load(source)


@lru_cache(maxsize=8)
def _fitted(
    place: str, stamp: tuple[int, int], raw: bytes, air: tuple[float, float, float]
) -> tuple[tuple[BenchRow, ...], BenchFit]:
    from rotorwright.base.records import THRUSTER

    readings = read_bench_file(place)
    row = np.frombuffer(raw, dtype=THRUSTER).copy()
    return readings, fit_bench(row, labels_of(row[0]), readings, air=air)


def apply_bench(
    aeroplane: Aeroplane, names: Sequence[str], thrusters: Any, factors: Any, scores: Floats, drives: int
) -> None:
    """Let the thrusters that were on the bench have what it said, in place.

    Parameters
    ----------
    aeroplane : Aeroplane
    names : sequence of str
        Of the thruster rows.
    thrusters : array of THRUSTER records, shape (cases, rows)
        Changed: resistance, speed constant, thrust and power scale.
    factors : array of FACTORS records, shape (cases,)
        Changed where one thruster (or a pair of twins) is all there is: throttle map, zero-thrust advance, heat.
    scores : array, shape (cases, unknowns)
        The standard-normal scores behind the factors; zeros for the nominal case.
    drives : int
        How many rotor drives share the heat factors.

    Notes
    -----
    A motor or propeller that a what-if has replaced keeps the band of its label: only what is still as it was on the
    bench is calibrated. Rotor drives keep theirs.
    """
    stood = on_the_bench(aeroplane)
    alone = len(aeroplane.tables.thruster) == 1
    for bench in stood:
        after = factors_after(bench.fit, scores)
        for place, name in enumerate(names):
            if name not in (bench.thruster, twin_name(bench.thruster)):
                continue
            row = thrusters[:, place]
            same_motor = _same(row[0], bench.row, MOTOR_FIELDS) and bool(set(MOTOR_NAMES) & set(bench.fit.names))
            same_propeller = _same(row[0], bench.row, PROPELLER_FIELDS)
            if same_motor:
                row["motor_resistance"] *= after["motor_resistance"] / factors["motor_resistance"]
                row["motor_speed_constant"] *= after["motor_speed_constant"] / factors["motor_speed_constant"]
            if same_propeller:
                thrust = after["propeller_thrust"] / factors["propeller_thrust"]
                row["thrust_scale"] *= thrust
                row["power_scale"] *= thrust * after["propeller_power"] / factors["propeller_power"]
                if not alone:
                    row["power_scale"] *= _advance(row, after) / _advance(row, factors)
        if alone and same_propeller:
            factors["propeller_zero_thrust_advance"] = after["propeller_zero_thrust_advance"]
        if alone and same_motor:
            factors["controller_duty"] = after["controller_duty"]
            if not drives and set(HEAT_NAMES) <= set(bench.fit.names):
                for name in HEAT_NAMES:
                    factors[name] = after[name]


def _advance(row: Any, factors: Any) -> Floats:
    ratio, family = float(row["pitch"][0] / row["diameter"][0]), float(row["family"][0])
    return np.array([zero_thrust_advance(ratio, family, each) for each in factors])


def _same(one: Any, other: Any, fields: Sequence[str]) -> bool:
    return all(float(one[name]) == float(other[name]) for name in fields)


def with_zero_first(scores: Floats) -> Floats:
    """Return scores with the nominal case before them, shape (1 + samples, unknowns)."""
    return np.vstack([np.zeros((1, len(unknowns()))), scores])
