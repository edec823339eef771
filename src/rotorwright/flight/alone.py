"""One steady condition of a bare list of parts, for checks by hand: no aircraft file, no bands, SI in and out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import SimpleNamespace

import numpy as np

from rotorwright.base import records
from rotorwright.base.records import NO_CHANNEL, NONE
from rotorwright.flight import steady as variables
from rotorwright.flight.ledger import STEADY
from rotorwright.flight.numbers import air_record, assemble
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
    rows = {}
    for kind, (dtype, defaults) in KINDS.items():
        stated = parts.get(kind, ())
        rows[kind] = np.zeros(len(stated), dtype=dtype)
        for i, part in enumerate(stated):
            for name, value in (defaults | dict(part)).items():
                if name not in (dtype.names or ()):
                    raise KeyError(f"{kind} have no field {name!r}")
                rows[kind][name][i] = value
    unknown = (set(parts) - set(KINDS)) | (set(flight) - set(FLIGHT)) | (set(free) - set(FLIGHT))
    if unknown:
        raise KeyError(f"unknown names: {sorted(unknown)}")
    air = air_record(air_density, air_viscosity, gravity, (0.0, 0.0, 0.0))
    solutions = Solutions(assemble(SimpleNamespace(**rows), air), np.zeros(1, dtype=np.int64))
    for name, value in flight.items():
        solutions.flight[0, getattr(variables, name.upper())] = value
    solutions.solve(tuple(getattr(variables, name.upper()) for name in free), GUESS_INNER)
    return {name: float(solutions.steady[name][0]) for name in STEADY.names or ()}
