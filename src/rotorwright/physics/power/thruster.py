"""A thruster's loads, whatever its kind."""

from __future__ import annotations

from typing import Any

from rotorwright.base.jit import jit
from rotorwright.base.records import FAN
from rotorwright.physics.power.fan import fan_loads
from rotorwright.physics.power.propeller import propeller_loads
from rotorwright.physics.power.tables import PowerTables


@jit
def thruster_loads(
    thruster: Any,
    tables: PowerTables,
    airspeed: float,
    shaft_speed: float,
    air_density: float,
    air_viscosity: float,
    factors: Any,
) -> tuple[float, float]:
    """Return thrust [N] and the torque asked of the shaft [N m] of a propeller or ducted fan.

    Parameters
    ----------
    thruster, tables, airspeed, shaft_speed, air_density, air_viscosity, factors
        As `propeller_loads`; ``shaft_speed`` is that of propeller or fan, behind any gear [rad/s].

    Returns
    -------
    thrust, torque : float
        [N], [N m].

    Notes
    -----
    See `propeller_loads` and `fan_loads` for formulas, validity and source.
    """
    if thruster.kind == FAN:
        return fan_loads(thruster, airspeed, shaft_speed, air_density, factors)
    return propeller_loads(thruster, tables, airspeed, shaft_speed, air_density, air_viscosity, factors)
