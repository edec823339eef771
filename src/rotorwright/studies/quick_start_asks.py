"""Asks that cannot be met, or only absurdly: the nearest ask that could, and what a maker would shake the head at."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rotorwright.base.constants import RPM
from rotorwright.design.quick_start import CELL, QuickStartSizes
from rotorwright.studies.quick_start_search import judge_shape
from rotorwright.studies.quick_start_shape import MOTOR_POWER, Shape

STRETCHES = (1.1, 1.25, 1.5, 2.0)
LARGE_CURRENT = 60.0
"""Current of a whole pack above which plugs, leads and controllers of field models run hot [A] (common practice)."""
LONG_GEAR = 12.0


@dataclass(frozen=True)
class NearestAsk:
    """One number asked for, stretched until the reserve is there for four samples in five."""

    what: str
    value: float
    """SI."""
    stretch: float
    """Over what was asked for."""
    words: str


def nearest_asks(guess: QuickStartSizes, shape: Shape) -> tuple[NearestAsk, ...]:
    """Return which number, asked for differently, would make the best layout fly; tried, not guessed.

    Parameters
    ----------
    guess : QuickStartSizes
        What was asked for.
    shape : Shape
        The best one found for it.
    """
    found = []
    for what in ("span", "cells", "mass"):
        for stretch in STRETCHES:
            other, changed, words, value = _stretched(guess, shape, what, stretch)
            if judge_shape(other, changed).score >= 0.0:
                found.append(NearestAsk(what, value, stretch, words))
                break
    return tuple(sorted(found, key=lambda ask: ask.stretch))


def _stretched(
    guess: QuickStartSizes, shape: Shape, what: str, stretch: float
) -> tuple[QuickStartSizes, Shape, str, float]:  # fmt: skip
    if what == "span":
        limit = _rounded(guess.span_limit * stretch)
        larger = replace(shape, span=shape.span * stretch, shaft_power=shape.shaft_power)
        return replace(guess, span_limit=limit), larger, f"a span of {limit:g} m", limit
    if what == "cells":
        cells = max(guess.cells + 1, round(guess.cells * stretch))
        return replace(guess, cells=cells), shape, f"{cells} cells", float(cells)
    mass = _rounded(guess.mass * stretch)
    stronger = replace(
        shape, thruster_diameter=shape.thruster_diameter * stretch**0.4, shaft_power=shape.shaft_power * stretch**1.5
    )
    return replace(guess, mass=mass), stronger, f"{mass:g} kg, spent on motor and battery", mass


def _rounded(number: float) -> float:
    """Return a number as one would say it: to a twentieth."""
    return round(number * 20.0) / 20.0


def cautions_of(sizes: QuickStartSizes) -> tuple[str, ...]:
    """Return what a maker would shake the head at.

    Parameters
    ----------
    sizes : QuickStartSizes
    """
    said = []
    motors = sizes.motor_mass
    if sizes.rotor_kind != "free vaned":
        motors += 0.3 * sizes.rotor_count * sizes.drive_motor_mass
    current = motors * MOTOR_POWER / (CELL * sizes.cells)
    if current > LARGE_CURRENT:
        cells = min(16, round(sizes.cells * current / (0.6 * LARGE_CURRENT)))
        said.append(
            f"at full throttle about {current:.0f} A would have to come out of {sizes.cells}S: thick leads, hot plugs, "
            f"a tired pack; {cells}S would do it with {current * sizes.cells / cells:.0f} A"
        )
    if sizes.rotor_kind != "free vaned" and sizes.drive_ratio > LONG_GEAR:
        said.append(
            f"the rotor drive needs {sizes.drive_ratio:.0f} turns of the motor for one of the rotor: two steps of belt"
        )
    slow = sizes.motor_speed_constant / RPM
    if not 150.0 <= slow <= 4500.0:
        said.append(f"a motor of {slow:.0f} rpm/V is hardly to be bought in this size: choose other cells")
    return tuple(said)
