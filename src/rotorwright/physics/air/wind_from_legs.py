"""Airspeed and wind from ground speeds: straight legs (or a circle) flown at one airspeed on different tracks."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt


class WindFromLegs(NamedTuple):
    """What the legs say together."""

    airspeed: float
    """[m/s]"""
    wind: float
    """[m/s]"""
    wind_from: float
    """From north over east, 0…2π [rad]."""
    spread: float
    """Root mean square of what is left of the legs' airspeeds [m/s]."""


def wind_from_legs(ground_speeds: npt.ArrayLike, tracks: npt.ArrayLike) -> WindFromLegs:
    """Return airspeed and wind from at least three legs.

    Parameters
    ----------
    ground_speeds : array, shape (legs,)
        [m/s] (any one unit: the answer is in it too).
    tracks : array, shape (legs,)
        Over the ground, from north over east [rad].

    Returns
    -------
    WindFromLegs

    Raises
    ------
    ValueError
        With fewer than three legs, or tracks too much alike to tell.

    Notes
    -----
    |g − w| = V for every leg: 2 g·w + (V² − w²) = g², linear in the wind and in V² − w², by least squares.
    Validity: the same true airspeed and height on all legs, tracks well spread.
    Source: D. Gray (1998), three tracks by satellite navigation (secondary).
    """
    speeds, angles = np.asarray(ground_speeds, dtype=np.float64), np.asarray(tracks, dtype=np.float64)
    if speeds.ndim != 1 or speeds.shape != angles.shape or len(speeds) < 3:
        raise ValueError("at least three legs are needed, each with ground speed and track")
    north, east = speeds * np.cos(angles), speeds * np.sin(angles)
    matrix = np.column_stack([2.0 * north, 2.0 * east, np.ones(len(speeds))])
    solution, _, rank, _ = np.linalg.lstsq(matrix, speeds**2, rcond=1e-9)
    if rank < 3:
        raise ValueError("the tracks are too much alike")
    to_north, to_east, rest = (float(number) for number in solution)
    wind = math.hypot(to_north, to_east)
    airspeed = math.sqrt(max(rest + wind * wind, 0.0))
    each = np.hypot(north - to_north, east - to_east)
    spread = float(np.sqrt(np.mean((each - airspeed) ** 2)))
    return WindFromLegs(airspeed, wind, math.atan2(-to_east, -to_north) % (2.0 * math.pi), spread)
