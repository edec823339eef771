"""How many times over each part of a rotor holds, load case by load case; arrays over samples, nominal first.

A margin is what a part stands over what it gets, by the rule of that part: 1 is just at the rule, below 1 breaks it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.physics.structure.bearing_life import MOST_SLOPE, rated_revolutions, static_equivalent_load
from rotorwright.physics.structure.sections import tube_second_moment
from rotorwright.physics.structure.strength_beam import bend, nodes_of
from rotorwright.physics.structure.strength_hoop import disc_stress
from rotorwright.physics.structure.strength_tube import (
    bending_stress,
    crushing_load,
    shear_stress,
    shell_buckling_stress,
    sleeve_torque,
    twist,
)
from rotorwright.studies.strength_parts import RotorBuild

Floats = npt.NDArray[np.float64]

SAG_SHARE = 1.0 / 80.0
"""Largest deflection over the span: beyond it skins wrinkle and discs rub (judgement)."""
BURST_FACTOR = 4.0
"""A spinning part must stand four times its stress, twice its speed: glue, notches and seams rule (judgement)."""
GLUE_SHEAR = 3.0e6
"""Design shear strength of hobby epoxy on abraded tube [Pa] (from memory)."""
SHEET_SHEAR = 0.6
"""Shear strength of a sheet or foam over its tension (judgement)."""
NO_NAME = 0.5
"""Share of the catalogue rating that counts for a bearing of unknown make (judgement)."""
WANTED_LIFE = 50.0 * 3600.0
"""Running time a bearing should outlive [s]."""
STOP_TIME = 1.0
"""A rotor is taken to be stopped (or brought up) in this time by whatever turns it [s]."""
TWIST_LIMIT = math.radians(5.0)
SIDE_FACTOR = 2.0
"""Sideways push of a landing, in weights of the rotor (judgement)."""
CLAMP_BOUND = 1.0e-12

WORDS = {
    "shaft bending": "the shaft breaks in bending",
    "shaft deflection": "the shaft sags more than a span over 80",
    "bearing tilt": "the shaft tilts in its bearings more than 10 minutes of arc",
    "tube crushing": "the tube is crushed where the bearing grips it",
    "skin buckling": "the skin buckles or tears in bending",
    "disc burst": "the discs burst",
    "skin burst": "the skin tears round the drum",
    "vane bending": "the vanes are bent outwards between the discs",
    "glue at the discs": "the discs come loose on the tube",
    "shaft twist": "the tube splits in twist",
    "bearing shock": "the balls dent their races",
    "bearing life": "the bearings wear out within 50 hours",
    "bearing push": "the sideways push is more than the bearings take",
}
"""What happens when a check falls below 1."""
WEAR = ("shaft deflection", "bearing tilt", "bearing life")
"""Checks below 1 that wear or rub, but do not break the rotor at once."""
SELF_ALIGNING = math.radians(1.5)
"""Tilt that a bearing in an O-ring, a soft bed or a ball seat follows (judgement)."""


@dataclass(frozen=True)
class Loads:
    """What a rotor gets in every load case; arrays (samples, cases), nominal sample first."""

    names: tuple[str, ...]
    across: Floats
    """Even load across the shaft [N/m]."""
    couple: Floats
    """Gyroscopic couple [N m]."""
    speed: Floats
    """Rotor speed in level flight, shape (samples,) [rad/s]."""
    fastest: Floats
    """Fastest rotor speed, shape (samples,) [rad/s]."""
    torque: Floats
    """Largest torque through the hub, shape (samples,) [N m]."""


@dataclass(frozen=True)
class Scatter:
    """What the parts turn out to be; arrays over samples, nominal first."""

    tube_stiffness: Floats
    skin_share: Floats
    strength: Floats
    sheet: Floats
    """Of the sheet's own band, as a factor about 1 (scores; see `sheet_factor`)."""
    glue: Floats


Margins = dict[str, tuple[Floats, str]]
"""For each check its margins (samples, cases), or (samples, 1) if it is of no load case, and the name of that case."""


def sheet_factor(low: float, high: float, scores: Floats) -> Floats:
    """Return factors about 1 with an 80 % band from scores of a standard normal."""
    reach = np.abs(scores) / 1.2815515655446004
    return np.where(scores < 0.0, low**reach, high**reach)


def margins(build: RotorBuild, loads: Loads, scatter: Scatter) -> Margins:
    """Return all margins of a rotor.

    Parameters
    ----------
    build : RotorBuild
    loads : Loads
    scatter : Scatter

    Returns
    -------
    Margins
        Checks that do not apply to this rotor, or of whose strength nothing is known, are left out.
    """
    found: Margins = {}
    found |= _bent(build, loads, scatter)
    found |= _spun(build, loads, scatter)
    found |= _joined(build, loads, scatter)
    return found


