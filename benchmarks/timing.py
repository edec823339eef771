"""How the benchmarks time, print a row and measure the peak of a core."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np


def timed(work: Callable[[], Any], repeats: int) -> tuple[float, float, Any]:
    """Return the least wall and processor time of some repeats, and the last result."""
    walls, cpus, result = [], [], None
    for _ in range(repeats):
        wall, cpu = time.perf_counter(), time.process_time()
        result = work()
        walls.append(time.perf_counter() - wall)
        cpus.append(time.process_time() - cpu)
    return min(walls), min(cpus), result


def line(what: str, figure: str, target: str = "", met: bool | None = None) -> None:
    """Print one row; a missed target is said in capitals."""
    verdict = "" if met is None else "met" if met else "MISSED"
    print(f"  {what:<58} {figure:>26}  {target:<14} {verdict}".rstrip())


def peak_flops() -> float:
    """Return the measured peak of a core: operations a second of processor time in numpy's matrix product."""
    size = 768
    rng = np.random.default_rng(1)
    a, b = rng.random((size, size)), rng.random((size, size))
    _, cpu, _ = timed(lambda: [a @ b for _ in range(4)], 5)
    return 4 * 2.0 * size**3 / cpu
