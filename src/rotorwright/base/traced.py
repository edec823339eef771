"""Numbers that remember how they were reckoned, so that one run of plain Python serves thousands of other inputs.

A `Traced` number is a float with a place on a `Tape`. Arithmetic with it is done at once, as always, and written down;
every comparison is written down with its answer. Played again with arrays in place of the inputs, the tape gives what
the same Python would have given for each of them, as long as all comparisons turn out the same; those for which one
does not are told apart. So formulas stay where they are, written once.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Argument = int | float
"""A place on the tape (int), or a number that stays (float)."""

_COMPARED: dict[str, Callable[[Any, Any], Any]] = {
    "lt": operator.lt, "le": operator.le, "gt": operator.gt, "ge": operator.ge, "eq": operator.eq, "ne": operator.ne,
}  # fmt: skip


class Tape:
    """What was done with some inputs, step by step, and what was compared on the way."""

    def __init__(self) -> None:
        self.inputs = 0
        self.steps: list[tuple[Callable[..., Any], tuple[Argument, ...]] | None] = []
        self.guards: dict[tuple[str, Argument, Argument], bool] = {}

    def take(self, value: float) -> Traced:
        """Return the next input, first met with this value."""
        if self.inputs != len(self.steps):
            raise ValueError("inputs come before the first step")
        self.inputs += 1
        self.steps.append(None)
        return Traced(value, self, len(self.steps) - 1)

    def put(self, do: Callable[..., Any], value: float, *arguments: float) -> Traced:
        """Write down a step and return its result."""
        self.steps.append((do, tuple(_argument(each) for each in arguments)))
        return Traced(value, self, len(self.steps) - 1)

    def compare(self, word: str, one: float, other: float) -> bool:
        """Write down a comparison and return its answer."""
        answer = bool(_COMPARED[word](float(one), float(other)))
        self.guards[(word, _argument(one), _argument(other))] = answer
        return answer

    def play(self, inputs: Floats, wanted: Sequence[float]) -> tuple[npt.NDArray[np.bool_], list[Floats | float]]:
        """Return what the recorded reckoning gives for other inputs.

        Parameters
        ----------
        inputs : array, shape (designs, inputs)
        wanted : sequence of float
            Results of the reckoning; those that do not hang on the inputs come back as they are.

        Returns
        -------
        same : array of bool, shape (designs,)
            Where every comparison turns out as it was recorded; elsewhere the results mean nothing.
        results : list of arrays, shape (designs,), and floats
        """
        ends = [_argument(each) for each in wanted]
        told = [place for guard in self.guards for place in guard[1:]]
        needed = self._needed([place for place in (*ends, *told) if type(place) is int])
        values: dict[int, Any] = {}
        with np.errstate(all="ignore"):
            for place in needed:
                step = self.steps[place]
                if step is None:
                    values[place] = inputs[:, place]
                else:
                    do, arguments = step
                    values[place] = do(*(values[each] if type(each) is int else each for each in arguments))
            same = np.ones(len(inputs), dtype=np.bool_)
            for (word, one, other), answer in self.guards.items():
                left, right = (values[each] if type(each) is int else each for each in (one, other))
                same &= _COMPARED[word](left, right) == answer
        return same, [values[end] if type(end) is int else float(end) for end in ends]

    def _needed(self, ends: Iterable[int]) -> list[int]:
        """Return the steps that some places hang on, in order."""
        seen: set[int] = set()
        waiting = list(ends)
        while waiting:
            place = waiting.pop()
            if place in seen:
                continue
            seen.add(place)
            step = self.steps[place]
            if step is not None:
                waiting += [each for each in step[1] if type(each) is int]
        return sorted(seen)


def _argument(number: float) -> Argument:
    return number.place if isinstance(number, Traced) else float(number)


def _plain(number: float) -> float:
    return float.__float__(number) if isinstance(number, Traced) else float(number)


class Traced(float):
    """A float with a place on a tape; see the module."""

    tape: Tape
    place: int

    def __new__(cls, value: float, tape: Tape, place: int) -> Traced:
        """Return a number with its place on a tape."""
        made = super().__new__(cls, value)
        made.tape, made.place = tape, place
        return made

    __hash__ = float.__hash__

    def __deepcopy__(self, memo: dict[int, Any]) -> Traced:
        """Return itself: numbers do not change."""
        return self

    def _step(self, do: Callable[..., Any], *arguments: Any) -> Any:
        if not all(isinstance(each, int | float) for each in arguments):
            return NotImplemented
        return self.tape.put(do, do(*(_plain(each) for each in arguments)), *arguments)

    def __add__(self, other: Any) -> Any:
        """Return the sum."""
        return self._step(operator.add, self, other)

    def __radd__(self, other: Any) -> Any:
        """Return the sum."""
        return self._step(operator.add, other, self)

    def __sub__(self, other: Any) -> Any:
        """Return the difference."""
        return self._step(operator.sub, self, other)

    def __rsub__(self, other: Any) -> Any:
        """Return the difference."""
        return self._step(operator.sub, other, self)

    def __mul__(self, other: Any) -> Any:
        """Return the product."""
        return self._step(operator.mul, self, other)

    def __rmul__(self, other: Any) -> Any:
        """Return the product."""
        return self._step(operator.mul, other, self)

    def __truediv__(self, other: Any) -> Any:
        """Return the quotient."""
        return self._step(operator.truediv, self, other)

    def __rtruediv__(self, other: Any) -> Any:
        """Return the quotient."""
        return self._step(operator.truediv, other, self)

    def __pow__(self, other: Any, modulo: None = None) -> Any:
        """Return the power."""
        return self._step(operator.pow, self, other)

    def __rpow__(self, other: Any, modulo: None = None) -> Any:
        """Return the power."""
        return self._step(operator.pow, other, self)

    def __neg__(self) -> Any:
        """Return the number with its sign turned."""
        return self._step(operator.neg, self)

    def __pos__(self) -> Any:
        """Return itself."""
        return self

    def __abs__(self) -> Any:
        """Return the size."""
        return self._step(abs, self)

    def __bool__(self) -> bool:
        """Tell whether it is not zero."""
        return self.tape.compare("ne", self, 0.0)

    def _compared(self, word: str, other: Any) -> Any:
        if not isinstance(other, int | float):
            return NotImplemented
        return self.tape.compare(word, self, other)

    def __lt__(self, other: Any) -> Any:
        """Tell whether it is less."""
        return self._compared("lt", other)

    def __le__(self, other: Any) -> Any:
        """Tell whether it is less or equal."""
        return self._compared("le", other)

    def __gt__(self, other: Any) -> Any:
        """Tell whether it is greater."""
        return self._compared("gt", other)

    def __ge__(self, other: Any) -> Any:
        """Tell whether it is greater or equal."""
        return self._compared("ge", other)

    def __eq__(self, other: Any) -> Any:
        """Tell whether it is equal."""
        return self._compared("eq", other)

    def __ne__(self, other: Any) -> Any:
        """Tell whether it differs."""
        return self._compared("ne", other)


def _function(once: Callable[..., float], many: Callable[..., Any], *numbers: float) -> float:
    tape = next((each.tape for each in numbers if isinstance(each, Traced)), None)
    value = once(*(_plain(each) for each in numbers))
    return value if tape is None else tape.put(many, value, *numbers)


def sqrt(number: float) -> float:
    """Return the square root, traced if the number is."""
    return _function(math.sqrt, np.sqrt, number)


def sin(angle: float) -> float:
    """Return the sine, traced if the angle [rad] is."""
    return _function(math.sin, np.sin, angle)


def cos(angle: float) -> float:
    """Return the cosine, traced if the angle [rad] is."""
    return _function(math.cos, np.cos, angle)


def hypot(one: float, other: float) -> float:
    """Return the length of the longest side of a square-cornered triangle, traced if a side is."""
    return _function(math.hypot, np.hypot, one, other)


def distance(one: Sequence[float], other: Sequence[float]) -> float:
    """Return the distance between two points, traced if a coordinate is."""
    return sqrt(sum((here - there) ** 2 for here, there in zip(one, other, strict=True)))
