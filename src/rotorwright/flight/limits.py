"""What the aeroplane can hold: a balance beyond these limits does not count as flight."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.status import OK, OUT_OF_LIMITS, OVER_THROTTLE
from rotorwright.flight.layout import OFF_BELOW
from rotorwright.flight.steady import COMMAND, ELEVATOR, INCIDENCE, THROTTLE

INCIDENCE_LIMIT = 0.6
"""Beyond this incidence (34°) the laws for tail and body are guesses [rad]."""
DUTY_LIMIT = 1.0
ELEVATOR_LIMIT = 1.0
THROTTLE_LIMIT = 1.0
ROUNDING = 1.0e-9


@jit
def within_limits(case: Any, work: Any, status: int) -> int:
    """Return `OUT_OF_LIMITS` or `OVER_THROTTLE` for a balance that needs more than the aeroplane has.

    Incidence, elevator and drive duty come first; throttle is the last thing asked.
    """
    if status != OK:
        return status
    if math.fabs(work.flight[INCIDENCE]) > INCIDENCE_LIMIT:
        return OUT_OF_LIMITS
    if math.fabs(work.flight[ELEVATOR]) > ELEVATOR_LIMIT + ROUNDING:
        return OUT_OF_LIMITS
    if work.flight[COMMAND] > OFF_BELOW:
        for i in range(case.drives.shape[0]):
            if work.controls[4 + case.thrusters.shape[0] + i] > DUTY_LIMIT + ROUNDING:
                return OUT_OF_LIMITS
    if work.flight[THROTTLE] > THROTTLE_LIMIT + ROUNDING:
        return OVER_THROTTLE
    return OK
