"""Correction masses from vibration readings: several planes with phase, one plane without, and the split onto holes.

Plane algebra in complex numbers (amount and angle in one); small dense systems, solved by LAPACK through numpy.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Complexes = npt.NDArray[np.complex128]
Floats = npt.NDArray[np.float64]


class Influence(NamedTuple):
    """What a set of runs tells: the vibration as found, the answer per trial unbalance, and how well the runs agree."""

    as_found: Complexes
    """Shape (sensors,)."""
    influence: Complexes
    """Shape (sensors, planes)."""
    misfit: float
    """Largest reading the fit leaves over, relative to the largest reading; 0 with as many runs as needed."""


def fit_influence(trials: Complexes, readings: Complexes) -> Influence:
    """Return vibration as found and influence coefficients of a set of runs, by least squares.

    Parameters
    ----------
    trials : array, shape (runs, planes)
        Unbalance on each plane during the run, on top of the rotor as found.
    readings : array, shape (runs, sensors)
        Vibration at running frequency: amplitude and phase as one complex number.

    Returns
    -------
    Influence

    Raises
    ------
    numpy.linalg.LinAlgError
        If the runs do not tell the planes apart.

    Notes
    -----
    reading = as_found + influence · trial. With one run as found and one per plane this is the classical
    (B − A₀)/U; further runs are used by least squares.
    """
    runs, planes = trials.shape
    largest = np.abs(trials).max(axis=0)
    scale = np.where(largest > 0.0, largest, 1.0)
    system = np.concatenate([np.ones((runs, 1), dtype=np.complex128), trials / scale], axis=1)
    found, _, rank, singular = np.linalg.lstsq(system, readings, rcond=None)
    if rank < planes + 1 or singular[-1] < 1e-9 * singular[0]:
        raise np.linalg.LinAlgError("the runs do not tell the planes apart")
    left = np.abs(system @ found - readings).max()
    return Influence(found[0], found[1:].T / scale, float(left / np.abs(readings).max()))


def correction(as_found: Complexes, influence: Complexes, weights: Floats | None = None) -> Complexes:
    """Return the correction of each plane that leaves the least vibration, shape (..., planes).

    Parameters
    ----------
    as_found : array, shape (..., sensors)
        Vibration as found.
    influence : array, shape (..., sensors, planes)
        Vibration per unbalance.
    weights : array, shape (sensors,), optional
        How much each sensor counts; 1 unless told.

    Returns
    -------
    array

    Notes
    -----
    w = −(αᴴ W α)⁻¹ αᴴ W A₀; with as many sensors as planes w = −α⁻¹ A₀ and nothing is left over. Source: T. P. Goodman,
    A least-squares method for computing balance corrections, 1964 (secondary).
    """
    root = np.sqrt(np.ones(as_found.shape[-1]) if weights is None else weights)
    system = influence * root[:, None]
    return np.asarray(-(np.linalg.pinv(system) @ (as_found * root)[..., None])[..., 0])


def residual(as_found: Complexes, influence: Complexes, correction: Complexes) -> Complexes:
    """Return the vibration that a correction leaves, shape (sensors,).

    Parameters
    ----------
    as_found : array, shape (sensors,)
    influence : array, shape (sensors, planes)
    correction : array, shape (planes,)
    """
    return np.asarray(as_found + influence @ correction)


class WithoutPhase(NamedTuple):
    """What amplitudes alone tell of one plane."""

    unbalance: float
    """Of the rotor as found, in the unit of the trial."""
    angle: float
    """Where the correction belongs [rad], 0 to 2π, from the mark the trials were counted from."""
    answer: float
    """Amplitude per unbalance."""
    misfit: float
    """Largest amplitude the fit leaves over, relative to the largest reading."""


def fit_amplitudes(as_found: float, amplitudes: Floats, angles: Floats, trial: float) -> WithoutPhase:
    """Return unbalance and place of the correction from amplitudes without phase.

    Parameters
    ----------
    as_found : float
        Amplitude without a trial mass.
    amplitudes : array, shape (runs,)
        With the trial mass at each of the angles; three runs or more, not all on a line.
    angles : array, shape (runs,)
        Places of the trial mass [rad].
    trial : float
        Unbalance of the trial mass.

    Returns
    -------
    WithoutPhase
        NaN where the amplitudes do not belong together (trial too small, or speed or mounting changed between runs).

    Notes
    -----
    A_k² = A₀² + T² + 2 A₀ T cos(θ_k − φ): linear in A₀² + T² and the two parts of A₀T; then one refinement of
    (A₀, T, φ) by Gauss–Newton on the amplitudes themselves, as they carry one reading more than there are unknowns.
    Closed form for 0°, 120°, 240°: T = √(mean A_k² − A₀²). The correction lies at φ + 180°.
    """
    squares = amplitudes**2
    system = np.stack([np.ones_like(angles), np.cos(angles), np.sin(angles)], axis=1)
    level, along, across = np.linalg.lstsq(system, squares, rcond=None)[0]
    phase = math.atan2(across, along)
    by_swing = math.hypot(along, across) / (2.0 * as_found) if as_found > 0.0 else 0.0
    moved = math.sqrt(level - as_found**2) if level > as_found**2 else by_swing
    state = np.array([as_found, moved, phase])
    readings = np.concatenate([[as_found], amplitudes])
    for _ in range(25):
        model, slope = _amplitude_model(state, angles)
        step = np.linalg.lstsq(slope, readings - model, rcond=None)[0]
        state = state + step
        if np.abs(step[:2]).max() <= 1e-13 * readings.max() and abs(step[2]) < 1e-13:
            break
    found, moved, phase = (float(number) for number in state)
    misfit = float(np.abs(_amplitude_model(state, angles)[0] - readings).max() / readings.max())
    if moved < 0.0:
        moved, phase = -moved, phase + math.pi
    if found < 0.0 or not moved > 1e-9 * found or not math.isfinite(misfit):
        return WithoutPhase(math.nan, math.nan, math.nan, math.nan)
    return WithoutPhase(trial * found / moved, (phase + math.pi) % (2.0 * math.pi), moved / trial, misfit)


def _amplitude_model(state: Floats, angles: Floats) -> tuple[Floats, Floats]:
    found, moved, phase = state
    cosine, sine = np.cos(angles - phase), np.sin(angles - phase)
    seen = np.sqrt(np.maximum(found**2 + moved**2 + 2.0 * found * moved * cosine, 1e-300))
    slope = np.stack([(found + moved * cosine) / seen, (moved + found * cosine) / seen, found * moved * sine / seen], 1)
    return np.concatenate([[found], seen]), np.concatenate([[[1.0, 0.0, 0.0]], slope])


def to_planes(unbalances: Complexes, positions: Floats, first: float, second: float) -> tuple[complex, complex]:
    """Return the unbalances in two planes that act as a set of unbalances along the shaft does.

    Parameters
    ----------
    unbalances : array, shape (n,)
        Amount and angle as complex numbers.
    positions : array, shape (n,)
        Along the shaft [m].
    first, second : float
        The two planes [m].

    Returns
    -------
    tuple of complex
        The corrections are their opposites.

    Notes
    -----
    Statics of a rigid rotor: same sum and same moment. Planes close together need much more mass than planes far apart.
    """
    share = (positions - first) / (second - first)
    return complex((unbalances * (1.0 - share)).sum()), complex((unbalances * share).sum())


def carried_to_planes(*, unbalance: float, position: float, first: float, second: float) -> tuple[float, float]:
    """Return what one unbalance asks as correction in two planes of a rigid rotor.

    Parameters
    ----------
    unbalance : float
        [kg m]
    position : float
        Along the shaft [m].
    first, second : float
        The two correction planes [m].

    Returns
    -------
    tuple of float
        Negative: opposite to the unbalance.
    """
    parts = to_planes(np.array([unbalance + 0j]), np.array([position]), first, second)
    return -parts[0].real, -parts[1].real


def split_on_holes(amount: float, angle: float, holes: Floats) -> Floats:
    """Return how much goes onto each available place so that together they act as one mass at an angle.

    Parameters
    ----------
    amount : float
        Mass (or unbalance) wanted.
    angle : float
        Where [rad].
    holes : array, shape (n,)
        Angles of the available places, all at the same radius [rad].

    Returns
    -------
    array, shape (n,)
        Amounts, none negative; exact if two neighbouring places less than half a turn apart enclose the angle, else
        the nearest that can be had.

    Notes
    -----
    Sine rule of the parallelogram on the two neighbours; otherwise non-negative least squares.
    """
    from scipy.optimize import nnls

    turn = 2.0 * math.pi
    places = np.mod(holes - angle + 1e-12, turn)  # 0: just there, counted onwards
    shares = np.zeros(len(holes))
    after, before = int(np.argmin(places)), int(np.argmax(places))
    ahead, behind = float(places[after]), turn - float(places[before])
    if ahead < 1e-9 or len(holes) == 1:
        shares[after] = amount if ahead < 1e-9 else amount * max(math.cos(ahead), 0.0)
        return shares
    if ahead + behind < math.pi - 1e-9:
        shares[after] = amount * math.sin(behind) / math.sin(ahead + behind)
        shares[before] = amount * math.sin(ahead) / math.sin(ahead + behind)
        return shares
    system = np.stack([np.cos(holes), np.sin(holes)])
    return np.asarray(nnls(system, amount * np.array([math.cos(angle), math.sin(angle)]))[0])
