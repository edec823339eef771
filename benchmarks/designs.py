"""Time the first look at a million designs: the engine against scipy design by design, NumPy in batches and JAX.

``python benchmarks/designs.py`` runs everything on part of a million and says the time of a million from it; ``--all``
flies the whole million and the whole 100,000 envelopes. JAX is a rival for benchmarks only and has an environment of
its own: ``--jax PYTHON`` says which Python has it, ``benchmarks/.venv-jax/bin/python`` if nothing is said.
"""

from __future__ import annotations

import argparse
import os
import pickle
import platform
import subprocess
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

from count_operations import FLOPS_PER_FUNCTION, count_operations
from designs_problem import Looks, first_guess, load_designs, look_with_engine
from frozen_problem import load_problem, solve_with_engine
from numpy_batch import make_batch
from rival_numpy import look_in_batches
from rival_scipy import look_plainly
from timing import line, peak_flops, timed

HERE = Path(__file__).parent
JAX_PYTHON = HERE / ".venv-jax" / "bin" / "python"
INSTALL = "make jax"
EXAMPLES = ("thistledown.toml", "drum-major.toml")
FIELDS = ("rotor.left.diameter", "rotor.left.span", "thruster.nose.motor.speed_constant")
MILLION, ENVELOPES = 1_000_000, 100_000
ENGINE_DESIGNS, NUMPY_DESIGNS, PLAIN_DESIGNS = 65536, 8192, 64
AT_ONCE = 2048
"""Designs of one batch of the NumPy rival."""
SIZE = np.array([1.0, 0.1, 1.0, 1.0, 1.0])
"""Airspeed, incidence, throttle, rotor speed, shaft speed: below this a difference counts as it stands."""


def batches(count: int) -> Any:
    """Look at the first designs in NumPy, some thousand at a time."""
    designs = load_designs(count)
    guess = first_guess(designs)
    parts = [
        type(designs)(
            type(designs.numbers)(*(part[first : first + AT_ONCE] for part in designs.numbers)),
            designs.tables,
            designs.elevators,
            designs.first_airspeed,
        )
        for first in range(0, count, AT_ONCE)
    ]
    return [look_in_batches(part, guess) for part in parts]


def agreement(engine: Looks, unknowns: Any, spare: Any) -> tuple[float, float, int]:
    """Return the largest differences of the unknowns and of the thrust [N], and how many only one can solve."""
    count = len(spare)
    mine, other = engine.solved[:count], np.isfinite(spare)
    both = mine & other
    if not both.any():
        return float("nan"), float("nan"), int((mine != other).sum())
    gap = np.abs(unknowns - engine.unknowns[:count]) / np.maximum(np.abs(engine.unknowns[:count]), SIZE)
    return float(gap[both].max()), float(np.abs(spare - engine.spare[:count])[both].max()), int((mine != other).sum())


def say_agreement(name: str, engine: Looks, unknowns: Any, spare: Any) -> None:
    """Print how well a rival agrees."""
    relative, newtons, alone = agreement(engine, unknowns, spare)
    line(f"  largest difference from {name}: relative", f"{relative:.1e}", "≤ 1e-7", relative <= 1e-7)
    line("  of the thrust to spare; designs only one of the two solves", f"{newtons:.1e} N; {alone}")


