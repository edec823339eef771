import math
from typing import Any

import numpy as np
import pytest

from rotorwright.base.constants import SEA_LEVEL_DENSITY, SEA_LEVEL_VISCOSITY
from rotorwright.base.records import FAN
from rotorwright.physics.power.fan import (
    EXIT_SHARE,
    fan_loads,
    fan_motor_efficiency,
    fan_overall_efficiency,
)
from rotorwright.physics.power.thruster import thruster_loads


@pytest.mark.parametrize(("size", "low", "high"), [(0.055, 0.26, 0.38), (0.064, 0.32, 0.47), (0.09, 0.44, 0.60)])
def test_jet_power_over_electrical_power_is_the_stated_efficiency(
    make_thruster: Any, factors: Any, size: float, low: float, high: float
) -> None:
    area = EXIT_SHARE * size**2
    row = make_thruster(kind=FAN, diameter=size, exit_area=area, installation=1.0)
    thrust, torque = fan_loads(row, 0.0, 3500.0, SEA_LEVEL_DENSITY, factors)
    jet = thrust**1.5 / (2.0 * math.sqrt(SEA_LEVEL_DENSITY * area))
    overall = jet / (torque * 3500.0 / fan_motor_efficiency(size))
    assert math.isclose(overall, fan_overall_efficiency(size), rel_tol=1e-9)
    assert low < overall < high  # band of the judgement table


def test_thrust_follows_the_lower_of_two_lapse_laws(make_thruster: Any, factors: Any) -> None:
    # constant jet power (v³ − V² v = v₀³, closed form) and 1 − 0.9 V/v₀ (common practice)
    row = make_thruster(kind=FAN, diameter=0.064, exit_area=0.0023, installation=1.0)
    static = fan_loads(row, 0.0, 3800.0, SEA_LEVEL_DENSITY, factors)[0]
    exit_speed = math.sqrt(static / (SEA_LEVEL_DENSITY * 0.0023))
    for y in (0.1, 0.2, 0.3, 0.5, 0.7):
        jet = max(np.roots([1.0, 0.0, -y * y, -1.0]).real)
        lower = min(jet * (jet - y), 1.0 - 0.9 * y)
        ours = fan_loads(row, y * exit_speed, 3800.0, SEA_LEVEL_DENSITY, factors)[0] / static
        assert abs(ours - lower) < 0.03


def test_signs_and_rest(make_thruster: Any, factors: Any) -> None:
    row = make_thruster(kind=FAN, diameter=0.064, exit_area=0.0023)
    assert fan_loads(row, 0.0, 0.0, SEA_LEVEL_DENSITY, factors) == (0.0, 0.0)
    stopped = fan_loads(row, 20.0, 0.0, SEA_LEVEL_DENSITY, factors)
    assert stopped[0] < 0.0
    assert stopped[1] < 0.0
    assert fan_loads(row, 20.0, 3000.0, SEA_LEVEL_DENSITY, factors)[1] > 0.0


def test_stated_installation_replaces_the_unknown(make_thruster: Any, factors: Any) -> None:
    bench = fan_loads(make_thruster(kind=FAN, diameter=0.064, installation=1.0), 0.0, 3e3, 1.2, factors)
    built = fan_loads(make_thruster(kind=FAN, diameter=0.064, installation=0.0), 0.0, 3e3, 1.2, factors)
    assert math.isclose(built[0], factors["fan_installation"] * bench[0])
    assert built[1] == bench[1]


def test_thruster_chooses_by_kind(make_thruster: Any, tables: Any, factors: Any) -> None:
    row = make_thruster(kind=FAN, diameter=0.064)
    chosen = thruster_loads(row, tables, 5.0, 3000.0, 1.2, SEA_LEVEL_VISCOSITY, factors)
    assert chosen == fan_loads(row, 5.0, 3000.0, 1.2, factors)
    propeller = thruster_loads(make_thruster(), tables, 5.0, 600.0, 1.2, SEA_LEVEL_VISCOSITY, factors)
    assert propeller[0] > 1.0
