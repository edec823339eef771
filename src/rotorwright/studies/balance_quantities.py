"""The quantities of a balance: every number of the envelope that reaches a maker, with band, support and sources."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import SUPPORT_WORDS, Quantity, exact, from_samples
from rotorwright.base.records import WING
from rotorwright.base.status import OK, OUT_OF_LIMITS, OVER_THROTTLE
from rotorwright.flight.batch import stop_rotor
from rotorwright.flight.envelope import (
    APPROACH,
    BANKED,
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
from rotorwright.physics.rotor.support import rotor_support
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.sources import AIR, BATTERY, FLIGHT, MASS, lift_sources, power_sources, torque_sources

Floats = npt.NDArray[np.float64]

HANGING = 0.8
"""Thrust over weight above which an aeroplane rather hangs on its thrust than climbs on its lift (judgement)."""

REASONS = {
    FULL: "no steady climb at full throttle was found",
    OPENED: "no balance was found at any speed",
    LEVEL: "it cannot hold its height",
    BANKED: "no steady turn at the reserve bank was found",
    GLIDE: "no steady glide was found: it drops steeply",
    GLIDE_OFF: "no steady glide without the rotor drive: a drum that does not turn does not lift",
    APPROACH: "it cannot hold its height, so there is no powered approach",
    HEAVY: "no weight was found at which it just holds its height",
    HEAVY_RESERVE: "no weight was found at which it flies with the reserve",
    TURN: "it cannot hold its height in a 30° bank",
    TURN_LIMIT: "it cannot hold its height, so there is no bank to spare",
}


@dataclass(frozen=True)
class Reader:
    """Reads one flown aeroplane: turns arrays over cases into quantities with the support of this design."""

    flown: Flown
    support: str

    def quantity(self, numbers: Any, unit: str, sources: tuple[str, ...], reason: str = "") -> Quantity:
        """Return a quantity from one number per case (nominal first)."""
        values = np.asarray(numbers, dtype=np.float64)
        samples = values[1:] if self.flown.samples else values
        found = from_samples(samples, float(values[0]), unit, support=self.support, sources=sources, reason=reason)
        if self.flown.samples:
            return found
        return Quantity(
            found.nominal, None, None, found.nominal, unit, found.share, self.support, sources, found.reason
        )

    def condition(
        self, which: int, read: Callable[[Any], Any], unit: str, sources: tuple[str, ...], *, over: bool = False
    ) -> Quantity:
        """Return a quantity read from one steady condition; cases that do not fly it count as missing.

        ``over`` lets cases count that would need more than full throttle (rotor figures of an aeroplane too weak).
        """
        steady = self.flown.envelope.steady[:, which]
        status = steady["status"]
        there = (status == OK) | ((status == OVER_THROTTLE) & over)
        numbers = np.where(there, read(steady), np.nan)
        return self.quantity(numbers, unit, sources, self.reason(which))

    def reason(self, which: int) -> str:
        """Return why a condition is missing in most cases."""
        status = self.flown.envelope.steady["status"][:, which]
        opened = self.flown.envelope.steady["thrust"][:, OPENED]
        weight = self.flown.numbers.vehicle["mass"] * self.flown.numbers.air["gravity"]
        if which == FULL and np.mean(opened > HANGING * weight) > 0.4:
            return "so much thrust that full throttle is no steady climb: it hangs on its thrust"
        if np.mean(status == OUT_OF_LIMITS) > 0.4:
            return "the balance lies beyond what elevator, incidence or rotor drive can do"
        return REASONS[which]


def design_support(flown: Flown) -> str:
    """Return the support word of the aeroplane's rotors where it flies (worst rotor, nominal case)."""
    steady = flown.envelope.steady[0]
    row = steady[LEVEL] if math.isfinite(float(steady[LEVEL]["airspeed"])) else steady[UNTRIMMED]
    if len(flown.rows.rotors) == 0 or not math.isfinite(float(row["airspeed"])):
        return SUPPORT_WORDS[0 if len(flown.rows.rotors) == 0 else 2]
    rotors = flown.numbers.rotors[0]
    worst = max(rotor_support(rotor, float(row["spin_ratio"]), float(row["reynolds_number"])) for rotor in rotors)
    return SUPPORT_WORDS[int(worst)]


