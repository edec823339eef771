"""One thruster stopped: thrust left, whether it still climbs, how hard it yaws, and what is there to hold it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import RUDDER
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.linear import Point
from rotorwright.flight.numbers import AeroplaneNumbers
from rotorwright.flight.solver import GUESS_INNER
from rotorwright.flight.steady import THROTTLE
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.evaluate import fly
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.sources import FLIGHT, lift_sources, power_sources

Floats = npt.NDArray[np.float64]

SLIP = 0.1
"""Sideslip at which the weathercock moment is read [rad]."""


@dataclass(frozen=True)
class Stopped:
    """One thruster stopped at full throttle of the others, airspeed as in level flight."""

    thruster: str
    quantities: dict[str, Quantity]

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "thruster": self.thruster,
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
        }


def thrusters_stopped(aeroplane: Aeroplane, *, samples: int = 64, seed: int = 0) -> tuple[Stopped, ...]:
    """Return what happens when each thruster in turn stops.

    Parameters
    ----------
    aeroplane : Aeroplane
    samples, seed : int
        Samples of the Unknowns behind the bands and the seed that shifts them.

    Raises
    ------
    InputError
        If there is no thruster, or no balance at any speed.

    Notes
    -----
    The others at full throttle, airspeed, attitude and controls of level flight; motors, packs and free rotors settle.
    The stopped propeller coasts and windmills or stands by its own law. The climb is (T − D) V/(m g) at that speed. The
    yawing moment is that of the whole equation at no sideslip; rudder and weathercock come from the same equation.
    """
    if not aeroplane.tables.thruster:
        raise InputError("describes no thruster", place=aeroplane.source)
    flown = fly(aeroplane, samples=samples, seed=seed)
    level = level_or_held(flown)
    if level is None:
        raise InputError("has no balance at any speed, so nothing can be stopped in it", place=aeroplane.source)
    reader = Reader(flown, design_support(flown))
    whole = _settled(flown.numbers, level)
    found = []
    for place, name in enumerate(flown.rows.names.thrusters):
        thrusters = flown.numbers.thrusters.copy()
        thrusters["working"][:, place] = 0.0
        rows = _settled(flown.numbers._replace(thrusters=thrusters), level)
        found.append(Stopped(name, _read(reader, level, whole, rows)))
    return tuple(found)


def _settled(numbers: AeroplaneNumbers, level: Any) -> Any:
    rows = held_flight(numbers, level)
    rows.flight[:, THROTTLE] = 1.0
    return rows.solve((), GUESS_INNER)


def _read(reader: Reader, level: Any, whole: Any, rows: Any) -> dict[str, Quantity]:
    flown = reader.flown
    cases = len(level)
    thrust, drag = rows.steady["thrust"], rows.steady["drag"]
    weight = flown.numbers.vehicle["mass"] * flown.numbers.air["gravity"]
    climb = (thrust - drag) / weight * level["airspeed"]
    yaw, rudder, vane = np.empty(cases), np.empty(cases), np.empty(cases)
    for case in range(cases):
        yaw[case], rudder[case], vane[case] = _yawing(rows, whole, case)
    share = np.divide(np.abs(yaw), rudder, out=np.full(cases, np.nan), where=rudder > 1e-9)
    slip = np.divide(np.abs(yaw), vane, out=np.full(cases, np.nan), where=vane > 1e-9)
    sources = (*power_sources(flown), *lift_sources(flown), *FLIGHT)
    return {
        "stopped_thrust": reader.quantity(thrust, "N", sources),
        "stopped_thrust_share": reader.quantity(thrust / whole.steady["thrust"], "1", sources),
        "stopped_climb": reader.quantity(climb, "m/s", sources),
        "stopped_yaw": reader.quantity(yaw, "N m", sources),
        "stopped_rudder_share": reader.quantity(share, "1", sources, "no rudder"),
        "stopped_sideslip": reader.quantity(np.where(slip < 0.6, slip, np.nan), "rad", sources,
                                            "nothing weathercocks it, or not before it swings right round"),
    }  # fmt: skip


def _yawing(rows: Any, whole: Any, case: int) -> tuple[float, float, float]:
    """Return the yawing moment of the stop, that of full rudder, and the weathercock moment per radian [N m]."""
    point = Point(rows, case)
    straight = float(point.moments(point.controls)[2])
    before = Point(whole, case)
    yaw = straight - float(before.moments(before.controls)[2])
    ends = []
    for full in (1.0, -1.0):
        stick = point.controls.copy()
        stick[int(RUDDER)] = full
        ends.append(float(point.moments(stick)[2]))
    state = point.state.copy()
    point.state[1] = SLIP * float(np.hypot(state[0], state[2]))
    slipping = float(point.moments(point.controls)[2])
    point.state[:] = state
    return yaw, 0.5 * abs(ends[0] - ends[1]), (slipping - straight) / SLIP
