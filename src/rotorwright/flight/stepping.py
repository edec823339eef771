"""The rule that carries the state of a simulated flight on by a step."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit_into_caller
from rotorwright.flight.layout import QUATERNION, ROTOR_SPEEDS


@jit_into_caller
def carry_forward(room: Any, spins: int, step: float, count: int) -> None:
    """Carry the state on by a step: three-step Adams–Bashforth, fewer at the start; speeds of spin half implicitly."""
    state, rates, before, earlier = room.state, room.rates, room.before, room.earlier
    a, b, c = 23.0 / 12.0, -16.0 / 12.0, 5.0 / 12.0
    if count == 0:
        a, b, c = 1.0, 0.0, 0.0
    elif count == 1:
        a, b, c = 1.5, -0.5, 0.0
    for k in range(ROTOR_SPEEDS):
        state[k] += step * (a * rates[k] + b * before[k] + c * earlier[k])
        earlier[k] = before[k]
        before[k] = rates[k]
    for i in range(spins):
        k = ROTOR_SPEEDS + i
        slope = room.stiff[i]
        rest = rates[k] + slope * state[k]
        driven = a * rest + b * before[k] + c * earlier[k]
        half = 0.5 * step * slope
        state[k] = (state[k] * (1.0 - half) + step * driven) / (1.0 + half)
        earlier[k] = before[k]
        before[k] = rest
    q = QUATERNION
    size = 1.0 / math.sqrt(state[q] ** 2 + state[q + 1] ** 2 + state[q + 2] ** 2 + state[q + 3] ** 2)
    for k in range(q, q + 4):
        state[k] *= size
