"""Time level flight of a four-rotor aeroplane by strips against a plain NumPy solve, and print the ratio."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from lifting_line_problem import four_rotors
from lifting_line_rival import Rival
from rotorwright.flight.numbers import physics_tables
from rotorwright.flight.span_wise import set_up
from rotorwright.flight.span_wise_trim import Trim, airframe, trim_span_wise

TARGET = 5.0  # ms


def engine_from_numbers() -> Trim:
    """Return level flight from the aeroplane's numbers: strips laid out, influences, trim."""
    case, motion = four_rotors_once()
    return trim_span_wise(set_up(case, physics_tables(), motion), motion)


_ONCE: list[Any] = []


def four_rotors_once() -> Any:
    """Return the problem, made once: filling part rows belongs to neither."""
    if not _ONCE:
        _ONCE.append(four_rotors())
    return _ONCE[0]


def rival_from_layout(layout: Any) -> tuple[Any, int]:
    """Return level flight by plain NumPy, strips laid out already."""
    case, motion = four_rotors_once()
    speed = math.sqrt(sum(part * part for part in motion.velocity))
    problem = set_up_once()
    rival = Rival(case, layout, problem.stream)
    return rival.trim(speed, motion.rotor_speeds[0], sum(motion.thrusts), airframe(problem, speed))


_PROBLEM: list[Any] = []


def set_up_once() -> Any:
    """Return the laid-out problem, made once."""
    if not _PROBLEM:
        case, motion = four_rotors_once()
        _PROBLEM.append(set_up(case, physics_tables(), motion))
    return _PROBLEM[0]


def least(work: Callable[[], Any], repeats: int) -> tuple[float, float, Any]:
    """Return the least wall and processor time of some repeats [ms], and the last result."""
    walls, cpus, result = [], [], None
    for _ in range(repeats):
        wall, cpu = time.perf_counter(), time.process_time()
        result = work()
        walls.append(1e3 * (time.perf_counter() - wall))
        cpus.append(1e3 * (time.process_time() - cpu))
    return min(walls), min(cpus), result


def compare(line: Callable[..., None]) -> None:
    """Print the comparison with the given row printer."""
    problem = set_up_once()
    motion = four_rotors_once()[1]
    engine_from_numbers()
    wall, cpu, trim = least(engine_from_numbers, 40)
    trim_wall, trim_cpu, _ = least(lambda: trim_span_wise(problem, motion), 40)
    rival_wall, rival_cpu, (answer, count) = least(lambda: rival_from_layout(problem.layout), 5)
    ours = np.array([trim.airspeed, trim.elevator, trim.thrust])
    gap = float(np.abs((answer - ours) / np.maximum(np.abs(ours), [1.0, 0.1, 1.0])).max())
    strips, vortices = len(problem.layout.strips.row), len(problem.vortices.parent)
    print(f"\nSpan-wise trim of a four-rotor aeroplane: {strips} strips, {vortices} vortices")
    line(
        "from the aeroplane's numbers: wall, processor",
        f"{wall:.2f} ms, {cpu:.2f} ms",
        f"≤ {TARGET:g} ms",
        wall <= TARGET,
    )
    line("  of it the balance itself: wall, processor", f"{trim_wall:.2f} ms, {trim_cpu:.2f} ms")
    line("  solutions of the strips a trim", f"{trim.evaluations}")
    line("plain NumPy from laid-out strips: wall, processor", f"{rival_wall:.1f} ms, {rival_cpu:.1f} ms")
    line("  solutions of the strips a trim", f"{count}")
    line("NumPy over ours, processor time", f"{rival_cpu / cpu:.1f}")
    line("largest difference from NumPy, relative", f"{gap:.1e}", "≤ 1e-4", gap <= 1e-4)


if __name__ == "__main__":

    def row(what: str, figure: str, target: str = "", met: bool | None = None) -> None:
        """Print one row."""
        print(f"  {what:<58} {figure:>26}  {target:<14} {'' if met is None else 'met' if met else 'MISSED'}".rstrip())

    compare(row)