def shaft_under_load(
    build: RotorBuild, across: Floats, scatter: Scatter, supports: tuple[float, ...]
) -> tuple[Floats, Floats, Floats, Floats]:
    """Return what even loads do to a shaft: moment of the tube, skin moment, sag, slope and bearing force at most.

    Parameters
    ----------
    build : RotorBuild
    across : array, shape (samples, cases)
        Even load over the rotor's span [N/m].
    scatter : Scatter
    supports : tuple of float
        Bearings that hold [m].

    Returns
    -------
    moment, sag, slope, force : array, shape (samples, cases)
        Of shaft and skin together [N m], [m], [rad], [N].
    """
    start = 0.5 * (build.length - build.span)
    ends = (max(start, 0.0), min(start + build.span, build.length))
    nodes = nodes_of(build.length, [0.0, *ends, *supports], 16)
    middle = 0.5 * (nodes[1:] + nodes[:-1])
    inside = (middle > ends[0]) & (middle < ends[1])
    tube, skin = stiffnesses(build, scatter)
    stiffness = tube[:, None] + np.where(inside, skin[:, None], 0.0)
    load = np.where(inside, across[:, :, None], 0.0)
    held = [int(np.argmin(np.abs(nodes - place))) for place in supports]
    clamped = held if len(held) == 1 else []
    bent = bend(nodes, stiffness, load, held, clamped)
    return (
        np.abs(bent.moment).max(axis=(2, 3)),
        np.abs(bent.deflection).max(axis=2),
        np.abs(bent.slope[:, :, held]).max(axis=2),
        np.abs(bent.reactions).max(axis=2),
    )


def stiffnesses(build: RotorBuild, scatter: Scatter) -> tuple[Floats, Floats]:
    """Return the bending stiffness of tube and of the skin's helping share [N m²], shape (samples,)."""
    own = build.tube.modulus * tube_second_moment(build.outer, build.inner)
    skin = build.skin_modulus * build.skin_second_moment
    if build.skin_name in ("covering film", "PET film"):
        skin = 0.0  # films buckle at once
    return own * scatter.tube_stiffness, skin * scatter.skin_share


def _bent(build: RotorBuild, loads: Loads, scatter: Scatter) -> Margins:
    moment, sag, slope, force = shaft_under_load(build, loads.across, scatter, build.supports)
    moment = moment + 0.5 * loads.couple
    force = force + loads.couple / build.bearing_span
    tube, skin = stiffnesses(build, scatter)
    share = (tube / (tube + skin))[:, None]
    strength = scatter.strength[:, None]
    stress = bending_stress(moment=moment * share, outer=build.outer, inner=build.inner)
    found: Margins = {
        "shaft bending": (build.tube.bending * strength / stress, ""),
        "shaft deflection": (SAG_SHARE * build.span / sag, ""),
        "bearing tilt": ((SELF_ALIGNING if build.self_aligning else MOST_SLOPE) / slope[:, :1], "level flight"),
    }
    if build.plugged:
        stands = build.tube.across * build.outer
    else:
        stands = crushing_load(outer=build.outer, inner=build.inner, transverse_strength=build.tube.across)
    found["tube crushing"] = (stands * strength * build.bearing.width / force, "")
    if build.closed_skin and build.skin_strength is not None and float(skin[0]) > 0.0:
        radius = 0.5 * build.diameter
        buckles = shell_buckling_stress(radius=radius, thickness=build.skin_thickness, modulus=build.skin_modulus)
        sheet = build.skin_strength
        tears = sheet.disc * sheet_factor(sheet.low, sheet.high, scatter.sheet)[:, None] * strength
        gets = moment * (1.0 - share) / (math.pi * radius**2 * build.skin_thickness)
        found["skin buckling"] = (np.minimum(buckles, tears) / gets, "")
    push = SIDE_FACTOR * build.mass * GRAVITY
    static = static_equivalent_load(radial=force, axial=0.0)
    found["bearing shock"] = (NO_NAME * build.rating.static / static, "")
    load = NO_NAME * build.rating.load / force[:, :1]
    life = rated_revolutions(load_rating=load, load=1.0) * 2.0 * math.pi / np.maximum(loads.speed, 1.0)[:, None]
    found["bearing life"] = (life / WANTED_LIFE, "level flight")
    side = np.full((len(force), 1), 0.25 * NO_NAME * build.rating.static / push)
    found["bearing push"] = (side, "landing")
    return found


