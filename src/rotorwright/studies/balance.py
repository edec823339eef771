"""Balance: does it fly, by how much, how sure are we, what is missing, what to change first."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.batch import Progress, sweep_airspeed
from rotorwright.flight.envelope import LEVEL, UNTRIMMED
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.studies.balance_quantities import read_quantities
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.known_machines import KnownMachine, known_machines
from rotorwright.studies.rules_of_thumb import RuleOfThumb, rules_of_thumb
from rotorwright.studies.speed_range import speed_range_sentence
from rotorwright.studies.verdict import Change, Verdict, judge
from rotorwright.studies.warnings import Remark, remarks_on

SCHEMA = 1
CURVE_SPEEDS = 25
CHANGE_SAMPLES = 64
"""Changes are compared on at most so many of the samples: enough for a ranking, a quarter of the time."""


def samples_for_changes(samples: int) -> int:
    """Return on how many samples the changes are compared."""
    return min(samples, CHANGE_SAMPLES)


@dataclass(frozen=True)
class Curve:
    """A force over airspeed: nominal, 10th and 90th percentile (equal in a nominal run)."""

    name: str
    unit: str
    nominal: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]


@dataclass(frozen=True)
class Curves:
    """Forces over airspeed with rotors, motors and packs settled at each speed, full throttle."""

    airspeed: tuple[float, ...]
    curves: tuple[Curve, ...]


@dataclass(frozen=True)
class BalanceResult:
    """The answer of `balance`: verdict, quantities by name, forces over airspeed, rules of thumb, warnings."""

    aeroplane: Aeroplane
    quantities: dict[str, Quantity]
    verdict: Verdict
    remarks: tuple[Remark, ...]
    speed_range: str
    """Why the range of level speeds is narrow or wide, in words."""
    rules: tuple[RuleOfThumb, ...]
    machines: tuple[KnownMachine, ...]
    samples: int
    seed: int
    _flown: Flown = field(repr=False, compare=False)

    @cached_property
    def curves(self) -> Curves | None:
        """Forces over airspeed, None where nothing holds it; worked out when first asked for: few answers show them."""
        return force_curves(self._flown)

    @property
    def warnings(self) -> tuple[str, ...]:
        """Return the remarks as plain text."""
        return tuple(remark.text for remark in self.remarks)

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        site = self.aeroplane.field
        curves = None
        if self.curves is not None:
            curves = {
                "airspeed": {"unit": "m/s", "values": list(self.curves.airspeed)},
                **{
                    c.name: {"unit": c.unit, "nominal": list(c.nominal), "low": list(c.low), "high": list(c.high)}
                    for c in self.curves.curves
                },
            }
        return {
            **head(
                self.aeroplane,
                {
                    "elevation": site.elevation,
                    "temperature": site.temperature,
                    "humidity": site.humidity,
                    "pressure": site.pressure,
                    "wind": site.wind,
                    "reserve_climb": self.aeroplane.reserve.climb,
                    "reserve_bank": self.aeroplane.reserve.bank,
                    "samples": self.samples,
                    "samples_for_changes": samples_for_changes(self.samples),
                    "seed": self.seed,
                },
                SCHEMA,
            ),
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": self.verdict.as_dict(),
            "speed_range": self.speed_range,
            "curves": curves,
            "rules_of_thumb": [rule.as_dict() for rule in self.rules],
            "known_machines": [machine.as_dict() for machine in self.machines],
            "warnings": list(self.warnings),
            "filled_in": [entry.field for entry in self.aeroplane.filled_in],
        }


def balance(
    aeroplane: Aeroplane,
    *,
    samples: int = 128,
    seed: int = 0,
    nominal_only: bool = False,
    progress: Progress | None = None,
) -> BalanceResult:
    """Judge an aeroplane.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    samples, seed : int
        Samples of the Unknowns behind the bands, at most 1024, and the seed that shifts them.
    nominal_only : bool
        Fly the median of every Unknown only: quick, no bands, no probability, no changes.
    progress : callable, optional
        Called with (steps done, steps in all); an exception it raises stops the work.

    Returns
    -------
    result : BalanceResult

    Raises
    ------
    ValueError
        If more samples are asked for than the table holds.
    """
    count = 0 if nominal_only else samples
    flown = fly(aeroplane, samples=count, seed=seed, progress=progress)
    return judged(flown, seed=seed, progress=progress)


def judged(flown: Flown, *, seed: int = 0, progress: Progress | None = None) -> BalanceResult:
    """Return the balance of an aeroplane that has been flown already; see `balance`."""
    changes: tuple[Change, ...] = ()
    advice = ""
    if flown.samples:
        # imported here because a nominal answer, which must come at once, does without them
        from rotorwright.studies.change_first import changes_to_make
        from rotorwright.studies.levers import pull

        few = samples_for_changes(flown.samples)
        base, results = pull(flown, samples=few, seed=seed, progress=progress)
        changes, advice = changes_to_make(flown, base, results, samples=few, seed=seed)
    quantities = read_quantities(flown)
    return BalanceResult(
        aeroplane=flown.aeroplane,
        quantities=quantities,
        verdict=judge(flown, changes, advice),
        remarks=remarks_on(flown, quantities),
        speed_range=speed_range_sentence(flown, quantities),
        rules=rules_of_thumb(flown, quantities),
        machines=known_machines(flown, quantities),
        samples=flown.samples,
        seed=seed,
        _flown=flown,
    )


def force_curves(flown: Flown) -> Curves | None:
    """Return lift minus weight and thrust minus drag over airspeed, at the attitude of level flight."""
    steady = flown.envelope.steady
    level = np.isfinite(steady["airspeed"][:, LEVEL])
    rows = np.where(level[:, None], steady[:, LEVEL : LEVEL + 1], steady[:, UNTRIMMED : UNTRIMMED + 1])[:, 0]
    there = np.isfinite(rows["airspeed"]) & np.isfinite(rows["incidence"])
    if not there.any():
        return None
    middle = float(np.median(rows["airspeed"][there]))
    speeds = np.linspace(0.35 * middle, 1.75 * middle, CURVE_SPEEDS)
    part = AeroplaneNumbers(*(array[there] for array in flown.numbers))
    chosen = rows[there]
    swept = sweep_airspeed(part, speeds, chosen["incidence"], chosen["elevator"], chosen["command"])
    weight = (part.vehicle["mass"] * part.air["gravity"])[:, None]
    curves = (
        _curve("lift_minus_weight", swept["lift"] - weight),
        _curve("thrust_minus_drag", swept["thrust"] - swept["drag"]),
        _curve("lift", swept["air_lift"]),
        _curve("drag", swept["drag"]),
        _curve("thrust", swept["thrust"]),
    )
    return Curves(tuple(float(speed) for speed in speeds), curves)


def _curve(name: str, forces: Any) -> Curve:
    nominal = forces[0]
    alone = len(forces) == 1  # quantiles of one row are that row, and slow to find
    low, high = (nominal if alone else np.nanquantile(forces, share, axis=0) for share in (0.1, 0.9))
    return Curve(name, "N", *(tuple(float(number) for number in row) for row in (nominal, low, high)))
