"""Spin-up of a driven rotor: ramp, current, energy, and the moment that turns the aeroplane meanwhile."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.flight.numbers import AeroplaneNumbers, physics_tables
from rotorwright.flight.solver import GUESS_INNER
from rotorwright.flight.steady import ELEVATOR
from rotorwright.physics.power.battery import pack_resistance, rest_voltage
from rotorwright.physics.power.motor import effective_resistance, effective_speed_constant, no_load_current_at
from rotorwright.physics.rotor.loads import rotor_torque
from rotorwright.physics.rotor.start import net_torque
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.sources import MOTORS, torque_sources

Floats = npt.NDArray[np.float64]

SPEEDS = 25
"""Rotor speeds from rest to the governed speed at which torques are looked up."""
ALLOWED_SHARE = 0.8
"""Of the weakest current limit, for the planned ramp (common practice: keep a fifth in hand)."""
SHORTEST_RAMP = 2.0
"""A heavy rotor is never asked to come up faster [s] (common practice)."""
CAUTIOUS_RATE = 25.0
"""Rise of motor voltage a sensorless controller follows safely [V/s]: a tenth of the 1 V in 4 ms at which one lost
step on a bench (read secondary); the tenth is judgement."""
UP_TO = 0.95
"""Share of the governed speed that counts as reached on full current."""


@dataclass(frozen=True)
class SpinUp:
    """How to bring one driven rotor up, and what that does to motor, pack and aeroplane."""

    ramp_time: Quantity
    """Planned: speed rises evenly from rest within the allowed share of the current limit [s]."""
    shortest_ramp: Quantity
    """The quickest even ramp within that share [s]."""
    full_current_time: Quantity
    """To 95 % of the speed with the weakest limit used up [s]."""
    current_limit: Quantity
    peak_current: Quantity
    """Of one motor on the planned ramp [A]."""
    current_without_ramp: Quantity
    """What one motor would draw at rest with full voltage put on it at once [A]."""
    voltage_step: Quantity
    """Motor voltage needed at the first turn [V]."""
    voltage_rate: Quantity
    """Mean rise of motor voltage on the ramp [V/s]."""
    pack_energy: Quantity
    """All drives together, from the pack [J]."""
    stored_energy: Quantity
    """In all driven rotors at full speed [J]."""
    moment_spinning_up: Quantity
    """On the aeroplane, nose-up positive [N m]: negative, it pushes the nose down."""
    moment_braking: Quantity
    """The same when the drives brake the rotors to rest within the ramp time [N m]."""
    elevator_share_up: Quantity
    """Size of the first moment over that of full elevator at level speed [1]."""
    elevator_share_braking: Quantity
    curve: dict[str, tuple[float, ...]]
    """Nominal ramp: time [s], rotor_speed [rad/s], current [A], motor_voltage [V]."""
    notes: tuple[str, ...] = ()

    def quantities(self) -> dict[str, Quantity]:
        """Return every quantity by name, in reading order."""
        return {part.name: value for part in fields(self) if isinstance(value := getattr(self, part.name), Quantity)}


class _Drive:
    """One drive with the first rotor it turns, in one case of a batch: torques and currents over rotor speed."""

    def __init__(self, numbers: AeroplaneNumbers, case: int, row: int, airspeed: float) -> None:
        tables = physics_tables()
        self.drive = drive = numbers.drives[case, row]
        served = [one for one in numbers.rotors[case] if int(one["drive"]) == row]
        self.rotor, self.count = served[0], max(float(drive["rotors"]), 1.0)
        factors, air = numbers.factors[case], numbers.air[case]
        battery = numbers.batteries[case, int(drive["battery"])]
        self.speeds = np.linspace(0.0, float(drive["speed"]), SPEEDS)
        about = (float(air["density"]), float(air["viscosity"]), factors)
        held = tables.rotor[0]
        load = np.array([-net_torque(self.rotor, held, 0.0, float(speed), *about) for speed in self.speeds])
        self.air_in_flight = np.array(
            [rotor_torque(self.rotor, held, airspeed, float(speed), *about) for speed in self.speeds]
        )
        idle = float(drive["idle_torque"]) * np.tanh(self.speeds / 2.0)
        self.load: Floats = load + idle
        self.ratio, self.passed = float(drive["ratio"]), float(drive["efficiency"])
        self.constant = effective_speed_constant(float(drive["motor_speed_constant"]), factors)
        self.resistance = effective_resistance(
            float(drive["motor_resistance"]), float(drive["controller_resistance"]), factors
        )
        self.idle_current = np.array(
            [
                no_load_current_at(
                    self.constant, float(drive["motor_no_load_current"]), float(drive["motor_no_load_voltage"]),
                    float(speed) * self.ratio,
                )
                for speed in self.speeds
            ]
        )  # fmt: skip
        sharing = sum(1 for each in numbers.drives[case] if each["battery"] == drive["battery"])
        self.rest = rest_voltage(battery, tables.power[0], factors)
        self.pack = pack_resistance(battery, factors) * sharing
        self.sharing = float(sharing)
        self.switching = float(factors["controller_efficiency"])
        geared = self.ratio * float(drive["motor_inertia"]) / self.count
        self.spin_inertia = float(self.rotor["polar_inertia"]) + self.ratio * geared
        self.momentum_inertia = float(self.rotor["polar_inertia"]) + geared

    def limit(self, battery_limit: float) -> tuple[float, str]:
        """Return the weakest current limit of one motor and what it belongs to."""
        limits = {
            "motor": float(self.drive["motor_current_limit"]),
            "controller": float(self.drive["controller_current_limit"]),
            "battery": battery_limit / self.sharing,
        }
        told = {name: size for name, size in limits.items() if size > 0.0}
        if not told:
            return math.inf, "nothing told"
        name = min(told, key=lambda key: told[key])
        return told[name], name

    def current(self, acceleration: float) -> Floats:
        """Return the motor current that gives an acceleration at every speed [A]."""
        torque = self.count * (self.spin_inertia * acceleration + self.load) / (self.ratio * self.passed)
        return np.asarray(torque * self.constant + self.idle_current, dtype=np.float64)

    def acceleration(self, current_limit: float) -> Floats:
        """Return the acceleration that a current limit and the pack's voltage allow at every speed [rad/s²]."""
        back = self.speeds * self.ratio / self.constant
        current = np.minimum(current_limit, (self.rest - back) / (self.resistance + self.pack))
        torque = (current - self.idle_current) / self.constant
        return np.asarray(
            (self.ratio * self.passed * torque / self.count - self.load) / self.spin_inertia, dtype=np.float64
        )

    def voltage(self, current: Floats) -> Floats:
        """Return the motor voltage at every speed for a current [V]."""
        return np.asarray(self.speeds * self.ratio / self.constant + current * self.resistance, dtype=np.float64)


