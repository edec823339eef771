"""Changes that would make a part hold, tried on the same rotor under the same loads."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from rotorwright.design.catalogue.reader import find_material, rule
from rotorwright.design.catalogue.strengths import sheet_strength, stronger_bearings, tube_sizes
from rotorwright.studies.strength_parts import RotorBuild

ENOUGH = 1.5
"""Nominal margin at which the search for a fix stops."""
FILM = ("covering film", 0.00005)
DISC_MATERIALS = (("light plywood", 0.002), ("birch plywood", 0.0008), ("polycarbonate", 0.0005))


@dataclass(frozen=True)
class Fix:
    """A change in words, the rotor with it, and what it adds in mass [kg]."""

    words: str
    build: RotorBuild
    mass: float


def fixes_for(check: str, build: RotorBuild) -> Iterator[Fix]:
    """Yield changes that could help a check, lightest or simplest first."""
    if check == "bearing tilt":
        words = "bearing seats that follow the shaft (O-ring, soft silicone bed or ball seat)"
        yield Fix(words, replace(build, self_aligning=True), 0.001 * len(build.supports))
    if check in ("shaft bending", "shaft deflection", "bearing tilt", "shaft twist"):
        yield from _tubes(build)
        if check != "shaft twist" and len(build.supports) == 2 and not build.turns:
            yield _middle_bearing(build)
    elif check == "tube crushing" and not build.plugged:
        words = "plug the tube under bearings and clamps (dowel, or foam and epoxy)"
        core = math.pi / 4.0 * build.inner**2 * 4.0 * build.outer * 600.0 * len(build.supports)
        yield Fix(words, replace(build, plugged=True), core)
        yield from _tubes(build)
    elif check == "disc burst":
        yield from _discs(build)
    elif check in ("skin burst", "skin buckling"):
        yield from _skins(build)
    elif check == "vane bending":
        yield from _closer_discs(build)
        yield from _skins(build)
    elif check == "glue at the discs":
        yield _collar(build)
    elif check.startswith("bearing"):
        for row, rating in stronger_bearings(build.rating.size, build.outer):
            added = (row.mass - build.bearing.mass) * len(build.supports)
            yield Fix(f"bearings of size {row.size}", replace(build, bearing=row, rating=rating), added)


def third_bearing(build: RotorBuild) -> Fix:
    """Return the rotor with a bearing more, as a catch."""
    return _middle_bearing(build)


def _tubes(build: RotorBuild) -> Iterator[Fix]:
    area = build.outer**2 - build.inner**2
    for size in tube_sizes():
        if size.outer > build.outer + 1e-6 and size.outer < 0.6 * build.diameter:
            added = math.pi / 4.0 * (size.outer**2 - size.inner**2 - area) * build.length * build.tube_density
            words = f"{build.tube_name} {size.name} mm, and bearings to suit"
            yield Fix(words, replace(build, outer=size.outer, inner=size.inner), added)


def _middle_bearing(build: RotorBuild) -> Fix:
    middle = 0.5 * build.length
    places = tuple(sorted({*build.supports, middle}))
    return Fix("a third bearing at mid-span", replace(build, supports=places), build.bearing.mass)


def _discs(build: RotorBuild) -> Iterator[Fix]:
    discs = build.discs
    if discs is None:
        return
    face = math.pi / 4.0 * discs.diameter**2 * discs.count
    before = face * discs.thickness * discs.density
    for name, thickness in DISC_MATERIALS:
        material = find_material(name)
        if material is None or name == discs.material:
            continue
        density = (material.bulk() or 0.0) * rule("structure", "glue").value
        changed = replace(discs, material=name, thickness=thickness, density=density, strength=sheet_strength(material))
        added = face * thickness * density - before
        yield Fix(f"discs of {1000.0 * thickness:.3g} mm {name}", replace(build, discs=changed), added)


def _skins(build: RotorBuild) -> Iterator[Fix]:
    film = find_material(FILM[0])
    strength = None if film is None else sheet_strength(film)
    area = math.pi * build.diameter * build.span
    if film is not None and strength is not None and build.closed_skin:
        areal = film.areal(FILM[1]) or 0.0
        covered = replace(build, hoop=strength.around * FILM[1], hoop_areal=areal)
        yield Fix("cover the drum all round with iron-on film", covered, areal * area)
    for factor in (1.5, 2.0, 3.0):
        thicker = replace(
            build,
            skin_thickness=factor * build.skin_thickness,
            skin_areal=factor * build.skin_areal,
            skin_second_moment=factor * build.skin_second_moment,
        )
        words = f"a skin of {1000.0 * factor * build.skin_thickness:.3g} mm"
        yield Fix(words, thicker, (factor - 1.0) * build.skin_areal * area)


def _closer_discs(build: RotorBuild) -> Iterator[Fix]:
    discs = build.discs
    if discs is None:
        return
    one = math.pi / 4.0 * discs.diameter**2 * discs.thickness * discs.density
    for more in (1, 2, 3):
        words = f"{discs.count + more} discs instead of {discs.count}"
        yield Fix(words, replace(build, discs=replace(discs, count=discs.count + more)), more * one)


def _collar(build: RotorBuild) -> Fix:
    length = 2.0 * build.outer
    count = build.discs.count if build.discs is not None else 2
    added = math.pi / 4.0 * ((1.8 * build.outer) ** 2 - build.outer**2) * length * 680.0 * count
    words = f"a ply collar of {1000.0 * length:.0f} mm glued to tube and disc at each disc"
    return Fix(words, replace(build, collar=length), added)
