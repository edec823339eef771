"""A bare list of parts in steady flight: refuses wrong names; a body alone falls at its terminal speed."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pytest

from rotorwright.base.unknown import nominal_factors
from rotorwright.flight.alone import FLIGHT, KINDS, steady_flight_alone
from rotorwright.flight.numbers import air_record, assemble

GLIDER = {
    "surfaces": [
        {"kind": 0.0, "area": 0.4, "span": 2.0, "chord": 0.2, "x": -0.3, "max_lift": 1.2, "incidence": 0.035},
        {"kind": 1.0, "area": 0.08, "span": 0.5, "chord": 0.16, "x": -1.0, "max_lift": 1.0},
    ],
    "bodies": [{"drag_area": 0.01}],
    "masses": [{"mass": 1.5, "x": -0.33, "ixx": 0.1, "iyy": 0.08, "izz": 0.15}],
}
START = {"airspeed": 9.0, "climb": -1.0, "incidence": 0.05}
FREE = ("airspeed", "climb", "incidence")


@pytest.mark.parametrize(
    ("parts", "flight", "free"),
    [
        ({"wings": []}, START, FREE),
        ({"bodies": [{"drag": 1.0}]}, START, FREE),
        (GLIDER, {"speed": 9.0}, FREE),
        (GLIDER, START, ("airspeed", "climb", "pitch")),
    ],
)
def test_a_wrong_name_is_refused(parts, flight, free) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(KeyError):
        steady_flight_alone(parts=parts, flight=flight, free=free)


def test_forces_balance_along_and_across_the_path() -> None:
    steady = steady_flight_alone(parts=GLIDER, flight=START, free=FREE)
    path = math.asin(steady["climb"] / steady["airspeed"])
    weight = 1.5 * 9.80665
    assert steady["status"] == 0.0
    assert steady["lift"] == pytest.approx(weight * math.cos(path), rel=1e-8)
    assert steady["drag"] == pytest.approx(-weight * math.sin(path), rel=1e-8)


def test_thin_air_is_flown_faster_on_the_same_path() -> None:
    low = steady_flight_alone(parts=GLIDER, flight=START, free=FREE)
    high = steady_flight_alone(
        parts=GLIDER, flight=START, free=FREE, air_density=0.9, air_viscosity=1.789e-5 * 0.9 / 1.225
    )
    assert high["airspeed"] / low["airspeed"] == pytest.approx(math.sqrt(1.225 / 0.9), rel=5e-3)
    assert high["incidence"] == pytest.approx(low["incidence"], rel=1e-3)


def test_names_are_those_of_the_records() -> None:
    assert set(KINDS) == {"rotors", "surfaces", "bodies", "thrusters", "drives", "batteries", "wheels", "masses"}
    assert len(set(FLIGHT)) == 8


def test_the_day_varies_the_air_of_every_sample() -> None:
    rows = SimpleNamespace(**{kind: np.zeros(0, dtype=dtype) for kind, (dtype, _) in KINDS.items()})
    air = air_record(1.2, 1.8e-5, 9.80665, (0.0, 0.0, 0.0))
    factors = nominal_factors(3)
    factors["air_density"] = [1.0, 0.98, 1.02]
    numbers = assemble(rows, air, factors)
    assert numbers.air["density"] == pytest.approx([1.2, 1.176, 1.224])
    assert air["density"][0] == 1.2  # what was stated is left alone


def test_a_turn_asks_for_more_lift_by_the_cosine_of_the_bank() -> None:
    straight = steady_flight_alone(parts=GLIDER, flight=START, free=FREE)
    turning = steady_flight_alone(parts=GLIDER, flight=START | {"bank": math.radians(30.0)}, free=FREE)
    assert turning["lift"] / straight["lift"] == pytest.approx(1.0 / math.cos(math.radians(30.0)), rel=0.01)
    assert turning["airspeed"] > straight["airspeed"]
    assert turning["climb"] < straight["climb"]
