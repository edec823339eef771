"""Does the rotor hold? Margins of every part in every load case, worst first, each with the fix the model tried."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity, exact, from_samples
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.physics.structure.strength_loads import (
    gyroscopic_couple,
    landing_load_factor,
    rotor_gust_ahead,
    rotor_gust_up,
    turn_load_factor,
    turn_rate,
)
from rotorwright.studies.balance_quantities import design_support
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import Flown, factors_for, fly
from rotorwright.studies.held_flight import level_or_held
from rotorwright.studies.sources import lift_sources, torque_sources
from rotorwright.studies.strength_checks import (
    STOP_TIME,
    WEAR,
    WORDS,
    Loads,
    Scatter,
    held_by_the_others,
    margins,
)
from rotorwright.studies.strength_fixes import ENOUGH, Fix, fixes_for, third_bearing
from rotorwright.studies.strength_parts import RotorBuild, rotor_builds

Floats = npt.NDArray[np.float64]

CASES = ("level flight", "gust", "turn", "landing")
GUST = 4.0
"""Gust across and along the path in ordinary field weather [m/s] (judgement)."""
BANK = math.radians(45.0)
STROKE = 0.02
"""By which gear and belly give in a landing [m]: a foam belly 10 mm, a spring gear 50 mm (judgement)."""
DRIVEN_OVER, FREE_OVER = 1.1, 1.2
"""Fastest spin over full command of a drive, and over the freewheel at the fastest level speed: a dive (judgement)."""
GRADE = 0.016
"""Balance grade that remains after balancing, whose turning force rides on every case [m/s]."""
SOURCES = ("mechanics", "lingaiah2001", "weingarten1968", "skf2018", "cfr23")
GONE = "one bearing gone"


@dataclass(frozen=True)
class TriedFix:
    """A change tried on the rotor: words, the margin it gives at every Unknown's median, mass it adds [kg]."""

    words: str
    margin: float
    mass: float


@dataclass(frozen=True)
class Margin:
    """How many times over one part holds: worst load case of one check of one rotor."""

    rotor: str
    check: str
    case: str
    margin: Quantity
    breaks: str
    """What happens below 1, in words."""
    chance: float | None
    """Share of samples in which it holds (margin at least 1)."""
    fix: TriedFix | None

    @property
    def breaks_it(self) -> bool:
        """Return whether the rotor is lost when this check falls below 1 with all bearings in place."""
        return self.check not in WEAR and self.case != GONE

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        fix = self.fix
        return {
            "rotor": self.rotor,
            "check": self.check,
            "case": self.case,
            "margin": self.margin.as_dict(),
            "breaks": self.breaks,
            "chance": self.chance,
            "fix": None if fix is None else {"words": fix.words, "margin": fix.margin, "mass": fix.mass},
        }


@dataclass(frozen=True)
class Strength:
    """Strength of all rotors of an aeroplane; margins worst first."""

    aeroplane: Aeroplane
    margins: tuple[Margin, ...]
    quantities: dict[str, Quantity]
    probability: float | None
    """Share of samples in which nothing breaks, all bearings in place; wear (tilt, sag, life) is not in it."""
    notes: tuple[str, ...]
    samples: int
    seed: int

    @property
    def word(self) -> str:
        """Return the verdict: "holds", "a gamble" or "breaks"."""
        chance = self.probability
        if chance is None:
            in_place = [each.margin.nominal or 0.0 for each in self.margins if each.breaks_it]
            return "holds" if min(in_place, default=0.0) >= 1.0 else "breaks"
        return "holds" if chance >= 0.9 else "a gamble" if chance >= 0.5 else "breaks"

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            **head(self.aeroplane, {"samples": self.samples, "seed": self.seed}),
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "verdict": {"word": self.word, "probability": self.probability},
            "strength": [each.as_dict() for each in self.margins],
            "warnings": list(self.notes),
        }


def strength(
    aeroplane: Aeroplane,
    *,
    samples: int = 64,
    seed: int = 0,
    nominal_only: bool = False,
    gust: float = GUST,
    bank: float = BANK,
    flown: Flown | None = None,
) -> Strength:
    """Return the margins of every rotor of an aeroplane.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    samples, seed : int
        Draws of the Unknowns and of the material's own scatter behind the bands.
    nominal_only : bool
        The median of every Unknown only.
    gust : float
        Gust across and along the path [m/s].
    bank : float
        Of the turn [rad].
    flown : Flown, optional
        The same aeroplane already flown with these samples.

    Returns
    -------
    Strength

    Raises
    ------
    InputError
        If the aeroplane has no rotor.
    """
    if not aeroplane.tables.rotor:
        raise InputError("describes no rotor", place=aeroplane.source)
    count = 0 if nominal_only else samples
    flight = fly(aeroplane, samples=count, seed=seed, few=True) if flown is None else flown
    level = level_or_held(flight)
    factors, _ = factors_for(count, seed)
    scatter = _scatter(factors, seed)
    builds = rotor_builds(aeroplane, flight.rows, flight.numbers.rotors[0])
    support = design_support(flight)
    found: list[Margin] = []
    holds = np.ones(count + 1, dtype=np.bool_)
    quantities: dict[str, Quantity] = {}
    notes = list(_notes(builds))
    for build in builds:
        loads = _loads(flight, level, build, factors, gust, bank)
        if level is None:
            notes.append("no level flight was found: loads are those of hanging on the rotors at 10 m/s")
        for check, (numbers, case) in margins(build, loads, scatter).items():
            if check not in WEAR:
                holds &= (numbers >= 1.0).all(axis=1)
            found.append(_margin(build, check, numbers, case, loads, scatter, support))
        found.append(_one_gone(build, loads, scatter, support))
        quantities |= _quantities(build, loads, count, support, len(builds) > 1, flight)
    quantities = {"weakest_margin": _weakest(found), **quantities}
    found.sort(key=lambda each: each.margin.value if each.margin.value is not None else 0.0)
    chance = float(np.mean(holds[1:])) if count else None
    return Strength(aeroplane, tuple(found), quantities, chance, tuple(dict.fromkeys(notes)), count, seed)


