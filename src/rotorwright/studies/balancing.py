"""Balancing from the maker's readings: several planes with phase, or one plane by amplitudes alone."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError, InputProblems, Problem
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.physics.structure.balance_planes import (
    correction,
    fit_amplitudes,
    fit_influence,
    residual,
    split_on_holes,
)

Floats = npt.NDArray[np.float64]
Complexes = npt.NDArray[np.complex128]

SOURCES = ("goodman1964",)
FOUR_RUN_SOURCES = ("mechanics",)
SPREAD = 0.02
"""One standard deviation of a reading over the sensor's mean amplitude, unless told (judgement: phone or hobby sensor
on a steady rotor)."""
NOTICEABLE = 0.3
"""A trial should move some reading by this share of its amplitude (common practice: 30 % or 30°)."""
SHAKY = 30.0
"""Condition of the influence matrix above which small errors of the readings grow into large corrections."""
MISFIT = 0.1


@dataclass(frozen=True)
class Correction:
    """What to set on one plane: amount (mass times radius) and angle, in the sense in which trials were counted."""

    plane: int
    amount: Quantity
    angle: Quantity
    holes: tuple[tuple[int, float], ...] = ()
    """Available places that are used, counted from 0, with the amount on each."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "plane": self.plane,
            "amount": self.amount.as_dict(),
            "angle": self.angle.as_dict(),
            "holes": [{"place": place, "amount": amount} for place, amount in self.holes],
        }


@dataclass(frozen=True)
class BalancePlanes:
    """Corrections for every plane, what they should leave, and what the runs told about the rotor."""

    corrections: tuple[Correction, ...]
    """To the rotor as found, every trial mass taken off."""
    still_to_add: tuple[Correction, ...]
    """To the rotor as the last run left it (differs only if trial masses stay on)."""
    as_found: tuple[tuple[float, float], ...]
    """Amplitude and phase [rad] of each sensor."""
    residuals: tuple[Quantity, ...]
    """Vibration each sensor should show after the correction."""
    reduction: Quantity
    """Root mean square of the residuals over that as found."""
    influence: tuple[tuple[tuple[float, float], ...], ...]
    """Amplitude and phase [rad] per unbalance: sensors, then planes."""
    notes: tuple[str, ...] = ()

    @property
    def amounts(self) -> tuple[float, ...]:
        """Return the nominal amount on each plane."""
        return tuple(each.amount.nominal or 0.0 for each in self.corrections)

    @property
    def angles(self) -> tuple[float, ...]:
        """Return the nominal angle on each plane [rad], 0 to 2π."""
        return tuple(each.angle.nominal or 0.0 for each in self.corrections)

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "corrections": [each.as_dict() for each in self.corrections],
            "still_to_add": [each.as_dict() for each in self.still_to_add],
            "as_found": [list(each) for each in self.as_found],
            "residuals": [each.as_dict() for each in self.residuals],
            "reduction": self.reduction.as_dict(),
            "influence": [[list(each) for each in row] for row in self.influence],
            "notes": list(self.notes),
        }


