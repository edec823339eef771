# ruff: noqa: E501
"""The closed list of units: for each dimension its spellings as factor (and offset) to SI.

Inch, foot, pound, mile and knot are the exact international definitions (International Yard and Pound Agreement, 1959;
nautical mile, 1929); the rest follows from the SI Brochure (BIPM, 9th edition, 2019). All from memory; the tests
compare the factors with ``scipy.constants``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

_INCH = 0.0254
_POUND = 0.45359237
_G = 9.80665
_TURN = 2.0 * math.pi


@dataclass(frozen=True)
class Dimension:
    """A kind of measure: its units, how to speak of it, and a form to show as an example."""

    name: str
    si: str
    article: str
    usual: str
    example: str
    units: dict[str, tuple[float, float]]
    bare: bool = False
    scale: tuple[str, ...] = field(default=())
    """Units from large to small in which a limit is told."""

    @property
    def allowed(self) -> str:
        """Return what is accepted, in words."""
        names = ", ".join(f'"{unit}"' for unit in list(self.units)[:8])
        return f"{self.article} such as {self.example} (units: {names})"


def _named(scales: dict[str, float]) -> dict[str, tuple[float, float]]:
    return {name: (factor, 0.0) for name, factor in scales.items()}


_ALL = (
    Dimension(
        "length", "m", "a length", "mm", '"620 mm"',
        _named({"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": _INCH, "ft": 12 * _INCH, "km": 1e3, "um": 1e-6, "yd": 36 * _INCH,
                '"': _INCH, "'": 12 * _INCH, "inch": _INCH, "inches": _INCH, "foot": 12 * _INCH, "feet": 12 * _INCH}),
        scale=("m", "mm", "um"),
    ),
    Dimension(
        "area", "m2", "an area", "dm2", '"12 dm2"',
        _named({"mm2": 1e-6, "cm2": 1e-4, "dm2": 1e-2, "m2": 1.0, "in2": _INCH**2, "ft2": (12 * _INCH) ** 2,
                "sq in": _INCH**2, "sq ft": (12 * _INCH) ** 2}),
        scale=("m2", "cm2", "mm2"),
    ),
    Dimension(
        "mass", "kg", "a mass", "g", '"120 g"',
        _named({"g": 1e-3, "kg": 1.0, "oz": _POUND / 16, "lb": _POUND, "mg": 1e-6, "lbs": _POUND}),
        scale=("kg", "g", "mg"),
    ),
    Dimension(
        "charge", "A s", "a capacity", "mAh", '"2200 mAh"', _named({"mAh": 3.6, "Ah": 3600.0}), scale=("Ah", "mAh"),
    ),
    Dimension("energy", "J", "an energy", "Wh", '"24 Wh"', _named({"Wh": 3600.0, "J": 1.0, "kJ": 1e3}), scale=("Wh", "J")),
    Dimension("voltage", "V", "a voltage", "V", '"11.1 V"', _named({"V": 1.0, "mV": 1e-3}), scale=("V", "mV")),
    Dimension("current", "A", "a current", "A", '"0.8 A"', _named({"A": 1.0, "mA": 1e-3}), scale=("A", "mA")),
    Dimension(
        "resistance", "ohm", "a resistance", "mohm", '"60 mohm"', _named({"mohm": 1e-3, "ohm": 1.0}),
        scale=("ohm", "mohm"),
    ),
    Dimension(
        "rotation", "rad/s", "a speed of rotation", "rpm", '"2400 rpm"',
        _named({"rpm": _TURN / 60.0, "rad/s": 1.0, "Hz": _TURN, "1/min": _TURN / 60.0, "rev/s": _TURN}), scale=("rpm",),
    ),
    Dimension(
        "speed constant", "rad/s/V", "a motor speed constant", "rpm/V", '"900 rpm/V"',
        _named({"rpm/V": _TURN / 60.0, "kv": _TURN / 60.0, "rad/s/V": 1.0}), scale=("rpm/V",),
    ),
    Dimension("power", "W", "a power", "W", '"120 W"', _named({"W": 1.0, "kW": 1e3, "mW": 1e-3, "hp": 745.69987158227}),
              scale=("W", "mW")),
    Dimension(
        "force", "N", "a force", "N", '"6 N"',
        _named({"N": 1.0, "mN": 1e-3, "kN": 1e3, "gf": _G / 1e3, "kgf": _G, "ozf": _POUND * _G / 16, "lbf": _POUND * _G}),
        scale=("N", "mN"),
    ),
    Dimension(
        "force per length", "N/m", "a spring stiffness", "N/mm", '"20 N/mm"',
        _named({"N/mm": 1e3, "N/m": 1.0, "kN/m": 1e3, "gf/mm": _G, "kgf/mm": _G * 1e3, "lbf/in": _POUND * _G / _INCH}),
        scale=("N/mm",),
    ),
    Dimension(
        "torque", "N m", "a torque", "mN m", '"3 mN m"',
        _named({"N m": 1.0, "mN m": 1e-3, "N mm": 1e-3, "N cm": 1e-2, "kg cm": _G * 1e-2, "g cm": _G * 1e-5,
                "oz in": _POUND * _G / 16 * _INCH, "Nm": 1.0}),
        scale=("N m", "mN m"),
    ),
    Dimension("torque per speed", "N m s", "a torque that grows with spin", "N m s", '"3e-5 N m s"',
              _named({"N m s": 1.0, "mN m s": 1e-3, "N m/(rad/s)": 1.0}), scale=("N m s",)),
    Dimension(
        "inertia", "kg m2", "a moment of inertia", "g m2", '"1.2 g m2"',
        _named({"kg m2": 1.0, "g m2": 1e-3, "kg cm2": 1e-4, "g cm2": 1e-7, "g mm2": 1e-9}), scale=("kg m2", "g m2", "g cm2"),
    ),
    Dimension(
        "temperature", "K", "a temperature", "degC", '"12 degC"',
        {"degC": (1.0, 273.15), "degF": (5.0 / 9.0, 273.15 - 32.0 * 5.0 / 9.0), "K": (1.0, 0.0)}, scale=("degC",),
    ),
    Dimension("angle", "rad", "an angle", "deg", '"20 deg"', _named({"deg": math.pi / 180.0, "rad": 1.0}), scale=("deg",)),
    Dimension(
        "speed", "m/s", "a speed", "m/s", '"3 m/s"',
        _named({"m/s": 1.0, "km/h": 1.0 / 3.6, "mph": 5280 * 12 * _INCH / 3600.0, "kt": 1852.0 / 3600.0,
                "ft/s": 12 * _INCH, "ft/min": 12 * _INCH / 60.0, "knots": 1852.0 / 3600.0, "kph": 1.0 / 3.6}),
        scale=("m/s",),
    ),
    Dimension("acceleration", "m/s2", "an acceleration", "m/s2", '"2 m/s2"',
              _named({"m/s2": 1.0, "ft/s2": 12 * _INCH, "g": _G}), scale=("m/s2",)),
    Dimension(
        "pressure", "Pa", "an air pressure", "hPa", '"1013 hPa"',
        _named({"hPa": 100.0, "Pa": 1.0, "inHg": 3386.388640341, "kPa": 1e3, "mbar": 100.0}), scale=("hPa",),
    ),
    Dimension(
        "stiffness", "Pa", "a stiffness or strength", "GPa", '"115 GPa"',
        _named({"GPa": 1e9, "MPa": 1e6, "kPa": 1e3, "N/mm2": 1e6}), scale=("GPa", "MPa", "kPa"),
    ),
    Dimension(
        "areal mass", "kg/m2", "a mass per area", "g/m2", '"300 g/m2"',
        _named({"g/m2": 1e-3, "kg/m2": 1.0, "g/dm2": 0.1, "oz/yd2": _POUND / 16 / (36 * _INCH) ** 2,
                "oz/ft2": _POUND / 16 / (12 * _INCH) ** 2, "g/in2": 1e-3 / _INCH**2}),
        scale=("g/m2",),
    ),
    Dimension(
        "density", "kg/m3", "a density", "kg/m3", '"33 kg/m3"',
        _named({"kg/m3": 1.0, "g/cm3": 1e3, "lb/ft3": _POUND / (12 * _INCH) ** 3}), scale=("kg/m3",),
    ),
    Dimension("time", "s", "a time", "s", '"8 s"', _named({"s": 1.0, "min": 60.0, "h": 3600.0, "ms": 1e-3}), scale=("s", "ms")),
    Dimension("share", "1", "a share", "%", '0.35 or "35 %"', _named({"%": 0.01}), bare=True),
    Dimension("number", "1", "a number", "", "3.2", {}, bare=True),
)  # fmt: skip

DIMENSIONS: dict[str, Dimension] = {dimension.name: dimension for dimension in _ALL}
