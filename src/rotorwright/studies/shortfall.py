"""What is missing for flight with the reserve, or how much is left: the numbers, and one sentence about them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from rotorwright.base.constants import GRAVITY
from rotorwright.base.digits import band_text, decimals_for, written
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.status import OUT_OF_LIMITS
from rotorwright.flight.envelope import LEVEL, UNTRIMMED
from rotorwright.studies.balance_quantities import Reader, design_support, mass_to_spare, reserve_thrust
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.sources import FLIGHT, MASS, lift_sources

Say = Callable[[Quantity], str]
"""Writes a quantity with its unit and band."""

ENOUGH, RESERVE, THRUST, NOSE, NOTHING = "enough", "reserve", "thrust", "nose", "nothing"
_SHOWN = {"kg": (1000.0, " g"), "1": (1.0, "")}


@dataclass(frozen=True)
class Shortfall:
    """What is missing, or left over; numbers that do not belong to its kind are None."""

    kind: str
    """`ENOUGH`; the `RESERVE` is missing; `THRUST` for level flight; control of the `NOSE`; `NOTHING` balances."""
    speed: Quantity
    """Level speed, or where there is none the airspeed at which least is missing."""
    reserve: Quantity
    """Thrust left once the reserve is paid for; negative if it is short."""
    straight: Quantity
    """Thrust left in straight level flight."""
    to_spare: Quantity
    """Mass that could be carried on top with the reserve kept; negative: what is too much."""
    mass: Quantity
    moment: Quantity | None = None
    """Nose-up moment that would have to be added to hold the nose."""
    more: str = ""
    """What else is known where nothing balances."""

    def sentence(self, say: Say | None = None) -> str:
        """Return one or two sentences; ``say`` writes the numbers (without it, in metric units)."""
        say = say or plain
        if self.kind == ENOUGH:
            return f"Thrust left after the reserve: {say(self.reserve)} at {middle(self.speed, say)}."
        if self.kind == RESERVE:
            return (
                f"Level flight, but the reserve is missing: thrust is short by {say(turned(self.reserve))} at "
                f"{middle(self.speed, say)}.{self._lighter(say)}"
            )
        if self.kind == THRUST:
            return (
                f"No level flight: at the speed where least is missing, {middle(self.speed, say)}, thrust is short by "
                f"{say(turned(self.straight))}, with the reserve by {say(turned(self.reserve))}.{self._lighter(say)}"
            )
        if self.kind == NOSE and self.moment is not None:
            up = _number(self.moment) > 0.0
            moment = say(self.moment if up else turned(self.moment))
            return (
                f"No steady flight: the nose cannot be held at {middle(self.speed, say)}; with the elevator neutral "
                f"{moment} of {'nose-up' if up else 'nose-down'} moment is missing, more than the elevator can give"
                f"{self.more}. Move rotor axis, thrust line or balance point closer together, or give the tail more "
                "area or arm."
            )
        return f"No steady flight: {self.more}."

    def _lighter(self, say: Say) -> str:
        extra = self.to_spare.value if self.to_spare.value is not None else self.to_spare.nominal
        if extra is None or extra >= 0.0:
            return ""
        return (
            f" It would fly with the reserve if it were {say(turned(self.to_spare))} lighter than its "
            f"{middle(self.mass, say)}."
        )


def plain(quantity: Quantity) -> str:
    """Return value, metric unit and band as text; see `rotorwright.base.digits` for the digits."""
    number = _number(quantity)
    factor, unit = _SHOWN.get(quantity.unit, (1.0, f" {quantity.unit}"))
    if quantity.low is None or quantity.high is None:
        return f"{written(factor * number, decimals_for(factor * number, 0.0))}{unit}"
    low, high = factor * quantity.low, factor * quantity.high
    decimals = decimals_for(max(abs(factor * number), abs(low), abs(high)), 0.5 * (high - low))
    return f"{written(factor * number, decimals)}{unit} ({band_text(low, high, decimals)})"


def middle(quantity: Quantity, say: Say) -> str:
    """Return a quantity in running text, without its band."""
    return say(quantity).split(" (")[0]


def turned(quantity: Quantity) -> Quantity:
    """Return a quantity counted the other way: what is short instead of what is left."""
    value, low, high, nominal = (
        None if number is None else -number
        for number in (quantity.value, quantity.low, quantity.high, quantity.nominal)
    )
    return replace(quantity, value=value, low=high, high=low, nominal=nominal)


def _number(quantity: Quantity) -> float:
    number = quantity.value if quantity.value is not None else quantity.nominal
    return 0.0 if number is None else number


def shortfall_of(flown: Flown) -> Shortfall:
    """Return what an aeroplane lacks for flight with its reserve, or has left."""
    reader = Reader(flown, design_support(flown))
    speed = reader.condition(LEVEL, lambda s: s["airspeed"], "m/s", lift_sources(flown) + FLIGHT)
    if speed.value is None:
        speed = reader.condition(LEVEL, lambda s: s["airspeed"], "m/s", lift_sources(flown) + FLIGHT, over=True)
    found = Shortfall(
        ENOUGH,
        speed,
        reserve_thrust(reader),
        reader.figure("surplus", "N", lift_sources(flown)),
        mass_to_spare(reader),
        reader.quantity(flown.numbers.vehicle["mass"], "kg", MASS),
    )
    if found.reserve.value is None:
        return _out_of_balance(flown, found)
    if found.reserve.value >= 0.0:
        return found
    return replace(found, kind=THRUST if _number(found.straight) < 0.0 else RESERVE)


def shortage_sentence(flown: Flown) -> str:
    """Return the shortest force in plain words, with speed and, if it is short, the grams that would mend it."""
    return shortfall_of(flown).sentence()


def _out_of_balance(flown: Flown, found: Shortfall) -> Shortfall:
    """Return what is missing when no node of the envelope balances: pitch control, or lift."""
    rows = flown.envelope.steady[:, UNTRIMMED]
    there = np.isfinite(rows["airspeed"])
    reader = Reader(flown, design_support(flown))
    moment = reader.quantity(np.where(there, rows["pitch_aid"], np.nan), "N m", FLIGHT)
    speed = reader.quantity(np.where(there, rows["airspeed"], np.nan), "m/s", FLIGHT)
    if (moment.value is not None or moment.nominal is not None) and there.any():
        if speed.value is None:
            speed = from_samples(rows["airspeed"][there], float(rows["airspeed"][0]), "m/s", sources=FLIGHT)
        spare = flown.envelope.figures["untrimmed_surplus"]
        thrust = float(np.nanmedian(spare)) if np.isfinite(spare).any() else 0.0
        also = "" if thrust >= 0.0 else f"; thrust is {-thrust:.1f} N short as well"
        return replace(found, kind=NOSE, speed=speed, moment=moment, more=also)
    lift = lift_short(flown)
    return replace(found, kind=NOTHING, more=f"{_no_balance(flown)}{'; ' + lift if lift else ''}")


def _no_balance(flown: Flown) -> str:
    status = flown.envelope.steady["status"][:, LEVEL]
    if np.mean(status == OUT_OF_LIMITS) > 0.25:
        return "every balance lies beyond what elevator, incidence or rotor drive can do"
    return "no speed was found at which lift, drag, thrust and pitch balance"


def lift_short(flown: Flown) -> str:
    """Return how far lift stays below weight at the fastest speed the thrust allows, from a sweep (nominal case)."""
    from rotorwright.flight.batch import sweep_airspeed

    speeds = np.linspace(2.0, 40.0, 77)
    one = np.zeros(1)
    numbers = flown.numbers
    first = type(numbers)(*(part[:1] for part in numbers))
    rows = sweep_airspeed(first, speeds, one, one, np.ones(1))[0]
    weight = float(first.vehicle["mass"][0] * first.air["gravity"][0])
    can = np.flatnonzero(rows["thrust"] >= rows["drag"])
    if not len(can):
        return "thrust does not even carry the drag at walking pace"
    fastest = can[-1]
    short = weight - float(rows["lift"][fastest])
    if short <= 0.0:
        return ""
    return (
        f"lift falls {short:.1f} N ({short / GRAVITY * 1000:.0f} g) short of the weight at the fastest speed the "
        f"thrust allows, {speeds[fastest]:.0f} m/s"
    )
