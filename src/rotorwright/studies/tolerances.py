"""How straight is straight enough: the balance grade that careful, typical and rough building reaches, by drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity, exact, from_samples
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.physics.structure.balance_grade import (
    bearing_eccentricity,
    permissible_unbalance,
    plane_shares,
    unbalance_force,
)
from rotorwright.physics.structure.tolerance_unbalance import (
    BOW_MEAN,
    CLASSES,
    Drawn,
    ScatteredRotor,
    draw_unbalance,
    even_grade,
)
from rotorwright.studies.document_head import head
from rotorwright.studies.evaluate import Flown, factors_for, fly
from rotorwright.studies.held_flight import level_or_held
from rotorwright.studies.strength_parts import RotorBuild, rotor_builds

Floats = npt.NDArray[np.float64]

DRAWS = 4096
TARGETS = {"first spin": 0.040, "flight": 0.016, "good": 0.0063}
"""Grades to reach [m/s]: G 40 before the first spin, G 16 to fly, G 6.3 is good work (judgement)."""
STATES = ("as built", "static", "two planes")
STATIC_LEFT = 0.00006
"""Eccentricity that a static balance on clean edges leaves [m], 0.03 to 0.15 mm (judgement)."""
STATIC_SPREAD = 0.6
TWO_PLANE_GRADE, TWO_PLANE_SPREAD = 0.0063, 0.55
"""Grade that a two-plane balance by hand leaves [m/s], 0.004 to 0.016 (judgement), and spread of its logarithm."""
GREASE = {"open": 0.00002, "shielded": 0.0003, "sealed": 0.001}
"""Drag of one bearing's grease and seals when it is balanced in its own bearings [N m] (from memory)."""
SOURCES = ("iso21940", "mechanics")


@dataclass(frozen=True)
class Reached:
    """What one way of building, balanced so far, comes to."""

    build: str
    state: str
    grade: Quantity
    """Of the worse plane [m/s]."""
    force: Quantity
    """Turning force of the whole unbalance over the rotor's weight."""
    chances: dict[str, float]
    """Share of rotors within each target grade."""


