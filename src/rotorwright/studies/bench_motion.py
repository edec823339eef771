"""Bench call: one rigid body let go in the air, as the published check cases of flight simulations do it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.base.errors import InputError
from rotorwright.flight.rigid_body import Body, Surroundings, Three, Wind, as_seen, fly_body, start_state
from rotorwright.studies import bench_inputs as check

Floats = npt.NDArray[np.float64]

PLACE = "rigid_body_alone"
MOST_STEPS = 2_000_000
COEFFICIENTS = {
    "drag_coefficient": ("drag_coefficient", "CD"),
    "roll_damping": ("roll_damping", "Clp"),
    "pitch_damping": ("pitch_damping", "Cmq"),
    "yaw_damping": ("yaw_damping", "Cnr"),
}
"""Names of the coefficients and the symbols that trade and textbooks write for them; either is understood."""


@dataclass(frozen=True)
class Motion:
    """Histories of a body's motion, one value a step; angles in rad, rates relative to space."""

    time: Floats
    """[s]"""
    latitude: Floats | None
    """Geodetic [rad]; None on the flat Earth."""
    longitude: Floats | None
    """[rad]; None on the flat Earth."""
    north: Floats | None
    """[m]; None on the turning Earth."""
    east: Floats | None
    """[m]; None on the turning Earth."""
    height: Floats
    """[m]"""
    velocity_north: Floats
    """Over the ground [m/s]."""
    velocity_east: Floats
    velocity_down: Floats
    roll: Floats
    """Against north-east-down where the body is [rad]."""
    pitch: Floats
    yaw: Floats
    roll_rate: Floats
    """About the body's x axis, relative to space [rad/s]."""
    pitch_rate: Floats
    yaw_rate: Floats
    turning_energy: Floats
    """Kinetic energy of the turning [J]."""
    angular_momentum: Floats
    """Its size [N m s]."""

    def at(self, time: float) -> dict[str, float]:
        """Return every history at one time, straight between steps.

        Parameters
        ----------
        time : float
            [s], within the duration.

        Raises
        ------
        InputError
            If the time lies outside.
        """
        check.number("time", time, low=0.0, high=float(self.time[-1]), unit="s", place=PLACE)
        found = {}
        for each in fields(self):
            history = getattr(self, each.name)
            if history is not None:
                found[each.name] = float(np.interp(time, self.time, history))
        return found


