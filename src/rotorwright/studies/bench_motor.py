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
from rotorwright.base.jit import jit
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.unknown import nominal_factors, sampled_factors, unknowns
from rotorwright.physics.power.heat import (
    COPPER_COEFFICIENT,
    heat_time_constant,
    steady_temperature,
    temperature_after,
    thermal_resistance,
)
from rotorwright.physics.power.motor import (
    bus_terms,
    effective_duty,
    effective_resistance,
    effective_speed_constant,
    motor_current,
    motor_torque,
    no_load_current_at,
)
from rotorwright.physics.power.propeller import propeller_loads, zero_thrust_advance
from rotorwright.physics.power.tables import PowerTables, power_tables
from rotorwright.studies import bench_inputs as check
from rotorwright.studies.bench_propeller import (
    PROPELLER_SOURCES,
    SAMPLES,
    BenchResult,
    factor_samples,
    propeller_row,
    propeller_support,
)
from rotorwright.studies.sampling import normal_scores

USUAL_CONTROLLER_RESISTANCE = 0.008
"""Of a 30 A controller [Ω] (open controller hardware list, read secondary)."""
FITTED = (
    "motor_resistance",
    "motor_speed_constant",
    "controller_duty",
    "propeller_thrust",
    "propeller_power",
    "propeller_zero_thrust_advance",
)
"""Unknowns that bench readings narrow."""
READING_SCATTER = {"rotor_speed": 0.02, "current": 0.05, "electrical_power": 0.05, "thrust": 0.045}
"""Relative 1σ of one reading together with what the laws cannot follow: points of one published bench scatter by
3 % about smooth curves (Czech Technical University Prague, read secondary); judgement."""
PRIOR_WIDTH = np.array([1.5, 1.0, 1.0, 1.0, 1.0, 1.0])
"""Spread of the prior in scores, one per fitted Unknown: a catalogue resistance is wrong more often than its band
allows (of two motors on one published bench one is far off)."""
INDEPENDENT_READINGS = 2.0
"""Readings of one bench share their errors: any number of them counts as this many."""
MOTOR_SOURCES = ("drela2005", "ctu-motor-bench")
"""Works behind these numbers, by citation key (base/citations.toml)."""
RUNS_AWAY = "the winding never settles, the warmer the more it heats: stop long before, and ask with running_time"
SPEED, CURRENT, THRUST, WINDING, TEMPERATURE, POWER_IN = 0, 1, 2, 3, 4, 5


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
    calibration: dict[str, Quantity]


@jit
def _surplus_torque(
    rows: Any, tables: PowerTables, stand: Any, motor: Any, speed: float, factors: Any
) -> tuple[float, float, float, float]:
    """Return motor torque less the propeller's, winding current, thrust and torque; ``stand``, ``motor`` as below."""
    current = 0.0
    if stand[0] > 0.0:
        current = motor_current(motor[0], motor[1], stand[0], stand[1], speed)
    torque = motor_torque(motor[0], motor[2], motor[3], current, speed)
    thrust, asked = propeller_loads(rows[0], tables, stand[2], speed, stand[3], stand[4], factors)
    return torque - asked, current, thrust, asked


@jit
def _bench_point(rows: Any, tables: PowerTables, labels: Any, point: Any, factors: Any, answer: Any) -> None:
    # labels: K, R, I0, V0, mass, R controller; point: throttle, voltage, airspeed, density, viscosity,
    # air temperature, running time (infinite: settled)
    constant = effective_speed_constant(labels[0], factors)
    resistance = effective_resistance(labels[1], labels[5], factors)
    duty = effective_duty(point[0], factors)
    motor = (constant, resistance, labels[2], labels[3])
    stand = (duty, point[1], point[2], point[3], point[4])
    diameter = rows[0].diameter
    advance = zero_thrust_advance(rows[0].pitch / diameter, rows[0].family, factors)
    low = 0.0
    high = duty * point[1] * constant + 2.0 * math.pi * abs(point[2]) / (advance * diameter) + 1.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        if _surplus_torque(rows, tables, stand, motor, middle, factors)[0] > 0.0:
            low = middle
        else:
            high = middle
    speed = 0.5 * (low + high)
    _, current, thrust, _ = _surplus_torque(rows, tables, stand, motor, speed, factors)
    a, b = bus_terms(constant, resistance, duty, speed, factors)
    answer[SPEED] = speed
    answer[CURRENT] = a * point[1] - b
    if duty <= 0.0:
        answer[CURRENT] = 0.0
    answer[THRUST] = thrust
    answer[WINDING] = current
    answer[POWER_IN] = answer[CURRENT] * point[1]
    disc = 2.0 * point[3] * 0.25 * math.pi * diameter**2
    induced = 0.0
    if thrust > 0.0:
        induced = 0.5 * ((point[2] ** 2 + 4.0 * thrust / disc) ** 0.5 - point[2])
    copper = factors.winding_heat_share * factors.motor_resistance * labels[1] * current**2
    iron = no_load_current_at(constant, labels[2], labels[3], speed) * speed / constant
    passage = thermal_resistance(labels[4], abs(point[2]) + induced, speed, factors)
    steady = steady_temperature(copper, iron, passage, point[5])
    answer[TEMPERATURE] = steady
    if COPPER_COEFFICIENT * copper * passage > 0.9:
        answer[TEMPERATURE] = math.nan  # never settles: the warmer the copper, the more it heats
    if point[6] < 1.0e9:
        warming = heat_time_constant(labels[4], passage, copper)
        answer[TEMPERATURE] = temperature_after(point[5], steady, warming, point[6])


