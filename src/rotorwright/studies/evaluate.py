"""From an aeroplane to its flown envelope: the nominal case first, then the samples of the Unknowns, in one batch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.base.unknown import nominal_factors, sampled_factors, unknowns
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import FilledRows, fill
from rotorwright.flight.batch import Progress, fly_batch
from rotorwright.flight.envelope import Envelope, Nodes, nodes_for
from rotorwright.flight.numbers import AeroplaneNumbers, air_record, assemble
from rotorwright.physics.air.atmosphere import air_state
from rotorwright.studies.bench_rig_use import apply_bench, with_zero_first
from rotorwright.studies.custom_blade import filled
from rotorwright.studies.sampling import normal_scores

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Flown:
    """An aeroplane with its envelope; case 0 is nominal, the rest are samples of the Unknowns."""

    aeroplane: Aeroplane
    rows: FilledRows
    numbers: AeroplaneNumbers
    nodes: Nodes
    envelope: Envelope
    scores: Floats
    """Standard-normal scores of the samples, shape (samples, unknowns)."""

    @property
    def samples(self) -> int:
        """Return how many samples there are beside the nominal case."""
        return len(self.scores)


@lru_cache(maxsize=8)
def factors_for(samples: int, seed: int) -> tuple[npt.NDArray[Any], Floats]:
    """Return factor records (nominal first) and the scores they were drawn from."""
    if samples == 0:
        return nominal_factors(1), np.zeros((0, len(unknowns())))
    scores = normal_scores(samples, len(unknowns()), seed)
    return np.concatenate([nominal_factors(1), sampled_factors(scores)]), scores


def field_air(aeroplane: Aeroplane) -> npt.NDArray[Any]:
    """Return the air of the aeroplane's field as one AIR record; steady wind does not change flight in it."""
    site = aeroplane.field
    density, viscosity = air_state(site.elevation, site.temperature, site.humidity, site.pressure or 0.0)
    return air_record(density, viscosity, GRAVITY, (0.0, 0.0, 0.0))


def part_counts(aeroplane: Aeroplane) -> tuple[int, ...]:
    """Return how many rows of each kind an aeroplane fills: those with the same counts can fly together."""
    rows = fill(aeroplane)
    return tuple(len(getattr(rows, kind)) for kind in FilledRows._fields if kind != "names")


def fly_each(
    aeroplanes: Sequence[Aeroplane], shed: Sequence[float] | None = None, *, few: bool = True, thorough: bool = True
) -> list[Flown]:
    """Fly many aeroplanes in the nominal case, those with the same parts together in one batch.

    Parameters
    ----------
    aeroplanes : sequence of Aeroplane
    shed : sequence of float, optional
        Mass taken off each at its centre of gravity [kg].
    few : bool
        Visit the short grid of nodes.
    thorough : bool
        False judges the reserve only.

    Returns
    -------
    flown : list of Flown
        In the order given, without samples.
    """
    masses = list(shed) if shed is not None else [0.0] * len(aeroplanes)
    groups: dict[tuple[Any, ...], list[int]] = {}
    for index, aeroplane in enumerate(aeroplanes):
        reserve = aeroplane.reserve
        groups.setdefault((part_counts(aeroplane), reserve.climb, reserve.bank), []).append(index)
    found: dict[int, Flown] = {}
    for members in groups.values():
        together = _fly_alike(
            [aeroplanes[i] for i in members], [masses[i] for i in members], few=few, thorough=thorough
        )
        found.update(zip(members, together, strict=True))
    return [found[index] for index in range(len(aeroplanes))]


def _fly_alike(aeroplanes: Sequence[Aeroplane], shed: Sequence[float], *, few: bool, thorough: bool) -> list[Flown]:
    """Fly aeroplanes with the same parts in the same order, every Unknown at its median."""
    rows = [filled(aeroplane) for aeroplane in aeroplanes]
    parts = {kind: np.stack([getattr(one, kind) for one in rows]) for kind in FilledRows._fields if kind != "names"}
    air = np.concatenate([field_air(aeroplane) for aeroplane in aeroplanes])
    numbers = assemble(SimpleNamespace(**parts), air, nominal_factors(len(rows)))
    numbers.vehicle["mass"] -= np.asarray(shed)
    nominal = with_zero_first(np.zeros((0, len(unknowns()))))
    for case, aeroplane in enumerate(aeroplanes):
        if any(thruster.bench for thruster in aeroplane.tables.thruster.values()):
            here = slice(case, case + 1)
            names, drives = rows[case].names.thrusters, len(rows[case].drives)
            apply_bench(aeroplane, names, numbers.thrusters[here], numbers.factors[here], nominal, drives)
    reserve = aeroplanes[0].reserve
    nodes = nodes_for(numbers, few=few)
    envelope = fly_batch(numbers, nodes, reserve.climb, reserve.bank, thorough=thorough)
    _, none = factors_for(0, 0)
    return [
        Flown(
            aeroplane, rows[case], AeroplaneNumbers(*(part[case : case + 1] for part in numbers)), nodes,
            Envelope(envelope.figures[case : case + 1], envelope.steady[case : case + 1]), none,
        )
        for case, aeroplane in enumerate(aeroplanes)
    ]  # fmt: skip


def fly(
    aeroplane: Aeroplane,
    *,
    samples: int = 128,
    seed: int = 0,
    few: bool = False,
    thorough: bool = True,
    shed: float = 0.0,
    progress: Progress | None = None,
) -> Flown:
    """Fly the envelope of an aeroplane, nominal and sampled.

    Parameters
    ----------
    aeroplane : Aeroplane
    samples, seed : int
        Samples of the Unknowns; 0 flies the nominal case only.
    few : bool
        Visit the short grid of nodes.
    thorough : bool
        False judges the reserve only.
    shed : float
        Mass taken off at the centre of gravity [kg], for levers.
    progress : callable, optional
        Called with (cases done, cases in all).

    Returns
    -------
    flown : Flown
    """
    factors, scores = factors_for(samples, seed)
    return fly_drawn(
        aeroplane, factors, scores, few=few, thorough=thorough, shed=shed, progress=progress
    )  # fmt: skip


def fly_drawn(
    aeroplane: Aeroplane,
    factors: npt.NDArray[Any],
    scores: Floats,
    *,
    few: bool = False,
    thorough: bool = True,
    shed: float = 0.0,
    progress: Progress | None = None,
) -> Flown:
    """Fly the envelope of an aeroplane with draws of one's own, nominal first; see `fly`.

    Parameters
    ----------
    aeroplane : Aeroplane
    factors : array of FACTORS records, shape (1 + draws,)
        The nominal case first.
    scores : array, shape (draws, unknowns)
        The standard-normal scores behind them.
    few, thorough, shed, progress
        As in `fly`.
    """
    rows = filled(aeroplane)
    numbers = assemble(rows, field_air(aeroplane), factors)
    if any(thruster.bench for thruster in aeroplane.tables.thruster.values()):
        numbers = numbers._replace(factors=numbers.factors.copy())
        apply_bench(
            aeroplane, rows.names.thrusters, numbers.thrusters, numbers.factors, with_zero_first(scores),
            len(rows.drives),
        )  # fmt: skip
    if shed:
        numbers.vehicle["mass"] -= shed
    nodes = nodes_for(numbers, few=few)
    reserve = aeroplane.reserve
    envelope = fly_batch(numbers, nodes, reserve.climb, reserve.bank, thorough=thorough, progress=progress)
    return Flown(aeroplane, rows, numbers, nodes, envelope, scores)
