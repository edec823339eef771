"""The thrust's upward share is what the whole holds beyond the air's own lift (closed form)."""

from types import SimpleNamespace
from typing import Any

import pytest

from rotorwright.sheets.forces import pull_upwards_at


def found(curves: Any) -> Any:
    return SimpleNamespace(curves=curves, quantities={"weight": SimpleNamespace(nominal=3.0)})


def test_air_and_thrust_together_hold_the_weight_at_level_speed() -> None:
    whole = SimpleNamespace(name="lift_minus_weight", nominal=(-1.0, 1.0))
    air = SimpleNamespace(name="lift", nominal=(1.5, 3.5))
    answer = found(SimpleNamespace(airspeed=(4.0, 6.0), curves=(whole, air)))
    assert pull_upwards_at(answer, 5.0) == pytest.approx(3.0 - 2.5)
    assert pull_upwards_at(answer, 4.0) == pytest.approx(0.5)


def test_without_curves_there_is_no_figure() -> None:
    assert pull_upwards_at(found(None), 5.0) != pull_upwards_at(found(None), 5.0)
