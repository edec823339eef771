from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorwright.base import records
from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.power.tables import PowerTables, power_tables


@pytest.fixture(scope="session")
def factors() -> Any:
    return nominal_factors(1)[0]


@pytest.fixture(scope="session")
def tables() -> PowerTables:
    return power_tables()


@pytest.fixture(scope="session")
def make_thruster() -> Callable[..., Any]:
    def make(**changes: float) -> Any:
        row = np.zeros(1, dtype=records.THRUSTER)[0]
        usual = {"diameter": 0.254, "pitch": 0.127, "blades": 2.0, "thrust_scale": 1.0, "power_scale": 1.0}
        for name, number in (usual | {"exit_area": 0.0023, "working": 1.0} | changes).items():
            row[name] = number
        return row

    return make


@pytest.fixture(scope="session")
def make_battery() -> Callable[..., Any]:
    def make(**changes: float) -> Any:
        row = np.zeros(1, dtype=records.BATTERY)[0]
        usual = {"cells": 3.0, "parallel": 1.0, "capacity": 7920.0, "resistance_capacity": 0.030}
        usual |= {"wiring_resistance": 0.0, "charge": 1.0, "temperature": 298.0, "usable": 0.8}
        for name, number in (usual | changes).items():
            row[name] = number
        return row

    return make
