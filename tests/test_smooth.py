"""The kink scan itself: it passes smooth laws and catches kinks and jumps."""

from __future__ import annotations

import math

import pytest

from smooth import has_no_kink


@pytest.mark.parametrize("law", [math.sin, lambda x: x * abs(x), lambda x: max(x, 0.0) ** 1.5, lambda x: 3.0])
def test_smooth_laws_pass(law) -> None:  # type: ignore[no-untyped-def]
    assert has_no_kink(law, -1.0, 1.3)


@pytest.mark.parametrize(
    "law", [abs, lambda x: max(x, 0.0), lambda x: float(x > 0.1), lambda x: math.copysign(abs(x) ** (1 / 3), x)]
)
def test_kinks_and_jumps_are_caught(law) -> None:  # type: ignore[no-untyped-def]
    assert not has_no_kink(law, -1.0, 1.3)
