"""Count the floating-point operations of one evaluation: the plain rival run on numbers that count."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable
from typing import Any

import rival_scipy
from frozen_problem import Problem

TALLY: Counter[str] = Counter()
FUNCTIONS = ("acos", "atan2", "cos", "exp", "log", "sin", "tanh")
FLOPS_PER_FUNCTION = 20
"""What an elementary function or a fractional power is counted as (a usual size of library code; an estimate)."""


class Counted(float):
    """A float that counts what is done with it."""

    def __pow__(self, power: Any, modulus: None = None) -> Any:
        if float(power).is_integer() and power > 0:
            TALLY["basic"] += max(1, int(power).bit_length())
        else:
            TALLY["functions"] += 1
        return Counted(float(self) ** float(power))


def _counting(name: str) -> Callable[..., Counted]:
    plain = getattr(float, name)

    def operate(self: Counted, *others: Any) -> Counted:
        TALLY["basic"] += 1
        return Counted(plain(float(self), *(float(other) for other in others)))

    return operate


for _name in ("add", "sub", "mul", "truediv"):
    setattr(Counted, f"__{_name}__", _counting(f"__{_name}__"))
    setattr(Counted, f"__r{_name}__", _counting(f"__r{_name}__"))
for _name in ("abs", "neg"):
    setattr(Counted, f"__{_name}__", _counting(f"__{_name}__"))


def _counted_function(name: str, kind: str) -> Callable[..., Counted]:
    plain = getattr(math, name)

    def call(*numbers: float) -> Counted:
        TALLY[kind] += 1
        return Counted(plain(*numbers))

    return call


def count_operations(problem: Problem, unknowns: Any) -> tuple[int, int]:
    """Return basic operations and elementary functions of one evaluation at full throttle, neutral elevator."""
    machine = rival_scipy.Machine(problem, 0)
    kept = {name: getattr(rival_scipy, name) for name in (*FUNCTIONS, "sqrt")}
    try:
        for name in FUNCTIONS:
            setattr(rival_scipy, name, _counted_function(name, "functions"))
        rival_scipy.sqrt = _counted_function("sqrt", "basic")  # type: ignore[assignment]
        TALLY.clear()
        airspeed, incidence, climb, spin, shaft = (Counted(number) for number in unknowns)
        machine.imbalance(airspeed, incidence, climb, Counted(1.0), Counted(0.0), spin, shaft)
    finally:
        for name, plain in kept.items():
            setattr(rival_scipy, name, plain)
    return TALLY["basic"], TALLY["functions"]
