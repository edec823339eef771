"""Keep-out bands: speeds at which a rotor shakes, how wide to stay clear, and whether the flight lies inside."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.physics.structure.critical import mixed_criticals, whirl_criticals
from rotorwright.physics.structure.unequal import unstable_edges
from rotorwright.studies.shake_model import RotorShaft

Floats = npt.NDArray[np.float64]

CLEAR = {"avoid": 0.15, "cross": 0.10, "notice": 0.05}
"""How far to stay from a critical speed on either side, by how hard it shakes (judgement; common practice)."""
LOOK_UP = 1.4
"""Bands up to this many times the fastest flight are told."""
LEAST_UNEQUAL = 0.003
"""Bending inequality below which a rotor counts as alike all round."""
MOST_MODES = 3
SOURCES = ("friswell2010", "mechanics")
UNEQUAL_SOURCES = ("friswell2010", "ota1983")


@dataclass(frozen=True)
class KeepOut:
    """One band of speeds to keep out of."""

    name: str
    """In workshop words: what shakes."""
    cause: str
    """What makes it shake, and what does not help."""
    how: str
    """avoid, cross or notice."""
    critical: Quantity
    """The speed at its heart; of an unstable band the lower edge [rad/s]."""
    upper: Quantity
    """The upper edge of an unstable band; else as ``critical``."""
    low: float
    """Where keeping out starts: 10th percentile of the lower edge less the clearance [rad/s]."""
    high: float
    lower_edges: Floats
    """Of every case, clearance taken off [rad/s]."""
    upper_edges: Floats
    order: float

    def share_inside(self, slowest: Floats, fastest: Floats) -> float:
        """Return the share of samples in which a range of speeds meets the band of that sample."""
        there = np.isfinite(self.lower_edges) & np.isfinite(slowest) & np.isfinite(fastest)
        meets = (slowest <= self.upper_edges) & (fastest >= self.lower_edges)
        picked = slice(1, None) if len(there) > 1 else slice(None)
        count = int(np.isfinite(slowest[picked]).sum())
        return float((there & meets)[picked].sum()) / count if count else 0.0


def quantity_of(numbers: Floats, unit: str, support: str, sources: tuple[str, ...], reason: str = "") -> Quantity:
    """Return a quantity from one number per case, nominal first; without samples it has no band."""
    values = np.asarray(numbers, dtype=np.float64)
    if len(values) > 1:
        return from_samples(values[1:], float(values[0]), unit, support=support, sources=sources, reason=reason)
    found = from_samples(values, float(values[0]), unit, support=support, sources=sources, reason=reason)
    return Quantity(found.value, None, None, found.nominal, unit, found.share, support, sources, found.reason)


def criticals_of(shaft: RotorShaft, order: float = 1.0) -> tuple[Floats, Floats]:
    """Return forward and backward critical speeds of every case, or all mixed ones twice on uneven mounts."""
    if shaft.model.even:
        return whirl_criticals(shaft.model, order), whirl_criticals(shaft.model, order, forward=False)
    mixed = mixed_criticals(shaft.model, order)
    return mixed, mixed


def first_forward(shaft: RotorShaft, forward: Floats) -> tuple[Floats, Floats]:
    """Return lower and upper edge of the first critical of every case: equal but for two-vaned rotors."""
    if shaft.unequal is not None:
        return unstable_edges(shaft.unequal)
    if shaft.model.even:
        return forward[:, 0], forward[:, 0]
    return forward[:, 0], forward[:, 1]  # uneven mounts: a pair, both excited


def first_band(shaft: RotorShaft, forward: Floats) -> KeepOut:
    """Return the band of the first bending of one rotor.

    Parameters
    ----------
    shaft : RotorShaft
        Nominal and sampled.
    forward : array, shape (cases, freedoms)
        Critical speeds of order one, from `criticals_of`.
    """
    low, high = first_forward(shaft, forward)
    if not is_unequal(shaft):
        cause = "unbalance drives the first bending or bouncing on the mounts once per turn"
        return _band("first bending", cause, "avoid", low, high, 1.0, SOURCES)
    unstable = np.mean(_unequal(low, high) > 2.0 * shaft.damping)
    cause = (
        "two vanes bend more easily one way than the other; between the edges the shake grows by itself and "
        "balancing does not help"
        if unstable >= 0.1
        else "unbalance drives the first bending; the two vanes split it a little"
    )
    return _band("first bending, both ways of the vanes", cause, "avoid", low, high, 1.0, UNEQUAL_SOURCES)


def is_unequal(shaft: RotorShaft) -> bool:
    """Return whether a rotor bends noticeably more easily one way than the other."""
    unequal = inequality_of(shaft)
    return unequal is not None and bool(np.median(unequal) > LEAST_UNEQUAL)


def keep_outs(shaft: RotorShaft, fastest: float, ratio: float, forward: Floats, backward: Floats) -> list[KeepOut]:
    """Return the bands of one rotor up to a little above its fastest flight, hardest first.

    Parameters
    ----------
    shaft : RotorShaft
        Nominal and sampled.
    fastest : float
        Fastest flight of any sample [rad/s].
    ratio : float
        Motor turns per rotor turn, 0 without a drive.
    forward, backward : array, shape (cases, freedoms)
        Critical speeds of order one, from `criticals_of`.
    """
    limit = LOOK_UP * fastest
    found = [first_band(shaft, forward)]
    low, high = (edges / (1.0 + way * CLEAR["avoid"]) for edges, way in
                 ((found[0].lower_edges, -1.0), (found[0].upper_edges, 1.0)))  # fmt: skip
    step = 1 if shaft.model.even else 2
    for mode in range(1, MOST_MODES):
        place = mode * step
        if place + step - 1 < forward.shape[1]:
            word = ("second", "third")[mode - 1]
            cause = "unbalance, more the couple of both ends, drives it once per turn"
            speeds = forward[:, place], forward[:, place + step - 1]
            found.append(_band(f"{word} bending", cause, "avoid", *speeds, 1.0, SOURCES))
    if is_unequal(shaft):
        cause = "lift and weight bend unequal vanes twice a turn"
        half = 0.5 * np.sqrt(0.5 * (low**2 + high**2))
        found.append(_band("half the first critical", cause, "cross", half, half, 2.0, UNEQUAL_SOURCES))
    if shaft.vanes > 1 and not (shaft.vanes == 2 and is_unequal(shaft)):
        passing = criticals_of(shaft, float(shaft.vanes))
        cause = f"{shaft.vanes} vanes pass in a turn and the lift ripples with them"
        both = np.minimum(passing[0][:, 0], passing[1][:, 0]), np.maximum(passing[0][:, 0], passing[1][:, 0])
        found.append(_band("vanes passing", cause, "notice", *both, float(shaft.vanes), SOURCES))
    if ratio > 1.0:
        motor = criticals_of(shaft, ratio)
        both = np.minimum(motor[0][:, 0], motor[1][:, 0]), np.maximum(motor[0][:, 0], motor[1][:, 0])
        cause = f"the motor turns {ratio:.3g} times as fast and shakes the rotor through belt and mount"
        found.append(_band("the motor's own turns", cause, "notice", *both, ratio, SOURCES))
    return [band for band in found if np.isfinite(band.low) and band.low < limit]


def _unequal(low: Floats, high: Floats) -> Floats:
    """Return the inequality μ that the edges of an unstable band tell."""
    return np.asarray((high**2 - low**2) / (high**2 + low**2))


def inequality_of(shaft: RotorShaft) -> Floats | None:
    """Return how unequal a rotor bends, for every case; None if it bends alike all round."""
    return None if shaft.unequal is None else _unequal(*unstable_edges(shaft.unequal))


def _band(
    name: str, cause: str, how: str, low: Floats, high: Floats, order: float, sources: tuple[str, ...]
) -> KeepOut:
    clear = CLEAR[how]
    lower, upper = low * (1.0 - clear), high * (1.0 + clear)
    picked = slice(1, None) if len(lower) > 1 else slice(None)
    there = np.isfinite(lower[picked])
    start, end = np.nan, np.nan
    if there.mean() >= 0.5:
        start = float(np.quantile(lower[picked][there], 0.1))
        end = float(np.quantile(upper[picked][there], 0.9))
    reason = "no such whirl keeps step with the spin"
    return KeepOut(
        name, cause, how, quantity_of(low, "rad/s", "beyond data", sources, reason),
        quantity_of(high, "rad/s", "beyond data", sources, reason), start, end, lower, upper, order,
    )  # fmt: skip
