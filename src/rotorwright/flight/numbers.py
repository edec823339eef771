"""The aeroplane numbers: every part of every case of a batch as structured arrays, ready for the kernels.

A batch has one leading case axis. The sizes (how many rotors, thrusters …) are the same in all cases of a batch; what
varies are the numbers. `assemble` runs the compiled mass step, so that studies may vary anything in the rows.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit, jit_with_arrays
from rotorwright.base.records import AIR, VEHICLE, table_record
from rotorwright.base.unknown import nominal_factors
from rotorwright.flight.fixed import Fixed, room_for_fixed
from rotorwright.physics.mass.properties import mass_properties
from rotorwright.physics.power.tables import power_tables
from rotorwright.physics.rotor.tables import rotor_tables

Rows = npt.NDArray[Any]


class AeroplaneNumbers(NamedTuple):
    """A batch of aeroplanes; ``vehicle``, ``air`` and ``factors`` have shape (cases,), the parts (cases, rows)."""

    rotors: Rows
    surfaces: Rows
    bodies: Rows
    thrusters: Rows
    drives: Rows
    batteries: Rows
    wheels: Rows
    masses: Rows
    vehicle: Rows
    air: Rows
    factors: Rows


class Tables(NamedTuple):
    """The physics tables every kernel call is handed, each a one-row array of one record."""

    rotor: Rows
    power: Rows


class Case(NamedTuple):
    """One aeroplane of a batch: part rows, and one-row arrays for vehicle, air and factors."""

    rotors: Rows
    surfaces: Rows
    bodies: Rows
    thrusters: Rows
    drives: Rows
    batteries: Rows
    vehicle: Rows
    air: Rows
    factors: Rows
    fixed: Fixed
    """Scratch of the equation of motion: what it works out once a solve."""


_TABLES: list[Tables] = []


def physics_tables() -> Tables:
    """Return the physics tables, built once."""
    if not _TABLES:
        _TABLES.append(Tables(table_record(rotor_tables()), table_record(power_tables())))
    return _TABLES[0]


@jit_with_arrays
def case_of(numbers: AeroplaneNumbers, case: int) -> Case:
    """Return views of one case of a batch, with scratch of its own."""
    return Case(
        numbers.rotors[case],
        numbers.surfaces[case],
        numbers.bodies[case],
        numbers.thrusters[case],
        numbers.drives[case],
        numbers.batteries[case],
        numbers.vehicle[case : case + 1],
        numbers.air[case : case + 1],
        numbers.factors[case : case + 1],
        room_for_fixed(
            numbers.rotors.shape[1],
            numbers.surfaces.shape[1],
            numbers.bodies.shape[1],
            numbers.thrusters.shape[1],
            numbers.batteries.shape[1],
        ),
    )


@jit
def fill_mass_properties(numbers: AeroplaneNumbers) -> None:
    """Run the mass step for every case: vehicle record and rotor inertias, in place."""
    for case in range(numbers.vehicle.shape[0]):
        mass_properties(numbers.masses[case], numbers.rotors[case], numbers.factors[case], numbers.vehicle[case])


def _batch(rows: Rows, cases: int) -> Rows:
    """Return ``cases`` writable copies of one aeroplane's rows, or the rows themselves if already a batch."""
    if rows.ndim == 2:
        return np.ascontiguousarray(rows)
    return np.ascontiguousarray(np.broadcast_to(rows, (cases, len(rows))).copy())


def assemble(rows: Any, air: Rows, factors: Rows | None = None) -> AeroplaneNumbers:
    """Return a batch of aeroplane numbers with mass properties filled in.

    Parameters
    ----------
    rows : object with attributes rotors, surfaces, bodies, thrusters, drives, batteries, wheels, masses
        Part rows, each of shape (rows,) for one aeroplane or (cases, rows) for a batch.
    air : array of AIR records, shape (1,) or (cases,)
        As stated; the numbers carry its density times the Unknown ``air_density``.
    factors : array of FACTORS records, shape (cases,), optional
        One per case; by default one case with every Unknown at its median.

    Returns
    -------
    numbers : AeroplaneNumbers
    """
    if factors is None:
        factors = nominal_factors(1)
    counts = [len(factors), len(air)]
    counts += [part.shape[0] for part in _parts(rows) if part.ndim == 2]
    cases = max(counts)
    rotors, surfaces, bodies, thrusters, drives, batteries, wheels, masses = (
        _batch(part, cases) for part in _parts(rows)
    )
    numbers = AeroplaneNumbers(
        rotors=rotors,
        surfaces=surfaces,
        bodies=bodies,
        thrusters=thrusters,
        drives=drives,
        batteries=batteries,
        wheels=wheels,
        masses=masses,
        vehicle=np.zeros(cases, dtype=VEHICLE),
        air=_repeat(air, cases).copy(),
        factors=_repeat(factors, cases),
    )
    numbers.air["density"] *= numbers.factors["air_density"]
    fill_mass_properties(numbers)
    return numbers


def _parts(rows: Any) -> tuple[Rows, ...]:
    return (
        rows.rotors,
        rows.surfaces,
        rows.bodies,
        rows.thrusters,
        rows.drives,
        rows.batteries,
        rows.wheels,
        rows.masses,
    )


def _repeat(records: Rows, cases: int) -> Rows:
    if len(records) == cases:
        return np.ascontiguousarray(records)
    return np.repeat(records, cases)


def air_record(density: float, viscosity: float, gravity: float, wind: tuple[float, float, float]) -> Rows:
    """Return one AIR record; ``wind`` is the velocity of the air towards north, east and down [m/s]."""
    air = np.zeros(1, dtype=AIR)
    air["density"], air["viscosity"], air["gravity"] = density, viscosity, gravity
    air["wind_north"], air["wind_east"], air["wind_down"] = wind
    return air
