"""The quick start writes files that load, weigh what was asked and balance where they should."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.base.errors import InputProblems
from rotorwright.design.aircraft_file import loads
from rotorwright.design.clearances import clearances
from rotorwright.design.fill import fill
from rotorwright.design.quick_start import ROTOR_KINDS, THRUST_SOURCES, QuickStartSizes, quick_start_file

ORDERS = [
    (0.3, 1.1, 0.0, 288.15, "free vaned", "propeller", 2),
    (1.5, 2.0, 300.0, 293.15, "free vaned", "propeller", 3),
    (1.8, 1.6, 0.0, 303.15, "driven vaned", "propeller", 4),
    (2.0, 2.2, 100.0, 283.15, "driven drum", "propeller", 4),
    (3.0, 2.4, 0.0, 288.15, "driven drum", "fan", 6),
    (8.0, 3.5, 0.0, 288.15, "driven drum", "propeller", 8),
]


@pytest.mark.parametrize("order", ORDERS, ids=lambda order: f"{order[0]}kg-{order[4]}-{order[5]}".replace(" ", "-"))
def test_the_file_weighs_and_balances_as_asked(order: tuple[float, float, float, float, str, str, int]):
    sizes = QuickStartSizes.guess(*order).settled()
    aeroplane = loads(quick_start_file(sizes))
    rows = fill(aeroplane)
    mass = rows.masses["mass"].sum()
    assert mass == pytest.approx(order[0], rel=2e-3)
    balance = -(rows.masses["mass"] * rows.masses["x"]).sum() / mass
    assert balance == pytest.approx(sizes.balance_aft, abs=0.02 * sizes.tail_aft)
    right = rows.rotors[rows.names.rotors.index("right")]
    assert right["y"] + right["span"] / 2 <= order[1] / 2 + 1e-3
    assert aeroplane.field.temperature == pytest.approx(order[3], abs=0.05)
    assert all(gap.distance > 0.0 for gap in clearances(aeroplane)), [gap.sentence() for gap in clearances(aeroplane)][
        :2
    ]


def test_guessed_lines_are_marked_and_told_ones_are_not():
    text = quick_start_file(QuickStartSizes.guess(1.5, 2.0, 0.0, 288.15, "driven drum"))
    marked = [line for line in text.splitlines() if "# generic" in line]
    assert len(marked) > 25
    for told in ("cells", "elevation", "temperature", "name", "kind"):
        assert all("# generic" not in line for line in text.splitlines() if line.startswith(f"{told} ="))


def test_an_impossible_mass_says_by_how_much():
    with pytest.raises(InputProblems, match="parts alone are heavier"):
        QuickStartSizes.guess(0.1, 3.0, 0.0, 288.15, "driven drum", "fan", 6).settled()


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ((0.0, 2.0, 0.0, 288.0, "free vaned", "propeller", 3), "mass"),
        ((float("nan"), 2.0, 0.0, 288.0, "free vaned", "propeller", 3), "mass"),
        ((1.5, 0.1, 0.0, 288.0, "free vaned", "propeller", 3), "span limit"),
        ((1.5, 2.0, 9e9, 288.0, "free vaned", "propeller", 3), "elevation"),
        ((1.5, 2.0, 0.0, 15.0, "free vaned", "propeller", 3), "temperature"),
        ((1.5, 2.0, 0.0, 288.0, "free", "propeller", 3), "rotor kind"),
        ((1.5, 2.0, 0.0, 288.0, "free vaned", "rocket", 3), "thrust source"),
        ((1.5, 2.0, 0.0, 288.0, "free vaned", "propeller", 0), "cells"),
    ],
)
def test_orders_that_cannot_be_sized_are_refused(change: tuple[float, float, float, float, str, str, int], field: str):
    with pytest.raises(InputProblems) as caught:
        QuickStartSizes.guess(*change)
    assert [problem.field for problem in caught.value.problems] == [field]
    assert caught.value.problems[0].allowed


def test_a_size_that_is_not_finite_is_refused():
    sizes = QuickStartSizes.guess(1.5, 2.0, 0.0, 288.15, "free vaned")
    with pytest.raises(InputProblems, match="finite"):
        quick_start_file(replace(sizes, tail_span=float("inf")))


@settings(max_examples=40, deadline=None)
@given(
    st.floats(0.15, 40.0),
    st.floats(0.4, 3.0),
    st.sampled_from(ROTOR_KINDS),
    st.sampled_from(THRUST_SOURCES),
    st.integers(1, 12),
    st.text(max_size=30),
)
def test_every_order_gives_a_file_that_loads(mass: float, wide: float, kind: str, source: str, cells: int, name: str):
    sizes = QuickStartSizes.guess(mass, min(wide * mass ** (1 / 3), 12.0), 0.0, 288.15, kind, source, cells, name=name)
    aeroplane = loads(quick_start_file(sizes))
    assert set(aeroplane.tables.rotor) == {"right"}
