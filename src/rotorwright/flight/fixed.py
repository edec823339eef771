"""What stays the same while an aeroplane's state changes: worked out once a solve, read at every evaluation.

Each part has a row of plain numbers; the physics rooms name them (`RotorConstants` and its like). `fix` fills the rows
from part rows, factors, air and tables, so it must run again whenever one of these has changed.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from rotorwright.base.jit import jit, jit_into_caller, jit_with_arrays
from rotorwright.base.records import PROPELLER
from rotorwright.physics.airframe.body import turning_volume
from rotorwright.physics.airframe.surface import SurfaceConstants, surface_constants
from rotorwright.physics.power.battery import pack_resistance, rest_voltage
from rotorwright.physics.power.propeller import PropellerConstants, propeller_constants
from rotorwright.physics.rotor.loads import RotorConstants, rotor_constants

ROTOR_COLUMNS = len(RotorConstants._fields)
SURFACE_COLUMNS = len(SurfaceConstants._fields)
PROPELLER_COLUMNS = len(PropellerConstants._fields)
AXIS = PROPELLER_COLUMNS
"""Where a thruster's axis starts, behind the constants of its propeller."""
MOST_COLUMNS = max(ROTOR_COLUMNS, SURFACE_COLUMNS, PROPELLER_COLUMNS + 3)
TURNING_VOLUME = 0
REST_VOLTAGE, PACK_RESISTANCE = 0, 1


class Fixed(NamedTuple):
    """Rows of constants by kind of part, each of shape (parts, columns)."""

    rotors: Any
    surfaces: Any
    bodies: Any
    thrusters: Any
    batteries: Any


@jit_with_arrays
def room_for_fixed(rotors: int, surfaces: int, bodies: int, thrusters: int, batteries: int) -> Fixed:
    """Return rows for an aeroplane with that many parts, to be filled by `fix`."""
    return Fixed(
        np.zeros((rotors, ROTOR_COLUMNS)),
        np.zeros((surfaces, SURFACE_COLUMNS)),
        np.zeros((bodies, 1)),
        np.zeros((thrusters, PROPELLER_COLUMNS + 3)),
        np.zeros((batteries, 2)),
    )


@jit
def thrust_axis(thruster: Any) -> tuple[float, float, float]:
    """Return the unit vector a thruster pulls along, in body axes."""
    level = math.cos(thruster.tilt)
    return level * math.cos(thruster.toe), level * math.sin(thruster.toe), -math.sin(thruster.tilt)


@jit_into_caller
def fix_batteries(case: Any, tables: Any) -> None:
    """Fill the batteries' rows."""
    for i in range(case.batteries.shape[0]):
        row = case.fixed.batteries[i]
        row[REST_VOLTAGE] = rest_voltage(case.batteries[i], tables.power[0], case.factors[0])
        row[PACK_RESISTANCE] = pack_resistance(case.batteries[i], case.factors[0])


@jit_into_caller
def fix(case: Any, tables: Any) -> None:
    """Fill all rows of a case."""
    factors = case.factors[0]
    air = case.air[0]
    for i in range(case.rotors.shape[0]):
        rotor = rotor_constants(case.rotors[i], tables.rotor[0], factors)
        for k in range(ROTOR_COLUMNS):
            case.fixed.rotors[i, k] = rotor[k]
    for i in range(case.surfaces.shape[0]):
        if case.surfaces[i].area > 0.0:
            surface = surface_constants(case.surfaces[i], factors)
            for k in range(SURFACE_COLUMNS):
                case.fixed.surfaces[i, k] = surface[k]
    for i in range(case.bodies.shape[0]):
        case.fixed.bodies[i, TURNING_VOLUME] = turning_volume(case.bodies[i])
    for i in range(case.thrusters.shape[0]):
        if case.thrusters[i].kind == PROPELLER:
            propeller = propeller_constants(case.thrusters[i], tables.power[0], air.density, air.viscosity, factors)
            for k in range(PROPELLER_COLUMNS):
                case.fixed.thrusters[i, k] = propeller[k]
        ax, ay, az = thrust_axis(case.thrusters[i])
        row = case.fixed.thrusters[i]
        row[AXIS], row[AXIS + 1], row[AXIS + 2] = ax, ay, az
    fix_batteries(case, tables)


@jit
def rotor_row(row: Any) -> RotorConstants:
    """Return a rotor's row with its names."""
    return RotorConstants(
        row[0], row[1], row[2], row[3], row[4], row[5], row[6], row[7], row[8], row[9], row[10], row[11], row[12],
        row[13], row[14], row[15],
    )  # fmt: skip


@jit
def surface_row(row: Any) -> SurfaceConstants:
    """Return a surface's row with its names."""
    return SurfaceConstants(
        row[0], row[1], row[2], row[3], row[4], row[5], row[6], row[7], row[8], row[9], row[10], row[11], row[12]
    )


@jit
def propeller_row(row: Any) -> PropellerConstants:
    """Return a thruster's row with its names, those of a propeller."""
    return PropellerConstants(row[0], row[1], row[2], row[3], row[4], row[5], row[6], row[7], row[8], row[9], row[10])
