"""Leads: diameter by gauge, resistance with temperature, mass, what they may carry, connectors."""

from __future__ import annotations

import math

COPPER_RESISTIVITY = 1.7241e-8
"""Of annealed copper at 20 °C [Ω m] (IEC 60028, 100 % conductivity; from memory)."""
COPPER_TEMPERATURE_COEFFICIENT = 0.00393
"""At 20 °C [1/K] (IEC 60028; from memory)."""
COPPER_DENSITY = 8890.0
"""[kg/m³] (IEC 60028; from memory)."""
_GAUGES = (8, 10, 12, 14, 16, 18, 20, 22, 24, 26)
_CHASSIS = (73.0, 55.0, 41.0, 32.0, 22.0, 16.0, 11.0, 7.0, 3.5, 2.2)
GAUGES = _GAUGES
"""Gauges of leads in small aeroplanes."""
CONNECTOR_RESISTANCE = (0.0005, 0.0002, 0.001)
"""Of one mated pole, with its band [Ω] (common practice, from memory)."""
SHORT_BURST = 2.0
"""Times the chassis current that short leads in moving air are run at in bursts (common practice, from memory: 2–3)."""


def wire_diameter(gauge: float) -> float:
    """Return the diameter of a solid conductor of an American gauge number [m].

    Parameters
    ----------
    gauge : float
        AWG number; 0 for 1/0, −1 for 2/0.

    Notes
    -----
    d = 0.127 mm · 92^((36 − n)/39); a stranded lead of that gauge has the same copper area.
    Source: ASTM B258 (read secondary).
    """
    return 0.127e-3 * 92.0 ** ((36.0 - gauge) / 39.0)


def wire_area(gauge: float) -> float:
    """Return the copper area of a gauge [m²].

    Parameters
    ----------
    gauge : float
        AWG number.

    Notes
    -----
    π d²/4. Source: as `wire_diameter`.
    """
    return 0.25 * math.pi * wire_diameter(gauge) ** 2


def gauge_of_area(area: float) -> float:
    """Return the gauge number that has a copper area [1], not rounded.

    Parameters
    ----------
    area : float
        [m²], for leads sold in mm².

    Notes
    -----
    Inverse of `wire_area`. Source: closed form.
    """
    diameter = math.sqrt(4.0 * area / math.pi)
    return 36.0 - 39.0 * math.log(diameter / 0.127e-3) / math.log(92.0)


def wire_resistance(area: float, length: float, temperature: float = 293.15) -> float:
    """Return the resistance of one conductor [Ω].

    Parameters
    ----------
    area : float
        Of its copper [m²].
    length : float
        [m].
    temperature : float
        [K].

    Notes
    -----
    R = ρ l/A · (1 + 0.00393 (T − 20 °C)). Stranded leads have up to 3 % more (lay of the strands).
    Source: IEC 60028 (from memory), checked against printed wire tables.
    """
    warm = 1.0 + COPPER_TEMPERATURE_COEFFICIENT * (temperature - 293.15)
    return COPPER_RESISTIVITY * length / area * warm


def wire_mass(area: float, length: float) -> float:
    """Return the mass of the bare copper of one conductor [kg].

    Parameters
    ----------
    area : float
        [m²].
    length : float
        [m].

    Notes
    -----
    8890 kg/m³; silicone insulation adds 40–60 % on leads of 12–20 gauge (common practice, from memory).
    Source: IEC 60028 (from memory).
    """
    return COPPER_DENSITY * area * length


def chassis_current(gauge: float) -> float:
    """Return the current handbooks allow for a single lead in free air [A].

    Parameters
    ----------
    gauge : float
        AWG number, 8–26; beyond, the nearest.

    Notes
    -----
    Log-linear between the tabulated even gauges: 41 A at 12, 22 A at 16, 11 A at 20.
    Source: Handbook of Electronic Tables and Formulas, "chassis wiring" column (read secondary).
    """
    if gauge <= _GAUGES[0]:
        return _CHASSIS[0]
    for low in range(len(_GAUGES) - 1):
        if gauge <= _GAUGES[low + 1]:
            share = (gauge - _GAUGES[low]) / (_GAUGES[low + 1] - _GAUGES[low])
            return _CHASSIS[low] * (_CHASSIS[low + 1] / _CHASSIS[low]) ** share
    return _CHASSIS[-1]


def lead_resistance(gauge: float, length: float, connectors: int = 1, temperature: float = 293.15) -> float:
    """Return the resistance of a pair of leads with its connectors, there and back [Ω].

    Parameters
    ----------
    gauge : float
        AWG number.
    length : float
        Of one lead [m].
    connectors : int
        Mated pairs of two poles in the way.
    temperature : float
        Of the copper [K].

    Notes
    -----
    2 ρ l/A + 2 × 0.5 mΩ a connector (0.2–1 mΩ a pole).
    Source: see `wire_resistance`, `CONNECTOR_RESISTANCE`.
    """
    return 2.0 * wire_resistance(wire_area(gauge), length, temperature) + 2.0 * connectors * CONNECTOR_RESISTANCE[0]