def ask_jax(python: Path, count: int) -> dict[str, Any] | None:
    """Return what JAX takes and finds, or None and a line on the screen if it is not there."""
    if not python.exists():
        print(f"  (c) JAX is not installed in {python}. To have it:\n      {INSTALL}")
        return None
    designs = load_designs(count)
    asked = {"batch": make_batch(designs), "guess": first_guess(designs), "elevator": designs.elevators[0]}
    with tempfile.TemporaryDirectory() as folder:
        question, answer = Path(folder) / "asked", Path(folder) / "answer"
        question.write_bytes(pickle.dumps(asked))
        done = subprocess.run(
            [str(python), str(HERE / "rival_jax.py"), str(question), str(answer)],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        if done.returncode or not answer.exists():
            last = (done.stderr.strip().splitlines() or ["no word"])[-1]
            print(f"  (c) JAX could not run in {python}: {last}\n      To install it: {INSTALL}")
            return None
        found: dict[str, Any] = pickle.loads(answer.read_bytes())
        return found


def frozen(python: Path, count: int) -> None:
    """Engine and rivals on the frozen designs."""
    solve_with_engine(load_problem(1))
    designs = load_designs(count)
    wall, cpu, engine = timed(lambda: look_with_engine(designs), 2)
    each = cpu / count
    print(f"\nFrozen designs: level flight and thrust to spare of each, {count:,} designs, from one first guess")
    line("engine, all cores: wall of a million", f"{wall / count * MILLION:.0f} s", "≤ 60 s", wall / count <= 6.0e-5)
    line("  processor of a million; evaluations a design", f"{each * MILLION:.0f} s; {engine.evaluations / count:.1f}")
    line("  designs that have a level flight", f"{engine.solved.mean():.1%}")
    guess = first_guess(designs)
    part = load_designs(PLAIN_DESIGNS)
    _, plain_cpu, plain = timed(lambda: look_plainly(part, range(PLAIN_DESIGNS), guess), 2)
    plain_each = plain_cpu / PLAIN_DESIGNS
    line("(a) scipy design by design: processor of a million", f"{plain_each * MILLION:,.0f} s")
    line("  evaluations a design", f"{plain[2] / PLAIN_DESIGNS:.1f}")
    say_agreement("(a)", engine, plain[0], plain[1])
    some = min(NUMPY_DESIGNS, count)
    _, numpy_cpu, answers = timed(lambda: batches(some), 2)
    numpy_each = numpy_cpu / some
    line("(b) NumPy in batches: processor of a million", f"{numpy_each * MILLION:,.0f} s")
    line("  evaluations a design", f"{sum(one[2] for one in answers) / some:.1f}")
    say_agreement(
        "(b)", engine, np.concatenate([one[0] for one in answers]), np.concatenate([one[1] for one in answers])
    )
    jax = ask_jax(python, some)
    if jax is not None and not np.isfinite(jax["spare"]).mean() > 0.9:
        print("  (c) JAX ran but found too few level flights: its times say nothing, none are given")
        jax = None
    if jax is not None:
        jax_each = jax["cpu"] / some
        line(f"(c) JAX {jax['version']}, vmap and jit: processor of a million", f"{jax_each * MILLION:,.0f} s")
        line("  wall of a million; to compile", f"{jax['wall'] / some * MILLION:,.0f} s; {jax['compile']:.0f} s")
        tried = ", ".join(f"{size}: {one / some * 1e6:.0f} us" for size, one, _ in jax["tried"])
        line("  designs of a call and processor of a design", tried)
        say_agreement("(c)", engine, jax["unknowns"], jax["spare"])
    line("(a) over engine, processor", f"{plain_each / each:.0f}", "≥ 50", plain_each / each >= 50.0)
    line("(b) over engine, processor", f"{numpy_each / each:.1f}", "≥ 2.5", numpy_each / each >= 2.5)
    if jax is not None:
        line("(c) over engine, processor", f"{jax_each / each:.1f}", "≥ 2.5", jax_each / each >= 2.5)
        line("(c) over engine, wall", f"{jax['wall'] / some / (wall / count):.1f}")
    one = load_problem(1)
    basic, functions = count_operations(one, solve_with_engine(one).unknowns[0, 0, 0])
    flops = basic + FLOPS_PER_FUNCTION * functions
    peak = peak_flops()
    line("peak of a core (numpy matrix product)", f"{peak / 1e9:.1f} G operations/s")
    for name, evaluations, seconds in (
        ("engine", engine.evaluations / count, each),
        ("(a)", plain[2] / PLAIN_DESIGNS, plain_each),
        ("(b)", sum(one[2] for one in answers) / some, numpy_each),
    ):
        line(f"share of the measured peak: {name}", f"{evaluations * flops / seconds / peak:.2%}")


def product(count: int, envelopes: int) -> None:
    """The same by the product: designs of an example file, from shares of its fields to answers."""
    import rotorwright
    from rotorwright.studies.explore import scattered
    from rotorwright.studies.explore_designs import FULL, QUICK, Chunk, answer, question_of
    from rotorwright.studies.explore_study import AT_ONCE as SIZES

    for example in EXAMPLES:
        aeroplane = rotorwright.load(HERE.parent / "examples" / example)
        now = np.array([float(aeroplane.value(field)) for field in FIELDS])
        print(f"\nExplore, {example}: {', '.join(FIELDS)} within ±10 %")
        for look, some, whole, target in ((QUICK, count, MILLION, 60.0), (FULL, envelopes, ENVELOPES, None)):
            values = (now * (0.9 + 0.2 * scattered(some, len(FIELDS)))).T
            names = ("level_speed", "thrust_to_spare")
            question = question_of(aeroplane, FIELDS, names, look=look)
            size = SIZES[look]
            chunks = [
                Chunk(first, tuple(tuple(column[first : first + size]) for column in values.tolist()))
                for first in range(0, some, size)
            ]
            answer(question, chunks[0])
            wall, cpu, _ = timed(lambda q=question, c=chunks: [answer(q, one) for one in c], 1)
            scale = whole / some
            what = "a first look" if look == QUICK else "the full envelope"
            goal = ("", None) if target is None else (f"≤ {target:.0f} s", wall * scale <= target)
            line(f"{what} at {whole:,} designs, from {some:,}: wall", f"{wall * scale:,.0f} s", *goal)
            line("  processor", f"{cpu * scale:,.0f} s")


def main() -> None:
    """Run everything."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--jax", type=Path, default=JAX_PYTHON, help="the Python that has JAX")
    parser.add_argument("--all", action="store_true", help="fly every one of the designs")
    parser.add_argument("--frozen", action="store_true", help="only the frozen designs")
    parser.add_argument("--product", action="store_true", help="only the example files")
    chosen = parser.parse_args()
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, load {load:.1f} before")
    if not chosen.product:
        frozen(chosen.jax, MILLION if chosen.all else ENGINE_DESIGNS)
    if not chosen.frozen:
        product(MILLION if chosen.all else 16384, ENVELOPES if chosen.all else 512)


if __name__ == "__main__":
    main()
