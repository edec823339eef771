"""A first guess for the steady-flight search: airspeed from lift against weight, speeds from freewheel and pitch."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.records import PROPELLER, WING
from rotorwright.flight.layout import OFF_BELOW
from rotorwright.flight.steady import (
    AIRSPEED,
    CLIMB,
    COMMAND,
    EXTRA_MASS,
    THROTTLE,
    is_governing,
    speed_is_free,
)
from rotorwright.physics.power.battery import rest_voltage
from rotorwright.physics.rotor.freewheel import freewheel_guess
from rotorwright.physics.rotor.loads import rotor_load_parts

WING_LIFT = 0.6
"""Lift coefficient of a plain wing that the first guess of airspeed supposes."""
SLOWEST, FASTEST = 3.0, 45.0


@jit
def rotor_speed_guess(case: Any, tables: Any, rotor: int, airspeed: float, command: float) -> float:
    """Return a guess of one rotor's speed [rad/s] at this airspeed and drive command."""
    row = case.rotors[rotor]
    drive = int(row.drive)
    if drive >= 0 and command > OFF_BELOW:
        return command * case.drives[drive].speed
    air = case.air[0]
    return freewheel_guess(row, tables.rotor[0], airspeed, air.density, air.viscosity, case.factors[0])


@jit
def lift_guess(case: Any, tables: Any, airspeed: float, command: float) -> float:
    """Return the lift of all rotors and wings at this airspeed [N]."""
    air = case.air[0]
    lift = 0.0
    for i in range(case.rotors.shape[0]):
        if case.rotors[i].turning == 1.0:
            speed = rotor_speed_guess(case, tables, i, airspeed, command)
            parts = rotor_load_parts(
                case.rotors[i], tables.rotor[0], airspeed, speed, air.density, air.viscosity, case.factors[0]
            )
            lift += parts[0]
    for i in range(case.surfaces.shape[0]):
        if case.surfaces[i].kind == WING:
            lift += 0.5 * air.density * airspeed * airspeed * case.surfaces[i].area * WING_LIFT
    return lift


@jit
def guess_airspeed(case: Any, tables: Any, command: float, extra_mass: float) -> float:
    """Return the airspeed at which lift carries the weight, roughly [m/s]."""
    weight = (case.vehicle[0].mass + extra_mass) * case.air[0].gravity
    speed = 10.0
    for _ in range(8):
        lift = lift_guess(case, tables, speed, command)
        if lift <= 0.02 * weight:
            speed = min(speed * 1.5, FASTEST)
        else:
            speed = min(max(speed * (weight / lift) ** 0.55, SLOWEST), FASTEST)
    return speed


@jit
def guess_inner(case: Any, tables: Any, work: Any) -> None:
    """Fill ``work.inner`` with guesses that suit the flight variables in ``work.flight``."""
    speed = work.flight[AIRSPEED]
    command = work.flight[COMMAND]
    throttle = work.flight[THROTTLE]
    rotors = case.rotors.shape[0]
    k = 0
    for i in range(rotors):
        if speed_is_free(case, i, command):
            work.inner[k] = rotor_speed_guess(case, tables, i, speed, command)
            k += 1
    for i in range(case.drives.shape[0]):
        if is_governing(case, i, command):
            drive = case.drives[i]
            rest = rest_voltage(case.batteries[int(drive.battery)], tables.power[0], case.factors[0])
            work.inner[k] = command * drive.speed * drive.ratio / (drive.motor_speed_constant * rest) + 0.1
            k += 1
    for i in range(case.thrusters.shape[0]):
        thruster = case.thrusters[i]
        if thruster.working == 1.0:
            if throttle > OFF_BELOW:
                rest = rest_voltage(case.batteries[int(thruster.battery)], tables.power[0], case.factors[0])
                work.inner[k] = 0.75 * max(throttle, 0.2) * rest * thruster.motor_speed_constant / thruster.gear_ratio
            elif thruster.kind == PROPELLER:
                work.inner[k] = 2.0 * math.pi * speed / (1.3 * max(thruster.pitch, 0.3 * thruster.diameter))
            else:
                work.inner[k] = 20.0 * speed
            k += 1


@jit
def guess_all(case: Any, tables: Any, work: Any) -> None:
    """Fill airspeed (in ``work.flight``) and the inner unknowns for a search from nothing."""
    work.flight[AIRSPEED] = guess_airspeed(case, tables, work.flight[COMMAND], work.flight[EXTRA_MASS])
    if work.flight[CLIMB] < -0.9 * work.flight[AIRSPEED]:
        work.flight[CLIMB] = -0.9 * work.flight[AIRSPEED]
    guess_inner(case, tables, work)
