"""How much wind an aeroplane stands, phase by phase: steady and gust apart, along and across, each with its reason."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.base.records import VANED
from rotorwright.flight.straight import Straight
from rotorwright.physics.air.wind import ROUGHNESS, turbulence_scales, wind_at_height
from rotorwright.studies.launch_ready import Field, Ready, whole_span
from rotorwright.studies.launch_turning import CAN_HOLD, across, lift_exponents, roll_control
from rotorwright.studies.sources import MASS, lift_sources

Floats = npt.NDArray[np.float64]

HAND_HEIGHT = 1.5
"""Height of the wind that a standing or rolling aeroplane feels, and of a wind meter held up [m]."""
CIRCUIT_HEIGHT = 30.0
"""[m]"""
LOW, HIGH = 1.0, 5.0
"""Height that a lull may cost near the ground, and in a circuit [m] (judgement)."""
QUARTER, HALF = 0.25, 0.5
CRAB = math.radians(15.0)
"""Angle across the runway at which wheels may touch down (judgement)."""
WAY_FORWARD = 1.0 / 3.0
"""Share of the airspeed that must be left over the ground against the wind (judgement)."""
MOST_LIFT_LOST = 0.5
SIGMAS = 2.0
TWENTY_FEET = 6.096
PEAK, HEAD, CROSS, GUST, MEAN = "wind with gusts", "headwind", "crosswind", "gusts over the mean wind", "mean wind"
KINDS = (PEAK, HEAD, CROSS, GUST, MEAN)
FIRST_FLIGHT = {HEAD: 0.25, MEAN: 0.25, GUST: 0.15, CROSS: 0.20, PEAK: 0.40}
FLOWN = {HEAD: 0.5, MEAN: 0.5, GUST: 0.30, CROSS: 0.30, PEAK: 0.80}
"""Rules of thumb as shares of the speed of level flight (common practice, no source)."""
GROUND_PHASE, TAXI, TAKE_OFF, THROW, CLIMB, CIRCUIT, LANDING = (
    "assembly and bench spin", "taxi", "take-off", "throw", "climb", "circuit", "landing",
)  # fmt: skip


@dataclass(frozen=True)
class Limit:
    """One limit of one phase."""

    phase: str
    kind: str
    """One of `KINDS`."""
    wind: Quantity
    """[m/s]: headwind and mean wind as a forecast tells them at 10 m, the others where the aeroplane is."""
    first_flight: float
    """Rule of thumb for first flights [m/s]."""
    flown: float
    """The same for an aeroplane that is trimmed and known [m/s]."""
    reason: str

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "phase": self.phase, "kind": self.kind, "wind": self.wind.as_dict(), "first_flight": self.first_flight,
            "flown": self.flown, "reason": self.reason,
        }  # fmt: skip


def wind_limits(ready: Ready, field: Field, *, wheels: bool) -> tuple[Limit, ...]:
    """Return the wind limits of every phase.

    Parameters
    ----------
    ready : Ready
    field : Field
        Only the country around it counts here.
    wheels : bool
        Whether it rolls (else it is thrown and slides).

    Notes
    -----
    Formulas and reasons: docs/wind-limits.md.
    """
    start = TAKE_OFF if wheels else THROW
    found = list(_standing(ready))
    if wheels:
        found.append(_taxi(ready))
        found += [_crosswind(ready, start), _lull(ready, start, LOW)]
    else:
        found.append(_lull(ready, start, LOW))
    found += [_lull(ready, CLIMB, HIGH), _rolling_gusts(ready, field)]
    found += [_way_home(ready, field), _lull(ready, CIRCUIT, HIGH)]
    found += [_crosswind(ready, LANDING), _lull(ready, LANDING, LOW)]
    return tuple(found)


def _limit(ready: Ready, phase: str, kind: str, winds: Floats, reason: str, missing: str = "") -> Limit:
    sources = ("mechanics", "mil8785c1980", *lift_sources(ready.flown), *MASS)
    speed = float(np.median(ready.airspeed))
    quantity = ready.reader.quantity(winds, "m/s", sources, missing or reason)
    return Limit(phase, kind, quantity, FIRST_FLIGHT[kind] * speed, FLOWN[kind] * speed, reason)


def _first(ready: Ready, each: list[Straight], share: float) -> tuple[Floats, str]:
    """Return the wind that carries or pushes a share of the weight of a standing aeroplane, and how."""
    winds, how = np.full(len(each), np.nan), []
    for case, one in enumerate(each):
        pushes = [one.push(float(speed), 0.0, one.settled_at(float(speed))) for speed in ready.grid]
        lift = np.maximum.accumulate([push.lift / one.weight for push in pushes])
        drag = np.maximum.accumulate([-push.along / one.weight for push in pushes])
        at = [_cross(ready.grid, row, share) for row in (lift, drag)]
        if math.isfinite(min(at)):
            winds[case] = min(at)
            how.append("lift" if at[0] <= at[1] else "push")
    return winds, Counter(how).most_common(1)[0][0] if how else ""


def _cross(speeds: Floats, rising: Any, level: float) -> float:
    row = np.asarray(rising, dtype=np.float64)
    there = np.flatnonzero(row >= level)
    if not len(there):
        return math.inf
    k = int(there[0])
    if k == 0:
        return float(speeds[0])
    return float(speeds[k - 1] + (level - row[k - 1]) / (row[k] - row[k - 1]) * (speeds[k] - speeds[k - 1]))


def _standing(ready: Ready) -> list[Limit]:
    rotors = ready.flown.rows.rotors
    winds, how = _first(ready, ready.straight(throttle=None, drive=False), QUARTER)
    if len(rotors) and (rotors["kind"] == VANED).any():
        why = (
            "its rotors start in the wind by themselves and carry a quarter of its weight"
            if how == "lift"
            else ("its rotors start in the wind by themselves, and the wind pushes with a quarter of its weight")
        )
        why += ": hold it down, rotors tied"
    else:
        why = f"the wind {'carries' if how == 'lift' else 'pushes with'} a quarter of its weight: hold it down"
    found = [_limit(ready, GROUND_PHASE, PEAK, winds, why)]
    if len(rotors) and (rotors["drive"] >= 0).any():
        winds, how = _first(ready, ready.straight(throttle=None, drive=True), QUARTER)
        does = "carry" if how == "lift" else "let the wind push with"
        reason = f"with the drive on the rotors {does} a quarter of its weight: tie it down for a bench spin"
        found.append(_limit(ready, GROUND_PHASE + ", rotors driven", PEAK, winds, reason))
    return found


def _taxi(ready: Ready) -> Limit:
    winds, how = _first(ready, ready.straight(throttle=None, drive=True), HALF)
    why = (
        "half its weight is off the wheels: it weathercocks, tips and skates"
        if how == "lift"
        else ("the wind pushes with half its weight")
    )
    return _limit(ready, TAXI, PEAK, winds, why)


def _crosswind(ready: Ready, phase: str) -> Limit:
    asked = across(ready)
    crab = ready.airspeed * math.sin(CRAB)
    choices = np.stack([crab, CAN_HOLD / asked.rudder_for_yaw, CAN_HOLD / asked.roll_for_roll])
    which = Counter(np.argmin(choices, axis=0).tolist()).most_common(1)[0][0]
    words = (
        f"it flies {math.degrees(CRAB):.0f}° across the runway to stay on it: more tears at wheels and tips",
        "70 % of the rudder keeps the nose straight against the wind on fin and body"
        if np.isfinite(asked.rudder_for_yaw[0])
        else "nothing steers it against the wind on fin and body",
        "70 % of its roll control keeps the windward tip down; beyond it discs and tips come near the ground"
        if np.isfinite(asked.roll_for_roll[0])
        else "nothing holds the windward tip down",
    )
    return _limit(ready, phase, CROSS, choices.min(axis=0), words[which])


def lull_limit(airspeed: Floats | float, height: float, gravity: float, exponent: Floats | float) -> Floats:
    """Return the sudden loss of wind along the path that costs a height, or half the lift if that comes first [m/s].

    Parameters
    ----------
    airspeed : float or array
        [m/s]
    height : float
        That may be lost [m].
    gravity : float
        [m/s²]
    exponent : float or array
        Power of the airspeed with which lift goes [1].

    Notes
    -----
    Falling back to its airspeed costs h = (V² − (V − G)²)/2g; thrust to spare is left out, which errs on the safe side.
    Lift lost at once ≈ n G/V ≤ 1/2. Source: closed form (energy).
    """
    speed = np.asarray(airspeed, dtype=np.float64)
    left = np.maximum(speed * speed - 2.0 * gravity * height, 0.0)
    by_height = np.where(speed * speed > 2.0 * gravity * height, speed - np.sqrt(left), speed)
    by_lift = MOST_LIFT_LOST * speed / np.maximum(np.asarray(exponent, dtype=np.float64), 0.5)
    return np.asarray(np.minimum(by_height, by_lift))


def _lull(ready: Ready, phase: str, height: float) -> Limit:
    gravity = float(ready.flown.numbers.air["gravity"][0])
    _, settled = lift_exponents(ready)
    winds = lull_limit(ready.airspeed, height, gravity, settled)
    half = MOST_LIFT_LOST * ready.airspeed[0] / max(float(settled[0]), 0.5)
    if half <= winds[0] + 1e-9:
        why = "a lull as large takes half the lift at once, and only diving brings it back"
    else:
        why = f"falling back to its airspeed after a lull as large costs {height:.0f} m of height"
    return _limit(ready, phase, GUST, winds, why)


def _way_home(ready: Ready, field: Field) -> Limit:
    fastest = ready.flown.envelope.figures["fastest_level"]
    speed = np.where(np.isfinite(fastest), fastest, ready.airspeed)
    grows = wind_at_height(1.0, CIRCUIT_HEIGHT, ROUGHNESS[field.around])
    winds = (1.0 - WAY_FORWARD) * speed / grows
    why = (
        f"at {CIRCUIT_HEIGHT:.0f} m, where it blows {grows:.1f} times as hard, a third of its airspeed is left to come "
        "home against it"
    )
    return _limit(ready, CIRCUIT, HEAD, winds, why)


def rolling_gust(wind: float, span: float, height: float) -> float:
    """Return the root mean square difference of the gusts along the path between left and right half [m/s].

    Parameters
    ----------
    wind : float
        Mean wind at 6 m (20 ft) [m/s].
    span, height : float
        [m]

    Notes
    -----
    Two points r = span/2 apart across the wind: D = 2 σ²(1 − g), g = e^(−r/L)(1 − r/2L), with σ and L along of
    MIL-F-8785C (secondary); the cross-correlation of exponential (Dryden) turbulence, from memory.
    """
    length, _, size, _ = turbulence_scales(height, wind)
    ratio = 0.5 * span / length
    return size * math.sqrt(2.0 * (1.0 - math.exp(-ratio) * (1.0 - 0.5 * ratio)))


def _rolling_gusts(ready: Ready, field: Field) -> Limit:
    span = whole_span(ready.flown)
    once, _ = lift_exponents(ready)
    moment = roll_control(ready)
    rough = ROUGHNESS[field.around]
    over = wind_at_height(1.0, TWENTY_FEET, rough)
    per_wind = SIGMAS * rolling_gust(1.0, span, 10.0) * ready.weight * np.abs(once) * span / (8.0 * ready.airspeed)
    winds = CAN_HOLD * moment / np.maximum(per_wind, 1e-9) / over
    if not (moment > 0.0).any():
        return _limit(ready, CLIMB, MEAN, np.zeros(ready.cases), "nothing rolls it against gusts")
    why = "the gusts that such a wind brings under one side and not the other take 70 % of its roll control"
    return _limit(ready, CLIMB, MEAN, winds, why)
