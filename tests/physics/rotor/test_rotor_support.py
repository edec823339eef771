"""The support words follow the ranges the sources tested."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from rotorwright.base.records import BUCKET, DRUM, PLATE, ROTOR, VANED
from rotorwright.physics.rotor.support import BETWEEN, BEYOND, INSIDE, rotor_support, vaned_force_support


def rotor(**fields: float) -> Any:
    row = np.zeros(1, dtype=ROTOR)[0]
    for name, value in (
        {"diameter": 1.0, "disc_diameter": 1.0, "discs_turn": 1, "stages": 1, "buckets": 2} | fields
    ).items():
        row[name] = value
    return row


@pytest.mark.parametrize(
    ("fields", "spin", "reynolds", "word"),
    [
        ({"kind": DRUM, "span": 5.1}, 3.0, 5e4, INSIDE),
        ({"kind": DRUM, "span": 5.1}, 9.0, 5e4, BEYOND),
        ({"kind": DRUM, "span": 8.0}, 3.0, 5e4, BETWEEN),
        ({"kind": DRUM, "span": 1.5}, 3.0, 5e4, BEYOND),
        ({"kind": DRUM, "span": 5.0, "end_discs": 2, "disc_diameter": 2.0}, 3.0, 5e4, INSIDE),
        ({"kind": DRUM, "span": 5.0, "inner_end": 2}, 0.5, 2e5, INSIDE),
        ({"kind": VANED, "section": BUCKET, "span": 1.0}, 0.9, 4.2e5, INSIDE),
        ({"kind": VANED, "section": BUCKET, "span": 4.0}, 0.9, 1.2e5, BETWEEN),
        ({"kind": VANED, "section": BUCKET, "span": 4.0}, 0.9, 4e4, BEYOND),
        ({"kind": VANED, "section": BUCKET, "span": 1.0, "stages": 2}, 0.9, 4.2e5, BETWEEN),
        ({"kind": VANED, "section": PLATE, "span": 2.0}, 0.4, 6e4, INSIDE),
        ({"kind": VANED, "section": PLATE, "span": 6.0}, 0.6, 6e4, BETWEEN),
    ],
)
def test_words(fields: dict[str, float], spin: float, reynolds: float, word: float) -> None:
    assert rotor_support(rotor(**fields), spin, reynolds) == word


def test_lift_and_drag_of_bucket_rotors_have_no_data() -> None:
    assert vaned_force_support(rotor(kind=VANED, section=BUCKET, span=4.0), 1.0, 1e5) == BEYOND
    assert vaned_force_support(rotor(kind=VANED, section=PLATE, span=4.0), 1.0, 1e5) == BETWEEN