@jit
def _bench_cases(rows: Any, tables: PowerTables, labels: Any, point: Any, factors: Any, answers: Any) -> None:
    for case in range(factors.shape[0]):
        _bench_point(rows, tables, labels, point, factors[case], answers[case])


def _read_motor(motor: Any) -> npt.NDArray[np.float64]:
    given = check.mapping(
        "motor",
        motor,
        needed=("speed_constant", "resistance", "no_load_current", "mass"),
        optional=("no_load_voltage", "controller_resistance"),
    )
    place = "motor"
    ranges = (
        ("speed_constant", None, 1.0, 2000.0, "rad/s/V"),
        ("resistance", None, 1.0e-4, 10.0, "Ω"),
        ("no_load_current", None, 0.0, 20.0, "A"),
        ("no_load_voltage", 0.0, 0.0, 100.0, "V"),
        ("mass", None, 1.0e-3, 10.0, "kg"),
        ("controller_resistance", USUAL_CONTROLLER_RESISTANCE, 0.0, 1.0, "Ω"),
    )
    return np.array(
        [
            check.number(name, given.get(name, usual), low=low, high=high, unit=unit, place=place)
            for name, usual, low, high, unit in ranges
        ]
    )


def _read_point(given: dict[str, Any], surroundings: tuple[float, float, float], place: str) -> list[float]:
    """Return throttle, voltage, airspeed, density, viscosity, air temperature, running time of one reading or case."""
    return [
        check.number("throttle", given.get("throttle", 1.0), low=0.0, high=1.0, unit="", place=place),
        check.number("voltage", given["voltage"], low=0.5, high=100.0, unit="V", place=place),
        check.number("airspeed", given.get("airspeed", 0.0), low=0.0, high=100.0, unit="m/s", place=place),
        *surroundings,
        math.inf,
    ]


def _read_fit(
    fit: Any, surroundings: tuple[float, float, float]
) -> tuple[npt.NDArray[np.float64], list[tuple[int, int, float, str]]]:
    """Return the points of the readings and (point, column, measured, name) of every measured number."""
    if not isinstance(fit, Sequence) or isinstance(fit, str) or not fit:
        raise InputError(
            "a list of readings is needed", field="fit", found=repr(fit)[:60], allowed="one or more mappings"
        )
    columns = {
        "rotor_speed": (SPEED, 1.0e5, "rad/s"),
        "current": (CURRENT, 1.0e3, "A"),
        "electrical_power": (POWER_IN, 5.0e4, "W"),
        "thrust": (THRUST, 2.0e3, "N"),
    }
    points: list[list[float]] = []
    readings: list[tuple[int, int, float, str]] = []
    for place, row in enumerate(fit):
        name = f"fit[{place}]"
        given = check.mapping(name, row, needed=("voltage",), optional=("throttle", "airspeed", *columns))
        points.append(_read_point(given, surroundings, name))
        measured = [column for column in columns if column in given]
        if not measured:
            raise InputError("the reading holds nothing measured", field=name, allowed=", ".join(columns))
        for column in measured:
            if column == "electrical_power" and "current" in given:
                continue  # the same reading twice: the voltage is given
            index, high, unit = columns[column]
            value = check.number(column, given[column], low=0.0, high=high, unit=unit, open_low=True, place=name)
            readings.append((place, index, value, column))
    return np.array(points), readings


