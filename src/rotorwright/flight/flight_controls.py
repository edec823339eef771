"""Who moves the sticks of a simulated flight: the pilot with what eyes and instruments tell, or a list of commands."""

from __future__ import annotations

from typing import Any

from rotorwright.base.jit import jit_into_caller
from rotorwright.flight.flight_rows import C_DRIVE, C_STICKS, C_TIME
from rotorwright.flight.pilot import SEEN

OPENED = 0.02
"""Throttle from which a commanded run has begun."""


@jit_into_caller
def misread(eyes: Any, which: int, seen: Any) -> None:
    """Add what the pilot misreads at a look to what is seen."""
    if eyes.shape[1] > 0:
        column = min(which, eyes.shape[1] - 1)
        for k in range(SEEN):
            seen[k] += eyes[k, column]


@jit_into_caller
def follow(commands: Any, row: int, time: float, sticks: Any) -> tuple[int, float]:
    """Fill the sticks commanded at a time; return the row before it and the share of the rotor drives' speed.

    Parameters
    ----------
    commands : array, shape (moments, columns)
        In order of time; straight lines between rows, the first and the last row hold before and after.
    row : int
        Where the search begins: the row returned for an earlier time.
    time : float
        [s]
    sticks : array, shape (4,)
    """
    last = commands.shape[0] - 1
    while row < last and commands[row + 1, C_TIME] <= time:
        row += 1
    share = 0.0
    after = min(row + 1, last)
    if after > row and time > commands[row, C_TIME]:
        share = (time - commands[row, C_TIME]) / (commands[after, C_TIME] - commands[row, C_TIME])
    for k in range(4):
        sticks[k] = commands[row, C_STICKS + k] + share * (commands[after, C_STICKS + k] - commands[row, C_STICKS + k])
    return row, commands[row, C_DRIVE] + share * (commands[after, C_DRIVE] - commands[row, C_DRIVE])
