"""Chances from counts against a library, and drivers on made cases where the cause is known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binomtest

from rotorwright.studies.chance import attributable_share, counted, counting_band, find_drivers


@pytest.mark.parametrize(("happened", "flights"), [(0, 20), (1, 29), (15, 148), (81, 263), (500, 500), (3, 4)])
def test_the_band_of_a_count_is_that_of_the_reference_library(happened: int, flights: int) -> None:
    quantity = counted(happened, flights)
    there = binomtest(happened, flights).proportion_ci(0.8, method="wilson")
    assert quantity.value == pytest.approx(happened / flights)
    assert (quantity.low, quantity.high) == pytest.approx((there.low, there.high), abs=1e-12)


def test_no_flights_give_no_chance() -> None:
    assert counted(0, 0).value is None


def test_bands_hold_their_share_of_repeated_counts() -> None:
    rng = np.random.default_rng(3)
    bands = [counting_band(int(count), 120) for count in rng.binomial(120, 0.23, size=4000)]
    held = np.mean([low <= 0.23 <= high for low, high in bands])
    assert 0.76 < held < 0.84


def test_a_cause_without_harm_causes_nothing() -> None:
    assert attributable_share(0.5, 0.1, 0.3) == 0.0
    assert attributable_share(0.5, 0.0, 0.0) == 0.0
    assert attributable_share(0.4, 0.5, 0.0) == pytest.approx(1.0)


def made_inputs(flights: int, names: int, seed: int) -> dict[str, np.ndarray]:
    numbers = np.random.default_rng(seed).standard_normal((names, flights))
    return {f"input {k}": numbers[k] for k in range(names)}


def test_the_known_cause_is_found_with_its_side_limit_and_share() -> None:
    inputs = made_inputs(4000, 40, 1)
    inputs["wind"] = np.random.default_rng(2).uniform(0.0, 6.0, 4000)
    failed = np.random.default_rng(4).random(4000) < np.where(inputs["wind"] > 3.0, 0.5, 0.1)
    (driver,) = find_drivers(inputs, failed)
    assert (driver.name, driver.side) == ("wind", "above")
    assert driver.limit == pytest.approx(3.0, abs=0.15)
    assert driver.attributable == pytest.approx((0.3 - 0.1) / 0.3, abs=0.06)
    assert driver.risk_beyond == pytest.approx(0.5, abs=0.04)


def test_either_way_from_the_middle_is_one_cause() -> None:
    inputs = made_inputs(6000, 20, 5)
    failed = np.random.default_rng(6).random(6000) < np.where(np.abs(inputs["input 7"]) > 1.2, 0.6, 0.05)
    (driver,) = find_drivers(inputs, failed)
    assert (driver.name, driver.side) == ("input 7", "off")


def test_two_causes_come_in_order_of_strength() -> None:
    inputs = made_inputs(6000, 30, 7)
    chance = 0.03 + 0.5 * (inputs["input 3"] > 0.8) + 0.2 * (inputs["input 11"] < -0.8)
    failed = np.random.default_rng(8).random(6000) < chance
    drivers = find_drivers(inputs, failed)
    assert [(each.name, each.side) for each in drivers[:2]] == [("input 3", "above"), ("input 11", "below")]


def test_chance_alone_names_no_cause_more_often_than_promised() -> None:
    named = 0
    for seed in range(40):
        inputs = made_inputs(300, 12, 100 + seed)
        failed = np.random.default_rng(200 + seed).random(300) < 0.3
        named += bool(find_drivers(inputs, failed, seed=seed))
    assert named <= 5  # 2 % of 40 is 0.8; the chance of 6 or more is below 1 in 1000


def test_the_same_seed_names_the_same_drivers() -> None:
    inputs = made_inputs(500, 10, 9)
    failed = inputs["input 2"] + np.random.default_rng(1).standard_normal(500) > 1.0
    assert find_drivers(inputs, failed, seed=3) == find_drivers(inputs, failed, seed=3)


def test_few_failures_tell_no_cause() -> None:
    inputs = made_inputs(500, 10, 11)
    failed = np.zeros(500, dtype=bool)
    failed[np.argsort(inputs["input 2"])[-5:]] = True
    assert find_drivers(inputs, failed) == ()
