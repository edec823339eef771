"""The take-off run: spin, speed, distance, abort point, the climb after it, and the trap of the ground's help.

The run is the one equation of motion with the wheels on the ground (`rotorwright.flight.straight`).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity, exact
from rotorwright.base.status import OK
from rotorwright.flight.envelope import FULL
from rotorwright.flight.straight import Ground, Moments, crossing, roll
from rotorwright.physics.airframe.ground import induced_drag_kept
from rotorwright.physics.airframe.rolling import rolling_friction
from rotorwright.studies.launch_ready import FRICTION, GROUND, Field, Ready, rotor_height, whole_span
from rotorwright.studies.sampling import normal_share
from rotorwright.studies.sources import MASS, lift_sources, power_sources

Floats = npt.NDArray[np.float64]

FLICK = 2.0 * math.pi
"""Spin of a free rotor started by hand before the run [rad/s]: a turn a second (judgement)."""
REACTION = 1.0
"""From seeing that it will not do to the throttle shut [s] (judgement)."""
EASING = 1.0
"""Flown level after lift-off before it climbs [s] (judgement)."""
SLOW_WALK = 0.3
SOURCES = ("mason1997", "mccormick1979", "wieselsberger1922")


@dataclass(frozen=True)
class Run:
    """The take-off run of every case, nominal first; NaN where it never lifts off."""

    speed: Floats
    """Airspeed at lift-off [m/s]."""
    distance: Floats
    time: Floats
    spin: Floats
    """Share of the spin it would have at that airspeed for good."""
    stop: Floats
    """Way from lift-off speed to standing, reaction included [m]."""
    abort: Floats
    """Way after which the rest of the strip is too short to stop [m]; NaN without a strip."""
    fastest: Floats
    """Airspeed reached in the run [m/s]."""
    gradient: Floats
    """Height won over way over the ground in the climb after it; ≤ 0: none."""
    history: Moments
    """Of the nominal case."""
    stopping: Moments | None
    """Of the nominal case, from lift-off speed."""

    @property
    def lifted(self) -> npt.NDArray[np.bool_]:
        """Return which cases lift off."""
        return np.isfinite(self.distance)


def run(ready: Ready, field: Field) -> Run:
    """Run along the ground in every case.

    Parameters
    ----------
    ready : Ready
    field : Field
    """
    aeroplane = ready.flown.aeroplane
    height = rotor_height(aeroplane, ready.flown)
    wind = field.wind_at(max(height, 0.1))
    kept = drag_kept(ready, height)
    friction = frictions(ready, field.surface)
    found = np.full((7, ready.cases), np.nan)
    pulling = ready.straight(throttle=1.0, drive=True)
    coasting = ready.straight(throttle=None, drive=False)
    history: Moments | None = None
    stopping: Moments | None = None
    for case in range(ready.cases):
        rolling, idle = pulling[case], coasting[case]
        ground = Ground(float(friction[case]), field.slope, wind, float(kept[case]))
        settled = rolling.settled_at(wind)
        hand = np.where(ready.flown.rows.rotors["drive"] < 0, FLICK, 0.0) if rolling.rotors else np.zeros(0)
        spins = np.where(rolling.free, np.maximum(settled if wind > 1.0 else 0.0, hand), settled)
        if rolling.rotors:
            driven = ready.flown.rows.rotors["drive"] >= 0
            spins = np.where(driven, settled, spins)
        moments = roll(rolling, ground, wind, spins, lift_off=True)
        speed, way, time = crossing(moments, rolling.weight * math.cos(field.slope))
        fastest = float(moments.airspeed.max())
        spin = 1.0
        if rolling.rotors and math.isfinite(speed):
            whole = float(np.mean(rolling.settled_at(speed)))
            spin = float(moments.spin[-1]) / whole if whole > 0.0 else 1.0
        reached = speed if math.isfinite(speed) else fastest
        last = np.full(rolling.rotors, float(moments.spin[-1]))
        coast = roll(idle, ground, reached, last, lift_off=False, step=0.1)
        reacted = REACTION * (reached - wind)
        stop = float(coast.way[-1]) + reacted
        abort = math.nan
        if field.strip is not None:
            left = np.interp(-moments.airspeed, -coast.airspeed, float(coast.way[-1]) - coast.way)
            needed = moments.way + REACTION * np.maximum(moments.airspeed - wind, 0.0) + left
            fits = np.flatnonzero(needed <= field.strip)
            abort = float(moments.way[fits[-1]]) if len(fits) else 0.0
        found[:, case] = speed, way, time, spin, stop, abort, fastest
        if case == 0:
            history, stopping = moments, coast
    assert history is not None
    lift_off = found[0], found[1], found[2], found[3], found[4], found[5], found[6]
    return Run(*lift_off, climb_gradient(ready, wind), history, stopping)


def drag_kept(ready: Ready, height: float) -> Floats:
    """Return what share of the rotors' end drag is left near the ground, in every case.

    Notes
    -----
    Between the two published laws of `rotorwright.physics.airframe.ground`, anywhere alike.
    """
    span = whole_span(ready.flown)
    shares = [normal_share(float(score)) for score in ready.scores(GROUND)]
    return np.array([induced_drag_kept(height, span, share) for share in shares])


def frictions(ready: Ready, surface: str) -> Floats:
    """Return the rolling friction of the surface in every case."""
    band = rolling_friction(surface)
    scores = ready.scores(FRICTION)
    side = np.where(scores < 0.0, math.log(band.median / band.low), math.log(band.high / band.median))
    return np.asarray(band.median * np.exp(scores / 1.2816 * side))


def climb_gradient(ready: Ready, wind: float) -> Floats:
    """Return height won over way over the ground in the climb at full throttle, in every case.

    Notes
    -----
    The steady climb of the envelope; where thrust is too strong for one, thrust to spare over weight, at most 1.
    """
    steady = ready.flown.envelope.steady[:, FULL]
    there = steady["status"] == OK
    speed = np.where(there, steady["airspeed"], ready.airspeed)
    slope = np.clip(ready.surplus / ready.weight, -1.0, 0.9)
    climb = np.where(there, steady["climb"], slope * speed)
    over = np.sqrt(np.maximum(speed * speed - climb * climb, 1e-6)) - wind
    return np.asarray(np.where(over > 0.2, climb / np.maximum(over, 0.2), np.sign(climb) * 10.0))


def run_quantities(ready: Ready, field: Field, found: Run) -> dict[str, Quantity]:
    """Return what a pilot asks of a take-off run, with bands."""
    sources = SOURCES + lift_sources(ready.flown) + power_sources(ready.flown) + MASS
    never = why_not(ready, found)
    read = ready.reader.quantity
    wind = field.wind_at(1.0)
    over = np.maximum(found.speed - wind, 0.0)
    quantities = {
        "lift_off_speed": read(found.speed, "m/s", sources, never),
        "take_off_distance": read(found.distance, "m", sources, never),
        "take_off_time": read(found.time, "s", sources, never),
        "stop_distance": read(np.where(found.lifted, found.stop, np.nan), "m", sources, never),
        "strip_needed": read(found.distance + found.stop, "m", sources, never),
    }
    if len(ready.flown.rows.rotors):
        quantities["lift_off_spin"] = read(np.where(found.lifted, found.spin, np.nan), "1", sources, never)
    if field.strip is not None:
        quantities["abort_point"] = read(np.where(found.lifted, found.abort, np.nan), "m", sources, never)
        enough = found.distance + found.stop <= field.strip
        quantities["strip_is_enough"] = exact(_share_of(enough, found.lifted), "1", sources)
    climbs = found.lifted & (found.gradient > 0.0)
    no_climb = never or "it lifts off but cannot climb away"
    quantities["climb_angle"] = read(np.where(climbs, np.arctan(found.gradient), np.nan), "rad", sources, no_climb)
    if field.obstacle is not None:
        high, far = field.obstacle
        way = np.maximum(far - found.distance - EASING * over, 0.0)
        there = np.where(found.lifted, way * np.maximum(found.gradient, 0.0), 0.0)
        quantities["height_at_obstacle"] = read(np.where(found.lifted, there, np.nan), "m", sources, never)
        quantities["clears_obstacle"] = exact(_share_of(there > high, found.lifted), "1", sources)
    trapped = found.lifted & (ready.surplus < 0.0)
    quantities["lifts_off"] = exact(_share(found.lifted), "1", sources)
    quantities["ground_effect_trap"] = exact(_share(trapped), "1", sources)
    return quantities


def _share(flags: npt.NDArray[np.bool_]) -> float:
    some = flags[1:] if len(flags) > 1 else flags
    return float(np.mean(some))


def _share_of(flags: npt.NDArray[np.bool_], those: npt.NDArray[np.bool_]) -> float:
    """Return the share of flags among those cases; nought if there are none."""
    some, among = (flags[1:], those[1:]) if len(flags) > 1 else (flags, those)
    return float(np.mean(some[among])) if among.any() else 0.0


def why_not(ready: Ready, found: Run) -> str:
    """Return in words why the cases that never lift off do not; empty if all do."""
    stays = ~found.lifted
    if not stays.any():
        return ""
    fastest = float(np.median(found.fastest[stays]))
    if fastest < SLOW_WALK:
        return "it does not move: thrust does not overcome friction and slope"
    needed = float(np.median(ready.airspeed[stays]))
    return f"the run ends at {fastest:.2g} m/s, thrust used up by drag and rolling; it flies at about {needed:.2g} m/s"
