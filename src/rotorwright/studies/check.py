"""What an aircraft file says before anything flies: mass, balance point, inertia, loading, with bands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity, exact, from_samples
from rotorwright.base.records import WING
from rotorwright.base.unknown import nominal_factors, sampled_factors, unknowns
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.clearances import Clearance, clearances, spin_direction, tip_bank
from rotorwright.design.fill import FilledRows, fill
from rotorwright.design.stance import Stance, stance
from rotorwright.flight.numbers import AeroplaneNumbers, air_record, assemble
from rotorwright.studies.sampling import normal_scores


@dataclass(frozen=True)
class MassLine:
    """One part on the scale: its name, mass [kg], and whether the maker weighed or stated it."""

    name: str
    mass: float
    weighed: bool


@dataclass(frozen=True)
class CheckResult:
    """The answer of `check`: quantities by name, masses heaviest first, gaps tightest first, directions of spin."""

    aeroplane: Aeroplane
    quantities: dict[str, Quantity]
    masses: tuple[MassLine, ...]
    clearances: tuple[Clearance, ...]
    spins: tuple[tuple[str, str], ...]
    """Rotor name and which way it turns, in workshop words."""
    stance: Stance | None = None
    """How it stands on its wheels; None without any."""


def check(aeroplane: Aeroplane, *, samples: int = 128, seed: int = 0) -> CheckResult:
    """Return mass properties and loading of an aeroplane, with 80 % bands.

    Parameters
    ----------
    aeroplane : Aeroplane
    samples, seed : int
        Draws of the Unknowns behind the bands.

    Returns
    -------
    CheckResult

    Notes
    -----
    Lengths in file axes: aft, right and up from the nose point. ``area_loading`` is mass over the projected area of
    rotors (span × diameter) and plain wings.
    """
    rows = fill(aeroplane)
    factors = np.concatenate([nominal_factors(1), sampled_factors(normal_scores(samples, len(unknowns()), seed))])
    numbers = assemble(rows, air_record(1.225, 1.789e-5, 9.80665, (0.0, 0.0, 0.0)), factors)
    quantities = _quantities(rows, numbers)
    bank = tip_bank(aeroplane)
    if bank is not None:
        quantities["tip_bank"] = exact(bank, "rad", sources=("mechanics",))
    nominal = numbers.vehicle[0]
    standing = stance(aeroplane, float(-nominal["x"]), float(-nominal["z"]))
    if standing is not None:
        geometry = ("mechanics",)
        quantities["wheels_ahead"] = exact(standing.wheels_ahead, "m", sources=geometry)
        quantities["wheel_angle"] = exact(standing.wheel_angle, "rad", sources=geometry)
        quantities["nose_up_limit"] = exact(standing.nose_up_limit, "rad", sources=geometry)
        quantities["nose_down_limit"] = exact(standing.nose_down_limit, "rad", sources=geometry)
    spins = tuple((name, spin_direction(rotor)) for name, rotor in aeroplane.tables.rotor.items())
    return CheckResult(aeroplane, quantities, _mass_lines(rows), clearances(aeroplane), spins, standing)


def _quantities(rows: FilledRows, numbers: AeroplaneNumbers) -> dict[str, Quantity]:
    vehicle = numbers.vehicle

    def told(numbers_of_cases: npt.NDArray[Any], unit: str) -> Quantity:
        return from_samples(numbers_of_cases[1:], float(numbers_of_cases[0]), unit, sources=("meriam2012",))

    found = {
        "mass": told(vehicle["mass"], "kg"),
        "centre_of_gravity_aft": told(-vehicle["x"], "m"),
        "centre_of_gravity_right": told(vehicle["y"], "m"),
        "centre_of_gravity_up": told(-vehicle["z"], "m"),
    }
    if len(rows.rotors):
        areas = rows.rotors["span"] * rows.rotors["diameter"]
        axis = float((rows.rotors["x"] * areas).sum() / areas.sum())
        found["centre_of_gravity_ahead_of_rotors"] = told(vehicle["x"] - axis, "m")
    area = lifting_area(rows)
    if area > 0.0:
        found["area_loading"] = told(vehicle["mass"] / area, "kg/m2")
    for name, field in (
        ("inertia_roll", "ixx"),
        ("inertia_pitch", "iyy"),
        ("inertia_yaw", "izz"),
        ("inertia_roll_yaw", "ixz"),
    ):
        found[name] = told(vehicle[field], "kg m2")
    if len(rows.rotors):
        found["rotor_mass"] = told(numbers.rotors["mass"].sum(axis=1), "kg")
        found["rotor_inertia"] = told(numbers.rotors["polar_inertia"].sum(axis=1), "kg m2")
    return found


def lifting_area(rows: FilledRows) -> float:
    """Return the projected area of rotors and plain wings [m²]."""
    rotors = float((rows.rotors["span"] * rows.rotors["diameter"]).sum())
    wings = rows.surfaces[rows.surfaces["kind"] == WING]
    return rotors + float(wings["area"].sum())


def _mass_lines(rows: FilledRows) -> tuple[MassLine, ...]:
    lines = [
        MassLine(name, float(row["mass"]), bool(row["weighed"]))
        for name, row in zip(rows.names.masses, rows.masses, strict=True)
    ]
    return tuple(sorted(lines, key=lambda line: -line.mass))
