"""Smooth curves through tables: monotone cubic (Fritsch–Carlson) slopes once, a C1 kernel for each reading."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit

Floats = npt.NDArray[np.float64]


def monotone_slopes(x: Floats, y: Floats) -> Floats:
    """Return node slopes of the monotone cubic through ``(x, y)``.

    Parameters
    ----------
    x, y : array, shape (n,)
        Nodes, ``x`` strictly rising.

    Returns
    -------
    slopes : array, shape (n,)

    Notes
    -----
    Source: F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300–304 (weighted harmonic mean;
    from memory, verified in the tests against ``scipy.interpolate.PchipInterpolator``).
    """
    step = np.diff(x)
    secant = np.diff(y) / step
    if len(x) == 2:
        return np.array([secant[0], secant[0]])
    slopes = np.zeros_like(y)
    for i in range(1, len(x) - 1):
        if secant[i - 1] * secant[i] > 0.0:
            left = 2.0 * step[i] + step[i - 1]
            right = step[i] + 2.0 * step[i - 1]
            slopes[i] = (left + right) / (left / secant[i - 1] + right / secant[i])
    slopes[0] = _end_slope(step[0], step[1], secant[0], secant[1])
    slopes[-1] = _end_slope(step[-1], step[-2], secant[-1], secant[-2])
    return slopes


def _end_slope(step0: float, step1: float, secant0: float, secant1: float) -> float:
    slope = ((2.0 * step0 + step1) * secant0 - step0 * secant1) / (step0 + step1)
    if slope * secant0 <= 0.0:
        return 0.0
    if secant0 * secant1 <= 0.0 and abs(slope) > 3.0 * abs(secant0):
        return 3.0 * secant0
    return slope


def curve(x: Any, y: Any) -> Floats:
    """Return the table ``[x, y, slope]``, shape (3, n), that `read_curve` reads."""
    nodes = np.asarray(x, dtype=np.float64)
    values = np.asarray(y, dtype=np.float64)
    return np.vstack([nodes, values, monotone_slopes(nodes, values)])


def points_on(table: Floats, x: Floats) -> Floats:
    """Return the curve of a table from `curve` at many places within its nodes (plain numpy, for making tables)."""
    last = np.clip(np.searchsorted(table[0], x, side="right") - 1, 0, table.shape[1] - 2)
    start, low, slope_low = table[:, last]
    end, high, slope_high = table[:, last + 1]
    step = end - start
    t = (x - start) / step
    blend = t * t * (3.0 - 2.0 * t)
    bends = t * (1.0 - t) ** 2 * step * slope_low - t * t * (1.0 - t) * step * slope_high
    return np.asarray(low + (high - low) * blend + bends)


@jit
def read_curve(table: Floats, x: float) -> float:
    """Return the C1 curve at ``x``; beyond the ends it goes on straight with the end slope."""
    last = table.shape[1] - 1
    if x <= table[0, 0]:
        return table[1, 0] + table[2, 0] * (x - table[0, 0])
    if x >= table[0, last]:
        return table[1, last] + table[2, last] * (x - table[0, last])
    return read_interval(table, interval_of(table, x), x)


@jit
def interval_of(table: Floats, x: float) -> int:
    """Return which interval of a table's nodes holds ``x``; the outermost ones hold all that is further out."""
    low = 0
    left = table.shape[1] - 1
    while left > 1:  # halves whatever x is, so that the processor can look ahead
        half = left // 2
        low = low + half if table[0, low + half] <= x else low
        left -= half
    return low


@jit
def read_interval(table: Floats, low: int, x: float) -> float:
    """Return the curve at ``x`` within the interval from `interval_of` (tables of the same nodes share it)."""
    high = low + 1
    step = table[0, high] - table[0, low]
    t = (x - table[0, low]) / step
    t2 = t * t
    t3 = t2 * t
    return (
        (2.0 * t3 - 3.0 * t2 + 1.0) * table[1, low]
        + (t3 - 2.0 * t2 + t) * step * table[2, low]
        + (3.0 * t2 - 2.0 * t3) * table[1, high]
        + (t3 - t2) * step * table[2, high]
    )


@jit
def smooth_step(x: float, start: float, end: float) -> float:
    """Return a C1 ramp: 0 below ``start``, 1 above ``end`` (cubic between)."""
    t = (x - start) / (end - start)
    if t <= 0.0:
        return 0.0
    if t >= 1.0:
        return 1.0
    return t * t * (3.0 - 2.0 * t)


@jit
def smooth_max(a: float, b: float, width: float) -> float:
    """Return a C1 maximum of two numbers, rounded over about ``width``."""
    d = a - b
    return 0.5 * (a + b + math.sqrt(d * d + width * width))
