"""The equations of the frozen problem over arrays of cases, in NumPy (see `rival_numpy` for the search).

Nothing but NumPy is imported: `rival_jax` runs the same lines with ``jax.numpy`` in numpy's place.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def some(mask: Any) -> bool:
    """Return whether any row needs what only few do; where nothing can be known beforehand it is always reckoned."""
    return bool(np.any(mask))


class Curve:
    """A monotone cubic with straight ends, as polynomial coefficients per interval."""

    def __init__(self, table: Floats) -> None:
        self.x, y, slope = (np.ascontiguousarray(row) for row in table)
        step, rise = np.diff(self.x), np.diff(y)
        self.start = np.concatenate([self.x[:1], self.x])
        self.value = np.concatenate([y[:1], y])
        self.slope = np.concatenate([slope[:1], slope])
        square = (3.0 * rise / step - 2.0 * slope[:-1] - slope[1:]) / step
        cube = (slope[:-1] + slope[1:] - 2.0 * rise / step) / step**2
        self.square = np.concatenate([[0.0], square, [0.0]])
        self.cube = np.concatenate([[0.0], cube, [0.0]])

    def __call__(self, x: Floats) -> Floats:
        """Return the curve at every ``x``."""
        i = np.searchsorted(self.x, x, side="right")
        t = x - self.start[i]
        return self.value[i] + t * (self.slope[i] + t * (self.square[i] + t * self.cube[i]))


def ramp(x: Floats, start: float, end: float) -> Floats:
    """Return the cubic step from 0 at ``start`` to 1 at ``end``."""
    t = np.clip((x - start) / (end - start), 0.0, 1.0)
    return t * t * (3.0 - 2.0 * t)


def corner(a: Floats, b: Floats, radius: Floats) -> Floats:
    """Return the signed area a circle about the origin shares with the box from the origin to (a, b)."""
    sign = np.where(a >= 0.0, 1.0, -1.0) * np.where(b >= 0.0, 1.0, -1.0)
    a, b = np.minimum(np.abs(a), radius), np.minimum(np.abs(b), radius)
    square = radius * radius
    # never below nothing: a compiler that rounds once for a product and a difference gives less than 0 at the rim
    edge, other = np.sqrt(np.maximum(square - b * b, 0.0)), np.sqrt(np.maximum(square - a * a, 0.0))
    cut = 0.5 * (edge * b + other * a + square * (np.arctan2(b, edge) - np.arctan2(other, a)))
    return sign * np.where(a * a + b * b <= square, a * b, cut)


def levelled(numerator: Floats, denominator: Floats, floor: float) -> Floats:
    """Return the quotient, levelling off at 35°."""
    scale = denominator * denominator + floor * floor
    steep = numerator / np.deg2rad(35.0)
    steep *= steep
    return numerator / np.sqrt(np.sqrt(scale * scale + steep * steep))


@dataclass
class Geometry:
    """What is the same in every sample, as plain numbers; where designs differ in it, an array of one a row."""

    rotor: Any
    tail: Any
    body: Any
    motor: Any
    pack: Any
    vehicle_z: float
    gravity: float
    viscosity: float
    rotor_area: float
    torque_line: float
    torque_slope: float
    fast_shape: Curve
    slow_shape: Curve
    thrust_shape: Curve
    power_shape: Curve
    pitch_ratio: float
    tail_ratio: float
    tail_slope: float
    flap: float
    flap_moment: float
    lift_limit: float
    turning_volume: float

    def rows(self, index: Any) -> Geometry:
        """Return it for some rows."""
        return Geometry(**{name: _rows_of(value, index) for name, value in vars(self).items()})


def _rows_of(value: Any, index: Any) -> Any:
    if isinstance(value, dict):
        return {name: _rows_of(each, index) for name, each in value.items()}
    return value[index] if isinstance(value, np.ndarray) and value.ndim else value


class Batch:
    """The samples with all that stays constant in them: ``geometry`` shared, ``own`` one number a row."""

    def __init__(self, geometry: Geometry, own: dict[str, Floats]) -> None:
        self.geometry = geometry
        self.own = own

    def rows(self, index: Any) -> Batch:
        """Return some rows, in any order, also repeated."""
        return Batch(self.geometry.rows(index), {name: column[index] for name, column in self.own.items()})

    def electrics(self, throttle: Floats, shaft_speed: Floats) -> Floats:
        """Return the motor's torque at the propeller shaft."""
        own, motor = self.own, self.geometry.motor
        within = np.clip(throttle, 0.0, 1.0)
        bulge = 4.0 * own["controller_duty"]
        duty = throttle + bulge * (within * (1.0 - within) + (throttle - within) * (1.0 - 2.0 * within))
        back = shaft_speed * motor["gear_ratio"] / own["constant"]
        share = (duty + 0.5 * (1.0 / own["controller_efficiency"] - 1.0)) / own["resistance"]
        lead = 1.0 + own["pack_resistance"] * share * duty
        middle = own["rest"] + own["pack_resistance"] * share * back
        square = middle * middle
        under = square - 4.0 * self.geometry.pack["steady_power"] * lead * own["pack_resistance"]
        under = 0.5 * (under + np.sqrt(under * under + 1.0e-12 * square * square))
        voltage = 0.5 * (middle + np.sqrt(under)) / lead
        current = (duty * voltage - back) / own["resistance"]
        ratio = back / motor["motor_no_load_voltage"]
        idle = motor["motor_no_load_current"] * (0.4 * ratio / np.sqrt(ratio * ratio + 9.0e-4) + 0.6 * ratio)
        return (current - idle) / own["constant"] * motor["gear_ratio"]

    def propeller(self, airspeed: Floats, shaft_speed: Floats) -> tuple[Floats, Floats]:
        """Return thrust and shaft torque; the propeller turns forwards."""
        geometry, own = self.geometry, self.own
        diameter = geometry.motor["diameter"]
        turns = shaft_speed / (2.0 * np.pi)
        blade_speed = (0.75 * np.pi * diameter) * turns
        size = diameter / 0.254 * 1.4604e-5 / 59.847
        flow = size * own["rho"] / geometry.viscosity
        reynolds = 0.5 * np.log((blade_speed * blade_speed + airspeed * airspeed + 4.0) * flow * flow)
        thrust_scale = own["thrust_scale"] * np.exp(0.12 * reynolds)
        torque_scale = own["torque_scale"] * np.exp(-0.04 * reynolds)
        spin = np.maximum(turns * diameter * own["advance"], 1.0e-6)
        f, g = geometry.thrust_shape, geometry.power_shape
        y = np.clip(airspeed / spin, 0.0, 1.0)
        spin2, speed2 = spin * spin, airspeed * airspeed
        thrust, torque = f(y) * spin2, g(y) * spin2
        stopped_f, stopped_g = own["stopped_thrust"] / thrust_scale, own["stopped_torque"] / torque_scale
        backing = airspeed < 0.0
        if some(backing):
            thrust = np.where(backing, spin2 + f.slope[0] * airspeed * spin + stopped_f * speed2, thrust)
            torque = np.where(backing, spin2 + g.slope[0] * airspeed * spin + stopped_g * speed2, torque)
        milling = airspeed > spin
        if some(milling):
            beyond = airspeed - spin
            end = f.slope[-1] * beyond * spin - stopped_f * beyond * beyond
            thrust = np.where(milling, end, thrust)
            end = g.value[-1] * spin2 + g.slope[-1] * beyond * spin - stopped_g * beyond * beyond
            torque = np.where(milling, end, torque)
        thrust *= own["rho"] * thrust_scale * diameter**2
        torque *= own["rho"] * torque_scale * diameter**3
        return thrust, torque

    def wash(self, stream: Floats, speed: Floats, part: Any, span: float, height: float) -> tuple[Any, Any, Any]:
        """Return share of a part inside the propeller's wash, and the air speed added along body x and z."""
        motor = self.geometry.motor
        radius = 0.5 * motor["diameter"]
        right, above = motor["y"] - part["y"], motor["z"] - part["z"]
        aft = motor["x"] - part["x"]
        growth = 1.0 + aft / np.sqrt(aft * aft + radius * radius)
        least = 0.2 * stream
        least2 = least * least
        there = stream + speed * growth - least
        there = 0.5 * (there + np.sqrt(there * there + least2)) + least
        here = stream + speed - least
        here = 0.5 * (here + np.sqrt(here * here + least2)) + least
        wider = here / there
        fourth = 0.25 * wider
        fourth *= fourth
        fourth *= fourth
        wide = radius * np.sqrt(wider) / np.sqrt(np.sqrt(np.sqrt(1.0 + fourth)))
        high = np.maximum(height, 0.01 * span)
        shared = corner(np.array(right + 0.5 * span), np.array(above + 0.5 * high), wide)
        shared = shared - corner(np.array(right - 0.5 * span), np.array(above + 0.5 * high), wide)
        shared -= corner(np.array(right + 0.5 * span), np.array(above - 0.5 * high), wide)
        shared += corner(np.array(right - 0.5 * span), np.array(above - 0.5 * high), wide)
        share = np.minimum(np.clip(shared / (span * high), 0.0, 1.0) * self.own["wash_force"], 1.0)
        extra = speed * growth
        return share, extra * (np.cos(motor["tilt"]) * np.cos(motor["toe"])), extra * -np.sin(motor["tilt"])

    def rotor_station(self, u: Floats, w: Floats, spin: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Return lift, force along x and z, and torque of the whole rotor in the air (u, w)."""
        geometry, own = self.geometry, self.own
        rotor, rho = geometry.rotor, own["rho"]
        flow = rho / geometry.viscosity
        speed2 = u * u + w * w + 1.0e-12
        speed = np.sqrt(speed2)
        radius = 0.5 * rotor["diameter"]
        ratio = spin * radius / np.sqrt(speed2 + 1.0e-12)
        size = np.abs(ratio)
        reynolds = np.log(speed * flow * rotor["diameter"] + 100.0)
        if some(size > 8.0):
            held = np.where(size <= 8.0, size, 8.0 + 4.0 * np.tanh(0.25 * (size - 8.0)))
        else:
            held = size
        section = own["lift_per_spin"] * held
        fourth = section / own["plateau"]
        fourth *= fourth
        fourth *= fourth
        lift = section / np.sqrt(np.sqrt(1.0 + fourth))
        drag = own["profile"] + lift * lift * own["end_drag"]
        fast = ramp(reynolds, np.log(8.0e4), np.log(4.0e5))
        slow = 1.0 - ramp(reynolds, np.log(4.0e4), np.log(8.0e4))
        line = geometry.torque_line * (0.463 / 0.545 + (1.0 - 0.463 / 0.545) * fast)
        slope = geometry.torque_slope * (0.346 / 0.307 + (1.0 - 0.346 / 0.307) * fast)
        running = line / slope * np.exp(own["log_running"] * (1.0 - 0.6 * fast + 0.6 * slow))
        x = ratio / running
        torque = geometry.slow_shape(x)
        torque = line * (torque + fast * (geometry.fast_shape(x) - torque))
        over = size - 1.1 * running
        if some(over > 0.0):
            torque -= np.sign(ratio) * own["windage"] * np.maximum(over, 0.0) ** 2
        torque *= own["stages"] * np.exp(own["log_torque"] * (1.0 - 0.35 * fast))
        if some(spin < 0.0):
            lift = np.where(spin < 0.0, -lift, lift)
        disc_force, disc_torque = self.discs(speed, spin)
        half = 0.5 * rho * geometry.rotor_area * speed2
        lift_force = half * lift
        drag_force = half * drag + disc_force
        torque = half * (1.0 + 1.0e-12 / speed2) * radius * torque - disc_torque
        along, down = (lift_force * w - drag_force * u) / speed, (-lift_force * u - drag_force * w) / speed
        return lift_force, along, down, torque

    def discs(self, speed: Floats, spin: Floats) -> tuple[Floats, Floats]:
        """Return drag and torque of the turning discs."""
        rotor, rho = self.geometry.rotor, self.own["rho"]
        flow = rho / self.geometry.viscosity
        radius = 0.5 * rotor["disc_diameter"]
        spin2, speed2 = spin * spin, speed * speed
        effective = np.sqrt(spin2 + (1.875 / radius**2) * speed2)
        reynolds = np.sqrt((effective * flow * radius**2) ** 2 + 1.0e4)
        moment = 3.87 / np.sqrt(reynolds)
        if some(reynolds > 2.0e5):
            moment = moment + (0.146 * reynolds**-0.2 - moment) * ramp(reynolds, 2.0e5, 3.0e5)
        beyond = np.maximum(0.0, 1.0 - (1.1 * rotor["diameter"] / rotor["disc_diameter"]) ** 4.6)
        count = rotor["end_discs"] * beyond + rotor["middle_discs"]
        scale = rho * self.own["disc_friction"]
        torque = (0.5 * radius**5 * count) * scale * spin * effective * moment
        fast = np.sqrt(speed2 + radius**2 * spin2)
        friction = np.exp(-0.2 * np.log(2.0 * radius * fast * flow + 1.0e4))
        count = rotor["end_discs"] + rotor["middle_discs"]
        drag = (0.074 * np.pi * radius**2) * friction * speed * fast
        drag += (0.6 * rotor["disc_thickness"] * radius) * speed2
        return count * drag * scale, torque

    def downwash(self, lift: Floats, pressure: Floats) -> Floats:
        """Return the rotor's downwash angle at the tailplane."""
        geometry, own = self.geometry, self.own
        width2 = own["rotor_width2"]
        aft = geometry.rotor["x"] - geometry.tail["x"]
        strength = 2.0 * own["downwash"] * lift
        area = np.pi * width2
        denominator, floor = pressure * area, 0.05 * area
        high = geometry.rotor["z"] - geometry.tail["z"]
        high = high + 0.25 * levelled(strength, denominator, floor) * max(aft, 0.0)
        high2 = high * high
        gap2 = (np.pi / 8.0) ** 2 * width2
        reach = np.sqrt(aft * aft + gap2 + high2)
        growth = 0.5 * (1.0 + aft / reach) * gap2 / (gap2 + high2)
        growth += 0.5 * gap2 * aft / ((aft * aft + high2 + 0.04 * width2) * reach)
        return levelled(strength * growth, denominator, floor)

    def tailplane(self, u: Floats, w: Floats, deflection: Floats) -> tuple[Floats, Floats, Floats]:
        """Return force along x and z and the pitching moment about the quarter chord."""
        geometry, own = self.geometry, self.own
        tail = geometry.tail
        cos_set, sin_set = np.cos(tail["incidence"]), np.sin(tail["incidence"])
        along, across = u * cos_set - w * sin_set, u * sin_set + w * cos_set
        speed2 = along * along + across * across
        speed = np.sqrt(speed2)
        alpha = np.arctan2(across, along)
        soft = 0.6 * np.tanh(deflection / 0.6) * own["control_effectiveness"]
        turned = geometry.flap * soft
        effective = alpha - tail["zero_lift_angle"] + turned
        x = geometry.tail_slope / geometry.lift_limit * effective
        eighth = x * x
        eighth *= eighth
        eighth *= eighth
        lift = geometry.lift_limit * x / np.sqrt(np.sqrt(np.sqrt(1.0 + eighth)))
        reynolds = own["rho"] * speed * (tail["chord"] / geometry.viscosity)
        section_drag = own["section_drag"] * np.exp(-0.4 * np.log((reynolds + 5.0e3) / 1.05e5))
        drag = section_drag + lift * lift / (np.pi * 0.85 * geometry.tail_ratio)
        limit = 1.25 * geometry.lift_limit / geometry.tail_slope
        above, below = (
            1.0 / (1.0 + np.exp(-40.0 * (effective - limit))),
            1.0 / (1.0 + np.exp(40.0 * (effective + limit))),
        )
        apart = above + below - above * below
        slant = np.sin(alpha + 0.5 * turned)
        steep = np.abs(slant)
        square_on = np.minimum(1.11 + 0.018 * geometry.tail_ratio, 1.98)
        normal = slant / (0.283 + 0.222 * steep) * (1.0 - (1.0 - square_on / 1.98) * steep)
        cos_alpha, sin_alpha = along / speed, across / speed
        rest = 1.0 - apart
        apart_normal = apart * normal
        moment = rest * geometry.flap_moment * soft - apart_normal * 0.25 * (1.0 - cos_alpha)
        lift = rest * lift + apart_normal * cos_alpha
        drag = rest * drag + apart * section_drag + apart_normal * sin_alpha
        half = own["tail_half"] * speed
        chordwise = half * (lift * across - drag * along)
        downwards = -half * (lift * along + drag * across)
        force_x = chordwise * cos_set + downwards * sin_set
        force_z = downwards * cos_set - chordwise * sin_set
        return force_x, force_z, half * speed * tail["chord"] * moment

    def thrust(self, airspeed: Floats, incidence: Floats, shaft_speed: Floats) -> Floats:
        """Return the propeller's thrust."""
        motor = self.geometry.motor
        axis_x, axis_z = np.cos(motor["tilt"]) * np.cos(motor["toe"]), -np.sin(motor["tilt"])
        along = airspeed * np.cos(incidence) * axis_x + airspeed * np.sin(incidence) * axis_z
        return self.propeller(along, shaft_speed)[0]

    def loads(
        self, airspeed: Floats, u: Floats, w: Floats, throttle: Any, elevator: Any, spin: Floats, shaft_speed: Floats
    ) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
        """Return forward and downward force, pitching moment, torques on the rotor, of the motor and of the shaft."""
        geometry, own = self.geometry, self.own
        rotor, tail, body, motor = geometry.rotor, geometry.tail, geometry.body, geometry.motor
        rho = own["rho"]
        motor_torque = self.electrics(throttle, shaft_speed)

        axis_x, axis_z = np.cos(motor["tilt"]) * np.cos(motor["toe"]), -np.sin(motor["tilt"])
        thrust, shaft_torque = self.propeller(u * axis_x + w * axis_z, shaft_speed)
        force_x, force_z = thrust * axis_x, thrust * axis_z
        vehicle_x, vehicle_z = own["vehicle_x"], geometry.vehicle_z
        moment = thrust * ((motor["z"] - vehicle_z) * axis_x - (motor["x"] - vehicle_x) * axis_z)

        stream2 = airspeed * airspeed + 0.01
        stream = np.sqrt(stream2)
        added = np.abs(thrust) / (0.125 * np.pi * motor["diameter"] ** 2 * rho)
        induced = np.copysign(0.5 * added / (stream + np.sqrt(stream2 + added)), thrust)
        share, wash_x, wash_z = self.wash(stream, induced, rotor, rotor["span"], rotor["diameter"])
        lift, along, down, torque = self.rotor_station(u, w, spin)
        if some(share > 0.0):
            washed = self.rotor_station(u + wash_x, w + wash_z, spin)
            lift = lift + share * (washed[0] - lift)
            along = along + share * (washed[1] - along)
            down = down + share * (washed[2] - down)
            torque = torque + share * (washed[3] - torque)
        friction = own["bearing_torque"] * spin / np.sqrt(spin * spin + 1.0) + own["bearing_drag"] * spin
        force_x, force_z = force_x + along, force_z + down
        moment += (rotor["z"] - vehicle_z) * along - (rotor["x"] - vehicle_x) * down + friction

        share, wash_x, wash_z = self.wash(stream, induced, tail, tail["span"], 0.5 * tail["chord"])
        tail_u, tail_w = u + share * wash_x, w + share * wash_z
        tail_w = tail_w - self.downwash(lift, 0.5 * rho * (airspeed * airspeed + 1.0e-12)) * tail_u
        deflection = elevator * (tail["control_travel"] * tail["control_sign"])
        along, down, pitching = self.tailplane(tail_u, tail_w, deflection)
        force_x, force_z = force_x + along, force_z + down
        moment += (tail["z"] - vehicle_z) * along - (tail["x"] - vehicle_x) * down + pitching

        share, wash_x, wash_z = self.wash(stream, induced, body, body["width"], body["height"])
        body_u, body_w = u + share * wash_x, w + share * wash_z
        half = 0.5 * rho * own["body_drag"]
        along = -half * body["drag_area"] * body_u * np.abs(body_u)
        down = -half * body["top_area"] * body_w * np.abs(body_w)
        force_x, force_z = force_x + along, force_z + down
        moment += (body["z"] - vehicle_z) * along - (body["x"] - vehicle_x) * down
        moment += geometry.turning_volume * rho * body_u * body_w
        return force_x, force_z, moment, torque - friction, motor_torque, shaft_torque

    def imbalance(
        self, airspeed: Floats, incidence: Floats, climb: Any, throttle: Any, elevator: Any, spin: Floats,
        shaft_speed: Floats,
    ) -> Floats:  # fmt: skip
        """Return the five scaled residuals, shape (rows, 5)."""
        own = self.own
        cos_incidence, sin_incidence = np.cos(incidence), np.sin(incidence)
        force_x, force_z, moment, rotor_torque, motor_torque, shaft_torque = self.loads(
            airspeed, airspeed * cos_incidence, airspeed * sin_incidence, throttle, elevator, spin, shaft_speed
        )
        slope = np.clip(climb / np.maximum(airspeed, 0.1), -0.995, 0.995)
        level = np.sqrt(1.0 - slope * slope)
        shaft_scale = 0.02 + 0.05 * np.abs(shaft_torque)
        return np.stack(
            [
                force_x * own["per_weight"] - (slope * cos_incidence + level * sin_incidence),
                force_z * own["per_weight"] + (level * cos_incidence - slope * sin_incidence),
                moment * own["per_moment"],
                rotor_torque * own["per_torque"],
                (motor_torque - shaft_torque) / shaft_scale,
            ],
            axis=-1,
        )