def _scatter(factors: Any, seed: int) -> Scatter:
    """Return what the parts turn out to be; the sheet's own scatter has scores of its own, nominal at the median."""
    sheet = np.random.default_rng([seed, 7]).standard_normal(len(factors))
    sheet[0] = 0.0
    return Scatter(
        factors["tube_stiffness"], factors["skin_bending_share"], factors["part_strength"], sheet,
        factors["glue_strength"],
    )  # fmt: skip


def _loads(flown: Flown, level: Any, build: RotorBuild, factors: Any, gust: float, bank: float) -> Loads:
    """Return the loads of a rotor; see docs/physics/structure-strength.md for every case."""
    numbers = flown.numbers
    rotors = flown.rows.rotors
    area = float(rotors["span"][build.row] * rotors["diameter"][build.row])
    whole = float((rotors["span"] * rotors["diameter"]).sum())
    share = area / whole
    weight = numbers.vehicle["mass"] * GRAVITY
    density = numbers.air["density"]
    cases = len(weight)
    if level is None:
        airspeed, lift, drag = np.full(cases, 10.0), weight * share, 0.5 * weight * share
        speed = np.full(cases, 2.0 * 10.0 / build.diameter * 2.0)
        power = np.zeros(cases)
    else:
        airspeed, lift = level["airspeed"], level["rotor_lift"] * share
        drag = share * (level["rotor_profile_drag"] + level["rotor_end_drag"] + level["rotor_disc_drag"])
        speed, power = np.abs(level["rotor_speed"]), level["spin_power"] * share
    own = build.mass * GRAVITY
    spin_follows = not build.driven
    up = rotor_gust_up(
        gust=gust,
        airspeed=airspeed,
        drag_coefficient=drag / (0.5 * density * airspeed**2 * area),
        area=area,
        weight=lift,
        air_density=density,
    )
    ahead = rotor_gust_ahead(gust=gust, airspeed=airspeed, spin_follows=spin_follows)
    drag_ahead = drag * (1.0 + gust / airspeed) ** 2
    turn = turn_load_factor(bank=bank)
    landing = landing_load_factor(sink=factors["landing_sink"], stroke=STROKE)
    pulls = (
        np.hypot(lift - own, drag),
        np.maximum(np.hypot(lift * (1.0 + up) - own, drag), np.hypot(lift * (1.0 + ahead) - own, drag_ahead)),
        np.hypot(turn * (lift - own), turn * drag),
        np.hypot(landing * own, drag),
    )
    turning = build.mass * GRADE * speed  # U Ω² with U = G m/Ω
    across = (np.stack(pulls, axis=1) + turning[:, None]) / build.span
    couple = np.zeros_like(across)
    rate = turn_rate(bank=bank, airspeed=airspeed)
    couple[:, 2] = gyroscopic_couple(polar_inertia=build.inertia, rotor_speed=speed, turn_rate=rate)
    fastest = _fastest(flown, build, speed, airspeed)
    torque = np.maximum(power / np.maximum(speed, 1.0), build.inertia * fastest / STOP_TIME)
    return Loads(CASES, across, couple, speed, fastest, torque)


def _fastest(flown: Flown, build: RotorBuild, speed: Floats, airspeed: Floats) -> Floats:
    if build.driven:
        drive = int(flown.rows.rotors["drive"][build.row])
        full = flown.numbers.drives["speed"][:, drive] if drive >= 0 else speed
        return np.asarray(DRIVEN_OVER * np.maximum(full, speed))
    top = flown.envelope.figures["fastest_level"]
    faster = np.where(np.isfinite(top), np.maximum(top / airspeed, 1.0), 1.0)
    return np.asarray(FREE_OVER * speed * faster)


