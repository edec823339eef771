"""The table of Unknowns is sound, small, and every row of it is really used by a kernel."""

from __future__ import annotations

import re

import numpy as np
import pytest

from house.walk import modules
from rotorwright.base.unknown import SHAPES, Unknown, unknowns
from rotorwright.studies.sampling import TABLE_COLUMNS

ROWS = unknowns()
MOST = 72


@pytest.mark.parametrize("row", ROWS, ids=[row.name for row in ROWS])
def test_row_is_sound(row: Unknown) -> None:
    assert re.fullmatch(r"[a-z][a-z0-9_]{4,}", row.name), "a name in words"
    assert row.shape in SHAPES
    assert row.low <= row.median <= row.high
    assert row.low < row.high, "an Unknown without a band is a constant"
    assert row.floor <= row.low
    assert row.high <= row.ceiling
    for words in (row.scales, row.applies, row.source, row.unit):
        assert words.strip()
    assert row.at(0.0) == row.median
    assert row.at(1.2815515655446004) == pytest.approx(row.high, rel=1e-9, abs=1e-12)
    assert row.at(-1.2815515655446004) == pytest.approx(row.low, rel=1e-9, abs=1e-12)


def test_table_is_small_and_fits_the_sampling_table() -> None:
    assert len({row.name for row in ROWS}) == len(ROWS)
    assert len(ROWS) <= min(MOST, TABLE_COLUMNS)


def test_every_unknown_is_read_by_code_and_every_factor_read_exists() -> None:
    text = "\n".join(path.read_text(encoding="utf-8") for path in modules())
    read = set(re.findall(r"\bfactors\.([a-z_0-9]+)", text)) | set(re.findall(r"factors\[\"([a-z_0-9]+)\"\]", text))
    names = {row.name for row in ROWS}
    assert names - read == set(), "in the table, but no kernel reads it"
    assert read - names - set(dir(np.ndarray)) == set(), "read, but not in the table"
