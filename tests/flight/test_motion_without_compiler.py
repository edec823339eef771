"""The equation of motion as plain Python gives the same numbers: nothing depends on the compiler."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np

from flight import motion_probe

TESTS = Path(__file__).resolve().parents[1]


def test_the_equation_of_motion_answers_alike_with_the_compiler_switched_off() -> None:
    plain = subprocess.run(
        [sys.executable, "-W", "error", "-m", "flight.motion_probe"],
        cwd=TESTS, env=os.environ | {"NUMBA_DISABLE_JIT": "1"}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    expected = np.array(json.loads(plain.stdout))
    compiled = np.array(motion_probe.answers())
    assert np.isfinite(compiled).all()
    assert (compiled != 0.0).sum() > 40
    np.testing.assert_allclose(compiled, expected, rtol=1e-9, atol=1e-11)
