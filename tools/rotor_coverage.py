"""Print how often the published rotor figures lie inside our 80 % bands, and how often with their source left out.

Run ``python tools/rotor_coverage.py``. The first share uses the laws as they are. The second repeats the fit of a law
without the source (or run) that is then predicted; bands stay as they are. Laws that lean on one source only fall back
on what a builder would have assumed without it, said in the last column. Results are quoted in
docs/physics/rotor-evidence.md.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from scipy.interpolate import PchipInterpolator
from scipy.optimize import least_squares

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

import check_value_files as checks  # noqa: E402
from rotorwright.base.curves import curve  # noqa: E402
from rotorwright.physics.rotor.tables import (  # noqa: E402
    BUCKET_TORQUE,
    OVERLAP_SLOPE,
    OVERLAP_TORQUE,
    QUIET_DRAG,
    QUIET_LIFT,
    SLOW_BUCKET_TORQUE,
    TURBULENT_LIFT,
    RotorTables,
    packed,
    rotor_tables,
)
from rotorwright.studies import bench_rotor  # noqa: E402

Refit = tuple[RotorTables, dict[str, float]]
KNOTS = np.array([0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0])
PLATE_FITS = {5.05: (3.7e4, 0.488, 0.125), 8.73: (6.4e4, 0.453, 0.117), 10.2: (7.5e4, 0.463, 0.110)}
PLATE_FITS |= {11.7: (8.6e4, 0.461, 0.105), 13.2: (9.7e4, 0.457, 0.099)}
"""Airspeed: Reynolds number, freewheel ratio and peak of the law fitted to one run of Aqeel 2025."""
VANE_LINES = {"run14": (0.0, 0.556, 0.340), "run29": (0.10, 0.543, 0.302), "run21": (0.15, 0.548, 0.312)}
VANE_LINES |= {"run37": (0.20, 0.522, 0.304)}
"""Run: overlap over bucket diameter, and the working line fitted to one run of Sheldahl et al. 1978."""


def with_curve(tables: RotorTables, place: int, table: np.ndarray) -> RotorTables:
    """Return tables with one curve exchanged."""
    curves = list(tables.curves)
    curves[place] = table
    return tables._replace(curves=packed(curves))


def rotor_rows() -> list[checks.Row]:
    """Return the rows of experiments and computations that a bench call answers."""
    kinds = ("experiment", "calculation")
    return [row for row in checks.rows() if row.room == "rotor" and row.kind in kinds and row.status != "skip"]


def section_lift(row: checks.Row) -> float:
    """Return the section lift of a row, freed of the plateau of its span."""
    if row.inputs.get("two_dimensional"):
        return row.expected
    share = row.expected / (0.91 * row.inputs["span"] / row.inputs["diameter"])
    return float(row.expected / (1.0 - share**4) ** 0.25)


def fitted_curve(rows: list[checks.Row]) -> np.ndarray:
    """Return a smooth lift curve through the section lifts of ``rows``."""
    spin = np.array([row.inputs["spin_ratio"] for row in rows])
    lift = np.array([section_lift(row) for row in rows])

    def residual(logs: np.ndarray) -> np.ndarray:
        shape = PchipInterpolator(np.concatenate([[0.0], KNOTS]), np.concatenate([[0.0], np.exp(logs)]))
        bend = np.diff(logs, 2)  # weak: it only carries the curve over gaps
        return np.concatenate([(shape(spin) - lift) / (0.1 * np.abs(lift) + 0.1), 0.5 * bend])

    fit = least_squares(residual, np.log(2.2 * KNOTS))
    return curve(np.concatenate([[0.0], KNOTS]), np.concatenate([[0.0], np.exp(fit.x)]))


def of(*keys: str, where: Callable[[checks.Row], bool] = lambda row: True) -> list[checks.Row]:
    """Return the lift rows of some sources."""
    chosen = [row for row in rotor_rows() if row.key in keys and row.quantity == "lift_coefficient" and where(row)]
    return [row for row in chosen if row.expected > 0.0]


def without(key: str, group: str) -> tuple[Refit, str] | None:
    """Return tables and factor scales fitted without one source, and how; None where no fit leans on it."""
    tables = rotor_tables()
    low = {"swanson1961": lambda row: "re36k" in row.id or row.inputs["spin_ratio"] >= 0.8}
    quiet = ("swanson1961", "reid1924", "tokumaru1993")
    turbulent = ("bordogna2019", "ostman2023")
    if key in quiet:
        rest = [row for name in quiet if name != key for row in of(name, where=low.get(name, lambda row: True))]
        tables = with_curve(tables, QUIET_LIFT, fitted_curve(rest))
        if key == "swanson1961":
            return (tables._replace(dip=np.zeros_like(tables.dip)), {}), "quiet curve without it, no lift loss known"
        return (tables, {}), "quiet curve fitted without it"
    if key in turbulent and group == "lift_coefficient":
        rest = of(*[name for name in turbulent if name != key], where=lambda row: "re180k" not in row.id)
        return (with_curve(tables, TURBULENT_LIFT, fitted_curve(rest)), {}), "turbulent curve fitted without it"
    if key == "badalamenti2008" and group == "lift_coefficient":
        return (tables, {"drum_end_cap": 0.872 / 0.91}), "plateau from Prandtl 1925 alone"
    if key == "badalamenti2008":
        karabelas = curve((0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 12.0), (1.03, 0.96, 0.67, 0.29, 0.13, 0.10, 0.09))
        scales = {"span_efficiency": 0.75 / 0.60}
        return (with_curve(tables, QUIET_DRAG, karabelas), scales), "drag from Karabelas 2010, efficiency from discs"
    if key == "karabelas2010" and group == "drag_coefficient":
        thom = curve((0.0, 0.3, 0.5, 0.75, 1.0, 1.25, 1.44, 12.0), (0.94, 0.98, 0.90, 0.70, 0.61, 0.5, 0.4, 0.4))
        return (with_curve(tables, QUIET_DRAG, thom), {}), "drag from Badalamenti & Prince 2008, held beyond 1.44"
    if key == "prandtl1925":
        return (tables, {"drum_end_cap": 0.927 / 0.91}), "plateau from Badalamenti & Prince 2008 alone"
    if key == "prandtl1926":
        return (tables, {"turning_disc_gain": 0.84 / 1.3}), "disc gain from the fit of Milutinovic et al. 2015"
    if key == "badalamenti2010":
        scales = {"fixed_disc_gain": 0.75 / 0.4, "span_efficiency": 0.60 / 0.75}
        return (tables, scales), "fixed discs taken as half as good as turning ones, plain efficiency"
    if group in VANE_LINES:
        rest = {name: line for name, line in VANE_LINES.items() if name != group}
        ratios, torques, slopes = zip(*sorted(rest.values()), strict=True)
        torque, slope = curve(ratios, torques), curve(ratios, slopes)
        return (
            with_curve(with_curve(tables, OVERLAP_TORQUE, torque), OVERLAP_SLOPE, slope),
            {},
        ), "working line from the other runs"
    if key == "kamoji2008":
        scales = {"vane_torque": 0.545 / 0.463, "vane_freewheel_ratio": (0.545 / 0.307) / (0.463 / 0.346)}
        return (
            with_curve(tables, SLOW_BUCKET_TORQUE, tables.curves[BUCKET_TORQUE]),
            scales,
        ), "no Reynolds trend known without it"
    if key == "aqeel2025":
        speed = float(group.removeprefix("at "))
        rest_fits = [fit for name, fit in PLATE_FITS.items() if name != speed]
        trend = np.polyfit([math.log(fit[0]) for fit in rest_fits], [math.log(fit[2]) for fit in rest_fits], 1)
        reynolds = PLATE_FITS[speed][0]
        peak = math.exp(np.polyval(trend, math.log(reynolds))) / (0.105 * (reynolds / 8.2e4) ** -0.24)
        running = float(np.mean([fit[1] for fit in rest_fits])) / 0.46
        return (tables, {"plate_torque": peak, "plate_freewheel_ratio": running**2.5}), "law fitted to the other speeds"
    return None


def band(row: checks.Row, refit: Refit) -> tuple[float, float]:
    """Return our band for a row with other tables and factors than the shipped ones."""
    tables, scales = refit
    shipped_tables, shipped_factors = bench_rotor.rotor_tables, bench_rotor.bench_factors

    def factors(*arguments: Any) -> Any:
        rows = shipped_factors(*arguments)
        for name, scale in scales.items():
            rows[name] *= scale
        return rows

    bench_rotor.rotor_tables, bench_rotor.bench_factors = (lambda: tables), factors  # type: ignore[assignment]
    try:
        quantity = checks.pick(bench_rotor.rotor_alone(**row.inputs), row.quantity)
    finally:
        bench_rotor.rotor_tables, bench_rotor.bench_factors = shipped_tables, shipped_factors
    return quantity.low, quantity.high


def groups() -> dict[tuple[str, str], list[checks.Row]]:
    """Return the rows by source and by what is left out together."""
    table: dict[tuple[str, str], list[checks.Row]] = {}
    for row in rotor_rows():
        name = row.quantity
        if row.key == "sheldahl1978":
            name = row.id.split("-")[1]
        elif row.key == "aqeel2025":
            name = f"at {row.inputs['airspeed']:g}"
        elif row.key == "bordogna2019" and name.startswith("torque"):
            name = "torque"
        elif row.key == "bordogna2019" and name == "drag_coefficient":
            name = "drag at mid-span" if row.inputs["spin_ratio"] > 0.5 else name
        table.setdefault((row.key, name), []).append(row)
    return table


def main() -> None:
    """Print the table."""
    print("| source | rows | inside | band width | left out: inside | without it |")
    print("|---|--:|--:|--:|--:|---|")
    sums = {"all": [0, 0, 0, 0], "experiments": [0, 0, 0, 0]}
    for (key, group), rows in groups().items():
        shipped = [band(row, (rotor_tables(), {})) for row in rows]
        inside = sum(low <= row.expected <= high for row, (low, high) in zip(rows, shipped, strict=True))
        widths = [(high - low) / max(abs(row.expected), 0.2) for row, (low, high) in zip(rows, shipped, strict=True)]
        refit = without(key, group)
        left, how = "–", "no fit leans on it"
        count = None
        if refit is not None:
            bands = [band(row, refit[0]) for row in rows]
            count = sum(low <= row.expected <= high for row, (low, high) in zip(rows, bands, strict=True))
            left, how = f"{count}", refit[1]
        print(f"| {key}, {group} | {len(rows)} | {inside} | {np.mean(widths):.2f} | {left} | {how} |")
        for name, total in sums.items():
            if group == "drag at mid-span" or (name == "experiments" and rows[0].kind != "experiment"):
                continue
            total[0] += len(rows)
            total[1] += inside
            if count is not None:
                total[2] += len(rows)
                total[3] += count
    for name, (number, inside, tried, count) in sums.items():
        print(f"{name} (without drag at mid-span): inside {inside} of {number}; left out {count} of {tried}")


if __name__ == "__main__":
    main()
