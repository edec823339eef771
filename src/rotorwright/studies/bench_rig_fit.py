"""What own bench data say about the Unknowns of a motor with its propeller: a fit that starts from their bands."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputProblems, Problem
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.unknown import nominal_factors, sampled_factors, unknowns
from rotorwright.physics.air.atmosphere import air_state, viscosity_of_air
from rotorwright.physics.power.tables import power_tables
from rotorwright.studies.bench_point import (
    ANSWERS,
    CASE,
    CURRENT,
    POWER_IN,
    SHAFT_TORQUE,
    SPEED,
    THRUST,
    bench_point,
)
from rotorwright.studies.bench_rig import BenchRow, bench_rows
from rotorwright.studies.sampling import normal_scores

Floats = npt.NDArray[np.float64]

OWN_BENCH = "own-bench"
CHANNELS = {
    "rotor_speed": (SPEED, "rad/s"),
    "current": (CURRENT, "A"),
    "electrical_power": (POWER_IN, "W"),
    "thrust": (THRUST, "N"),
    "torque": (SHAFT_TORQUE, "N m"),
    "motor_temperature": (CASE, "K"),
}
"""Measured quantities with their place in an answer and their unit."""
READING_SCATTER = {
    "rotor_speed": 0.02,
    "current": 0.05,
    "electrical_power": 0.05,
    "thrust": 0.045,
    "torque": 0.05,
    "motor_temperature": 0.12,
}
"""Relative 1σ of one reading together with what the laws cannot follow (temperature: of the rise over the air): points
of one published bench scatter by 3 % about smooth curves (Czech Technical University Prague, read secondary);
judgement."""
PRIOR_WIDTH = {"motor_resistance": 1.5}
"""Spread of the prior in scores where it is not one: a catalogue resistance is wrong more often than its band allows
(of two motors on one published bench one is far off)."""
INDEPENDENT_READINGS = 2.0
"""Readings of one bench share their errors: any number of one kind counts as this many."""
HEAVY_TAIL, STICKS_OUT, DISAGREES = 3.0, 4.0, 1.6
MOTOR_NAMES = ("motor_resistance", "motor_speed_constant", "controller_duty")
PROPELLER_NAMES = ("propeller_thrust", "propeller_power", "propeller_zero_thrust_advance")
HEAT_NAMES = ("heat_transfer", "winding_heat_share")
FITTED = MOTOR_NAMES + PROPELLER_NAMES
"""Unknowns that readings of speed, current, thrust narrow; temperatures add `HEAT_NAMES`."""
LEAST_RISE = 5.0
"""A smaller rise over the air tells nothing [K]."""


@dataclass(frozen=True)
class BenchResidual:
    """One reading against the fitted model: both in SI, and the misfit in units of the scatter."""

    line: int
    quantity: str
    measured: float
    fitted: float
    misfit: float
    sticks_out: bool


@dataclass(frozen=True)
class BenchFit:
    """What bench data made of the Unknowns; hand it to `motor_and_propeller_alone` as ``fit``.

    ``scores`` and ``covariance`` are in standard-normal scores of the Unknowns ``names``; ``posterior`` holds their
    medians and 80 % bands; ``scatter`` the relative scatter of each measured quantity about the fit.
    """

    names: tuple[str, ...]
    scores: Floats
    covariance: Floats
    posterior: dict[str, Quantity]
    scatter: dict[str, float]
    residuals: tuple[BenchResidual, ...]
    measured: tuple[str, ...]
    disagreements: tuple[str, ...] = ()
    notes: tuple[str, ...] = field(default=())

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "unknowns": {name: quantity.as_dict() for name, quantity in self.posterior.items()},
            "scatter": dict(self.scatter),
            "readings": len({residual.line for residual in self.residuals}),
            "residuals": [dict(vars(residual)) for residual in self.residuals],
            "disagreements": list(self.disagreements),
            "notes": list(self.notes),
        }


def surroundings_of(row: BenchRow, air: tuple[float, float, float]) -> tuple[float, float, float]:
    """Return density, viscosity, air temperature of one reading; ``air`` where it does not tell its own.

    Raises
    ------
    InputProblems
        If a pressure stands there without a temperature.
    """
    density, viscosity, warmth = air
    if row.temperature is not None:
        warmth, viscosity = row.temperature, viscosity_of_air(row.temperature)
        if row.density is None:
            density, viscosity = air_state(0.0, row.temperature, 0.0, row.pressure or 0.0)
    elif row.pressure is not None and row.density is None:
        raise InputProblems([Problem("goes with a temperature", line=row.line, field="pressure")])
    return row.density or density, viscosity, warmth


def _points(rows: Sequence[BenchRow], air: tuple[float, float, float]) -> Floats:
    return np.array(
        [
            [
                1.0 if row.throttle is None else row.throttle,
                row.voltage or 0.0,
                row.airspeed,
                *surroundings_of(row, air),
                math.inf if row.running_time is None else row.running_time,
                0.0 if row.voltage else (row.rotor_speed or 0.0),
                0.0,
            ]
            for row in rows
        ]
    )


def _readings(rows: Sequence[BenchRow], points: Floats) -> list[tuple[int, str, float]]:
    """Return (row, quantity, measured) of everything measured; temperatures as they are."""
    found = []
    for place, row in enumerate(rows):
        for name in CHANNELS:
            value = getattr(row, name)
            if value is None:
                continue
            if name == "electrical_power" and row.current is not None:
                continue  # the same reading twice: the voltage is given
            if name in ("rotor_speed", "current", "electrical_power", "motor_temperature") and not row.voltage:
                continue  # the speed is what the propeller was turned at
            if name == "motor_temperature" and value - points[place, 5] < LEAST_RISE:
                continue
            found.append((place, name, float(value)))
    return found


def fitted_names(measured: set[str]) -> tuple[str, ...]:
    """Return the Unknowns that readings of these quantities can tell about."""
    names: tuple[str, ...] = ()
    if {"rotor_speed", "current", "electrical_power"} & measured or "motor_temperature" in measured:
        names += MOTOR_NAMES
    names += PROPELLER_NAMES
    if "motor_temperature" in measured:
        names += HEAT_NAMES
    return names


def fit_bench(
    rows: npt.NDArray[Any], labels: Floats, readings: Sequence[Any], *, air: tuple[float, float, float]
) -> BenchFit:
    """Return what bench data say about the Unknowns of a motor with its propeller.

    Parameters
    ----------
    rows : array of base.records.THRUSTER, one row
        The propeller.
    labels : array
        The motor, from `read_motor`.
    readings : sequence of BenchRow or mapping
        See `bench_rows`.
    air : tuple of float
        Density [kg/m³], viscosity [Pa s], air temperature [K] where a reading does not tell its own.

    Returns
    -------
    BenchFit

    Raises
    ------
    InputProblems
        If a reading cannot be used.

    Notes
    -----
    Least squares in standard-normal scores: Σ w (misfit/σ)² + Σ (score/width)²; the Unknowns' own bands are the prior.
    σ is `READING_SCATTER`, widened so that a quantity counts as at most two independent readings; with four readings or
    more those beyond three times their own scatter lose weight. The curvature at the minimum gives the bands. See
    docs/physics/power-bench.md.
    """
    from scipy.optimize import least_squares

    told = bench_rows(readings)
    points = _points(told, air)
    taken = _readings(told, points)
    if not taken:
        raise InputProblems([Problem("holds nothing that tells about motor or propeller", field="fit")])
    measured = {name for _, name, _ in taken}
    names = fitted_names(measured)
    table = unknowns()
    places = [next(k for k, unknown in enumerate(table) if unknown.name == name) for name in names]
    widths = np.array([PRIOR_WIDTH.get(name, 1.0) for name in names])
    tables, factors, answers = power_tables(), nominal_factors(1), np.empty((len(points), ANSWERS))
    at = np.array([place for place, _, _ in taken])
    column = np.array([CHANNELS[name][0] for _, name, _ in taken])
    base = np.array([points[place, 5] if name == "motor_temperature" else 0.0 for place, name, _ in taken])
    size = np.array([value for _, _, value in taken]) - base
    kinds = np.array([name for _, name, _ in taken])
    counts = {name: int(np.sum(kinds == name)) for name in measured}
    width = np.array(
        [READING_SCATTER[name] * math.sqrt(max(1.0, counts[name] / INDEPENDENT_READINGS)) for name in kinds]
    )
    weight = np.ones(len(taken))

    def misfits(scores: Floats) -> Floats:
        for place, score in zip(places, scores, strict=True):
            factors[table[place].name] = table[place].at(float(score))
        for row, point in enumerate(points):
            bench_point(rows, tables, labels, point, factors[0], answers[row])
        found = (answers[at, column] - base) / size - 1.0
        return np.asarray(np.where(np.isfinite(found), np.clip(found, -5.0, 5.0), 5.0), dtype=np.float64)

    scores = np.zeros(len(names))
    scatter = dict.fromkeys(measured, 0.0)
    for _ in range(4 if max(counts.values()) >= 4 else 1):

        def residuals(tried: Floats, weight: Floats = weight) -> Floats:
            return np.concatenate([misfits(tried) / width * np.sqrt(weight), tried / widths])

        found = least_squares(residuals, scores, diff_step=1e-4, x_scale=1.0)
        scores, left = found.x, misfits(found.x)
        weight = np.ones(len(taken))
        for name in measured:
            mine = kinds == name
            spread = float(np.sqrt(np.mean(left[mine] ** 2)))
            if counts[name] >= 4:
                spread = 1.4826 * float(np.median(np.abs(left[mine]))) * math.sqrt(counts[name] / (counts[name] - 2.0))
                floor = max(spread, 0.5 * READING_SCATTER[name])
                weight[mine] = 1.0 / (1.0 + (left[mine] / (HEAVY_TAIL * floor)) ** 2)
            scatter[name] = spread
    covariance = np.linalg.inv(found.jac.T @ found.jac)
    covariance = 0.5 * (covariance + covariance.T)
    left = misfits(scores)
    judged = {name: max(scatter[name], 0.5 * READING_SCATTER[name]) for name in measured}
    return BenchFit(
        names=names,
        scores=scores,
        covariance=covariance,
        posterior=_posterior(names, scores, covariance),
        scatter={name: scatter[name] for name in CHANNELS if name in measured},
        residuals=tuple(
            BenchResidual(
                told[place].line,
                name,
                value,
                float(answers[place, CHANNELS[name][0]]),
                float(miss) / judged[name],
                bool(counts[name] >= 4 and abs(miss) > STICKS_OUT * judged[name]),
            )
            for (place, name, value), miss in zip(taken, left, strict=True)
        ),
        measured=tuple(name for name in CHANNELS if name in measured),
        disagreements=tuple(name for name, score in zip(names, scores, strict=True) if abs(score) > DISAGREES),
        notes=_notes(told, counts),
    )


def factors_after(fit: BenchFit, scores: Floats) -> npt.NDArray[Any]:
    """Return factor rows after a fit for given standard-normal scores, one row each.

    Parameters
    ----------
    fit : BenchFit
    scores : array, shape (cases, unknowns)
        Of all Unknowns; those of the fitted ones are moved and narrowed, a row of zeros gives the most probable case.
    """
    table = unknowns()
    places = [next(k for k, unknown in enumerate(table) if unknown.name == name) for name in fit.names]
    moved = np.array(scores)
    moved[:, places] = fit.scores + moved[:, places] @ np.linalg.cholesky(fit.covariance).T
    return sampled_factors(moved)


def _posterior(names: tuple[str, ...], mean: Floats, covariance: Floats) -> dict[str, Quantity]:
    table = {unknown.name: unknown for unknown in unknowns()}
    scores = mean + normal_scores(256, len(names)) @ np.linalg.cholesky(covariance).T
    return {
        name: from_samples(
            [table[name].at(float(score)) for score in scores[:, k]],
            table[name].at(float(mean[k])),
            table[name].unit,
            sources=(OWN_BENCH,),
        )
        for k, name in enumerate(names)
    }


def _notes(rows: Sequence[BenchRow], counts: dict[str, int]) -> tuple[str, ...]:
    notes = []
    throttles = [1.0 if row.throttle is None else row.throttle for row in rows if row.voltage]
    if throttles and max(throttles) - min(throttles) < 0.3:
        notes.append(
            "all readings are near one throttle: no fit tells a low speed constant from a high resistance then"
        )
    if throttles and any(row.throttle is None for row in rows if row.voltage):
        notes.append("where no throttle is told it was taken as full")
    if "rotor_speed" not in counts and not any(row.rotor_speed for row in rows):
        notes.append("without rpm motor and propeller can hardly be told apart")
    if "thrust" not in counts:
        notes.append("thrust was not measured and keeps most of its band")
    if all(row.airspeed == 0.0 for row in rows):
        notes.append("the bench stood still: thrust at flying speed keeps the band of the propeller's family")
    if "motor_temperature" not in counts:
        notes.append("no temperature, so the heat keeps its wide band")
    return tuple(notes)
