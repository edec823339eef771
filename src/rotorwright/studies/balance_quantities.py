"""The quantities of a balance: every number of the envelope that reaches a maker, with band, support and sources."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import SUPPORT_WORDS, Quantity, from_samples
from rotorwright.base.records import VANED, WING
from rotorwright.base.status import OK, OVER_THROTTLE
from rotorwright.flight.batch import stop_rotor
from rotorwright.flight.envelope import (
    APPROACH,
    FULL,
    GLIDE,
    GLIDE_OFF,
    HEAVY,
    HEAVY_RESERVE,
    LEVEL,
    OPENED,
    TURN,
    TURN_LIMIT,
    UNTRIMMED,
)
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.solver import GUESS_INNER
from rotorwright.physics.rotor.support import rotor_support, vaned_force_support
from rotorwright.studies.absence import reason
from rotorwright.studies.bench_rotor import throw_distance
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.sources import AIR, BATTERY, FLIGHT, MASS, lift_sources, power_sources, torque_sources

Floats = npt.NDArray[np.float64]

WEIGHED = SUPPORT_WORDS[0]
"""Mass and what follows from it alone lean on no measurement of rotors."""


@dataclass(frozen=True)
class Reader:
    """Reads one flown aeroplane: turns arrays over cases into quantities with the support of this design."""

    flown: Flown
    support: str
    samples: list[tuple[Quantity, Floats]] = field(default_factory=list)
    """Every quantity that was read, with the numbers behind it (nominal first)."""

    def quantity(
        self, numbers: Any, unit: str, sources: tuple[str, ...], reason: str = "", *, support: str | None = None
    ) -> Quantity:
        """Return a quantity from one number per case (nominal first); ``support`` if not that of the rotors."""
        values = np.asarray(numbers, dtype=np.float64)
        samples = values[1:] if self.flown.samples else values
        word = support or self.support
        found = from_samples(samples, float(values[0]), unit, support=word, sources=sources, reason=reason)
        if found.share < 1.0 and not found.reason:
            found = replace(found, reason=reason)
        if not self.flown.samples:
            found = replace(found, value=found.nominal, low=None, high=None)
        self.samples.append((found, values))
        return found

    def condition(
        self,
        which: int,
        read: Callable[[Any], Any],
        unit: str,
        sources: tuple[str, ...],
        *,
        over: bool = False,
        support: str | None = None,
    ) -> Quantity:
        """Return a quantity read from one steady condition; cases that do not fly it count as missing.

        ``over`` lets cases count that would need more than full throttle (figures of an aeroplane too weak).
        """
        steady = self.flown.envelope.steady[:, which]
        status = steady["status"]
        there = (status == OK) | ((status == OVER_THROTTLE) & over)
        numbers = np.where(there, read(steady), np.nan)
        return self.quantity(numbers, unit, sources, reason(self.flown, which, there), support=support)

    def figure(self, name: str, unit: str, sources: tuple[str, ...]) -> Quantity:
        """Return a quantity from a figure of the whole envelope."""
        numbers = self.flown.envelope.figures[name]
        return self.quantity(numbers, unit, sources, reason(self.flown, LEVEL, np.isfinite(numbers)))


def design_support(flown: Flown) -> str:
    """Return the support word of everything that leans on the rotors' forces: the worst word of any rotor."""
    return SUPPORT_WORDS[max(_support(flown, forces) for forces in (False, True))]


def spin_support(flown: Flown) -> str:
    """Return the support word of the rotors' torque and spin ratio (the worst rotor's)."""
    return SUPPORT_WORDS[_support(flown, False)]


def _support(flown: Flown, forces: bool) -> int:
    """Return 0 inside, 1 between, 2 beyond data where the nominal case balances (the worst rotor)."""
    if len(flown.rows.rotors) == 0:
        return 0
    steady = flown.envelope.steady[0]
    row = steady[LEVEL] if math.isfinite(float(steady[LEVEL]["airspeed"])) else steady[UNTRIMMED]
    if not math.isfinite(float(row["airspeed"])):
        return 2
    state = float(row["spin_ratio"]), float(row["reynolds_number"])
    words = [
        vaned_force_support(rotor, *state) if forces and rotor["kind"] == VANED else rotor_support(rotor, *state)
        for rotor in flown.numbers.rotors[0]
    ]
    return int(max(words))


def read_quantities(flown: Flown) -> dict[str, Quantity]:
    """Return all quantities of a balance by name."""
    return _read(Reader(flown, design_support(flown)))


