"""A bare list of parts in steady flight or in motion, for checks by hand: no aircraft file, no bands, SI throughout."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import SimpleNamespace

import numpy as np

from rotorwright.base import records
from rotorwright.base.records import NO_CHANNEL, NONE
from rotorwright.flight import steady as variables
from rotorwright.flight.equation import state_rates
from rotorwright.flight.layout import (
    FORCES,
    MOMENTS,
    OFF,
    QUATERNION,
    RATES,
    ROTOR_SPEEDS,
    controls_size,
    loads_size,
    state_size,
)
from rotorwright.flight.ledger import STEADY
from rotorwright.flight.numbers import AeroplaneNumbers, air_record, assemble, case_of, physics_tables
from rotorwright.flight.solver import GUESS_INNER, Solutions

KINDS = {
    "rotors": (records.ROTOR, {"drive": NONE, "turning": 1.0}),
    "surfaces": (records.SURFACE, {"control": NO_CHANNEL, "control_sign": 1.0}),
    "bodies": (records.BODY, {}),
    "thrusters": (records.THRUSTER, {"working": 1.0, "thrust_scale": 1.0, "power_scale": 1.0}),
    "drives": (records.DRIVE, {}),
    "batteries": (records.BATTERY, {}),
    "wheels": (records.WHEEL, {}),
    "masses": (records.MASS, {"rotor": NONE, "weighed": 1.0}),
}
"""Each kind of part with the defaults that are not zero."""

FLIGHT = ("airspeed", "climb", "incidence", "throttle", "elevator", "command", "bank", "extra_mass")


def steady_flight_alone(
    *,
    parts: Mapping[str, Sequence[Mapping[str, float]]],
    flight: Mapping[str, float],
    free: Sequence[str],
    air_density: float = 1.225,
    air_viscosity: float = 1.789e-5,
    gravity: float = 9.80665,
) -> dict[str, float]:
    """Return the steady condition that a bare list of parts settles in, with every Unknown at its median.

    Parameters
    ----------
    parts : mapping of kind to rows
        Kinds are those of `KINDS`; a row maps field names of its record to numbers, what is left out is zero.
    flight : mapping
        Flight variables of `FLIGHT` that are held, and first guesses of the free ones; the rest is zero.
    free : sequence of str
        Three flight variables to solve for.
    air_density, air_viscosity, gravity : float
        [kg/m³], [Pa s], [m/s²]

    Returns
    -------
    dict
        Fields of `rotorwright.flight.ledger.STEADY`; status 0 means solved, NaN that there is no balance.

    Raises
    ------
    KeyError
        If a kind, a field or a flight variable has another name.
    """
    unknown = (set(flight) - set(FLIGHT)) | (set(free) - set(FLIGHT))
    if unknown:
        raise KeyError(f"unknown names: {sorted(unknown)}")
    numbers = assemble_parts(parts, air_density, air_viscosity, gravity)
    solutions = Solutions(numbers, np.zeros(1, dtype=np.int64))
    for name, value in flight.items():
        solutions.flight[0, getattr(variables, name.upper())] = value
    solutions.solve(tuple(getattr(variables, name.upper()) for name in free), GUESS_INNER)
    return {name: float(solutions.steady[name][0]) for name in STEADY.names or ()}


def assemble_parts(
    parts: Mapping[str, Sequence[Mapping[str, float]]],
    air_density: float = 1.225,
    air_viscosity: float = 1.789e-5,
    gravity: float = 9.80665,
    wind: Sequence[float] = (0.0, 0.0, 0.0),
) -> AeroplaneNumbers:
    """Return a bare list of parts as one case of aeroplane numbers, with every Unknown at its median.

    Parameters
    ----------
    parts : mapping of kind to rows
        Kinds are those of `KINDS`; a row maps field names of its record to numbers, what is left out is zero.
    air_density, air_viscosity, gravity : float
        [kg/m³], [Pa s], [m/s²]
    wind : sequence of float, length 3
        Velocity of the air towards north, east and down [m/s].

    Raises
    ------
    KeyError
        If a kind or a field has another name.
    """
    unknown = set(parts) - set(KINDS)
    if unknown:
        raise KeyError(f"unknown kinds of part: {sorted(unknown)}")
    rows = {}
    for kind, (dtype, defaults) in KINDS.items():
        stated = parts.get(kind, ())
        rows[kind] = np.zeros(len(stated), dtype=dtype)
        for i, part in enumerate(stated):
            for name, value in (defaults | dict(part)).items():
                if name not in (dtype.names or ()):
                    raise KeyError(f"{kind} have no field {name!r}")
                rows[kind][name][i] = value
    north, east, down = wind
    return assemble(SimpleNamespace(**rows), air_record(air_density, air_viscosity, gravity, (north, east, down)))


def rates_alone(
    *,
    parts: Mapping[str, Sequence[Mapping[str, float]]],
    velocity: Sequence[float] = (0.0, 0.0, 0.0),
    body_rates: Sequence[float] = (0.0, 0.0, 0.0),
    attitude: Sequence[float] = (0.0, 0.0, 0.0),
    spins: Sequence[float] = (),
    controls: Sequence[float] = (),
    air_density: float = 1.225,
    air_viscosity: float = 1.789e-5,
    gravity: float = 9.80665,
    wind: Sequence[float] = (0.0, 0.0, 0.0),
) -> dict[str, float]:
    """Return forces, moments and accelerations of a bare list of parts in one state of motion.

    Parameters
    ----------
    parts : mapping of kind to rows
        See `assemble_parts`.
    velocity : sequence of float, length 3
        Of the CG over the ground, body axes [m/s].
    body_rates : sequence of float, length 3
        Roll, pitch and yaw rate [rad/s].
    attitude : sequence of float, length 3
        Roll, pitch and yaw angle [rad].
    spins : sequence of float
        Speeds of the rotors, then of the thruster shafts [rad/s]; what is left out stands still.
    controls : sequence of float
        Elevator, rudder, aileron, flap (−1…1), then throttles and drive duties; what is left out is zero or off.
    air_density, air_viscosity, gravity, wind
        See `assemble_parts`.

    Returns
    -------
    dict
        ``force_x`` … ``moment_z`` of air and motors on the airframe about the CG [N], [N m]; ``u``, ``v``, ``w``,
        ``p``, ``q``, ``r`` and ``spin_0`` …: the rates of change of these [m/s²], [rad/s²]; ``north``, ``east``,
        ``down``: velocity over the ground [m/s].
    """
    numbers = assemble_parts(parts, air_density, air_viscosity, gravity, wind)
    rotors, thrusters = numbers.rotors.shape[1], numbers.thrusters.shape[1]
    state = np.zeros(state_size(rotors, thrusters))
    state[:3], state[RATES : RATES + 3] = velocity, body_rates
    state[QUATERNION : QUATERNION + 4] = attitude_quaternion(*attitude)
    state[ROTOR_SPEEDS : ROTOR_SPEEDS + len(spins)] = spins
    drives = numbers.drives.shape[1]
    stick = np.zeros(controls_size(thrusters, drives))
    stick[4:] = OFF
    stick[: len(controls)] = controls
    loads = np.zeros(loads_size(rotors, thrusters, numbers.batteries.shape[1]))
    rates = np.zeros_like(state)
    state_rates(case_of(numbers, 0), physics_tables(), state, stick, loads, rates, np.zeros(3))
    found = {f"force_{axis}": float(loads[FORCES + k]) for k, axis in enumerate("xyz")}
    found |= {f"moment_{axis}": float(loads[MOMENTS + k]) for k, axis in enumerate("xyz")}
    names = ("u", "v", "w", "p", "q", "r", "", "", "", "", "north", "east", "down")
    found |= {name: float(rates[k]) for k, name in enumerate(names) if name}
    return found | {f"spin_{k}": float(rates[ROTOR_SPEEDS + k]) for k in range(rotors + thrusters)}


def attitude_quaternion(roll: float, pitch: float, yaw: float) -> tuple[float, float, float, float]:
    """Return the attitude quaternion of the usual turn order: yaw, then pitch, then roll."""
    cr, sr = math.cos(0.5 * roll), math.sin(0.5 * roll)
    cp, sp = math.cos(0.5 * pitch), math.sin(0.5 * pitch)
    cy, sy = math.cos(0.5 * yaw), math.sin(0.5 * yaw)
    return (
        cr * cp * cy + sr * sp * sy,
        sr * cp * cy - cr * sp * sy,
        cr * sp * cy + sr * cp * sy,
        cr * cp * sy - sr * sp * cy,
    )