def _calibrated_factors(
    rows: npt.NDArray[Any],
    labels: npt.NDArray[np.float64],
    points: npt.NDArray[np.float64],
    readings: list[tuple[int, int, float, str]],
) -> npt.NDArray[Any]:
    """Return nominal and sampled factors after the readings (most probable scores, then their normal neighbourhood).

    The Unknowns' own bands are the prior: in scores each is a standard normal, so that the fit is a plain
    least-squares problem, and the curvature at its minimum gives the narrowed spread.
    """
    from scipy.optimize import least_squares

    table = unknowns()
    places = [next(i for i, unknown in enumerate(table) if unknown.name == name) for name in FITTED]
    tables = power_tables()
    factors = nominal_factors(1)
    answers = np.empty((len(points), 6))
    counts = {name: sum(1 for reading in readings if reading[3] == name) for name in READING_SCATTER}
    scatter = {
        name: spread * math.sqrt(max(1.0, counts[name] / INDEPENDENT_READINGS))
        for name, spread in READING_SCATTER.items()
    }

    def residuals(scores: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        for place, score in zip(places, scores, strict=True):
            factors[table[place].name] = table[place].at(float(score))
        for row, point in enumerate(points):
            _bench_point(rows, tables, labels, point, factors[0], answers[row])
        misfit = [(answers[at, column] / value - 1.0) / scatter[name] for at, column, value, name in readings]
        return np.concatenate([misfit, scores / PRIOR_WIDTH])

    found = least_squares(residuals, np.zeros(len(places)), diff_step=1e-4, x_scale=1.0)
    spread = np.linalg.inv(found.jac.T @ found.jac)
    root = np.linalg.cholesky(0.5 * (spread + spread.T))
    scores = np.vstack([np.zeros((1, len(table))), normal_scores(SAMPLES, len(table))])
    scores[:, places] = found.x + scores[:, places] @ root.T
    return sampled_factors(scores)


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
) -> MotorAndPropellerResult:
    """Ask one motor with its controller and propeller alone, as on a stand.

    Parameters
    ----------
    motor : mapping
        speed_constant [rad/s/V], resistance [Ω], no_load_current [A], mass [kg]; optional no_load_voltage [V] and
        controller_resistance [Ω].
    propeller : mapping
        diameter, pitch [m]; optional family (see `propeller_alone`) and blades.
    voltage : float
        At the controller while it runs, not at rest [V].
    throttle : float
        0…1, taken as duty.
    airspeed : float
        [m/s].
    fit : sequence of mappings, optional
        Readings of this bench: voltage [V], throttle, airspeed [m/s] and at least one of rotor_speed [rad/s],
        current [A] or electrical_power [W] (from the battery), thrust [N]. They calibrate the answer and narrow its
        bands.
    air_density, air_viscosity, air_temperature : float
        [kg/m³], [Pa s], [K].
    running_time : float, optional
        Time since the motor, as warm as the air, was started [s]; without it the settled temperature.

    Returns
    -------
    result : MotorAndPropellerResult
        rotor_speed [rad/s], current from the battery [A], electrical_power [W], thrust [N], winding_temperature [K],
        winding_current [A], calibration.

    Raises
    ------
    InputError
        If an argument cannot be used.

    Notes
    -----
    Speed at which the motor's torque meets the propeller's. The fit is least squares over six Unknowns with their bands
    as prior; readings count with 2 % (speed), 5 % (current) and 4.5 % (thrust), together as no more than two.
    See docs/physics/power-motor.md.
    """
    labels = _read_motor(motor)
    rows = propeller_row(
        check.mapping("propeller", propeller, needed=("diameter", "pitch"), optional=("family", "blades")), "propeller"
    )
    surroundings = (
        check.number("air_density", air_density, low=0.2, high=3.0, unit="kg/m³"),
        check.number("air_viscosity", air_viscosity, low=5.0e-6, high=5.0e-5, unit="Pa s"),
        check.number("air_temperature", air_temperature, low=220.0, high=340.0, unit="K"),
    )
    case = {"throttle": throttle, "voltage": voltage, "airspeed": airspeed}
    point = np.array(_read_point(case, surroundings, ""))
    if running_time is not None:
        point[6] = check.number("running_time", running_time, low=0.0, high=1.0e6, unit="s")
    factors = factor_samples()
    if fit is not None:
        factors = _calibrated_factors(rows, labels, *_read_fit(fit, surroundings))
    answers = np.empty((len(factors), 6))
    _bench_cases(rows, power_tables(), labels, point, factors, answers)
    speed = float(answers[0, SPEED])
    share = math.inf
    if speed > 0.0:
        advance = zero_thrust_advance(rows["pitch"][0] / rows["diameter"][0], rows["family"][0], factors[0])
        share = 2.0 * math.pi * point[2] / (speed * rows["diameter"][0] * advance)
    support = propeller_support(rows[0], share, speed)
    if support == "inside data" and not 0.04 <= labels[4] <= 0.25:
        support = "between data"
    sources = MOTOR_SOURCES + PROPELLER_SOURCES

    def banded(samples: Any, unit: str, reason: str = "") -> Quantity:
        return from_samples(samples[1:], float(samples[0]), unit, support=support, sources=sources, reason=reason)

    calibration = {}
    if fit is not None:
        units = {unknown.name: unknown.unit for unknown in unknowns()}
        calibration = {name: banded(factors[name], units[name]) for name in FITTED}
    return MotorAndPropellerResult(
        rotor_speed=banded(answers[:, SPEED], "rad/s"),
        current=banded(answers[:, CURRENT], "A"),
        electrical_power=banded(answers[:, POWER_IN], "W"),
        thrust=banded(answers[:, THRUST], "N"),
        winding_temperature=banded(answers[:, TEMPERATURE], "K", RUNS_AWAY),
        winding_current=banded(answers[:, WINDING], "A"),
        calibration=calibration,
    )