def read_samples(flown: Flown) -> tuple[dict[str, Quantity], dict[str, Floats]]:
    """Return all quantities of a balance by name, and the number of every case behind them (nominal first)."""
    reader = Reader(flown, design_support(flown))
    found = _read(reader)
    behind = {id(quantity): values for quantity, values in reader.samples}
    return found, {name: behind[id(quantity)] for name, quantity in found.items() if id(quantity) in behind}


def _read(reader: Reader) -> dict[str, Quantity]:
    found: dict[str, Quantity] = {}
    found |= _mass_and_loading(reader)
    found |= _speeds(reader)
    found |= _forces(reader)
    found |= _turns_and_glides(reader)
    found |= _power(reader)
    found |= _rotors(reader)
    found |= _over_the_ground(reader, found)
    return found


def _mass_and_loading(reader: Reader) -> dict[str, Quantity]:
    numbers = reader.flown.numbers
    vehicle = numbers.vehicle
    gravity = numbers.air["gravity"]
    found = {
        "mass": reader.quantity(vehicle["mass"], "kg", MASS, support=WEIGHED),
        "centre_of_gravity_aft": reader.quantity(-vehicle["x"], "m", MASS, support=WEIGHED),
        "air_density": reader.quantity(numbers.air["density"], "kg/m3", AIR, support=WEIGHED),
    }
    area = (numbers.rotors["span"] * numbers.rotors["diameter"]).sum(axis=1)
    area = area + np.where(numbers.surfaces["kind"] == WING, numbers.surfaces["area"], 0.0).sum(axis=1)
    if (area > 0.0).all():
        found["lifting_area"] = reader.quantity(area, "m2", MASS, support=WEIGHED)
        found["area_loading"] = reader.quantity(vehicle["mass"] / area, "kg/m2", MASS, support=WEIGHED)
    found["weight_limit"] = weight_limit(reader)
    found["weight_limit_with_reserve"] = reader.condition(
        HEAVY_RESERVE, lambda s: vehicle["mass"] + s["extra_mass"], "kg", FLIGHT
    )
    found["mass_to_spare"] = mass_to_spare(reader)
    found["weight"] = reader.quantity(vehicle["mass"] * gravity, "N", MASS, support=WEIGHED)
    return found


def weight_limit(reader: Reader) -> Quantity:
    """Return the greatest mass with which it just holds its height [kg].

    The search holds elevator and rotor drive where level flight has them. A drum may carry more while it climbs slowly
    there than at full speed; what climbs with a mass can hold its height with it, so the greater of both counts.
    """
    steady = reader.flown.envelope.steady
    both = [
        np.where(steady["status"][:, which] == OK, steady["extra_mass"][:, which], np.nan)
        for which in (HEAVY, HEAVY_RESERVE)
    ]
    extra = np.fmax(*both)
    why = reason(reader.flown, HEAVY, np.isfinite(extra))
    return reader.quantity(reader.flown.numbers.vehicle["mass"] + extra, "kg", FLIGHT, why)


def mass_to_spare(reader: Reader) -> Quantity:
    """Return what the aeroplane could carry on top and keep the reserve of climb [kg]; negative: what is too much."""
    return reader.condition(HEAVY_RESERVE, lambda s: s["extra_mass"], "kg", FLIGHT)


def _speeds(reader: Reader) -> dict[str, Quantity]:
    sources = lift_sources(reader.flown) + FLIGHT
    level = reader.condition
    return {
        "level_speed": level(LEVEL, lambda s: s["airspeed"], "m/s", sources),
        "balance_speed": level(LEVEL, lambda s: s["airspeed"], "m/s", sources, over=True),
        "slowest_level_speed": reader.figure("slowest_level", "m/s", sources),
        "fastest_level_speed": reader.figure("fastest_level", "m/s", sources),
        "level_throttle": level(LEVEL, lambda s: s["throttle"], "1", power_sources(reader.flown)),
        "level_incidence": level(LEVEL, lambda s: s["incidence"], "rad", FLIGHT),
        "best_climb": level(FULL, lambda s: s["climb"], "m/s", sources + power_sources(reader.flown)),
        "best_climb_speed": level(FULL, lambda s: s["airspeed"], "m/s", sources),
    }


