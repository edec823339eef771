"""Lithium-polymer pack: rest voltage, resistance, voltage under load, usable energy, endurance."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.base.curves import read_curve, smooth_max, smooth_step
from rotorwright.base.jit import jit
from rotorwright.physics.power.tables import PowerTables

# Gauss–Legendre, 8 points on −1…1 (the other half mirrors)
_NODES = (0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363)
_WEIGHTS = (0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763)


@jit
def cell_rest_voltage(charge: float, tables: PowerTables, factors: Any) -> float:
    """Return the rest voltage of one cell [V].

    Parameters
    ----------
    charge : float
        State of charge 0…1.
    tables : PowerTables
        From `power_tables`.
    factors : record
        FACTORS: battery_voltage.

    Notes
    -----
    Table through a monotone cubic, + battery_voltage·(1 + 4 (1 − step(charge, 0, 0.15))).

    Validity: packs charged to 4.20 V; ±0.03 V, ±0.15 V on the last tenth.
    Source: 21-point table in wide hobby use, no laboratory origin known (read secondary).
    """
    spread = 1.0 + 4.0 * (1.0 - smooth_step(charge, 0.0, 0.15))
    return read_curve(tables.rest_voltage, charge) + factors.battery_voltage * spread


@jit
def rest_voltage(battery: Any, tables: PowerTables, factors: Any) -> float:
    """Return the pack's rest voltage at its state of charge [V].

    Parameters
    ----------
    battery : record
        BATTERY: cells, charge.
    tables : PowerTables
        From `power_tables`.
    factors : record
        FACTORS: battery_voltage.

    Notes
    -----
    Cells × `cell_rest_voltage`; validity and source there.
    """
    return battery.cells * cell_rest_voltage(battery.charge, tables, factors)


@jit
def resistance_at(battery: Any, charge: float, factors: Any) -> float:
    """Return the pack's resistance with leads [Ω] at a state of charge 0…1.

    Parameters
    ----------
    battery : record
        BATTERY: cells, capacity, resistance_capacity, temperature, wiring_resistance.
    charge : float
        0…1.
    factors : record
        FACTORS: battery_resistance.

    Returns
    -------
    resistance : float
        [Ω].

    Notes
    -----
    R = cells·(k/C)·exp(3131 (1/T − 1/298))·(1 + 2.1 exp(−24.4 charge)) + R_wiring.

    Validity: 0–30 °C measured, used to 40 °C; R(T) ±15 %.
    Source: temperature: "Battery and Temperature", hobby measurement of a 2S 2.2 A h pack, 2010 (read secondary);
    rise on the last charge: Chen and Rincón-Mora, IEEE Trans. Energy Conversion 21 (2006) 504 (read secondary).
    """
    ampere_hours = battery.capacity / 3600.0
    cold = math.exp(3131.0 * (1.0 / battery.temperature - 1.0 / 298.0))
    empty = 1.0 + 2.098 * math.exp(-24.37 * charge)
    cell = battery.resistance_capacity * factors.battery_resistance / ampere_hours
    return battery.cells * cell * cold * empty + battery.wiring_resistance


@jit
def pack_resistance(battery: Any, factors: Any) -> float:
    """Return the pack's resistance with leads at its own state of charge [Ω].

    Parameters
    ----------
    battery : record
        BATTERY: as `resistance_at`, and charge.
    factors : record
        FACTORS: battery_resistance.

    Notes
    -----
    See `resistance_at` for formula, validity and source.
    """
    return resistance_at(battery, battery.charge, factors)


@jit
def bus_voltage(rest: float, resistance: float, steady_power: float, sum_a: float, sum_b: float) -> float:
    """Return the voltage under load, in closed form.

    Parameters
    ----------
    rest, resistance : float
        Pack rest voltage [V] and resistance [Ω].
    steady_power : float
        Constant loads: receiver, servos [W].
    sum_a, sum_b : float
        Sums over all controllers of `bus_terms` [A/V], [A].

    Returns
    -------
    voltage : float
        [V]. If the loads ask more than the pack can give, the voltage of greatest power (look at the current then).

    Notes
    -----
    v = E − R (Σa v − Σb + P/v): (1 + R Σa) v² − (E + R Σb) v + R P = 0, upper root, the discriminant rounded over 1e-6
    of its size so that the function stays C1 where the roots vanish.
    Source: closed form.
    """
    lead = 1.0 + resistance * sum_a
    middle = rest + resistance * sum_b
    square = middle * middle
    discriminant = smooth_max(square - 4.0 * lead * resistance * steady_power, 0.0, 1.0e-6 * square)
    return 0.5 * (middle + math.sqrt(discriminant)) / lead


@jit
def usable_energy(battery: Any, tables: PowerTables, factors: Any) -> float:
    """Return the energy between the present charge and the planned reserve, before resistive loss [J].

    Parameters
    ----------
    battery : record
        BATTERY: cells, capacity, charge, usable.
    tables : PowerTables
        From `power_tables`.
    factors : record
        FACTORS: battery_voltage.

    Notes
    -----
    E = cells·C·∫ OCV ds from 1 − usable to the present charge.
    Source: closed form; planning on 0.8 of the label (0.70–0.85) is common practice.
    """
    end = 1.0 - battery.usable
    half = 0.5 * (battery.charge - end)
    if half <= 0.0:
        return 0.0
    middle = end + half
    total = 0.0
    for k in range(4):
        step = half * _NODES[k]
        low = cell_rest_voltage(middle - step, tables, factors)
        high = cell_rest_voltage(middle + step, tables, factors)
        total += _WEIGHTS[k] * (low + high)
    return battery.cells * battery.capacity * half * total


@jit
def endurance_from(battery: Any, charge: float, tables: PowerTables, power: float, factors: Any) -> float:
    """Return the time at constant power from a state of charge down to the planned reserve.

    Parameters
    ----------
    battery : record
        BATTERY.
    charge : float
        State of charge at the start, 0…1.
    tables : PowerTables
        From `power_tables`.
    power : float
        All loads together at the pack's terminals [W], > 0.
    factors : record
        FACTORS: battery_voltage, battery_resistance.

    Returns
    -------
    time : float
        [s]; charge at which the pack cannot give the power any more counts as unusable; infinite at power 0.

    Notes
    -----
    t = ∫ C ds/i(s), i = 2 P/(E + √(E² − 4 R P)), eight-point Gauss quadrature over the charge.
    Source: closed form; constant-power discharge must be integrated: L. W. Traub, J. Aircraft 48 (2011) 703 (read
    secondary), Peukert exponent taken as 1.
    """
    if power <= 0.0:
        return math.inf
    end = 1.0 - battery.usable
    half = 0.5 * (charge - end)
    if half <= 0.0:
        return 0.0
    middle = end + half
    total = 0.0
    for k in range(8):
        node = -_NODES[k] if k < 4 else _NODES[k - 4]
        there = middle + half * node
        rest = battery.cells * cell_rest_voltage(there, tables, factors)
        discriminant = rest * rest - 4.0 * resistance_at(battery, there, factors) * power
        if discriminant > 0.0:
            total += _WEIGHTS[k % 4] * (rest + discriminant**0.5)
    return battery.capacity * half * total / (2.0 * power)


@jit
def endurance(battery: Any, tables: PowerTables, power: float, factors: Any) -> float:
    """Return the time at constant power from the present charge down to the planned reserve [s]; see `endurance_from`.

    Parameters
    ----------
    battery : record
        BATTERY.
    tables : PowerTables
        From `power_tables`.
    power : float
        All loads together at the pack's terminals [W].
    factors : record
        FACTORS: battery_voltage, battery_resistance.
    """
    return endurance_from(battery, battery.charge, tables, power, factors)
