"""Motions hidden in a matrix: names, figures, and what the spin of the rotors does to them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from rotorwright import InputError, modes_of

TRANSPORT = [
    [-0.006868, 0.01395, 0.0, -32.2],
    [-0.09055, -0.3151, 773.98, 0.0],
    [0.0001187, -0.001026, -0.4285, 0.0],
    [0.0, 0.0, 1.0, 0.0],
]


def lateral(momentum: float) -> list[list[float]]:
    """A lateral matrix with the spin momentum of spanwise rotors; inertias 0.04 and 0.08 kg m²."""
    return [
        [-0.6, 0.0, -8.0, 9.80665],
        [-0.8, -8.0, 2.0 + momentum / 0.04, 0.0],
        [1.2, -0.3 - momentum / 0.08, -1.5, 0.0],
        [0.0, 1.0, 0.0, 0.0],
    ]


def test_the_four_usual_motions_have_their_names() -> None:
    assert [mode.name for mode in modes_of(TRANSPORT, "u w q theta")] == ["short period", "phugoid"]
    assert [mode.name for mode in modes_of(lateral(0.0), ["v", "p", "r", "phi"])] == ["roll", "Dutch roll", "spiral"]


def test_figures_of_a_motion_belong_together() -> None:
    phugoid = modes_of(TRANSPORT, "u w q theta")["phugoid"]
    assert phugoid.period == pytest.approx(2.0 * math.pi / phugoid.imaginary)
    assert phugoid.damping_ratio == pytest.approx(-phugoid.real / phugoid.natural_frequency)
    assert phugoid.time_to_half == pytest.approx(math.log(2.0) / -phugoid.real)
    assert phugoid.time_to_double is None
    assert sum(phugoid.participation.values()) == pytest.approx(1.0)
    assert max(abs(part) for part in phugoid.shape.values()) == pytest.approx(1.0)
    assert phugoid.participation["u"] > 0.4


def test_names_do_not_depend_on_units_or_order() -> None:
    scale = np.diag([0.3048, 100.0, 57.3, 0.01])
    changed = scale @ np.array(TRANSPORT) @ np.linalg.inv(scale)
    assert [mode.name for mode in modes_of(changed, "u alpha q theta")] == ["short period", "phugoid"]
    order = [3, 1, 0, 2]
    mixed = np.array(lateral(0.1))[np.ix_(order, order)]
    assert [mode.name for mode in modes_of(mixed, "phi p v r")] == ["roll", "Dutch roll", "spiral"]


def test_spin_momentum_of_lifting_rotors_feeds_the_spiral() -> None:
    """Worked apart from this project's code: the spiral of this matrix doubles faster with more spin."""
    growth = [modes_of(lateral(momentum), "v p r phi")["spiral"].real for momentum in (-0.0904779, 0.0, 0.0904779)]
    assert growth == pytest.approx([-0.181106, 0.120528, 0.328738], abs=1e-5)


def test_rotors_heading_and_places_get_their_own_names() -> None:
    """Appended states that hardly join in: two rotors that settle, a heading and a height that stay where they are."""
    whole = np.zeros((8, 8))
    whole[:4, :4] = TRANSPORT
    whole[4, 4], whole[5, 5] = -3.0, -2.0
    whole[7, 0] = 0.01
    names = "u w q theta rotor_speed_left rotor_speed_right psi height"
    assert [mode.name for mode in modes_of(whole, names)] == [
        "rotor speed 1", "rotor speed 2", "short period", "phugoid", "heading", "height",
    ]  # fmt: skip
    assert modes_of(whole, names)["heading"].words() == "heading: neither grows nor fades."


def test_a_split_short_period_and_a_divergence_are_told() -> None:
    tumbling = [[-0.1, 0.0, 0.0, -9.81], [0.0, -1.0, 10.0, 0.0], [0.0, 2.0, -2.0, 0.0], [0.0, 0.0, 1.0, 0.0]]
    names = [mode.name for mode in modes_of(tumbling, "u w q theta")]
    assert any(name.endswith("divergence") for name in names)
    worst = max(modes_of(tumbling, "u w q theta"), key=lambda mode: mode.real)
    assert worst.time_to_double is not None
    assert "doubling in" in worst.words()


def test_roll_and_spiral_may_join_into_one_swing() -> None:
    joined = [[-0.6, 0.0, -8.0, 9.8], [-8.0, -0.5, 0.2, 0.0], [1.2, -0.3, -3.5, 0.0], [0.0, 1.0, 0.0, 0.0]]
    names = {mode.name for mode in modes_of(joined, "v p r phi")}
    assert names <= {"Dutch roll", "coupled roll-spiral", "roll", "spiral"}
    two = np.kron(np.eye(2), [[-0.2, 1.0], [-1.0, -0.2]])
    two[2:, 2:] *= 0.3
    assert [mode.name for mode in modes_of(two, "v r p phi")] == ["Dutch roll", "coupled roll-spiral"]


@pytest.mark.parametrize(
    ("matrix", "states", "said"),
    [
        ([[1.0, 2.0]], "u w", "square"),
        ([[math.nan]], "u", "finite"),
        (TRANSPORT, "u w q", "one name"),
        (TRANSPORT, "u u q theta", "twice"),
    ],
)
def test_mistakes_are_named(matrix: list[list[float]], states: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        modes_of(matrix, states)
    with pytest.raises(KeyError, match="phugoid"):
        modes_of(TRANSPORT, "u w q theta")["spiral"]