def balance_planes(
    *,
    runs: Sequence[Mapping[str, Any]],
    trial_left_on: bool = False,
    holes: Sequence[Sequence[float]] | None = None,
    weights: Sequence[float] | None = None,
    reading_spread: float = SPREAD,
    unit: str = "kg m",
    vibration_unit: str = "m/s",
    samples: int = 256,
    seed: int = 0,
) -> BalancePlanes:
    """Return the correction of every plane from runs with trial masses.

    Parameters
    ----------
    runs : sequence of mapping
        In the order they were made. ``readings``: one per sensor, each a complex number or (amplitude, phase [rad]).
        A run with a trial mass also has ``plane`` (counted from 0) and ``trial`` (mass times radius: a complex number,
        (amount, angle [rad]) or an amount at angle 0); or ``trials``, one entry per plane. The first run has none.
    trial_left_on : bool
        True if each trial mass stayed on during the runs after it.
    holes : sequence of sequence of float, optional
        For each plane the angles of the places that can take mass [rad].
    weights : sequence of float, optional
        How much each sensor counts.
    reading_spread : float
        One standard deviation of a reading, over the mean amplitude of its sensor.
    unit : str
        Unit of the trials, told again with the answer.
    vibration_unit : str
        Unit of the readings.
    samples, seed : int
        Draws of the reading errors behind the bands.

    Returns
    -------
    BalancePlanes

    Raises
    ------
    InputProblems
        If the runs cannot be used or do not tell the planes apart.

    Notes
    -----
    Influence coefficients by least squares over all runs; correction w = −(αᴴα)⁻¹αᴴ A₀. Phases and angles are counted
    in one sense, both with or both against the rotation. Validity: one speed, one mounting, vibration that follows the
    unbalance in proportion. Source: Goodman 1964.
    """
    trials, readings = _read_runs(runs, trial_left_on)
    planes, sensors = trials.shape[1], readings.shape[1]
    if sensors < planes:
        raise InputError("are fewer than the planes", field="readings", found=f"{sensors} for {planes} planes")
    places = _read_holes(holes, planes)
    weigh = None if weights is None else np.asarray(weights, dtype=np.float64)
    if weigh is not None and (weigh.shape != (sensors,) or not (weigh > 0.0).all()):
        raise InputError("needs one positive number per sensor", field="weights")
    try:
        found = fit_influence(trials, readings)
    except np.linalg.LinAlgError:
        raise InputError(
            "do not tell the planes apart", field="runs", allowed="a run as found and one with a trial on each plane"
        ) from None
    wanted = correction(found.as_found, found.influence, weigh)
    left = residual(found.as_found, found.influence, wanted)
    drawn, drawn_left = _draw(trials, readings, weigh, reading_spread, samples, seed, found.influence, found.as_found)
    on_it = trials[-1] if trial_left_on else np.zeros(planes, dtype=np.complex128)
    before = math.sqrt(float(np.mean(np.abs(found.as_found) ** 2)))
    after = math.sqrt(float(np.mean(np.abs(left) ** 2)))
    spread_after = np.sqrt(np.mean(np.abs(drawn_left) ** 2, axis=1)) / before if before > 0.0 else np.zeros(samples)
    return BalancePlanes(
        corrections=tuple(_correction(k, wanted[k], drawn[:, k], unit, places[k]) for k in range(planes)),
        still_to_add=tuple(
            _correction(k, wanted[k] - on_it[k], drawn[:, k] - on_it[k], unit, places[k]) for k in range(planes)
        ),
        as_found=tuple(_polar(number) for number in found.as_found),
        residuals=tuple(
            from_samples(np.abs(drawn_left[:, k]), abs(left[k]), vibration_unit, sources=SOURCES)
            for k in range(sensors)
        ),
        reduction=from_samples(spread_after, after / before if before > 0.0 else 0.0, "1", sources=SOURCES),
        influence=tuple(tuple(_polar(number) for number in row) for row in found.influence),
        notes=_notes(trials, readings, found.influence, found.misfit),
    )


def _draw(
    trials: Complexes, readings: Complexes, weights: Floats | None, spread: float, samples: int, seed: int,
    influence: Complexes, as_found: Complexes,
) -> tuple[Complexes, Complexes]:  # fmt: skip
    """Return corrections with erring readings, and what each would really leave."""
    runs = len(trials)
    random = np.random.default_rng([seed, 1])
    sigma = spread * np.sqrt(np.mean(np.abs(readings) ** 2, axis=0)) / math.sqrt(2.0)
    errors = random.standard_normal((2, samples, *readings.shape)) * sigma
    erring = readings + errors[0] + 1j * errors[1]
    solver = np.linalg.pinv(np.concatenate([np.ones((runs, 1)), trials], axis=1))
    guessed = solver @ erring
    drawn = correction(guessed[:, 0], np.swapaxes(guessed[:, 1:], 1, 2), weights)
    return drawn, as_found + drawn @ influence.T


def _polar(number: complex) -> tuple[float, float]:
    return float(abs(number)), float(cmath.phase(number)) % (2.0 * math.pi)