def _margin(
    build: RotorBuild, check: str, numbers: Floats, case: str, loads: Loads, scatter: Scatter, support: str
) -> Margin:
    middle = np.median(numbers[1:] if len(numbers) > 1 else numbers, axis=0)
    worst = int(np.argmin(middle))
    name = case or loads.names[worst]
    quantity = _quantity(numbers[:, worst], support)
    chance = float(np.mean(numbers[1:, worst] >= 1.0)) if len(numbers) > 1 else None
    fix = None if float(middle.min()) >= ENOUGH else _tried(check, build, loads, scatter, float(numbers[0].min()))
    return Margin(build.name, check, name, quantity, WORDS[check], chance, fix)


def _weakest(found: list[Margin]) -> Quantity:
    """Return the least margin of all that can break."""
    inside = [each.margin for each in found if each.breaks_it]
    return min(inside, key=lambda margin: margin.value or 0.0, default=exact(0.0, "1", SOURCES))


def _quantity(numbers: Floats, support: str) -> Quantity:
    if len(numbers) == 1:
        value = float(numbers[0])
        return Quantity(value, None, None, value, "1", 1.0, support, SOURCES)
    return from_samples(numbers[1:], float(numbers[0]), "1", support=support, sources=SOURCES)


def _first(loads: Loads, scatter: Scatter) -> tuple[Loads, Scatter]:
    """Return the nominal sample alone."""
    one = Loads(loads.names, loads.across[:1], loads.couple[:1], loads.speed[:1], loads.fastest[:1], loads.torque[:1])
    return one, Scatter(*(getattr(scatter, name)[:1] for name in Scatter.__dataclass_fields__))


def _tried(check: str, build: RotorBuild, loads: Loads, scatter: Scatter, before: float) -> TriedFix | None:
    """Return the first change that gives enough, else the best that helps, else None."""
    nominal = _first(loads, scatter)
    best: TriedFix | None = None
    for fix in fixes_for(check, build):
        rows = margins(fix.build, *nominal).get(check)
        if rows is None:
            continue
        margin = float(rows[0].min())
        tried = TriedFix(fix.words, margin, fix.mass)
        if margin >= ENOUGH:
            return tried
        if margin > max(before * 1.02, 0.0 if best is None else best.margin):
            best = tried
    return best


def _one_gone(build: RotorBuild, loads: Loads, scatter: Scatter, support: str) -> Margin:
    """Return what is left when one bearing fails in level flight."""
    left = held_by_the_others(build, loads, scatter)
    if left is not None:
        quantity = _quantity(left[:, 0], support)
        chance = float(np.mean(left[1:] >= 1.0)) if len(left) > 1 else None
        return Margin(build.name, "shaft bending", GONE, quantity, "the shaft breaks in bending", chance, None)
    fix: Fix = third_bearing(build)
    rescued = held_by_the_others(fix.build, *_first(loads, scatter))
    tried = None if rescued is None else TriedFix(fix.words + " (or a bush as a catch)", float(rescued[0, 0]), fix.mass)
    words = "nothing holds the rotor straight: it tears itself out"
    return Margin(build.name, "bearings left", GONE, exact(0.0, "1", ("mechanics",)), words, 0.0, tried)


def _quantities(
    build: RotorBuild, loads: Loads, count: int, support: str, several: bool, flown: Flown
) -> dict[str, Quantity]:
    def told(numbers: Floats, unit: str, sources: tuple[str, ...]) -> Quantity:
        if count:
            return from_samples(numbers[1:], float(numbers[0]), unit, support=support, sources=sources)
        return Quantity(float(numbers[0]), None, None, float(numbers[0]), unit, 1.0, support, sources)

    end = f"_{build.name}" if several else ""
    lift, torque = lift_sources(flown), torque_sources(flown)
    read: dict[str, tuple[Callable[[], Floats], str, tuple[str, ...]]] = {
        "rotor_load_level": (lambda: loads.across[:, 0] * build.span, "N", lift),
        "rotor_load_gust": (lambda: loads.across[:, 1] * build.span, "N", lift),
        "rotor_load_turn": (lambda: loads.across[:, 2] * build.span, "N", lift),
        "rotor_load_landing": (lambda: loads.across[:, 3] * build.span, "N", ("mechanics",)),
        "gyroscopic_couple_in_turn": (lambda: loads.couple[:, 2], "N m", torque),
        "fastest_rotor_speed": (lambda: loads.fastest, "rad/s", torque),
        "rim_energy": (lambda: 0.5 * build.inertia * loads.fastest**2, "J", torque),
        "hub_torque": (lambda: loads.torque, "N m", torque),
    }
    return {f"{name}{end}": told(numbers(), unit, sources) for name, (numbers, unit, sources) in read.items()}


def _notes(builds: list[RotorBuild]) -> tuple[str, ...]:
    notes = ["bending resonance is not in these margins: keep out of the speeds that shake tells"]
    if any(build.skin_strength is None for build in builds):
        notes.append("nothing is known of the strength of a skin: give its strength in a [material.*] table")
    if any(build.closed_skin for build in builds):
        notes.append("whether the skin helps the shaft is a guess between almost nothing and four fifths")
    notes.append("water, sun, old glue and notches are not in the strengths")
    return tuple(notes)
