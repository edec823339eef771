"""A rigid body with constant air coefficients under way: flat or turning Earth, wind that changes with height.

The body carries no rotor and no control: it is the part of the motion that published check cases exist for. Attitude
and turning are the kernels that the equation of motion uses.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.flight.earth import EARTH_RATE, geodetic, gravitation, place_of
from rotorwright.flight.turning import angular_acceleration, body_to_earth, quaternion_rates
from rotorwright.physics.air.atmosphere import geopotential_height, standard_atmosphere

Floats = npt.NDArray[np.float64]
Three = tuple[float, float, float]
Wind = Callable[[float], Three]
"""Height [m] → velocity of the air towards north, east and down [m/s]."""

SLOW = 1.0e-9
"""Airspeed below which the air does nothing [m/s]."""


@dataclass(frozen=True)
class Body:
    """What moves: mass, inertia and how the air takes hold of it."""

    mass: float
    """[kg]"""
    inertia: tuple[float, float, float, float, float, float]
    """Elements xx, yy, zz, xy, xz, yz of the inertia matrix [kg m²]."""
    area: float
    """[m²]"""
    span: float
    """[m]"""
    chord: float
    """[m]"""
    drag_coefficient: float
    roll_damping: float
    """Rolling-moment coefficient per p span/(2 V) [1]; negative damps."""
    pitch_damping: float
    """Pitching-moment coefficient per q chord/(2 V) [1]."""
    yaw_damping: float
    """Yawing-moment coefficient per r span/(2 V) [1]."""

    @property
    def feels_air(self) -> bool:
        """Whether any coefficient is not zero."""
        return any((self.drag_coefficient, self.roll_damping, self.pitch_damping, self.yaw_damping))


@dataclass(frozen=True)
class Surroundings:
    """Earth, gravity, air and wind."""

    turning: bool
    """The WGS-84 Earth that turns, or a flat one that does not."""
    gravity: float
    """Of the flat Earth [m/s²]."""
    air_density: float | None
    """[kg/m³]; None: the standard atmosphere."""
    wind: Wind | None


def fly_body(body: Body, around: Surroundings, start: Floats, step: float, steps: int) -> Floats:
    """Return the states at every step, shape (steps + 1, 13), by the classic fourth-order Runge–Kutta rule.

    Parameters
    ----------
    body, around : Body, Surroundings
    start : array, shape (13,)
        Position [m], velocity [m/s], attitude quaternion, body rates [rad/s]; the first three against axes that do not
        turn: north-east-down on the flat Earth, the Earth's own axes at time zero on the turning one. Rates are
        relative to those axes.
    step : float
        [s]
    steps : int
    """
    states = np.empty((steps + 1, 13))
    states[0] = start
    state = [float(value) for value in start]
    half = 0.5 * step
    for count in range(steps):
        time = count * step
        k1 = _rates(body, around, time, state)
        k2 = _rates(body, around, time + half, [x + half * k for x, k in zip(state, k1, strict=True)])
        k3 = _rates(body, around, time + half, [x + half * k for x, k in zip(state, k2, strict=True)])
        k4 = _rates(body, around, time + step, [x + step * k for x, k in zip(state, k3, strict=True)])
        state = [x + step / 6.0 * (a + 2.0 * (b + c) + d) for x, a, b, c, d in zip(state, k1, k2, k3, k4, strict=True)]
        size = math.sqrt(sum(part * part for part in state[6:10]))
        state[6:10] = [part / size for part in state[6:10]]
        states[count + 1] = state
    return states


def _rates(body: Body, around: Surroundings, time: float, state: list[float]) -> list[float]:
    x, y, z, vx, vy, vz, a, b, c, d, p, q, r = state
    if around.turning:
        gx, gy, gz = gravitation(x, y, z)
    else:
        gx, gy, gz = 0.0, 0.0, around.gravity
    mx, my, mz = 0.0, 0.0, 0.0
    if body.feels_air:
        wx, wy, wz, height = _air_at(around, time, x, y, z)
        ux, uy, uz = vx - wx, vy - wy, vz - wz
        speed = math.sqrt(ux * ux + uy * uy + uz * uz)
        if speed > SLOW:
            density = around.air_density
            if density is None:
                density = standard_atmosphere(geopotential_height(height))[2]
            pull = 0.5 * density * speed * body.area
            per_mass = -pull * body.drag_coefficient / body.mass
            gx, gy, gz = gx + per_mass * ux, gy + per_mass * uy, gz + per_mass * uz
            # rates against the air, which turns with the Earth
            pa, qa, ra = p, q, r
            if around.turning:
                turned = body_to_earth(a, b, c, d)
                pa, qa, ra = p - EARTH_RATE * turned[6], q - EARTH_RATE * turned[7], r - EARTH_RATE * turned[8]
            mx = 0.5 * pull * body.span * body.span * body.roll_damping * pa
            my = 0.5 * pull * body.chord * body.chord * body.pitch_damping * qa
            mz = 0.5 * pull * body.span * body.span * body.yaw_damping * ra
    ixx, iyy, izz, ixy, ixz, iyz = body.inertia
    hx, hy, hz = ixx * p + ixy * q + ixz * r, ixy * p + iyy * q + iyz * r, ixz * p + iyz * q + izz * r
    turn = angular_acceleration(
        ixx, iyy, izz, ixy, ixz, iyz, mx - (q * hz - r * hy), my - (r * hx - p * hz), mz - (p * hy - q * hx)
    )
    return [vx, vy, vz, gx, gy, gz, *quaternion_rates(a, b, c, d, p, q, r), *turn]


def _air_at(around: Surroundings, time: float, x: float, y: float, z: float) -> tuple[float, float, float, float]:
    """Return the velocity of the air in the axes that do not turn [m/s], and the height [m]."""
    if not around.turning:
        north, east, down = (0.0, 0.0, 0.0) if around.wind is None else around.wind(-z)
        return north, east, down, -z
    latitude, longitude, height = _over_ground(time, x, y, z)
    wx, wy, wz = -EARTH_RATE * y, EARTH_RATE * x, 0.0
    if around.wind is not None:
        blown = to_space(around.wind(height), latitude, longitude + EARTH_RATE * time)
        wx, wy, wz = wx + blown[0], wy + blown[1], wz + blown[2]
    return wx, wy, wz, height


def _over_ground(time: float, x: float, y: float, z: float) -> Three:
    """Return geodetic latitude, longitude [rad] and height [m] of a point in axes that do not turn."""
    sine, cosine = math.sin(EARTH_RATE * time), math.cos(EARTH_RATE * time)
    latitude, longitude, height = geodetic(cosine * x + sine * y, cosine * y - sine * x, z)
    return latitude, longitude, height


def level_axes(latitude: float, angle: float) -> tuple[Three, Three, Three]:
    """Return the unit vectors north, east, down at a latitude and an angle about the Earth's axis [rad]."""
    sine, cosine = math.sin(latitude), math.cos(latitude)
    along, across = math.cos(angle), math.sin(angle)
    return (-sine * along, -sine * across, cosine), (-across, along, 0.0), (-cosine * along, -cosine * across, -sine)