def rigid_body_alone(
    *,
    mass: float,
    inertia: Sequence[float] | Sequence[Sequence[float]],
    reference: Mapping[str, float] | None = None,
    coefficients: Mapping[str, float] | None = None,
    initial_state: Mapping[str, Any],
    duration: float,
    step: float,
    earth: Literal["flat", "rotating"] = "flat",
    wind: Callable[[float], Sequence[float]] | Sequence[float] | None = None,
    gravity: float = GRAVITY,
    air_density: float | None = None,
) -> Motion:
    """Let a rigid body go and follow it.

    Parameters
    ----------
    mass : float
        [kg]
    inertia : sequence
        Three principal moments, or the 3 × 3 inertia matrix in body axes (x forward, y right, z down) [kg m²].
    reference : mapping, optional
        ``area`` [m²], ``span`` [m] (for rolling and yawing), ``chord`` [m] (for pitching); needed where a coefficient
        uses them.
    coefficients : mapping, optional
        ``drag_coefficient`` (CD); ``roll_damping`` (Clp), ``yaw_damping`` (Cnr) per rate × span/(2 V) and
        ``pitch_damping`` (Cmq) per rate × chord/(2 V); negative damps. The textbook symbols are understood too.
    initial_state : mapping
        ``height`` [m]; ``velocity`` over the ground towards north, east, down [m/s]; ``attitude`` roll, pitch, yaw
        [rad]; ``rates`` about the body axes relative to space [rad/s], or ``rates_over_ground`` relative to the turning
        Earth; on the flat Earth ``north``, ``east`` [m], on the rotating one ``latitude``, ``longitude`` [rad]. What is
        left out is zero.
    duration, step : float
        [s]
    earth : str
        ``flat`` with constant gravity, or ``rotating``: WGS-84 with J2 and the Earth's rate.
    wind : callable or sequence, optional
        Function of height [m], or one vector: towards north, east, down [m/s].
    gravity : float
        Of the flat Earth [m/s²].
    air_density : float, optional
        [kg/m³]; the standard atmosphere of 1976 unless told.

    Returns
    -------
    Motion

    Raises
    ------
    InputError
        If a number is missing, not finite or outside its range, a name is unknown, or the inertia is none a body can
        have.

    Notes
    -----
    Newton and Euler in axes that do not turn, fourth-order Runge–Kutta at a constant step. Drag acts against the motion
    through the air at the centre of mass.
    Source: held by NASA/TM-2015-218675 (Murri, Jackson, Shelton 2015), check cases 1, 2, 6, 7 and 9.
    """
    if earth not in ("flat", "rotating"):
        raise InputError("is not known", place=PLACE, field="earth", found=repr(earth), allowed="flat, rotating")
    turning = earth == "rotating"
    body = _body(mass, inertia, reference or {}, coefficients or {})
    around = Surroundings(
        turning,
        check.number("gravity", gravity, low=0.0, high=100.0, unit="m/s²", place=PLACE),
        None
        if air_density is None
        else check.number("air_density", air_density, low=0.0, high=100.0, unit="kg/m³", place=PLACE),
        _wind(wind),
    )
    duration = check.number("duration", duration, low=0.0, high=1e5, unit="s", open_low=True, place=PLACE)
    step = check.number("step", step, low=1e-6, high=duration, unit="s", place=PLACE)
    steps = round(duration / step)
    if steps > MOST_STEPS:
        raise InputError("too many steps", place=PLACE, field="step", found=str(steps), allowed=f"up to {MOST_STEPS}")
    step = duration / steps
    place, velocity, attitude, rates = _start(initial_state, turning)
    start = start_state(around, place, velocity, attitude, rates)
    if turning and "rates_over_ground" in initial_state:
        start[10:] += _earth_rates(start)
    states = fly_body(body, around, start, step, steps)
    return _motion(body, around, states, step)


def _body(mass: float, inertia: Any, reference: Mapping[str, float], coefficients: Mapping[str, float]) -> Body:
    mass = check.number("mass", mass, low=0.0, high=1e9, unit="kg", open_low=True, place=PLACE)
    known: tuple[tuple[Mapping[str, float], tuple[str, ...], str], ...] = (
        (reference, ("area", "span", "chord"), "reference"),
        (coefficients, tuple(name for names in COEFFICIENTS.values() for name in names), "coefficients"),
    )
    for stated, allowed, field in known:
        for name in stated:
            if name not in allowed:
                raise InputError(
                    "is not known", place=PLACE, field=f"{field}.{name}", found=str(name), allowed=", ".join(allowed)
                )
    lengths = {
        name: check.number(f"reference.{name}", value, low=0.0, high=1e6, unit="", place=PLACE)
        for name, value in reference.items()
    }
    told = {}
    for name, names in COEFFICIENTS.items():
        given = [coefficients[each] for each in names if each in coefficients]
        if len(given) > 1:
            raise InputError("is given twice", place=PLACE, field=f"coefficients.{name}", found=", ".join(names))
        value = given[0] if given else 0.0
        told[name] = check.number(f"coefficients.{name}", value, low=-1e6, high=1e6, unit="", place=PLACE)
    needs = {"area": tuple(COEFFICIENTS), "span": ("roll_damping", "yaw_damping"), "chord": ("pitch_damping",)}
    for length, users in needs.items():
        for name in users:
            if told[name] and not lengths.get(length):
                raise InputError("is needed", place=PLACE, field=f"reference.{length}", found=f"none, but {name}")
    return Body(
        mass, _inertia(inertia), lengths.get("area", 0.0), lengths.get("span", 0.0), lengths.get("chord", 0.0), **told
    )


