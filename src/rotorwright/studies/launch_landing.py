"""Landing an aeroplane that cannot flare: approach, sink, what the gear takes, roll-out, and how fast the lift goes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.base.status import OK
from rotorwright.flight.envelope import APPROACH, GLIDE, GLIDE_OFF
from rotorwright.flight.straight import Ground, Moments, glide_on, roll
from rotorwright.studies.launch_ready import BAND, Field, Ready, rotor_height
from rotorwright.studies.launch_run import SOURCES, drag_kept, frictions
from rotorwright.studies.sources import MASS, lift_sources, torque_sources

Floats = npt.NDArray[np.float64]

GUST_SHARE = 0.5
"""Of the gust excess that is added to the approach speed (common practice of full-size flying, no source)."""
LEG_TRAVEL = 0.03
LEG_TRAVEL_SPREAD = 2.0
"""How far wire legs and tyres of a model give [m], and its 80 % band as a factor (judgement)."""
LEG_EFFICIENCY = 0.5
"""Of a spring that is not damped: mean over greatest force [1] (closed form)."""
CUT_HEIGHT = 20.0
LIFT_KEPT = 0.75
LATER = 1.0


@dataclass(frozen=True)
class Landing:
    """What a landing is made of, every case, nominal first; NaN where there is none."""

    approach_speed: Floats
    approach_sink: Floats
    """On a path 6° down with the power that takes [m/s]."""
    glide_sink: Floats
    """Thrusters off, rotor drive on [m/s]."""
    dead_sink: Floats
    """Everything off [m/s]."""
    roll_out: Floats
    """[m]"""
    lift_later: Floats
    """Share of the weight still carried one second after everything is cut."""
    time_kept: Floats
    """Until a quarter of it is lost [s]."""
    height_lost: Floats
    """In the first second, and two [m], shape (cases, 2)."""
    cut: Moments
    """History of the nominal case after the cut."""
    rolling: Moments


def gear_load(sink: Floats | float, travel: Floats | float, gravity: float) -> Floats:
    """Return the greatest load on the legs over the weight.

    Parameters
    ----------
    sink : float or array
        At touch-down [m/s].
    travel : float or array
        How far legs and tyres give [m].
    gravity : float
        [m/s²]

    Notes
    -----
    Lift carries the weight while the legs take the sink: n = w²/(2 g η s), η = 0.5 for a plain spring.
    Source: closed form (energy).
    """
    return np.asarray(np.square(sink) / (2.0 * gravity * LEG_EFFICIENCY * np.asarray(travel)), dtype=np.float64)


def landing(ready: Ready, field: Field) -> Landing:
    """Land every case: approach, touch-down, roll-out with everything off, and a cut of all motors in level flight."""
    steady = ready.flown.envelope.steady

    def read(which: int, name: str) -> Floats:
        return np.asarray(np.where(steady["status"][:, which] == OK, steady[name][:, which], np.nan), dtype=np.float64)

    slow = read(APPROACH, "airspeed")
    speed = np.where(np.isfinite(slow), slow, ready.airspeed) + GUST_SHARE * field.gust
    height = rotor_height(ready.flown.aeroplane, ready.flown)
    wind = field.wind_at(max(height, 0.1))
    kept, friction = drag_kept(ready, height), frictions(ready, field.surface)
    idle = ready.straight(throttle=None, drive=False)
    rolled = np.full(ready.cases, np.nan)
    later, kept_for, lost = (np.full(ready.cases, np.nan) for _ in range(3))
    lost_two = np.full(ready.cases, np.nan)
    histories: list[tuple[Moments, Moments]] = []
    for case, one in enumerate(idle):
        spins = _spins(ready, case, one.rotors)
        ground = Ground(float(friction[case]), field.slope, wind, float(kept[case]))
        rolling = roll(one, ground, max(float(speed[case]), wind + 0.2), spins, lift_off=False, step=0.1)
        rolled[case] = rolling.way[-1]
        cut = glide_on(one, float(ready.airspeed[case]), 0.0, CUT_HEIGHT, spins, duration=2.5)
        share = cut.lift / one.weight
        later[case] = np.interp(LATER, cut.time, share)
        gone = np.flatnonzero(share <= LIFT_KEPT)
        kept_for[case] = cut.time[gone[0]] if len(gone) else np.nan
        lost[case], lost_two[case] = (CUT_HEIGHT - np.interp(t, cut.time, cut.height) for t in (LATER, 2.0 * LATER))
        if case == 0:
            histories.append((cut, rolling))
    return Landing(
        speed, -read(APPROACH, "climb"), -read(GLIDE, "climb"), -read(GLIDE_OFF, "climb"), rolled, later, kept_for,
        np.stack([lost, lost_two], axis=1), *histories[0],
    )  # fmt: skip


def _spins(ready: Ready, case: int, rotors: int) -> Floats:
    """Return the rotor speeds of level flight [rad/s]."""
    return np.full(rotors, float(ready.level["rotor_speed"][case])) if rotors else np.zeros(0)


def landing_quantities(ready: Ready, field: Field, found: Landing) -> dict[str, Quantity]:
    """Return what a pilot asks of a landing, with bands."""
    sources = SOURCES + lift_sources(ready.flown) + MASS
    spin = sources + torque_sources(ready.flown)
    read = ready.reader.quantity
    gravity = float(ready.flown.numbers.air["gravity"][0])
    travel = LEG_TRAVEL * np.exp(ready.scores(BAND) / 1.2816 * math.log(LEG_TRAVEL_SPREAD))
    mass = ready.weight / gravity
    none = "no steady approach was found"
    glide = np.where(np.isfinite(found.glide_sink), found.glide_sink, found.dead_sink)
    quantities = {
        "landing_speed": read(found.approach_speed, "m/s", sources),
        "landing_sink": read(found.approach_sink, "m/s", sources, none),
        "power_off_sink": read(glide, "m/s", sources, "no steady glide was found"),
        "touch_down_energy": read(0.5 * mass * found.approach_sink**2, "J", sources, none),
        "drop_height": read(found.approach_sink**2 / (2.0 * gravity), "m", ("mechanics",), none),
        "power_off_drop_height": read(glide**2 / (2.0 * gravity), "m", ("mechanics",), "no steady glide was found"),
        "gear_load": read(gear_load(found.approach_sink, travel, gravity), "1", ("mechanics", "common-practice"), none),
        "power_off_gear_load": read(
            gear_load(glide, travel, gravity), "1", ("mechanics", "common-practice"), "no steady glide was found"
        ),
        "roll_out": read(found.roll_out, "m", sources),
        "cut_lift_left": read(found.lift_later, "1", spin),
        "cut_lift_time": read(found.time_kept, "s", spin, "more than three quarters of the weight stay carried"),
        "cut_height_lost": read(found.height_lost[:, 0], "m", spin),
        "cut_height_lost_later": read(found.height_lost[:, 1], "m", spin),
    }
    if (ready.flown.rows.rotors["drive"] >= 0).any() if len(ready.flown.rows.rotors) else False:
        quantities["drive_off_sink"] = read(
            found.dead_sink, "m/s", sources, "with the rotor drive off there is no glide: it falls"
        )
    return quantities