def to_space(vector: Three, latitude: float, angle: float) -> Three:
    """Return a north-east-down vector in axes whose third is the Earth's and whose first has the angle zero."""
    north, east, down = level_axes(latitude, angle)
    x, y, z = (vector[0] * n + vector[1] * e + vector[2] * d for n, e, d in zip(north, east, down, strict=True))
    return x, y, z


def start_state(around: Surroundings, place: Three, velocity: Three, attitude: Three, rates: Three) -> Floats:
    """Return the state at time zero from what a pilot would say.

    Parameters
    ----------
    around : Surroundings
    place : tuple
        North, east, height [m] on the flat Earth; latitude, longitude [rad] and height [m] on the turning one.
    velocity : tuple
        Over the ground towards north, east, down [m/s].
    attitude : tuple
        Roll, pitch, yaw against north-east-down [rad].
    rates : tuple
        About the body axes, relative to space [rad/s].
    """
    level = _euler_quaternion(*attitude)
    if not around.turning:
        north, east, height = place
        return np.array([north, east, -height, *velocity, *level, *rates])
    latitude, longitude, height = place
    x, y, z = place_of(latitude, longitude, height)
    vx, vy, vz = to_space(velocity, latitude, longitude)
    down_to_space = _axes_quaternion(latitude, longitude)
    attitude_in_space = _product(down_to_space, level)
    return np.array([x, y, z, vx - EARTH_RATE * y, vy + EARTH_RATE * x, vz, *attitude_in_space, *rates])


def as_seen(around: Surroundings, time: float, state: Floats) -> tuple[Three, Three, Three]:
    """Return place, velocity over the ground and attitude of a state, as `start_state` takes them."""
    x, y, z, vx, vy, vz = (float(value) for value in state[:6])
    attitude = np.array(body_to_earth(*(float(value) for value in state[6:10]))).reshape(3, 3)
    if not around.turning:
        return (x, y, -z), (vx, vy, vz), _euler_angles(attitude)
    latitude, longitude, height = _over_ground(time, x, y, z)
    axes = np.array(level_axes(latitude, longitude + EARTH_RATE * time))
    north, east, down = axes @ (vx + EARTH_RATE * y, vy - EARTH_RATE * x, vz)
    return (latitude, longitude, height), (float(north), float(east), float(down)), _euler_angles(axes @ attitude)


def _euler_quaternion(roll: float, pitch: float, yaw: float) -> tuple[float, float, float, float]:
    about_z = (math.cos(0.5 * yaw), 0.0, 0.0, math.sin(0.5 * yaw))
    about_y = (math.cos(0.5 * pitch), 0.0, math.sin(0.5 * pitch), 0.0)
    about_x = (math.cos(0.5 * roll), math.sin(0.5 * roll), 0.0, 0.0)
    return _product(_product(about_z, about_y), about_x)


def _axes_quaternion(latitude: float, angle: float) -> tuple[float, float, float, float]:
    """Return the attitude of north-east-down against the Earth's axes: turn by the angle, then tip the north up."""
    return _product(
        (math.cos(0.5 * angle), 0.0, 0.0, math.sin(0.5 * angle)), _euler_quaternion(0.0, -latitude - 0.5 * math.pi, 0.0)
    )


def _product(
    left: tuple[float, float, float, float], right: tuple[float, float, float, float]
) -> tuple[float, float, float, float]:
    a, b, c, d = left
    e, f, g, h = right
    return (
        a * e - b * f - c * g - d * h,
        a * f + b * e + c * h - d * g,
        a * g - b * h + c * e + d * f,
        a * h + b * g - c * f + d * e,
    )


def _euler_angles(rotation: Floats) -> Three:
    """Return roll, pitch, yaw [rad] of a rotation from body axes to north-east-down."""
    pitch = math.asin(min(1.0, max(-1.0, -float(rotation[2, 0]))))
    roll = math.atan2(float(rotation[2, 1]), float(rotation[2, 2]))
    return roll, pitch, math.atan2(float(rotation[1, 0]), float(rotation[0, 0]))
