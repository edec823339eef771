"""What own rig data say about the Unknowns of a rotor: a fit that starts from their bands and narrows them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputProblems, Problem
from rotorwright.base.jit import jit
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.records import DRUM, PLATE
from rotorwright.base.unknown import nominal_factors, sampled_factors, unknowns
from rotorwright.physics.air.atmosphere import air_state, viscosity_of_air
from rotorwright.physics.rotor.bearings import bearing_friction
from rotorwright.physics.rotor.freewheel import freewheel_speed
from rotorwright.physics.rotor.loads import rotor_load_parts
from rotorwright.physics.rotor.tables import RotorTables, rotor_tables
from rotorwright.studies.rotor_rig import RigRow, rig_rows
from rotorwright.studies.sampling import normal_scores

Floats = npt.NDArray[np.float64]

CHANNELS = ("lift", "drag", "torque", "rotor_speed")
LIFT, DRAG, TORQUE, SPEED = range(4)
OWN_RIG = "own-rig"
AIRSPEED_ERROR, FORCE_ERROR, TORQUE_ERROR = 0.03, 0.02, 0.03
"""One standard deviation of what a rig has wrong in all its readings alike (common practice: pitot 3–5 % below 10 m/s,
load cells 1–2 %)."""
USUAL_SCATTER, LEAST_SCATTER = 0.05, 0.01
"""Scatter of a reading that is assumed where there are too few to tell, and the least that is believed."""
INDEPENDENT = 8
"""Readings of one quantity count as at most so many independent ones: misfits of neighbours are alike."""
HEAVY_TAIL, STICKS_OUT, DISAGREES = 3.0, 4.0, 1.6
FLOOR = 0.15
"""Readings smaller than this share of the largest are weighed as if they were as large as that."""
ROUNDS = 8


@dataclass(frozen=True)
class Residual:
    """One reading against the fitted model: both in SI, and the misfit in units of the scatter."""

    line: int
    quantity: str
    measured: float
    fitted: float
    misfit: float
    sticks_out: bool


@dataclass(frozen=True)
class RotorFit:
    """What rig data made of the Unknowns; hand it to `rotor_alone` or `rotor_start` as ``fit``.

    ``scores`` and ``covariance`` are in standard-normal scores of the Unknowns ``names``; ``posterior`` holds their
    medians and 80 % bands; ``rig_errors`` what the fit thinks the rig has wrong (relative); ``ranges`` the spin ratios
    and Reynolds numbers that were measured.
    """

    names: tuple[str, ...]
    scores: Floats
    covariance: Floats
    posterior: dict[str, Quantity]
    correlation: Floats
    rig_errors: dict[str, float]
    scatter: dict[str, float]
    residuals: tuple[Residual, ...]
    ranges: dict[str, tuple[float, float]]
    measured: tuple[str, ...]
    disagreements: tuple[str, ...] = ()
    notes: tuple[str, ...] = field(default=())

    def covers(self, quantity: str, spin_ratio: float, reynolds_number: float) -> bool:
        """Return whether the rig measured that quantity near this state (a tenth beyond its ranges)."""
        if quantity not in self.measured:
            return False
        for name, value in (("spin_ratio", spin_ratio), ("reynolds_number", reynolds_number)):
            low, high = self.ranges[name]
            if not low - 0.1 * abs(low) <= value <= high + 0.1 * abs(high):
                return False
        return True

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "unknowns": {name: quantity.as_dict() for name, quantity in self.posterior.items()},
            "correlation": {"names": list(self.names), "matrix": self.correlation.tolist()},
            "rig_errors": dict(self.rig_errors),
            "scatter": dict(self.scatter),
            "ranges": {name: list(pair) for name, pair in self.ranges.items()},
            "readings": len({residual.line for residual in self.residuals}),
            "residuals": [vars(residual) | {} for residual in self.residuals],
            "disagreements": list(self.disagreements),
            "notes": list(self.notes),
        }


@jit
def _rig_batch(rotor: Any, tables: RotorTables, points: Floats, stretch: float, factors: Any, out: Floats) -> None:
    for row in range(points.shape[0]):
        airspeed = points[row, 0] * stretch
        speed, density, viscosity = points[row, 1], points[row, 3], points[row, 4]
        out[row, 3] = speed
        if points[row, 2] > 0.0:
            out[row, 3], _ = freewheel_speed(rotor, tables, airspeed, density, viscosity, factors)
        if points[row, 2] > 1.0:
            speed = out[row, 3]
        parts = rotor_load_parts(rotor, tables, airspeed, speed, density, viscosity, factors)
        out[row, 0] = parts[0]
        out[row, 1] = parts[1] + parts[2] + parts[3]
        out[row, 2] = parts[4] + parts[5] - bearing_friction(rotor, speed, factors)


def fitted_names(rotor: Any, measured: set[str]) -> tuple[str, ...]:
    """Return the Unknowns that readings of these quantities can tell about, for a kind of rotor."""
    names: list[str] = []
    discs = rotor["end_discs"] + rotor["middle_discs"] > 0
    if rotor["kind"] == DRUM:
        if {"lift", "drag"} & measured:
            names += ["drum_lift", "drum_low_spin_lift", "drum_end_cap"]
            names += (["turning_disc_gain"] if rotor["discs_turn"] == 1.0 else ["fixed_disc_gain"]) if discs else []
        names += ["drum_profile_drag", "span_efficiency"] if "drag" in measured else []
        names += ["skin_friction"] if "torque" in measured else []
        names += ["disc_friction"] if "torque" in measured and discs else []
        return tuple(names)
    vane = "plate" if rotor["section"] == PLATE else "vane"
    names += [f"{vane}_lift", "span_efficiency"] if {"lift", "drag"} & measured else []
    names += [f"{vane}_drag"] if "drag" in measured else []
    names += [f"{vane}_torque"] if {"torque", "rotor_speed"} & measured else []
    names += [f"{vane}_freewheel_ratio"]
    names += ["stage_torque"] if rotor["stages"] > 1.5 and {"torque", "rotor_speed"} & measured else []
    return tuple(names)


def _points(rotor: Any, rows: Sequence[RigRow], density: float, viscosity: float) -> Floats:
    """Return airspeed, rotor speed, whether it is free (1: its speed was read, 2: not), density, viscosity per row."""
    points, problems = [], []
    for row in rows:
        there, thick = row.density or density, viscosity
        if row.temperature is not None:
            thick = viscosity_of_air(row.temperature)
            if row.density is None:
                there, thick = air_state(0.0, row.temperature, 0.0, row.pressure or 0.0)
        elif row.pressure is not None and row.density is None:
            problems.append(Problem("goes with a temperature", line=row.line, field="pressure"))
        free = 0.0
        if rotor["kind"] != DRUM and row.torque in (None, 0.0) and (row.rotor_speed is None or row.torque == 0.0):
            free = 1.0 if row.rotor_speed is not None else 2.0
        elif row.rotor_speed is None:
            allowed = "a drum's rotor speed" if rotor["kind"] == DRUM else "a rotor speed wherever there is a torque"
            problems.append(Problem("is missing", line=row.line, field="rotor_speed", allowed=allowed))
        points.append((row.airspeed, row.rotor_speed or 0.0, free, there, thick))
    if problems:
        raise InputProblems(problems[:20])
    return np.array(points)


def _readings(rows: Sequence[RigRow], points: Floats) -> list[tuple[int, int, float]]:
    """Return (row, channel, measured) of everything that was measured."""
    readings = []
    for place, row in enumerate(rows):
        if row.lift is not None:
            readings.append((place, LIFT, row.lift))
        if row.drag is not None:
            readings.append((place, DRAG, row.drag))
        if points[place, 2] == 0.0 and row.torque is not None:
            readings.append((place, TORQUE, row.torque))
        if points[place, 2] == 1.0 and row.rotor_speed is not None:
            readings.append((place, SPEED, row.rotor_speed))
    return readings


def fit_rotor(rotor: Any, readings: Sequence[Any], *, air_density: float, air_viscosity: float) -> RotorFit:
    """Return what rig data say about the Unknowns of a rotor.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
        Its bearing friction is taken as stated.
    readings : sequence of RigRow or mapping
        See `rig_rows`: airspeed [m/s] and any of rotor_speed [rad/s], lift, drag [N], torque [N m] that the shaft gives
        (0: the rotor turned freely), temperature [K], pressure [Pa], density [kg/m³].
    air_density, air_viscosity : float
        [kg/m³], [Pa s], where a reading does not tell its own.

    Returns
    -------
    RotorFit

    Raises
    ------
    InputProblems
        If a reading cannot be used.

    Notes
    -----
    Least squares in standard-normal scores: Σ w (misfit/σ)² + Σ score² + Σ rig error²; the Unknowns' own bands are the
    prior, three errors common to all readings (airspeed 3 %, forces 2 %, torque 3 %) are fitted along. σ is the scatter
    of the misfits (1.48 median, at least 1 %; 5 % with fewer than four readings), widened so that a quantity counts as
    at most eight independent readings; readings beyond three σ lose weight. The curvature at the minimum gives the
    bands. See docs/physics/rotor-rig.md.
    """
    rows = rig_rows(readings)
    points = _points(rotor, rows, air_density, air_viscosity)
    taken = _readings(rows, points)
    measured = {CHANNELS[channel] for _, channel, _ in taken}
    return _solve(rotor, rows, points, taken, fitted_names(rotor, measured))


def _solve(
    rotor: Any,
    rows: Sequence[RigRow],
    points: Floats,
    taken: list[tuple[int, int, float]],
    names: tuple[str, ...],
) -> RotorFit:
    from scipy.optimize import least_squares

    table = unknowns()
    places = [next(k for k, unknown in enumerate(table) if unknown.name == name) for name in names]
    factors, tables, out = nominal_factors(1), rotor_tables(), np.empty((len(points), 4))
    factors["bearing_friction"] = 1.0
    at = np.array([place for place, _, _ in taken])
    channel = np.array([which for _, which, _ in taken])
    value = np.array([number for _, _, number in taken])
    size = np.abs(value)
    for which in range(4):
        mine = channel == which
        if mine.any():
            size[mine] = np.maximum(size[mine], FLOOR * max(float(size[mine].max()), 1e-9))
    count, known = len(names), np.zeros(4)

    def misfits(scores: Floats) -> Floats:
        for place, score in zip(places, scores, strict=False):
            factors[table[place].name] = table[place].at(float(score))
        airspeed, force, torque = 1.0 + np.array([AIRSPEED_ERROR, FORCE_ERROR, TORQUE_ERROR]) * scores[count:]
        _rig_batch(rotor, tables, points, float(airspeed), factors[0], out)
        reads = np.array([force, force, torque, 1.0])[channel]
        return (out[at, channel] * reads - value) / size

    found = np.zeros(count + 3)
    weight = np.ones(len(taken))
    scatter = np.full(4, USUAL_SCATTER)
    for _ in range(ROUNDS):
        crowd = np.array([math.sqrt(max(1.0, np.sum(channel == which) / INDEPENDENT)) for which in range(4)])
        width = (scatter * crowd)[channel] / np.sqrt(weight)

        def residuals(scores: Floats, width: Floats = width) -> Floats:
            return np.concatenate([misfits(scores) / width, scores])

        answer = least_squares(residuals, found, diff_step=1e-4, x_scale=1.0)
        found = answer.x
        left = misfits(found)
        for which in range(4):
            mine = left[channel == which]
            known[which] = len(mine)
            if len(mine) >= 4:
                spread = 1.4826 * float(np.median(np.abs(mine))) * math.sqrt(len(mine) / (len(mine) - 2.0))
                scatter[which] = max(spread, LEAST_SCATTER)
            elif len(mine):
                scatter[which] = max(USUAL_SCATTER, float(np.sqrt(np.mean(mine**2))))
        weight = 1.0 / (1.0 + (left / (HEAVY_TAIL * scatter[channel])) ** 2)
    covariance = np.linalg.inv(answer.jac.T @ answer.jac)
    left = misfits(found)
    residual_rows = tuple(
        Residual(
            rows[place].line,
            CHANNELS[which],
            number,
            number + float(miss) * float(one),
            float(miss) / scatter[which],
            bool(abs(miss) > STICKS_OUT * scatter[which]),
        )
        for (place, which, number), miss, one in zip(taken, left, size, strict=True)
    )
    speeds = out[:, 3] * 0.5 * float(rotor["diameter"]) / points[:, 0]
    reynolds = points[:, 0] * float(rotor["diameter"]) * points[:, 3] / points[:, 4]
    ranges = {"spin_ratio": (float(speeds.min()), float(speeds.max()))}
    ranges["reynolds_number"] = (float(reynolds.min()), float(reynolds.max()))
    ranges["airspeed"] = (float(points[:, 0].min()), float(points[:, 0].max()))
    mean, block = found[:count], covariance[:count, :count]
    deviation = np.sqrt(np.diag(block))
    measured = {CHANNELS[which] for which in range(4) if known[which]}
    if {"torque", "rotor_speed"} & measured:
        measured |= {"torque", "rotor_speed"}
    return RotorFit(
        names=names,
        scores=mean,
        covariance=block,
        posterior=_posterior(names, mean, block),
        correlation=block / np.outer(deviation, deviation),
        rig_errors={
            "airspeed": AIRSPEED_ERROR * float(found[count]),
            "force": FORCE_ERROR * float(found[count + 1]),
            "torque": TORQUE_ERROR * float(found[count + 2]),
        },
        scatter={CHANNELS[which]: float(scatter[which]) for which in range(4) if known[which]},
        residuals=residual_rows,
        ranges=ranges,
        measured=tuple(name for name in CHANNELS if name in measured),
        disagreements=tuple(name for name, score in zip(names, mean, strict=True) if abs(score) > DISAGREES),
        notes=_notes(ranges, len(rows), known),
    )


def fitted_factors(fit: RotorFit, samples: int, seed: int) -> npt.NDArray[Any]:
    """Return factor rows after a fit, the most probable one first."""
    table = unknowns()
    places = [next(k for k, unknown in enumerate(table) if unknown.name == name) for name in fit.names]
    scores = np.vstack([np.zeros((1, len(table))), normal_scores(samples, len(table), seed)])
    root = np.linalg.cholesky(0.5 * (fit.covariance + fit.covariance.T))
    scores[:, places] = fit.scores + scores[:, places] @ root.T
    return sampled_factors(scores)


def _posterior(names: tuple[str, ...], mean: Floats, covariance: Floats) -> dict[str, Quantity]:
    table = {unknown.name: unknown for unknown in unknowns()}
    scores = mean + normal_scores(256, len(names)) @ np.linalg.cholesky(0.5 * (covariance + covariance.T)).T
    return {
        name: from_samples(
            [table[name].at(float(score)) for score in scores[:, k]],
            table[name].at(float(mean[k])),
            table[name].unit,
            sources=(OWN_RIG,),
        )
        for k, name in enumerate(names)
    }


def _notes(ranges: dict[str, tuple[float, float]], count: int, known: Floats) -> tuple[str, ...]:
    notes = []
    slow, fast = ranges["airspeed"]
    if fast < 1.5 * slow:
        notes.append("all readings are near one airspeed: measure at two that differ by half or more")
    low, high = ranges["spin_ratio"]
    if high - low < 0.25 * max(abs(high), abs(low)) and known[TORQUE] > 0:
        notes.append("all readings are near one spin ratio: brake or drive the rotor to widen the range")
    if count < 6:
        notes.append("few readings: repeat each point, upwind and downwind")
    if not known[LIFT] or not known[DRAG]:
        notes.append("lift and drag together tell most: what was not measured keeps the band it had")
    return tuple(notes)