def spin_up_plan(flown: Flown, reader: Reader, level: Any, *, ramp_time: float | None = None) -> SpinUp:
    """Return the plan for the first drive of a flown aeroplane; drives are taken as equal.

    Parameters
    ----------
    flown : Flown
        With at least one drive.
    reader : Reader
        Of the same aeroplane.
    level : array of STEADY records, shape (cases,)
        The flight in which the moments are set against the elevator.
    ramp_time : float, optional
        Wished-for time from rest to the governed speed [s]; else the shortest that keeps a fifth of every current
        limit in hand, at least 2 s.

    Notes
    -----
    Still air, pack as full as the file says. I a = ratio·efficiency·Q_motor − losses of air, bearings and belt, with I
    of rotor and geared motor. On the aeroplane acts −(J a − Q_air), J a the rate of spin momentum of rotor and motor,
    Q_air the torque of the air on the rotor at level speed; belt drive, all turning one way. Formulas:
    docs/physics/rotor-drive.md.
    """
    numbers = flown.numbers
    battery_limit = float(numbers.batteries[0, int(numbers.drives[0, 0]["battery"])]["current_limit"])
    cases = [_Drive(numbers, case, 0, float(level["airspeed"][case])) for case in range(len(numbers.vehicle))]
    limit, owner = cases[0].limit(battery_limit)
    rows = [_ramp(case, limit, ramp_time) for case in cases]
    rotors = float((numbers.rotors[0]["drive"] >= 0).sum())
    drives = float(numbers.drives.shape[1])
    elevator = elevator_moment(numbers, level)
    up = np.array([row["up"] for row in rows]) * rotors
    braking = np.array([row["braking"] for row in rows]) * rotors
    weak = "the drive does not reach its speed within the current limit"
    electric, spinning = MOTORS, (*torque_sources(flown), "mechanics")

    def quantity(name: str, unit: str, sources: tuple[str, ...], scale: float = 1.0) -> Quantity:
        return reader.quantity([row[name] * scale for row in rows], unit, sources, weak)

    stored = [0.5 * float(case.rotor["polar_inertia"]) * case.speeds[-1] ** 2 * rotors for case in cases]
    nominal = rows[0]
    return SpinUp(
        ramp_time=quantity("ramp", "s", electric + spinning),
        shortest_ramp=quantity("shortest", "s", electric + spinning),
        full_current_time=quantity("full", "s", electric + spinning),
        current_limit=reader.quantity([limit] * len(rows), "A", electric, "no current limit is told"),
        peak_current=quantity("peak", "A", electric + spinning),
        current_without_ramp=quantity("slam", "A", electric),
        voltage_step=quantity("step", "V", electric),
        voltage_rate=quantity("rate", "V/s", electric),
        pack_energy=quantity("energy", "J", electric + spinning, drives),
        stored_energy=reader.quantity(stored, "J", ("mechanics",)),
        moment_spinning_up=reader.quantity(-up, "N m", spinning, weak),
        moment_braking=reader.quantity(braking, "N m", spinning, weak),
        elevator_share_up=reader.quantity(np.abs(up) / elevator, "1", spinning, "no elevator"),
        elevator_share_braking=reader.quantity(np.abs(braking) / elevator, "1", spinning, "no elevator"),
        curve=nominal["curve"],
        notes=_notes(nominal, owner, limit, ramp_time),
    )


