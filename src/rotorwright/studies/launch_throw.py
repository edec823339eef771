"""Launching by hand and by bungee: can a person throw it, what happens after release, and what a bungee must pull."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity, exact
from rotorwright.flight.straight import Straight, glide_on
from rotorwright.studies.launch_ready import THROW, Field, Ready
from rotorwright.studies.sources import MASS, lift_sources, power_sources

Floats = npt.NDArray[np.float64]

THROW_AT_ONE_KILOGRAM = 8.0
"""Level throw of a 1 kg aeroplane after a few steps [m/s] (common practice, no source)."""
THROW_SPREAD = 1.25
"""Between people and throws, 80 % band as a factor either way (judgement)."""
THROW_EXPONENT = math.log(2.4) / math.log(60.0)
"""Sixty times the mass is thrown 2.4 times more slowly (R. Cross 2004, abstract read)."""
HEAVIEST_THROWN = 2.0
"""One-handed [kg] (common practice, no source)."""
RELEASE_HEIGHT = 1.8
RELEASE_PATH = math.radians(5.0)
LEAST_CLEAR = 0.3
"""Lowest point after a throw that counts as clear of the ground [m] (judgement)."""
WALK = 2.0
"""Of a thrower holding it into the wind before the throw [m/s]."""
TRIED = (0.5, 0.75, 1.0, 1.3, 1.7)
"""Airspeeds at release tried, over that of level flight."""
BUNGEE_SHARE = 0.8
"""Of a bungee's energy that reaches the aeroplane [1] (common practice, no source)."""
BUNGEE_PULL = 3.0
"""First pull of a bungee over the weight (judgement: more strains airframe and stake)."""
BUNGEE_RISE = 1.0
BUNGEE_MARGIN = 1.2
"""Airspeed at the end of the line over that of level flight."""
CROSS = ("cross2004", "common-practice")


@dataclass(frozen=True)
class Throw:
    """A throw of every case, nominal first."""

    thrown: Floats
    """Speed a person throws it at [m/s]."""
    needed: Floats
    """Airspeed at release from which it flies on clear of the ground [m/s]; NaN: none tried was enough."""
    dip: Floats
    """Height lost after a throw with the wind of the field [m]."""


def throw_speed(mass: float, at_one_kilogram: float = THROW_AT_ONE_KILOGRAM) -> float:
    """Return how fast a person throws an aeroplane [m/s].

    Parameters
    ----------
    mass : float
        [kg]
    at_one_kilogram : float
        [m/s]

    Notes
    -----
    v = v₁ (m/1 kg)^−0.214: a factor of 60 in mass cost 2.4 in speed.
    Source: R. Cross, Physics of overarm throwing, American Journal of Physics 72 (2004), abstract (read), for the
    exponent; the level at 1 kg is common practice, no source.
    """
    return float(at_one_kilogram * mass**-THROW_EXPONENT)


def bungee_speed(*, stiffness: float, stretch: float, mass: float, rise: float = BUNGEE_RISE,
                 passed_on: float = BUNGEE_SHARE, gravity: float = 9.80665) -> float:  # fmt: skip
    """Return the speed at which an aeroplane leaves a bungee [m/s]; NaN when it does not get there.

    Parameters
    ----------
    stiffness, stretch : float
        Of the line [N/m], [m].
    mass, rise : float
        [kg]; height won on the line [m].
    passed_on : float
        Share of the line's energy that reaches the aeroplane [1].
    gravity : float
        [m/s²]

    Notes
    -----
    V = √(2 (η k x²/2 − m g h)/m): energy, drag and thrust left out. Source: closed form.
    """
    energy = 0.5 * passed_on * stiffness * stretch * stretch - mass * gravity * rise
    return math.sqrt(2.0 * energy / mass) if energy > 0.0 else math.nan


