"""How much of each limit of the power train a settled state uses, and which limit bites first."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.records import BROAD_SLOW, ENGINE_TYPE, FAN, NARROW
from rotorwright.flight.solver import Solutions
from rotorwright.physics.power.battery import rest_voltage
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.power_state import BUS, DUTY, MOTOR_SPEED, WINDING, PowerState

Floats = npt.NDArray[np.float64]

INCH_RPM = {NARROW: 145_000.0, ENGINE_TYPE: 190_000.0, BROAD_SLOW: 65_000.0}
"""Most rpm times diameter in inches of a moulded propeller, by blade family (makers' rule of thumb, from memory)."""
RPM_TO_RAD = math.pi / 30.0
INCH = 0.0254
SOUND = 340.0
TIP_MACH = 0.6
"""Of the blade tips, above which noise grows and efficiency falls (0.55–0.65, from memory)."""
FAN_TIP = 150.0
"""Tip speed of a ducted fan's rotor above which plastic rotors burst (classes run 110–140 m/s; judgement)."""
LEAST_CELL = 3.3
"""Volts per cell under load below which cells suffer (common practice)."""
POLE_PAIRS = 7.0
"""Of a usual outrunner, 14 magnets (common practice)."""
ELECTRICAL_RPM = 200_000.0
"""Shaft rpm × pole pairs a controller follows unless its data say more (from memory)."""
SOURCES = ("common-practice", "drela2005")


@dataclass(frozen=True)
class LimitUse:
    """One limit of one part and the share of it that is used over a set of rows (cases × speeds)."""

    part: str
    what: str
    limit: float
    unit: str
    used: Floats
    """Actual over limit, shape as the rows; above 1 the limit is passed."""


def limits_used(flown: Flown, rows: Solutions, state: PowerState, shape: tuple[int, ...]) -> list[LimitUse]:
    """Return the use of every limit in settled rows.

    Parameters
    ----------
    flown : Flown
        The aeroplane, for names and limits.
    rows : Solutions
        Solved.
    state : PowerState
        Of these rows.
    shape : tuple of int
        To which the rows are folded.

    Returns
    -------
    list of LimitUse
        Limits that are not told are left out.
    """
    found: list[LimitUse] = []
    names, parts = flown.rows.names, flown.rows

    def add(part: str, what: str, limit: float, unit: str, actual: Any) -> None:
        if limit > 0.0:
            found.append(LimitUse(part, what, limit, unit, np.asarray(actual / limit).reshape(shape)))

    for i, (name, thruster) in enumerate(zip(names.thrusters, parts.thrusters, strict=True)):
        motor = state.motors[:, i]
        add(name, "current of the motor", float(thruster["motor_current_limit"]), "A", motor[:, WINDING])
        add(name, "current of the controller", float(thruster["controller_current_limit"]), "A", motor[:, WINDING])
        speed = motor[:, MOTOR_SPEED] / float(thruster["gear_ratio"])
        tip = 0.5 * speed * float(thruster["diameter"])
        if thruster["kind"] == FAN:
            add(name, "tip speed of the fan", FAN_TIP, "m/s", tip)
            add(name, "speed of the duct's jet", 1.0, "1", _duct_use(rows, thruster))
        else:
            most = INCH_RPM[float(thruster["family"])] / (float(thruster["diameter"]) / INCH) * RPM_TO_RAD
            add(name, "speed of the propeller", most, "rad/s", speed)
            add(name, "tip speed of the propeller", TIP_MACH * SOUND, "m/s", np.hypot(tip, rows.flight[:, 0]))
        most = ELECTRICAL_RPM / POLE_PAIRS * RPM_TO_RAD
        add(name, "electrical speed of the controller", most, "rad/s", motor[:, MOTOR_SPEED])
    count = len(names.thrusters)
    for i, (name, drive) in enumerate(zip(names.drives, parts.drives, strict=True)):
        motor = state.motors[:, count + i]
        add(name, "current of the drive's motor", float(drive["motor_current_limit"]), "A", motor[:, WINDING])
        add(name, "current of the drive's controller", float(drive["controller_current_limit"]), "A", motor[:, BUS])
        add(name, "duty of the drive", 1.0, "1", motor[:, DUTY])
    for i, (name, pack) in enumerate(zip(names.batteries, parts.batteries, strict=True)):
        add(name, "current rating of the cells", float(pack["current_limit"]), "A", state.current[:, i])
        sag = (_rest_voltage(rows, i) - state.voltage[:, i]) / float(pack["cells"])
        room = _rest_voltage(rows, i) / float(pack["cells"]) - LEAST_CELL
        found.append(LimitUse(name, "sag of the pack to 3.3 V per cell", LEAST_CELL, "V", (sag / room).reshape(shape)))
    return found


def _rest_voltage(rows: Solutions, pack: int) -> Floats:
    """Return the rest voltage of a pack in each row [V]."""
    numbers, table = rows.numbers, rows.tables.power[0]
    cases = np.array(
        [
            rest_voltage(numbers.batteries[case, pack], table, numbers.factors[case])
            for case in range(len(numbers.vehicle))
        ]
    )
    return np.asarray(cases[rows.cases], dtype=np.float64)


def _duct_use(rows: Solutions, thruster: Any) -> Floats:
    """Return airspeed over the airspeed at which the jet gives no thrust any more (exit speed at rest × 1.03)."""
    air = rows.numbers.air["density"][rows.cases]
    thrust = rows.steady["thrust"] / max(rows.numbers.thrusters.shape[1], 1)
    speed = rows.flight[:, 0]
    area = float(thruster["exit_area"])
    # T = ρ A v² (1 − 0.86 y − 0.10 y²) with y = V/v, solved for v by a few fixed-point steps from the static value
    exit_speed = np.sqrt(np.maximum(thrust, 1.0e-3) / (air * area))
    for _ in range(12):
        y = np.minimum(speed / exit_speed, 0.98)
        exit_speed = np.sqrt(np.maximum(thrust, 1.0e-3) / (air * area * (1.0 - 0.86 * y - 0.10 * y * y)))
    return np.asarray(speed / (1.03 * exit_speed), dtype=np.float64)


def first_to_bite(limits: list[LimitUse], at: Any) -> LimitUse | None:
    """Return the limit that is used most at an index of the folded rows; None where nothing is known."""
    best, most = None, -math.inf
    for limit in limits:
        used = float(limit.used[at])
        if math.isfinite(used) and used > most:
            best, most = limit, used
    return best