@dataclass(frozen=True)
class RotorTolerances:
    """Tolerances of one rotor."""

    rotor: str
    quantities: dict[str, Quantity]
    reached: tuple[Reached, ...]
    shares: dict[str, dict[str, float]]
    """By build class: share of the mean square of the unbalance that each source makes."""
    straightness: tuple[tuple[float, float, float, float], ...]
    """Bow at mid-span [m] and the chance to be within first spin, flight and good, as built in a typical hand: how
    straight is straight enough."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            "rotor": self.rotor,
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "reached": [
                {"build": each.build, "state": each.state, "grade": each.grade.as_dict(), "force": each.force.as_dict(),
                 "chances": each.chances}
                for each in self.reached
            ],
            "shares": self.shares,
            "straightness": [list(row) for row in self.straightness],
        }  # fmt: skip


@dataclass(frozen=True)
class Tolerances:
    """Tolerances of all rotors of an aeroplane."""

    aeroplane: Aeroplane
    rotors: tuple[RotorTolerances, ...]
    notes: tuple[str, ...]
    draws: int
    seed: int

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        several = len(self.rotors) > 1
        return {
            **head(self.aeroplane, {"draws": self.draws, "seed": self.seed}),
            "quantities": {
                name + (f"_{each.rotor}" if several else ""): quantity.as_dict()
                for each in self.rotors
                for name, quantity in each.quantities.items()
            },
            "verdict": None,
            "tolerances": [each.as_dict() for each in self.rotors],
            "warnings": list(self.notes),
        }


def tolerances(
    aeroplane: Aeroplane,
    *,
    draws: int = DRAWS,
    seed: int = 0,
    grade: float = TARGETS["flight"],
    flown: Flown | None = None,
) -> Tolerances:
    """Return the balance grades that hand building reaches, and what they ask of the builder.

    Parameters
    ----------
    aeroplane : Aeroplane
        From `rotorwright.load`.
    draws : int
        Rotors drawn for each build class.
    seed : int
    grade : float
        Grade asked for [m/s].
    flown : Flown, optional
        The same aeroplane already flown; the nominal case tells the rotor speed.

    Returns
    -------
    Tolerances

    Raises
    ------
    InputError
        If the aeroplane has no rotor.
    """
    if not aeroplane.tables.rotor:
        raise InputError("describes no rotor", place=aeroplane.source)
    flight = fly(aeroplane, samples=0, few=True) if flown is None else flown
    level = level_or_held(flight)
    builds = rotor_builds(aeroplane, flight.rows, flight.numbers.rotors[0])
    found = []
    for build in builds:
        spin = 0.0 if level is None else float(abs(level["rotor_speed"][0]))
        if build.driven:
            drive = int(flight.rows.rotors["drive"][build.row])
            spin = max(spin, float(flight.numbers.drives["speed"][0, drive])) if drive >= 0 else spin
        seals = aeroplane.tables.rotor[build.name].shaft.seals
        found.append(_rotor(build, max(spin, 1.0), seals, grade, draws, seed, aeroplane))
    notes = (
        "grades hold for stiff rotors: above two thirds of the first bending resonance balance the bend as well",
        "scatters of hand building are judgement: weigh, measure run-out, and trust the balance stand more",
    )
    return Tolerances(aeroplane, tuple(found), notes, draws, seed)


def scattered(build: RotorBuild, aeroplane: Aeroplane) -> ScatteredRotor:
    """Return what of a rotor can be off centre."""
    rotor = aeroplane.tables.rotor[build.name]
    discs = build.discs
    turning = discs is not None and discs.turn
    one = math.pi / 4.0 * discs.diameter**2 * discs.thickness * discs.density if discs is not None else 0.0
    tube = math.pi / 4.0 * (build.outer**2 - build.inner**2) * build.span * build.tube_density if build.turns else 0.0
    count = discs.count if discs is not None and turning else 0
    skin = max(build.mass - tube - count * one, 0.1 * build.mass)
    vanes = 0 if build.closed_skin else rotor.buckets if build.section == "bucket" else 2
    radius = 0.5 * build.diameter if build.closed_skin else (math.pi / 8.0 + 0.08) * 0.5 * build.diameter
    return ScatteredRotor(build.span, skin, radius, build.closed_skin, vanes, rotor.stages, one, count, tube)


def _rotor(
    build: RotorBuild, spin: float, seals: str, grade: float, draws: int, seed: int, aeroplane: Aeroplane
) -> RotorTolerances:
    rotor = scattered(build, aeroplane)
    mass, planes = build.mass, build.span
    scale = _scale(draws, seed)
    reached: list[Reached] = []
    shares: dict[str, dict[str, float]] = {}
    for number, (name, classed) in enumerate(CLASSES.items()):
        random = np.random.default_rng([seed, 11, number])
        drawn = draw_unbalance(rotor, classed, scale, random)
        squares = {source: float(np.mean(np.abs(part) ** 2)) for source, part in drawn.by_source.items()}
        whole = sum(squares.values()) or 1.0
        shares[name] = {source: square / whole for source, square in squares.items()}
        for state in STATES:
            total, couple = _after(state, drawn, mass, planes, spin, random)
            worse = even_grade(total, couple, planes, mass, np.full(draws, spin))
            force = unbalance_force(unbalance=1.0, rotor_speed=spin) * np.abs(total) / (mass * GRAVITY)
            reached.append(_reached(name, state, worse, force))
    return RotorTolerances(
        build.name,
        _asked(build, spin, seals, grade),
        tuple(reached),
        shares,
        _straightness(rotor, build, spin, draws, seed),
    )


def _scale(draws: int, seed: int) -> Floats:
    """Return the Unknown scatter of builders, one for each rotor drawn, from its own samples."""
    factors, _ = factors_for(256, seed)
    return np.resize(factors["build_scatter"][1:], draws)


def _after(
    state: str, drawn: Drawn, mass: float, planes: float, spin: float, random: np.random.Generator
) -> tuple[Any, Any]:
    """Return total and couple that a state of balancing leaves."""
    draws = len(drawn.total)
    phase = np.exp(2j * math.pi * random.random(draws))
    if state == "as built":
        return drawn.total, drawn.couple
    if state == "static":  # the correction goes to mid-span and the couple stays
        left = STATIC_LEFT * np.exp(STATIC_SPREAD * random.standard_normal(draws)) * mass
        smaller = np.minimum(left, np.abs(drawn.total))
        return smaller * phase, drawn.couple
    plane = 0.5 * TWO_PLANE_GRADE * np.exp(TWO_PLANE_SPREAD * random.standard_normal((2, draws))) * mass / spin
    first, second = plane[0] * phase, plane[1] * np.exp(2j * math.pi * random.random(draws))
    return first + second, 0.5 * planes * (second - first)


def _reached(build: str, state: str, grade: Floats, force: Floats) -> Reached:
    return Reached(
        build,
        state,
        from_samples(grade, float(np.median(grade)), "m/s", sources=SOURCES),
        from_samples(force, float(np.median(force)), "1", sources=SOURCES),
        {target: float(np.mean(grade <= limit)) for target, limit in TARGETS.items()},
    )


def _asked(build: RotorBuild, spin: float, seals: str, grade: float) -> dict[str, Quantity]:
    """Return what a grade asks of the builder: exact consequences of grade, mass and speed."""
    whole = permissible_unbalance(grade=grade, mass=build.mass, rotor_speed=spin)
    share = plane_shares(left=1.0, right=1.0)[0]
    off = whole / build.mass
    radius = 0.45 * (build.discs.diameter if build.discs is not None else build.diameter)
    blind = bearing_eccentricity(mass=build.mass, bore=build.bearing.bore, drag_torque=2.0 * GREASE[seals])
    return {
        "balancing_speed": exact(spin, "rad/s", SOURCES),
        "permissible_unbalance": exact(whole, "kg m", SOURCES),
        "permissible_unbalance_per_plane": exact(share * whole, "kg m", SOURCES),
        "permissible_mass_at_rim": exact(share * whole / radius, "kg", SOURCES),
        "permissible_eccentricity": exact(off, "m", SOURCES),
        "permissible_bow": exact(0.5 * off / BOW_MEAN, "m", SOURCES),
        "permissible_run_out": exact(off / BOW_MEAN, "m", SOURCES),
        "trial_unbalance": exact(7.0 * share * whole, "kg m", SOURCES),
        "unseen_eccentricity": exact(blind, "m", SOURCES),
    }


def _straightness(
    rotor: ScatteredRotor, build: RotorBuild, spin: float, draws: int, seed: int
) -> tuple[tuple[float, float, float, float], ...]:
    """Return chances against the bow of the tube, in a typical hand, as built."""
    classed = CLASSES["typical"]
    scale = _scale(draws, seed)
    rows = []
    for bow in np.linspace(0.0, 0.002, 9) * max(build.span, 0.2):
        random = np.random.default_rng([seed, 13])
        drawn = draw_unbalance(rotor, classed._replace(bow=0.0), scale, random)
        turning = rotor.skin_mass + rotor.tube_mass + rotor.disc_mass * rotor.discs
        total = drawn.total + turning * BOW_MEAN * float(bow) * np.exp(2j * math.pi * random.random(draws))
        grade = even_grade(total, drawn.couple, build.span, build.mass, np.full(draws, spin))
        rows.append((float(bow), *(float(np.mean(grade <= limit)) for limit in TARGETS.values())))
    return tuple((row[0], row[1], row[2], row[3]) for row in rows)
