"""Sticks over time are read from a table with units; every mistake is told with its line."""

from __future__ import annotations

import numpy as np
import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.studies.stick_script import ORDER, sticks_from

TABLE = """# a pull at half a second
time_s;throttle_pct;elevator_pct;note
0;60;0;level
0,5;;
1;80;-50;pull
"""


def test_sticks_come_in_shares_and_missing_ones_stay() -> None:
    found = sticks_from(TABLE, "t.csv").rows
    assert found[:, 0].tolist() == [0.0, 0.5, 1.0]
    by_name = dict(zip(ORDER, found.T, strict=True))
    assert by_name["throttle"] == pytest.approx([0.6, 0.7, 0.8])
    assert by_name["elevator"] == pytest.approx([0.0, -0.25, -0.5])
    assert np.isnan(by_name["rudder"]).all()
    held = sticks_from(TABLE, "t.csv").about({"elevator": 9.0, "rudder": 0.1, "aileron": 0.2, "throttle": 9.0})
    assert held[:, 2].tolist() == [0.1] * 3
    assert held[:, 1] == pytest.approx([0.0, -0.25, -0.5])
    assert (by_name["drive"] == 1.0).all()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("throttle_pct\n50\n", "has no column for the time"),
        ("time_s\n1\n", "has no column for a stick"),
        ("time_s,throttle\n1,50\n", "does not say its unit"),
        ("time_s,throttle_pct\n1,50\n1,60\n", "is not later than the line before"),
        ("time_s,throttle_pct\n,50\n", "tells no time"),
        ("time_s,throttle_pct\n1,150\n", "0 to 100 %"),
        ("time_s,elevatr_pct\n1,0\n", "elevator_pct"),
        ("time_s,throttle_pct\n1,half\n", "is not a number"),
    ],
)
def test_what_cannot_be_flown_is_told(text: str, told: str) -> None:
    with pytest.raises(InputProblems) as trouble:
        sticks_from(text, "t.csv")
    assert told in str(trouble.value)
    assert "t.csv" in str(trouble.value)


def test_a_script_goes_into_the_conditions_as_plain_data() -> None:
    told = sticks_from(TABLE, "t.csv").as_dict()
    assert set(told) == {"time", "elevator", "throttle", "drive"}
    assert np.allclose(told["time"], [0.0, 0.5, 1.0])  # type: ignore[arg-type]