def read_quantities(flown: Flown) -> dict[str, Quantity]:
    """Return all quantities of a balance by name."""
    reader = Reader(flown, design_support(flown))
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
        "mass": reader.quantity(vehicle["mass"], "kg", MASS),
        "centre_of_gravity_aft": reader.quantity(-vehicle["x"], "m", MASS),
        "air_density": exact(float(numbers.air["density"][0]), "kg/m3", AIR),
    }
    area = float((reader.flown.rows.rotors["span"] * reader.flown.rows.rotors["diameter"]).sum())
    wings = reader.flown.rows.surfaces[reader.flown.rows.surfaces["kind"] == WING]
    area += float(wings["area"].sum())
    if area > 0.0:
        found["lifting_area"] = exact(area, "m2", MASS)
        found["area_loading"] = reader.quantity(vehicle["mass"] / area, "kg/m2", MASS)
    steady = reader.flown.envelope.steady
    for name, which in (("weight_limit", HEAVY), ("weight_limit_with_reserve", HEAVY_RESERVE)):
        extra = np.where(steady["status"][:, which] == OK, steady["extra_mass"][:, which], np.nan)
        found[name] = reader.quantity(vehicle["mass"] + extra, "kg", FLIGHT, reader.reason(which))
        if which == HEAVY_RESERVE:
            found["mass_to_spare"] = reader.quantity(extra, "kg", FLIGHT, reader.reason(which))
    found["weight"] = reader.quantity(vehicle["mass"] * gravity, "N", MASS)
    return found


def _speeds(reader: Reader) -> dict[str, Quantity]:
    figures = reader.flown.envelope.figures
    sources = lift_sources(reader.flown) + FLIGHT
    level = reader.condition
    why = REASONS[LEVEL]
    return {
        "level_speed": level(LEVEL, lambda s: s["airspeed"], "m/s", sources),
        "slowest_level_speed": reader.quantity(figures["slowest_level"], "m/s", sources, why),
        "fastest_level_speed": reader.quantity(figures["fastest_level"], "m/s", sources, why),
        "level_throttle": level(LEVEL, lambda s: s["throttle"], "1", power_sources(reader.flown)),
        "level_incidence": level(LEVEL, lambda s: s["incidence"], "rad", FLIGHT),
        "best_climb": level(FULL, lambda s: s["climb"], "m/s", sources + power_sources(reader.flown)),
        "best_climb_speed": level(FULL, lambda s: s["airspeed"], "m/s", sources),
    }


def _forces(reader: Reader) -> dict[str, Quantity]:
    figures = reader.flown.envelope.figures
    vehicle = reader.flown.numbers.vehicle
    gravity = reader.flown.numbers.air["gravity"]
    sources = lift_sources(reader.flown) + power_sources(reader.flown)
    at = reader.condition
    found = {
        "thrust_to_spare": reader.quantity(figures["surplus"], "N", sources, REASONS[OPENED]),
        "thrust_to_spare_in_turn": reader.quantity(figures["surplus_banked"], "N", sources, REASONS[BANKED]),
        "reserve_thrust": reader.quantity(figures["reserve_surplus"], "N", sources, REASONS[OPENED]),
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
    found = {
        "level_power": at(LEVEL, lambda s: s["bus_power"], "W", sources),
        "level_current": at(LEVEL, lambda s: s["pack_current"], "A", sources),
        "full_throttle_thrust": at(OPENED, lambda s: s["thrust"], "N", sources),
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

    def at(which: int, read: Callable[[Any], Any], unit: str, keys: tuple[str, ...]) -> Quantity:
        return reader.condition(which, read, unit, keys, over=True)

    which = LEVEL
    found = {
        "rotor_speed": at(which, lambda s: s["rotor_speed"], "rad/s", sources),
        "spin_ratio": at(which, lambda s: s["spin_ratio"], "1", sources),
        "reynolds_number": at(which, lambda s: s["reynolds_number"], "1", AIR),
        "rim_speed": at(which, lambda s: s["rim_speed"], "m/s", sources),
        "rotor_energy": at(which, lambda s: s["rotor_energy"], "J", sources + MASS),
        "rotor_momentum": at(which, lambda s: s["rotor_momentum"], "N m s", sources + MASS),
        "rotor_lift_share": at(which, lambda s: s["rotor_lift"] / s["air_lift"], "1", lift_sources(flown)),
        "wash_share": at(which, lambda s: s["wash_share"], "1", FLIGHT),
    }
    lost, moment = stop_rotor(flown.numbers, steady[:, which], 0)
    why = REASONS[which]
    found["lift_lost_one_rotor_stopped"] = reader.quantity(lost, "1", lift_sources(flown), why)
    found["roll_one_rotor_stopped"] = reader.quantity(np.abs(moment), "N m", lift_sources(flown), why)
    return found


def _over_the_ground(reader: Reader, found: dict[str, Quantity]) -> dict[str, Quantity]:
    """Return ground speeds into and with the field's wind, which changes nothing in the air."""
    wind = reader.flown.aeroplane.field.wind
    if wind == 0.0:
        return {}
    steady = reader.flown.envelope.steady[:, LEVEL]
    speed = np.where(steady["status"] == OK, steady["airspeed"], np.nan)
    sources = found["level_speed"].sources
    return {
        "ground_speed_upwind": reader.quantity(speed - wind, "m/s", sources, REASONS[LEVEL]),
        "ground_speed_downwind": reader.quantity(speed + wind, "m/s", sources, REASONS[LEVEL]),
    }