def _correction(plane: int, nominal: complex, drawn: Complexes, unit: str, holes: Floats | None) -> Correction:
    amount, angle = _polar(nominal)
    turned = np.angle(drawn * cmath.exp(-1j * angle)) + angle  # within half a turn of the nominal angle
    used: tuple[tuple[int, float], ...] = ()
    if holes is not None:
        shares = split_on_holes(amount, angle, holes)
        used = tuple((place, float(share)) for place, share in enumerate(shares) if share > 1e-9 * amount)
    return Correction(
        plane,
        from_samples(np.abs(drawn), amount, unit, sources=SOURCES),
        from_samples(turned, angle, "rad", sources=SOURCES),
        used,
    )


def _notes(trials: Complexes, readings: Complexes, influence: Complexes, misfit: float) -> tuple[str, ...]:
    notes = []
    if misfit > MISFIT:
        notes.append(
            f"the runs disagree by up to {100.0 * misfit:.0f} % of the largest reading: same speed, same mounting?"
        )
    condition = float(np.linalg.cond(influence * np.abs(trials).max(axis=0)))
    if condition > SHAKY:
        notes.append(
            "the planes answer almost alike, so small reading errors make large corrections: balance one plane first, "
            "or place the sensors further apart"
        )
    answers = np.abs(influence) * np.abs(trials).max(axis=0)
    for plane in range(trials.shape[1]):
        if (answers[:, plane] / np.maximum(np.abs(readings).max(axis=0), 1e-300)).max() < NOTICEABLE:
            share = f"{100.0 * NOTICEABLE:.0f} %"
            notes.append(
                f"the trial on plane {plane + 1} moved no reading by {share}: take a heavier one if it is safe"
            )
    return tuple(notes)


def _read_holes(holes: Sequence[Sequence[float]] | None, planes: int) -> list[Floats | None]:
    if holes is None:
        return [None] * planes
    if len(holes) != planes or any(len(each) == 0 for each in holes):
        raise InputError("needs a list of angles for each plane", field="holes", found=f"{len(holes)} lists")
    return [np.asarray(each, dtype=np.float64) for each in holes]


def _read_runs(runs: Sequence[Mapping[str, Any]], left_on: bool) -> tuple[Complexes, Complexes]:
    """Return trials (runs × planes, everything that is on the rotor) and readings (runs × sensors)."""
    problems: list[Problem] = []
    read: list[list[complex]] = []
    put: list[dict[int, complex]] = []
    for number, run in enumerate(runs):
        place = f"runs[{number}]"
        try:
            read.append([_complex(each) for each in run["readings"]])
            put.append(_trials_of(run))
        except KeyError:
            problems.append(Problem("has no readings", field=place))
        except (TypeError, ValueError, IndexError):
            problems.append(Problem("cannot be read", field=place, allowed="readings, and plane with trial, or trials"))
    if problems:
        raise InputProblems(problems)
    if len(read) < 2:
        raise InputError("need one as found and one with a trial", field="runs", found=f"{len(read)} runs")
    if len({len(each) for each in read}) != 1 or not read[0]:
        raise InputError("must all have the same number of readings", field="runs")
    if put[0] and left_on:
        raise InputError("must be the rotor as found, without a trial", field="runs[0]")
    planes = max((plane for each in put for plane in each), default=-1) + 1
    if planes == 0:
        raise InputError("hold no trial mass", field="runs")
    trials = np.zeros((len(runs), planes), dtype=np.complex128)
    for number, each in enumerate(put):
        if left_on and number:
            trials[number] = trials[number - 1]
        for plane, amount in each.items():
            trials[number, plane] += amount
    numbers = np.array(read, dtype=np.complex128)
    if not np.isfinite(numbers).all() or not np.isfinite(trials).all():
        raise InputError("hold a number that is none", field="runs")
    return trials, numbers


def _trials_of(run: Mapping[str, Any]) -> dict[int, complex]:
    if run.get("trials") is not None:
        given = {plane: _complex(each) for plane, each in enumerate(run["trials"])}
        return {plane: each for plane, each in given.items() if each != 0.0 or plane == len(given) - 1}
    if run.get("trial") is None:
        return {}
    plane = int(run.get("plane", 0))
    if plane < 0:
        raise ValueError("plane")
    return {plane: _complex(run["trial"])}


