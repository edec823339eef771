"""Where the balance point may lie: trim and stability as it moves, told from the rotor axis."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.flight.linear import Linear, Q, W, linearise
from rotorwright.flight.solver import AS_GIVEN, Solutions
from rotorwright.flight.steady import AIRSPEED, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.bench_modes import modes_of
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.handling_criteria import CATCHABLE

Floats = npt.NDArray[np.float64]

SHIFTS = (-1.5, -1.0, -0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0)
"""How far the balance point is moved aft, in rotor diameters (mean chords without a rotor)."""
FEW = 16
"""Samples that move it."""
TRAVEL_USED = 0.8
"""Share of elevator travel that trim may use; the rest is for flying (common practice, no source)."""
PITCHING = ("short period", "phugoid", "speed", "plunge", "pitch")


@dataclass(frozen=True)
class BalanceRange:
    """Trim and stability over the balance point, all distances aft of the rotor axis [m]."""

    quantities: dict[str, Quantity]
    places: tuple[float, ...]
    """Balance points tried, every Unknown at its median."""
    elevator: tuple[float | None, ...]
    """Share of travel that trims level flight there, trailing edge down positive."""
    growth: tuple[float | None, ...]
    """Of the fastest growing pitching motion [1/s]; negative: all fade."""
    limits: tuple[str, str]
    """What ends the range ahead and aft."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "places": list(self.places),
            "elevator": list(self.elevator),
            "growth": list(self.growth),
            "limits": list(self.limits),
        }


def balance_range(flown: Flown, rows: Solutions, models: list[Linear], reader: Reader) -> BalanceRange:
    """Move the balance point, trim level flight with the elevator, and see how it answers.

    Parameters
    ----------
    flown : Flown
    rows : Solutions
        Level flight of every case, settled.
    models : list of Linear
        About those.
    reader : Reader

    Notes
    -----
    Incidence held as in the nominal level flight, airspeed, throttle and elevator free. The range ends where trim takes
    more than 80 % of the elevator, or a pitching motion doubles in less than 4 s. The neutral point is where the
    settled pitching moment no longer answers a vertical disturbance: M_w/Z_w behind the balance point.
    """
    axis, size = _axis(flown)
    now = -(flown.numbers.vehicle["x"]) - axis
    ends = np.full((1 + min(FEW, flown.samples), 2), np.nan)
    reasons = ["", ""]
    nominal: tuple[list[float], list[float | None], list[float | None]] = ([], [], [])
    for case in range(len(ends)):
        places, elevator, growth = _moved(rows, case, float(now[case]), size)
        if case == 0:
            nominal = (places, [_clean(x) for x in elevator], [_clean(x) for x in growth])
        for side, outward in enumerate((-1, 1)):
            ends[case, side], reason = _end(places, elevator, growth, outward)
            if case == 0:
                reasons[side] = reason
    neutral = [_neutral_point(model) for model in models]
    few = _few(reader, len(ends) - 1)
    sources = ("etkin1996", "mechanics")
    quantities = {
        "balance_point": reader.quantity(now, "m", sources),
        "neutral_point": reader.quantity(now + np.array(neutral), "m", sources),
        "balance_point_first": few(ends[:, 0], "m", sources),
        "balance_point_last": few(ends[:, 1], "m", sources),
    }
    places_tried, elevators, growths = nominal
    return BalanceRange(quantities, tuple(places_tried), tuple(elevators), tuple(growths), (reasons[0], reasons[1]))


def _few(reader: Reader, samples: int) -> Any:
    def quantity(values: Floats, unit: str, sources: tuple[str, ...]) -> Quantity:
        from rotorwright.base.quantity import from_samples

        there = values[1:] if samples else values
        found = from_samples(
            there, float(values[0]), unit, support=reader.support, sources=sources,
            reason="not reached within what was tried",
        )  # fmt: skip
        if samples:
            return found
        return Quantity(found.nominal, None, None, found.nominal, unit, found.share, reader.support, sources, "")

    return quantity


def _axis(flown: Flown) -> tuple[float, float]:
    """Return how far aft of the nose the rotor axis lies (lift-weighted by area), and the rotor diameter [m]."""
    rotors = flown.rows.rotors
    if len(rotors):
        area = rotors["span"] * rotors["diameter"]
        return -float((rotors["x"] * area).sum() / area.sum()), float(area.sum() / rotors["span"].sum())
    wings = flown.rows.surfaces[flown.rows.surfaces["kind"] == 0.0]
    widest = wings[int(np.argmax(wings["area"]))] if len(wings) else flown.rows.surfaces[0]
    return -float(widest["x"]), float(widest["chord"])


def _moved(rows: Solutions, case: int, now: float, size: float) -> tuple[list[float], list[float], list[float]]:
    places = [now + shift * size for shift in SHIFTS]
    elevator, growth = [math.nan] * len(places), [math.nan] * len(places)
    middle = SHIFTS.index(0.0)
    for order in (range(middle, len(places)), range(middle - 1, -1, -1)):
        part = rows.take(np.array([case]))
        part.numbers = part.numbers._replace(vehicle=part.numbers.vehicle.copy())
        part.flight[:, INCIDENCE] = rows.flight[0, INCIDENCE]
        for k in order:
            part.numbers.vehicle["x"][case] = rows.numbers.vehicle["x"][case] - SHIFTS[k] * size
            part.solve((AIRSPEED, THROTTLE, ELEVATOR), AS_GIVEN)
            if not part.found[0]:
                break
            elevator[k] = float(part.flight[0, ELEVATOR])
            model = linearise(part, 0)
            modes = modes_of(model.matrix, model.states)
            growth[k] = max((mode.real for mode in modes if mode.name.startswith(PITCHING)), default=math.nan)
    return places, elevator, growth


def _end(places: list[float], elevator: list[float], growth: list[float], outward: int) -> tuple[float, str]:
    """Return where the range ends on one side, straight between the places tried, and why; NaN if it does not."""
    middle = SHIFTS.index(0.0)
    order = list(range(middle, len(places))) if outward > 0 else list(range(middle, -1, -1))
    tests = (
        ([abs(x) - TRAVEL_USED for x in elevator], "80 % of the elevator is used to trim"),
        ([x - math.log(2.0) / CATCHABLE for x in growth], "a pitching motion doubles in less than 4 s"),
    )
    best, why = math.nan, ""
    for values, reason in tests:
        for here, there in pairwise(order):
            a, b = values[here], values[there]
            if not math.isfinite(a):
                break
            if a > 0.0:  # outside already where it is
                crossing = places[here]
            elif math.isfinite(b) and b > 0.0:
                crossing = places[here] + (places[there] - places[here]) * a / (a - b)
            elif not math.isfinite(b):
                crossing, reason = places[here], "beyond it no elevator trims level flight in this attitude"
            else:
                continue
            if not math.isfinite(best) or outward * (crossing - best) < 0.0:
                best, why = crossing, reason
            break
    return best, why


def _neutral_point(model: Linear) -> float:
    """Return how far the neutral point lies behind the balance point [m]."""
    matrix = model.settled()
    force = model.mass * float(matrix[W, W])
    moment = float(model.inertia[1, 1]) * float(matrix[Q, W])
    return moment / force if abs(force) > 1e-9 else math.nan


def _clean(number: float) -> float | None:
    return number if math.isfinite(number) else None
