"""Judging a quick-start shape, and improving it: a deterministic pattern search over a few design numbers."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from rotorwright.base.errors import InputProblems
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.aircraft_file import loads
from rotorwright.design.fill import fill
from rotorwright.design.quick_start import QuickStartSizes, quick_start_file
from rotorwright.flight.envelope import LEVEL, OPENED, UNTRIMMED
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.quick_start_shape import SPARE_LEAST, SPARE_SHARE, Shape, lay_out, widest

SAMPLES = 16
SAFE_SHARE = 0.2
"""The reserve is judged where this share of the samples lies below it, so that four in five fly."""
ENOUGH = 0.03
"""Reserve over weight at that point with which the search is content."""
PLENTY = 0.25
"""Reserve over weight at that point beyond which more buys nothing."""
HARDLY = 0.04
"""Bad manners the search puts up with."""
STEPS = (0.16, 0.08, 0.04)
"""Relative steps of the search, each used until nothing gets better."""
ROUNDS, LIGHTER_STEPS = 10, 24
TAIL_SETTINGS = (math.radians(-4.0), math.radians(20.0))
HANDSOME_INCIDENCE = math.radians(8.0)
ROTOR_LIFT = 0.7
"""Share of the lift the rotors are to carry, or it would be another kind of aeroplane."""
SLOWEST = 5.5
"""Slower models can fly in still air only [m/s] (judgement)."""
FASTEST_SPIN = 3.5
"""Spin ratio above which drums only gain drag and leave most of what was measured."""
LEAST_FLIGHT = 240.0
"""Shortest level flight worth carrying a model to the field for [s] (judgement)."""

Told = Callable[[], bool]


@dataclass(frozen=True)
class Tried:
    """A shape that was laid out and flown."""

    shape: Shape
    score: float
    sizes: QuickStartSizes | None
    aeroplane: Aeroplane | None
    flown: Flown | None
    overweight: float
    """How much heavier than asked parts and what is kept free for the rest are [kg]; at most 0 if they fit."""
    manners: float = 0.0
    """What the score lost to bad manners."""

    @property
    def good_enough(self) -> bool:
        """Tell whether the search may stop here."""
        return self.score >= ENOUGH and self.manners <= HARDLY


def parts_mass(sizes: QuickStartSizes) -> float:
    """Return the mass of everything but the item that stands for the rest [kg]."""
    bare = replace(sizes, rest_mass=0.0, battery_aft=sizes.rotor_aft, balanced=True)
    return float(fill(loads(quick_start_file(bare), "quick start")).masses["mass"].sum())


def judge_shape(guess: QuickStartSizes, shape: Shape) -> Tried:
    """Lay a shape out, settle its masses and fly it.

    Parameters
    ----------
    guess : QuickStartSizes
        The first guess, which holds what the maker asked for.
    shape : Shape

    Returns
    -------
    tried : Tried
        ``score`` is the reserve over the weight at the unlucky end of the samples, less what bad manners cost: far
        from level, currents beyond limits, a few minutes of flight only. Below −5 if the parts are too heavy.
    """
    sizes = lay_out(guess, shape)
    spare = SPARE_SHARE * guess.mass + SPARE_LEAST
    overweight = parts_mass(sizes) + spare - guess.mass
    if overweight > 0.0:
        return Tried(shape, -5.0 - overweight / guess.mass, None, None, None, overweight)
    try:
        settled = sizes.settled()
    except InputProblems:
        return Tried(shape, -7.0, None, None, None, overweight)
    shape, settled = trimmed(shape, settled)
    aeroplane = loads(quick_start_file(settled), "quick start")
    flown = fly(aeroplane, samples=SAMPLES, few=True)
    manners = _bad_manners(flown)
    return Tried(shape, _reserve_score(flown) - manners, settled, aeroplane, flown, overweight, manners)


def _reserve_score(flown: Flown) -> float:
    figures = flown.envelope.figures
    weight = flown.numbers.vehicle["mass"] * flown.numbers.air["gravity"]
    untrimmed = np.where(np.isfinite(figures["untrimmed_surplus"]), figures["untrimmed_surplus"], -weight)
    reserve = np.where(
        np.isfinite(figures["reserve_surplus"]), figures["reserve_surplus"], np.minimum(untrimmed, 0.0) - 0.3 * weight
    )
    share = np.maximum(reserve / weight, -2.0)
    unlucky = float(np.quantile(share[1:], SAFE_SHARE))
    return min(unlucky, PLENTY) + 0.05 * min(float(np.median(share)), PLENTY)


def _bad_manners(flown: Flown) -> float:
    """Return what the nominal case loses for things a maker would not build."""
    level, full = flown.envelope.steady[0, LEVEL], flown.envelope.steady[0, OPENED]
    if not math.isfinite(float(level["airspeed"])):
        return 0.2
    power = float(flown.rows.thrusters["motor_mass"].sum()) / float(flown.numbers.vehicle["mass"][0])
    cost = 4.0 * max(abs(float(level["incidence"])) - HANDSOME_INCIDENCE, 0.0)
    cost += 2.0 * max(ROTOR_LIFT - float(level["rotor_lift"]) / float(level["air_lift"]), 0.0)
    cost += 0.5 * max(power - 0.06, 0.0)  # motors are weight, noise and money: no more of them than it takes
    cost += 0.1 * max(SLOWEST - float(level["airspeed"]), 0.0)
    cost += 0.1 * max(float(level["spin_ratio"]) - FASTEST_SPIN, 0.0)
    thruster, battery = flown.rows.thrusters[0], flown.rows.batteries[0]
    asked = [
        (float(full["motor_current"]), min(thruster["motor_current_limit"], thruster["controller_current_limit"])),
        (float(full["pack_current"]), battery["current_limit"]),
    ]
    if len(flown.rows.drives):
        drive = flown.rows.drives[0]
        asked.append((float(full["drive_current"]), drive["motor_current_limit"]))
        cost += 2.0 * max(float(level["drive_duty"]) - 0.93, 0.0)
    for current, limit in asked:
        if math.isfinite(current) and limit > 0.0:
            cost += max(current / float(limit) - 0.95, 0.0)
    sag = 3.35 - float(full["pack_voltage"]) / float(battery["cells"])
    cost += 2.0 * max(sag, 0.0) if math.isfinite(sag) else 0.0
    endurance = float(level["endurance"])
    if math.isfinite(endurance):
        cost += 0.3 * max(1.0 - endurance / LEAST_FLIGHT, 0.0)
    return cost


def trimmed(shape: Shape, settled: QuickStartSizes) -> tuple[Shape, QuickStartSizes]:
    """Set the tailplane so that the nominal case holds its nose level with the elevator neutral.

    Secant steps on the pitching moment that is missing; the nearest setting within bounds if there is none.
    """

    def missing(incidence: float) -> float:
        turned = replace(settled, tail_incidence=incidence)
        flown = fly(loads(quick_start_file(turned), "quick start"), samples=0, few=True, thorough=False)
        row = flown.envelope.steady[0, UNTRIMMED]
        return float(row["pitch_aid"]) if math.isfinite(float(row["airspeed"])) else math.nan

    here, step = shape.tail_incidence, math.radians(4.0)
    low, high = TAIL_SETTINGS
    aid = missing(here)
    limit = 0.004 * settled.mass * 9.8 * (settled.tail_aft - settled.rotor_aft)
    for _ in range(6):
        if not abs(aid) > limit:
            break
        # a missing nose-down moment (negative) asks for a tail that lifts more, set more nose up
        there = min(max(here + (step if aid < 0.0 else -step), low), high)
        if there == here:
            break
        next_aid = missing(there)
        if not math.isfinite(next_aid):
            break
        slope = (next_aid - aid) / (there - here)
        here, aid = there, next_aid
        step = min(abs(aid / slope), math.radians(8.0)) if slope > 0.0 else math.radians(4.0)
    here = math.radians(round(math.degrees(here), 1))
    return replace(shape, tail_incidence=here), replace(settled, tail_incidence=here)


def neighbours(guess: QuickStartSizes, shape: Shape, step: float) -> list[Shape]:
    """Return the shapes one step away."""
    driven = guess.rotor_kind != "free vaned"
    fields = ["diameter", "span", "thruster_diameter", "shaft_power", "minutes", "disc_ratio"]
    if guess.thrust_source == "propeller":
        fields.append("pitch_ratio")
    if driven:
        fields += ["rim_speed", "drive_mass"]
    fields.append("tail")
    found = []
    for field in fields:
        size = 2.0 * step if field in ("shaft_power", "minutes", "drive_mass", "tail") else step
        for factor in (1.0 + size, 1.0 / (1.0 + size)):
            found.append(_within(guess, replace(shape, **{field: getattr(shape, field) * factor})))
    for move in (step, -step):
        found.append(replace(shape, balance=shape.balance + move * shape.diameter))
        if guess.thrust_source == "propeller":
            found.append(_within(guess, replace(shape, tilt=shape.tilt + 0.25 * move)))
    return [other for other in found if other != shape]


def _within(guess: QuickStartSizes, shape: Shape) -> Shape:
    """Return a shape brought back inside what can be built and what the laws hold for."""
    drum = guess.rotor_kind == "driven drum"
    diameter = min(max(shape.diameter, 0.03), 0.5 * guess.span_limit)
    fan = guess.thrust_source == "fan"
    inner = replace(
        shape,
        diameter=diameter,
        disc_ratio=min(max(shape.disc_ratio, 1.1), 2.2 if drum else 1.8),
        thruster_diameter=min(max(shape.thruster_diameter, 0.04 if fan else 0.1), 0.2 if fan else 0.8),
        pitch_ratio=min(max(shape.pitch_ratio, 0.35), 0.9),
        minutes=min(max(shape.minutes, 3.0), 12.0),
        rim_speed=min(max(shape.rim_speed, 3.0), 60.0),
        drive_mass=max(shape.drive_mass, 0.012),
        tail=min(max(shape.tail, 0.6), 1.5),
        tilt=min(max(shape.tilt, 0.0), math.radians(15.0)),
    )
    return replace(inner, span=min(max(shape.span, 1.5 * diameter), max(widest(guess, inner), 0.05)))


def improve(guess: QuickStartSizes, start: Tried, told: Told) -> Tried:
    """Search from a shape until it is good enough or no step helps.

    Parameters
    ----------
    guess : QuickStartSizes
    start : Tried
    told : callable
        Called after every shape flown; the search ends when it returns false.

    Returns
    -------
    best : Tried

    Notes
    -----
    Every neighbour at one step is tried and all that helped are taken together if that is better still, else the best;
    when none helps the step is halved. Deterministic.
    """
    best = start
    rounds = 0
    for step in STEPS:
        while rounds < ROUNDS and not best.good_enough:
            rounds += 1
            better: list[Tried] = []
            for shape in neighbours(guess, best.shape, step):
                tried = judge_shape(guess, shape)
                if tried.score > best.score + 1.0e-4:
                    better.append(tried)
                if not told():
                    return max(better, key=lambda tried: tried.score, default=best)
            if not better:
                break
            better.sort(key=lambda tried: -tried.score)
            best_shape, best = best.shape, better[0]
            if not best.good_enough and len(better) > 1:
                together = judge_shape(guess, _together(guess, best_shape, [tried.shape for tried in better]))
                told()
                best = max(together, best, key=lambda tried: tried.score)
    return best


def light_enough(guess: QuickStartSizes, shape: Shape) -> Shape:
    """Return a shape made smaller step by step until its parts leave room for the rest, or as small as it gets.

    Rotors, discs, drive and battery shrink before the motor does: an aeroplane short of thrust never flies, one with
    small rotors flies faster.
    """
    fan = guess.thrust_source == "fan"  # a fan's own mass grows with its disc
    for step in range(LIGHTER_STEPS):
        if parts_mass(lay_out(guess, shape)) + SPARE_SHARE * guess.mass + SPARE_LEAST <= guess.mass:
            return shape
        smaller = replace(
            shape,
            span=0.96 * shape.span,
            diameter=0.95 * shape.diameter,
            minutes=0.95 * shape.minutes,
            thruster_diameter=(0.97 if fan else 1.0) * shape.thruster_diameter,
            drive_mass=0.95 * shape.drive_mass,
            shaft_power=(0.97 if step < LIGHTER_STEPS // 2 else 0.9) * shape.shaft_power,
        )
        shape = _within(guess, smaller)
    return shape


def _together(guess: QuickStartSizes, shape: Shape, others: list[Shape]) -> Shape:
    """Return a shape with every change of the others, the first one winning where two change the same number."""
    changes: dict[str, float] = {}
    for other in others:
        for field in vars(shape):
            if field != "tail_incidence" and field not in changes and getattr(other, field) != getattr(shape, field):
                changes[field] = getattr(other, field)
    return _within(guess, replace(shape, **changes))
