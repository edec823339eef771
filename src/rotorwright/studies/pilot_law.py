"""The stick law of a practised pilot for one aeroplane: what eye, memory and hand make of its small motions.

A pilot who knows an aeroplane gives as much stick as steadies it quickly without overshooting, and reckons with what
the sticks did a moment ago and the eye has not seen yet. That is taken as the linear-quadratic optimum for the
aeroplane's own small motions with the pilot's delay in them. It is the idea of the optimal-control model of a human
operator (D. L. Kleinman, S. Baron, W. H. Levison, Automatica 6 (1970) 357-369, from memory), without its noise.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.flight.linear import PHI, STICKS, THETA, Linear, P, Q, R, U, V, W
from rotorwright.flight.pilot import LOOK, REMEMBERED

Floats = npt.NDArray[np.float64]

LINKAGE = 2
"""Looks that servo and linkage take (0.1 s)."""
ERRORS_ALONG = (0.3, 0.7, 0.5, 0.08)
"""As bad as each other: speed (share of level speed), climb [m/s], pitch rate [rad/s], pitch [rad] (judgement)."""
STICKS_ALONG = (0.3, 0.25)
"""Elevator and throttle a pilot gives against such errors (judgement)."""
ERRORS_ACROSS = (0.3, 0.8, 0.8, 0.15)
"""Sideslip speed (share of level speed), roll rate, yaw rate [rad/s], bank [rad] (judgement)."""
STICKS_ACROSS = (0.4, 0.4)
IDLE = 1e-3
"""A stick that turns the aeroplane by less than this is not used [rad/s² or m/s²]."""


class Law(NamedTuple):
    """Two sticks over four things seen, over what they did lately, and where both stand in a steady flight."""

    gains: Floats
    """Shape (sticks, seen)."""
    memory: Floats
    """Shape (sticks, looks ago, sticks); the first look ago is the last."""
    asked: Floats
    """What is seen in a steady climb or bank, per unit of it, shape (seen,)."""
    given: Floats
    """The sticks then, per unit, shape (sticks,)."""
    rest: Floats
    """What is seen in trimmed level flight, over the flight the model stands about."""
    trim: Floats
    """The sticks then."""


def along_law(model: Linear, speed: float, delay: float) -> Law:
    """Return the law of elevator and throttle over speed, climb, pitch rate and pitch; asked for is a climb [m/s].

    Parameters
    ----------
    model : Linear
        Small motions about level flight.
    speed : float
        Of level flight [m/s].
    delay : float
        Between seeing and moving [s].
    """
    rows = [U, W, Q, THETA]
    seen = _seen(model, speed)
    matrix = seen @ model.settled()[np.ix_(rows, rows)] @ np.linalg.inv(seen)
    effect = seen @ model.settled_effect()[np.ix_(rows, [STICKS.index("elevator"), len(STICKS)])]
    errors = np.array([ERRORS_ALONG[0] * speed, *ERRORS_ALONG[1:]])
    gains, memory = _optimum(matrix, effect, errors, np.array(STICKS_ALONG), delay)
    # a steady climb of 1 m/s at the same speed: pitch and both sticks follow from three rates that are nothing
    open_ = np.column_stack([matrix[:3, 3], effect[:3]])
    steady = np.linalg.lstsq(open_, -matrix[:3, 1], rcond=None)[0]
    asked = np.array([0.0, 1.0, 0.0, steady[0]])
    return Law(gains, memory, asked, steady[1:], np.zeros(4), np.zeros(2))


def across_law(model: Linear, speed: float, delay: float, rates: Floats) -> Law:
    """Return the law of rudder and aileron over sideslip speed, roll rate, yaw rate and bank; asked for is a bank.

    Parameters
    ----------
    model, speed, delay
        As in `along_law`.
    rates : array, shape (8,)
        Rates of the body states with the sticks in the middle: what propellers twist must be trimmed out.
    """
    rows = [V, P, R, PHI]
    matrix = model.settled()[np.ix_(rows, rows)]
    effect = model.settled_effect()[np.ix_(rows, [STICKS.index("rudder"), STICKS.index("aileron")])]
    errors = np.array([ERRORS_ACROSS[0] * speed, *ERRORS_ACROSS[1:]])
    gains, memory = _optimum(matrix, effect, errors, np.array(STICKS_ACROSS), delay)
    lean = -matrix[3, 2] / matrix[3, 1] if matrix[3, 1] else 0.0  # roll rate of a steady turn per yaw rate
    both = np.abs(effect).max(axis=0) > IDLE
    if both.all():  # without sideslip
        open_ = np.column_stack([matrix[:3, 2] + lean * matrix[:3, 1], effect[:3]])
        steady = np.linalg.lstsq(open_, -matrix[:3, 3], rcond=None)[0]
        turn = np.array([0.0, lean * steady[0], steady[0], 1.0]), steady[1:]
    else:
        open_ = np.column_stack([matrix[:3, 0], matrix[:3, 2] + lean * matrix[:3, 1], effect[:3][:, both]])
        steady = np.linalg.lstsq(open_, -matrix[:3, 3], rcond=None)[0]
        sticks = np.zeros(2)
        sticks[both] = steady[2:]
        turn = np.array([steady[0], lean * steady[1], steady[1], 1.0]), sticks
    rest, trim = _trim(matrix, effect, both, rates[rows])
    return Law(gains, memory, turn[0], turn[1], rest, trim)


def _trim(matrix: Floats, effect: Floats, both: npt.NDArray[np.bool_], rates: Floats) -> tuple[Floats, Floats]:
    """Return sideslip, bank and sticks that hold a straight flight against what twists it."""
    rest, trim = np.zeros(4), np.zeros(2)
    if both.all():
        found = np.linalg.lstsq(np.column_stack([matrix[:3, 3], effect[:3]]), -rates[:3], rcond=None)[0]
        rest[3], trim[:] = found[0], found[1:]
    elif both.any():
        found = np.linalg.lstsq(np.column_stack([matrix[:3, [0, 3]], effect[:3][:, both]]), -rates[:3], rcond=None)[0]
        rest[0], rest[3] = found[0], found[1]
        trim[both] = found[2:]
    return rest, np.clip(trim, -0.6, 0.6)


def _seen(model: Linear, speed: float) -> Floats:
    """Return what speed, climb, pitch rate and pitch are made of: forward and downward velocity, pitch rate, pitch."""
    u, w, pitch = float(model.at[U]), float(model.at[W]), float(model.at[THETA])
    sp, cp = float(np.sin(pitch)), float(np.cos(pitch))
    return np.array(
        [[u / speed, w / speed, 0.0, 0.0], [sp, -cp, 0.0, u * cp + w * sp], [0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 1.0]]
    )


def looks_late(delay: float) -> int:
    """Return how many looks pass between seeing something and its effect, servo and linkage included."""
    return min(max(round(delay / LOOK), 1) + LINKAGE, REMEMBERED)


def _optimum(matrix: Floats, effect: Floats, errors: Floats, given: Floats, delay: float) -> tuple[Floats, Floats]:
    """Return gains on what is seen and on what the sticks did; zero for a stick that does nothing.

    Notes
    -----
    Discrete linear-quadratic regulator at the pace of the pilot's looks, the inputs on their way among its states.
    """
    from scipy.linalg import expm, solve_discrete_are

    size, sticks = effect.shape
    gains, memory = np.zeros((sticks, size)), np.zeros((sticks, REMEMBERED, sticks))
    used = np.flatnonzero(np.abs(effect).max(axis=0) > IDLE)
    if not len(used):
        return gains, memory
    steps = looks_late(delay)
    whole = np.zeros((size + len(used), size + len(used)))
    whole[:size, :size], whole[:size, size:] = matrix, effect[:, used]
    stepped = expm(whole * LOOK)
    late_a, late_b = delayed(stepped[:size, :size], stepped[:size, size:], steps)
    cost = np.zeros((len(late_a), len(late_a)))
    cost[:size, :size] = np.diag(1.0 / errors**2)
    price = np.diag(1.0 / given[used] ** 2)
    solved = solve_discrete_are(late_a, late_b, cost + 1e-9 * np.eye(len(cost)), price)
    best = np.linalg.solve(price + late_b.T @ solved @ late_b, late_b.T @ solved @ late_a)
    gains[used] = -best[:, :size]
    for ago in range(steps):  # the input that acts next was given longest ago
        at = size + len(used) * (steps - 1 - ago)
        memory[used[:, None], ago, used] = -best[:, at : at + len(used)]
    return gains, memory


def delayed(a: Floats, b: Floats, steps: int) -> tuple[Floats, Floats]:
    """Return a discrete model with its inputs ``steps`` late: the inputs on their way are states, next to act first."""
    size, sticks = b.shape
    late_a = np.zeros((size + sticks * steps, size + sticks * steps))
    late_b = np.zeros((size + sticks * steps, sticks))
    late_a[:size, :size], late_a[:size, size : size + sticks] = a, b
    for k in range(steps - 1):
        here = size + sticks * k
        late_a[here : here + sticks, here + sticks : here + 2 * sticks] = np.eye(sticks)
    late_b[-sticks:] = np.eye(sticks)
    return late_a, late_b
