"""Numbers as a maker reads them: no more digits than the band deserves, in the units the maker works in."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from rotorwright.base.digits import alone, band_text, decimals_for, percent_text, written
from rotorwright.base.quantity import Quantity
from rotorwright.design.unit_table import DIMENSIONS

__all__ = [
    "METRIC", "SYSTEMS", "ShownUnits", "convert", "decimals_for", "negated", "number_text", "percent_text",
    "quantity_text", "show_in", "shown_in", "shown_unit", "spelled", "units_like", "units_of", "value_text", "written",
]  # fmt: skip

METRIC = {
    "m": "mm", "m2": "dm2", "kg": "g", "m/s": "m/s", "N": "N", "N m": "mN m", "rad/s": "rpm", "rad": "deg",
    "K": "degC", "s": "s", "J": "J", "W": "W", "A s": "mAh", "V": "V", "A": "A", "ohm": "mohm", "kg/m2": "g/dm2",
    "kg/m3": "kg/m3", "kg m2": "kg cm2", "rad/s/V": "rpm/V", "V/s": "V/s", "Pa": "Pa", "N m s": "N m s",
    "kg m": "g mm", "N/m": "N/m", "m/s2": "m/s2", "rad/s2": "rad/s2", "1/s": "1/s", "1": "",
}  # fmt: skip
"""Shown unit for each SI unit, unless the maker works in others."""
ROOMY = {
    "mm": (5_000.0, "m"), "g": (5_000.0, "kg"), "mN m": (2_000.0, "N m"), "s": (120.0, "min"), "W": (5_000.0, "kW"),
}  # fmt: skip
"""Above this many of a small unit the larger one reads better."""
_INCHES = {"m": "in", "m2": "in2"}
_OUNCES = {"kg": "oz", "N": "ozf", "kg/m2": "oz/ft2", "N m": "oz in"}
_SPELLED = {
    "m2": "m²", "dm2": "dm²", "cm2": "cm²", "in2": "in²", "ft2": "ft²", "degC": "°C", "degF": "°F", "deg": "°",
    "mohm": "mΩ", "ohm": "Ω", "kg/m3": "kg/m³", "kg m2": "kg m²", "g m2": "g m²", "kg cm2": "kg cm²", "g/dm2": "g/dm²",
    "oz/ft2": "oz/ft²", "kg/m2": "kg/m²", "m/s2": "m/s²", "rad/s2": "rad/s²", "ozf": "oz of force",
}  # fmt: skip
NOTHING = 1e-6
"""Smaller numbers are what a solver leaves of a zero."""
_CLOSE_UP = {"°"}
_ONLY_SHOWN = {("kg m", "g mm"): 1e-6}
"""Units in which answers come, but which no field of an aircraft file takes, with their factor to SI."""


@dataclass(frozen=True)
class ShownUnits:
    """The units a maker works in, by SI unit; what is not listed is shown as in `METRIC`."""

    chosen: dict[str, str] = field(default_factory=dict)

    def unit_for(self, si_unit: str) -> str:
        """Return the unit in which numbers of this SI unit are shown."""
        return self.chosen.get(si_unit, METRIC.get(si_unit, si_unit))


SYSTEMS = {
    "": None,
    "metric": ShownUnits(),
    "imperial": ShownUnits({**_INCHES, **_OUNCES, "m/s": "mph", "K": "degF"}),
}
"""What a face may show everything in; the empty word leaves it to the aircraft file."""
_wish = [""]


def show_in(system: str) -> None:
    """Show everything in one of the `SYSTEMS` from now on, whatever units an aircraft file is written in."""
    if system not in SYSTEMS:
        raise ValueError(f"no system of units: {system!r}")
    _wish[0] = system


def shown_in() -> str:
    """Return the word of the system everything is shown in; empty while each file decides."""
    return _wish[0]


def long_units(units: ShownUnits) -> ShownUnits:
    """Return the same units for ways and stand-offs: metres instead of millimetres, feet instead of inches."""
    return ShownUnits({**units.chosen, "m": "ft" if units.chosen.get("m") == "in" else "m"})


def units_like(written: list[str]) -> ShownUnits:
    """Return the units that a maker who wrote these unit names (one per measure) works in."""
    chosen: dict[str, str] = {}
    inches = sum(name in ("in", '"', "inch", "inches", "ft", "'", "foot", "feet") for name in written)
    if inches > sum(name in ("mm", "cm", "m") for name in written):
        chosen.update(_INCHES)
    if sum(name in ("oz", "lb", "lbs") for name in written) > sum(name in ("g", "kg") for name in written):
        chosen.update(_OUNCES)
    speeds = [name for name in written if name in DIMENSIONS["speed"].units]
    if speeds:
        favourite = max(sorted(set(speeds)), key=speeds.count)
        chosen["m/s"] = {"kph": "km/h", "knots": "kt", "ft/min": "ft/s"}.get(favourite, favourite)
    if "degF" in written and "degC" not in written:
        chosen["K"] = "degF"
    return ShownUnits(chosen)


def _factor(si_unit: str, unit: str) -> tuple[float, float]:
    if unit == "%":
        return 0.01, 0.0
    if (si_unit, unit) in _ONLY_SHOWN:
        return _ONLY_SHOWN[si_unit, unit], 0.0
    for dimension in DIMENSIONS.values():
        if dimension.si == si_unit and unit in dimension.units:
            return dimension.units[unit]
    return 1.0, 0.0


def _known(si_unit: str, unit: str) -> bool:
    return any(dimension.si == si_unit and unit in dimension.units for dimension in DIMENSIONS.values())


def shown_unit(number: float, si_unit: str, units: ShownUnits) -> str:
    """Return the unit in which a number reads best among those the maker works in."""
    unit = units.unit_for(si_unit)
    limit, larger = ROOMY.get(unit, (math.inf, ""))
    if larger and _known(si_unit, larger):
        factor, offset = _factor(si_unit, unit)
        if abs((number - offset) / factor) >= limit:
            return larger
    return unit


def convert(number: float, si_unit: str, unit: str) -> float:
    """Return an SI number in another unit."""
    factor, offset = _factor(si_unit, unit)
    return (number - offset) / factor


def spelled(unit: str) -> str:
    """Return a unit as it is printed."""
    return _SPELLED.get(unit, unit)


def number_text(number: float | None, si_unit: str, units: ShownUnits | None = None) -> str:
    """Return a lone number (no band) with its unit: ``620 mm``."""
    if number is None or not math.isfinite(number):
        return "—"
    units = units or ShownUnits()
    unit = shown_unit(number, si_unit, units)
    value = convert(number, si_unit, unit)
    return _with_unit(alone(value), unit)


def quantity_text(quantity: Quantity, units: ShownUnits | None = None, *, as_percent: bool = False) -> str:
    """Return value, unit and band: ``11.2 m/s (10.4–12.3)``; a dash where the quantity does not exist."""
    if quantity.value is None:
        return "—"
    units = units or ShownUnits()
    unit = "%" if as_percent else shown_unit(quantity.value, quantity.unit, units)
    value = convert(quantity.value, quantity.unit, unit)
    if max(abs(value), abs(quantity.low or 0.0), abs(quantity.high or 0.0)) < NOTHING:
        return _with_unit("0", unit)
    if quantity.low is None or quantity.high is None or quantity.low == quantity.high:
        return _with_unit(alone(value), unit)
    low, high = convert(quantity.low, quantity.unit, unit), convert(quantity.high, quantity.unit, unit)
    decimals = decimals_for(max(abs(value), abs(low), abs(high)), 0.5 * (high - low))
    return f"{_with_unit(written(value, decimals), unit)} ({band_text(low, high, decimals)})"


def value_text(quantity: Quantity, units: ShownUnits | None = None) -> str:
    """Return value and unit with the digits that the band deserves, without the band: for running text."""
    return quantity_text(quantity, units).split(" (")[0]


def negated(quantity: Quantity) -> Quantity:
    """Return the same quantity counted the other way round (behind for ahead, given for taken)."""

    def turn(number: float | None) -> float | None:
        return None if number is None else -number

    return Quantity(
        turn(quantity.value),
        turn(quantity.high),
        turn(quantity.low),
        turn(quantity.nominal),
        quantity.unit,
        quantity.share,
        quantity.support,
        quantity.sources,
        quantity.reason,
    )


def _with_unit(text: str, unit: str) -> str:
    name = spelled(unit)
    if not name:
        return text
    return f"{text}{name}" if name in _CLOSE_UP else f"{text} {name}"


_AFTER_NUMBER = re.compile(r"[\d.,/' ]*\d\s*([a-zA-Z°\"²³/ ]+)$")


def units_of(told: Any) -> ShownUnits:
    """Return the units to show an aeroplane in: those of its file, unless a face was told to `show_in` others."""
    wished = SYSTEMS[_wish[0]]
    if wished is not None:
        return wished
    names: list[str] = []

    def walk(thing: Any) -> None:
        if isinstance(thing, Mapping):
            for value in thing.values():
                walk(value)
        elif isinstance(thing, list | tuple):
            for value in thing:
                walk(value)
        elif isinstance(thing, str) and (found := _AFTER_NUMBER.match(thing.strip())):
            names.append(found[1].strip())

    walk(told)
    return units_like(names)
