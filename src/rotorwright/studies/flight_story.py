"""One simulated flight told as a story: what happened when, and what was worst.

Read from the history alone, so that whatever flew it is told alike.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.studies.flight_history import Column, History

Floats = npt.NDArray[np.float64]

UP_TO_SPEED = 0.8
"""Share of the speed in level flight at which a rotor counts as up to speed."""
LASTING = 0.5
"""Off the ground for so long counts as lift-off, a shorter hop as a bounce [s]."""
QUARTER = 0.5 * math.pi
TOPPED = 0.9
"""Share of the greatest height that ends the first climb."""
SKIMMED = 2.0
"""In the air for so long without being a span up counts as skimming [s] (judgement)."""
ON_ITS_SIDE = 1.4
"""Bank beyond which nobody flies it any more [rad], 80°."""
NOTED_RISE = 3.0
"""A warming by less than this is not worth a line [K]."""


@dataclass(frozen=True)
class Moment:
    """Something that happened: when, what kind, and the numbers that belong to it (SI, by name)."""

    time: float
    what: str
    numbers: dict[str, float]

    def as_dict(self) -> dict[str, object]:
        """Return plain JSON-ready data."""
        return {"time": self.time, "what": self.what, **self.numbers}


@dataclass(frozen=True)
class Extreme:
    """The worst of something over the flight: when and how much."""

    what: str
    time: float
    value: float
    unit: str

    def as_dict(self) -> dict[str, object]:
        """Return plain JSON-ready data."""
        return dict(vars(self))


@dataclass(frozen=True)
class Story:
    """A flight in moments, in order of time, and its worst moments."""

    moments: tuple[Moment, ...]
    extremes: tuple[Extreme, ...]


def stretches(flags: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return where flags are set without a break: first row, and the row after the last."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(np.int8)))
    return [(int(first), int(last)) for first, last in edges.reshape(-1, 2)]


def time_in_the_air(history: History) -> list[tuple[int, int]]:
    """Return the stretches off the ground that last, as rows."""
    time = history["time"]
    aloft = stretches(history["on_ground"] < 0.5)
    return [(first, last) for first, last in aloft if time[last - 1] - time[first] >= LASTING]


def tell(history: History, *, level_spin: float, span: float, events: tuple[tuple[float, str], ...] = ()) -> Story:
    """Tell a flight.

    Parameters
    ----------
    history : History
        With time, north, east, height, airspeed, climb, bank, heading, on_ground, and a rotor_speed_of_… for each.
    level_spin : float
        Speed of the rotors in level flight [rad/s], 0 where there is none.
    span : float
        Over the tips [m]: so high it is clear of ground effect.
    events : tuple of (time, words)
        What was made to happen.

    Returns
    -------
    Story
    """
    moments = [Moment(when, "event", {}) for when, _ in events if when <= history["time"][-1]]
    moments += _spin(history, level_spin)
    aloft = time_in_the_air(history)
    if aloft:
        first = aloft[0][0]
        if first > 0:
            moments.append(_at(history, first, "lift-off", distance=_way(history)[first]))
        last = aloft[-1][1]
        rolled = np.flatnonzero(np.abs(history["bank"][first:last]) > ON_ITS_SIDE)
        flown = first + int(rolled[0]) if len(rolled) else last
        moments += _skim(history, first, flown, span)
        moments += _climb(history, first, flown, span)
        moments += _turns(history, first, flown)
        if flown < last:
            moments.append(_at(history, flown, "out of control"))
        for begin, end in aloft:
            if end < len(history):
                moments.append(_touch(history, begin, end))
    moments.append(_at(history, len(history) - 1, "end", distance=_way(history)[-1]))
    order = {"event": 0, "touch-down": 1, "end": 2}
    moments.sort(key=lambda moment: (moment.time, order.get(moment.what, 0)))
    return Story(tuple(moments), tuple(_extremes(history, aloft)))


def _at(history: History, row: int, what: str, **more: float) -> Moment:
    numbers = {name: float(history[name][row]) for name in ("airspeed", "height")}
    return Moment(
        float(history["time"][row]), what, {**numbers, **{name: float(value) for name, value in more.items()}}
    )


def _way(history: History) -> Floats:
    """Return the way over the ground so far [m]."""
    steps = np.hypot(np.diff(history["north"]), np.diff(history["east"]))
    return np.concatenate([[0.0], np.cumsum(steps)])


def _spin(history: History, level_spin: float) -> list[Moment]:
    names = history.names("rotor_speed")
    if not names or level_spin <= 0.0:
        return []
    slowest = np.min([history[name] for name in names], axis=0)
    up = np.flatnonzero(slowest >= UP_TO_SPEED * level_spin)
    if len(up) and up[0] > 0:
        return [_at(history, int(up[0]), "rotors up to speed", rotor_speed=slowest[up[0]])]
    return []


def _skim(history: History, first: int, last: int, span: float) -> list[Moment]:
    """Return the moment at which skimming begins, if it flies for long and never rises clear of the ground."""
    if last - first < 2:
        return []
    over = history["height"][first:last] - (history["height"][first] if first > 0 else 0.0)
    lasted = float(history["time"][last - 1] - history["time"][first])
    if lasted < SKIMMED or over.max() > span:
        return []
    way = _way(history)
    return [_at(history, first, "skims", lasted=lasted, distance=way[last - 1] - way[first], highest=float(over.max()))]


def _climb(history: History, first: int, last: int, span: float) -> list[Moment]:
    found: list[Moment] = []
    if last <= first:
        return found
    height = history["height"]
    over = height[first] if first > 0 else 0.0
    clear = np.flatnonzero(height[first:last] - over > span)
    if len(clear) and first > 0:
        found.append(_at(history, first + int(clear[0]), "clear of the ground"))
    top = first + int(height[first:last].argmax())
    if height[top] > height[first] + span:
        goal = height[first] + TOPPED * (height[top] - height[first])
        there = first + int(np.flatnonzero(height[first : top + 1] >= goal)[0])
        rise = (height[there] - height[first]) / max(history["time"][there] - history["time"][first], 1e-9)
        found.append(_at(history, there, "top of the climb", climb=rise))
    return found


def _turns(history: History, first: int, last: int) -> list[Moment]:
    """Return a moment at the end of each quarter turn that follows on the one before in the same sense."""
    if last <= first:
        return []
    turned = np.unwrap(history["heading"][first:last])
    turned = turned - turned[0]
    found = []
    begin, quarters = 0, 0
    for row in range(len(turned)):
        if abs(turned[row]) >= (quarters + 1) * QUARTER - 0.05:
            here = slice(first + begin, first + row + 1)
            low, top = float(history["height"][here].min()), float(history["height"][here.start])
            found.append(
                _at(
                    history,
                    first + row,
                    "quarter turn",
                    count=quarters + 1,
                    side=math.copysign(1.0, turned[row]),
                    lost=max(top - low, 0.0),
                    slowest=float(history["airspeed"][here].min()),
                    steepest=float(np.abs(history["bank"][here]).max()),
                )
            )
            begin, quarters = row, quarters + 1
    return found


def _touch(history: History, begin: int, end: int) -> Moment:
    before = max(end - 1, begin)
    bank, pitch = float(history["bank"][before]), float(history["pitch"][before])
    return _at(history, end, "touch-down", sink=-float(history["climb"][before]), bank=bank, pitch=pitch)


def _extremes(history: History, aloft: list[tuple[int, int]]) -> list[Extreme]:
    time = history["time"]
    flying = np.zeros(len(history), dtype=bool)
    for first, last in aloft:
        flying[first:last] = True
    found = []

    def note(what: str, values: Floats, unit: str, rows: npt.NDArray[np.bool_], *, least: bool = False) -> None:
        there = np.flatnonzero(rows & np.isfinite(values))
        if len(there):
            row = int(there[(values[there].argmin() if least else values[there].argmax())])
            found.append(Extreme(what, float(time[row]), float(values[row]), unit))

    if aloft:
        note("slowest", history["airspeed"], "m/s", flying, least=True)
        note("fastest", history["airspeed"], "m/s", flying)
        note("steepest bank", np.abs(history["bank"]), "rad", flying)
        note("greatest height", history["height"], "m", flying)
        note("fastest sink", -history["climb"], "m/s", flying)
        for name in history.names("rotor_speed"):
            note(f"slowest {_part(name, 'rotor')}", history[name], "rad/s", flying, least=True)
    everywhere = np.ones(len(history), dtype=bool)
    for name in history.names("winding_temperature"):
        values = history[name]
        if np.nanmax(values) - values[0] > NOTED_RISE:
            note(f"hottest {_part(name, 'motor')}", values, "K", everywhere)
    for name in history.names("pack_voltage"):
        note(f"lowest voltage of {_part(name, 'pack')}", history[name], "V", everywhere, least=True)
    for name in history.names("charge"):
        note(f"charge left in {_part(name, 'pack')}", history[name], "1", everywhere, least=True)
    return found


def _part(name: str, kind: str) -> str:
    """Return a part of a column's name in words: ``rotor_speed_of_left`` → ``rotor left``."""
    return f"{kind} {name.split('_of_', 1)[1].replace('_', ' ')}" if "_of_" in name else kind


def blank_history(rows: int) -> dict[str, Column]:
    """Return the columns every history has, all zero: a start for makers of histories."""
    units = {
        "time": ("s", "since the start"),
        "north": ("m", "along the strip from the start"),
        "east": ("m", "to the right of the strip"),
        "height": ("m", "of the balance point above where it stood at the start"),
        "airspeed": ("m/s", "speed through the air"),
        "ground_speed": ("m/s", "speed over the ground"),
        "climb": ("m/s", "rate of climb"),
        "bank": ("rad", "bank, right side down positive"),
        "pitch": ("rad", "nose above level"),
        "heading": ("rad", "nose to the right of the strip's direction"),
        "on_ground": ("1", "1 while anything touches the ground"),
    }
    return {name: Column(np.zeros(rows), unit, said) for name, (unit, said) in units.items()}
