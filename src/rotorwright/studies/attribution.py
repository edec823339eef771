"""Which change did it: a difference shared out among the changes that made it, so that the shares add up exactly.

In file order each change is made on top of those before it, which is how a builder makes them but gives the first and
the last different odds. The order-free share averages what a change does over every order in which all could be made.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from itertools import combinations, pairwise

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Subset = frozenset[int]


def subsets(count: int) -> list[Subset]:
    """Return every subset of so many changes, smallest first."""
    return [frozenset(each) for size in range(count + 1) for each in combinations(range(count), size)]


def in_order(values: Mapping[Subset, Floats], count: int) -> list[Floats]:
    """Return what each change adds on top of those before it; the sum is the whole difference."""
    steps = [frozenset(range(size)) for size in range(count + 1)]
    return [values[after] - values[before] for before, after in pairwise(steps)]


def order_free(values: Mapping[Subset, Floats], count: int) -> list[Floats]:
    """Return what each change adds on average over all orders; the sum is the whole difference.

    Notes
    -----
    φ_i = Σ over subsets S without i of |S|! (n − |S| − 1)! / n! · (v(S ∪ i) − v(S)).
    Source: L. S. Shapley, A value for n-person games, Annals of Mathematics Studies 28 (1953) 307 (from memory).
    """
    shares = []
    for change in range(count):
        share = np.zeros_like(values[frozenset()])
        for chosen in subsets(count):
            if change not in chosen:
                size = len(chosen)
                weight = math.factorial(size) * math.factorial(count - size - 1) / math.factorial(count)
                share = share + weight * (values[chosen | {change}] - values[chosen])
        shares.append(share)
    return shares


def joined(count: int, possible: Callable[[Sequence[Sequence[int]], Subset], bool], most: int) -> list[list[int]]:
    """Return changes joined into groups so that every subset of groups can be made, at most ``most`` groups.

    Parameters
    ----------
    count : int
        Changes, in file order.
    possible : callable
        Whether a subset of the given groups can be made.
    most : int
        Later changes are joined first where there are more.
    """
    groups = [[change] for change in range(count)]
    while len(groups) > most:
        groups[-2:] = [groups[-2] + groups[-1]]
    while True:
        bad = next((chosen for chosen in subsets(len(groups)) if not possible(groups, chosen)), None)
        if bad is None or len(groups) == 1:
            return groups
        inside = sorted(bad) or [0]
        outside = [place for place in range(len(groups)) if place not in bad]
        partner = next(
            (place for place in outside if possible(groups, bad | {place})), (outside or inside[1:] or [0])[0]
        )
        keep, gone = sorted((inside[0], partner))
        if keep == gone:
            return [list(range(count))]
        groups[keep] = sorted(groups[keep] + groups[gone])
        del groups[gone]