def _forces(reader: Reader) -> dict[str, Quantity]:
    vehicle = reader.flown.numbers.vehicle
    gravity = reader.flown.numbers.air["gravity"]
    sources = lift_sources(reader.flown) + power_sources(reader.flown)
    at = reader.condition
    found = {
        "thrust_to_spare": reader.figure("surplus", "N", sources),
        "thrust_to_spare_in_turn": reader.figure("surplus_banked", "N", sources),
        "reserve_thrust": reserve_thrust(reader),
        "level_thrust": at(LEVEL, lambda s: s["thrust"], "N", sources),
        "level_drag": at(LEVEL, lambda s: s["drag"], "N", lift_sources(reader.flown)),
        "level_lift": at(LEVEL, lambda s: s["air_lift"], "N", lift_sources(reader.flown)),
        "thrust_holding_up": at(LEVEL, lambda s: s["lift"] - s["air_lift"], "N", sources),
        "lift_to_drag": at(LEVEL, lambda s: s["air_lift"] / s["drag"], "1", lift_sources(reader.flown)),
        "level_thrust_to_weight": at(LEVEL, lambda s: s["thrust"] / (vehicle["mass"] * gravity), "1", sources),
    }
    for cause in ("rotor_profile", "rotor_end", "rotor_disc", "body", "surface"):
        name = f"{cause}_drag"
        found[name] = at(LEVEL, lambda s, name=name: s[name], "N", lift_sources(reader.flown))  # type: ignore[misc]
    return found


def reserve_thrust(reader: Reader) -> Quantity:
    """Return the thrust left at full throttle once the reserve of climb or bank is paid for [N]."""
    return reader.figure("reserve_surplus", "N", lift_sources(reader.flown) + power_sources(reader.flown))


def _turns_and_glides(reader: Reader) -> dict[str, Quantity]:
    at = reader.condition
    steady = reader.flown.envelope.steady
    sources = lift_sources(reader.flown) + FLIGHT
    level = steady[:, LEVEL]
    found = {
        "turn_speed": at(TURN, lambda s: s["airspeed"], "m/s", sources),
        "turn_extra_thrust": at(TURN, lambda s: s["thrust"] - level["thrust"], "N", sources),
        "steepest_bank": at(TURN_LIMIT, lambda s: np.abs(s["bank"]), "rad", sources),
        "glide_speed": at(GLIDE, lambda s: s["airspeed"], "m/s", sources),
        "glide_sink": at(GLIDE, lambda s: -s["climb"], "m/s", sources),
        "glide_ratio": at(GLIDE, _glide_ratio, "1", sources),
        "glide_angle": at(GLIDE, lambda s: np.arctan(1.0 / _glide_ratio(s)), "rad", sources),
        "approach_speed": at(APPROACH, lambda s: s["airspeed"], "m/s", sources),
        "approach_sink": at(APPROACH, lambda s: -s["climb"], "m/s", sources),
        "approach_throttle": at(APPROACH, lambda s: s["throttle"], "1", sources),
    }
    if len(reader.flown.rows.drives):
        found["glide_drive_off_speed"] = at(GLIDE_OFF, lambda s: s["airspeed"], "m/s", sources)
        found["glide_drive_off_sink"] = at(GLIDE_OFF, lambda s: -s["climb"], "m/s", sources)
    return found


def _glide_ratio(steady: Any) -> Floats:
    path = np.arcsin(np.clip(-steady["climb"] / steady["airspeed"], 1.0e-6, 1.0))
    return np.asarray(1.0 / np.tan(path), dtype=np.float64)


def _power(reader: Reader) -> dict[str, Quantity]:
    at = reader.condition
    flown = reader.flown
    sources = power_sources(flown)
    weight = flown.numbers.vehicle["mass"] * flown.numbers.air["gravity"]
    found = {
        "level_power": at(LEVEL, lambda s: s["bus_power"], "W", sources),
        "level_current": at(LEVEL, lambda s: s["pack_current"], "A", sources),
        "full_throttle_thrust": at(OPENED, lambda s: s["thrust"], "N", sources),
        "full_throttle_thrust_to_weight": at(OPENED, lambda s: s["thrust"] / weight, "1", sources),
        "full_throttle_power": at(OPENED, lambda s: s["bus_power"], "W", sources),
        "full_throttle_current": at(OPENED, lambda s: s["pack_current"], "A", sources),
        "full_throttle_voltage": at(OPENED, lambda s: s["pack_voltage"], "V", sources + BATTERY),
        "endurance": at(LEVEL, lambda s: s["endurance"], "s", sources + BATTERY),
    }
    for part in ("traction_power", "propeller_loss", "thruster_motor_loss", "spin_power", "drive_loss"):
        found[part] = at(LEVEL, lambda s, part=part: s[part], "W", sources)  # type: ignore[misc]
    for part in ("bearing_power", "electronics_power", "pack_loss"):
        found[part] = at(LEVEL, lambda s, part=part: s[part], "W", sources)  # type: ignore[misc]
    if len(flown.rows.drives):
        found["spin_share"] = at(
            LEVEL, lambda s: (s["spin_power"] + s["drive_loss"] + s["bearing_power"]) / s["bus_power"], "1", sources
        )
        found["drive_current"] = at(LEVEL, lambda s: s["drive_current"], "A", sources)
        found["drive_duty"] = at(LEVEL, lambda s: s["drive_duty"], "1", sources)
    return found


