"""A bare list of parts with its scratch arrays, and a plain Runge–Kutta: for tests of the equation of motion."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from rotorwright.flight.alone import assemble_parts, attitude_quaternion
from rotorwright.flight.equation import state_rates
from rotorwright.flight.layout import OFF, QUATERNION, RATES, ROTOR_SPEEDS, controls_size, loads_size, state_size
from rotorwright.flight.numbers import AeroplaneNumbers, case_of, physics_tables


class Machine:
    """One aeroplane ready for `state_rates`."""

    def __init__(self, parts: Mapping[str, Any] | AeroplaneNumbers, **air: Any) -> None:
        """Take parts as `assemble_parts` does, or finished numbers."""
        self.numbers = parts if isinstance(parts, AeroplaneNumbers) else assemble_parts(parts, **air)
        self.case = case_of(self.numbers, 0)
        self.rotors = self.numbers.rotors.shape[1]
        self.thrusters = self.numbers.thrusters.shape[1]
        self.controls = np.zeros(controls_size(self.thrusters, self.numbers.drives.shape[1]))
        self.controls[4:] = OFF
        self.loads = np.zeros(loads_size(self.rotors, self.thrusters, self.numbers.batteries.shape[1]))
        self.scratch = np.zeros(3)

    def state(
        self,
        *,
        velocity: Sequence[float] = (0.0, 0.0, 0.0),
        body_rates: Sequence[float] = (0.0, 0.0, 0.0),
        attitude: tuple[float, float, float] = (0.0, 0.0, 0.0),
        spins: Sequence[float] = (),
    ) -> Any:
        """Return a state at the origin."""
        state = np.zeros(state_size(self.rotors, self.thrusters))
        state[:3], state[RATES : RATES + 3] = velocity, body_rates
        state[QUATERNION : QUATERNION + 4] = attitude_quaternion(*attitude)
        state[ROTOR_SPEEDS : ROTOR_SPEEDS + len(spins)] = spins
        return state

    def rates(self, state: Any) -> Any:
        """Return the rates of change; ``loads`` holds the loads afterwards."""
        rates = np.zeros_like(state)
        state_rates(self.case, physics_tables(), state, self.controls, self.loads, rates, self.scratch)
        return rates


def integrate(machine: Machine, state: Any, duration: float, steps: int) -> Any:
    """Return the state after a duration, by the classical fourth-order Runge–Kutta method."""
    step = duration / steps
    state = state.copy()
    for _ in range(steps):
        a = machine.rates(state)
        b = machine.rates(state + 0.5 * step * a)
        c = machine.rates(state + 0.5 * step * b)
        d = machine.rates(state + step * c)
        state += step / 6.0 * (a + 2.0 * b + 2.0 * c + d)
    return state
