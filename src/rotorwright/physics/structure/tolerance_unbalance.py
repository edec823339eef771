"""Where the unbalance of a hand-built rotor comes from: scatter of its parts, drawn many times.

Complex numbers hold amount and angle; arrays over draws. Plain numpy.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Complexes = npt.NDArray[np.complex128]
Floats = npt.NDArray[np.float64]

BOW_MEAN = 2.0 / math.pi
"""Mean over the span of a half-sine bow over its middle."""
SOURCES_OF_UNBALANCE = ("centring", "discs", "skin", "bow", "seam")


class BuildClass(NamedTuple):
    """How well a rotor is built: one standard deviation of each scatter, in each of two directions."""

    centring: float
    """Skin or vanes off the axis, at each end on its own [m]."""
    disc: float
    """Bore of a disc off its centre [m]."""
    gradient: float
    """Of thickness or density round the skin (1 + ε cos θ)."""
    vane: float
    """Mass of a vane over its mean."""
    bow: float
    """Of the tube at mid-span [m]."""
    seam: float
    """Mass of a lap seam left without a counterweight [kg per metre of span]."""


CAREFUL = BuildClass(0.00015, 0.00010, 0.005, 0.01, 0.00015, 0.0)
TYPICAL = BuildClass(0.00035, 0.00025, 0.010, 0.03, 0.00035, 0.0)
ROUGH = BuildClass(0.00080, 0.00050, 0.025, 0.08, 0.00080, 0.0015)
CLASSES = {"careful": CAREFUL, "typical": TYPICAL, "rough": ROUGH}
"""Jigged with cut-by-machine discs; hand-cut and centre-drilled; scissors and a lap seam (judgement; pultruded tube is
sold as straight within 1 mm per m, read)."""


class ScatteredRotor(NamedTuple):
    """What of a rotor can be off centre (SI)."""

    span: float
    skin_mass: float
    skin_radius: float
    """Of the mass of skin or vanes about the axis [m]."""
    closed: bool
    """A closed drum; else vanes."""
    vanes: int
    stages: int
    disc_mass: float
    """Of one disc [kg]."""
    discs: int
    tube_mass: float


class Drawn(NamedTuple):
    """Unbalance of many rotors of one kind."""

    total: Complexes
    """Shape (draws,) [kg m]."""
    couple: Complexes
    """About mid-span, shape (draws,) [kg m²]."""
    by_source: dict[str, Complexes]
    """The total by where it comes from [kg m]."""


def _pairs(random: np.random.Generator, *shape: int) -> Complexes:
    return random.standard_normal(shape) + 1j * random.standard_normal(shape)


def draw_unbalance(rotor: ScatteredRotor, build: BuildClass, scale: Floats, random: np.random.Generator) -> Drawn:
    """Return the unbalance of many rotors built alike.

    Parameters
    ----------
    rotor : ScatteredRotor
    build : BuildClass
    scale : array, shape (draws,)
        Factor on every scatter of a draw.
    random : numpy.random.Generator

    Returns
    -------
    Drawn

    Notes
    -----
    Centring: each end of the skin off by its own error, straight between: U = m (a + b)/2, couple m L (b − a)/12.
    Discs err each on their own, evenly spread over the span. Skin gradient ε: e = ε r/2 of the skin, and the same
    again varying along the span for the couple. Vanes: n equal masses with their own scatter, stage by stage. Bow:
    half sine, its mean 2/π of the middle, on all that turns. Seam: mass per metre at the radius. Closed forms; the
    sizes of the scatters are judgement.
    """
    draws, span = len(scale), rotor.span
    ends = build.centring * _pairs(random, 2, draws)
    parts = {"centring": rotor.skin_mass * 0.5 * (ends[0] + ends[1])}
    couple = rotor.skin_mass * span / 12.0 * (ends[1] - ends[0])
    places = (
        (np.arange(rotor.discs) / max(rotor.discs - 1, 1) - 0.5) * span if rotor.discs > 1 else np.zeros(rotor.discs)
    )
    off = np.hypot(build.disc, build.centring) * _pairs(random, rotor.discs, draws) * rotor.disc_mass
    parts["discs"] = off.sum(axis=0)
    couple = couple + (places[:, None] * off).sum(axis=0)
    if rotor.closed:
        lean = build.gradient * _pairs(random, 2, draws) * 0.5 * rotor.skin_radius * rotor.skin_mass
        parts["skin"] = lean[0]
        couple = couple + lean[1] * span / math.sqrt(12.0) * 0.5
    else:
        angle = 2.0 * math.pi * np.arange(rotor.vanes) / rotor.vanes
        turn = 2.0 * math.pi / rotor.vanes * np.arange(rotor.stages) / rotor.stages
        where = rotor.skin_radius * np.exp(1j * (angle[None, :] + turn[:, None]))
        one = rotor.skin_mass / (rotor.vanes * rotor.stages)
        masses = one * build.vane * random.standard_normal((rotor.stages, rotor.vanes, draws))
        stages = (where[:, :, None] * masses).sum(axis=1)
        middle = ((np.arange(rotor.stages) + 0.5) / rotor.stages - 0.5) * span
        parts["skin"] = stages.sum(axis=0)
        couple = couple + (middle[:, None] * stages).sum(axis=0)
    whole = rotor.skin_mass + rotor.tube_mass + rotor.disc_mass * rotor.discs
    parts["bow"] = whole * BOW_MEAN * build.bow * _pairs(random, draws)
    round_about = np.exp(2j * math.pi * random.random(draws))
    parts["seam"] = build.seam * span * rotor.skin_radius * round_about if rotor.closed else np.zeros(draws) + 0j
    parts = {name: part * scale for name, part in parts.items()}
    total = np.sum(list(parts.values()), axis=0)
    return Drawn(np.asarray(total), couple * scale, parts)


def plane_unbalances(total: Complexes, couple: Complexes, distance: float) -> tuple[Floats, Floats]:
    """Return the unbalances in the two end planes, shape (draws,) each [kg m].

    Parameters
    ----------
    total : array, shape (draws,)
        [kg m]
    couple : array, shape (draws,)
        About mid-span [kg m²].
    distance : float
        Between the planes [m].
    """
    return np.abs(0.5 * total - couple / distance), np.abs(0.5 * total + couple / distance)


def even_grade(total: Complexes, couple: Complexes, distance: float, mass: float, rotor_speed: Floats) -> Floats:
    """Return the grade that the worse of two planes amounts to, shape (draws,) [m/s].

    Parameters
    ----------
    total : array, shape (draws,)
        [kg m]
    couple : array, shape (draws,)
        About mid-span [kg m²].
    distance : float
        Between the planes [m].
    mass : float
        Turning [kg].
    rotor_speed : array or float
        [rad/s]

    Notes
    -----
    Each plane may hold half of G m/Ω: G = 2 max(U_left, U_right) Ω/m (symmetrical rotor, ISO 21940-11).
    """
    left, right = plane_unbalances(total, couple, distance)
    return np.asarray(2.0 * np.maximum(left, right) * rotor_speed / mass)


def demonstration_unbalance(*, build: str, draws: int = 20_000, seed: int = 0) -> dict[str, float]:
    """Return median and 90th percentile of the eccentricity of a made-up drum [m], for checks by hand.

    Parameters
    ----------
    build : str
        "careful", "typical" or "rough".
    draws, seed : int

    Notes
    -----
    1 m by 150 mm drum of 217 g: 6 mm foam skin of 99 g, tube 43.8 g, three discs of 8 g and two end discs of 25 g taken
    as five of 14.8 g.
    """
    rotor = ScatteredRotor(1.0, 0.099, 0.075, True, 0, 1, 0.0148, 5, 0.0438)
    drawn = draw_unbalance(rotor, CLASSES[build], np.ones(draws), np.random.default_rng(seed))
    far = np.abs(drawn.total) / 0.2168
    return {
        "median": float(np.quantile(far, 0.5)),
        "often": float(np.quantile(far, 0.9)),
        "couple": float(np.median(np.abs(drawn.couple))),
    }