def _ramp(case: _Drive, limit: float, wished: float | None) -> dict[str, Any]:
    """Return the figures of one case's ramp; NaN where the drive cannot reach its speed."""
    top = float(case.speeds[-1])
    least = float(case.acceleration(ALLOWED_SHARE * limit).min())
    shortest = top / least if least > 0.0 else math.nan
    ramp = wished if wished is not None else max(shortest, SHORTEST_RAMP)
    acceleration = top / ramp
    current = case.current(acceleration)
    voltage = case.voltage(current)
    drawn = float(np.trapezoid(np.maximum(voltage * current, 0.0), case.speeds)) / acceleration / case.switching
    quick = case.acceleration(limit)
    there = case.speeds <= UP_TO * top
    full = math.nan
    if quick[there].min() > 0.0:
        full = float(np.trapezoid(1.0 / quick[there], case.speeds[there]))
    spin_up = case.momentum_inertia * acceleration
    return {
        "ramp": ramp,
        "shortest": shortest,
        "full": full,
        "peak": float(current.max()),
        "slam": case.rest / (case.resistance + case.pack),
        "step": float(voltage[0]),
        "rate": float(voltage[-1] - voltage[0]) / ramp,
        "energy": drawn,
        "up": float((spin_up - case.air_in_flight).max()),
        "braking": float((spin_up + case.air_in_flight).max()),
        "curve": {
            "time": tuple(map(float, case.speeds / acceleration)),
            "rotor_speed": tuple(map(float, case.speeds)),
            "current": tuple(map(float, current)),
            "motor_voltage": tuple(map(float, voltage)),
        },
    }


def elevator_moment(numbers: AeroplaneNumbers, level: Any) -> Floats:
    """Return half the change of pitching moment from full elevator down to full up at level speed [N m].

    Parameters
    ----------
    numbers : AeroplaneNumbers
    level : array of STEADY records, shape (cases,)
        Airspeed, attitude, throttle and command are taken from it.
    """
    moments = []
    for elevator in (-1.0, 1.0):
        rows = held_flight(numbers, level)
        rows.flight[:, ELEVATOR] = elevator
        moments.append(rows.solve((), GUESS_INNER).steady["pitching_moment"])
    size = 0.5 * np.abs(moments[0] - moments[1])
    return np.where(size > 1.0e-6, size, np.nan)


def _notes(nominal: dict[str, Any], owner: str, limit: float, wished: float | None) -> tuple[str, ...]:
    notes = []
    if math.isfinite(limit):
        notes.append(f"the weakest current limit is the {owner}'s, {limit:.2g} A for each motor")
    if wished is not None and math.isfinite(nominal["shortest"]) and wished < nominal["shortest"]:
        notes.append("the ramp asked for takes more than four fifths of that limit: the controller may cut out")
    if nominal["slam"] > limit:
        notes.append(
            f"full voltage at rest would drive {nominal['slam'] / limit:.1f} times the limit through the motor: the "
            "controller must ramp"
        )
    notes.append(
        "controllers without sensors guess where the motor stands until it turns: start slowly, and keep the rise of "
        f"motor voltage below {CAUTIOUS_RATE:.0f} V/s (common practice; a bench saw steps lost at ten times that)"
    )
    return tuple(notes)