def _inertia(given: Any) -> tuple[float, float, float, float, float, float]:
    try:
        matrix = np.array(given, dtype=np.float64)
    except (TypeError, ValueError):
        matrix = np.empty(0)
    if matrix.shape == (3,):
        matrix = np.diag(matrix)
    problem = ""
    if matrix.shape != (3, 3) or not np.isfinite(matrix).all():
        problem = "three moments or a 3 × 3 matrix are needed"
    elif not np.allclose(matrix, matrix.T, rtol=1e-9, atol=0.0):
        problem = "the matrix must be symmetric"
    else:
        principal = np.linalg.eigvalsh(matrix)
        if principal[0] <= 0.0 or principal[2] > (principal[0] + principal[1]) * (1.0 + 1e-6):
            problem = "no body has this inertia: each principal moment is above zero and at most the sum of the others"
    if problem:
        raise InputError(problem, place=PLACE, field="inertia", found=repr(given)[:80], allowed="kg m²")
    xx, yy, zz = (float(value) for value in np.diag(matrix))
    return xx, yy, zz, float(matrix[0, 1]), float(matrix[0, 2]), float(matrix[1, 2])


def _three(field: str, given: Any) -> Three:
    if isinstance(given, str) or not isinstance(given, Sequence | np.ndarray) or len(given) != 3:
        raise InputError("three numbers are needed", place=PLACE, field=field, found=repr(given)[:60])
    x, y, z = (check.number(field, value, low=-1e7, high=1e7, unit="", place=PLACE) for value in given)
    return x, y, z


def _wind(given: Any) -> Wind | None:
    if given is None:
        return None
    if callable(given):
        return lambda height: _three("wind", given(height))
    steady = _three("wind", given)
    return lambda height: steady


def _start(given: Mapping[str, Any], turning: bool) -> tuple[Three, Three, Three, Three]:
    level = ("latitude", "longitude") if turning else ("north", "east")
    allowed = (*level, "height", "velocity", "attitude", "rates", "rates_over_ground")
    for name in given:
        if name not in allowed:
            raise InputError(
                "is not known", place=PLACE, field=f"initial_state.{name}", found=str(name), allowed=", ".join(allowed)
            )
    if "rates" in given and "rates_over_ground" in given:
        raise InputError("give one of them", place=PLACE, field="initial_state", found="rates and rates_over_ground")
    limit = math.pi if turning else 1e7
    first, second = (
        check.number(f"initial_state.{name}", given.get(name, 0.0), low=-limit, high=limit, unit="", place=PLACE)
        for name in level
    )
    height = check.number("initial_state.height", given.get("height", 0.0), low=-1e6, high=1e8, unit="m", place=PLACE)
    still = (0.0, 0.0, 0.0)
    rates = given.get("rates", given.get("rates_over_ground", still))
    return (
        (first, second, height),
        _three("initial_state.velocity", given.get("velocity", still)),
        _three("initial_state.attitude", given.get("attitude", still)),
        _three("initial_state.rates", rates),
    )


def _earth_rates(state: Floats) -> Floats:
    from rotorwright.flight.earth import EARTH_RATE
    from rotorwright.flight.turning import body_to_earth

    turned = body_to_earth(*(float(value) for value in state[6:10]))
    return EARTH_RATE * np.array(turned[6:9])


def _motion(body: Body, around: Surroundings, states: Floats, step: float) -> Motion:
    times = np.arange(len(states), dtype=np.float64) * step
    seen = [as_seen(around, time, state) for time, state in zip(times.tolist(), states, strict=True)]
    places, velocities, attitudes = (np.array(each) for each in zip(*seen, strict=True))
    rates = states[:, 10:]
    xx, yy, zz, xy, xz, yz = body.inertia
    momentum = rates @ np.array([[xx, xy, xz], [xy, yy, yz], [xz, yz, zz]])
    sizes = np.column_stack([0.5 * np.sum(rates * momentum, axis=1), np.linalg.norm(momentum, axis=1)])
    turning = around.turning
    return Motion(
        times,
        places[:, 0] if turning else None,
        places[:, 1] if turning else None,
        None if turning else places[:, 0],
        None if turning else places[:, 1],
        places[:, 2],
        *(np.ascontiguousarray(column) for column in np.hstack([velocities, attitudes, rates, sizes]).T),
    )
