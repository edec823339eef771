"""Gusts over time, drawn so that their spectrum is the published one."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.jit import jit
from rotorwright.physics.air.wind import turbulence_scales

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Gusts:
    """Gusts met by an aeroplane, one value a step [m/s]."""

    time: Floats
    """[s]"""
    along: Floats
    """Against the flight."""
    across: Floats
    """To the right."""
    up: Floats
    lengths: tuple[float, float]
    """Scale lengths along and up [m]."""
    intensities: tuple[float, float]
    """Root mean squares along and up [m/s]."""


def turbulence(*, height: float, wind: float, airspeed: float, duration: float, step: float, seed: int = 0) -> Gusts:
    """Draw gusts for a flight at constant height and airspeed.

    Parameters
    ----------
    height : float
        Above ground [m].
    wind : float
        Mean wind at 6 m [m/s].
    airspeed : float
        [m/s]
    duration, step : float
        [s]
    seed : int
        The same seed gives the same gusts.

    Returns
    -------
    Gusts

    Raises
    ------
    InputError
        If airspeed, duration or step is not above zero, or the wind is negative.

    Notes
    -----
    White noise through first-order (along) and second-order (across, up) filters, stepped exactly, so that variance and
    spectrum do not depend on the step. The series starts in its steady state.
    Source: MIL-F-8785C (1980), Dryden form; see `rotorwright.physics.air.wind`.
    """
    for name, value in (("airspeed", airspeed), ("duration", duration), ("step", step)):
        if not (value > 0.0 and math.isfinite(value)):
            raise InputError("must be above zero", place="turbulence", field=name, found=f"{value:g}")
    if not (wind >= 0.0 and math.isfinite(wind)):
        raise InputError("must not be negative", place="turbulence", field="wind", found=f"{wind:g} m/s")
    along_length, up_length, along_size, up_size = turbulence_scales(height, wind)
    count = max(round(duration / step), 1) + 1
    noise = np.random.default_rng(seed).standard_normal((5, count))
    along, across, up = np.empty(count), np.empty(count), np.empty(count)
    first_order(noise[0], math.exp(-step * airspeed / along_length), along_size, along)
    second_order(noise[1:3], *second_order_step(step * airspeed / along_length), along_size, across)
    second_order(noise[3:], *second_order_step(step * airspeed / up_length), up_size, up)
    time = np.arange(count, dtype=np.float64) * step
    return Gusts(time, along, across, up, (along_length, up_length), (along_size, up_size))


@jit
def first_order(noise: Floats, kept: float, size: float, series: Floats) -> None:
    """Fill a series of variance size² from unit noise, keeping a share from step to step."""
    fresh = math.sqrt(1.0 - kept * kept)
    value = noise[0]
    series[0] = size * value
    for k in range(1, series.shape[0]):
        value = kept * value + fresh * noise[k]
        series[k] = size * value


def second_order_step(pace: float) -> tuple[float, float, float, float, float, float, float]:
    """Return the exact step of the second-order filter for a step of ``pace`` = step × airspeed / length.

    Returns
    -------
    kept, carried : float
        Share of both states kept, and of the first carried into the second.
    a, b, c : float
        Lower triangle of the root of the noise covariance of a step.
    first, second : float
        Output weights of the states.

    Notes
    -----
    In time measured by length over airspeed: dx1 = −x1 + w, dx2 = −x2 + x1, output √3 x1 + (1 − √3) x2 of unit variance
    for white noise w of intensity 2; (1 + √3 s)/(1 + s)² is the printed shape. Covariance of a step by the closed
    integrals.
    """
    kept = math.exp(-pace)
    square = kept * kept
    # ∫ e^{-2t} dt, ∫ t e^{-2t} dt, ∫ t² e^{-2t} dt from 0 to the step, times the intensity 2
    q11 = 1.0 - square
    q12 = 0.5 - square * (pace + 0.5)
    q22 = 0.5 - square * (pace * pace + pace + 0.5)
    a = math.sqrt(max(q11, 0.0))
    b = q12 / a if a > 0.0 else 0.0
    c = math.sqrt(max(q22 - b * b, 0.0))
    # steady variances 1, 1/2, 1/2: output variance 3 + √3 (1 − √3) + (1 − √3)²/2
    root = math.sqrt(3.0)
    scale = 1.0 / math.sqrt(3.0 + root * (1.0 - root) + 0.5 * (1.0 - root) ** 2)
    return kept, pace * kept, a, b, c, root * scale, (1.0 - root) * scale


@jit
def second_order(
    noise: Floats, kept: float, carried: float, a: float, b: float, c: float, first: float, second: float, size: float,
    series: Floats,
) -> None:  # fmt: skip
    """Fill a series of variance size² from two rows of unit noise; the numbers are those of `second_order_step`."""
    x1 = noise[0, 0]
    x2 = 0.5 * noise[0, 0] + 0.5 * noise[1, 0]
    series[0] = size * (first * x1 + second * x2)
    for k in range(1, series.shape[0]):
        x2 = kept * x2 + carried * x1 + b * noise[0, k] + c * noise[1, k]
        x1 = kept * x1 + a * noise[0, k]
        series[k] = size * (first * x1 + second * x2)
