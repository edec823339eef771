"""One motor with controller and propeller at one point of a bench: the kernel that bench calls and fits share."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit
from rotorwright.physics.power.heat import (
    COPPER_COEFFICIENT,
    heat_time_constant,
    steady_temperature,
    temperature_after,
    thermal_resistance,
    winding_to_case,
)
from rotorwright.physics.power.motor import (
    controller_heat,
    effective_duty,
    effective_resistance,
    effective_speed_constant,
    no_load_current_at,
    switching_share,
)
from rotorwright.physics.power.motor_detail import (
    measured_no_load_current,
    second_order_current,
    warm_resistance,
    warm_speed_constant,
)
from rotorwright.physics.power.propeller import propeller_loads, zero_thrust_advance
from rotorwright.physics.power.tables import PowerTables
from rotorwright.studies import bench_inputs as check

USUAL_CONTROLLER_RESISTANCE = 0.008
"""Of a 30 A controller [Ω] (open controller hardware list, read secondary)."""
SPEED, CURRENT, THRUST, WINDING, TEMPERATURE, POWER_IN, SHAFT_TORQUE, CASE, CONTROLLER_HEAT = range(9)
ANSWERS = 9
"""Columns of an answer: rad/s, A from the battery, N, A in the winding, K, W, N m, K of the case, W."""
LABELS = (
    ("speed_constant", None, 1.0, 2000.0, "rad/s/V"),
    ("resistance", None, 1.0e-4, 10.0, "Ω"),
    ("no_load_current", None, 0.0, 20.0, "A"),
    ("no_load_voltage", 0.0, 0.0, 100.0, "V"),
    ("mass", None, 1.0e-3, 10.0, "kg"),
    ("controller_resistance", USUAL_CONTROLLER_RESISTANCE, 0.0, 1.0, "Ω"),
    ("resistance_rise", 0.0, 0.0, 1.0, "Ω/A²"),
    ("magnetic_lag", 0.0, 0.0, 1.0e-3, "s"),
    ("no_load_slope", 0.0, 0.0, 0.1, "A s/rad"),
    ("no_load_curvature", 0.0, 0.0, 1.0e-4, "A s²/rad²"),
    ("torque_ratio", 1.0, 0.5, 1.5, ""),
)
"""What a motor is told by: name, usual value (None: must be told), range, unit; the last five of second order."""
CONSTANT, RESISTANCE, NO_LOAD, NO_LOAD_VOLTAGE, MASS, CONTROLLER, RISE, LAG, SLOPE, CURVATURE, RATIO = range(11)


def read_motor(motor: Any) -> npt.NDArray[np.float64]:
    """Return a motor's numbers in the order of `LABELS`.

    Raises
    ------
    InputError
        If one is missing, unknown or out of range.
    """
    needed = tuple(label[0] for label in LABELS if label[1] is None)
    optional = tuple(label[0] for label in LABELS if label[1] is not None)
    given = check.mapping("motor", motor, needed=needed, optional=optional)
    return np.array(
        [
            check.number(name, given.get(name, usual), low=low, high=high, unit=unit, place="motor")
            for name, usual, low, high, unit in LABELS
        ]
    )


@jit
def _no_load(labels: Any, constant: float, speed: float) -> float:
    if labels[SLOPE] + labels[CURVATURE] > 0.0:
        return measured_no_load_current(labels[NO_LOAD], labels[SLOPE], labels[CURVATURE], speed)
    return no_load_current_at(constant, labels[NO_LOAD], labels[NO_LOAD_VOLTAGE], speed)


@jit
def _surplus_torque(
    rows: Any, tables: PowerTables, stand: Any, electric: Any, labels: Any, speed: float, factors: Any
) -> tuple[float, float, float, float]:
    """Return motor torque less the propeller's, winding current, thrust, propeller torque.

    ``stand``: motor voltage, airspeed, density, viscosity; ``electric``: effective speed constant and resistance.
    """
    current = 0.0
    if stand[0] > 0.0:
        current = second_order_current(electric[0], electric[1], labels[RISE], labels[LAG], stand[0], speed)
    torque = (current - _no_load(labels, electric[0], speed)) / (electric[0] * labels[RATIO])
    thrust, asked = propeller_loads(rows[0], tables, stand[1], speed, stand[2], stand[3], factors)
    return torque - asked, current, thrust, asked


@jit
def bench_point(rows: Any, tables: PowerTables, labels: Any, point: Any, factors: Any, answer: Any) -> None:
    """Fill the answer of one bench point.

    Parameters
    ----------
    rows : array of base.records.THRUSTER, one row
        The propeller.
    tables : PowerTables
        From `power_tables`.
    labels : array
        From `read_motor`.
    point : array
        Throttle, voltage (0: the speed is given), airspeed, density, viscosity, air temperature, running time
        (infinite: settled), given speed, winding temperature (0: as warm as benches are).
    factors : record
        FACTORS.
    answer : array, shape (9,)
        See `ANSWERS`.
    """
    constant = effective_speed_constant(labels[CONSTANT], factors)
    resistance = effective_resistance(labels[RESISTANCE], labels[CONTROLLER], factors)
    if point[8] > 0.0:
        constant = warm_speed_constant(constant, point[8])
        resistance += warm_resistance(labels[RESISTANCE], point[8])
    duty = effective_duty(point[0], factors)
    electric = (constant, resistance)
    stand = (duty * point[1], point[2], point[3], point[4])
    diameter = rows[0].diameter
    speed = point[7]
    if point[1] > 0.0:
        advance = zero_thrust_advance(rows[0].pitch / diameter, rows[0].family, factors)
        low = 0.0
        high = stand[0] * constant + 2.0 * math.pi * abs(point[2]) / (advance * diameter) + 1.0
        for _ in range(50):
            middle = 0.5 * (low + high)
            if _surplus_torque(rows, tables, stand, electric, labels, middle, factors)[0] > 0.0:
                low = middle
            else:
                high = middle
        speed = 0.5 * (low + high)
    _, current, thrust, asked = _surplus_torque(rows, tables, stand, electric, labels, speed, factors)
    answer[SPEED] = speed
    answer[CURRENT] = 0.0
    if duty > 0.0:
        answer[CURRENT] = (duty + switching_share(factors)) * current
    answer[THRUST] = thrust
    answer[WINDING] = current
    answer[POWER_IN] = answer[CURRENT] * point[1]
    answer[SHAFT_TORQUE] = asked
    answer[CONTROLLER_HEAT] = controller_heat(current, point[1], labels[CONTROLLER], factors)
    disc = 2.0 * point[3] * 0.25 * math.pi * diameter**2
    induced = 0.0
    if thrust > 0.0:
        induced = 0.5 * ((point[2] ** 2 + 4.0 * thrust / disc) ** 0.5 - point[2])
    copper = factors.winding_heat_share * factors.motor_resistance * labels[RESISTANCE] * current**2
    iron = _no_load(labels, constant, speed) * speed / constant
    passage = thermal_resistance(labels[MASS], abs(point[2]) + induced, speed, factors)
    steady = steady_temperature(copper, iron, passage, point[5])
    answer[TEMPERATURE] = steady
    if COPPER_COEFFICIENT * copper * passage > 0.9:
        answer[TEMPERATURE] = math.nan  # never settles: the warmer the copper, the more it heats
    if point[6] < 1.0e9:
        warming = heat_time_constant(labels[MASS], passage, copper)
        answer[TEMPERATURE] = temperature_after(point[5], steady, warming, point[6])
    outside = 1.0 - winding_to_case(labels[MASS], factors) / passage
    answer[CASE] = point[5] + (answer[TEMPERATURE] - point[5]) * outside


@jit
def bench_cases(rows: Any, tables: PowerTables, labels: Any, point: Any, factors: Any, answers: Any) -> None:
    """Fill the answers of one bench point for many factor records; see `bench_point`."""
    for case in range(factors.shape[0]):
        bench_point(rows, tables, labels, point, factors[case], answers[case])
