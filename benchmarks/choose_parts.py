"""How fast is the search through parts? The compiled search on all cores against the same search as a plain loop.

The plain loop is the same code without the compiler (the kernels' own Python), run on a part of the combinations and
scaled. Run ``python benchmarks/choose_parts.py``; it prints both times, their ratio, and that both agree.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

EXAMPLE = Path(__file__).resolve().parents[1] / "examples" / "marsh-tumbler.toml"
ROOM = 0.5


def prepared(motors: slice, propulsors: slice) -> Any:
    """The search of the example, with some of the classes."""
    from rotorwright import load
    from rotorwright.studies.choose_parts import PartSearch
    from rotorwright.studies.evaluate import fly
    from rotorwright.studies.part_classes import PartClasses, part_classes

    classes = part_classes()
    some = PartClasses(classes.motors[motors], classes.propulsors[propulsors], classes.cells)
    return PartSearch(fly(load(EXAMPLE), samples=0), some, largest=ROOM)


def plain_loop() -> None:
    """Time the plain loop on a part of the combinations (started without the compiler) and print it as JSON."""
    given = json.loads(sys.stdin.read())
    from rotorwright.base.records import BATTERY, THRUSTER
    from rotorwright.base.unknown import nominal_factors
    from rotorwright.physics.power.tables import power_tables
    from rotorwright.studies import choose_parts_search as search
    from rotorwright.studies.part_classes import MOTOR_CLASS, PROPULSOR_CLASS

    def rows(name: str, dtype: np.dtype[Any]) -> Any:
        return np.array([tuple(row) for row in given[name]], dtype=dtype).view(np.recarray)

    motors, discs, packs = rows("motors", MOTOR_CLASS), rows("discs", PROPULSOR_CLASS), rows("packs", BATTERY)
    scratch = rows("row", THRUSTER)
    found = np.zeros((len(motors), len(discs), len(packs), search.COLUMNS))
    start = time.perf_counter()
    search.search(
        motors, discs, packs, np.array(given["currents"]), np.array(given["controllers"]), scratch, power_tables(),
        np.array(given["numbers"]), nominal_factors(1).view(np.recarray)[0], found, 0, len(motors),
    )  # fmt: skip
    print(json.dumps({"seconds": time.perf_counter() - start, "found": found.tolist()}))


def main() -> None:
    """Print both times and their ratio."""
    whole = prepared(slice(None), slice(None))
    whole.run()
    times = []
    for _ in range(5):
        start = time.perf_counter()
        found = whole.run()
        times.append(time.perf_counter() - start)
    combinations = found[..., 0].size
    best = min(times)
    part = prepared(slice(40, 124, 28), slice(None, None, 6))
    ours = part.run()
    told = {
        "motors": [list(row) for row in part.classes.motors.tolist()],
        "discs": [list(row) for row in part.classes.propulsors.tolist()],
        "packs": [list(row) for row in part.packs.tolist()],
        "row": [list(row) for row in part.row.tolist()],
        "currents": part.currents.tolist(),
        "controllers": part.controllers.tolist(),
        "numbers": part.numbers.tolist(),
    }
    answer = subprocess.run(
        [sys.executable, __file__, "--plain"],
        input=json.dumps(told), capture_output=True, text=True, check=True,
        env={**os.environ, "NUMBA_DISABLE_JIT": "1"},
    )  # fmt: skip
    plain = json.loads(answer.stdout)
    theirs = np.array(plain["found"])
    agree = np.allclose(ours, theirs, rtol=1e-6, atol=1e-9)
    each, plain_each = best / combinations, plain["seconds"] / theirs[..., 0].size
    print(f"cores: {os.cpu_count()}, load: {os.getloadavg()[0]:.1f}")
    print(f"compiled, all cores: {combinations} combinations in {best:.2f} s, {1e6 * each:.1f} µs each")
    print(f"plain loop: {theirs[..., 0].size} combinations in {plain['seconds']:.1f} s, {1e6 * plain_each:.0f} µs each")
    print(f"the plain loop would take {plain_each * combinations:.0f} s: ratio {plain_each / each:.0f}")
    print(f"both agree: {agree}")
    if not agree:
        sys.exit(1)


if __name__ == "__main__":
    chosen = argparse.ArgumentParser()
    chosen.add_argument("--plain", action="store_true", help=argparse.SUPPRESS)
    if chosen.parse_args().plain:
        plain_loop()
    else:
        main()
