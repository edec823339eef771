"""Balancing runs as a maker notes them: read as meant, refused in words."""

from __future__ import annotations

import math

import pytest

from rotorwright import InputProblems, balance_planes
from rotorwright.studies.balancing_runs import read_run, read_runs

TABLE = """plane;trial_g;trial_deg;left;left_deg;right;right_deg
;;;170;112;53;78
1;11,5;0;235;94;58;68
2;11,5;0;185;115;77;104
"""


def test_typed_words_and_a_table_tell_the_same_rotor() -> None:
    typed = [
        read_run(text, 0.1) for text in ("170@112 53@78", "1: 11.5@0 = 235@94 58@68", "2: 11.5 g @ 0 = 185@115 77@104")
    ]
    table = read_runs(TABLE, 0.1)
    assert list(table) == typed
    answer = balance_planes(runs=[run.as_run() for run in table])
    assert answer.amounts == pytest.approx((1.979e-3, 1.071e-3), rel=1e-3)  # a published example, in g mm / 1000


def test_amplitudes_alone_and_a_radius_of_their_own() -> None:
    run = read_run("2: 0,5@120° = 3.1", 0.08)
    assert (run.plane, run.has_phase) == (1, False)
    assert run.trial == pytest.approx(0.5e-3 * 0.08)
    assert run.angle == pytest.approx(math.radians(120.0))
    rows = read_runs("plane,trial_g,trial_deg,radius_mm,a\n,,,,4\n1,1,0,80,5\n", None)
    assert rows[1].trial == pytest.approx(80e-6)


@pytest.mark.parametrize("text", ["", "1: 2@3 =", "fast", "1: = 3@4", "0: 1@0 = 2@3", "1@2@3"])
def test_words_that_cannot_be_read_are_refused(text: str) -> None:
    with pytest.raises(InputProblems):
        read_run(text, 0.1)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("plane;trial_g\n1;2\n1;2\n", "do not fit"),
        ("plane;trial_g;trial_deg;left_deg\n;;;1\n1;1;1;1\n", "do not fit"),
        ("plane;trial_g;trial_deg;a\n;;;x\n1;1;0;2\n", "cannot be read"),
        ("plane;trial_g;trial_deg;a\n;;;1\n1;1;0;2\n", "radius"),
        ("plane;a\n", "no runs"),
    ],
)
def test_tables_that_cannot_be_used_are_refused(text: str, words: str) -> None:
    with pytest.raises(InputProblems, match=words):
        read_runs(text, None)
