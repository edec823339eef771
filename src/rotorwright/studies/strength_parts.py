"""A rotor as something that can break: sizes, stiffness and strengths of its tube, skin, discs and bearings."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.catalogue.reader import BearingRow, bearings, rule
from rotorwright.design.catalogue.strengths import (
    BearingRating,
    SheetStrength,
    TubeMaterial,
    bearing_rating,
    sheet_strength,
    tube_material,
)
from rotorwright.design.fill import FilledRows
from rotorwright.design.filled_in import Notes, known
from rotorwright.design.parts.rotor import Rotor
from rotorwright.physics.structure.sections import (
    bucket_second_moments,
    drum_second_moments,
    plate_second_moments,
)


@dataclass(frozen=True)
class DiscBuild:
    """Discs of a rotor."""

    diameter: float
    thickness: float
    count: int
    turn: bool
    material: str
    density: float
    """With glue [kg/m³]."""
    strength: SheetStrength | None


@dataclass(frozen=True)
class RotorBuild:
    """One rotor with everything its strength depends on (SI)."""

    name: str
    kind: str
    section: str
    row: int
    """Row of the rotor among the aeroplane's rotors."""
    twins: int
    """Like rotors, itself included."""
    span: float
    diameter: float
    mass: float
    """Turning [kg]."""
    inertia: float
    """About the spin axis [kg m²]."""
    outer: float
    inner: float
    length: float
    turns: bool
    plugged: bool
    """Whether the tube is filled where bearings and clamps grip it."""
    tube_name: str
    tube: TubeMaterial
    tube_density: float
    supports: tuple[float, ...]
    """Places of the bearings along the tube [m]."""
    bearing: BearingRow
    rating: BearingRating
    self_aligning: bool
    """Whether the bearing seats follow the tilt of the shaft."""
    driven: bool
    discs: DiscBuild | None
    collar: float
    """Length of a glued collar at each disc beyond the disc's own thickness [m]."""
    skin_name: str
    skin_thickness: float
    skin_areal: float
    """With glue [kg/m²]."""
    skin_second_moment: float
    """Of drum or vanes, in their weaker direction [m⁴]."""
    skin_modulus: float
    skin_strength: SheetStrength | None
    hoop: float
    """Tension a covering adds round the skin [N/m]."""
    hoop_areal: float
    """Its mass [kg/m²]."""

    @property
    def bearing_span(self) -> float:
        """Return the distance between the outermost bearings [m]."""
        return self.supports[-1] - self.supports[0]

    @property
    def closed_skin(self) -> bool:
        """Return whether the skin is a closed drum."""
        return self.kind == "drum"

    @property
    def disc_spacing(self) -> float:
        """Return the free length of the skin between discs [m]."""
        count = self.discs.count if self.discs is not None else 0
        return self.span / max(count - 1, 1)


def rotor_builds(aeroplane: Aeroplane, rows: FilledRows, rotors: Any) -> list[RotorBuild]:
    """Return every rotor of an aeroplane; mirrored ones once.

    Parameters
    ----------
    aeroplane : Aeroplane
    rows : FilledRows
        From `fill`.
    rotors : array of ROTOR records, shape (rotors,)
        With turning mass and polar inertia filled in.
    """
    notes = Notes(aeroplane.tables.material)
    builds = []
    for name, rotor in aeroplane.tables.rotor.items():
        row = rows.names.rotors.index(name)
        builds.append(_build(name, rotor, row, float(rotors["mass"][row]), float(rotors["polar_inertia"][row]), notes))
    return builds


def _build(name: str, rotor: Rotor, row: int, mass: float, polar: float, notes: Notes) -> RotorBuild:
    shaft = rotor.shaft
    tube = shaft.tube
    if tube is None:
        raise AssertionError("completed rotors have a tube")
    wall = notes.material(str(shaft.material))
    skin = notes.material(rotor.skin.material or "foam sheet")
    thickness = known(rotor.skin.thickness)
    length = known(shaft.length)
    places = shaft.bearing_positions or ()
    if shaft.turns and len(places) > 1:
        length = max(length, 2.0 * max(abs(place) for place in places))
        supports = tuple(sorted(0.5 * length + place for place in places))
    else:  # a dead axle is held at its ends, and the rotor turns on it
        supports = (0.0, length)
    size = str(shaft.bearings)
    return RotorBuild(
        name=name,
        kind=rotor.kind,
        section=rotor.section or "",
        row=row,
        twins=2 if rotor.mirror else 1,
        span=rotor.span,
        diameter=rotor.diameter,
        mass=mass,
        inertia=polar,
        outer=tube.outer,
        inner=tube.inner,
        length=length,
        turns=shaft.turns,
        plugged=tube.inner <= 0.0,
        tube_name=wall.name,
        tube=tube_material(wall),
        tube_density=known(wall.bulk()),
        supports=supports,
        bearing=bearings()[size],
        rating=bearing_rating(size),
        self_aligning=False,
        driven=rotor.drive != "free",
        discs=_discs(rotor, notes),
        collar=0.0,
        skin_name=skin.name,
        skin_thickness=thickness,
        skin_areal=known(rotor.skin.areal_mass) * rule("structure", "glue").value,
        skin_second_moment=_weaker_second_moment(rotor, thickness),
        skin_modulus=skin.stiffness or 0.0,
        skin_strength=sheet_strength(skin),
        hoop=0.0,
        hoop_areal=0.0,
    )


def _weaker_second_moment(rotor: Rotor, thickness: float) -> float:
    """Return the second moment of area of skin or vanes about the axis in which it is least [m⁴]."""
    if rotor.kind == "drum":
        found = drum_second_moments(rotor.diameter, thickness)
    elif rotor.section == "plate":
        found = plate_second_moments(rotor.diameter, thickness)
    else:
        buckets = rotor.buckets if rotor.section == "bucket" else 2
        found = bucket_second_moments(
            rotor.diameter, buckets, rotor.overlap if rotor.section == "bucket" else 0.0, thickness
        )
    middle, half = 0.5 * (found.first + found.second), 0.5 * (found.first - found.second)
    return middle - math.hypot(half, found.product)


def _discs(rotor: Rotor, notes: Notes) -> DiscBuild | None:
    discs = rotor.discs
    if discs is None:
        return None
    material = notes.material(str(discs.material))
    thickness = known(discs.thickness)
    areal = known(material.areal(thickness)) * rule("structure", "glue").value
    return DiscBuild(
        discs.diameter,
        thickness,
        discs.count,
        discs.turn,
        material.name,
        areal / thickness,
        sheet_strength(material),
    )
