"""The span-wise trim of four free S-rotors in plain NumPy: the same strips and vortices, all else written anew."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.flight.span_wise_strips import Layout

Floats = npt.NDArray[np.float64]


def influence(points: Floats, lines: Any, owner: Any, layout: Layout, stream: Floats) -> Floats:
    """Return velocity at points for unit circulation of the strips, own element left out, shape (3, points, strips)."""
    rows = layout.vortices
    there = rows.kind == 0
    a = points[:, None, :] - rows.start[there]
    b = points[:, None, :] - rows.end[there]
    piece = rows.end[there] - rows.start[there]
    length2 = (piece * piece).sum(axis=1)
    same = lines[:, None] == rows.line[there]
    core2 = np.where(same, 1.0e-12 * length2, rows.core[there] ** 2)
    far_a, far_b = np.sqrt((a * a).sum(axis=2)), np.sqrt((b * b).sum(axis=2))
    turn = np.cross(a, b)
    size = (turn * turn).sum(axis=2) + core2 * length2
    share = (far_a + far_b) * (1.0 - (a * b).sum(axis=2) / (far_a * far_b)) / size
    velocity = share[:, :, None] * turn
    for arm, far, sense in ((b, far_b, 1.0), (a, far_a, -1.0)):
        turn = np.cross(stream, arm)
        share = sense * (1.0 + arm @ stream / far) / ((turn * turn).sum(axis=2) + core2)
        velocity += share[:, :, None] * turn
    velocity *= (rows.coefficient[there] * (owner[:, None] != rows.element[there]) / (4.0 * math.pi))[:, :, None]
    matrix = np.zeros((len(points), len(layout.strips.row), 3))
    np.add.at(matrix, (slice(None), rows.parent[there]), velocity)
    return matrix.transpose(2, 0, 1)


class Rival:
    """The problem laid out for NumPy: rotor strips first."""

    def __init__(self, case: Any, layout: Layout, stream: Floats) -> None:
        self.case, self.layout, self.stream = case, layout, stream
        strips = layout.strips
        self.n = int(strips.is_rotor.sum())
        self.rotors = case.rotors
        self.rho = float(case.air[0]["density"])
        self.nu = float(case.air[0]["viscosity"])
        factors = case.factors[0]
        rotor = case.rotors[0]
        owner = np.where(strips.is_rotor, strips.element, -1)
        self.outside = influence(strips.middle, strips.line, owner, layout, stream)
        vehicle = case.vehicle[0]
        self.arms = strips.middle - np.array([vehicle["x"], vehicle["y"], vehicle["z"]])
        span, diameter = float(rotor["span"]), float(rotor["diameter"])
        discs = float(rotor["disc_diameter"]) / diameter
        self.area, self.span, self.radius = span * diameter, span, 0.5 * diameter
        self.aspect = (span / diameter + 1.9 * discs) * float(factors["span_efficiency"])
        gain = 1.5 * (1.0 - math.exp(-float(factors["turning_disc_gain"]) * (discs - 1.0)))
        self.plateau = float(factors["drum_end_cap"]) * span / diameter * (1.0 + gain)
        self.slope = 1.42 * self.aspect / (2.0 + math.sqrt(4.0 + self.aspect**2)) * float(factors["vane_lift"])
        self.drag = 1.12 * float(factors["vane_drag"])
        self.disc_radius, self.disc_thickness = 0.5 * float(rotor["disc_diameter"]), float(rotor["disc_thickness"])
        self.disc_count = float(rotor["end_discs"] + rotor["middle_discs"]) * float(factors["disc_friction"])
        own = influence(
            strips.middle[: self.n], strips.line[: self.n], np.full(self.n, -1), layout, stream
        )[:, :, : self.n]  # fmt: skip
        own = np.where(strips.element[: self.n, None] == strips.element[: self.n], own, 0.0)
        wash = own @ strips.shape[: self.n]
        pull = np.cross(wash.T, strips.along[: self.n]) @ stream * strips.shape[: self.n]
        pull = np.maximum(pull, 0.0)
        total = np.bincount(strips.row[: self.n], pull)
        self.end_share = pull / total[strips.row[: self.n]]
        self.part = strips.shape[: self.n] * strips.width[: self.n] / span
        self.even = strips.width[: self.n] / span
        self.first = np.arange(len(case.rotors)) * (self.n // len(case.rotors))
        settings = []
        for i, surface in enumerate(case.surfaces):
            rows = (strips.row[self.n :] == i).sum()
            settings.append(np.repeat([[
                surface["incidence"] - surface["zero_lift_angle"], surface["tilt"], surface["control_share"],
                surface["control_sign"] * surface["control_travel"], surface["control"],
            ]], rows, axis=0))  # fmt: skip
        self.angle, self.tilt, flap, self.travel, self.channel = np.concatenate(settings).T
        hinge = np.arccos(2.0 * flap - 1.0)
        self.flap = (1.0 - (hinge - np.sin(hinge)) / math.pi) * float(factors["control_effectiveness"])
        slope = strips.slope[self.n :]
        across = np.einsum("aik,ia->ik", self.outside[:, self.n :], self.normals(0.0))
        self.response = np.linalg.solve(np.eye(len(slope)) + slope[:, None] * across[:, self.n :], np.diag(slope))
        self.coupling = self.response @ across[:, : self.n]

    def normals(self, elevator: float) -> Floats:
        """Return the direction of motion that gives every surface strip lift."""
        deflection = np.where(self.channel == 0.0, elevator * self.travel, 0.0)
        angle = self.angle + self.flap * 0.6 * np.tanh(deflection / 0.6)
        level = np.cos(angle)
        return np.stack((np.sin(angle), -np.sin(self.tilt) * level, np.cos(self.tilt) * level), axis=1)

    def settle(self, velocity: Floats, elevator: float, spin: float, circulation: Floats) -> Floats:
        """Return the force on every strip; the circulation is brought up to date in place."""
        strips, n, rho = self.layout.strips, self.n, self.rho
        boundary = self.normals(elevator) @ velocity
        still = math.hypot(velocity[0], velocity[2])
        for _ in range(80):
            u = velocity[0] - self.outside[0, :n] @ circulation
            w = velocity[2] - self.outside[2, :n] @ circulation
            speed = np.sqrt(u * u + w * w + 1.0e-12)
            met = np.add.reduceat(strips.width[:n] * speed, self.first) / self.span
            turning = spin * (met / still)[strips.row[:n]]
            ratio = turning * self.radius / speed
            section = self.slope * ratio
            lift = section / (1.0 + (section / self.plateau) ** 4) ** 0.25
            half = 0.5 * rho * self.area * speed * speed
            end = half * lift * lift / (math.pi * self.aspect) * self.end_share
            drag = half * self.drag * self.even + end + self.discs(speed, turning) * self.even
            lift = half * lift * self.part
            fresh = lift / (rho * speed * strips.width[:n])
            after = self.response @ boundary - self.coupling @ fresh
            change = max(np.abs(fresh - circulation[:n]).max(), np.abs(after - circulation[n:]).max())
            circulation[:n], circulation[n:] = fresh, after
            if change < 1.0e-6 * np.abs(circulation).max():
                break
        forces = np.zeros((len(circulation), 3))
        forces[:n, 0], forces[:n, 2] = (lift * w - drag * u) / speed, (-lift * u - drag * w) / speed
        there = (self.outside[:, n:] @ circulation).T - velocity
        forces[n:] = rho * circulation[n:, None] * np.cross(there, strips.along[n:])
        return forces

    def discs(self, speed: Floats, spin: Floats) -> Floats:
        """Return the drag of the discs of a whole rotor."""
        radius = self.disc_radius
        fast = np.sqrt(speed * speed + radius**2 * spin * spin)
        friction = np.exp(-0.2 * np.log(2.0 * radius * fast * self.rho / self.nu + 1.0e4))
        drag = (0.074 * math.pi * radius**2) * friction * speed * fast
        drag += (0.6 * self.disc_thickness * radius) * speed * speed
        return self.disc_count * self.rho * drag

    def trim(self, speed: float, spin: float, thrust: float, frame: Any) -> tuple[Floats, int]:
        """Return airspeed, elevator and thrust of level flight, and how many solutions it took.

        ``frame`` hands over what bodies, skin friction and the fan add.
        """
        weight = float(self.case.vehicle[0]["mass"] * self.case.air[0]["gravity"])
        direction = -self.stream
        up = np.array([direction[2], 0.0, -direction[0]])
        push, turn = frame.axes.mean(axis=0), np.cross(frame.arms, frame.axes).mean(axis=0)
        flaps = frame.flap_moment_slopes()
        circulation, before, count = np.zeros(len(self.layout.strips.row)), 0.0, 0

        def balance(x: Floats) -> Floats:
            nonlocal before, count
            stretch, elevator, pull = float(x[0]), float(x[1]), weight * float(x[2])
            airspeed = speed * math.exp(stretch)
            circulation[:] *= math.exp(stretch - before)
            forces = self.settle(airspeed * direction, elevator, spin * math.exp(stretch), circulation)
            before, count = stretch, count + 1
            pressure = 0.5 * self.rho * airspeed * airspeed
            force = forces.sum(axis=0) + pressure * frame.force + pull * push
            moment = float(np.cross(self.arms, forces).sum(axis=0)[1])
            flap = float((flaps * np.tanh(elevator * frame.travels / 0.6)).sum())
            moment += pull * turn[1] + pressure * (float(frame.moment[1]) + flap)
            lift = max(float(force @ up), 0.05 * weight)
            return np.array([math.log(lift / weight), moment / lift, float(force @ direction) / lift])

        x = np.array([0.0, 0.0, thrust / weight])
        residual = balance(x)
        slopes = np.zeros((3, 3))
        slopes[:, 2] = push @ up, turn[1], push @ direction
        for k, step in enumerate((0.02, 0.05)):
            moved = x.copy()
            moved[k] += step
            slopes[:, k] = (balance(moved) - residual) / step
        for _ in range(25):
            if np.abs(residual).max() < 1.0e-5:
                break
            step = -np.linalg.solve(slopes, residual)
            step *= min(1.0, 0.5 / np.abs(step).max())
            x = x + step
            fresh = balance(x)
            slopes += np.outer(fresh - residual - slopes @ step, step) / float(step @ step)
            residual = fresh
        return np.array([speed * math.exp(x[0]), x[1], weight * x[2]]), count
