"""Field, reserve and weighed totals, and the aircraft file as one table of parts."""

from __future__ import annotations

import math
import re
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field

from rotorwright.design.parts.airframe import Body, Item, Material, Strut, Surface, Wheel
from rotorwright.design.parts.measure import Mass, Measure, Part, Whole
from rotorwright.design.parts.power import Battery, Drive, Thruster
from rotorwright.design.parts.rotor import Rotor
from rotorwright.design.units import UnitProblem, shorten


class Site(Part):
    """Where the aeroplane flies, and in what air."""

    elevation: Annotated[
        float, Measure("length", -500.0, 6000.0), Field(description="Of the field, above the sea.")
    ] = 0.0
    temperature: Annotated[
        float, Measure("temperature", 233.15, 333.15), Field(description="Of the air at the field.")
    ] = 288.15
    humidity: Annotated[float, Measure("share", 0.0, 1.0), Field(description="Relative humidity of the air.")] = 0.5
    pressure: Annotated[
        Annotated[float, Measure("pressure", 40000.0, 110000.0)] | None,
        Field(description="Measured at the field; standard for the elevation if left out."),
    ] = None
    wind: Annotated[float, Measure("speed", 0.0, 40.0), Field(description="Steady wind along the runway.")] = 0.0
    surface: Annotated[
        Literal["hard", "short grass", "long grass", "sand", "snow", "water"], Field(description="What it rolls on.")
    ] = "short grass"
    length: Annotated[Annotated[float, Measure("length", 1.0, 5000.0)] | None, Field(description="Of the strip.")] = (
        None
    )
    air: Annotated[
        Literal["quiet", "outdoor", "turbulent"], Field(description="How turbulent the air is that the rotors meet.")
    ] = "outdoor"


class Reserve(Part):
    """What must be in hand before the verdict counts as flying."""

    climb: Annotated[float, Measure("speed", 0.0, 50.0), Field(description="Rate of climb in hand.")] = 0.5
    bank: Annotated[
        float, Measure("angle", 0.0, math.radians(75.0)), Field(description="Bank without losing height.")
    ] = math.radians(20.0)


class Weighed(Part):
    """The finished aeroplane on the scale; it overrules what the parts add up to."""

    mass: Annotated[Mass, Field(description="Ready to fly, batteries in.")]
    balance: Annotated[
        Annotated[float, Measure("length", -20.0, 20.0)] | None,
        Field(description="Centre of gravity, aft of the nose point."),
    ] = None


_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,39}\Z")


class PartNameProblem(UnitProblem):
    """A part whose name cannot be used."""

    def __init__(self, message: str, found: str, allowed: str, *, name: str) -> None:
        super().__init__(message, found, allowed)
        self.name = name


def _part_names(parts: dict[str, Any]) -> dict[str, Any]:
    for name in parts:
        if not _NAME.match(name):
            allowed = "a letter, then letters, digits, - or _, at most 40"
            raise PartNameProblem("is not a name for a part", shorten(name), allowed, name=name)
    return parts


class AircraftTables(Part):
    """The whole aircraft file."""

    format: Annotated[Whole, Field(description="Number of this file format.")]
    name: Annotated[str, Field(min_length=1, max_length=120, description="What the aeroplane is called.")]
    field: Annotated[Site, Field(description="Where it flies.")] = Site()
    reserve: Annotated[Reserve, Field(description="What must be in hand.")] = Reserve()
    weighed: Annotated[Weighed | None, Field(description="The finished aeroplane on the scale.")] = None
    rotor: Annotated[dict[str, Rotor], AfterValidator(_part_names), Field(description="Lifting rotors.")] = Field(
        default_factory=dict
    )
    drive: Annotated[dict[str, Drive], AfterValidator(_part_names), Field(description="Rotor drives.")] = Field(
        default_factory=dict
    )
    surface: Annotated[dict[str, Surface], AfterValidator(_part_names), Field(description="Plain surfaces.")] = Field(
        default_factory=dict
    )
    body: Annotated[dict[str, Body], AfterValidator(_part_names), Field(description="Bodies.")] = Field(
        default_factory=dict
    )
    strut: Annotated[dict[str, Strut], AfterValidator(_part_names), Field(description="Booms, struts and wires.")] = (
        Field(default_factory=dict)
    )
    thruster: Annotated[dict[str, Thruster], AfterValidator(_part_names), Field(description="Thrusters.")] = Field(
        default_factory=dict
    )
    battery: Annotated[dict[str, Battery], AfterValidator(_part_names), Field(description="Batteries.")] = Field(
        default_factory=dict
    )
    wheel: Annotated[dict[str, Wheel], AfterValidator(_part_names), Field(description="Wheels.")] = Field(
        default_factory=dict
    )
    item: Annotated[dict[str, Item], AfterValidator(_part_names), Field(description="Everything else with a mass.")] = (
        Field(default_factory=dict)
    )
    material: Annotated[
        dict[str, Material], AfterValidator(_part_names), Field(description="Materials of your own.")
    ] = Field(default_factory=dict)


PART_KINDS = ("rotor", "drive", "surface", "body", "strut", "thruster", "battery", "wheel", "item", "material")
FORMAT = 1
