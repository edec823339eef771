"""The torque of a vaned rotor that stands still, by its angle: where it starts by itself and where it hangs."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.curves import curve, read_curve, smooth_step
from rotorwright.base.records import BUCKET, DRUM, PLATE

Floats = npt.NDArray[np.float64]

ANGLES = np.linspace(0.0, 2.0 * math.pi, 360, endpoint=False)
"""Angles of the whole turn [rad] at which a parked rotor is looked at."""

# Torque coefficient of two parked buckets, overlap 0.1 bucket diameters, every 10 degrees from −5 degrees; angle 0: the
# wind meets the line through both bucket edges square on. Source: Sheldahl, Blackwell & Feltz 1978, figure 4, runs 27
# (Re 4e5) and 28 (Re 8e5), digitised (±0.005).
_FIRST, _STEP = math.radians(-5.0), math.radians(10.0)
_RUN_27 = (0.239, 0.149, 0.110, 0.092, 0.073, 0.078, 0.070, 0.123, 0.165, 0.308, 0.437, 0.535, 0.710, 0.701, 0.610,
           0.415, 0.400, 0.305)  # fmt: skip
_RUN_28 = (0.211, 0.123, 0.066, 0.041, 0.038, 0.069, 0.086, 0.087, 0.281, 0.525, 0.664, 0.677, 0.693, 0.673, 0.590,
           0.480, 0.380, 0.281)  # fmt: skip
RUN_27_REYNOLDS, RUN_28_REYNOLDS = math.log(4.0e5), math.log(8.0e5)
# Three buckets: least, mean and largest torque coefficient over the angle. Source: the same, figure 5, runs 15 and 16
# (the same two Reynolds numbers), digitised.
_RUN_15, _RUN_16 = (0.185, 0.337, 0.457), (0.102, 0.323, 0.482)


def _periodic(points: tuple[float, ...]) -> Floats:
    angles = _FIRST + _STEP * np.arange(-3, len(points) + 4)
    values = np.array(points)[np.arange(-3, len(points) + 4) % len(points)]
    return curve(angles, values / np.mean(points))


_TWO_BUCKETS = (_periodic(_RUN_27), _periodic(_RUN_28))


def _two_bucket_pattern(angles: Floats, run: int) -> Floats:
    table = _TWO_BUCKETS[run]
    turned = (angles - _FIRST) % math.pi + _FIRST
    return np.array([read_curve(table, float(angle)) for angle in turned.ravel()]).reshape(angles.shape)


def _three_bucket_pattern(angles: Floats, run: int) -> Floats:
    least, mean, most = _RUN_16 if run else _RUN_15
    first, second = 0.5 * (most - least), 0.5 * (most + least) - mean
    return (mean + first * np.cos(3.0 * angles) + second * np.cos(6.0 * angles)) / mean


def parked_pattern(rotor: Any, angles: Floats, reynolds_number: float, contrast: float = 1.0) -> Floats:
    """Return the torque of a parked bucket or S-section over its mean over a turn, one section.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    angles : array
        Rotor angle [rad] from where the wind meets the line through the bucket edges square on, growing with the spin.
    reynolds_number : float
        On the diameter [1].
    contrast : float
        Factor parked_contrast: power to which the measured pattern is taken (above 1: deeper dead zones).

    Returns
    -------
    pattern : array
        [1], mean 1 over a turn.

    Notes
    -----
    Two buckets: the measured curve of Reynolds number 4e5 up to there, that of 8e5 from there, C1 between. Three
    buckets: least, mean and largest torque joined by cosines of 3 and 6 angles. An S-section is taken as two buckets.

    Validity: Reynolds number 4e5–8e5, overlap 0.1 bucket diameters; smaller rotors by contrast 0.75–1.5.

    Source: Sheldahl, Blackwell & Feltz, J. Energy 2 (1978) 160, figures 4 and 5 (digitised).
    """
    three = rotor["section"] == BUCKET and rotor["buckets"] > 2.5
    shape = _three_bucket_pattern if three else _two_bucket_pattern
    weight = smooth_step(math.log(max(reynolds_number, 1.0)), RUN_27_REYNOLDS, RUN_28_REYNOLDS)

    def blended(at: Floats) -> Floats:
        if weight == 0.0:
            return shape(at, 0)
        return (1.0 - weight) * shape(at, 0) + weight * shape(at, 1)

    if contrast == 1.0:
        return blended(angles)
    return blended(angles) ** contrast / float(np.mean(blended(ANGLES) ** contrast))


def parked_plate_torque(angles: Floats) -> Floats:
    """Return the torque coefficient of a parked plate about its mid-chord, one section.

    Parameters
    ----------
    angles : array
        Rotor angle [rad] from broadside to the wind, growing with the spin.

    Returns
    -------
    torque_coefficient : array
        [1], > 0 in the sense of the spin; its mean over a turn is zero: the plate turns to broadside and stays.

    Notes
    -----
    α = angle between chord and wind: normal force CN = CT cos α + CD sin α at l_cp ahead of mid-chord,
    torque_coefficient = 2 CN l_cp/l; f = ½(1 − tanh((α − 14°)/6°)), CT = 5.2 f sin α + 0.95 (1 − f) sin 2α,
    CD = f (0.1 + 5 sin² α) + 1.9 (1 − f) sin² α, l_cp/l = f (0.3 − 3.5 α²) + (1 − f)(0.2 − 0.4 α/π).

    Source: quasi-steady law of Pomerenk & Ristroph 2024 (coefficients read in a public re-implementation).
    """
    broadside = (angles + 0.5 * math.pi) % math.pi  # angle from edge-on, 0…π
    turned = np.where(broadside <= 0.5 * math.pi, broadside, math.pi - broadside)
    attached = 0.5 * (1.0 - np.tanh((turned - math.radians(14.0)) / math.radians(6.0)))
    sine = np.sin(turned)
    lift = 5.2 * attached * sine + 0.95 * (1.0 - attached) * np.sin(2.0 * turned)
    drag = attached * (0.1 + 5.0 * sine**2) + 1.9 * (1.0 - attached) * sine**2
    ahead = attached * (0.3 - 3.5 * turned**2) + (1.0 - attached) * (0.2 - 0.4 * turned / math.pi)
    size = 2.0 * (lift * np.cos(turned) + drag * sine) * ahead
    # past edge-on the torque helps the spin up to broadside, beyond that it turns the plate back
    return np.where(broadside <= 0.5 * math.pi, size, -size)


PLATE_HILL = float(np.sum(parked_plate_torque(ANGLES[270:] + 0.5 * (ANGLES[1] - ANGLES[0]))) * (ANGLES[1] - ANGLES[0]))
"""Work that the parked torque does from edge-on to broadside, over q · span · diameter · radius [1]."""


def staged_angles(rotor: Any, angles: Floats) -> Floats:
    """Return the angle of every stage at every rotor angle [rad], shape (stages, angles).

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    angles : array, shape (n,)
        [rad].
    """
    stages = max(1, round(float(rotor["stages"])))
    return angles[None, :] + float(rotor["stage_phase"]) * np.arange(stages)[:, None]


def parked_torque(
    rotor: Any,
    angles: Floats,
    mean_torque: Floats,
    pressure: float,
    reynolds_number: float,
    contrast: Floats,
) -> Floats:
    """Return the torque of the air on a whole parked rotor over its angle in every case [N m], shape (cases, n).

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    angles : array, shape (n,)
        [rad], see `parked_pattern` and `parked_plate_torque`.
    mean_torque : array, shape (cases,)
        Of `rotor_torque` at standstill [N m]; not used for a plate, whose mean is zero.
    pressure : float
        Dynamic pressure [Pa].
    reynolds_number : float
        On the diameter [1].
    contrast : array, shape (cases,)
        Factor parked_contrast [1].

    Returns
    -------
    torque : array, shape (cases, n)
        [N m]; zero for a drum.

    Notes
    -----
    Mean over the stages, each at its own angle: discs between the stages are taken to keep them apart.
    """
    cases = len(mean_torque)
    if rotor["kind"] == DRUM:
        return np.zeros((cases, len(angles)))
    each = staged_angles(rotor, angles)
    if rotor["section"] == PLATE:
        scale = float(pressure * rotor["span"] * rotor["diameter"] * 0.5 * rotor["diameter"])
        return np.tile(scale * np.mean(parked_plate_torque(each), axis=0), (cases, 1))
    staged, one = parked_pattern(rotor, each, reynolds_number), parked_pattern(rotor, ANGLES, reynolds_number)
    rows = [np.mean(staged**power, axis=0) / np.mean(one**power) for power in contrast]
    return np.asarray(mean_torque)[:, None] * np.array(rows)


def starting_airspeed(
    breakout_torque: float, least_torque_coefficient: float, air_density: float, span: float, diameter: float
) -> float:
    """Return the airspeed at which a parked rotor breaks loose [m/s]: √(2 Q/(ρ S R C)).

    Parameters
    ----------
    breakout_torque : float
        Friction at rest [N m].
    least_torque_coefficient : float
        C, over the angles it may stand at [1].
    air_density, span, diameter : float
        [kg/m³], [m], [m].

    Returns
    -------
    airspeed : float
        [m/s]; NaN when the air does not help.
    """
    if least_torque_coefficient <= 0.0:
        return math.nan
    scale = 0.5 * air_density * span * diameter * 0.5 * diameter
    return math.sqrt(breakout_torque / (scale * least_torque_coefficient))


def parked_alone(
    *, buckets: int = 2, stages: int = 1, stage_phase: float = 0.0, reynolds_number: float = 4.0e5
) -> dict[str, float]:
    """Return least, mean and largest torque of parked buckets over the angle, as a share of the mean of one section.

    Parameters
    ----------
    buckets, stages : int
    stage_phase : float
        Between neighbours [rad].
    reynolds_number : float
        On the diameter [1].

    Returns
    -------
    shares : dict
        "least", "mean", "most" [1].
    """
    rotor = {"section": BUCKET, "buckets": float(buckets), "stages": float(stages), "stage_phase": stage_phase}
    pattern = np.mean(parked_pattern(rotor, staged_angles(rotor, ANGLES), reynolds_number), axis=0)
    return {"least": float(pattern.min()), "mean": float(pattern.mean()), "most": float(pattern.max())}


def hill_work(torque: Floats) -> Floats:
    """Return the work against the air that carries a parked rotor round once, from where it hangs [J], shape (cases,).

    Parameters
    ----------
    torque : array, shape (cases, n)
        Over evenly spaced angles of a whole turn [N m].

    Notes
    -----
    Largest climb of −∫ Q dθ from any angle onwards within a turn: zero where the torque always helps.
    """
    work = -np.cumsum(np.concatenate([torque, torque], axis=1), axis=1) * (2.0 * math.pi / torque.shape[1])
    return np.max(work - np.minimum.accumulate(work, axis=1), axis=1)


def kick_spin_ratio(inertia_ratio: float, hill: float = PLATE_HILL) -> float:
    """Return the spin ratio that carries a parked plate over its hill: √(K/(8 I*)) [1].

    Parameters
    ----------
    inertia_ratio : float
        I* = polar inertia over air density · chord⁴ · span [1], > 0.
    hill : float
        K: work of `hill_work` over q · span · diameter · radius [1]; phased plates have a lower one.

    Notes
    -----
    Energy: ½ I ω² = K q S R, no memory of the flow; light plates need more.

    Source: elementary mechanics with the parked torque above; within a factor of about 1.5 (judgement).
    """
    return math.sqrt(hill / (8.0 * inertia_ratio))
