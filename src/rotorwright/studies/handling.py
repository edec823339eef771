"""How an aeroplane answers: its natural motions, the gyroscope in it, controls, gusts, turns and its balance point."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.status import OK
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.flight.envelope import LEVEL
from rotorwright.flight.linear import STICKS, Linear, P, Point, Q, R, U, W, linearise
from rotorwright.flight.solver import GUESS_INNER, Solutions
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.bench_modes import Modes, modes_of
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.handling_balance import BalanceRange, balance_range
from rotorwright.studies.handling_controls import Throw, tail_volumes, throws
from rotorwright.studies.handling_criteria import (
    ACCEPTABLE,
    CATCHABLE,
    Judgement,
    dutch_roll_level,
    phugoid_level,
    roll_level,
    short_period_level,
    spiral_level,
    time_scale,
)
from rotorwright.studies.handling_sideways import Sideways, sideways
from rotorwright.studies.handling_speeds import SpeedTrim, speed_trims
from rotorwright.studies.handling_turns import Turn, turns
from rotorwright.studies.held_flight import held_flight, level_or_held
from rotorwright.studies.sources import MASS, lift_sources, torque_sources

Floats = npt.NDArray[np.float64]

SCHEMA = 1
YAW_ASKED = math.radians(30.0)
"""Rate at which the gyroscope is told [rad/s]."""
GUST = 2.0
"""Gust and lull that are told [m/s]."""
MECHANICS = ("etkin1996", "mechanics")


@dataclass(frozen=True)
class Handling:
    """What it is like to fly an aeroplane, level and hands off."""

    aeroplane: Aeroplane
    quantities: dict[str, Quantity]
    modes: Modes
    """Natural motions with every Unknown at its median."""
    modes_without_spin: Modes
    """The same with the spin momentum cancelled by a flywheel that turns the other way."""
    modes_drawn: tuple[Modes, ...]
    """The same as `modes` for every draw of the Unknowns."""
    judgements: tuple[Judgement, ...]
    throws: tuple[Throw, ...]
    turns: tuple[Turn, ...]
    speeds: tuple[SpeedTrim, ...]
    """Where the elevator stands at other speeds and throttles."""
    balance: BalanceRange
    sideways: Sideways
    """Straight flight whole and with one part stopped, differential spin, outputs of the receiver."""
    story: tuple[str, ...]
    """The same in a pilot's words."""
    samples: int
    seed: int
    airspeed: float
    """At which the motions are told [m/s]."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            **head(self.aeroplane, {"samples": self.samples, "seed": self.seed}, SCHEMA),
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": None,
            "motions": [_motion(mode) for mode in self.modes],
            "motions_without_spin": [_motion(mode) for mode in self.modes_without_spin],
            "judgements": [vars(each) for each in self.judgements],
            "throws": [each.as_dict() for each in self.throws],
            "turns": [each.as_dict() for each in self.turns],
            "speed_trims": [each.as_dict() for each in self.speeds],
            "balance_range": self.balance.as_dict(),
            "straight": [each.as_dict() for each in self.sideways.straight],
            "outputs": [each.as_dict() for each in self.sideways.outputs],
            "warnings": list(self.story),
        }


def _motion(mode: Any) -> dict[str, Any]:
    return {
        "name": mode.name,
        "growth": mode.real,
        "frequency": mode.imaginary,
        "damping_ratio": mode.damping_ratio,
        "time_to_half": mode.time_to_half,
        "time_to_double": mode.time_to_double,
        "shape": {state: [part.real, part.imag] for state, part in mode.shape.items()},
    }


def handling(aeroplane: Aeroplane, *, samples: int = 48, seed: int = 0) -> Handling:
    """Linearise level flight of an aeroplane and tell what it is like to fly.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    samples, seed : int
        Samples of the Unknowns behind the bands, at most 1024, and the seed that shifts them.

    Returns
    -------
    Handling

    Raises
    ------
    InputError
        If the aeroplane has no balance at any speed, so that there is no flight to disturb.

    Notes
    -----
    Jacobian of the one equation of motion about level flight, rotor and propeller speeds among the states; where
    thrust or pitch control is short of level flight, about the flight that would be level if they were not. Without
    the lag of the downwash, with ground and wind far away.
    """
    flown = fly(aeroplane, samples=samples, seed=seed)
    level = level_or_held(flown)
    if level is None:
        raise InputError("has no balance at any speed, so there is no flight to disturb", place=aeroplane.source)
    rows = held_flight(flown.numbers, level).solve((), GUESS_INNER)
    models = [linearise(rows, case) for case in range(len(rows.cases))]
    reader = Reader(flown, design_support(flown))
    modes, *drawn = (modes_of(model.matrix, model.states) for model in models)
    quantities = _motion_quantities(models, [modes, *drawn], reader)
    quantities |= _gyroscope(models, rows, reader)
    quantities |= _gusts(models, reader)
    quantities |= tail_volumes(flown, reader)
    balance = balance_range(flown, rows, models, reader)
    quantities |= balance.quantities
    aside = sideways(flown, level, rows, models, reader)
    quantities |= aside.quantities
    plain = modes_of(models[0].without_spin().matrix, models[0].states)
    judged = _judgements(quantities, _span(flown))
    turned = turns(flown, level, reader)
    trims = speed_trims(flown, level, reader)
    return Handling(
        aeroplane, quantities, modes, plain, tuple(drawn), judged, throws(flown, reader), turned, trims, balance, aside,
        _story(flown, models[0], modes, quantities), samples, seed,
        math.hypot(float(models[0].at[U]), float(models[0].at[W])),
    )  # fmt: skip


def _span(flown: Flown) -> float:
    """Return the span over the tips of rotors and surfaces [m]."""
    tips = [
        float((np.abs(rows["y"]) + 0.5 * rows["span"]).max())
        for rows in (flown.rows.rotors, flown.rows.surfaces)
        if len(rows)
    ]
    return 2.0 * max(tips)


def _motion_quantities(models: list[Linear], cases: list[Modes], reader: Reader) -> dict[str, Quantity]:
    cancelled = [modes_of(model.without_spin().matrix, model.states) for model in models]
    sources = MECHANICS + lift_sources(reader.flown)

    def read(name: str, what: Any, unit: str, among: list[Modes] = cases) -> Quantity:
        found = [next((mode for mode in modes if mode.name == name), None) for modes in among]
        numbers = [math.nan if mode is None else _number(what(mode)) for mode in found]
        return reader.quantity(numbers, unit, sources, "the motion joins with another one")

    return {
        "short_period_frequency": read("short period", lambda mode: mode.natural_frequency, "rad/s"),
        "short_period_period": read("short period", lambda mode: mode.period, "s"),
        "short_period_damping": read("short period", lambda mode: mode.damping_ratio, "1"),
        "phugoid_period": read("phugoid", lambda mode: mode.period, "s"),
        "phugoid_damping": read("phugoid", lambda mode: mode.damping_ratio, "1"),
        "dutch_roll_frequency": read("Dutch roll", lambda mode: mode.natural_frequency, "rad/s"),
        "dutch_roll_period": read("Dutch roll", lambda mode: mode.period, "s"),
        "dutch_roll_damping": read("Dutch roll", lambda mode: mode.damping_ratio, "1"),
        "roll_time_constant": read("roll", lambda mode: mode.time_constant, "s"),
        "spiral_growth": read("spiral", lambda mode: mode.real, "1/s"),
        "spiral_double": read("spiral", _doubling, "s"),
        "spiral_double_without_spin": read("spiral", _doubling, "s", cancelled),
        "fastest_growth": reader.quantity([max(mode.real for mode in modes) for modes in cases], "1/s", sources),
    }


def _doubling(mode: Any) -> float | None:
    return None if mode.time_to_double is None else float(mode.time_to_double)


def _number(value: float | None) -> float:
    return math.nan if value is None else value


def _gyroscope(models: list[Linear], rows: Solutions, reader: Reader) -> dict[str, Quantity]:
    """Return what the spinning rotors do to roll and yaw, against what the controls can do."""
    sources = MECHANICS + torque_sources(reader.flown) + MASS
    spin = np.array([model.momentum[1] for model in models])
    roll, yaw, pitch = (np.array(values) for values in zip(*(_control_moments(rows, i) for i in range(len(models))),
                                                           strict=True))  # fmt: skip
    couple = spin * YAW_ASKED
    nutation = [
        2.0 * math.pi * math.sqrt(model.inertia[0, 0] * model.inertia[2, 2]) / max(abs(model.momentum[1]), 1e-9)
        for model in models
    ]
    none = "there is no control for it"
    throttle = np.array([model.settled_effect()[Q, len(STICKS)] * model.inertia[1, 1] for model in models])
    spare = 1.0 - rows.flight[:, 3]
    return {
        "spin_momentum": reader.quantity(spin, "N m s", sources),
        "gyroscopic_couple": reader.quantity(couple, "N m", sources),
        "nutation_period": reader.quantity(nutation, "s", sources),
        "roll_control": reader.quantity(np.where(roll > 0.0, roll, np.nan), "N m", MECHANICS, none),
        "yaw_control": reader.quantity(np.where(yaw > 0.0, yaw, np.nan), "N m", MECHANICS, none),
        "pitch_control": reader.quantity(np.where(pitch > 0.0, pitch, np.nan), "N m", MECHANICS, none),
        "couple_share_of_roll": reader.quantity(_share(couple, roll), "1", sources, none),
        "couple_share_of_yaw": reader.quantity(_share(couple, yaw), "1", sources, none),
        "throttle_pitching": reader.quantity(throttle * spare, "N m", MECHANICS),
        "throttle_elevator": reader.quantity(
            np.divide(throttle * spare, pitch, out=np.full(len(pitch), np.nan), where=pitch > 1e-9)
            * _elevator_travel(reader.flown),
            "rad",
            MECHANICS,
            none,
        ),
        "throttle_share_of_pitch": reader.quantity(_share(np.abs(throttle * spare), pitch), "1", MECHANICS, none),
    }


def _elevator_travel(flown: Flown) -> float:
    """Return the travel of the first surface on the elevator [rad]; NaN without one."""
    moved = flown.rows.surfaces[flown.rows.surfaces["control"] == STICKS.index("elevator")]
    return float(moved["control_travel"][0]) if len(moved) else math.nan


def _share(part: Floats, whole: Floats) -> Floats:
    return np.divide(np.abs(part), whole, out=np.full(len(whole), np.nan), where=whole > 1e-9)


def _control_moments(rows: Solutions, row: int) -> tuple[float, float, float]:
    """Return the largest rolling, yawing and pitching moment of any one control, middle to full [N m]."""
    point = Point(rows, row)
    roll, yaw, pitch = 0.0, 0.0, 0.0
    for channel in range(len(STICKS)):
        ends = []
        for full in (1.0, -1.0):
            stick = point.controls.copy()
            stick[channel] = full
            ends.append(point.moments(stick))
        half = 0.5 * np.abs(ends[0] - ends[1])
        roll, pitch, yaw = max(roll, half[0]), max(pitch, half[1]), max(yaw, half[2])
    return float(roll), float(yaw), float(pitch)


def _gusts(models: list[Linear], reader: Reader) -> dict[str, Quantity]:
    gravity = float(reader.flown.numbers.air["gravity"][0])
    sources = MECHANICS + lift_sources(reader.flown)

    def shares(matrix: Any, column: int) -> list[float]:
        return [-GUST * float(matrix(model)[W, column]) / gravity for model in models]

    found = {
        "lull_lift_lost_at_once": reader.quantity(shares(lambda m: m.matrix, U), "1", sources),
        "lull_lift_lost": reader.quantity(shares(lambda m: m.settled(), U), "1", sources),
        "updraught_lift_gained": reader.quantity(shares(lambda m: m.matrix, W), "1", sources),
    }
    spins = [k for k, name in enumerate(models[0].states) if name.startswith("rotor_speed")]
    if spins:
        times = [-1.0 / float(np.mean([model.matrix[k, k] for k in spins])) for model in models]
        found["spin_time_constant"] = reader.quantity(times, "s", MECHANICS + torque_sources(reader.flown))
    return found


def _judgements(quantities: dict[str, Quantity], span: float) -> tuple[Judgement, ...]:
    scale = time_scale(span)

    def median(name: str) -> float:
        quantity = quantities[name]
        value = quantity.value if quantity.value is not None else quantity.nominal
        return math.nan if value is None else value

    found = []
    damping, frequency = median("dutch_roll_damping"), median("dutch_roll_frequency")
    if math.isfinite(damping):
        levels = (dutch_roll_level(damping, frequency, 1.0), dutch_roll_level(damping, frequency, scale))
        found.append(_judged("Dutch roll", *levels, "scaled: similar models swing faster"))
    if math.isfinite(median("roll_time_constant")):
        levels = (roll_level(median("roll_time_constant"), 1.0), roll_level(median("roll_time_constant"), scale))
        found.append(_judged("roll", *levels, "scaled: similar models roll faster"))
    if math.isfinite(median("spiral_growth")):
        level = spiral_level(median("spiral_growth"))
        found.append(_judged("spiral", level, level, "as printed: the pilot is not scaled"))
    if math.isfinite(median("short_period_damping")):
        level = short_period_level(median("short_period_damping"))
        found.append(_judged("short period", level, level, "a damping ratio needs no scaling"))
    damping = median("phugoid_damping")
    if math.isfinite(damping):
        growth = -damping * 2.0 * math.pi / median("phugoid_period") if damping < 0.0 else 0.0
        level = phugoid_level(damping, growth)
        found.append(_judged("phugoid", level, level, "a damping ratio needs no scaling"))
    return tuple(found)


def _judged(motion: str, printed: int, scaled: int, deciding: str) -> Judgement:
    return Judgement(motion, ACCEPTABLE[printed - 1], ACCEPTABLE[scaled - 1], deciding)


def _story(flown: Flown, model: Linear, modes: Modes, quantities: dict[str, Quantity]) -> tuple[str, ...]:
    story = []
    if flown.envelope.steady["status"][0, LEVEL] != OK:
        story.append("it cannot hold its height: this is told for the flight in which least is missing")
    spin = model.momentum[1]
    if len(flown.rows.rotors) and abs(spin) > 0.0:
        couple = spin * YAW_ASKED
        share = quantities["couple_share_of_roll"].value
        against = "" if share is None else f", {100.0 * share:.0f} % of full roll control"
        story.append(f"yawing right at 30° a second rolls it right with {1000.0 * couple:.0f} mN m{against}")
        story.append("rolling right yaws it left; pitching makes no couple")
    rolling = {stick: float(model.effect[P, k]) for k, stick in enumerate(STICKS)}
    if abs(rolling["aileron"]) < 1e-6:
        story.append("nothing rolls it directly: the rudder yaws it, and the faster side then lifts more")
    doubling, plain = quantities["spiral_double"].value, quantities["spiral_double_without_spin"].value
    if doubling is not None:
        told = f"a small bank doubles in {doubling:.2g} s hands off"
        if plain is not None and len(flown.rows.rotors):
            told += f" (without the spin {plain:.2g} s)"
        if doubling < CATCHABLE:
            told += ": it tightens in turns faster than most pilots catch"
        story += [told, _spiral_cure(model)]
    for mode in modes:
        if mode.name not in ("spiral",) and mode.time_to_double is not None:
            story.append(f"{mode.words()[:-1]}: hands off it leaves level flight")
    damping = quantities["phugoid_damping"].value
    if damping is not None and damping < 0.04:
        story.append("it hunts: speed and height swing with little damping")
    return tuple(story)


def _spiral_cure(model: Linear) -> str:
    """Return which change of dihedral or fin would make the spiral neutral: E = L_v N_r − N_v L_r = 0."""
    matrix = model.settled()
    sideslip_roll, yaw_roll = float(matrix[P, 1]), float(matrix[P, R])
    sideslip_yaw, yaw_yaw = float(matrix[R, 1]), float(matrix[R, R])
    needed = sideslip_yaw * yaw_roll / yaw_yaw if yaw_yaw else math.nan
    if math.isfinite(needed) and sideslip_roll < 0.0 and needed < sideslip_roll:
        return (
            "cure: a smaller fin, set higher above the balance point, or less spin momentum (sideslip rolls it upright "
            f"with 1/{needed / sideslip_roll:.2g} of what a neutral spiral needs)"
        )
    return "cure: a smaller fin, the fin set higher above the balance point, or less spin momentum"