def _complex(given: Any) -> complex:
    if isinstance(given, list | tuple):
        amplitude, phase = given
        return cmath.rect(float(amplitude), float(phase))
    return complex(given)


@dataclass(frozen=True)
class BalanceWithoutPhase:
    """The correction of one plane from amplitudes alone."""

    correction: Correction
    unbalance: Quantity
    """Of the rotor as found."""
    misfit: float
    """Largest amplitude the fit leaves over, relative to the largest reading."""
    notes: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "correction": self.correction.as_dict(),
            "unbalance": self.unbalance.as_dict(),
            "misfit": self.misfit,
            "notes": list(self.notes),
        }


def balance_without_phase(
    *,
    as_found: float,
    amplitudes: Sequence[float],
    trial: float,
    angles: Sequence[float] | None = None,
    holes: Sequence[float] | None = None,
    reading_spread: float = SPREAD,
    unit: str = "kg m",
    samples: int = 256,
    seed: int = 0,
) -> BalanceWithoutPhase:
    """Return the correction of one plane from amplitudes without phase (the four-run method, or more runs).

    Parameters
    ----------
    as_found : float
        Amplitude without a trial mass, in any unit.
    amplitudes : sequence of float
        With the same trial mass at each of the angles.
    trial : float
        Mass times radius of the trial.
    angles : sequence of float, optional
        Where it sat [rad]; evenly spread from 0 unless told.
    holes : sequence of float, optional
        Angles of places that can take mass [rad].
    reading_spread : float
        One standard deviation of a reading, over their mean.
    unit : str
        Unit of the trial.
    samples, seed : int
        Draws of the reading errors behind the bands.

    Returns
    -------
    BalanceWithoutPhase

    Raises
    ------
    InputProblems
        If the readings cannot be used or do not belong together.
    """
    count = len(amplitudes)
    given = 2.0 * math.pi * np.arange(count) / max(count, 1) if angles is None else np.asarray(angles, dtype=np.float64)
    numbers = np.asarray(amplitudes, dtype=np.float64)
    if count < 3 or given.shape != numbers.shape:
        raise InputError("needs three places of the trial or more", field="amplitudes", found=f"{count} amplitudes")
    if not (np.isfinite(numbers).all() and (numbers > 0.0).all() and as_found > 0.0 and trial > 0.0):
        raise InputError("must all be above zero", field="amplitudes, as_found, trial")
    spread_out = np.linalg.matrix_rank(np.stack([np.ones(count), np.cos(given), np.sin(given)], 1), tol=0.05)
    if spread_out < 3:
        raise InputError("lie too close together: spread them round the disc", field="angles")
    found = fit_amplitudes(as_found, numbers, given, trial)
    if not math.isfinite(found.unbalance):
        raise InputError(
            "do not belong together: the trial mass hardly moved them, or speed or mounting changed", field="amplitudes"
        )
    random = np.random.default_rng([seed, 2])
    sigma = reading_spread * float(np.mean([as_found, *numbers]))
    drawn = np.full((samples, 2), np.nan)
    for case in range(samples):
        error = sigma * random.standard_normal(count + 1)
        again = fit_amplitudes(max(as_found + error[0], 1e-12), np.abs(numbers + error[1:]), given, trial)
        drawn[case] = again.unbalance, again.angle
    there = drawn[np.isfinite(drawn).all(axis=1)]
    vectors = there[:, 0] * np.exp(1j * there[:, 1])
    nominal = found.unbalance * cmath.exp(1j * found.angle)
    places = None if holes is None else np.asarray(holes, dtype=np.float64)
    fix = _correction(0, nominal, vectors, unit, places)
    notes = []
    if found.misfit > MISFIT / 2.0:
        notes.append(f"the amplitudes disagree by {100.0 * found.misfit:.0f} %: was the speed the same in every run?")
    if (np.abs(numbers - as_found) / as_found).max() < NOTICEABLE:
        notes.append("the trial mass hardly changed the vibration: take a heavier one if it is safe")
    unbalance = from_samples(np.abs(vectors), found.unbalance, unit, sources=FOUR_RUN_SOURCES)
    return BalanceWithoutPhase(fix, unbalance, found.misfit, tuple(notes))
