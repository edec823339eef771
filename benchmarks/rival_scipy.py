"""The plain way: the equations in ordinary Python with ``math``, one ``scipy.optimize.root`` per point.

Written by hand from the documented laws, for the frozen problem only (one S-section rotor on the centre line, one
propeller, one tailplane, one body, wings level). Everything that does not change during a solve is worked out once per
sample. It doubles as an independent implementation that the engine must agree with.
"""

from __future__ import annotations

from bisect import bisect_right
from math import acos, atan2, cos, exp, log, pi, sin, sqrt, tanh
from typing import Any

import numpy as np
from scipy.optimize import root

from frozen_problem import Answer, Problem, parent_of
from rotorwright.physics.rotor.tables import BUCKET_TORQUE, OVERLAP_SLOPE, OVERLAP_TORQUE, SLOW_BUCKET_TORQUE


class Curve:
    """A monotone cubic with straight ends, as lists for quick reading."""

    def __init__(self, table: Any) -> None:
        self.x, self.y, self.slope = (row.tolist() for row in table)

    def __call__(self, x: float) -> float:
        """Return the curve at ``x``."""
        xs, ys, slopes = self.x, self.y, self.slope
        if x <= xs[0]:
            return ys[0] + slopes[0] * (x - xs[0])
        if x >= xs[-1]:
            return ys[-1] + slopes[-1] * (x - xs[-1])
        i = bisect_right(xs, x) - 1
        step = xs[i + 1] - xs[i]
        t = (x - xs[i]) / step
        rest = 1.0 - t
        return (
            rest * rest * ((1.0 + 2.0 * t) * ys[i] + t * step * slopes[i])
            + t * t * ((3.0 - 2.0 * t) * ys[i + 1] - rest * step * slopes[i + 1])
        )  # fmt: skip


