"""What one aeroplane amounts to at its size: everything that changes with size, from one set of flown samples."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.records import WING
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.fill import fill
from rotorwright.flight.envelope import UNTRIMMED
from rotorwright.flight.linear import linearise
from rotorwright.flight.solver import GUESS_INNER
from rotorwright.studies.balance_quantities import design_support
from rotorwright.studies.bench_modes import modes_of
from rotorwright.studies.evaluate import Flown, factors_for, fly
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.shake_bands import criticals_of, first_forward
from rotorwright.studies.shake_model import rotor_shaft
from rotorwright.studies.shortfall import shortfall_of
from rotorwright.studies.sources import lift_sources
from rotorwright.studies.strength import strength
from rotorwright.studies.verdict import probability_of_flight

Floats = npt.NDArray[np.float64]

SIGHT = 40.0
"""How far off a model usually passes whoever flies it [m] (common practice, no source)."""
PROPERTIES: dict[str, tuple[str, str, str]] = {
    "area": ("lifting area", "m2", "built"),
    "mass": ("mass", "kg", "built"),
    "loading": ("mass / area", "kg/m2", "built"),
    "airspeed": ("level speed", "m/s", "flown"),
    "lift_at_old_speed": ("lift at old speed", "N", "flown"),
    "reynolds_number": ("Reynolds number", "1", "flown"),
    "rotor_speed": ("rotor speed", "rad/s", "flown"),
    "rim_speed": ("rim speed", "m/s", "flown"),
    "power": ("shaft power, level", "W", "flown"),
    "first_critical": ("first shake", "rad/s", "built"),
    "critical_share": ("rotor over shake", "1", "flown"),
    "weakest_margin": ("weakest margin", "1", "flown"),
    "spin_momentum": ("spin momentum", "N m s", "flown"),
    "spin_energy": ("energy of spin", "J", "flown"),
    "kinetic_energy": ("energy of motion", "J", "flown"),
    "phugoid_period": ("speed-height swing", "s", "flown"),
    "roll_time_constant": ("answer in roll", "s", "flown"),
    "dutch_roll_period": ("tail wag, one swing", "s", "flown"),
    "spans_per_second": ("spans per second", "1/s", "flown"),
    "sight_rate": ("turn of sight, 40 m", "rad/s", "flown"),
}
"""Name → words, unit, and whether it hangs on the flight or on the build alone."""


@dataclass(frozen=True)
class State:
    """An aeroplane at one size; arrays hold the nominal case first."""

    aeroplane: Aeroplane
    flown: Flown
    values: dict[str, Floats]
    told: dict[str, Quantity]
    """Properties that come with a band of their own."""
    reasons: dict[str, str]
    probability: float
    shortage: str
    support: str
    sources: tuple[str, ...]

    @property
    def flies(self) -> bool:
        """Return whether any balance was found, be it with the nose held or more than full throttle."""
        return "airspeed" in self.values

    @property
    def mass(self) -> float:
        """Return the nominal mass [kg]."""
        return float(self.values["mass"][0])

    def quantity(self, name: str, unit: str) -> Quantity:
        """Return one property with its band."""
        if name in self.told:
            return self.told[name]
        support = "inside data" if PROPERTIES[name][2] == "built" else self.support
        numbers = self.values.get(name)
        if numbers is None:
            why = self.reasons.get(name, "no balance was found at any speed")
            return Quantity(None, None, None, None, unit, 0.0, support, self.sources, why)
        return from_samples(
            numbers[1:] if len(numbers) > 1 else numbers, float(numbers[0]), unit, support=support,
            sources=self.sources, reason=self.reasons.get(name, "too few of the samples balance"),
        )  # fmt: skip


def whole_span(aeroplane: Aeroplane) -> float:
    """Return the span over the tips of rotors and surfaces [m]."""
    rows = fill(aeroplane)
    tips = [float((np.abs(part["y"]) + 0.5 * part["span"]).max()) for part in (rows.rotors, rows.surfaces) if len(part)]
    return 2.0 * max(tips)


def lifting_area(flown: Flown) -> float:
    """Return span times diameter of all rotors and the area of wings [m²]."""
    rotors, surfaces = flown.rows.rotors, flown.rows.surfaces
    wings = surfaces[surfaces["kind"] == WING] if len(surfaces) else surfaces
    return float((rotors["span"] * rotors["diameter"]).sum() + (wings["span"] * wings["chord"]).sum())


def alike(flown: Flown) -> Any:
    """Return level flight of every case held the same way at any size, as STEADY records; None if no case has any.

    Full rotor command, one attitude, the nose held from outside, throttle beyond full allowed. A pilot's own level
    flight jumps from one setting to another with size, and would hide what size does.
    """
    rows = flown.envelope.steady[:, UNTRIMMED]
    return rows if np.isfinite(rows["airspeed"][0]) else None


def critical_of(aeroplane: Aeroplane, flown: Flown, factors: Any) -> Floats | None:
    """Return the first critical of the first rotor in every case [rad/s]; None without a rotor."""
    for name in aeroplane.tables.rotor:
        shaft = rotor_shaft(aeroplane, flown.rows, name, factors)
        return np.asarray(first_forward(shaft, criticals_of(shaft)[0])[0], dtype=np.float64)
    return None


def state_of(aeroplane: Aeroplane, samples: int, seed: int) -> State:
    """Fly an aeroplane and read everything that changes with size.

    Parameters
    ----------
    aeroplane : Aeroplane
    samples, seed : int
        Samples of the Unknowns.
    """
    flown = fly(aeroplane, samples=samples, seed=seed, few=True)
    factors, _ = factors_for(samples, seed)
    cases = samples + 1
    mass = np.asarray(flown.numbers.vehicle["mass"], dtype=np.float64)
    area = np.full(cases, lifting_area(flown))
    values: dict[str, Floats] = {"area": area, "mass": mass, "loading": mass / area}
    reasons: dict[str, str] = {}
    told: dict[str, Quantity] = {}
    critical = critical_of(aeroplane, flown, factors)
    if critical is not None:
        values["first_critical"] = critical
    level = alike(flown)
    if level is not None:
        values |= _flying(aeroplane, level, mass, critical)
        values |= _motions(flown, level, reasons)
        if critical is not None:
            margin = strength(aeroplane, samples=samples, seed=seed, flown=flown).quantities["weakest_margin"]
            told["weakest_margin"] = margin
            if margin.nominal is not None:
                values["weakest_margin"] = np.array([margin.nominal])
    chance = probability_of_flight(flown)
    if chance is None:
        chance = float(flown.envelope.figures["reserve_surplus"][0] >= 0.0)
    return State(
        aeroplane, flown, values, told, reasons, chance, shortfall_of(flown).sentence(), design_support(flown),
        ("mechanics", *lift_sources(flown)),
    )  # fmt: skip


def _flying(aeroplane: Aeroplane, level: Any, mass: Floats, critical: Floats | None) -> dict[str, Floats]:
    airspeed = np.asarray(level["airspeed"], dtype=np.float64)
    found = {
        "airspeed": airspeed,
        "lift_at_old_speed": mass * GRAVITY,
        "power": np.asarray(level["traction_power"] + level["spin_power"], dtype=np.float64),
        "kinetic_energy": 0.5 * mass * airspeed**2,
        "spans_per_second": airspeed / whole_span(aeroplane),
        "sight_rate": airspeed / SIGHT,
    }
    if critical is not None:
        found |= {
            name: np.abs(np.asarray(level[field], dtype=np.float64))
            for name, field in (
                ("reynolds_number", "reynolds_number"), ("rotor_speed", "rotor_speed"), ("rim_speed", "rim_speed"),
                ("spin_momentum", "rotor_momentum"), ("spin_energy", "rotor_energy"),
            )
        }  # fmt: skip
        found["critical_share"] = found["rotor_speed"] / critical
    return found


def _motions(flown: Flown, level: Any, reasons: dict[str, str]) -> dict[str, Floats]:
    """Return the motions of the nominal case, hands off."""
    rows = held_flight(flown.numbers, level).solve((), GUESS_INNER)
    model = linearise(rows, 0)
    found: dict[str, Floats] = {}
    modes = {mode.name: mode for mode in modes_of(model.matrix, model.states)}
    for name, motion, field in (
        ("phugoid_period", "phugoid", "period"),
        ("roll_time_constant", "roll", "time_constant"),
        ("dutch_roll_period", "Dutch roll", "period"),
    ):
        value = getattr(modes[motion], field) if motion in modes else None
        if value is None or not math.isfinite(value):
            reasons[name] = "the motion joins with another one"
        else:
            found[name] = np.array([value])
    return found
