"""Brushless motor and its speed controller: winding current, shaft torque, current drawn from the battery."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.jit import jit

USUAL_NO_LOAD_VOLTAGE = 10.0
"""Voltage the no-load current is taken to be measured at when the label does not say [V]."""


@jit
def effective_duty(throttle: float, factors: Any) -> float:
    """Return the share of the bus voltage the controller passes to the motor.

    Parameters
    ----------
    throttle : float
        0…1.
    factors : record
        FACTORS: controller_duty.

    Returns
    -------
    duty : float
        0…1 for throttle 0…1 [1].

    Notes
    -----
    d = t + 4 t (1 − t)·controller_duty: a straight line that may bulge between its two calibrated ends; beyond them
    (searches ask for more than full throttle to say how much is missing) it goes on straight.
    Source: common practice, no source.
    """
    bulge = 4.0 * factors.controller_duty
    if throttle < 0.0:
        return throttle * (1.0 + bulge)
    if throttle > 1.0:
        return 1.0 + (throttle - 1.0) * (1.0 - bulge)
    return throttle + throttle * (1.0 - throttle) * bulge


@jit
def effective_resistance(catalogue_resistance: float, controller_resistance: float, factors: Any) -> float:
    """Return the resistance that reproduces speed under load [Ω].

    Parameters
    ----------
    catalogue_resistance, controller_resistance : float
        [Ω].
    factors : record
        FACTORS: motor_resistance.

    Notes
    -----
    R = motor_resistance·R_catalogue + R_controller. Beyond copper it holds commutation and inductive drop; all of
    i² R counts as loss, of which the Unknown ``winding_heat_share`` warms the winding.
    Source: Czech Technical University Prague motor bench tables (read secondary).
    """
    return factors.motor_resistance * catalogue_resistance + controller_resistance


@jit
def effective_speed_constant(speed_constant: float, factors: Any) -> float:
    """Return the speed constant to expect behind the label [rad/s/V].

    Parameters
    ----------
    speed_constant : float
        Label [rad/s/V].
    factors : record
        FACTORS: motor_speed_constant.

    Notes
    -----
    Label × factor. Source: common practice, no source (from memory).
    """
    return speed_constant * factors.motor_speed_constant


@jit
def motor_current(
    speed_constant: float, resistance: float, duty: float, bus_voltage: float, motor_speed: float
) -> float:
    """Return the winding current.

    Parameters
    ----------
    speed_constant : float
        Effective [rad/s/V].
    resistance : float
        Effective [Ω].
    duty : float
        0…1, from `effective_duty`.
    bus_voltage : float
        At the controller [V].
    motor_speed : float
        [rad/s].

    Returns
    -------
    current : float
        [A]; negative when the motor is driven faster than its voltage asks (it then brakes).

    Notes
    -----
    i = (d v − Ω/K)/R.
    Source: M. Drela, "DC Motor / Propeller Matching", MIT Lab 5 notes, 2005, eqs 1–9 (read secondary).
    """
    return (duty * bus_voltage - motor_speed / speed_constant) / resistance


@jit
def no_load_current_at(
    speed_constant: float, no_load_current: float, no_load_voltage: float, motor_speed: float
) -> float:
    """Return the current iron and friction take at a speed [A], odd and smooth in the speed.

    Parameters
    ----------
    speed_constant : float
        [rad/s/V].
    no_load_current, no_load_voltage : float
        From the label [A], [V]; voltage 0: unknown, taken as 10 V.
    motor_speed : float
        [rad/s].

    Notes
    -----
    I₀(Ω) = I₀·(0.4 s + 0.6 Ω/Ω₀), Ω₀ = K V₀, s a smooth sign, over ±3 % of Ω₀.
    Source: common practice, no source (from memory): iron loss grows with speed.
    """
    voltage = no_load_voltage
    if voltage <= 0.0:
        voltage = USUAL_NO_LOAD_VOLTAGE
    ratio = motor_speed / (speed_constant * voltage)
    return no_load_current * (0.4 * ratio / math.sqrt(ratio * ratio + 9.0e-4) + 0.6 * ratio)


@jit
def motor_torque(
    speed_constant: float, no_load_current: float, no_load_voltage: float, current: float, motor_speed: float
) -> float:
    """Return the torque at the motor's shaft.

    Parameters
    ----------
    speed_constant : float
        Effective [rad/s/V].
    no_load_current, no_load_voltage : float
        From the label [A], [V]; voltage 0: unknown.
    current : float
        Winding current [A].
    motor_speed : float
        [rad/s].

    Returns
    -------
    torque : float
        [N m].

    Notes
    -----
    Q = (i − I₀(Ω))/K, see `no_load_current_at`.
    Source: Drela 2005 (read secondary); the law of I₀ from memory.
    """
    return (
        current - no_load_current_at(speed_constant, no_load_current, no_load_voltage, motor_speed)
    ) / speed_constant


@jit
def switching_share(factors: Any) -> float:
    """Return the switching loss of a controller over winding current × bus voltage [1].

    Parameters
    ----------
    factors : record
        FACTORS: controller_efficiency.

    Notes
    -----
    k = ½ (1/η − 1), η the share passed on at half duty: 1 % (0.8–2 %).
    Source: 0.5–1.5 % at usual switching rates, common practice (from memory).
    """
    return 0.5 * (1.0 / factors.controller_efficiency - 1.0)


@jit
def bus_terms(
    speed_constant: float, resistance: float, duty: float, motor_speed: float, factors: Any
) -> tuple[float, float]:
    """Return a, b of the current the controller draws, i = a·v_bus − b.

    Parameters
    ----------
    speed_constant, resistance, duty, motor_speed : float
        As `motor_current`.
    factors : record
        FACTORS: controller_efficiency.

    Returns
    -------
    a, b : float
        [A/V], [A].

    Notes
    -----
    Switching takes k i v besides the i² R of the switches, k = ½ (1/η − 1) with η the efficiency at half duty, so
    i_bus = (d + k) i_winding, a = d (d + k)/R, b = (d + k) Ω/(K R): the pack voltage then follows in closed form, and
    the controller passes on d/(d + k) of what it takes, less at small duty.
    Source: duty averaging of a synchronous step-down stage (closed form); η read secondary; switching loss ∝ current ×
    bus voltage is common practice (from memory, 0.5–1.5 %).
    """
    share = (duty + switching_share(factors)) / resistance
    return share * duty, share * motor_speed / speed_constant


@jit
def controller_heat(winding_current: float, bus_voltage: float, controller_resistance: float, factors: Any) -> float:
    """Return the heat of a controller [W].

    Parameters
    ----------
    winding_current : float
        [A]; at part throttle more than what the battery lead carries.
    bus_voltage : float
        [V].
    controller_resistance : float
        Of its switches [Ω].
    factors : record
        FACTORS: controller_efficiency.

    Notes
    -----
    i² R + k i v, see `bus_terms`; its logic takes another 0.3–1 W (from memory), counted with the
    receiver.
    Source: as `bus_terms`.
    """
    return winding_current * (winding_current * controller_resistance + switching_share(factors) * bus_voltage)
