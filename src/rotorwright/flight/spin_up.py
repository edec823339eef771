"""How long a free rotor takes to come up to speed in a steady stream, from its own torque balance."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from rotorwright.flight.numbers import AeroplaneNumbers, Tables, physics_tables
from rotorwright.physics.rotor.start import spin_up_time


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
    tables : Tables, optional
        Physics tables already at hand.
    """
    held = (tables or physics_tables()).rotor[0]
    times = np.empty(len(numbers.vehicle))
    for case in range(len(times)):
        air = numbers.air[case]
        times[case] = spin_up_time(
            numbers.rotors[case, rotor], held, airspeed, 0.0, share, float(air["density"]), float(air["viscosity"]),
            numbers.factors[case],
        )[0]  # fmt: skip
    return times