def ramp(x: float, start: float, end: float) -> float:
    """Return the cubic step from 0 at ``start`` to 1 at ``end``."""
    t = min(max((x - start) / (end - start), 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


class Machine:
    """One sample of the aeroplane with all that stays constant."""

    def __init__(self, problem: Problem, sample: int) -> None:
        numbers = problem.numbers
        self.rotor = _row(numbers.rotors[sample, 0])
        self.tail = _row(numbers.surfaces[sample, 0])
        self.body = _row(numbers.bodies[sample, 0])
        self.motor = _row(numbers.thrusters[sample, 0])
        self.pack = _row(numbers.batteries[sample, 0])
        self.vehicle = _row(numbers.vehicle[sample])
        self.factors = _row(numbers.factors[sample])
        air = _row(numbers.air[sample])
        self.rho, self.mu, self.g = air["density"], air["viscosity"], air["gravity"]
        self._fix_rotor(problem.tables.rotor[0])
        self._fix_propeller(problem.tables.power[0])
        self._fix_electrics(problem.tables.power[0])
        self._fix_tail()

    def _fix_rotor(self, tables: Any) -> None:
        rotor, factors = self.rotor, self.factors
        ratio = rotor["span"] / rotor["diameter"]
        discs = rotor["disc_diameter"] / rotor["diameter"]
        self.aspect_ratio = (ratio + 1.9 * discs) * factors["span_efficiency"]
        self.rotor_area = rotor["span"] * rotor["diameter"]
        self.rotor_width = sqrt(self.aspect_ratio * self.rotor_area)
        gain = 1.5 * (1.0 - exp(-factors["turning_disc_gain"] * (discs - 1.0)))
        self.plateau = factors["drum_end_cap"] * ratio * (1.0 + gain)
        share = self.aspect_ratio / (2.0 + sqrt(4.0 + self.aspect_ratio**2))
        self.lift_per_spin = 1.42 * share * factors["vane_lift"]
        self.torque_line = float(tables["curves"][OVERLAP_TORQUE][1, 0])
        self.torque_slope = float(tables["curves"][OVERLAP_SLOPE][1, 0])
        self.fast_shape = Curve(tables["curves"][BUCKET_TORQUE])
        self.slow_shape = Curve(tables["curves"][SLOW_BUCKET_TORQUE])

    def _fix_propeller(self, tables: Any) -> None:
        motor, factors = self.motor, self.factors
        ratio = motor["pitch"] / motor["diameter"]
        assert 0.5 <= ratio <= 0.8  # the straight part of the static lines
        thrust, power = 0.0615 + 0.0689 * ratio, -0.02 + 0.1093 * ratio
        further = factors["propeller_zero_thrust_advance"]
        self.advance = (0.173 + 0.967 * ratio) * further
        self.static_thrust = thrust * factors["propeller_thrust"] * motor["thrust_scale"]
        self.static_power = power * factors["propeller_power"] * factors["propeller_thrust"] * further
        self.static_power *= motor["power_scale"]
        classes = tables["pitch_classes"]
        upper = int(np.searchsorted(classes, ratio))
        weight = ramp(ratio, float(classes[upper - 1]), float(classes[upper]))
        self.thrust_shape = Curve(
            (1.0 - weight) * tables["thrust_shape"][upper - 1] + weight * tables["thrust_shape"][upper]
        )
        self.power_shape = Curve(
            (1.0 - weight) * tables["power_shape"][upper - 1] + weight * tables["power_shape"][upper]
        )
        blade = 0.5 * 1.15 * 0.21 * motor["blades"] * 0.12 * factors["propeller_stopped_drag"]
        self.stopped_thrust = blade
        self.stopped_torque = blade * 0.3 * ratio / sqrt(ratio**2 + 4.84)

    def _fix_electrics(self, tables: Any) -> None:
        motor, pack, factors = self.motor, self.pack, self.factors
        self.constant = motor["motor_speed_constant"] * factors["motor_speed_constant"]
        self.resistance = factors["motor_resistance"] * motor["motor_resistance"] + motor["controller_resistance"]
        spread = 1.0 + 4.0 * (1.0 - ramp(pack["charge"], 0.0, 0.15))
        cell = Curve(tables["rest_voltage"])(pack["charge"]) + factors["battery_voltage"] * spread
        self.rest = pack["cells"] * cell
        cold = exp(3131.0 * (1.0 / pack["temperature"] - 1.0 / 298.0))
        empty = 1.0 + 2.098 * exp(-24.37 * pack["charge"])
        cell = pack["resistance_capacity"] * factors["battery_resistance"] / (pack["capacity"] / 3600.0)
        self.pack_resistance = pack["cells"] * cell * cold * empty + pack["wiring_resistance"]

    def _fix_tail(self) -> None:
        tail, factors = self.tail, self.factors
        self.tail_ratio = tail["span"] ** 2 / tail["area"]
        self.tail_slope = 2.0 * pi * self.tail_ratio / (2.0 + sqrt(4.0 + (self.tail_ratio / 0.9) ** 2))
        hinge = acos(2.0 * tail["control_share"] - 1.0)
        self.flap = factors["control_effectiveness"] * (1.0 - (hinge - sin(hinge)) / pi)
        self.flap_moment = factors["control_effectiveness"] * -0.5 * sin(hinge) * (1.0 - cos(hinge))
        self.lift_limit = 0.9 * tail["max_lift"]

    def electrics(self, throttle: float, shaft_speed: float) -> float:
        """Return the motor's torque at the propeller shaft."""
        motor, factors = self.motor, self.factors
        bulge = 4.0 * factors["controller_duty"]
        if throttle < 0.0:
            duty = throttle * (1.0 + bulge)
        elif throttle > 1.0:
            duty = 1.0 + (throttle - 1.0) * (1.0 - bulge)
        else:
            duty = throttle + throttle * (1.0 - throttle) * bulge
        speed = shaft_speed * motor["gear_ratio"]
        share = (duty + 0.5 * (1.0 / factors["controller_efficiency"] - 1.0)) / self.resistance
        slope, offset = share * duty, share * speed / self.constant
        lead = 1.0 + self.pack_resistance * slope
        middle = self.rest + self.pack_resistance * offset
        square = middle * middle
        under = square - 4.0 * lead * self.pack_resistance * self.pack["steady_power"]
        under = 0.5 * (under + sqrt(under * under + (1.0e-6 * square) ** 2))
        voltage = 0.5 * (middle + sqrt(under)) / lead
        current = (duty * voltage - speed / self.constant) / self.resistance
        ratio = speed / (self.constant * motor["motor_no_load_voltage"])
        idle = motor["motor_no_load_current"] * (0.4 * ratio / sqrt(ratio * ratio + 9.0e-4) + 0.6 * ratio)
        return (current - idle) / self.constant * motor["gear_ratio"]

    def propeller(self, airspeed: float, shaft_speed: float) -> tuple[float, float]:
        """Return thrust and shaft torque; the propeller turns forwards."""
        motor = self.motor
        diameter = motor["diameter"]
        turns = shaft_speed / (2.0 * pi)
        blade_speed = 0.75 * pi * turns * diameter
        size = diameter / 0.254 * 1.4604e-5 * self.rho / self.mu / 59.847
        reynolds = 0.5 * log((blade_speed**2 + airspeed**2 + 4.0) * size**2)
        blades = log(0.5 * motor["blades"])
        static_thrust = self.static_thrust * exp(0.74 * blades + 0.12 * reynolds)
        static_power = self.static_power * exp(0.916 * blades - 0.04 * reynolds)
        thrust_scale = static_thrust / self.advance**2
        torque_scale = static_power / (2.0 * pi * self.advance**2)
        spin = max(turns * diameter * self.advance, 1.0e-6)
        f, g = self.thrust_shape, self.power_shape
        stopped_f, stopped_g = self.stopped_thrust / thrust_scale, self.stopped_torque / torque_scale
        if airspeed < 0.0:
            thrust = spin * spin + f.slope[0] * airspeed * spin + stopped_f * airspeed * airspeed
            torque = spin * spin + g.slope[0] * airspeed * spin + stopped_g * airspeed * airspeed
        elif airspeed <= spin:
            thrust, torque = f(airspeed / spin) * spin * spin, g(airspeed / spin) * spin * spin
        else:
            beyond = airspeed - spin
            thrust = f.slope[-1] * beyond * spin - stopped_f * beyond * beyond
            torque = g.y[-1] * spin * spin + g.slope[-1] * beyond * spin - stopped_g * beyond * beyond
        return self.rho * diameter**2 * thrust_scale * thrust, self.rho * diameter**3 * torque_scale * torque

    def wash(
        self, thrust: float, airspeed: float, x: float, y: float, z: float, span: float, height: float
    ) -> tuple[float, float, float]:
        """Return share of a part inside the propeller's wash, and the air speed added along body x and z."""
        motor = self.motor
        radius = 0.5 * motor["diameter"]
        if abs(motor["y"] - y) > 0.5 * span + 2.0 * radius or abs(motor["z"] - z) > 0.5 * height + 2.0 * radius:
            return 0.0, 0.0, 0.0
        stream = sqrt(airspeed * airspeed + 0.01)
        added = 2.0 * abs(thrust) / (self.rho * pi * radius * radius)
        speed = 0.5 * added / (stream + sqrt(stream * stream + added))
        if thrust < 0.0:
            speed = -speed
        aft = motor["x"] - x
        growth = 1.0 + aft / sqrt(aft * aft + radius * radius)
        least = 0.2 * stream
        there = stream + speed * growth - least
        there = 0.5 * (there + sqrt(there * there + least * least)) + least
        here = stream + speed - least
        here = 0.5 * (here + sqrt(here * here + least * least)) + least
        wider = here / there
        wide = radius * sqrt(wider) / (1.0 + (wider / 4.0) ** 4) ** 0.125
        high = max(height, 0.01 * span)
        right, left = motor["y"] - y + 0.5 * span, motor["y"] - y - 0.5 * span
        top, bottom = motor["z"] - z + 0.5 * high, motor["z"] - z - 0.5 * high
        shared = corner(right, top, wide) - corner(left, top, wide) - corner(right, bottom, wide)
        shared += corner(left, bottom, wide)
        share = min(max(shared / (span * high), 0.0), 1.0) * self.factors["wash_force"]
        extra = speed * growth
        return min(share, 1.0), extra * cos(motor["tilt"]) * cos(motor["toe"]), -extra * sin(motor["tilt"])

    def rotor_station(self, u: float, w: float, spin: float) -> tuple[float, float, float, float]:
        """Return lift, force along x and z, and torque of the whole rotor in the air (u, w)."""
        rotor, factors, rho, mu = self.rotor, self.factors, self.rho, self.mu
        speed = sqrt(u * u + w * w + 1.0e-12)
        radius = 0.5 * rotor["diameter"]
        pressure_area = 0.5 * rho * speed * speed * self.rotor_area
        ratio = spin * radius / sqrt(speed * speed + 1.0e-12)
        size = abs(ratio)
        reynolds = log(speed * rotor["diameter"] * rho / mu + 100.0)
        section = self.lift_per_spin * (size if size <= 8.0 else 8.0 + 4.0 * tanh(0.25 * (size - 8.0)))
        lift = section / sqrt(sqrt(1.0 + (section / self.plateau) ** 4))
        drag = 1.12 * factors["vane_drag"] + lift * lift / (pi * self.aspect_ratio)
        fast = ramp(reynolds, log(8.0e4), log(4.0e5))
        slow = 1.0 - ramp(reynolds, log(4.0e4), log(8.0e4))
        line = self.torque_line * (0.463 / 0.545 + (1.0 - 0.463 / 0.545) * fast)
        slope = self.torque_slope * (0.346 / 0.307 + (1.0 - 0.346 / 0.307) * fast)
        running = line / slope * factors["vane_freewheel_ratio"] ** (1.0 - 0.6 * fast + 0.6 * slow)
        x = ratio / running
        torque = line * ((1.0 - fast) * self.slow_shape(x) + fast * self.fast_shape(x))
        over = size - 1.1 * running
        if over > 0.0:
            windage = 0.2 * factors["vane_windage"] * over * over
            torque -= windage if ratio > 0.0 else -windage
        torque *= factors["vane_torque"] ** (1.0 - 0.35 * fast)
        if rotor["stages"] > 1.5:
            torque *= factors["stage_torque"]
        if spin < 0.0:
            lift = -lift
        disc_force, disc_torque = self.discs(speed, spin)
        lift_force = pressure_area * lift
        drag_force = pressure_area * drag + disc_force
        torque = 0.5 * rho * (speed * speed + 1.0e-12) * self.rotor_area * radius * torque - disc_torque
        along, down = (lift_force * w - drag_force * u) / speed, (-lift_force * u - drag_force * w) / speed
        return lift_force, along, down, torque

    def discs(self, speed: float, spin: float) -> tuple[float, float]:
        """Return drag and torque of the turning discs."""
        rotor, rho, mu = self.rotor, self.rho, self.mu
        radius = 0.5 * rotor["disc_diameter"]
        effective = sqrt(spin * spin + 1.875 * (speed / radius) ** 2)
        reynolds = sqrt((effective * radius * radius * rho / mu) ** 2 + 1.0e4)
        laminar = 3.87 / sqrt(reynolds)
        moment = laminar + (0.146 * reynolds**-0.2 - laminar) * ramp(reynolds, 2.0e5, 3.0e5)
        full = 0.5 * rho * spin * effective * radius**5 * moment
        beyond = max(0.0, 1.0 - (1.1 * rotor["diameter"] / rotor["disc_diameter"]) ** 4.6)
        torque = full * (rotor["end_discs"] * beyond + rotor["middle_discs"])
        fast = sqrt(speed * speed + (spin * radius) ** 2)
        friction = 0.074 * (2.0 * fast * radius * rho / mu + 1.0e4) ** -0.2
        one = 0.5 * rho * friction * 2.0 * pi * radius * radius * speed * fast
        one += 0.5 * rho * speed * speed * 0.6 * rotor["disc_thickness"] * 2.0 * radius
        scale = self.factors["disc_friction"]
        return one * (rotor["end_discs"] + rotor["middle_discs"]) * scale, torque * scale

    def downwash(self, lift: float, pressure: float) -> float:
        """Return the rotor's downwash angle at the tailplane."""
        wide = self.rotor_width
        aft, high = self.rotor["x"] - self.tail["x"], self.rotor["z"] - self.tail["z"]
        strength = 2.0 * self.factors["downwash"] * lift
        denominator, floor = pressure * pi * wide * wide, 0.05 * pi * wide * wide
        high += 0.25 * levelled(strength, denominator, floor) * max(aft, 0.0)
        gap2 = (pi * wide / 8.0) ** 2
        reach = sqrt(aft * aft + gap2 + high * high)
        growth = 0.5 * (1.0 + aft / reach) * gap2 / (gap2 + high * high)
        growth += 0.5 * gap2 * aft / ((aft * aft + high * high + (0.2 * wide) ** 2) * reach)
        return levelled(strength * growth, denominator, floor)

    def tailplane(self, u: float, w: float, deflection: float) -> tuple[float, float, float]:
        """Return force along x and z and the pitching moment about the quarter chord."""
        tail, factors = self.tail, self.factors
        cos_set, sin_set = cos(tail["incidence"]), sin(tail["incidence"])
        along, across = u * cos_set - w * sin_set, u * sin_set + w * cos_set
        speed2 = along * along + across * across
        speed = sqrt(speed2)
        alpha = atan2(across, along)
        soft = 0.6 * tanh(deflection / 0.6)
        turned = self.flap * soft
        effective = alpha - tail["zero_lift_angle"] + turned
        x = self.tail_slope * effective / self.lift_limit
        lift = self.lift_limit * x / (1.0 + x**8) ** 0.125
        reynolds = self.rho * speed * tail["chord"] / self.mu
        section_drag = factors["surface_drag"] * tail["section_drag"] * (1.05e5 / (reynolds + 5.0e3)) ** 0.4
        drag = section_drag + lift * lift / (pi * 0.85 * self.tail_ratio)
        limit = 1.25 * self.lift_limit / self.tail_slope
        above, below = 1.0 / (1.0 + exp(-40.0 * (effective - limit))), 1.0 / (1.0 + exp(40.0 * (effective + limit)))
        apart = above + below - above * below
        slant = sin(alpha + 0.5 * turned)
        square_on = min(1.11 + 0.018 * self.tail_ratio, 1.98)
        normal = slant / (0.283 + 0.222 * abs(slant)) * (1.0 - (1.0 - square_on / 1.98) * abs(slant))
        lift = (1.0 - apart) * lift + apart * normal * cos(alpha)
        drag = (1.0 - apart) * drag + apart * (section_drag + normal * sin(alpha))
        moment = (1.0 - apart) * self.flap_moment * soft - apart * normal * 0.25 * (1.0 - cos(alpha))
        half = 0.5 * self.rho * tail["area"] * factors["tail_effectiveness"]
        chordwise = half * speed * (lift * across - drag * along)
        downwards = -half * speed * (lift * along + drag * across)
        force_x = chordwise * cos_set + downwards * sin_set
        force_z = downwards * cos_set - chordwise * sin_set
        return force_x, force_z, half * speed2 * tail["chord"] * moment

    def pod(self, u: float, w: float) -> tuple[float, float, float]:
        """Return force along x and z and the pitching moment of the body about its own centre."""
        body = self.body
        half = 0.5 * self.rho * self.factors["body_drag"]
        fineness = body["length"] / sqrt(body["width"] * body["height"])
        apparent = (fineness**2 - 1.0) / (fineness**2 + 0.6 * fineness + 0.9)
        turning = self.rho * 0.6 * body["length"] * body["width"] * body["height"] * max(apparent, 0.0)
        force_x = -half * body["drag_area"] * u * abs(u)
        return force_x, -half * body["top_area"] * w * sqrt(w * w), turning * u * w

    def thrust(self, u: float, w: float, shaft_speed: float) -> float:
        """Return the propeller's thrust."""
        motor = self.motor
        axis_x, axis_z = cos(motor["tilt"]) * cos(motor["toe"]), -sin(motor["tilt"])
        return self.propeller(u * axis_x + w * axis_z, shaft_speed)[0]

    def loads(
        self, u: float, w: float, throttle: float, elevator: float, spin: float, shaft_speed: float
    ) -> tuple[float, float, float, float, float, float]:
        """Return forward and downward force, pitching moment, torques on the rotor, of the motor and of the shaft."""
        vehicle, motor, rotor, tail, body = self.vehicle, self.motor, self.rotor, self.tail, self.body
        speed = sqrt(u * u + w * w + 1.0e-12)
        motor_torque = self.electrics(throttle, shaft_speed)

        ahead, below = motor["x"] - vehicle["x"], motor["z"] - vehicle["z"]
        axis_x, axis_z = cos(motor["tilt"]) * cos(motor["toe"]), -sin(motor["tilt"])
        thrust, shaft_torque = self.propeller(u * axis_x + w * axis_z, shaft_speed)
        force_x, force_z = thrust * axis_x, thrust * axis_z
        moment = thrust * (below * axis_x - ahead * axis_z)

        share, wash_x, wash_z = self.wash(
            thrust, speed, rotor["x"], rotor["y"], rotor["z"], rotor["span"], rotor["diameter"]
        )
        lift, along, down, torque = (part * (1.0 - share) for part in self.rotor_station(u, w, spin))
        if share > 0.0:
            washed = self.rotor_station(u + wash_x, w + wash_z, spin)
            lift, along = lift + share * washed[0], along + share * washed[1]
            down, torque = down + share * washed[2], torque + share * washed[3]
        friction = rotor["bearing_torque"] * spin / sqrt(spin * spin + 1.0) + rotor["bearing_drag"] * spin
        friction *= self.factors["bearing_friction"]
        force_x, force_z = force_x + along, force_z + down
        moment += (rotor["z"] - vehicle["z"]) * along - (rotor["x"] - vehicle["x"]) * down + friction

        share, wash_x, wash_z = self.wash(
            thrust, speed, tail["x"], tail["y"], tail["z"], tail["span"], 0.5 * tail["chord"]
        )
        tail_u, tail_w = u + share * wash_x, w + share * wash_z
        tail_w -= self.downwash(lift, 0.5 * self.rho * speed * speed) * tail_u
        along, down, pitching = self.tailplane(tail_u, tail_w, elevator * tail["control_travel"] * tail["control_sign"])
        force_x, force_z = force_x + along, force_z + down
        moment += (tail["z"] - vehicle["z"]) * along - (tail["x"] - vehicle["x"]) * down + pitching

        share, wash_x, wash_z = self.wash(thrust, speed, body["x"], body["y"], body["z"], body["width"], body["height"])
        along, down, pitching = self.pod(u + share * wash_x, w + share * wash_z)
        force_x, force_z = force_x + along, force_z + down
        moment += (body["z"] - vehicle["z"]) * along - (body["x"] - vehicle["x"]) * down + pitching
        return force_x, force_z, moment, torque - friction, motor_torque, shaft_torque

    def imbalance(
        self, airspeed: float, incidence: float, climb: float, throttle: float, elevator: float, spin: float,
        shaft_speed: float,
    ) -> list[float]:  # fmt: skip
        """Return the five scaled residuals: forward, downward, pitching, rotor torque, shaft torque."""
        vehicle, rotor = self.vehicle, self.rotor
        slope = min(max(climb / max(airspeed, 0.1), -0.995), 0.995)
        force_x, force_z, moment, rotor_torque, motor_torque, shaft_torque = self.loads(
            airspeed * cos(incidence), airspeed * sin(incidence), throttle, elevator, spin, shaft_speed
        )
        mass = vehicle["mass"]
        # sin and cos of the pitch angle asin(slope) + incidence
        level = sqrt(1.0 - slope * slope)
        sin_pitch = slope * cos(incidence) + level * sin(incidence)
        cos_pitch = level * cos(incidence) - slope * sin(incidence)
        pitch_rate = moment / (vehicle["iyy"] - rotor["polar_inertia"])
        return [
            force_x / mass / self.g - sin_pitch,
            force_z / mass / self.g + cos_pitch,
            pitch_rate * sqrt(vehicle["iyy"] / mass) / self.g,
            rotor_torque / (2.0 * self.rho * rotor["span"] * rotor["diameter"] ** 2 + 1.0e-5),
            (motor_torque - shaft_torque) / (0.02 + 0.05 * abs(shaft_torque)),
        ]


def levelled(numerator: float, denominator: float, floor: float) -> float:
    """Return the quotient, levelling off at 35°."""
    steep = numerator / (35.0 * pi / 180.0)
    scale = denominator * denominator + floor * floor
    return numerator / sqrt(sqrt(scale * scale + steep**4))


def corner(a: float, b: float, radius: float) -> float:
    """Return the signed area a circle about the origin shares with the box from the origin to (a, b)."""
    sign = (1.0 if a >= 0.0 else -1.0) * (1.0 if b >= 0.0 else -1.0)
    a, b = min(abs(a), radius), min(abs(b), radius)
    if a * a + b * b <= radius * radius:
        return sign * a * b
    edge = sqrt(radius * radius - b * b)
    # the sector between the two points where the box leaves the circle, and two triangles
    other = sqrt(radius * radius - a * a)
    sector = atan2(b, edge) - atan2(other, a)
    return sign * 0.5 * (edge * b + other * a + radius * radius * sector)


def _row(record: Any) -> dict[str, float]:
    return {name: float(record[name]) for name in record.dtype.names}


def _solve(machine: Machine, full: bool, start: list[float], elevator: float) -> tuple[list[float], bool, int]:
    """Solve one condition; ``start`` and the answer are airspeed, incidence, climb or throttle, spin, shaft speed."""

    def residual(x: Any) -> list[float]:
        airspeed, incidence, third, spin, shaft = x.tolist()
        climb, throttle = (third, 1.0) if full else (0.0, third)
        return machine.imbalance(airspeed, incidence, climb, throttle, elevator, spin * 100.0, shaft * 1000.0)

    scaled = [*start[:3], start[3] / 100.0, start[4] / 1000.0]
    answer = root(residual, scaled, method="hybr", options={"xtol": 1.0e-12})
    size = float(np.sqrt(np.sum(np.square(answer.fun))))
    x = answer.x.tolist()
    return [*x[:3], x[3] * 100.0, x[4] * 1000.0], size < 1.0e-7, int(answer.nfev)


def first_guess(problem: Problem) -> list[float]:
    """Return a start for the first search: spin ratio 1, a propeller near its pitch speed."""
    return [problem.first_airspeed, 0.0, 0.0, problem.first_airspeed * 14.0, 900.0]


def solve_plainly(problem: Problem, samples: range | list[int]) -> Answer:
    """Solve the programme for some samples, point by point, each from its neighbour's solution."""
    nodes = len(problem.elevators)
    found = np.full((2, nodes, len(samples), 5), np.nan)
    solved = np.zeros((2, nodes, len(samples)), dtype=bool)
    evaluations = 0
    for column, sample in enumerate(samples):
        machine = Machine(problem, sample)
        for condition in (0, 1):
            answers: list[list[float]] = []
            for node, elevator in enumerate(problem.elevators):
                if node:
                    start = answers[parent_of(node, problem.elevators)]
                elif condition == 0:
                    start = first_guess(problem)
                else:
                    start = found[0, 0, column].tolist()
                    start[2] = 0.85
                x, good, count = _solve(machine, condition == 0, start, elevator)
                answers.append(x)
                found[condition, node, column] = x
                solved[condition, node, column] = good
                evaluations += count
    return Answer(found, solved, evaluations)


def look_plainly(problem: Problem, designs: range, guess: list[float]) -> tuple[np.ndarray, np.ndarray, int]:
    """Return level flight and thrust to spare of some designs, one `root` for each of the two solutions."""
    unknowns, spare = np.full((len(designs), 5), np.nan), np.full(len(designs), np.nan)
    evaluations = 0
    for place, design in enumerate(designs):
        machine = Machine(problem, design)
        elevator = problem.elevators[0]
        level, good, count = _solve(machine, False, guess, elevator)
        evaluations += count
        unknowns[place] = level
        if not good:
            continue
        airspeed, incidence = level[:2]

        def residual(x: Any, machine: Any = machine, level: Any = level, elevator: float = elevator) -> list[float]:
            spin, shaft = x.tolist()
            return machine.imbalance(level[0], level[1], 0.0, 1.0, elevator, spin * 100.0, shaft * 1000.0)[3:]

        answer = root(residual, [level[3] / 100.0, level[4] / 1000.0], method="hybr", options={"xtol": 1.0e-12})
        evaluations += int(answer.nfev)
        if np.sqrt(np.sum(np.square(answer.fun))) < 1.0e-7:
            u, w = airspeed * cos(incidence), airspeed * sin(incidence)
            spare[place] = machine.thrust(u, w, 1000.0 * float(answer.x[1])) - machine.thrust(u, w, level[4])
    return unknowns, spare, evaluations
