"""Control surfaces as the maker sets them: throws, servo torque, and tail volumes with what they do not mean here."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.quantity import Quantity, exact
from rotorwright.base.records import FIN, NO_CHANNEL, TAIL
from rotorwright.flight.envelope import GLIDE, LEVEL
from rotorwright.flight.linear import STICKS
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.evaluate import Flown

HINGE_PER_ANGLE = 0.69
"""Hinge-moment coefficient per radian of deflection, on control area and chord (−0.012 per degree: an 18 × 1.8 in
surface at 40 mph took 0.0121 per degree, attributed to NACA report 278, read secondary)."""
HINGE_BAND = 0.4
"""Share by which it may be off, 80 % band (judgement)."""
FAST = 1.3
"""Speed at which servos must hold, over the fastest of level flight and glide (judgement)."""
LOW_RATE = 0.6
"""First-flight throw over full throw (common practice, no source)."""
SERVO_MARGIN = 3.0
"""Rated servo torque over the hinge moment, linkage included (common practice, no source)."""


@dataclass(frozen=True)
class Throw:
    """One control surface as it is set up on the bench."""

    surface: str
    channel: str
    travel: float
    """Each way [rad]."""
    throw: float
    """At the trailing edge, each way [m]."""
    low_rate_travel: float
    """For first flights [rad]."""
    low_rate_throw: float
    """[m]"""
    hinge_moment: Quantity
    """At full throw and the speed servos must hold [N m]."""
    servo_torque: Quantity
    """Rated torque to look for [N m]."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        plain = {
            name: getattr(self, name)
            for name in ("surface", "channel", "travel", "throw", "low_rate_travel", "low_rate_throw")
        }
        return {**plain, "hinge_moment": self.hinge_moment.as_dict(), "servo_torque": self.servo_torque.as_dict()}


def hinge_moment(dynamic_pressure: Any, area: float, chord: float, deflection: float) -> Any:
    """Return the moment about the hinge of a control surface [N m].

    Parameters
    ----------
    dynamic_pressure : float or array
        [Pa]
    area, chord : float
        Of the control surface [m²], [m].
    deflection : float
        [rad]

    Notes
    -----
    H = q S c b δ, b = 0.69 per radian.
    Validity: plain flaps on flat sections below the stall, ± 40 %.
    Source: see `HINGE_PER_ANGLE`.
    """
    return dynamic_pressure * area * chord * HINGE_PER_ANGLE * deflection


def throws(flown: Flown, reader: Reader) -> tuple[Throw, ...]:
    """Return the throw, the first-flight throw and the servo torque of every control surface.

    Parameters
    ----------
    flown : Flown
    reader : Reader

    Notes
    -----
    H = ½ ρ V² S_control c_control b δ at 1.3 times the faster of level flight and glide.
    Validity: plain flaps on flat sections below the stall; aerodynamic balance makes it less.
    Source: see `HINGE_PER_ANGLE`.
    """
    steady = flown.envelope.steady
    speeds = np.fmax(steady["airspeed"][:, LEVEL], steady["airspeed"][:, GLIDE])
    speeds = np.where(np.isfinite(speeds), speeds, np.nanmedian(speeds) if np.isfinite(speeds).any() else np.nan)
    found = []
    for name, surface in zip(flown.rows.names.surfaces, flown.rows.surfaces, strict=True):
        if surface["control"] == NO_CHANNEL:
            continue
        share, travel = float(surface["control_share"]), float(surface["control_travel"])
        chord = share * float(surface["chord"])
        area = share * float(surface["area"])
        pressure = 0.5 * flown.numbers.air["density"] * (FAST * speeds) ** 2
        moment = hinge_moment(pressure, area, chord, travel)
        hinge = _widened(reader.quantity(moment, "N m", ("naca278", "mechanics"), "no speed to judge it at"))
        low = LOW_RATE * travel
        found.append(
            Throw(
                name,
                STICKS[int(surface["control"])],
                travel,
                chord * math.sin(travel),
                low,
                chord * math.sin(low),
                hinge,
                _times(hinge, SERVO_MARGIN),
            )
        )
    return tuple(found)


def _widened(quantity: Quantity) -> Quantity:
    if quantity.low is None or quantity.high is None:
        return quantity
    return Quantity(
        quantity.value, quantity.low * (1.0 - HINGE_BAND), quantity.high * (1.0 + HINGE_BAND), quantity.nominal,
        quantity.unit, quantity.share, "beyond data", quantity.sources, quantity.reason,
    )  # fmt: skip


def _times(quantity: Quantity, factor: float) -> Quantity:
    def scaled(number: float | None) -> float | None:
        return None if number is None else factor * number

    return Quantity(
        scaled(quantity.value), scaled(quantity.low), scaled(quantity.high), scaled(quantity.nominal), quantity.unit,
        quantity.share, quantity.support, quantity.sources, quantity.reason,
    )  # fmt: skip


def tail_volumes(flown: Flown, reader: Reader) -> dict[str, Quantity]:
    """Return tail volume coefficients on rotor area, with rotor diameter as chord.

    Notes
    -----
    V_H = S_H l_H/(S c), V_V = S_V l_V/(S b), arms from the balance point. A rotor is short in chord, so V_H comes out
    three to eight times that of a wing with the same tail: tables for wings do not apply.
    """
    rotors, surfaces = flown.rows.rotors, flown.rows.surfaces
    area = float((rotors["span"] * rotors["diameter"]).sum())
    if area <= 0.0:
        return {}
    chord = area / float(rotors["span"].sum())
    span = 2.0 * float((np.abs(rotors["y"]) + 0.5 * rotors["span"]).max())
    found = {}
    for name, kind, length in (("tail_volume", TAIL, chord), ("fin_volume", FIN, span)):
        rows = surfaces[surfaces["kind"] == kind]
        if len(rows):
            arms = flown.numbers.vehicle["x"][:, None] - rows["x"][None, :]
            volume = (rows["area"] * arms).sum(axis=1) / (area * length)
            found[name] = reader.quantity(volume, "1", ("mechanics",))
    if not found:
        return {"tail_volume": exact(0.0, "1", ("mechanics",))}
    return found
