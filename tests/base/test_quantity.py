"""A reported number keeps its band, its share and its reason."""

from __future__ import annotations

import json

import numpy as np
import pytest

from rotorwright.base.quantity import SUPPORT_WORDS, exact, from_samples


def test_band_is_the_middle_four_fifths() -> None:
    quantity = from_samples(np.arange(101.0), 47.0, "N", support="between data", sources=("us76",))
    assert (quantity.low, quantity.value, quantity.high, quantity.nominal) == (10.0, 50.0, 90.0, 47.0)
    assert quantity.share == 1.0
    assert quantity.support in SUPPORT_WORDS


def test_missing_samples_count_in_the_share() -> None:
    half = from_samples([1.0, 2.0, np.nan, 3.0], 2.0, "N")
    assert half.share == 0.75
    assert half.value == 2.0
    rare = from_samples([np.nan, np.nan, np.nan, 3.0], None, "m/s", reason="too heavy")
    assert (rare.value, rare.low, rare.high, rare.share, rare.reason) == (None, None, None, 0.25, "too heavy")
    nothing = from_samples([], float("nan"), "m/s")
    assert (nothing.value, nothing.nominal, nothing.share) == (None, None, 0.0)
    assert nothing.reason


def test_json_never_holds_a_nan() -> None:
    text = json.dumps(from_samples([np.nan], np.nan, "m/s").as_dict(), allow_nan=False)
    assert json.loads(text)["value"] is None
    plain = exact(2.5, "kg").as_dict()
    assert plain["low"] == plain["high"] == plain["nominal"] == 2.5
    assert "reason" not in plain


def test_a_quantity_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        exact(1.0, "kg").value = 2.0  # type: ignore[misc]
