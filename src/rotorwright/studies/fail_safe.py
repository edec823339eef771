"""What fail-safe and kill switch do to this aeroplane: thrusters and rotor drive cut or held, both sides shown."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.base.status import NOT_CONVERGED
from rotorwright.flight.envelope import GLIDE, GLIDE_OFF
from rotorwright.flight.numbers import physics_tables
from rotorwright.flight.solver import GUESS_INNER
from rotorwright.flight.steady import COMMAND
from rotorwright.physics.rotor.start import net_torque
from rotorwright.studies.absence import reason
from rotorwright.studies.balance_quantities import Reader
from rotorwright.studies.heat_plan import CAUTION, STOP, HeatBench
from rotorwright.studies.heat_plan_run import DRAWN, POWER
from rotorwright.studies.held_flight import held_flight
from rotorwright.studies.power_plan import FULL, LEVEL, Phase
from rotorwright.studies.sources import BATTERY, FLIGHT, MASS, lift_sources, power_sources, torque_sources

Floats = npt.NDArray[np.float64]

HEIGHT = 30.0
"""From which glides are told [m]: an ordinary circuit."""
SPIN_LEFT = 0.7
"""Share of the rotor speed at which a drum has lost about a third of its lift."""
LIFT_DROOP = 0.1
"""Loss of lift at which the rotor-speed alarm speaks: about what a 25° bank asks for (1/cos 25° = 1.10)."""
RAIL_ALARM = 4.8
"""Volts of a 5 V receiver rail below which to land (common practice; receivers fail near 3.5–4.3 V, from memory)."""
RAIL_NEEDS = 6.0
"""Pack volts below which a linear 5 V regulator no longer holds its rail (1 V of headroom, common practice)."""
POINTS = 15


@dataclass(frozen=True)
class FailSafe:
    """Consequences and alarms."""

    quantities: dict[str, Quantity]
    driven: bool
    rail_in_danger: bool
    """Whether full throttle on a nearly empty pack pulls it below what a linear 5 V regulator needs."""
    temperatures: dict[str, tuple[float, float]]
    """Caution and stop [K] for winding, case, controller, pack."""


def fail_safe(reader: Reader, bench: HeatBench) -> FailSafe:
    """Work out what happens when signals fail, and which alarms suit this aeroplane.

    Parameters
    ----------
    reader : Reader
        Of the flown aeroplane.
    bench : HeatBench
        Of the same.

    Returns
    -------
    FailSafe
    """
    flown = reader.flown
    driven = flown.numbers.drives.shape[1] > 0
    found = _glides(reader) | _held(reader) | _alarms(reader, bench)
    if driven:
        found |= _drive(reader, bench.level)
    found["alarm_rotor_speed"] = _droop(reader, bench.level, driven)
    if not len(flown.rows.rotors):
        del found["alarm_rotor_speed"]
    sag = found["alarm_full_voltage"]
    cells = float(flown.rows.batteries["cells"].min())
    rail = sag.nominal is not None and sag.nominal * cells < RAIL_NEEDS
    limits = {what: (CAUTION[what] + 273.15, STOP[what] + 273.15) for what in STOP}
    return FailSafe(found, driven, rail, limits)


def _glides(reader: Reader) -> dict[str, Quantity]:
    """Return what follows when the thrusters stop (rotor drives hold their speed)."""
    flown = reader.flown
    sources = lift_sources(flown) + FLIGHT
    mass = flown.numbers.vehicle["mass"]
    steady = flown.envelope.steady[:, GLIDE]
    there = (steady["status"] != NOT_CONVERGED) & (steady["climb"] < 0.0)
    sink = np.where(there, -steady["climb"], np.nan)
    speed = np.where(there, steady["airspeed"], np.nan)
    why = reason(flown, GLIDE, there)
    forward = np.sqrt(np.maximum(speed * speed - sink * sink, 0.0))
    return {
        "cut_glide_time": reader.quantity(HEIGHT / sink, "s", sources, why),
        "cut_glide_distance": reader.quantity(HEIGHT / sink * forward, "m", sources, why),
        "cut_arrival_energy": reader.quantity(0.5 * mass * speed * speed, "J", sources + MASS, why),
    }


def _held(reader: Reader) -> dict[str, Quantity]:
    """Return how far it flies on when the fail-safe holds the last throttle."""
    flown = reader.flown
    level = flown.envelope.steady[:, 1]
    range_ = np.where(level["status"] == 0, level["endurance"] * level["airspeed"], np.nan)
    sources = power_sources(flown) + BATTERY
    return {"hold_distance": reader.quantity(range_, "m", sources, "it cannot hold its height")}


def _drive(reader: Reader, level: npt.NDArray[Any]) -> dict[str, Quantity]:
    """Return how quickly the rotors slow down when the drive is cut, and what the sink is then."""
    flown = reader.flown
    numbers = flown.numbers
    table = physics_tables().rotor[0]
    times = np.full(len(level), np.nan)
    for case in range(len(level)):
        rotor = next((one for one in numbers.rotors[case] if one["drive"] >= 0), None)
        if rotor is None or not math.isfinite(float(level["airspeed"][case])):
            continue
        drive = numbers.drives[case, int(rotor["drive"])]
        start = float(level["command"][case]) * float(drive["speed"])
        inertia = float(rotor["polar_inertia"]) + float(drive["ratio"]) ** 2 * float(drive["motor_inertia"])
        air = numbers.air[case]
        about = (float(air["density"]), float(air["viscosity"]), numbers.factors[case])
        speeds = np.linspace(start, SPIN_LEFT * start, POINTS)
        torque = np.array(
            [net_torque(rotor, table, float(level["airspeed"][case]), float(speed), *about) for speed in speeds]
        ) - float(drive["idle_torque"])
        if (torque < 0.0).all():
            times[case] = float(np.trapezoid(inertia / torque, speeds))
    off = flown.envelope.steady[:, GLIDE_OFF]
    there = (off["status"] != NOT_CONVERGED) & (off["climb"] < 0.0)
    sources = torque_sources(flown) + MASS
    return {
        "cut_drive_slow_time": reader.quantity(times, "s", sources, "it goes on turning in the wind"),
        "cut_drive_sink": reader.quantity(
            np.where(there, -off["climb"], np.nan), "m/s", sources, reason(flown, GLIDE_OFF, there)
        ),
    }


def _droop(reader: Reader, level: npt.NDArray[Any], driven: bool) -> Quantity:
    """Return the rotor speed at which a tenth of the lift is gone at level speed.

    Notes
    -----
    Driven: level flight held with nine tenths of the command, lift compared, straight line between. Free: lift goes
    with the square of the airspeed and the spin ratio stays, so a tenth of the lift is half a tenth of the spin.
    """
    sources = lift_sources(reader.flown)
    turning = level["rotor_speed"]
    if not driven:
        return reader.quantity(turning * (1.0 - 0.5 * LIFT_DROOP), "rad/s", sources)
    slower = held_flight(reader.flown.numbers, level)
    slower.flight[:, COMMAND] *= 0.9
    slower.solve((), GUESS_INNER)
    lost = 1.0 - slower.steady["air_lift"] / level["air_lift"]
    share = np.where(slower.found & (lost > 1.0e-3), LIFT_DROOP / lost * 0.1, np.nan)
    why = "lift hardly depends on the rotor speed here"
    return reader.quantity(turning * (1.0 - np.minimum(share, 0.5)), "rad/s", sources, why)


def _alarms(reader: Reader, bench: HeatBench) -> dict[str, Quantity]:
    """Return volts per cell under load at the planned reserve, in level flight and at full throttle."""
    flown = reader.flown
    sources = power_sources(flown) + BATTERY
    found = {}
    for name, kind in (("alarm_cell_voltage", LEVEL), ("alarm_full_voltage", FULL)):
        _, packs, _ = bench.condition(Phase(kind, 1.0))
        volts = []
        for case in range(bench.cases):
            least = math.inf
            for i, pack in enumerate(flown.rows.batteries):
                there = packs[:, case, i, POWER] / np.maximum(packs[:, case, i, DRAWN], 1.0e-9)
                charge = 1.0 - float(pack["usable"])
                low, high = (float(there[k]) for k in (0, 1))
                first, second = (float(each) for each in bench.charges[:2])
                at = low + (charge - first) / (second - first) * (high - low)
                least = min(least, at / float(pack["cells"]))
            volts.append(least)
        found[name] = reader.quantity(np.array(volts), "V", sources)
    return found
