"""Bench call: one battery pack under a current or a power."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.jit import jit
from rotorwright.base.quantity import Quantity, from_samples
from rotorwright.base.records import BATTERY
from rotorwright.physics.power.battery import (
    bus_voltage,
    endurance,
    pack_resistance,
    rest_voltage,
    usable_energy,
)
from rotorwright.physics.power.tables import PowerTables, power_tables
from rotorwright.studies import bench_inputs as check
from rotorwright.studies.bench_propeller import BenchResult, factor_samples

USUAL_RESISTANCE_CAPACITY = 0.030
"""Cell resistance × capacity of an ordinary high-rate pack [Ω A h] (17–63 mΩ A h measured, read secondary)."""
BATTERY_SOURCES = ("common-practice", "chen2006")
"""Works behind these numbers, by citation key (base/citations.toml)."""


@dataclass(frozen=True)
class BatteryResult(BenchResult):
    """A battery pack alone."""

    rest_voltage: Quantity
    resistance: Quantity
    voltage: Quantity
    usable_energy: Quantity
    endurance: Quantity


@jit
def _battery_cases(rows: Any, tables: PowerTables, current: float, power: float, factors: Any, answers: Any) -> None:
    for case in range(factors.shape[0]):
        pack = rows[0]
        rest = rest_voltage(pack, tables, factors[case])
        resistance = pack_resistance(pack, factors[case])
        voltage = bus_voltage(rest, resistance, power, 0.0, -current)
        answers[case, 0] = rest
        answers[case, 1] = resistance
        answers[case, 2] = voltage
        answers[case, 3] = usable_energy(pack, tables, factors[case])
        answers[case, 4] = endurance(pack, tables, power + current * voltage, factors[case])


def battery_alone(
    *,
    cells: int,
    capacity: float,
    charge: float = 1.0,
    current: float = 0.0,
    power: float = 0.0,
    resistance_capacity: float = USUAL_RESISTANCE_CAPACITY,
    wiring_resistance: float = 0.0,
    temperature: float = 298.15,
    usable: float = 0.8,
) -> BatteryResult:
    """Ask one lithium-polymer pack alone, under a current or a power.

    Parameters
    ----------
    cells : int
        In series.
    capacity : float
        Label [A s].
    charge : float
        State of charge 0…1.
    current, power : float
        Drawn at the terminals [A], [W]; both add.
    resistance_capacity : float
        Cell resistance × capacity at 25 °C [Ω A h].
    wiring_resistance : float
        Leads and connectors [Ω].
    temperature : float
        Of the pack [K].
    usable : float
        Share of the label capacity planned for use.

    Returns
    -------
    result : BatteryResult
        rest_voltage [V], resistance with leads [Ω], voltage under load [V], usable_energy before loss [J],
        endurance at this power from here down to the reserve [s] (null without load).

    Raises
    ------
    InputError
        If an argument cannot be used.

    Notes
    -----
    See `rotorwright.physics.power.battery`.
    """
    rows = np.zeros(1, dtype=BATTERY)
    rows["cells"] = check.whole("cells", cells, low=1, high=30)
    rows["parallel"] = 1.0
    rows["capacity"] = check.number("capacity", capacity, low=36.0, high=5.0e5, unit="A s")
    rows["charge"] = check.number("charge", charge, low=0.0, high=1.0, unit="")
    rows["resistance_capacity"] = check.number(
        "resistance_capacity", resistance_capacity, low=0.0, high=2.0, unit="Ω A h"
    )
    rows["wiring_resistance"] = check.number("wiring_resistance", wiring_resistance, low=0.0, high=5.0, unit="Ω")
    rows["temperature"] = check.number("temperature", temperature, low=250.0, high=340.0, unit="K")
    rows["usable"] = check.number("usable", usable, low=0.0, high=1.0, unit="")
    amperes = check.number("current", current, low=0.0, high=1.0e3, unit="A")
    watts = check.number("power", power, low=0.0, high=5.0e4, unit="W")
    factors = factor_samples()
    answers = np.empty((len(factors), 5))
    _battery_cases(rows, power_tables(), amperes, watts, factors, answers)
    answers[~np.isfinite(answers)] = np.nan
    support = "inside data" if 273.0 <= temperature <= 303.5 and charge >= 0.05 else "between data"

    def banded(column: int, unit: str) -> Quantity:
        samples: npt.NDArray[np.float64] = answers[:, column]
        return from_samples(
            samples[1:], float(samples[0]), unit, support=support, sources=BATTERY_SOURCES, reason="nothing is drawn"
        )

    return BatteryResult(
        rest_voltage=banded(0, "V"),
        resistance=banded(1, "Ω"),
        voltage=banded(2, "V"),
        usable_energy=banded(3, "J"),
        endurance=banded(4, "s"),
    )
