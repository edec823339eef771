"""The speed at which a rotor turns by itself: aerodynamic torque against bearing friction and disc windage."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.records import DRUM, PLATE
from rotorwright.base.status import NOT_APPLICABLE, NOT_CONVERGED, OK, OUT_OF_LIMITS
from rotorwright.physics.rotor.bearings import bearing_friction
from rotorwright.physics.rotor.loads import rotor_torque
from rotorwright.physics.rotor.span import aspect_ratio
from rotorwright.physics.rotor.tables import OVERLAP_SLOPE, OVERLAP_TORQUE, RotorTables
from rotorwright.physics.rotor.vaned import bucket_line, plate_running_ratio

SCAN_STEPS = 32


@jit
def running_spin_ratio(
    rotor: Any, tables: RotorTables, airspeed: float, air_density: float, air_viscosity: float, factors: Any
) -> float:
    """Return the spin ratio at which a vaned rotor without friction feels no torque; 0 for a drum."""
    if rotor.kind == DRUM:
        return 0.0
    if rotor.section == PLATE:
        return plate_running_ratio(aspect_ratio(rotor), factors)
    log_reynolds = math.log(airspeed * rotor.diameter * air_density / air_viscosity + 100.0)
    return bucket_line(rotor, tables.curves[OVERLAP_TORQUE], tables.curves[OVERLAP_SLOPE], log_reynolds, factors)[1]


@jit
def freewheel_guess(
    rotor: Any, tables: RotorTables, airspeed: float, air_density: float, air_viscosity: float, factors: Any
) -> float:
    """Return a cheap estimate of the freewheel speed [rad/s]: nine tenths of the frictionless one.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    tables : RotorTables
    airspeed : float
        [m/s], ≥ 0, across the axis.
    air_density, air_viscosity : float
        [kg/m³], [Pa s].
    factors : record of base.unknown.FACTORS
    """
    ratio = running_spin_ratio(rotor, tables, airspeed, air_density, air_viscosity, factors)
    return 0.9 * ratio * airspeed / (0.5 * rotor.diameter)


@jit
def _net_torque(
    rotor: Any,
    tables: RotorTables,
    airspeed: float,
    rotor_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> float:
    aerodynamic = rotor_torque(rotor, tables, airspeed, rotor_speed, air_density, air_viscosity, factors)
    return aerodynamic - bearing_friction(rotor, rotor_speed, factors)


@jit
def freewheel_speed(
    rotor: Any, tables: RotorTables, airspeed: float, air_density: float, air_viscosity: float, factors: Any
) -> tuple[float, int]:
    """Return the stable running speed of a free rotor [rad/s] and a status code.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    tables : RotorTables
    airspeed : float
        [m/s], ≥ 0, across the axis.
    air_density, air_viscosity : float
        [kg/m³], [Pa s].
    factors : record of base.unknown.FACTORS

    Returns
    -------
    rotor_speed : float
        [rad/s]; 0 when it does not run.
    status : int
        OK; OUT_OF_LIMITS when friction is too much to run at this airspeed; NOT_APPLICABLE for a drum, which does not
        turn itself; NOT_CONVERGED when the search fails.

    Notes
    -----
    Searches downwards from 1.6 times the frictionless spin ratio for the first speed at which the torque helps, then
    closes in by safeguarded false position (Illinois). The upper crossing is the stable one.
    """
    if rotor.kind == DRUM:
        return 0.0, NOT_APPLICABLE
    if airspeed <= 0.0:
        return 0.0, OK
    ratio = running_spin_ratio(rotor, tables, airspeed, air_density, air_viscosity, factors)
    top = 1.6 * ratio * airspeed / (0.5 * rotor.diameter)
    high = top
    high_torque = _net_torque(rotor, tables, airspeed, high, air_density, air_viscosity, factors)
    low = 0.0
    low_torque = -1.0
    found = False
    for step in range(1, SCAN_STEPS):
        low = top * (1.0 - step / SCAN_STEPS)
        low_torque = _net_torque(rotor, tables, airspeed, low, air_density, air_viscosity, factors)
        if low_torque > 0.0:
            found = True
            break
        high, high_torque = low, low_torque
    if not found:
        return 0.0, OUT_OF_LIMITS
    for _ in range(60):
        middle = (low * high_torque - high * low_torque) / (high_torque - low_torque)
        torque = _net_torque(rotor, tables, airspeed, middle, air_density, air_viscosity, factors)
        if torque > 0.0:
            if middle - low < 1.0e-10 * top and high - middle < 1.0e-6 * top:
                return middle, OK
            low, low_torque = middle, torque
            high_torque *= 0.5
        elif torque < 0.0:
            high, high_torque = middle, torque
            low_torque *= 0.5
        else:
            return middle, OK
        if high - low < 1.0e-11 * top:
            return 0.5 * (low + high), OK
    if high - low < 1.0e-6 * top:
        return 0.5 * (low + high), OK
    return 0.0, NOT_CONVERGED
