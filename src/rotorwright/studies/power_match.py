"""Thrust available against thrust required over airspeed, the throttle that level flight and a climb need, limits."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.base.status import NOT_CONVERGED, OK
from rotorwright.flight.batch import run_chunks
from rotorwright.flight.solver import AS_GIVEN, GUESS_INNER, Solutions
from rotorwright.flight.steady import AIRSPEED, CLIMB, COMMAND, ELEVATOR, INCIDENCE, THROTTLE
from rotorwright.studies.balance import Curve
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.power_limits import LimitUse, limits_used
from rotorwright.studies.power_state import PowerState, power_state
from rotorwright.studies.sources import lift_sources, power_sources

Floats = npt.NDArray[np.float64]

SLOWEST, FASTEST, SPEEDS = 0.5, 1.7, 17
"""Airspeeds shown, over the level speed."""
AT_REST = 0.3
"""Airspeed that stands for standing still [m/s]."""
BY_COMMAND = (COMMAND, THROTTLE, INCIDENCE)
BY_ELEVATOR = (INCIDENCE, THROTTLE, ELEVATOR)
HOLDING = (AIRSPEED, INCIDENCE, THROTTLE)


@dataclass(frozen=True)
class Match:
    """The match of thrusters and aeroplane."""

    airspeed: tuple[float, ...]
    curves: tuple[Curve, ...]
    """thrust_available, drag_held, thrust_required [N]; throttle_level [1]; current_full, current_level [A]."""
    level_share: tuple[float, ...]
    """At each airspeed: share of the cases that can hold level flight there by trim, whatever the thrust."""
    limits: tuple[LimitUse, ...]
    """Use at full throttle, shape (cases, speeds + 1); column 0 is standing still."""
    quantities: dict[str, Quantity]
    trimmed_by: str
    """What is moved to fly level at other airspeeds: "rotor command" or "elevator"."""

    @property
    def nominal_limits(self) -> list[tuple[float, LimitUse, float]]:
        """Return, for standing still and each airspeed, (airspeed, the limit used most, its use), nominal case."""
        found = []
        for column, speed in enumerate((0.0, *self.airspeed)):
            uses = [(float(limit.used[0, column]), limit) for limit in self.limits]
            uses = [each for each in uses if np.isfinite(each[0])]
            if uses:
                used, limit = max(uses, key=lambda each: each[0])
                found.append((speed, limit, used))
        return found


def match(reader: Reader, level: npt.NDArray[np.void]) -> Match:
    """Match thrusters and aeroplane.

    Parameters
    ----------
    reader : Reader
        Of the flown aeroplane.
    level : array of STEADY records, shape (cases,)
        From `level_or_held`.

    Returns
    -------
    Match

    Notes
    -----
    Available: full throttle at each airspeed, motors and packs settled, attitude of level flight. Required: thrust of
    level flight at that airspeed, trimmed by the rotor command where a drive turns the rotors, else by the elevator,
    all from the one equation of motion; where no trim holds level flight, only the drag at the held attitude is known.
    """
    flown = reader.flown
    numbers = flown.numbers
    cases = len(numbers.vehicle)
    middle = float(level["airspeed"][0])
    speeds = np.linspace(SLOWEST * middle, FASTEST * middle, SPEEDS)
    tried = np.concatenate([[AT_REST], speeds])
    full = _full_throttle(held_flight(numbers, level), tried)
    state = power_state(full)
    folded = (cases, len(tried))
    limits = limits_used(flown, full, state, folded)
    by = BY_COMMAND if numbers.drives.shape[1] else BY_ELEVATOR
    trimmed = _trimmed(held_flight(numbers, level), speeds, by)
    good = trimmed.holdable.reshape(cases, SPEEDS)
    good &= trimmed.flight[:, COMMAND].reshape(cases, SPEEDS) <= 1.0 + 1e-6
    required = np.where(good, trimmed.steady["thrust"].reshape(cases, SPEEDS), np.nan)
    throttle = np.where(good, trimmed.flight[:, THROTTLE].reshape(cases, SPEEDS), np.nan)
    current = np.where(good, trimmed.steady["pack_current"].reshape(cases, SPEEDS), np.nan)
    thrust = full.steady["thrust"].reshape(folded)
    curves = (
        _curve("thrust_available", "N", thrust[:, 1:]),
        _curve("drag_held", "N", full.steady["drag"].reshape(folded)[:, 1:]),
        _curve("thrust_required", "N", required),
        _curve("throttle_level", "1", throttle),
        _curve("current_full", "A", full.steady["pack_current"].reshape(folded)[:, 1:]),
        _curve("current_level", "A", current),
    )
    return Match(
        airspeed=tuple(float(speed) for speed in speeds),
        curves=curves,
        level_share=tuple(float(share) for share in good.mean(axis=0)),
        limits=tuple(limits),
        quantities=_quantities(reader, level, thrust[:, 0], state, folded),
        trimmed_by="rotor command" if numbers.drives.shape[1] else "elevator",
    )


def _full_throttle(rows: Solutions, speeds: Floats) -> Solutions:
    """Return full throttle at each airspeed, attitude and controls held; rows in the order case, speed."""
    count = len(rows.cases)
    many = rows.take(np.repeat(np.arange(count), len(speeds)))
    many.flight[:, AIRSPEED] = np.tile(speeds, count)
    many.flight[:, THROTTLE] = 1.0

    def chunk(first: int, last: int) -> None:
        span = slice(first, last)
        many.put(span, many.take(span).solve((), GUESS_INNER))

    run_chunks(chunk, len(many.cases))
    return many


def _trimmed(rows: Solutions, speeds: Floats, free: tuple[int, ...]) -> Solutions:
    """Return level flight at each airspeed, each solved from its neighbour nearer to the given flight."""
    count = len(rows.cases)
    many = rows.take(np.repeat(np.arange(count), len(speeds)))
    many.flight[:, AIRSPEED] = np.tile(speeds, count)
    many.flight[:, CLIMB] = 0.0
    many.status[:] = NOT_CONVERGED

    def chunk(first: int, last: int) -> None:
        mine = np.arange(first, last)
        start = rows.take(mine)
        start.solve((), GUESS_INNER)
        centre = int(np.argmin(np.abs(speeds - float(np.median(start.flight[:, AIRSPEED])))))
        for order in (range(centre, len(speeds)), range(centre - 1, -1, -1)):
            here, alive = start.take(slice(None)), np.arange(len(mine))
            missed = np.zeros(len(mine))
            for place in order:
                if not len(alive):
                    break
                there = here.take(alive)
                there.flight[:, AIRSPEED] = speeds[place]
                if COMMAND in free:
                    there.flight[:, COMMAND] *= np.maximum(here.flight[alive, AIRSPEED], 0.5) / speeds[place]
                there.solve(free, AS_GIVEN)
                many.put(mine[alive] * len(speeds) + place, there)
                keep = np.flatnonzero(there.holdable)
                here.put(alive[keep], there.take(keep))
                missed[alive] = np.where(there.holdable, 0.0, missed[alive] + 1.0)
                alive = alive[missed[alive] < 2.0]  # twice nothing: beyond the end of the range

    run_chunks(chunk, count)
    return many


def _curve(name: str, unit: str, rows: Floats) -> Curve:
    """Return nominal and band of each column; a column with fewer than half of its cases has neither."""
    shares = np.isfinite(rows).mean(axis=0)
    low = np.full(rows.shape[1], np.nan)
    high = np.full(rows.shape[1], np.nan)
    there = np.flatnonzero(shares >= 0.5)
    if len(there):
        low[there], high[there] = np.nanquantile(rows[:, there], (0.1, 0.9), axis=0)
    return Curve(name, unit, *(tuple(float(number) for number in row) for row in (rows[0], low, high)))


def _quantities(
    reader: Reader, level: npt.NDArray[np.void], static: Floats, state: PowerState, folded: tuple[int, ...]
) -> dict[str, Quantity]:
    """Return static thrust, its share left at level speed, and throttle and current of level flight and of a climb."""
    flown = reader.flown
    numbers = flown.numbers
    sources = power_sources(flown)
    both = lift_sources(flown) + sources
    weight = numbers.vehicle["mass"] * numbers.air["gravity"]
    opened = held_flight(numbers, level)
    opened.flight[:, THROTTLE] = 1.0
    opened.solve((), GUESS_INNER)
    at_speed = np.where(opened.found, opened.steady["thrust"], np.nan)
    climbing = held_flight(numbers, level)
    climbing.flight[:, CLIMB] = flown.aeroplane.reserve.climb
    climbing.solve((), GUESS_INNER)
    climbing.solve(HOLDING)
    there = climbing.status == OK
    why = "its thrust does not carry the climb asked for as reserve"
    return {
        "static_thrust": reader.quantity(static, "N", sources),
        "thrust_at_level_speed": reader.quantity(at_speed, "N", sources),
        "thrust_left_in_flight": reader.quantity(at_speed / static, "1", sources),
        "static_thrust_to_weight": reader.quantity(static / weight, "1", sources),
        "climb_throttle": reader.quantity(np.where(there, climbing.flight[:, THROTTLE], np.nan), "1", both, why),
        "climb_current": reader.quantity(np.where(there, climbing.steady["pack_current"], np.nan), "A", both, why),
    }
