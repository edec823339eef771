"""Time the engine against the plain ways and against its own targets: one run, figures and ratios printed.

``python benchmarks/run.py`` runs all; ``--no-compile`` leaves out the cold compile, which takes a minute or two.
Processor time is the time of all threads of the process; wall time is what a maker waits. Nothing is set or unset.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import numpy as np

import first_flights
import lifting_line
from count_operations import FLOPS_PER_FUNCTION, count_operations
from frozen_problem import SAMPLES, Problem, load_problem, solve_with_engine
from rival_numpy import solve_in_batches
from rival_scipy import solve_plainly
from timing import line, peak_flops, timed

ROOT = Path(__file__).parents[1]
EXAMPLES = (ROOT / "examples" / "thistledown.toml", ROOT / "examples" / "drum-major.toml")
"""A free-rotor aeroplane and a driven one: the first is used where one is enough."""
PLAIN_SAMPLES = 4
COLD = """
import time, sys
wall, cpu = time.perf_counter(), time.process_time()
import rotorwright
from rotorwright.studies.evaluate import fly
fly(rotorwright.load(sys.argv[1]), samples=0)
print(time.perf_counter() - wall, time.process_time() - cpu)
"""


def part_of(problem: Problem, first: int) -> Problem:
    """Return every second sample of the problem, from ``first`` on: work for one of two threads."""
    numbers = type(problem.numbers)(*(np.ascontiguousarray(part[first::2]) for part in problem.numbers))
    return replace(problem, numbers=numbers)


def frozen() -> None:
    """Engine and rivals on the frozen problem: envelope of one sample and bands of 512."""
    problem = load_problem()
    solve_with_engine(load_problem(2))
    solves = SAMPLES * 2 * len(problem.elevators)
    wall, cpu, engine = timed(lambda: solve_with_engine(problem), 5)
    batched = {}
    for carry in (False, True):
        batched[carry] = timed(lambda carry=carry: solve_in_batches(problem, carry=carry), 2)
    numpy_wall, numpy_cpu, numpy_answer = min(batched.values(), key=lambda one: one[1])
    plain_wall, plain_cpu, plain = timed(lambda: solve_plainly(problem, range(PLAIN_SAMPLES)), 2)
    scale = SAMPLES / PLAIN_SAMPLES
    print(f"\nFrozen problem: {2 * len(problem.elevators)} conditions × {SAMPLES} samples = {solves} steady solutions")
    line("engine, one thread: wall, processor", f"{wall:.3f} s, {cpu:.3f} s")
    line("  a solve; evaluations a solve", f"{cpu / solves * 1e6:.1f} us; {engine.evaluations / solves:.1f}")
    line(
        "(a) scipy root per point, extrapolated: wall, processor",
        f"{plain_wall * scale:.1f} s, {plain_cpu * scale:.1f} s",
    )
    plain_solves = PLAIN_SAMPLES * 2 * len(problem.elevators)
    line("  evaluations a solve (measured on a few samples)", f"{plain.evaluations / plain_solves:.1f}")
    line("(b) NumPy in batches: wall, processor", f"{numpy_wall:.3f} s, {numpy_cpu:.3f} s")
    line("  evaluations a solve", f"{numpy_answer.evaluations / solves:.1f}")
    ratio_a, ratio_b = plain_cpu * scale / cpu, numpy_cpu / cpu
    halves = [part_of(problem, first) for first in (0, 1)]
    with ThreadPoolExecutor(2) as pool:
        both, _, _ = timed(lambda: list(pool.map(solve_with_engine, halves)), 5)
    line("engine, two threads: wall", f"{both:.3f} s")
    line("bands: (a) over engine on two threads, wall", f"{plain_wall * scale / both:.0f}")
    line("bands: (a) over engine, processor time", f"{ratio_a:.0f}", "≥ 100", ratio_a >= 100.0)
    line("bands: (b) over engine, processor time", f"{ratio_b:.1f}", "≥ 2.5", ratio_b >= 2.5)
    size = np.array([1.0, 0.1, 1.0, 1.0, 1.0])
    for name, other, rows in (("a", plain, PLAIN_SAMPLES), ("b", numpy_answer, SAMPLES)):
        gap = np.abs(engine.unknowns[:, :, :rows] - other.unknowns) / np.maximum(np.abs(other.unknowns), size)
        line(f"largest difference from ({name}), relative", f"{gap.max():.1e}", "≤ 1e-8", bool(gap.max() <= 1e-8))
    one = load_problem(1)
    _, cpu_1, _ = timed(lambda: solve_with_engine(one), 20)
    _, numpy_1, _ = timed(lambda: solve_in_batches(one, carry=False), 2)
    line("envelope of one aeroplane: engine, processor", f"{cpu_1 * 1e3:.2f} ms")
    line("  (a) over engine, (b) over engine", f"{plain_cpu / PLAIN_SAMPLES / cpu_1:.0f}, {numpy_1 / cpu_1:.0f}")

    basic, functions = count_operations(one, engine.unknowns[0, 0, 0])
    flops = basic + FLOPS_PER_FUNCTION * functions
    rate = engine.evaluations / cpu
    peak = peak_flops()
    print("\nKernel throughput")
    line(
        "operations an evaluation: basic + elementary functions",
        f"{basic} + {functions} × {FLOPS_PER_FUNCTION} = {flops}",
    )
    line("evaluations a second and core, all of a solve included", f"{rate:,.0f}")
    line("useful floating-point operations a second", f"{rate * flops / 1e9:.2f} G")
    line("peak of a core (numpy matrix product, processor time)", f"{peak / 1e9:.1f} G")
    line("share of the measured peak", f"{rate * flops / peak:.2%}")


def product(example: Path) -> None:
    """Bands of a whole envelope on an example aeroplane."""
    import rotorwright
    from rotorwright.flight.batch import fly_batch
    from rotorwright.studies.evaluate import fly

    aeroplane = rotorwright.load(example)
    fly(aeroplane, samples=0)
    climb, bank = aeroplane.reserve.climb, aeroplane.reserve.bank
    print(f"\nBands of a full envelope, {example.name}, all cores")
    for samples, target in ((128, 0.5), (512, 1.5)):
        flown = fly(aeroplane, samples=samples)
        wall, cpu, envelope = timed(lambda flown=flown: fly_batch(flown.numbers, flown.nodes, climb, bank), 3)
        line(f"{samples} samples: wall", f"{wall:.2f} s", f"≤ {target} s", wall <= target)
        line("  processor", f"{cpu:.2f} s")
        solves = envelope.figures["solves"]
        most = float(np.nanmax(solves))
        line("  solves a sample: mean, most", f"{np.nanmean(solves):.1f}, {most:.0f}", "≤ 60", most <= 60.0)
        line("  evaluations a recorded solve", f"{np.nanmean(envelope.steady['evaluations']):.1f}")


def shell() -> None:
    """What a maker waits for at the command line, with kernels compiled before."""
    command = [str(Path(sys.executable).with_name("rotorwright"))]
    rotor = ["rotor", "--diameter", "120 mm", "--span", "620 mm", "--airspeed", "10 m/s", "--spin-ratio", "2", "--json"]
    print("\nCommand line, warm: wall")
    for name, arguments, target in (
        ("balance", ["balance", str(EXAMPLES[0])], 3.0),
        ("balance --nominal", ["balance", str(EXAMPLES[0]), "--nominal"], 1.0),
        ("rotor --json", rotor, None),
        ("--help", ["--help"], 0.5),
    ):

        def call(arguments: list[str] = arguments) -> int:
            done = subprocess.run([*command, *arguments], capture_output=True, text=True, check=False)
            if "--json" in arguments and done.returncode == 0:
                json.loads(done.stdout)
            return done.returncode

        code = call()
        wall, _, code = timed(call, 3)
        line(name, f"{wall:.2f} s (exit {code})", f"≤ {target} s" if target else "", wall <= target if target else None)


def cold_compile() -> None:
    """Compile everything a balance needs into an empty cache."""
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [sys.executable, "-c", COLD, str(EXAMPLES[0])],
            env={**os.environ, "NUMBA_CACHE_DIR": folder}, capture_output=True, text=True, check=True,
        )  # fmt: skip
    wall, cpu = (float(number) for number in done.stdout.split())
    print("\nCold compile of all that a balance needs")
    line("wall", f"{wall:.0f} s", "≤ 90 s", wall <= 90.0)
    line("processor", f"{cpu:.0f} s")


def main() -> None:
    """Run everything."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--no-compile", action="store_true", help="leave out the cold compile")
    chosen = parser.parse_args()
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, load {load:.1f} before")
    frozen()
    lifting_line.compare(line)
    first_flights.compare(line)
    for example in EXAMPLES:
        product(example)
    shell()
    if not chosen.no_compile:
        cold_compile()


if __name__ == "__main__":
    main()
