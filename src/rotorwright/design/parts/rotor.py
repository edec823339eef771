"""A rotor as the maker describes it: drum or vaned, with discs, skin and shaft."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field

from rotorwright.design.parts.measure import (
    ArealMass,
    Coordinate,
    Mass,
    Measure,
    Part,
    Position,
    Size,
    Thickness,
    Truth,
    TubeField,
    Whole,
)

Diameter = Annotated[float, Measure("length", 0.01, 4.0)]
Span = Annotated[float, Measure("length", 0.02, 10.0)]
SpringStiffness = Annotated[float, Measure("force per length", 10.0, 1.0e9)]
BearingTorque = Annotated[float, Measure("torque", 0.0, 50.0)]


class Discs(Part):
    """End and intermediate discs of a rotor."""

    diameter: Annotated[Diameter, Field(description="Outer diameter of every disc.")]
    thickness: Annotated[Thickness | None, Field(description="Thickness of a disc.")] = None
    count: Annotated[
        Whole, Field(ge=1, le=40, description="All discs together: 1 closes one end, 2 both, the rest stand between.")
    ] = 2
    turn: Annotated[
        Truth, Field(description="Whether the discs turn with the rotor (true) or stand still (false).")
    ] = True
    material: Annotated[str | None, Field(description="A material of the catalogue or of a [material.*] table.")] = None


class Skin(Part):
    """What the drum or the vanes are made of."""

    material: Annotated[str | None, Field(description="A material of the catalogue or of a [material.*] table.")] = None
    thickness: Annotated[Thickness | None, Field(description="Thickness of the skin or vane.")] = None
    areal_mass: Annotated[ArealMass | None, Field(description="Mass per area, if you weighed a piece.")] = None


class Shaft(Part):
    """The tube a rotor turns on, with its bearings."""

    tube: Annotated[TubeField | None, Field(description="Outer and inner diameter.")] = None
    material: Annotated[str | None, Field(description="Material of the tube, if its words do not say it.")] = None
    length: Annotated[Size | None, Field(description="Length of the tube.")] = None
    turns: Annotated[Truth, Field(description="Whether the tube turns with the rotor, or is a dead axle.")] = True
    bearings: Annotated[str | None, Field(description="Size of the ball bearings, such as 688.")] = None
    bearing_count: Annotated[Whole, Field(ge=1, le=12, description="Bearings of this rotor.")] = 2
    seals: Annotated[
        Literal["open", "shielded", "sealed"], Field(description="Open and oiled, shielded and greased, rubber-sealed.")
    ] = "shielded"
    bearing_positions: Annotated[
        tuple[Coordinate, ...] | None,
        Field(min_length=1, max_length=12, description="Of each bearing along the tube, from mid-span to the right."),
    ] = None
    mount: Annotated[
        Literal["stiff", "bracket", "soft"] | None,
        Field(
            description="What carries the bearings: a rib on a stiff wing or boom, a bracket on a slender boom, foam "
            "or rubber."
        ),
    ] = None
    mount_stiffness: Annotated[
        SpringStiffness | None, Field(description="Measured at one bearing, up and down: force over give.")
    ] = None
    mount_stiffness_fore: Annotated[
        SpringStiffness | None, Field(description="Measured at one bearing, fore and aft.")
    ] = None


class Rotor(Part):
    """A spanwise lifting rotor."""

    kind: Annotated[Literal["drum", "vaned"], Field(description="Smooth or rough cylinder, or vanes.")]
    section: Annotated[
        Literal["s-section", "bucket", "plate"] | None, Field(description="Vane section (vaned rotors only).")
    ] = None
    buckets: Annotated[Whole, Field(ge=2, le=8, description="Number of buckets (bucket section only).")] = 2
    overlap: Annotated[
        float, Measure("length", 0.0, 1.0), Field(description="Gap by which two buckets overlap (bucket section only).")
    ] = 0.0
    span: Annotated[Span, Field(description="Between the outermost faces of the turning body.")]
    diameter: Annotated[Diameter, Field(description="Of the drum, or of the circle the vane edges run on.")]
    stages: Annotated[Whole, Field(ge=1, le=40, description="Sections along the span, turned against each other.")] = 1
    stage_phase: Annotated[
        Annotated[float, Measure("angle", 0.0, math.pi)] | None, Field(description="Angle between neighbouring stages.")
    ] = None
    position: Annotated[Position, Field(description="Middle of the span: aft, right, up from the nose point.")]
    mirror: Annotated[Truth, Field(description="A second, equal rotor on the other side, turning the same way.")] = (
        False
    )
    drive: Annotated[str, Field(description='"free" (the wind turns it), or the name of a [drive.*] table.')] = "free"
    surface: Annotated[Literal["smooth", "rough"], Field(description="Skin of a drum.")] = "smooth"
    inner_end: Annotated[
        Literal["open", "closed"],
        Field(description='"closed" if one end runs up to a body wider than 1.5 rotor diameters.'),
    ] = "open"
    discs: Annotated[Discs | None, Field(description="End and intermediate discs; none if left out.")] = None
    skin: Annotated[Skin, Field(description="What the drum or the vanes are made of.")] = Skin()
    shaft: Annotated[Shaft, Field(description="Tube and bearings.")] = Shaft()
    bearing_torque: Annotated[BearingTorque | None, Field(description="Measured friction of the whole rotor.")] = None
    bearing_drag: Annotated[
        Annotated[float, Measure("torque per speed", 0.0, 1.0)] | None,
        Field(description="Measured friction that grows with the spin, whole rotor."),
    ] = None
    mass: Annotated[Mass | None, Field(description="Weighed mass of everything that turns.")] = None
    inertia: Annotated[
        Annotated[float, Measure("inertia", 0.0, 100.0)] | None,
        Field(description="Measured moment of inertia about the spin axis."),
    ] = None
