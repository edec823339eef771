"""What to measure on the bench: throttle steps of one thruster with what to expect and where to stop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import BROAD_SLOW, ENGINE_TYPE, PROPELLER
from rotorwright.base.unknown import nominal_factors
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.physics.air.atmosphere import air_state
from rotorwright.physics.power.battery import pack_resistance, rest_voltage
from rotorwright.physics.power.tables import power_tables
from rotorwright.studies.bench_motor import MotorAndPropellerResult, motor_and_propeller_alone
from rotorwright.studies.bench_point import LABELS
from rotorwright.studies.bench_rig_use import labels_of
from rotorwright.studies.custom_blade import filled

THROTTLES = (0.4, 0.55, 0.7, 0.85, 1.0)
"""Steps of a run (common practice): few, from small to full, each held until the readings stand still."""
HOLD = 10.0
"""Seconds a step is held (common practice)."""
CASE_STOP = 353.15
"""Case temperature at which the run ends [K] (common practice: 80 °C, common magnets lose strength above)."""
CELL_STOP = 3.3
"""Volts a cell at which the run ends (common practice)."""
_FAMILY = {BROAD_SLOW: "broad slow", ENGINE_TYPE: "engine-type"}


@dataclass(frozen=True)
class BenchStep:
    """One throttle step with what to expect."""

    throttle: float
    voltage: float
    """At the controller, pack as charged as the file says, nominal [V]."""
    expected: MotorAndPropellerResult


@dataclass(frozen=True)
class BenchPlan:
    """The run of one thruster on the bench."""

    aeroplane: Aeroplane
    thruster: str
    steps: tuple[BenchStep, ...]
    current_stop: float
    """Weakest current limit of motor, controller and pack [A]; 0 if none is told."""
    cells: int
    tip_speed: Quantity
    """At full throttle [m/s]."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        names = ("rotor_speed", "current", "thrust", "electrical_power", "winding_temperature")
        return {
            "thruster": self.thruster,
            "current_stop": self.current_stop,
            "case_temperature_stop": CASE_STOP,
            "voltage_stop": CELL_STOP * self.cells,
            "tip_speed": self.tip_speed.as_dict(),
            "steps": [
                {
                    "throttle": step.throttle,
                    "voltage": step.voltage,
                    **{name: getattr(step.expected, name).as_dict() for name in names},
                }
                for step in self.steps
            ],
        }


def times(quantity: Quantity, factor: float, unit: str) -> Quantity:
    """Return a quantity times a positive number, in another unit."""
    value, low, high, nominal = (
        None if number is None else number * factor
        for number in (quantity.value, quantity.low, quantity.high, quantity.nominal)
    )
    return Quantity(
        value, low, high, nominal, unit, quantity.share, quantity.support, quantity.sources, quantity.reason
    )


def thruster_asked(aeroplane: Aeroplane, thruster: str | None) -> str:
    """Return the name of the thruster meant, the only one if none is named.

    Raises
    ------
    InputError
        If there is none of that name, or several and none is named.
    """
    names = tuple(aeroplane.tables.thruster)
    if not names:
        raise InputError("describes no thruster", place=aeroplane.source)
    if thruster is None and len(names) == 1:
        return names[0]
    if thruster in names:
        return str(thruster)
    found = "none named" if thruster is None else thruster
    raise InputError("which thruster was on the bench?", place=aeroplane.source, found=found, allowed=", ".join(names))


def bench_plan(aeroplane: Aeroplane, thruster: str | None = None) -> BenchPlan:
    """Return the bench run of a propeller thruster: steps, expected readings, where to stop.

    Parameters
    ----------
    aeroplane : Aeroplane
    thruster : str, optional
        Which one, if there are several.

    Raises
    ------
    InputError
        If there is no such thruster, or it is a fan.
    """
    name = thruster_asked(aeroplane, thruster)
    rows = filled(aeroplane)
    row = rows.thrusters[rows.names.thrusters.index(name)]
    if row["kind"] != PROPELLER:
        raise InputError("bench runs are for propellers", place=aeroplane.source, field=f"thruster.{name}")
    pack = rows.batteries[int(row["battery"])]
    factors = nominal_factors(1)[0]
    rest, resistance = rest_voltage(pack, power_tables(), factors), pack_resistance(pack, factors)
    labels = labels_of(row)
    motor = {label[0]: float(value) for label, value in zip(LABELS, labels, strict=True)}
    propeller = {
        "diameter": float(row["diameter"]),
        "pitch": float(row["pitch"]),
        "family": _FAMILY.get(float(row["family"]), "narrow"),
        "blades": int(row["blades"]),
    }
    site = aeroplane.field
    density, viscosity = air_state(site.elevation, site.temperature, site.humidity, site.pressure or 0.0)
    steps = []
    for throttle in THROTTLES:
        voltage = float(rest)
        for _ in range(3):
            asked = motor_and_propeller_alone(
                motor=motor, propeller=propeller, voltage=voltage, throttle=throttle, air_density=density,
                air_viscosity=viscosity, air_temperature=site.temperature, running_time=HOLD,
            )  # fmt: skip
            drawn = asked.current.nominal or 0.0
            voltage = max(float(rest) - resistance * drawn, 0.4 * float(rest))
        steps.append(BenchStep(throttle, voltage, asked))
    limits = [float(row["motor_current_limit"]), float(row["controller_current_limit"]), float(pack["current_limit"])]
    told = [limit for limit in limits if limit > 0.0]
    full = steps[-1].expected.rotor_speed
    tip = times(full, 0.5 * float(row["diameter"]), "m/s")
    return BenchPlan(aeroplane, name, tuple(steps), min(told, default=0.0), int(pack["cells"]), tip)