def _rotors(reader: Reader) -> dict[str, Quantity]:
    flown = reader.flown
    if len(flown.rows.rotors) == 0:
        return {}
    steady = flown.envelope.steady
    sources = torque_sources(flown)

    def at(read: Callable[[Any], Any], unit: str, keys: tuple[str, ...], support: str | None = None) -> Quantity:
        return reader.condition(LEVEL, read, unit, keys, over=True, support=support)

    found = {
        "rotor_speed": at(lambda s: s["rotor_speed"], "rad/s", sources),
        "rotor_airspeed": at(lambda s: s["rotor_airspeed"], "m/s", FLIGHT + sources),
        "spin_ratio": at(lambda s: s["spin_ratio"], "1", sources, spin_support(flown)),
        "reynolds_number": at(lambda s: s["reynolds_number"], "1", AIR),
        "rim_speed": at(lambda s: s["rim_speed"], "m/s", sources),
        "throw_distance": at(lambda s: throw_distance(s["rim_speed"]), "m", FLIGHT + sources),
        "rotor_energy": at(lambda s: s["rotor_energy"], "J", sources + MASS),
        "rotor_momentum": at(lambda s: s["rotor_momentum"], "N m s", sources + MASS),
        "rotor_lift_share": at(lambda s: s["rotor_lift"] / s["air_lift"], "1", lift_sources(flown)),
        "wash_share": at(lambda s: s["wash_share"], "1", FLIGHT),
    }
    if len(flown.rows.thrusters):
        gained = lift_from_wash(flown)
        found["wash_lift_share"] = reader.quantity(
            gained, "1", FLIGHT + lift_sources(flown), reason(flown, LEVEL, np.isfinite(gained))
        )
    lost, moment = stop_rotor(flown.numbers, steady[:, LEVEL], 0)
    why = reason(flown, LEVEL, np.isfinite(lost))
    found["lift_lost_one_rotor_stopped"] = reader.quantity(lost, "1", lift_sources(flown), why)
    found["roll_one_rotor_stopped"] = reader.quantity(np.abs(moment), "N m", lift_sources(flown), why)
    return found


def lift_from_wash(flown: Flown) -> Floats:
    """Return the share of the rotors' lift that the wash of the thrusters makes, in level flight [1]; NaN without it.

    Notes
    -----
    1 − lift without wash / lift with it: airspeed, attitude and throttle are held, rotors and motors settle anew.
    """
    level = flown.envelope.steady[:, LEVEL]
    found = np.full(len(level), np.nan)
    there = np.flatnonzero(np.isfinite(level["airspeed"]) & (level["rotor_lift"] != 0.0))
    if not len(there):
        return found
    numbers = AeroplaneNumbers(*(part[there] for part in flown.numbers))
    numbers = numbers._replace(factors=numbers.factors.copy())
    numbers.factors["wash_force"] = 0.0
    calm = held_flight(numbers, level[there]).solve((), GUESS_INNER)
    share = 1.0 - calm.steady["rotor_lift"] / level["rotor_lift"][there]
    found[there] = np.where(calm.found, share, np.nan)
    return found


def _over_the_ground(reader: Reader, found: dict[str, Quantity]) -> dict[str, Quantity]:
    """Return ground speeds into and with the field's wind, which changes nothing in the air."""
    wind = reader.flown.aeroplane.field.wind
    if wind == 0.0:
        return {}
    steady = reader.flown.envelope.steady[:, LEVEL]
    speed = np.where(steady["status"] == OK, steady["airspeed"], np.nan)
    sources, why = found["level_speed"].sources, found["level_speed"].reason
    return {
        "ground_speed_upwind": reader.quantity(speed - wind, "m/s", sources, why),
        "ground_speed_downwind": reader.quantity(speed + wind, "m/s", sources, why),
    }
