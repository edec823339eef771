"""Bench call: one ducted fan alone."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import SEA_LEVEL_DENSITY
from rotorwright.base.jit import jit
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.records import FAN, THRUSTER
from rotorwright.physics.power.fan import EXIT_SHARE, fan_loads, fan_motor_efficiency
from rotorwright.studies import bench_inputs as check
from rotorwright.studies.bench_propeller import BenchResult, factor_samples

FAN_SOURCES = ("froude1889", "fan-bench2007")
"""Works behind these numbers, by citation key (base/citations.toml)."""


@dataclass(frozen=True)
class FanResult(BenchResult):
    """A ducted fan alone."""

    thrust: Quantity
    exit_speed: Quantity


@jit
def _fan_cases(rows: Any, airspeed: float, shaft_power: float, density: float, factors: Any, answers: Any) -> None:
    for case in range(factors.shape[0]):
        fan = rows[0]
        low = 0.0
        high = 1.0e3
        while fan_loads(fan, airspeed, high, density, factors[case])[1] * high < shaft_power and high < 1.0e6:
            low = high
            high *= 1.5
        for _ in range(60):
            middle = 0.5 * (low + high)
            if fan_loads(fan, airspeed, middle, density, factors[case])[1] * middle < shaft_power:
                low = middle
            else:
                high = middle
        answers[case] = fan_loads(fan, airspeed, 0.5 * (low + high), density, factors[case])[0]


def fan_alone(
    *,
    exit_area: float,
    electrical_power: float,
    airspeed: float = 0.0,
    air_density: float = SEA_LEVEL_DENSITY,
    diameter: float | None = None,
    installation: float = 1.0,
) -> FanResult:
    """Ask one ducted fan with a usual motor alone, as on a stand.

    Parameters
    ----------
    exit_area : float
        Of the nozzle [m²].
    electrical_power : float
        Drawn while it runs at this airspeed [W].
    airspeed : float
        [m/s].
    air_density : float
        [kg/m³].
    diameter : float, optional
        Of the fan [m]; without it, the size for which this exit area is usual.
    installation : float
        Share of thrust its inlet and duct leave, 1 for a bare unit with a good lip [1].

    Returns
    -------
    result : FanResult
        thrust [N], exit_speed of the fully expanded jet [m/s].

    Raises
    ------
    InputError
        If an argument cannot be used.

    Notes
    -----
    The fan turns as fast as its share of the power lets it; see `rotorwright.physics.power.fan.fan_loads`. The exit
    speed v follows from thrust = ρ A v (v − V).
    """
    area = check.number("exit_area", exit_area, low=1.0e-4, high=0.2, unit="m²")
    power = check.number("electrical_power", electrical_power, low=0.0, high=5.0e4, unit="W", open_low=True)
    stream = check.number("airspeed", airspeed, low=-20.0, high=150.0, unit="m/s")
    density = check.number("air_density", air_density, low=0.2, high=3.0, unit="kg/m³")
    share = check.number("installation", installation, low=0.1, high=1.2, unit="")
    size = math.sqrt(area / EXIT_SHARE)
    if diameter is not None:
        size = check.number("diameter", diameter, low=0.01, high=0.6, unit="m")
    rows = np.zeros(1, dtype=THRUSTER)
    for name, value in (("kind", FAN), ("diameter", size), ("exit_area", area), ("installation", share)):
        rows[name] = value
    rows["thrust_scale"] = rows["power_scale"] = 1.0
    factors = factor_samples()
    thrust = np.empty(len(factors))
    _fan_cases(rows, stream, power * fan_motor_efficiency(size), density, factors, thrust)
    square = stream**2 + 4.0 * thrust / (density * area * share)
    exit_speed = 0.5 * (stream + np.sqrt(np.where(square >= 0.0, square, np.nan)))
    support = "between data" if 0.048 <= size <= 0.095 else "beyond data"

    def banded(samples: npt.NDArray[np.float64], unit: str) -> Quantity:
        reason = "no jet leaves against this stream"
        return from_samples(samples[1:], float(samples[0]), unit, support=support, sources=FAN_SOURCES, reason=reason)

    return FanResult(thrust=banded(thrust, "N"), exit_speed=banded(exit_speed, "m/s"))
