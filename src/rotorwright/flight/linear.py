"""Small motions about a steady condition: the Jacobian of the one equation of motion.

A governed drive holds its rotor's speed by changing its duty; that is put in as it is: the duty is solved for, not
held. Everything else turns freely: free rotors, rotors with a fixed duty, propellers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.flight.alone import attitude_quaternion
from rotorwright.flight.equation import rotor_momentum_inertia, state_rates, thrust_axis
from rotorwright.flight.layout import MOMENTS, QUATERNION, RATES, ROTOR_SPEEDS
from rotorwright.flight.numbers import Case, case_of
from rotorwright.flight.solver import Solutions
from rotorwright.flight.steady import COMMAND, is_governing, residuals, speed_is_free, work_space

Floats = npt.NDArray[np.float64]

BODY = ("u", "v", "w", "p", "q", "r", "phi", "theta")
"""Velocity through the air [m/s], body rates [rad/s], roll and pitch angle [rad]: the first states of every model."""
U, V, W, P, Q, R, PHI, THETA = range(8)
STICKS = ("elevator", "rudder", "aileron", "flap")
STEPS = (1e-3, 1e-3, 1e-3, 1e-4, 1e-4, 1e-4, 1e-5, 1e-5)
"""Half the difference taken in each body state."""
SPIN_STEP, STICK_STEP = 1e-3, 1e-4
NO_ROWS = np.zeros(0, dtype=np.int64)


@dataclass(frozen=True)
class Linear:
    """One linear model: d(states)/dt = matrix · states + effect · controls, all as differences to the steady flight."""

    states: tuple[str, ...]
    controls: tuple[str, ...]
    matrix: Floats
    """Shape (states, states)."""
    effect: Floats
    """Shape (states, controls); per full travel, full throttle, or share of the commanded rotor speed."""
    at: Floats
    """The states of the steady flight."""
    momentum: Floats
    """Spin momentum of rotors and propellers, body axes [N m s]."""
    inertia: Floats
    """Inertia matrix [kg m²]."""
    mass: float
    """[kg]"""

    def without_spin(self) -> Linear:
        """Return the model with the spin momentum cancelled, as a flywheel that turns the other way would."""
        x, y, z = self.momentum
        cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
        matrix = self.matrix.copy()
        matrix[P : R + 1, P : R + 1] -= np.linalg.solve(self.inertia, cross)
        return Linear(self.states, self.controls, matrix, self.effect, self.at, np.zeros(3), self.inertia, self.mass)

    def settled(self) -> Floats:
        """Return the matrix of the body states once everything that turns has caught up, shape (8, 8)."""
        body, spins = self.matrix[:8, :8], self.matrix[8:, 8:]
        if not len(spins):
            return body
        return np.asarray(body - self.matrix[:8, 8:] @ np.linalg.solve(spins, self.matrix[8:, :8]), dtype=np.float64)

    def settled_effect(self) -> Floats:
        """Return the effect of the controls on the body states once everything that turns has caught up."""
        if len(self.matrix) == 8:
            return self.effect
        carried = np.linalg.solve(self.matrix[8:, 8:], self.effect[8:])
        return np.asarray(self.effect[:8] - self.matrix[:8, 8:] @ carried, dtype=np.float64)


class Point:
    """One steady condition, ready to be disturbed."""

    def __init__(self, rows: Solutions, row: int) -> None:
        numbers = rows.numbers
        self.case: Case = case_of(numbers, int(rows.cases[row]))
        self.tables = rows.tables
        self.rotors, self.thrusters = numbers.rotors.shape[1], numbers.thrusters.shape[1]
        self.drives = numbers.drives.shape[1]
        self.work = work_space(self.rotors, self.thrusters, self.drives, numbers.batteries.shape[1])
        self.work.flight[:] = rows.flight[row]
        residuals(self.case, self.tables, self.work, NO_ROWS, rows.inner[row].copy(), self.work.residual)
        self.state = self.work.state.copy()
        self.controls = self.work.controls.copy()
        command = float(rows.flight[row, COMMAND])
        self.governing = [i for i in range(self.drives) if is_governing(self.case, i, command)]
        self.held = [
            [
                j
                for j in range(self.rotors)
                if int(self.case.rotors["drive"][j]) == i and self.case.rotors["turning"][j] == 1.0
            ]
            for i in self.governing
        ]
        self.free = [i for i in range(self.rotors) if speed_is_free(self.case, i, command)]
        self.working = [i for i in range(self.thrusters) if self.case.thrusters["working"][i] == 1.0]
        self.spins = [*self.free, *(self.rotors + i for i in self.working)]
        a, b, c, d = self.state[QUATERNION : QUATERNION + 4]
        self.roll = math.atan2(2.0 * (a * b + c * d), 1.0 - 2.0 * (b * b + c * c))
        self.pitch = math.asin(max(-1.0, min(1.0, 2.0 * (a * c - b * d))))

    def start(self) -> Floats:
        """Return the states of the steady condition in the order of a linear model."""
        spins = self.state[[ROTOR_SPEEDS + i for i in self.spins]]
        return np.concatenate([self.state[:3], self.state[RATES : RATES + 3], [self.roll, self.pitch], spins])

    def rates(self, states: Floats, controls: Floats, held: Floats | None = None) -> tuple[Floats, Floats]:
        """Return the rates of the states, and the spin-up of the rotors that each governing drive holds.

        Parameters
        ----------
        states : array
            As `start`.
        controls : array
            See `rotorwright.flight.layout`.
        held : array, optional
            Speeds of the held rotors, one for each governing drive, over those of the steady condition.
        """
        state = self.state.copy()
        state[:3], state[RATES : RATES + 3] = states[:3], states[3:6]
        phi, theta = float(states[PHI]), float(states[THETA])
        state[QUATERNION : QUATERNION + 4] = attitude_quaternion(phi, theta, 0.0)
        for place, spin in enumerate(self.spins):
            state[ROTOR_SPEEDS + spin] = states[8 + place]
        if held is not None:
            for share, rotors in zip(held, self.held, strict=True):
                for rotor in rotors:
                    state[ROTOR_SPEEDS + rotor] *= share
        work = self.work
        state_rates(self.case, self.tables, state, controls, work.loads, work.rates, work.air_velocity)
        p, q, r = states[3:6]
        turning = np.array(
            [
                p + math.tan(theta) * (q * math.sin(phi) + r * math.cos(phi)),
                q * math.cos(phi) - r * math.sin(phi),
            ]
        )
        spins = work.rates[[ROTOR_SPEEDS + i for i in self.spins]]
        answer = np.concatenate([work.rates[:3], work.rates[RATES : RATES + 3], turning, spins])
        surplus = np.array([sum(work.rates[ROTOR_SPEEDS + i] for i in rotors) for rotors in self.held])
        return answer, surplus

    def moments(self, controls: Floats) -> Floats:
        """Return the moments on the airframe with other controls, everything else as it is [N m]."""
        work = self.work
        state_rates(self.case, self.tables, self.state, controls, work.loads, work.rates, work.air_velocity)
        return np.array(work.loads[MOMENTS : MOMENTS + 3])


def linearise(rows: Solutions, row: int) -> Linear:
    """Return the linear model about one solved steady condition.

    Parameters
    ----------
    rows : Solutions
        Solved.
    row : int
        Which of them.

    Returns
    -------
    Linear
        Controls: the four channels per full travel, ``throttle`` of all working thrusters together, and
        ``rotor_command`` of all governing drives together, per share of the commanded speed.

    Notes
    -----
    Central differences of the equation of motion. The duty d of a governing drive keeps its rotors' speed: with the
    spin-up s(x, d) = 0, matrix = A − A_d (∂s/∂d)⁻¹ ∂s/∂x.
    """
    point = Point(rows, row)
    start = point.start()
    steps = np.array([*STEPS, *(SPIN_STEP * max(1.0, abs(spin)) for spin in start[8:])])
    matrix, surplus = _differences(point, start, steps)
    sticks = [np.array([1.0 if k == channel else 0.0 for k in range(len(point.controls))]) for channel in range(4)]
    throttle = np.zeros(len(point.controls))
    throttle[[4 + i for i in point.working]] = 1.0
    columns = [_stick(point, start, stick) for stick in (*sticks, throttle)]
    if point.governing:
        duties = [_stick(point, start, _one(len(point.controls), 4 + point.thrusters + i)) for i in point.governing]
        by_duty = np.stack([column for column, _ in duties], axis=1)
        surplus_by_duty = np.stack([column for _, column in duties], axis=1)
        columns.append(_command(point, start))
        solved = np.linalg.solve(surplus_by_duty, np.column_stack([surplus, *(column for _, column in columns)]))
        matrix = matrix - by_duty @ solved[:, : len(start)]
        effect = np.stack([column for column, _ in columns], axis=1) - by_duty @ solved[:, len(start) :]
    else:
        effect = np.stack([column for column, _ in columns], axis=1)
    names = [*BODY, *(f"rotor_speed_{i}" for i in point.free), *(f"thruster_speed_{i}" for i in point.working)]
    controls = (*STICKS, "throttle", *(("rotor_command",) if point.governing else ()))
    vehicle = point.case.vehicle[0]
    return Linear(
        tuple(names), controls, matrix, effect, start, spin_momentum(point), inertia_matrix(vehicle),
        float(vehicle["mass"] + vehicle["extra_mass"]),
    )  # fmt: skip


def _one(size: int, place: int) -> Floats:
    stick = np.zeros(size)
    stick[place] = 1.0
    return stick


def _differences(point: Point, start: Floats, steps: Floats) -> tuple[Floats, Floats]:
    columns, surplus = [], []
    for k, step in enumerate(steps):
        moved = np.zeros(len(start))
        moved[k] = step
        (up, up_spin), (down, down_spin) = (point.rates(start + sign * moved, point.controls) for sign in (1.0, -1.0))
        columns.append((up - down) / (2.0 * step))
        surplus.append((up_spin - down_spin) / (2.0 * step))
    return np.stack(columns, axis=1), np.stack(surplus, axis=1)


def _stick(point: Point, start: Floats, stick: Floats) -> tuple[Floats, Floats]:
    (up, up_spin), (down, down_spin) = (
        point.rates(start, point.controls + sign * STICK_STEP * stick) for sign in (1.0, -1.0)
    )
    return (up - down) / (2.0 * STICK_STEP), (up_spin - down_spin) / (2.0 * STICK_STEP)


def _command(point: Point, start: Floats) -> tuple[Floats, Floats]:
    shares = np.ones(len(point.governing))
    (up, up_spin), (down, down_spin) = (
        point.rates(start, point.controls, shares * (1.0 + sign * SPIN_STEP)) for sign in (1.0, -1.0)
    )
    return (up - down) / (2.0 * SPIN_STEP), (up_spin - down_spin) / (2.0 * SPIN_STEP)


def spin_momentum(point: Point) -> Floats:
    """Return the spin momentum of rotors and propellers in body axes [N m s]."""
    momentum = np.zeros(3)
    for i in range(point.rotors):
        if point.case.rotors["turning"][i] == 1.0:
            momentum[1] += rotor_momentum_inertia(point.case, i) * point.state[ROTOR_SPEEDS + i]
    for i in range(point.thrusters):
        thruster = point.case.thrusters[i]
        size = thruster["turn_sense"] * thruster["spin_inertia"] * point.state[ROTOR_SPEEDS + point.rotors + i]
        momentum += size * np.array(thrust_axis(thruster))
    return momentum


def inertia_matrix(vehicle: Any) -> Floats:
    """Return the inertia matrix of a vehicle record [kg m²]."""
    xx, yy, zz, xy, xz, yz = (float(vehicle[name]) for name in ("ixx", "iyy", "izz", "ixy", "ixz", "iyz"))
    return np.array([[xx, -xy, -xz], [-xy, yy, -yz], [-xz, -yz, zz]])
