"""How good is a motion? Published limits for piloted aeroplanes, as printed and scaled to the size of a model.

Frequencies of similar aeroplanes go with 1/√size at equal Froude number, damping ratios stay. The pilot is not scaled:
what he has to catch (a spiral, a divergence) is judged in seconds as they are.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

REFERENCE_SPAN = 11.0
"""Span of a full-size light aeroplane, to which the limits belong [m] (judgement)."""
ACCEPTABLE = ("good", "usable", "hard work", "outside every limit")
"""Words for levels 1, 2, 3 and worse."""
# MIL-F-8785C (1980), class I, category B (cruise); lateral tables read in a secondary source, longitudinal from memory
DUTCH_ROLL_DAMPING = (0.08, 0.02, 0.0)
DUTCH_ROLL_DECAY = (0.15, 0.05, 0.0)
"""Damping ratio × natural frequency, at least [1/s]."""
DUTCH_ROLL_FREQUENCY = (0.4, 0.4, 0.4)
"""At least [rad/s]."""
ROLL_TIME = (1.4, 3.0, 10.0)
"""Time constant, at most [s]."""
SPIRAL_DOUBLE = (20.0, 8.0, 4.0)
"""Time to double, at least [s]."""
SHORT_PERIOD_DAMPING = ((0.30, 2.0), (0.20, 2.0), (0.15, math.inf))
PHUGOID_DAMPING = (0.04, 0.0)
PHUGOID_DOUBLE = 55.0
"""Of an unstable phugoid, at least, for level 3 [s]."""
CATCHABLE = 4.0
"""A divergence that doubles faster than this is more than a pilot on the ground can be asked to catch [s] (from memory,
judgement)."""


@dataclass(frozen=True)
class Judgement:
    """One motion against the published limits."""

    motion: str
    as_printed: str
    """Word for the level against the limits as printed, for full-size aeroplanes."""
    scaled: str
    """The same with times scaled to this span."""
    deciding: str
    """Which of both decides, with the reason."""


def time_scale(span: float) -> float:
    """Return how much slower time runs for this span than for the reference: √(span/11 m)."""
    return math.sqrt(span / REFERENCE_SPAN)


def level_at_least(value: float, limits: tuple[float, ...]) -> int:
    """Return the level (1…4) of a value that must not fall below its limits, best first."""
    for level, limit in enumerate(limits):
        if value >= limit:
            return level + 1
    return len(limits) + 1


def dutch_roll_level(damping: float, frequency: float, scale: float) -> int:
    """Return the level of a Dutch roll with natural frequency [rad/s]; ``scale`` as `time_scale`, 1: as printed."""
    return max(
        level_at_least(damping, DUTCH_ROLL_DAMPING),
        level_at_least(damping * frequency * scale, DUTCH_ROLL_DECAY),
        level_at_least(frequency * scale, DUTCH_ROLL_FREQUENCY),
    )


def roll_level(time_constant: float, scale: float) -> int:
    """Return the level of a roll with this time constant [s]."""
    return level_at_least(-time_constant / scale, tuple(-limit for limit in ROLL_TIME))


def spiral_level(growth: float) -> int:
    """Return the level of a spiral that grows at this rate [1/s]; never scaled, the pilot is as quick as ever."""
    if growth <= 0.0:
        return 1
    return level_at_least(math.log(2.0) / growth, SPIRAL_DOUBLE)


def short_period_level(damping: float) -> int:
    """Return the level of a short period with this damping ratio."""
    for level, (low, high) in enumerate(SHORT_PERIOD_DAMPING):
        if low <= damping <= high:
            return level + 1
    return 4


def phugoid_level(damping: float, growth: float) -> int:
    """Return the level of a phugoid with this damping ratio, growing at this rate [1/s]."""
    level = level_at_least(damping, PHUGOID_DAMPING)
    if level > len(PHUGOID_DAMPING) and math.log(2.0) / growth < PHUGOID_DOUBLE:
        return 4
    return level
