"""Flight held at the airspeed, attitude and controls of level flight, so that one thing can be varied in it."""

from __future__ import annotations

from typing import Any

import numpy as np

from rotorwright.base.status import NOT_CONVERGED
from rotorwright.flight.envelope import LEVEL, UNTRIMMED
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.solver import Solutions
from rotorwright.flight.steady import AIRSPEED, COMMAND, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.studies.evaluate import Flown

HELD = ((AIRSPEED, "airspeed"), (INCIDENCE, "incidence"), (THROTTLE, "throttle"), (ELEVATOR, "elevator"),
        (COMMAND, "command"))  # fmt: skip


def level_or_held(flown: Flown) -> Any:
    """Return level flight of every case as STEADY records, shape (cases,); None if no case has any.

    A case whose nose cannot be held gives the flight with its nose held from outside; one without any takes the medians
    of the others.
    """
    steady = flown.envelope.steady
    there = (steady["status"][:, LEVEL] != NOT_CONVERGED) & np.isfinite(steady["airspeed"][:, LEVEL])
    rows = np.where(there, steady[:, LEVEL], steady[:, UNTRIMMED]).copy()
    found = np.isfinite(rows["airspeed"])
    if not found.any():
        return None
    for _, name in HELD:
        rows[name] = np.where(found, rows[name], np.median(rows[name][found]))
    return rows


def held_flight(numbers: AeroplaneNumbers, level: Any) -> Solutions:
    """Return rows that hold airspeed, attitude and controls, one for each case, not yet settled.

    Parameters
    ----------
    numbers : AeroplaneNumbers
        As flown, or with something changed.
    level : array of STEADY records, shape (cases,)
        From `level_or_held`.
    """
    rows = Solutions(numbers, np.arange(len(numbers.vehicle)))
    for place, name in HELD:
        rows.flight[:, place] = level[name]
    return rows
