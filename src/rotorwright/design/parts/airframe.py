"""Plain surfaces, bodies, struts, wheels and loose items as the maker describes them."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field

from rotorwright.design.parts.measure import (
    ArealMass,
    Mass,
    Measure,
    Part,
    Position,
    Share,
    Size,
    Thickness,
    Truth,
    TubeField,
)

SmallAngle = Annotated[float, Measure("angle", -math.pi / 4, math.pi / 4)]


class Control(Part):
    """A hinged control surface."""

    name: Annotated[Literal["elevator", "rudder", "aileron", "flap"], Field(description="The channel it listens to.")]
    chord_share: Annotated[Share, Field(description="Control chord over the whole chord.")] = 0.3
    travel: Annotated[
        float, Measure("angle", 0.0, math.pi / 2), Field(description="Largest deflection to each side.")
    ] = 0.4363323129985824


class Surface(Part):
    """A plain surface: wing, tailplane, fin or canard."""

    kind: Annotated[
        Literal["wing", "tailplane", "fin", "canard"] | None, Field(description="What it is there for.")
    ] = None
    span: Annotated[Size, Field(description="Tip to tip (height, for a fin).")]
    chord: Annotated[Size | None, Field(description="Mean chord; give this or the area.")] = None
    area: Annotated[
        Annotated[float, Measure("area", 1e-5, 50.0)] | None, Field(description="Area; give this or the chord.")
    ] = None
    position: Annotated[
        Position,
        Field(description="Point a quarter chord back, at the middle of the span: aft, right, up from the nose."),
    ]
    mirror: Annotated[Truth, Field(description="A second, equal surface on the other side (twin fins).")] = False
    incidence: Annotated[SmallAngle, Field(description="Leading edge up, against the aeroplane's axis.")] = 0.0
    dihedral: Annotated[
        float, Measure("angle", -math.pi / 3, math.pi / 3), Field(description="Tips up, each half.")
    ] = 0.0
    section: Annotated[Literal["flat plate", "symmetrical", "cambered"], Field(description="Shape of the section.")] = (
        "flat plate"
    )
    max_lift: Annotated[
        Annotated[float, Measure("number", 0.2, 3.0)] | None,
        Field(description="Section lift coefficient at the stall."),
    ] = None
    section_drag: Annotated[
        Annotated[float, Measure("number", 0.002, 0.3)] | None, Field(description="Zero-lift drag coefficient on area.")
    ] = None
    zero_lift_angle: Annotated[SmallAngle | None, Field(description="Of the section.")] = None
    end_plates: Annotated[Truth, Field(description="Whether both tips are closed by fins or discs.")] = False
    control: Annotated[Control | None, Field(description="A hinged part of it.")] = None
    material: Annotated[str | None, Field(description="A material of the catalogue or of a [material.*] table.")] = None
    thickness: Annotated[Thickness | None, Field(description="Thickness of the sheet or board.")] = None
    areal_mass: Annotated[ArealMass | None, Field(description="Mass per area, if you weighed a piece.")] = None
    mass: Annotated[Mass | None, Field(description="Weighed mass (of one, if mirrored).")] = None


class Body(Part):
    """A fuselage, pod, nacelle or float."""

    length: Annotated[Size, Field(description="Fore and aft.")]
    width: Annotated[Size, Field(description="Seen from the front.")]
    height: Annotated[Size, Field(description="Seen from the front.")]
    position: Annotated[Position, Field(description="Its middle: aft, right, up from the nose point.")]
    mirror: Annotated[Truth, Field(description="A second, equal body on the other side.")] = False
    shape: Annotated[
        Literal["streamlined", "rounded", "box", "open frame"], Field(description="Word for its drag.")
    ] = "rounded"
    drag_coefficient: Annotated[
        Annotated[float, Measure("number", 0.02, 3.0)] | None,
        Field(description="Drag coefficient on width times height."),
    ] = None
    material: Annotated[str | None, Field(description="A material of the catalogue or of a [material.*] table.")] = None
    thickness: Annotated[Thickness | None, Field(description="Thickness of its walls.")] = None
    areal_mass: Annotated[ArealMass | None, Field(description="Mass per area of its walls.")] = None
    mass: Annotated[Mass | None, Field(description="Weighed mass (of one, if mirrored), without what lies in it.")] = (
        None
    )


class Strut(Part):
    """A boom, spar, strut, leg or wire between two points."""

    start: Annotated[Position, Field(description="One end: aft, right, up from the nose point.")]
    end: Annotated[Position, Field(description="The other end.")]
    tube: Annotated[TubeField | None, Field(description="Outer and inner diameter; give this or the diameter.")] = None
    diameter: Annotated[
        Annotated[float, Measure("length", 0.0001, 0.5)] | None, Field(description="Of a solid rod or wire.")
    ] = None
    material: Annotated[str | None, Field(description="Material, if the tube's words do not say it.")] = None
    drag_coefficient: Annotated[
        Annotated[float, Measure("number", 0.05, 2.0)], Field(description="Of its section, across the stream.")
    ] = 1.1
    mirror: Annotated[Truth, Field(description="A second, equal strut on the other side.")] = False
    mass: Annotated[Mass | None, Field(description="Weighed mass (of one, if mirrored).")] = None


class Wheel(Part):
    """A wheel of the landing gear."""

    position: Annotated[Position, Field(description="Its hub: aft, right, up from the nose point.")]
    diameter: Annotated[float, Measure("length", 0.005, 1.0), Field(description="Outer diameter.")]
    width: Annotated[Size | None, Field(description="Width of the tyre.")] = None
    mirror: Annotated[Truth, Field(description="A second, equal wheel on the other side.")] = False
    mass: Annotated[Mass | None, Field(description="Weighed mass (of one, if mirrored).")] = None


class Item(Part):
    """Anything that weighs something and stands still: receiver, servo, ballast, glue."""

    mass: Annotated[Mass, Field(description="Weighed mass (of one, if mirrored).")]
    position: Annotated[Position, Field(description="Its middle: aft, right, up from the nose point.")]
    size: Annotated[
        tuple[Size, Size, Size] | None, Field(description="Length, width, height, if its own inertia matters.")
    ] = None
    mirror: Annotated[Truth, Field(description="A second, equal item on the other side.")] = False


class Material(Part):
    """A material of your own; it goes before the catalogue."""

    density: Annotated[
        Annotated[float, Measure("density", 1.0, 20000.0)] | None, Field(description="Mass per volume.")
    ] = None
    areal_mass: Annotated[ArealMass | None, Field(description="Mass per area of one sheet.")] = None
    thickness: Annotated[Thickness | None, Field(description="Of the sheet that the areal mass belongs to.")] = None
    stiffness: Annotated[
        Annotated[float, Measure("stiffness", 1e4, 1e12)] | None, Field(description="Young's modulus along the span.")
    ] = None
    strength: Annotated[
        Annotated[float, Measure("stiffness", 1e3, 1e10)] | None, Field(description="Allowable tension.")
    ] = None
    spread: Annotated[Share, Field(description="One standard deviation of the mass, relative.")] = 0.05
