import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from rotorwright.base.unknown import nominal_factors
from rotorwright.physics.power.battery import (
    bus_voltage,
    cell_rest_voltage,
    endurance,
    pack_resistance,
    resistance_at,
    rest_voltage,
    usable_energy,
)


def test_rest_voltage_is_the_table_times_cells(make_battery: Any, tables: Any, factors: Any) -> None:
    assert rest_voltage(make_battery(charge=1.0), tables, factors) == pytest.approx(12.6)
    assert rest_voltage(make_battery(charge=0.5, cells=4.0), tables, factors) == pytest.approx(4 * 3.84)


def test_rest_voltage_lies_near_the_laboratory_model(tables: Any, factors: Any) -> None:
    # Chen and Rincón-Mora 2006, polymer cell; the two descriptions differ by up to 0.10 V above 80 % charge
    for s in np.linspace(0.15, 1.0, 18):
        model = -1.031 * math.exp(-35 * s) + 3.685 + 0.2156 * s - 0.1178 * s**2 + 0.3201 * s**3
        assert abs(cell_rest_voltage(float(s), tables, factors) - model) < 0.105


def test_spread_of_rest_voltage_grows_when_nearly_empty(tables: Any) -> None:
    factors = nominal_factors(2)
    factors["battery_voltage"][1] = 0.03
    full = cell_rest_voltage(0.8, tables, factors[1]) - cell_rest_voltage(0.8, tables, factors[0])
    empty = cell_rest_voltage(0.0, tables, factors[1]) - cell_rest_voltage(0.0, tables, factors[0])
    assert full == pytest.approx(0.03)
    assert empty == pytest.approx(0.15)


def test_pack_resistance_by_hand(make_battery: Any, factors: Any) -> None:
    pack = make_battery(wiring_resistance=0.004)
    assert pack_resistance(pack, factors) == pytest.approx(3 * 0.030 / 2.2 + 0.004, rel=1e-6)
    assert resistance_at(pack, 0.05, factors) > 1.5 * 3 * 0.030 / 2.2


@given(
    rest=st.floats(6.0, 26.0),
    resistance=st.floats(0.005, 0.2),
    power=st.floats(0.0, 20.0),
    a=st.floats(0.0, 20.0),
    speed=st.floats(0.0, 20.0),
)
def test_voltage_under_load_satisfies_its_own_equation(
    rest: float, resistance: float, power: float, a: float, speed: float
) -> None:
    v = bus_voltage(rest, resistance, power, a, a * speed)
    drawn = a * v - a * speed + power / v
    middle = rest + resistance * a * speed
    if middle**2 > 4.2 * (1.0 + resistance * a) * resistance * power:
        assert v == pytest.approx(rest - resistance * drawn, rel=1e-6)
    assert math.isfinite(v)
    assert v > 0.0


def test_voltage_at_too_great_a_load_is_that_of_greatest_power() -> None:
    assert bus_voltage(12.0, 0.1, 1000.0, 0.0, 0.0) == pytest.approx(6.0, rel=1e-2)


def test_endurance_matches_an_outside_integrator(make_battery: Any, tables: Any, factors: Any) -> None:
    pack = make_battery()

    def seconds_per_charge(charge: float) -> float:
        rest = 3.0 * cell_rest_voltage(charge, tables, factors)
        resistance = resistance_at(pack, charge, factors)
        current = (rest - math.sqrt(rest**2 - 4.0 * resistance * 120.0)) / (2.0 * resistance)
        return 7920.0 / current

    exact = quad(seconds_per_charge, 0.2, 1.0)[0]
    assert endurance(pack, tables, 120.0, factors) == pytest.approx(exact, rel=1e-3)


def test_endurance_without_loss_is_energy_over_power(make_battery: Any, tables: Any, factors: Any) -> None:
    pack = make_battery(resistance_capacity=0.0)
    energy = usable_energy(pack, tables, factors)
    assert endurance(pack, tables, 120.0, factors) == pytest.approx(energy / 120.0, rel=1e-9)
    # trapezium over the printed table from 100 to 20 %: mean 3.916 V
    assert energy / (3.0 * 7920.0 * 0.8) == pytest.approx(3.916, abs=0.006)


def test_emptier_colder_and_older_packs_last_less(make_battery: Any, tables: Any, factors: Any) -> None:
    usual = endurance(make_battery(), tables, 200.0, factors)
    assert endurance(make_battery(charge=0.7), tables, 200.0, factors) < usual
    assert endurance(make_battery(temperature=273.0), tables, 200.0, factors) < usual
    assert endurance(make_battery(resistance_capacity=0.06), tables, 200.0, factors) < usual
    assert endurance(make_battery(charge=0.1), tables, 200.0, factors) == 0.0
    assert endurance(make_battery(), tables, 1e5, factors) == 0.0
    assert endurance(make_battery(), tables, 0.0, factors) == math.inf
