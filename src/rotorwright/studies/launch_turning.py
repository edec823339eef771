"""What rolls and yaws an aeroplane at all, and how fast: each control put over alone in level flight."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.quantity import Quantity
from rotorwright.flight.linear import PHI, STICKS, Linear, P, R, U, V, W
from rotorwright.studies.launch_ready import Ready
from rotorwright.studies.sources import MASS, lift_sources

Floats = npt.NDArray[np.float64]

BANKED = math.radians(30.0)
STEP, LONGEST = 0.01, 4.0
WORDS = {"rudder": "rudder", "aileron": "ailerons"}
NOTHING = 1e-4
CAN_HOLD = 0.7
"""Share of a control's travel that may be needed, so that some is left (judgement)."""


@dataclass(frozen=True)
class Turner:
    """One control, put over fully in level flight with the others left alone."""

    control: str
    bank_time: Quantity
    """Until it has banked 30° either way [s]."""
    roll_rate: Quantity
    """Greatest on the way there [rad/s]."""
    yaw_rate: Quantity
    """After one second [rad/s]."""
    directly: bool
    """Whether it rolls by itself (else it yaws first)."""
    other_way: bool
    """Whether the first roll is against the one it ends in."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        numbers = {name: getattr(self, name).as_dict() for name in ("bank_time", "roll_rate", "yaw_rate")}
        return {"control": self.control, **numbers, "directly": self.directly, "other_way": self.other_way}


def turners(ready: Ready) -> tuple[Turner, ...]:
    """Return every control that rolls or yaws this aeroplane, the fastest to bank first.

    Notes
    -----
    Response of the linear model of level flight (rotor spins among its states) to a full deflection at once, stepped
    by its exact exponential. Validity: small motions, so beyond some 30° of bank it is a guess.
    """
    found = []
    for channel, stick in enumerate(STICKS):
        if stick not in WORDS or abs(ready.models[0].effect[[P, R], channel]).max() < NOTHING:
            continue
        histories = [_history(model, channel) for model in ready.models]
        times = [_time_to(bank) for bank, _, _ in histories]
        rates = [float(np.abs(roll[: _count(bank)]).max()) for bank, roll, _ in histories]
        yaws = [abs(float(yaw[round(1.0 / STEP)])) for _, _, yaw in histories]
        bank, roll, _ = histories[0]
        early, late = float(roll[2]), float(bank[_count(bank) - 1])
        sources = ("etkin1996", "mechanics", *lift_sources(ready.flown), *MASS)
        read = ready.reader.quantity
        found.append(
            Turner(
                WORDS[stick],
                read(times, "s", sources, f"full deflection does not bank it 30° in {LONGEST:.0f} s"),
                read(rates, "rad/s", sources),
                read(yaws, "rad/s", sources),
                abs(float(ready.models[0].effect[P, channel])) > abs(float(ready.models[0].effect[R, channel])),
                early * late < 0.0,
            )
        )
    return tuple(sorted(found, key=lambda each: each.bank_time.value or math.inf))


def _history(model: Linear, channel: int) -> tuple[Floats, Floats, Floats]:
    """Return bank, roll rate and yaw rate after a full step of one control."""
    from scipy.linalg import expm

    size = len(model.matrix)
    whole = np.zeros((size + 1, size + 1))
    whole[:size, :size], whole[:size, size] = model.matrix, model.effect[:, channel]
    once = expm(STEP * whole)
    state = np.zeros(size + 1)
    state[size] = 1.0
    rows = np.empty((round(LONGEST / STEP) + 1, 3))
    for k in range(len(rows)):
        rows[k] = state[PHI], state[P], state[R]
        state = once @ state
        if abs(state[PHI]) > 4.0:
            rows[k + 1 :] = rows[k]
            break
    return rows[:, 0], rows[:, 1], rows[:, 2]


def _count(bank: Floats) -> int:
    there = np.flatnonzero(np.abs(bank) >= BANKED)
    return int(there[0]) + 1 if len(there) else len(bank)


def _time_to(bank: Floats) -> float:
    there = np.flatnonzero(np.abs(bank) >= BANKED)
    return float(there[0]) * STEP if len(there) else math.nan


@dataclass(frozen=True)
class Across:
    """What a crosswind asks of the controls, per m/s of wind from the side, every case."""

    rudder_for_yaw: Floats
    """Share of rudder that keeps the nose straight against the wind on it; inf without one."""
    roll_for_roll: Floats
    """Share of the best roll control that holds the wings level against the wind on them; inf without one."""


def across(ready: Ready) -> Across:
    """Return what one metre per second from the side asks of rudder and roll control, in every case.

    Notes
    -----
    Yaw: N_v v = N_δ δ at level speed, the nose held along the run. Roll: L_v v against `roll_control`.
    """
    yaw, roll = np.full(ready.cases, np.inf), np.full(ready.cases, np.inf)
    rudder = STICKS.index("rudder")
    control = roll_control(ready)
    for case, model in enumerate(ready.models):
        by_side, effect = model.settled(), model.settled_effect()
        if abs(effect[R, rudder]) > NOTHING:
            yaw[case] = abs(by_side[R, V] / effect[R, rudder])
        if control[case] > 0.0:
            roll[case] = model.inertia[0, 0] * abs(by_side[P, V]) / control[case]
    return Across(yaw, roll)


def roll_control(ready: Ready) -> Floats:
    """Return the greatest rolling moment that its controls make [N m], every case; nought: nothing rolls it.

    Notes
    -----
    Ailerons: their own moment. Rudder: the moment that would hold the roll rate it brings within a second,
    I_x |L_p| p; yaw and sideslip make that roll, so it comes late.
    """
    found = np.zeros(ready.cases)
    rudder, aileron = STICKS.index("rudder"), STICKS.index("aileron")
    second = round(1.0 / STEP) + 1
    for case, model in enumerate(ready.models):
        direct = abs(float(model.settled_effect()[P, aileron]))
        if direct > NOTHING:
            found[case] = model.inertia[0, 0] * direct
        elif abs(model.effect[R, rudder]) > NOTHING:
            fastest = float(np.abs(_history(model, rudder)[1][:second]).max())
            found[case] = model.inertia[0, 0] * abs(float(model.settled()[P, P])) * fastest
    return found


def lift_exponents(ready: Ready) -> tuple[Floats, Floats]:
    """Return how lift goes with airspeed (power of it), at once and once the spin has followed, in every case."""
    gravity = float(ready.flown.numbers.air["gravity"][0])
    share = ready.airspeed / gravity
    at_once = np.array([-model.matrix[W, U] for model in ready.models]) * share
    later = np.array([-model.settled()[W, U] for model in ready.models]) * share
    return np.asarray(at_once), np.asarray(later)