def _spun(build: RotorBuild, loads: Loads, scatter: Scatter) -> Margins:
    found: Margins = {}
    speed = loads.fastest[:, None]
    strength = scatter.strength[:, None]
    discs = build.discs
    if discs is not None and discs.turn and discs.strength is not None:
        stress = disc_stress(
            density=discs.density,
            rotor_speed=speed,
            outer_radius=0.5 * discs.diameter,
            hole_radius=0.5 * build.outer,
        )
        factor = sheet_factor(discs.strength.low, discs.strength.high, scatter.sheet)[:, None]
        found["disc burst"] = (discs.strength.disc * factor * strength / (BURST_FACTOR * stress), "fastest spin")
    if build.skin_strength is None:
        return found
    sheet = build.skin_strength
    factor = sheet_factor(sheet.low, sheet.high, scatter.sheet)[:, None] * strength
    areal = build.skin_areal + build.hoop_areal
    radius = 0.5 * build.diameter
    if build.closed_skin:
        pull = areal * (speed * radius) ** 2  # tension per length of the drum
        holds = sheet.around * factor * build.skin_thickness + build.hoop * strength
        found["skin burst"] = (holds / (BURST_FACTOR * pull), "fastest spin")
    elif build.section != "plate":
        found["vane bending"] = (sheet.disc * factor / _vane_stress(build, speed), "fastest spin")
    return found


def _vane_stress(build: RotorBuild, speed: Floats) -> Floats:
    """Return the stress of a half-tube vane bent outwards between two discs that hold its ends.

    A half ring of radius r: second moment about its own centroid 0.2976 r³ t, centroid 2r/π out of its chord, farthest
    fibre 2r/π away; load per length w π r Ω² R_c with R_c the distance of the centroid from the axis; M = q a²/12.
    """
    bucket = 0.25 * build.diameter
    out = math.hypot(bucket, 2.0 * bucket / math.pi)
    load = build.skin_areal * math.pi * bucket * speed**2 * out
    moment = load * build.disc_spacing**2 / 12.0
    own = (math.pi / 2.0 - 4.0 / math.pi) * bucket**3 * build.skin_thickness
    return np.asarray(moment * (2.0 * bucket / math.pi) / own)


def _joined(build: RotorBuild, loads: Loads, scatter: Scatter) -> Margins:
    found: Margins = {}
    torque = np.maximum(loads.torque, CLAMP_BOUND)[:, None]
    discs = build.discs
    if build.turns and discs is not None and discs.turn:
        glue = GLUE_SHEAR * scatter.glue
        if discs.strength is not None:
            sheet = SHEET_SHEAR * discs.strength.disc * scatter.strength
            weakest = np.minimum(glue, sheet)
        else:
            weakest = glue
        radius = 0.5 * build.outer
        one = sleeve_torque(radius=radius, length=discs.thickness, shear_strength=weakest)
        one = one + sleeve_torque(radius=radius, length=build.collar, shear_strength=glue)
        found["glue at the discs"] = (discs.count * one[:, None] / torque, "start and stop")
    if build.turns and build.driven:
        stress = shear_stress(torque=torque, outer=build.outer, inner=build.inner)
        strength = build.tube.shear * scatter.strength[:, None]
        turned = twist(
            torque=torque,
            length=0.5 * build.length,
            outer=build.outer,
            inner=build.inner,
            shear_modulus=build.tube.shear_modulus,
        )
        found["shaft twist"] = (np.minimum(strength / stress, TWIST_LIMIT / turned), "start and stop")
    return found


def held_by_the_others(build: RotorBuild, loads: Loads, scatter: Scatter) -> Floats | None:
    """Return the margin of shaft bending when the worst one of the bearings is gone, shape (samples, 1).

    None if fewer than two bearings are left: then nothing holds the rotor straight.
    """
    if len(build.supports) < 3:
        return None
    worst: Any = None
    for gone in range(len(build.supports)):
        left = tuple(place for number, place in enumerate(build.supports) if number != gone)
        moment, _, _, _ = shaft_under_load(build, loads.across[:, :1], scatter, left)
        tube, skin = stiffnesses(build, scatter)
        stress = bending_stress(moment=moment * (tube / (tube + skin))[:, None], outer=build.outer, inner=build.inner)
        margin = build.tube.bending * scatter.strength[:, None] / stress
        worst = margin if worst is None else np.minimum(worst, margin)
    return np.asarray(worst)
