"""Hours of a forecast judged: go, wait or no, each with its reasons."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rotorwright.physics.air.beaufort import NAMES, SIGNS, beaufort_force, wind_components
from rotorwright.physics.air.wind import ROUGHNESS, wind_at_height
from rotorwright.studies.wind_limits import CROSS, GROUND_PHASE, GUST, HAND_HEIGHT, HEAD, MEAN, PEAK, Limit

GO, WAIT, NO = "go", "wait", "no"
SWING = math.radians(20.0)
"""How far the wind swings off a runway that was laid into it (judgement)."""
GUST_FACTOR = 1.5
"""Gust over mean wind where a forecast tells none (common practice, no source)."""
COLD, HOT = 278.15, 308.15


@dataclass(frozen=True)
class Hour:
    """One line of a forecast; wind at 10 m."""

    time: str
    wind: float
    """[m/s]"""
    gust: float | None = None
    """Gust speed, not excess [m/s]."""
    wind_from: float | None = None
    """[rad]"""
    temperature: float | None = None
    """[K]"""
    rain: float | None = None
    """[m] of water in the hour."""

    @property
    def excess(self) -> float:
        """Return by how much gusts exceed the mean wind [m/s]."""
        gust = GUST_FACTOR * self.wind if self.gust is None else self.gust
        return max(gust - self.wind, 0.0)


@dataclass(frozen=True)
class Judged:
    """An hour with its word."""

    hour: Hour
    word: str
    reasons: tuple[str, ...]
    headwind: float
    """Along the runway at 10 m [m/s]."""
    crosswind: float
    force: int
    """Beaufort."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "time": self.hour.time, "wind": self.hour.wind, "gust": self.hour.gust, "from": self.hour.wind_from,
            "temperature": self.hour.temperature, "rain": self.hour.rain, "word": self.word,
            "reasons": list(self.reasons), "headwind": self.headwind, "crosswind": self.crosswind,
            "beaufort": self.force, "sign": f"{NAMES[self.force]}: {SIGNS[self.force]}",
        }  # fmt: skip


def judge_hours(
    hours: Sequence[Hour], limits: Sequence[Limit], *, runway: float | None, around: str, flown: bool, flies: bool
) -> tuple[Judged, ...]:
    """Judge every hour against the limits of all phases.

    Parameters
    ----------
    hours : sequence of Hour
    limits : sequence of Limit
    runway : float, optional
        Heading of the run [rad], either way may be used; without one the run is laid into the wind.
    around : str
        One of `rotorwright.physics.air.wind.ROUGHNESS`.
    flown : bool
        Whether the aeroplane is trimmed and known; else the rules of thumb for first flights count as well.
    flies : bool
        Whether it holds its height at all.

    Notes
    -----
    Above the median of a limit: no. Above the low end of its band, or above the rule of thumb: wait.
    """
    return tuple(_judge(hour, limits, runway, around, flown, flies) for hour in hours)


def components(hour: Hour, runway: float | None) -> tuple[float, float]:
    """Return headwind and crosswind at 10 m [m/s], the better way along the runway."""
    if runway is None or hour.wind_from is None:
        return hour.wind, hour.wind * math.sin(SWING)
    head, side = wind_components(hour.wind, hour.wind_from, runway)
    return abs(head), abs(side)


def _together(limits: Sequence[Limit]) -> list[tuple[str, Limit]]:
    """Return limits with their phases in words, those alike told once."""
    groups: dict[tuple[str, float | None], list[Limit]] = {}
    for limit in limits:
        groups.setdefault((limit.kind, limit.wind.value), []).append(limit)
    return [(", ".join(each.phase for each in alike), alike[0]) for alike in groups.values()]


def _judge(hour: Hour, limits: Sequence[Limit], runway: float | None, around: str, flown: bool, flies: bool) -> Judged:
    head, side = components(hour, runway)
    near = float(wind_at_height(1.0, HAND_HEIGHT, ROUGHNESS[around]))
    share = side / hour.wind if hour.wind > 0.0 else 0.0
    met = {
        HEAD: hour.wind,
        MEAN: hour.wind,
        GUST: hour.excess,
        CROSS: near * side + 0.5 * hour.excess * share,
        PEAK: near * hour.wind + hour.excess,
    }
    no: list[tuple[float, str]] = []
    wait: list[tuple[float, str]] = []
    for phases, limit in _together(limits):
        top, low = limit.wind.value, limit.wind.low
        if top is None or low is None:
            continue
        value = met[limit.kind]
        rule = limit.flown if flown else limit.first_flight
        told = f"{phases}: {limit.kind} {value:.1f} m/s"
        if value > top and limit.phase.startswith(GROUND_PHASE):
            wait.append((value / max(top, 0.1), f"{told}, from {top:.1f} it must be held or tied down"))
        elif value > top:
            no.append((value / max(top, 0.1), f"{told}, limit {top:.1f} ({limit.reason})"))
        elif value > low:
            wait.append((value / max(low, 0.1), f"{told}, within the doubt of the limit {top:.1f}"))
        elif value > rule:
            which = "a known aeroplane" if flown else "first flights"
            wait.append((value / max(rule, 0.1), f"{told}, rule of thumb for {which} {rule:.1f}"))
    if hour.rain:
        no.append((1.0, "rain: radio, controllers and packs are not made for it"))
    if hour.temperature is not None and hour.temperature < COLD:
        wait.append((0.5, "cold: warm the packs, they sag"))
    if hour.temperature is not None and hour.temperature > HOT:
        wait.append((0.5, "hot: thin air, and motors start warm"))
    if not flies:
        no.insert(0, (1e9, "it cannot hold its height in any wind"))
    word = NO if no else WAIT if wait else GO
    reasons = [text for _, text in sorted(no or wait, key=lambda each: -each[0])]
    if runway is not None and hour.wind_from is None:
        reasons.append("no wind direction told: the run is taken to be into the wind")
    return Judged(hour, word, tuple(reasons), head, side, beaufort_force(hour.wind))