def throw(ready: Ready, field: Field) -> Throw:
    """Throw every case at several airspeeds and follow it for three seconds, full throttle, attitude held.

    Parameters
    ----------
    ready : Ready
    field : Field
        Its wind counts at the height of release.
    """
    wind = field.wind_at(RELEASE_HEIGHT)
    mass = ready.weight / ready.flown.numbers.air["gravity"]
    factor = np.exp(ready.scores(THROW) / 1.2816 * math.log(THROW_SPREAD))
    thrown = np.array([throw_speed(float(each)) for each in mass]) * factor
    flying = ready.straight(throttle=1.0, drive=True)
    needed, dip = np.full(ready.cases, np.nan), np.full(ready.cases, np.nan)
    for case, one in enumerate(flying):
        spins = one.settled_at(wind + WALK)
        released = np.array([share * ready.airspeed[case] for share in TRIED])

        def lowest(airspeed: float, one: Straight = one, spins: Floats = spins) -> float:
            def until(now: Floats, change: Floats, lift: float) -> bool:
                return bool(now[3] < -1.0 or (now[1] > 0.02 and change[1] > 0.0 and change[0] > -0.5 and now[2] > 2.0))

            moments = glide_on(
                one, airspeed, RELEASE_PATH, RELEASE_HEIGHT, spins, headwind=wind, duration=3.0, step=0.08, until=until
            )
            return float(moments.height.min())

        low = [lowest(float(speed)) for speed in released]
        for k, height in enumerate(low):
            if height >= LEAST_CLEAR:
                before = low[k - 1] if k else height
                share = 1.0 if k == 0 else (LEAST_CLEAR - before) / max(height - before, 1e-9)
                needed[case] = released[k] if k == 0 else released[k - 1] + share * (released[k] - released[k - 1])
                break
        dip[case] = RELEASE_HEIGHT - float(np.interp(thrown[case] + wind, released, low))
    return Throw(thrown, needed, dip)


def bungee_leave(airspeed: Any, wind: float) -> Any:
    """Return the ground speed at which a line should let go [m/s], from the airspeed of level flight."""
    return BUNGEE_MARGIN * airspeed - wind


def bungee_stretch(mass: Any, weight: Any, leave: Any, pull: Any) -> Any:
    """Return how far a line with a first pull must be stretched [m].

    Notes
    -----
    η F s/2 = m v²/2 + W · 1 m: what comes back of the work of stretching gives speed and a rise of 1 m.
    """
    return (mass * leave**2 + 2.0 * weight * BUNGEE_RISE) / (BUNGEE_SHARE * pull)


def throw_quantities(ready: Ready, field: Field, found: Throw) -> dict[str, Quantity]:
    """Return what a thrower asks, with bands, and a bungee for the same job."""
    sources = CROSS + lift_sources(ready.flown) + power_sources(ready.flown) + MASS
    read = ready.reader.quantity
    wind = field.wind_at(RELEASE_HEIGHT)
    mass = ready.weight / ready.flown.numbers.air["gravity"]
    short = "no throw tried, up to 1.7 times the speed of level flight, keeps it off the ground"
    enough = np.where(np.isfinite(found.needed), found.thrown + wind >= found.needed, False) & (mass <= HEAVIEST_THROWN)
    leave = np.maximum(bungee_leave(ready.airspeed, wind), 1.0)
    pull = BUNGEE_PULL * ready.weight
    stretch = bungee_stretch(mass, ready.weight, leave, pull)
    return {
        "throw_speed": read(found.thrown, "m/s", CROSS, support="beyond data"),
        "throw_speed_needed": read(np.maximum(found.needed - wind, 0.0), "m/s", sources, short),
        "throw_dip": read(np.maximum(found.dip, 0.0), "m", sources),
        "throw_works": exact(float(np.mean(enough[1:] if len(enough) > 1 else enough)), "1", sources),
        "bungee_speed": read(leave, "m/s", sources),
        "bungee_stretch": read(stretch, "m", ("mechanics", "common-practice")),
        "bungee_pull": read(pull, "N", ("mechanics", "common-practice")),
        "bungee_stiffness": read(pull / stretch, "N/m", ("mechanics", "common-practice")),
    }
