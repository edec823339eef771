"""JAX over designs: the NumPy rival's equations traced with ``jax.numpy`` in numpy's place, ``vmap`` over one Newton.

Runs in an environment of its own (``constraints-bench.txt``), told what to do by a file that `designs` writes:
``python rival_jax.py ASKED ANSWER``. Nothing of the product is imported. Several sizes of batch are tried, the fastest
counts. Slopes are differences: exact ones (``jacfwd``) took the compiler more than two minutes when tried.
"""

from __future__ import annotations

import pickle
import sys
import time
from typing import Any

import jax  # type: ignore[import-not-found,unused-ignore]
import jax.numpy as jnp  # type: ignore[import-not-found,unused-ignore]
import numpy as np

jax.config.update("jax_enable_x64", True)

import numpy_equations  # noqa: E402


class _NumPyOfJax:
    """``jax.numpy``, with the search in a short table done the way that is fast on vectors."""

    def __getattr__(self, name: str) -> Any:
        return getattr(jnp, name)

    @staticmethod
    def searchsorted(table: Any, x: Any, side: str = "left") -> Any:
        return jnp.searchsorted(table, x, side=side, method="compare_all")


numpy_equations.np = _NumPyOfJax()  # type: ignore[assignment]
numpy_equations.some = lambda mask: True  # what only some rows need cannot be left out of compiled code

MOST = 60
WAYS = (256, 2048, 16384)
"""Designs of one call."""


def newton(residual: Any, start: Any, rated: Any) -> tuple[Any, Any]:
    """Return the root of one design and the size of what is left; written for one, to be mapped over many.

    The residual and its slopes come from one mapped call (the point and a small step in every unknown), so that the
    compiled loop holds the equations once; a step that does not help is shortened.
    """
    n = len(rated)
    small = 1.0e-6 * rated

    def advance(state: Any) -> Any:
        x, size, step, share, turn = state
        trial = x + share * step
        trial = trial.at[0].set(jnp.maximum(trial[0], 0.5))
        around = jax.vmap(residual)(trial + jnp.concatenate([jnp.zeros((1, n)), jnp.diag(small)]))
        now = around[0]
        slopes = ((around[1:] - now) / small[:, None]).T
        after = jnp.sqrt(jnp.sum(now * now))
        better = after < size
        fresh = jnp.linalg.solve(slopes + 1.0e-13 * jnp.eye(n), -now)
        fresh = fresh / jnp.maximum(1.0, jnp.abs(fresh / (0.5 * rated)).max())
        x, size, step = jnp.where(better, trial, x), jnp.where(better, after, size), jnp.where(better, fresh, step)
        return x, size, step, jnp.where(better, 1.0, 0.35 * share), turn + 1

    def unfinished(state: Any) -> Any:
        _, size, _, share, turn = state
        return (size > 1.0e-10) & (turn < MOST) & (share > 1.0e-3)

    first = (start, jnp.array(jnp.inf), jnp.zeros(n), jnp.array(1.0), jnp.array(0))
    x, size, _, _, _ = jax.lax.while_loop(unfinished, advance, first)
    return x, size


def looker(asked: dict[str, Any]) -> Any:
    """Return the compiled look at many designs: (columns that differ) → (unknowns, thrust to spare)."""
    batch, guess, elevator = asked["batch"], jnp.array(asked["guess"]), asked["elevator"]
    rated = jnp.array([10.0, 0.4, 1.0, 100.0, 1000.0])
    geometry = dict(vars(batch.geometry))
    for value in geometry.values():
        if isinstance(value, numpy_equations.Curve):
            vars(value).update({name: jnp.asarray(column) for name, column in vars(value).items()})

    def one(columns: dict[str, Any]) -> Any:
        here = {name: dict(value) if isinstance(value, dict) else value for name, value in geometry.items()}
        own = {}
        for place, value in columns.items():
            first, _, second = place.partition(".")
            if first == "own":
                own[second] = value
            elif second:
                here[first][second] = value
            else:
                here[first] = value
        machine = numpy_equations.Batch(numpy_equations.Geometry(**here), own)

        def level(x: Any) -> Any:
            return machine.imbalance(x[0], x[1], 0.0, x[2], elevator, x[3], x[4])

        x, left = newton(level, guess, rated)

        def settled(inner: Any) -> Any:
            return machine.imbalance(x[0], x[1], 0.0, 1.0, elevator, inner[0], inner[1])[3:]

        inner, rest = newton(settled, x[3:], rated[3:])
        gain = machine.thrust(x[0], x[1], inner[1]) - machine.thrust(x[0], x[1], x[4])
        return x, jnp.where((left < 1.0e-7) & (rest < 1.0e-7), gain, jnp.nan)

    return jax.jit(jax.vmap(one))


def columns_of(batch: Any) -> dict[str, Any]:
    """Return all that differs from design to design, one column each."""
    columns = {f"own.{name}": np.asarray(column) for name, column in batch.own.items()}
    for name, value in vars(batch.geometry).items():
        if isinstance(value, np.ndarray) and value.ndim:
            columns[name] = value
        elif isinstance(value, dict):
            columns |= {f"{name}.{key}": each for key, each in value.items() if isinstance(each, np.ndarray)}
    return columns


def timed(asked: dict[str, Any], size: int) -> dict[str, Any]:
    """Return how long one way takes for all designs, and what it finds."""
    columns = columns_of(asked["batch"])
    count = len(columns["own.rho"])
    parts = [{name: each[first : first + size] for name, each in columns.items()} for first in range(0, count, size)]
    look = looker(asked)

    def run(parts: list[Any]) -> list[Any]:
        return [jax.block_until_ready(look(part)) for part in parts]

    began = time.perf_counter()
    run(parts[:1])
    best: dict[str, Any] = {"size": size, "compile": time.perf_counter() - began}
    for _ in range(3):
        wall, cpu = time.perf_counter(), time.process_time()
        found = run(parts)
        wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
        if cpu < best.get("cpu", np.inf):
            best |= {"wall": wall, "cpu": cpu}
    best["unknowns"] = np.concatenate([np.asarray(each[0]) for each in found])
    best["spare"] = np.concatenate([np.asarray(each[1]) for each in found])
    return best


def main(asked_file: str, answer_file: str) -> None:
    """Try every way and write down the fastest."""
    with open(asked_file, "rb") as stored:
        asked = pickle.load(stored)
    answers = [timed(asked, size) for size in WAYS]
    best = min(answers, key=lambda one: one["cpu"])
    best["tried"] = [(one["size"], one["cpu"], one["wall"]) for one in answers]
    best["version"] = jax.__version__
    with open(answer_file, "wb") as stored:
        pickle.dump(best, stored)


if __name__ == "__main__":
    main(*sys.argv[1:3])
