"""Bench call: one propeller alone, and what all bench calls of the power room share."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import SEA_LEVEL_DENSITY, SEA_LEVEL_VISCOSITY
from rotorwright.base.jit import jit
from rotorwright.base.quantity import Quantity, exact, from_samples
from rotorwright.base.records import BROAD_SLOW, ENGINE_TYPE, NARROW, PROPELLER, THRUSTER
from rotorwright.base.unknown import nominal_factors, sampled_factors, unknowns
from rotorwright.physics.power.propeller import propeller_loads, zero_thrust_advance
from rotorwright.physics.power.tables import PowerTables, power_tables
from rotorwright.studies import bench_inputs as check
from rotorwright.studies.sampling import normal_scores

FAMILIES = {"narrow": NARROW, "broad slow": BROAD_SLOW, "engine-type": ENGINE_TYPE}
"""Propeller families by blade."""
SAMPLES = 256
PROPELLER_SOURCES = ("uiuc-propellers", "deters2014")
"""Works behind these numbers, by citation key (base/citations.toml)."""


class BenchResult:
    """What the results of all bench calls can do."""

    def as_dict(self) -> dict[str, Any]:
        """Return the quantities as plain JSON-ready data."""
        found = ((part.name, getattr(self, part.name)) for part in fields(self))  # type: ignore[arg-type]
        return {name: item.as_dict() for name, item in found if isinstance(item, Quantity)}


@dataclass(frozen=True)
class PropellerResult(BenchResult):
    """A propeller alone."""

    thrust: Quantity
    power: Quantity
    thrust_coefficient: Quantity
    power_coefficient: Quantity
    advance_ratio: Quantity
    efficiency: Quantity


@lru_cache(maxsize=2)
def factor_samples(samples: int = SAMPLES) -> npt.NDArray[Any]:
    """Return the nominal factors followed by ``samples`` sampled ones, shape (samples + 1,)."""
    factors = np.concatenate([nominal_factors(1), sampled_factors(normal_scores(samples, len(unknowns())))])
    factors.setflags(write=False)
    return factors


def propeller_row(propeller: dict[str, Any], place: str = "") -> npt.NDArray[Any]:
    """Return one THRUSTER row for a checked propeller: diameter, pitch, family, blades.

    Raises
    ------
    InputError
        If a number or word cannot be used.
    """
    rows = np.zeros(1, dtype=THRUSTER)
    diameter = check.number("diameter", propeller["diameter"], low=0.03, high=3.0, unit="m", place=place)
    rows["kind"] = PROPELLER
    rows["diameter"] = diameter
    rows["pitch"] = check.number(
        "pitch", propeller["pitch"], low=0.05 * diameter, high=2.5 * diameter, unit="m", place=place
    )
    rows["family"] = check.word("family", propeller.get("family", "narrow"), FAMILIES, place=place)
    rows["blades"] = check.whole("blades", propeller.get("blades", 2), low=1, high=8, place=place)
    rows["thrust_scale"] = 1.0
    rows["power_scale"] = 1.0
    rows["gear_ratio"] = 1.0
    return rows


def propeller_support(row: Any, advance_share: float, rotor_speed: float) -> str:
    """Return the support word for a propeller at an advance ratio over its zero-thrust one and a speed [rad/s]."""
    ratio = row["pitch"] / row["diameter"]
    blade_speed = 0.375 * rotor_speed * row["diameter"]
    inside = 0.35 <= ratio <= 0.85 and row["blades"] == 2.0 and 0.17 <= row["diameter"] <= 0.49
    if inside and 0.0 <= advance_share <= 1.05 and 15.0 <= blade_speed <= 90.0:
        return "inside data"
    near = 0.25 <= ratio <= 1.3 and 2.0 <= row["blades"] <= 4.0 and 0.1 <= row["diameter"] <= 0.6
    if near and 0.0 <= advance_share <= 1.2 and 8.0 <= blade_speed <= 150.0:
        return "between data"
    return "beyond data"


@jit
def _propeller_cases(
    rows: Any,
    tables: PowerTables,
    airspeed: float,
    speed: float,
    density: float,
    viscosity: float,
    factors: Any,
    answers: Any,
) -> None:
    for case in range(factors.shape[0]):
        thrust, torque = propeller_loads(rows[0], tables, airspeed, speed, density, viscosity, factors[case])
        answers[case, 0] = thrust
        answers[case, 1] = torque


def propeller_alone(
    *,
    diameter: float,
    pitch: float,
    family: str = "narrow",
    blades: int = 2,
    rotor_speed: float,
    airspeed: float = 0.0,
    air_density: float = SEA_LEVEL_DENSITY,
    air_viscosity: float = SEA_LEVEL_VISCOSITY,
) -> PropellerResult:
    """Ask one propeller alone, as on a stand or in a tunnel.

    Parameters
    ----------
    diameter, pitch : float
        Label values [m].
    family : str
        "narrow", "broad slow" or "engine-type", by blade.
    blades : int
        Number of blades.
    rotor_speed : float
        [rad/s].
    airspeed : float
        Along the axis [m/s].
    air_density, air_viscosity : float
        [kg/m³], [Pa s].

    Returns
    -------
    result : PropellerResult
        thrust [N], power [W], thrust_coefficient T/(ρ n² D⁴), power_coefficient P/(ρ n³ D⁵), advance_ratio V/(n D),
        efficiency T V/P [1]; coefficients are null at rotor_speed 0, efficiency when no power goes in.

    Raises
    ------
    InputError
        If an argument cannot be used.

    Notes
    -----
    See `rotorwright.physics.power.propeller.propeller_loads`.
    """
    rows = propeller_row({"diameter": diameter, "pitch": pitch, "family": family, "blades": blades})
    speed = check.number("rotor_speed", rotor_speed, low=0.0, high=2.0e4, unit="rad/s")
    stream = check.number("airspeed", airspeed, low=-20.0, high=150.0, unit="m/s")
    density = check.number("air_density", air_density, low=0.2, high=3.0, unit="kg/m³")
    viscosity = check.number("air_viscosity", air_viscosity, low=5.0e-6, high=5.0e-5, unit="Pa s")
    factors = factor_samples()
    answers = np.empty((len(factors), 2))
    _propeller_cases(rows, power_tables(), stream, speed, density, viscosity, factors, answers)
    thrust, power = answers[:, 0], answers[:, 1] * speed
    turns = speed / (2.0 * math.pi)
    size = float(rows["diameter"][0])
    share = math.inf
    if speed > 0.0:
        share = stream / (turns * size * zero_thrust_advance(rows["pitch"][0] / size, rows["family"][0], factors[0]))
    support = propeller_support(rows[0], share, speed)

    def banded(samples: npt.NDArray[np.float64], unit: str, reason: str = "") -> Quantity:
        return from_samples(
            samples[1:], float(samples[0]), unit, support=support, sources=PROPELLER_SOURCES, reason=reason
        )

    nothing = np.full(len(factors), np.nan)
    still = "the propeller does not turn"
    working = power > 0.0
    efficiency = np.where(working, thrust * stream / np.where(working, power, 1.0), np.nan)
    return PropellerResult(
        thrust=banded(thrust, "N"),
        power=banded(power, "W"),
        thrust_coefficient=banded(thrust / (density * turns**2 * size**4) if speed else nothing, "1", still),
        power_coefficient=banded(power / (density * turns**3 * size**5) if speed else nothing, "1", still),
        advance_ratio=exact(stream / (turns * size), "1", sources=("mechanics",))
        if speed
        else banded(nothing, "1", still),
        efficiency=banded(efficiency, "1", "no power goes in: the stream drives the propeller or it stands still"),
    )
