"""The same kernels, compiled and as plain Python, give the same numbers: nothing depends on the compiler."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import numpy as np

from house import kernel_probe
from house.walk import ROOT


def test_kernels_answer_alike_with_the_compiler_switched_off() -> None:
    plain = subprocess.run(
        [sys.executable, "-W", "error", "-m", "house.kernel_probe"],
        cwd=ROOT / "tests", env=os.environ | {"NUMBA_DISABLE_JIT": "1"}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    expected = json.loads(plain.stdout)
    compiled = kernel_probe.answers()
    assert compiled.keys() == expected.keys()
    for name, numbers in compiled.items():
        assert np.isfinite(numbers).all(), name
        np.testing.assert_allclose(numbers, expected[name], rtol=1e-10, atol=1e-13, err_msg=name)
