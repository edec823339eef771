"""The batch runner of the flight room: many cases (samples, levers, designs) on a pool of ordinary threads.

The compiled loops release the interpreter lock, so chunks of cases run side by side and a page that asks for one case
in between is never blocked.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.flight.envelope import Envelope, Look, Nodes, blank_envelope, fly_envelope, look_at_level
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.flight.steady import AIRSPEED, COMMAND, ELEVATOR, INCIDENCE, THROTTLE

CHUNK = 64
LOOKED_AT_ONCE = 256
"""Cases of one chunk where each takes two solutions only."""
Floats = npt.NDArray[np.float64]
Progress = Callable[[int, int], None]


def run_chunks(
    chunk: Callable[[int, int], None], cases: int, progress: Progress | None = None, *, size: int = CHUNK
) -> None:
    """Run ``chunk(first, last)`` over all cases on as many threads as there are cores.

    Parameters
    ----------
    chunk : callable
        Works on cases first … last − 1.
    cases : int
    progress : callable, optional
        Called with (cases done, cases in all); an exception it raises stops the run before further chunks start.
    size : int
        Cases of one chunk, at most.
    """
    size = max(1, min(size, -(-cases // (os.cpu_count() or 1))))
    bounds = [(first, min(first + size, cases)) for first in range(0, cases, size)]
    if len(bounds) == 1:
        chunk(*bounds[0])
        if progress is not None:
            progress(cases, cases)
        return
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as pool:
        jobs = [pool.submit(chunk, first, last) for first, last in bounds]
        try:
            for (_, last), job in zip(bounds, jobs, strict=True):
                job.result()
                if progress is not None:
                    progress(last, cases)
        except BaseException:
            for job in jobs:
                job.cancel()
            raise


def fly_batch(
    numbers: AeroplaneNumbers,
    nodes: Nodes,
    reserve_climb: float,
    reserve_bank: float,
    *,
    thorough: bool = True,
    as_balanced: bool = False,
    progress: Progress | None = None,
) -> Envelope:
    """Fly the envelope of every case of a batch; see `rotorwright.flight.envelope.fly_envelope`.

    Parameters
    ----------
    numbers : AeroplaneNumbers
    nodes : Nodes
    reserve_climb, reserve_bank : float
        Reserve asked for [m/s], [rad].
    thorough : bool
        False judges the reserve only.
    as_balanced : bool
        Take the node that the thorough programme takes.
    progress : callable, optional
        Called with (cases done, cases in all) after each chunk; an exception it raises stops the run.

    Returns
    -------
    envelope : Envelope
    """
    cases = len(numbers.vehicle)
    envelope = blank_envelope(cases)

    def chunk(first: int, last: int) -> None:
        part = fly_envelope(
            numbers, np.arange(first, last), nodes, reserve_climb, reserve_bank, thorough=thorough,
            as_balanced=as_balanced,
        )  # fmt: skip
        envelope.figures[first:last] = part.figures
        envelope.steady[first:last] = part.steady

    run_chunks(chunk, cases, progress)
    return envelope


def look_at_batch(numbers: AeroplaneNumbers) -> Look:
    """Take a first look at every case of a batch; see `rotorwright.flight.envelope.look_at_level`."""
    cases = len(numbers.vehicle)
    look = Look(blank_envelope(cases).steady[:, 0], np.full(cases, np.nan))

    def chunk(first: int, last: int) -> None:
        part = look_at_level(numbers, np.arange(first, last))
        look.steady[first:last], look.spare[first:last] = part

    run_chunks(chunk, cases, size=LOOKED_AT_ONCE)
    return look


def sweep_airspeed(
    numbers: AeroplaneNumbers,
    speeds: Floats,
    incidence: Floats,
    elevator: Floats,
    command: Floats,
    throttle: float = 1.0,
) -> npt.NDArray[Any]:
    """Return forces over airspeed with rotors, motors and packs settled but the aeroplane not in balance.

    Parameters
    ----------
    numbers : AeroplaneNumbers
    speeds : array, shape (speeds,)
        Airspeeds [m/s].
    incidence, elevator, command : arrays, shape (cases,)
        Held along the sweep; see `rotorwright.flight.steady`.
    throttle : float
        Throttle of all thrusters.

    Returns
    -------
    steady : array of STEADY records, shape (cases, speeds)
    """
    cases = len(numbers.vehicle)
    rows = Solutions(numbers, np.repeat(np.arange(cases), len(speeds)))
    rows.flight[:, AIRSPEED] = np.tile(speeds, cases)
    rows.flight[:, INCIDENCE] = np.repeat(incidence, len(speeds))
    rows.flight[:, ELEVATOR] = np.repeat(elevator, len(speeds))
    rows.flight[:, COMMAND] = np.repeat(command, len(speeds))
    rows.flight[:, THROTTLE] = throttle

    def chunk(first: int, last: int) -> None:
        span = slice(first, last)
        rows.put(span, rows.take(span).solve((), GUESS_INNER))

    run_chunks(chunk, len(rows.cases))
    return rows.steady.reshape(cases, len(speeds))


def stop_rotor(numbers: AeroplaneNumbers, level: npt.NDArray[Any], stopped: int) -> tuple[Floats, Floats]:
    """Return what happens at once when one rotor stops in a steady condition.

    Parameters
    ----------
    numbers : AeroplaneNumbers
    level : array of STEADY records, shape (cases,)
        The condition before.
    stopped : int
        Row of the rotor that stops.

    Returns
    -------
    lift_lost : array, shape (cases,)
        Share of the lift lost at the same airspeed and attitude.
    rolling_moment : array, shape (cases,)
        [N m], positive: right side down.
    """
    broken = numbers._replace(rotors=numbers.rotors.copy(), vehicle=numbers.vehicle.copy())
    broken.rotors["turning"][:, stopped] = 0.0
    rows = Solutions(broken, np.arange(len(level)))
    rows.flight[:, AIRSPEED] = level["airspeed"]
    rows.flight[:, INCIDENCE] = level["incidence"]
    rows.flight[:, ELEVATOR] = level["elevator"]
    rows.flight[:, COMMAND] = level["command"]
    rows.flight[:, THROTTLE] = level["throttle"]
    there = np.flatnonzero(np.isfinite(level["airspeed"]))
    part = rows.take(there).solve((), GUESS_INNER)
    lost = np.full(len(level), np.nan)
    moment = np.full(len(level), np.nan)
    good = part.found
    lost[there[good]] = 1.0 - part.steady["air_lift"][good] / level["air_lift"][there[good]]
    moment[there[good]] = part.steady["rolling_moment"][good]
    return lost, moment
