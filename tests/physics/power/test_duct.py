"""What a duct costs a fan."""

from __future__ import annotations

import pytest

from rotorwright.base.errors import InputError
from rotorwright.physics.power.duct import duct_loss, installation_share
from rotorwright.studies.bench_duct import duct_alone


def test_no_loss_and_a_full_lip_leave_everything() -> None:
    assert installation_share(0.0, 0.9, 0.08) == 1.0
    assert installation_share(0.0, 0.9, 0.3) == 1.0


def test_constant_power_through_a_loss() -> None:
    """Closed form: K = 1 at σ = 1 halves v³, so thrust is 2^(−2/3)."""
    assert installation_share(1.0, 1.0, 0.1) == pytest.approx(2.0 ** (-2.0 / 3.0))


def test_half_a_throat_costs_a_whole_dynamic_pressure() -> None:
    """Borda–Carnot: (A/A_throat − 1)² = 1 (closed form)."""
    assert duct_loss(0.0, 0.0, 0.5) - duct_loss(0.0, 0.0, 1.0) == pytest.approx(1.0)


def test_everything_that_is_worse_leaves_less() -> None:
    best = duct_alone()
    for worse in ({"lip_ratio": 0.0}, {"obstructions": 2}, {"length_ratio": 10.0}, {"inlet_ratio": 0.7}):
        found = duct_alone(**worse)
        assert found.nominal < best.nominal
        assert found.low < found.nominal < found.high


def test_what_is_no_duct_is_refused() -> None:
    with pytest.raises(InputError, match="inlet_ratio"):
        duct_alone(inlet_ratio=0.0)
