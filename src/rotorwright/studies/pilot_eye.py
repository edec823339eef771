"""What a pilot misreads: eyes at a distance, no instruments, drawn for every flight from its own seed."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from rotorwright.flight.pilot import (
    BANK,
    CLIMB,
    EAST,
    HEADING,
    HEIGHT,
    LOOK,
    NORTH,
    PITCH,
    PITCH_RATE,
    ROLL_RATE,
    SEEN,
    SLIP,
    SPEED,
    TURNED_THEN,
    YAW_RATE,
)
from rotorwright.studies.first_flights_draws import Draws
from rotorwright.studies.turbulence import first_order

Floats = npt.NDArray[np.float64]

LASTS = 0.5
"""Time over which a misreading fades [s] (judgement)."""
_ANGLE, _RATE = math.radians(2.0), math.radians(3.0)
MISREAD = {
    SPEED: 0.4, CLIMB: 0.25, HEIGHT: 0.3, NORTH: 1.5, EAST: 1.0, SLIP: 0.3,
    BANK: _ANGLE, PITCH: _ANGLE, HEADING: 1.5 * _ANGLE, ROLL_RATE: _RATE, PITCH_RATE: _RATE, YAW_RATE: _RATE,
}  # fmt: skip
"""Standard deviations [m/s, m, rad, rad/s] of a club pilot watching a model from the strip (judgement; no measurement
was found). That a human operator's readings scatter: Kleinman, Baron and Levison, Automatica 6 (1970) (from memory)."""
STREAM = 7
"""Parts the stream of misreadings from that of the gusts."""


def misreadings(draws: Draws, duration: float) -> Floats:
    """Return what is added to what is seen, shape (flights, seen, looks).

    Parameters
    ----------
    draws : Draws
        Reads the seeds, and ``pilot_eye`` that scales it.
    duration : float
        [s]
    """
    looks = int(duration / LOOK) + 2
    found = np.zeros((len(draws.seeds), SEEN, looks))
    kept = math.exp(-LOOK / LASTS)
    for flight, seed in enumerate(draws.seeds):
        noise = np.random.default_rng([int(seed), STREAM]).standard_normal((len(MISREAD), looks))
        for row, (seen, size) in enumerate(MISREAD.items()):
            first_order(noise[row], kept, size * float(draws.values["pilot_eye"][flight]), found[flight, seen])
        found[flight, TURNED_THEN] = found[flight, HEADING]
    return found
