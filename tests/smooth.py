"""A scan for kinks: the slope of a C1 law changes less and less between neighbours as the step shrinks."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np


def largest_slope_jump(law: Callable[[float], float], start: float, end: float, steps: int) -> float:
    """Return the largest change of slope between neighbouring steps."""
    x = np.linspace(start, end, steps + 1)
    y = np.array([law(float(number)) for number in x])
    assert np.all(np.isfinite(y)), "the law must be finite all along"
    return float(np.max(np.abs(np.diff(y, 2)))) / (x[1] - x[0])


def has_no_kink(law: Callable[[float], float], start: float, end: float, steps: int = 400) -> bool:
    """Return whether the law is C1 over the range, by refining the step sixteenfold.

    A kink keeps its jump of slope however fine the step; a C1 law's shrinks with it (a root-like bend by a quarter).
    """
    coarse = largest_slope_jump(law, start, end, steps)
    fine = largest_slope_jump(law, start, end, 16 * steps)
    spread = abs(law(end) - law(start)) / (end - start)
    return fine <= 0.5 * coarse + 1e-9 * (spread + 1.0)
