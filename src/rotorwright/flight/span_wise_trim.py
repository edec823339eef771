"""Level flight by the span-wise solution: airspeed, elevator and thrust that balance weight, pitch and drag.

The incidence is held, so the wake keeps its direction and the influences are worked out once. Driven rotors hold their
speed, free ones their spin ratio. Bodies and the skin friction of surfaces are those of the equation of motion, without
slipstream on the bodies.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from rotorwright.flight.equation import thrust_axis
from rotorwright.flight.numbers import Case, Tables
from rotorwright.flight.span_wise import Motion, Problem, SpanWise, cross, settle
from rotorwright.flight.span_wise_settle import TORQUE
from rotorwright.flight.span_wise_vortex import Floats
from rotorwright.physics.airframe.body import body_loads
from rotorwright.physics.airframe.surface import CONTROL_SOFTENING, flap_moment_slope, surface_loads
from rotorwright.physics.rotor.loads import rotor_load_parts

TOLERANCE = 1.0e-5
"""Lift over weight, pitching moment over lift [m] and drag left over lift: the balance is found below this."""
TRIALS, GUESSES = 25, 6
SPEED_RANGE = 1.0  # the airspeed stays within e times the first guess, up and down
LEAST_LIFT = 0.05  # of the weight: keeps the logarithm real where nothing lifts


@dataclass(frozen=True)
class Trim:
    """Level flight, or the nearest to it that was found."""

    found: bool
    airspeed: float
    """[m/s]"""
    elevator: float
    """Share of its travel, beyond ±1 if the tail cannot hold the nose."""
    thrust: float
    """Of all thrusters together [N]."""
    solution: SpanWise
    evaluations: int
    """Span-wise solutions it took."""


@dataclass(frozen=True)
class Airframe:
    """What bodies and surfaces add beside the strips, per dynamic pressure."""

    problem: Problem
    direction: Floats
    force: Floats
    moment: Floats
    axes: Floats
    arms: Floats

    travels: Floats

    def flap_moment_slopes(self) -> Floats:
        """Return the pitching moment of each flap about its own quarter chord over tanh of its travel [m³]."""
        case = self.problem.case
        share = float(case.factors[0]["control_effectiveness"] * case.factors[0]["tail_effectiveness"])
        return np.array(
            [
                share * CONTROL_SOFTENING * float(flap_moment_slope(surface["control_share"]))
                * float(surface["area"] * surface["chord"])
                for surface in case.surfaces
            ]
        )  # fmt: skip


def _three(numbers: Floats) -> tuple[float, float, float]:
    return float(numbers[0]), float(numbers[1]), float(numbers[2])


def first_motion(case: Case, tables: Tables, guess: Motion) -> Motion:
    """Return a motion whose airspeed lets the rotors alone carry the weight, thrust equal to their drag.

    Parameters
    ----------
    case : Case
    tables : Tables
    guess : Motion
        Its direction, controls and rotor speeds are kept (those of free rotors follow the airspeed); without a rotor
        that turns everything is.
    """
    vehicle, air = case.vehicle[0], case.air[0]
    weight = float((vehicle["mass"] + vehicle["extra_mass"]) * air["gravity"])
    speed = math.sqrt(sum(part * part for part in guess.velocity))
    free, share, drag = case.rotors["drive"] < 0.0, 1.0, 0.0
    if not any(guess.rotor_speeds):
        return guess
    spins = np.array(guess.rotor_speeds)
    for _ in range(GUESSES):
        lift, drag = 0.0, 0.0
        turning = np.where(free, spins * share, spins)
        for rotor, spin in zip(case.rotors, turning, strict=True):
            parts = rotor_load_parts(
                rotor, tables.rotor[0], speed * share, spin, air["density"], air["viscosity"], case.factors[0]
            )
            lift += parts[0]
            drag += parts[1] + parts[2] + parts[3]
        share *= min(max((weight / max(lift, 1.0e-6)) ** 0.6, 0.5), 2.0)
    pushing = case.thrusters["working"]
    return replace(
        guess,
        velocity=_three(np.array(guess.velocity) * share),
        rotor_speeds=tuple(np.where(free, spins * share, spins)),
        thrusts=tuple(pushing * drag / max(float(pushing.sum()), 1.0)),
    )


def _arm(case: Case, part: Any) -> Floats:
    vehicle = case.vehicle[0]
    return np.array([float(part[axis] - vehicle[axis]) for axis in "xyz"])


def airframe(problem: Problem, speed: float) -> Airframe:
    """Return what bodies, skin friction and thrust lines add at this airspeed [m/s]."""
    case = problem.case
    air, factors = case.air[0], case.factors[0]
    direction = -problem.stream
    u, v, w = (float(part) for part in speed * direction)
    pressure = 0.5 * float(air["density"]) * speed * speed
    force, moment = np.zeros(3), np.zeros(3)
    for body in case.bodies:
        loads = np.array(body_loads(body, u, v, w, air["density"], factors))
        force += loads[:3]
        moment += loads[3:] + cross(_arm(case, body), loads[:3])
    for surface in case.surfaces:
        # at its own angle of no lift a surface has friction only
        angle = float(surface["zero_lift_angle"] - surface["incidence"])
        along, under = speed * math.cos(angle), speed * math.sin(angle)
        tilt = float(surface["tilt"])
        loads = np.array(
            surface_loads(
                surface, along, -under * math.sin(tilt), under * math.cos(tilt), 0.0, air["density"], air["viscosity"],
                factors,
            )[:3]
        )  # fmt: skip
        friction = -math.sqrt(float(loads @ loads)) * direction
        force += friction
        moment += cross(_arm(case, surface), friction)
    axes = np.array([thrust_axis(thruster) for thruster in case.thrusters if thruster["working"] == 1.0])
    arms = np.array([_arm(case, thruster) for thruster in case.thrusters if thruster["working"] == 1.0])
    if not len(axes):
        axes, arms = np.zeros((1, 3)), np.zeros((1, 3))
        axes[0] = direction
    travels = [
        float(each["control_sign"] * each["control_travel"]) * float(each["control"] == 0.0 and abs(each["tilt"]) < 0.8)
        for each in case.surfaces
    ]
    return Airframe(problem, direction, force / pressure, moment / pressure, axes, arms, np.array(travels))


def trim_span_wise(problem: Problem, start: Motion) -> Trim:
    """Return level flight at the incidence of ``start``.

    Parameters
    ----------
    problem : Problem
        From `rotorwright.flight.span_wise.set_up` with the same motion.
    start : Motion
        First guess of airspeed, controls and thrusts; rotor speeds belong to this airspeed.

    Notes
    -----
    Newton in the logarithm of airspeed, elevator and thrust over weight, the slopes kept up to date by Broyden's
    formula. Circulations start from those of the step before.
    """
    case = problem.case
    vehicle = case.vehicle[0]
    speed = math.sqrt(sum(part * part for part in start.velocity))
    frame = airframe(problem, speed)
    weight = float((vehicle["mass"] + vehicle["extra_mass"]) * case.air[0]["gravity"])
    up = np.array([frame.direction[2], 0.0, -frame.direction[0]])
    free = problem.free > 0.0
    spins = np.array(start.rotor_speeds)
    working = case.thrusters["working"]
    density = float(case.air[0]["density"])
    push = frame.axes.mean(axis=0)
    turn = cross(frame.arms, frame.axes).mean(axis=0)
    flaps = frame.flap_moment_slopes()
    rates, stick = np.array(start.rates, dtype=np.float64), np.array(start.controls, dtype=np.float64)
    count = max(float(working.sum()), 1.0)
    circulation, before = np.zeros(len(problem.layout.strips.row)), 0.0
    evaluations = 0
    last: Any = None

    def turning(stretch: float) -> Floats:
        return np.where(free, spins * math.exp(stretch), spins)

    def balance(unknown: Floats) -> Floats:
        nonlocal before, evaluations, last
        stretch, stick[0], thrust = float(unknown[0]), unknown[1], weight * float(unknown[2])
        airspeed = speed * math.exp(stretch)
        np.multiply(circulation, math.exp(stretch - before), out=circulation)
        last = settle(
            problem, airspeed * frame.direction, rates, stick, turning(stretch), thrust * working / count,
            start.freewheeling, circulation,
        )  # fmt: skip
        loads, forces = last[:2]
        before, evaluations = stretch, evaluations + 1
        pressure = 0.5 * density * airspeed * airspeed
        force = forces.sum(axis=0) + pressure * frame.force + thrust * push
        pitching = float(problem.arms[:, 2] @ forces[:, 0] - problem.arms[:, 0] @ forces[:, 2]) + loads[:, TORQUE].sum()
        flap = float((flaps * np.tanh(stick[0] * frame.travels / CONTROL_SOFTENING)).sum())
        pitching += thrust * turn[1] + pressure * (float(frame.moment[1]) + flap)
        lift = max(float(force @ up), LEAST_LIFT * weight)
        return np.array([math.log(lift / weight), pitching / lift, float(force @ frame.direction) / lift])

    unknown = np.array([0.0, start.controls[0], sum(start.thrusts) / weight])
    residual = balance(unknown)
    slopes = np.zeros((3, 3))
    # of thrust: without what its slipstream does
    slopes[:, 2] = float(push @ up), float(turn[1]), float(push @ frame.direction)
    for k, step in enumerate((0.02, 0.05)):
        moved = unknown.copy()
        moved[k] += step
        slopes[:, k] = (balance(moved) - residual) / step
    found = False
    for _ in range(TRIALS):
        if float(np.abs(residual).max()) < TOLERANCE:
            found = True
            break
        if not abs(np.linalg.det(slopes)) > 1.0e-12:
            break
        step_taken = -np.linalg.solve(slopes, residual)
        step_taken *= min(1.0, 0.5 / max(float(np.abs(step_taken).max()), 1.0e-12))
        unknown = unknown + step_taken
        unknown[0] = min(max(unknown[0], -SPEED_RANGE), SPEED_RANGE)
        fresh = balance(unknown)
        slopes += np.outer(fresh - residual - slopes @ step_taken, step_taken) / float(step_taken @ step_taken)
        residual = fresh
    airspeed, thrust = speed * math.exp(float(unknown[0])), weight * float(unknown[2])
    motion = replace(
        start,
        velocity=_three(airspeed * frame.direction),
        controls=(float(unknown[1]), *start.controls[1:]),
        rotor_speeds=tuple(float(spin) for spin in turning(float(unknown[0]))),
        thrusts=tuple(float(part) for part in thrust * working / count),
    )
    loads, forces, shares, rounds = last
    solution = SpanWise(problem, motion, circulation, loads, forces, shares, int(rounds))
    return Trim(found and rounds > 0, airspeed, float(unknown[1]), thrust, solution, evaluations)
