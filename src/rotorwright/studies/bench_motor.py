"""Bench call: one motor with its propeller at a given voltage, with or without readings that calibrate it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import SEA_LEVEL_DENSITY, SEA_LEVEL_VISCOSITY
from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.unknown import unknowns
from rotorwright.physics.power.propeller import zero_thrust_advance
from rotorwright.physics.power.tables import power_tables
from rotorwright.studies import bench_inputs as check
from rotorwright.studies.bench_point import (
    ANSWERS,
    CONTROLLER_HEAT,
    CURRENT,
    MASS,
    POWER_IN,
    SHAFT_TORQUE,
    SPEED,
    TEMPERATURE,
    THRUST,
    WINDING,
    bench_cases,
    read_motor,
)
from rotorwright.studies.bench_propeller import (
    PROPELLER_SOURCES,
    SAMPLES,
    BenchResult,
    factor_samples,
    propeller_row,
    propeller_support,
)
from rotorwright.studies.bench_rig_fit import BenchFit, factors_after, fit_bench
from rotorwright.studies.sampling import normal_scores

MOTOR_SOURCES = ("drela2005", "ctu-motor-bench")
"""Works behind these numbers, by citation key (base/citations.toml)."""
RUNS_AWAY = "the winding never settles, the warmer the more it heats: stop long before, and ask with running_time"


@dataclass(frozen=True)
class MotorAndPropellerResult(BenchResult):
    """A motor with its propeller alone.

    ``calibration`` holds the Unknowns that the readings narrowed; it is empty without readings.
    """

    rotor_speed: Quantity
    current: Quantity
    electrical_power: Quantity
    thrust: Quantity
    winding_temperature: Quantity
    winding_current: Quantity
    shaft_torque: Quantity
    controller_heat: Quantity
    calibration: dict[str, Quantity]


def bench_fit(
    *,
    motor: Any,
    propeller: Any,
    readings: Any,
    air_density: float = SEA_LEVEL_DENSITY,
    air_viscosity: float = SEA_LEVEL_VISCOSITY,
    air_temperature: float = 298.15,
) -> BenchFit:
    """Return what bench readings say about a motor and its propeller, with a report of every reading.

    Parameters
    ----------
    motor, propeller : mapping
        As `motor_and_propeller_alone`.
    readings : sequence
        `BenchRow` (from `read_bench_file`) or mappings with the same names, SI.
    air_density, air_viscosity, air_temperature : float
        [kg/m³], [Pa s], [K], where a reading does not tell its own.

    Raises
    ------
    InputProblems
        If an argument cannot be used.
    """
    if not isinstance(readings, Sequence) or isinstance(readings, str) or not readings:
        raise InputError(
            "a list of readings is needed", field="fit", found=repr(readings)[:60], allowed="one or more mappings"
        )
    rows = _propeller(propeller)
    return fit_bench(rows, read_motor(motor), readings, air=_air(air_density, air_viscosity, air_temperature))


def _propeller(propeller: Any) -> npt.NDArray[Any]:
    given = check.mapping("propeller", propeller, needed=("diameter", "pitch"), optional=("family", "blades"))
    return propeller_row(given, "propeller")


def _air(density: float, viscosity: float, temperature: float) -> tuple[float, float, float]:
    return (
        check.number("air_density", density, low=0.2, high=3.0, unit="kg/m³"),
        check.number("air_viscosity", viscosity, low=5.0e-6, high=5.0e-5, unit="Pa s"),
        check.number("air_temperature", temperature, low=220.0, high=340.0, unit="K"),
    )


def motor_and_propeller_alone(
    *,
    motor: Any,
    propeller: Any,
    voltage: float,
    throttle: float = 1.0,
    airspeed: float = 0.0,
    fit: Any = None,
    air_density: float = SEA_LEVEL_DENSITY,
    air_viscosity: float = SEA_LEVEL_VISCOSITY,
    air_temperature: float = 298.15,
    running_time: float | None = None,
    winding_temperature: float | None = None,
) -> MotorAndPropellerResult:
    """Ask one motor with its controller and propeller alone, as on a stand.

    Parameters
    ----------
    motor : mapping
        speed_constant [rad/s/V], resistance [Ω], no_load_current [A], mass [kg]; optional no_load_voltage [V] and
        controller_resistance [Ω]; second-order terms where measured: resistance_rise [Ω/A²], magnetic_lag [s],
        no_load_slope [A s/rad] and no_load_curvature [A s²/rad²] (no_load_current is then that at rest), torque_ratio
        (speed constant of the torque over that of the speed).
    propeller : mapping
        diameter, pitch [m]; optional family (see `propeller_alone`) and blades.
    voltage : float
        At the controller while it runs, not at rest [V].
    throttle : float
        0…1, taken as duty.
    airspeed : float
        [m/s].
    fit : sequence of mappings or BenchFit, optional
        Readings of this bench: voltage [V], throttle, airspeed [m/s] and at least one of rotor_speed [rad/s],
        current [A] or electrical_power [W] (from the battery), thrust [N], torque [N m], motor_temperature [K] (of the
        case, with running_time [s]). They calibrate the answer and narrow its bands; see `bench_fit`.
    air_density, air_viscosity, air_temperature : float
        [kg/m³], [Pa s], [K].
    running_time : float, optional
        Time since the motor, as warm as the air, was started [s]; without it the settled temperature.
    winding_temperature : float, optional
        At which to answer [K]: cold copper and magnets turn differently; without it as warm as benches are (60 °C).

    Returns
    -------
    result : MotorAndPropellerResult
        rotor_speed [rad/s], current from the battery [A], electrical_power [W], thrust [N], winding_temperature [K],
        winding_current [A], shaft_torque [N m], controller_heat [W], calibration.

    Raises
    ------
    InputProblems
        If an argument cannot be used.

    Notes
    -----
    Speed at which the motor's torque meets the propeller's. The fit is least squares over the Unknowns with their bands
    as prior; readings count with 2 % (speed), 5 % (current) and 4.5 % (thrust), together as no more than two.
    See docs/physics/power-motor.md and power-bench.md.
    """
    labels = read_motor(motor)
    rows = _propeller(propeller)
    surroundings = _air(air_density, air_viscosity, air_temperature)
    point = np.array(
        [
            check.number("throttle", throttle, low=0.0, high=1.0, unit=""),
            check.number("voltage", voltage, low=0.5, high=100.0, unit="V"),
            check.number("airspeed", airspeed, low=0.0, high=100.0, unit="m/s"),
            *surroundings,
            math.inf,
            0.0,
            0.0,
        ]
    )
    if running_time is not None:
        point[6] = check.number("running_time", running_time, low=0.0, high=1.0e6, unit="s")
    if winding_temperature is not None:
        point[8] = check.number("winding_temperature", winding_temperature, low=220.0, high=500.0, unit="K")
    factors = factor_samples()
    found: BenchFit | None = None
    if fit is not None:
        found = fit
        if not isinstance(fit, BenchFit):
            found = bench_fit(
                motor=motor,
                propeller=propeller,
                readings=fit,
                air_density=air_density,
                air_viscosity=air_viscosity,
                air_temperature=air_temperature,
            )
        assert found is not None
        count = len(unknowns())
        factors = factors_after(found, np.vstack([np.zeros((1, count)), normal_scores(SAMPLES, count)]))
    answers = np.empty((len(factors), ANSWERS))
    bench_cases(rows, power_tables(), labels, point, factors, answers)
    speed = float(answers[0, SPEED])
    share = math.inf
    if speed > 0.0:
        advance = zero_thrust_advance(rows["pitch"][0] / rows["diameter"][0], rows["family"][0], factors[0])
        share = 2.0 * math.pi * point[2] / (speed * rows["diameter"][0] * advance)
    support = propeller_support(rows[0], share, speed)
    if support == "inside data" and not 0.04 <= labels[MASS] <= 0.25:
        support = "between data"
    sources = MOTOR_SOURCES + PROPELLER_SOURCES

    def banded(column: int, unit: str, reason: str = "") -> Quantity:
        samples = answers[:, column]
        return from_samples(samples[1:], float(samples[0]), unit, support=support, sources=sources, reason=reason)

    return MotorAndPropellerResult(
        rotor_speed=banded(SPEED, "rad/s"),
        current=banded(CURRENT, "A"),
        electrical_power=banded(POWER_IN, "W"),
        thrust=banded(THRUST, "N"),
        winding_temperature=banded(TEMPERATURE, "K", RUNS_AWAY),
        winding_current=banded(WINDING, "A"),
        shaft_torque=banded(SHAFT_TORQUE, "N m"),
        controller_heat=banded(CONTROLLER_HEAT, "W"),
        calibration={} if found is None else dict(found.posterior),
    )
