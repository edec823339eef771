"""Thrusters, rotor drives, motors, controllers and batteries as the maker describes them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from rotorwright.design.parts.measure import (
    CellsField,
    Current,
    Factor,
    Mass,
    Measure,
    Part,
    Position,
    PropellerField,
    Resistance,
    Share,
    Tilt,
    Truth,
    Whole,
)

SpeedConstant = Annotated[float, Measure("speed constant", 1.0, 3000.0)]
Voltage = Annotated[float, Measure("voltage", 0.5, 500.0)]
Ratio = Annotated[float, Measure("number", 0.05, 100.0)]
Inertia = Annotated[float, Measure("inertia", 0.0, 10.0)]


class Motor(Part):
    """An electric motor by its label."""

    speed_constant: Annotated[SpeedConstant, Field(description="Unloaded speed per volt (Kv).")]
    mass: Annotated[Mass, Field(description="Of the motor alone.")]
    resistance: Annotated[Resistance | None, Field(description="Of the winding, from the label or measured.")] = None
    no_load_current: Annotated[Current | None, Field(description="Current of the free-running motor.")] = None
    no_load_voltage: Annotated[Voltage, Field(description="Voltage at which that current was measured.")] = 10.0
    current_limit: Annotated[Current | None, Field(description="Largest current it bears, from the label.")] = None
    inertia: Annotated[Inertia | None, Field(description="Of what turns in it.")] = None


class Controller(Part):
    """A speed controller."""

    current_limit: Annotated[Current | None, Field(description="Continuous current, from the label.")] = None
    resistance: Annotated[Resistance | None, Field(description="Of its switches, both together.")] = None
    mass: Annotated[Mass | None, Field(description="With its leads.")] = None


class Thruster(Part):
    """A propeller or a ducted fan with its motor."""

    kind: Annotated[Literal["propeller", "fan"], Field(description="Open propeller, or fan in a duct.")]
    propeller: Annotated[PropellerField | None, Field(description="Diameter and pitch (propellers only).")] = None
    blades: Annotated[Whole | None, Field(ge=2, le=20, description="Number of blades.")] = None
    family: Annotated[Literal["narrow", "broad slow", "engine-type"] | None, Field(description="Blade family.")] = None
    diameter: Annotated[
        Annotated[float, Measure("length", 0.02, 0.5)] | None, Field(description="Of the fan's rotor (fans only).")
    ] = None
    exit_area: Annotated[
        Annotated[float, Measure("area", 1e-5, 0.2)] | None, Field(description="Of the duct's exit (fans only).")
    ] = None
    installation: Annotated[
        Share | None, Field(description="Share of the fan's thrust left by inlet and duct (fans only).")
    ] = None
    position: Annotated[
        Position | None, Field(description="Middle of the disc: aft, right, up from the nose point.")
    ] = None
    mirror: Annotated[Truth, Field(description="A second, equal thruster on the other side.")] = False
    tilt: Annotated[Tilt, Field(description="Thrust line: upwards positive (down-thrust is negative).")] = 0.0
    toe: Annotated[Tilt, Field(description="Thrust line: to the right positive (right-thrust).")] = 0.0
    turns: Annotated[
        Literal["clockwise", "anticlockwise"],
        Field(description="Seen from behind; a mirrored one turns the other way."),
    ] = "clockwise"
    gear_ratio: Annotated[Ratio, Field(description="Motor turns per propeller turn.")] = 1.0
    motor: Annotated[Motor, Field(description="Its motor.")]
    controller: Annotated[Controller, Field(description="Its speed controller.")] = Controller()
    battery: Annotated[str | None, Field(description="Name of the [battery.*] that feeds it.")] = None
    propeller_mass: Annotated[Mass | None, Field(description="Of the propeller or the fan without motor.")] = None
    thrust_scale: Annotated[Factor, Field(description="Measured thrust over the reckoned one.")] = 1.0
    power_scale: Annotated[Factor, Field(description="Measured shaft power over the reckoned one.")] = 1.0
    blade: Annotated[
        str | None,
        Field(description="File with the stations of a drawn blade (CSV: radius, chord, angle), beside this."),
    ] = None
    bench: Annotated[
        str | None,
        Field(description="File with own bench readings of this motor and propeller (CSV), beside this one."),
    ] = None


class Drive(Part):
    """A motor with belt or gear that turns one or more rotors."""

    motor: Annotated[Motor, Field(description="Its motor.")]
    controller: Annotated[Controller, Field(description="Its speed controller.")] = Controller()
    ratio: Annotated[Ratio, Field(description="Motor turns per rotor turn.")]
    speed: Annotated[
        Annotated[float, Measure("rotation", 1.0, 5000.0)] | None,
        Field(description="Rotor speed at full command; if given, the drive holds the commanded speed."),
    ] = None
    efficiency: Annotated[
        float, Measure("share", 0.3, 1.0), Field(description="Share of the power that belt or gear passes on.")
    ] = 0.97
    idle_torque: Annotated[
        Annotated[float, Measure("torque", 0.0, 10.0)] | None,
        Field(description="Drag of belt or gear, felt at the rotor shaft."),
    ] = None
    battery: Annotated[str | None, Field(description="Name of the [battery.*] that feeds it.")] = None
    each: Annotated[
        Truth, Field(description="Whether every rotor has such a drive of its own (true), or they share one.")
    ] = False
    position: Annotated[Position | None, Field(description="Of the motor: aft, right, up from the nose point.")] = None
    mass: Annotated[Mass | None, Field(description="Of belt, pulleys and mount, without the motor.")] = None
    belt_span: Annotated[
        Annotated[float, Measure("length", 0.005, 5.0)] | None,
        Field(description="Free length of belt between the pulleys, to tell its note."),
    ] = None
    belt_tension: Annotated[
        Annotated[float, Measure("force", 0.1, 2000.0)] | None, Field(description="In one strand at rest.")
    ] = None


class Battery(Part):
    """A lithium-polymer pack."""

    cells: Annotated[CellsField, Field(description="In series and perhaps in parallel.")]
    capacity: Annotated[float, Measure("charge", 36.0, 3.6e6), Field(description="Of the whole pack, from its label.")]
    condition: Annotated[Literal["new", "ordinary", "tired"], Field(description="Word for its inner resistance.")] = (
        "ordinary"
    )
    resistance: Annotated[Resistance | None, Field(description="Measured, of the whole pack at 25 degC.")] = None
    wiring_resistance: Annotated[Resistance, Field(description="Of leads and connectors.")] = 0.005
    current_limit: Annotated[Current | None, Field(description="Continuous current, from the label.")] = None
    charge: Annotated[Share, Field(description="Charge left when the flight is judged.")] = 0.7
    temperature: Annotated[
        float, Measure("temperature", 243.15, 343.15), Field(description="Of the pack in flight.")
    ] = 298.15
    usable: Annotated[
        float, Measure("share", 0.05, 1.0), Field(description="Share of the capacity planned for use.")
    ] = 0.8
    electronics: Annotated[
        Annotated[float, Measure("power", 0.0, 5000.0)] | None,
        Field(description="Steady load of receiver, servos and the like on this pack."),
    ] = None
    mass: Annotated[Mass | None, Field(description="With its leads.")] = None
    position: Annotated[Position | None, Field(description="Its middle: aft, right, up from the nose point.")] = None
