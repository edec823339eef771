"""Coming up to speed and losing it: the one torque balance of a rotor in time."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.status import NOT_APPLICABLE, OK, OUT_OF_LIMITS
from rotorwright.physics.rotor.bearings import bearing_friction
from rotorwright.physics.rotor.freewheel import freewheel_speed, running_spin_ratio
from rotorwright.physics.rotor.loads import rotor_load_parts, rotor_torque
from rotorwright.physics.rotor.tables import Floats, RotorTables

PANELS = 48
"""Simpson panels over the speeds passed through: the torque curve is smooth, the answer is good to 0.1 %."""

GOVERNOR_BAND = 0.02
"""A drive lets its torque fall to nothing over the last share of its speed."""

FINEST = 60
"""Most steps that one step of a history is divided into."""


@jit
def net_torque(
    rotor: Any,
    tables: RotorTables,
    airspeed: float,
    rotor_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> float:
    """Return the torque that speeds a rotor up: of the air, less bearing friction [N m].

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    tables : RotorTables
    airspeed, rotor_speed : float
        [m/s], [rad/s]
    air_density, air_viscosity : float
        [kg/m³], [Pa s]
    factors : record of base.unknown.FACTORS
    """
    aerodynamic = rotor_torque(rotor, tables, airspeed, rotor_speed, air_density, air_viscosity, factors)
    return aerodynamic - bearing_friction(rotor, rotor_speed, factors)


@jit
def spin_up_time(
    rotor: Any,
    tables: RotorTables,
    airspeed: float,
    start_speed: float,
    share: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> tuple[float, int]:
    """Return the time a free rotor takes in a steady stream to a share of its freewheel speed [s], and a status code.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
        With ``polar_inertia`` filled.
    tables : RotorTables
    airspeed : float
        [m/s], ≥ 0, across the axis.
    start_speed : float
        Rotor speed it starts from [rad/s], ≥ 0.
    share : float
        Of the freewheel speed [1], below 1 (that itself is never quite reached).
    air_density, air_viscosity : float
        [kg/m³], [Pa s].
    factors : record of base.unknown.FACTORS

    Returns
    -------
    time : float
        [s]; 0 if it starts above; NaN unless the status is OK.
    status : int
        OK; OUT_OF_LIMITS when the mean torque stalls on the way (it must be spun by hand or a drive) or the rotor does
        not run at this airspeed; NOT_APPLICABLE for a drum, which does not turn itself.

    Notes
    -----
    t = ∫ I dω/Q(ω) over the speeds passed through, Simpson's rule; Q is the mean over a turn of aerodynamic torque less
    bearing friction. Linear law: time constant 2 I/(ρ V S R² k), k = −d(torque_coefficient)/d(spin_ratio).

    Validity: torque of steady running at every speed; dead angles at rest are not in it (`parked.py`).

    Source: angular momentum (closed form) and the torque laws of this room.
    """
    top, status = freewheel_speed(rotor, tables, airspeed, air_density, air_viscosity, factors)
    if status != OK:
        return math.nan, status
    if not top > 0.0:
        return math.nan, NOT_APPLICABLE
    if start_speed >= share * top:
        return 0.0, OK
    step = (share * top - start_speed) / PANELS
    total = 0.0
    for k in range(2 * PANELS + 1):
        speed = start_speed + 0.5 * step * k
        torque = net_torque(rotor, tables, airspeed, speed, air_density, air_viscosity, factors)
        if not torque > 0.0:
            return math.nan, OUT_OF_LIMITS
        weight = 1.0 if k in (0, 2 * PANELS) else 4.0 if k % 2 == 1 else 2.0
        total += weight / torque
    return rotor.polar_inertia * total * step / 6.0, OK


@jit
def friction_limit(
    rotor: Any, tables: RotorTables, airspeed: float, air_density: float, air_viscosity: float, factors: Any
) -> float:
    """Return the largest torque that the air gives a running rotor: friction above it stops any rotor [N m].

    Parameters
    ----------
    rotor : record of base.records.ROTOR
    tables : RotorTables
    airspeed : float
        [m/s], ≥ 0, across the axis.
    air_density, air_viscosity : float
        [kg/m³], [Pa s].
    factors : record of base.unknown.FACTORS

    Notes
    -----
    Largest of 65 evenly spaced speeds from rest to 1.05 times the frictionless one, sharpened by a parabola; 0 for a
    drum.
    """
    ratio = running_spin_ratio(rotor, tables, airspeed, air_density, air_viscosity, factors)
    if ratio <= 0.0 or airspeed <= 0.0:
        return 0.0
    top = 1.05 * ratio * airspeed / (0.5 * rotor.diameter)
    step = top / 64.0
    best, place = -1.0e300, 0
    for k in range(65):
        torque = rotor_torque(rotor, tables, airspeed, step * k, air_density, air_viscosity, factors)
        if torque > best:
            best, place = torque, k
    if place in (0, 64):
        return best
    left = rotor_torque(rotor, tables, airspeed, step * (place - 1), air_density, air_viscosity, factors)
    right = rotor_torque(rotor, tables, airspeed, step * (place + 1), air_density, air_viscosity, factors)
    bend = left - 2.0 * best + right
    if bend >= 0.0:
        return best
    return best - 0.125 * (right - left) ** 2 / bend


@jit
def spin_rate(
    rotor: Any,
    tables: RotorTables,
    airspeed: float,
    rotor_speed: float,
    drive_torque: float,
    drive_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> float:
    """Return the spin acceleration [rad/s²] under air, bearings and a drive that gives a torque up to its speed."""
    torque = net_torque(rotor, tables, airspeed, rotor_speed, air_density, air_viscosity, factors)
    if drive_torque > 0.0:
        left = (drive_speed - rotor_speed) / (GOVERNOR_BAND * drive_speed)
        torque += drive_torque * min(1.0, max(0.0, left))
    return torque / rotor.polar_inertia


@jit
def spin_history(
    rotor: Any,
    tables: RotorTables,
    start_speed: float,
    start_airspeed: float,
    end_airspeed: float,
    acceleration: float,
    drive_torque: float,
    drive_speed: float,
    step: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
    out: Floats,
) -> None:
    """Fill rotor speed [rad/s], airspeed [m/s], lift [N] and distance [m] at even times.

    Parameters
    ----------
    rotor : record of base.records.ROTOR
        With ``polar_inertia`` filled, > 0.
    tables : RotorTables
    start_speed : float
        Rotor speed at the start [rad/s].
    start_airspeed, end_airspeed : float
        [m/s]; the stream grows from the first to the second, which is not smaller, then stays.
    acceleration : float
        Of the run [m/s²], > 0.
    drive_torque, drive_speed : float
        At the rotor's shaft [N m], [rad/s]; no drive: 0.
    step : float
        Between two rows of the history [s].
    air_density, air_viscosity : float
        [kg/m³], [Pa s].
    factors : record of base.unknown.FACTORS
    out : array, shape (n, 4)
        Filled.

    Notes
    -----
    I dω/dt = Q_air + Q_drive − Q_bearings, classical Runge–Kutta of fourth order, each row divided so that a step is
    at most a fifth of the rotor's own time constant.
    """
    speed, airspeed, distance = start_speed, start_airspeed, 0.0
    radius = 0.5 * rotor.diameter
    rate = 0.25 * air_density * rotor.span * rotor.diameter * radius * radius / rotor.polar_inertia
    rows = out.shape[0]
    for row in range(rows):
        parts = rotor_load_parts(rotor, tables, airspeed, speed, air_density, air_viscosity, factors)
        out[row, 0], out[row, 1], out[row, 2], out[row, 3] = speed, airspeed, parts[0], distance
        if row == rows - 1:
            break
        fastest = max(airspeed, end_airspeed, abs(speed) * radius)
        pieces = int(min(float(FINEST), 1.0 + step * rate * fastest / 0.2))
        if drive_torque > 0.0:
            stiff = drive_torque / (GOVERNOR_BAND * drive_speed * rotor.polar_inertia)
            pieces = int(min(float(FINEST), max(float(pieces), 1.0 + step * stiff)))
        short = step / pieces
        for _ in range(pieces):
            middle = min(airspeed + 0.5 * short * acceleration, end_airspeed)
            later = min(airspeed + short * acceleration, end_airspeed)
            one = spin_rate(
                rotor, tables, airspeed, speed, drive_torque, drive_speed, air_density, air_viscosity, factors
            )
            two = spin_rate(
                rotor, tables, middle, speed + 0.5 * short * one, drive_torque, drive_speed, air_density, air_viscosity,
                factors,
            )  # fmt: skip
            three = spin_rate(
                rotor, tables, middle, speed + 0.5 * short * two, drive_torque, drive_speed, air_density, air_viscosity,
                factors,
            )  # fmt: skip
            four = spin_rate(
                rotor, tables, later, speed + short * three, drive_torque, drive_speed, air_density, air_viscosity,
                factors,
            )  # fmt: skip
            speed += short / 6.0 * (one + 2.0 * two + 2.0 * three + four)
            distance += 0.5 * short * (airspeed + later)
            airspeed = later


def linear_time_constant(
    polar_inertia: float, air_density: float, airspeed: float, span: float, diameter: float, torque_slope: float
) -> float:
    """Return the time constant of spin-up on a straight torque line [s]: 2 I/(ρ V S R² k).

    Parameters
    ----------
    polar_inertia, air_density, airspeed : float
        [kg m²], [kg/m³], [m/s].
    span, diameter : float
        [m].
    torque_slope : float
        k: loss of torque coefficient per spin ratio [1].
    """
    radius = 0.5 * diameter
    return 2.0 * polar_inertia / (air_density * airspeed * span * diameter * radius * radius * torque_slope)
