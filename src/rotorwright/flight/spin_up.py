"""How long a free rotor takes to come up to speed in a steady stream, from its own torque balance."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit
from rotorwright.base.status import NOT_APPLICABLE, OK, OUT_OF_LIMITS
from rotorwright.flight.numbers import AeroplaneNumbers, Tables, physics_tables
from rotorwright.physics.rotor.bearings import bearing_friction
from rotorwright.physics.rotor.freewheel import freewheel_speed
from rotorwright.physics.rotor.loads import rotor_torque

PANELS = 48
"""Simpson panels over the speeds passed through: the torque curve is smooth, the answer is good to 0.1 %."""


@jit
def spin_up_time(
    rotor: Any, tables: Any, airspeed: float, share: float, air_density: float, air_viscosity: float, factors: Any
) -> tuple[float, int]:
    """Return the time a free rotor takes from rest to a share of its freewheel speed [s], and a status code.

    Parameters
    ----------
    rotor : ROTOR record
        With ``polar_inertia`` filled by the mass room.
    tables : rotor tables
    airspeed : float
        Steady stream across the axis [m/s].
    share : float
        Of the freewheel speed, below 1 (that itself is never quite reached).
    air_density, air_viscosity : float
        [kg/m³], [Pa s]
    factors : FACTORS record

    Returns
    -------
    time : float
        [s]; NaN unless the status is OK.
    status : int
        OK; OUT_OF_LIMITS when the mean torque stalls on the way (it must be spun by hand or a drive) or the rotor does
        not run at this airspeed; NOT_APPLICABLE for a drum, which does not turn itself.

    Notes
    -----
    t = ∫ I dΩ/Q(Ω) over the speeds passed through, Simpson's rule; Q is the mean over a turn of aerodynamic torque less
    bearing friction. Validity: torque of steady running at every speed; the dead angles of a rotor at rest are not in
    it. Source: angular momentum (closed form) and the torque laws of the rotor room.
    """
    top, status = freewheel_speed(rotor, tables, airspeed, air_density, air_viscosity, factors)
    if status != OK:
        return math.nan, status
    if not top > 0.0:
        return math.nan, NOT_APPLICABLE
    step = share * top / PANELS
    total = 0.0
    for k in range(2 * PANELS + 1):
        speed = 0.5 * step * k
        torque = rotor_torque(rotor, tables, airspeed, speed, air_density, air_viscosity, factors)
        torque -= bearing_friction(rotor, speed, factors)
        if not torque > 0.0:
            return math.nan, OUT_OF_LIMITS
        weight = 1.0 if k in (0, 2 * PANELS) else 4.0 if k % 2 == 1 else 2.0
        total += weight / torque
    return rotor.polar_inertia * total * step / 6.0, OK


def spin_up_times(
    numbers: AeroplaneNumbers, rotor: int, airspeed: float, share: float = 0.9, tables: Tables | None = None
) -> npt.NDArray[np.float64]:
    """Return the spin-up time of one rotor in every case of a batch [s]; NaN where it does not come up by itself.

    Parameters
    ----------
    numbers : AeroplaneNumbers
    rotor : int
        Row of the rotor.
    airspeed : float
        [m/s]
    share : float
        Of the freewheel speed.
    """
    held = (tables or physics_tables()).rotor[0]
    times = np.empty(len(numbers.vehicle))
    for case in range(len(times)):
        air = numbers.air[case]
        times[case] = spin_up_time(
            numbers.rotors[case, rotor], held, airspeed, share, float(air["density"]), float(air["viscosity"]),
            numbers.factors[case],
        )[0]  # fmt: skip
    return times
