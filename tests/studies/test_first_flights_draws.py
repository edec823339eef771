"""What is drawn for first flights: same whatever is drawn together, bands as stated, put where it belongs."""

from __future__ import annotations

import numpy as np
import pytest

from house.walk import ROOT
from rotorwright.base.records import FIN, TAIL
from rotorwright.base.unknown import SHAPES, unknowns
from rotorwright.design.aircraft_file import load
from rotorwright.flight.numbers import assemble
from rotorwright.studies.custom_blade import filled
from rotorwright.studies.evaluate import field_air
from rotorwright.studies.first_flights_draws import GROUPS, build, draw, nominal_draw, spreads


def test_every_spread_is_in_order_and_says_where_its_figure_comes_from() -> None:
    names = [spread.name for spread in spreads()]
    assert len(names) == len(set(names))
    assert not set(names) & {unknown.name for unknown in unknowns()}
    for spread in spreads():
        assert spread.room in GROUPS
        assert spread.shape in SHAPES
        assert spread.low < spread.high
        assert spread.low <= spread.median <= spread.high
        assert spread.source
        assert spread.called


def test_a_flight_is_the_same_whatever_is_drawn_with_it() -> None:
    together, alone = draw(0, 12, seed=5), draw(7, 8, seed=5)
    assert np.array_equal(together.scores[7], alone.scores[0])
    assert together.seeds[7] == alone.seeds[0]
    for name, values in together.values.items():
        assert values[7] == alone.values[name][0]


def test_another_seed_and_another_flight_differ() -> None:
    draws, other = draw(0, 50, seed=1), draw(0, 50, seed=2)
    assert len(np.unique(draws.seeds)) == 50
    assert not np.any(draws.scores == other.scores)


def test_bands_hold_eight_of_ten_and_inputs_do_not_lean_on_each_other() -> None:
    draws = draw(0, 3000)
    for spread in spreads():
        values = draws.values[spread.name]
        inside = np.mean((values >= spread.low) & (values <= spread.high))
        limited = spread.high == spread.ceiling
        assert 0.88 <= inside <= 0.92 if limited else 0.77 <= inside <= 0.83, spread.name
    both = np.column_stack([draws.scores, *(draws.values[spread.name] for spread in spreads())])
    apart = np.corrcoef(both.T) - np.eye(both.shape[1])
    assert np.abs(apart).max() < 0.09  # 5 standard errors of 3000 flights


@pytest.fixture
def numbers():  # type: ignore[no-untyped-def]
    aeroplane = load(ROOT / "examples" / "drum-major.toml")
    draws = draw(0, 3)
    from rotorwright.base.unknown import sampled_factors

    return assemble(filled(aeroplane), field_air(aeroplane), sampled_factors(draws.scores))


def test_the_median_hands_build_what_is_drawn(numbers) -> None:  # type: ignore[no-untyped-def]
    before = [part.copy() for part in numbers]
    values = {name: np.repeat(value, 3) for name, value in nominal_draw().values.items()}
    build(numbers, values)
    for part, old in zip(numbers, before, strict=True):
        assert part.tobytes() == old.tobytes()


def test_each_hand_moves_its_own_parts(numbers) -> None:  # type: ignore[no-untyped-def]
    base = {name: np.repeat(value, 3) for name, value in nominal_draw().values.items()}
    before = [part.copy() for part in numbers]
    build(
        numbers,
        {
            **base,
            "tail_incidence": np.array([0.0, 0.01, 0.0]),
            "fin_offset": np.full(3, 0.02),
            "rotor_match": np.array([0.0, 0.0, 0.02]),
            "drive_match": np.array([0.0, 0.03, 0.0]),
            "bearing_match": np.array([4.0, 1.0, 1.0]),
            "balance_sideways": np.array([0.001, 0.002, 0.003]),
        },
    )
    old = type(numbers)(*before)
    kinds = old.surfaces["kind"]
    turned = numbers.surfaces["incidence"] - old.surfaces["incidence"]
    assert np.allclose(turned[kinds == FIN], 0.02)
    assert np.allclose(turned[:, kinds[0] == TAIL].ravel(), [0.0, 0.01, 0.0])
    left, right = numbers.rotors["y"][0] < 0.0, numbers.rotors["y"][0] > 0.0
    ratio = numbers.rotors["diameter"][:, right] / numbers.rotors["diameter"][:, left]
    assert ratio.ravel() == pytest.approx([1.0, 1.0, 1.01 / 0.99])
    friction = numbers.rotors["bearing_torque"][:, right] / numbers.rotors["bearing_torque"][:, left]
    assert friction.ravel() == pytest.approx([4.0, 1.0, 1.0])
    speeds = numbers.drives["speed"] / old.drives["speed"]
    assert sorted(speeds[1]) == pytest.approx([0.985, 1.015])
    assert np.all(speeds[[0, 2]] == 1.0)
    assert numbers.vehicle["y"] - old.vehicle["y"] == pytest.approx([0.001, 0.002, 0.003])
