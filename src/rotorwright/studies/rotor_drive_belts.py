"""Belts and gears for a wanted ratio: shelf pulleys, centre distance, mesh, tension, loads, losses, vibration, mass."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from rotorwright.base.quantity import Quantity
from rotorwright.physics.power.belt import (
    LEAST_WRAP,
    MOST_SPEED,
    PASSED_ON,
    allowed_force,
    belt_forces,
    belt_geometry,
    centre_distance,
    idle_power,
    outside_diameter,
    pitch_diameter,
    span_frequency,
)
from rotorwright.physics.power.belt_profiles import PROFILES, BeltProfile
from rotorwright.physics.power.gear import MODULES, gear_geometry, gear_side_load, tooth_stress

SERVICE = 1.5
"""Service factor of small-pitch drives (timing-belt handbook: 1.5–2.0, read secondary)."""
RATIO_TOLERANCE = 0.04
"""How far a pair of shelf pulleys may miss the wanted ratio."""
CLEARANCE = 0.004
"""Air between two pulleys [m] (common practice)."""
KEEP_OFF = 0.25
"""How near a span's frequency may come to one that shakes it (common practice: a quarter)."""
LEAST_MESH = 5.0
LOSS_WEIGHT = 0.008
"""Mass that a watt of loss counts as when drives are ranked [kg/W] (judgement: what a minute's watt weighs in pack)."""
ALUMINIUM, PRINTED = 2700.0, 1240.0
PRINTED_FILL = 0.6
GEAR_WIDTH = 0.008
GEAR_STRESS = 15.0e6
"""Bending stress allowed at the foot of a printed or moulded tooth [Pa] (judgement)."""
BELT_SOURCES = ("iso-13050-belts", "din-7721-belts", "iso-5296-belts", "belt-makers")


@dataclass(frozen=True)
class Duty:
    """What a drive has to pass on, at the rotor's shaft."""

    ratio: float
    """Motor turns per rotor turn."""
    rotor_turns: float
    """[1/s]"""
    level_torque: float
    """All rotors of the drive together, in level flight [N m]."""
    ramp_torque: float
    """Largest while spinning up [N m]."""
    largest_pulley: float
    """Room for the large pulley [m]."""
    centre: float | None
    """Wanted distance between the shafts [m]."""
    shaking: tuple[tuple[str, float], ...]
    """Frequencies that may shake a span, by name [1/s]."""


@dataclass(frozen=True)
class BeltDrive:
    """One belt with two shelf pulleys."""

    profile: str
    standard: str
    width: float
    motor_teeth: int
    rotor_teeth: int
    belt_teeth: int
    ratio: float
    centre: float
    centre_one_less: float
    centre_one_more: float
    """Distance between the shafts with a belt one tooth shorter and longer [m]."""
    mesh: float
    wrap: float
    belt_speed: float
    motor_pulley: float
    rotor_pulley: float
    """Outside diameters [m]."""
    used: Quantity
    """Force with service factor over what the teeth in mesh may carry [1]."""
    tension: float
    """Of one span at rest [N]."""
    frequency_at_rest: float
    """To which a span is tuned: pluck it [1/s]."""
    side_load: Quantity
    loss: Quantity
    """At the rotor's speed in level flight [W]."""
    mass: Quantity
    """Belt and both pulleys [kg]."""
    shaken: tuple[str, ...]
    """What comes within a quarter of a span's frequency."""

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {
            name: value.as_dict()
            if isinstance(value, Quantity)
            else (list(value) if isinstance(value, tuple) else value)
            for name, value in vars(self).items()
        }


@dataclass(frozen=True)
class GearDrive:
    """One pair of spur gears."""

    module: float
    pinion_teeth: int
    wheel_teeth: int
    ratio: float
    centre: float
    contact_ratio: float
    stress: float
    """At the foot of the pinion's teeth, ramp and service factor included [Pa]."""
    side_load: float
    loss: Quantity

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        return {name: value.as_dict() if isinstance(value, Quantity) else value for name, value in vars(self).items()}


def within(nominal: float, factor: float, unit: str, support: str, sources: tuple[str, ...]) -> Quantity:
    """Return a quantity known to a factor, both ways."""
    return Quantity(nominal, nominal / factor, nominal * factor, nominal, unit, support=support, sources=sources)


def pulley_mass(profile: BeltProfile, teeth: int, width: float) -> float:
    """Return the mass of a pulley with its flanges: aluminium up to 30 mm, printed above [kg]."""
    diameter = pitch_diameter(teeth, profile.pitch) - profile.line_offset
    solid = 0.25 * math.pi * diameter**2 * (width + 0.004)
    return 1.3 * ALUMINIUM * solid if diameter <= 0.03 else PRINTED_FILL * PRINTED * solid


def belt_drives(duty: Duty, *, most: int = 5) -> tuple[BeltDrive, ...]:
    """Return belts with shelf pulleys that do a duty, lightest (losses counted) first, one for each profile and width.

    Parameters
    ----------
    duty : Duty
    most : int
        How many at most.

    Notes
    -----
    Every pair of shelf pulleys within 4 % of the ratio that fits the room, with the belt whose whole number of teeth
    comes nearest to the wanted centre distance (or to pulleys 4 mm apart). Kept if six-tooth capacity over service
    factor bears the larger of level and ramp torque, with 60° of wrap, five teeth in mesh and under 33 m/s.
    """
    found: list[tuple[float, BeltDrive]] = []
    for profile in PROFILES:
        for width in profile.widths:
            best: tuple[float, BeltDrive] | None = None
            for motor_teeth, rotor_teeth in _pairs(profile, duty):
                drive = _belt(profile, width, motor_teeth, rotor_teeth, duty)
                if drive is None or (drive.used.nominal or math.inf) > 1.0:
                    continue
                cost = (drive.mass.nominal or 0.0) + LOSS_WEIGHT * (drive.loss.nominal or 0.0)
                cost *= 1.0 + 0.15 * len(drive.shaken) + 0.5 * max(6.0 - drive.mesh, 0.0)
                if best is None or cost < best[0]:
                    best = cost, drive
            if best is not None:
                found.append(best)
    found.sort(key=lambda entry: entry[0])
    return tuple(drive for _, drive in found[:most])


def _pairs(profile: BeltProfile, duty: Duty) -> list[tuple[int, int]]:
    """Return teeth of motor and rotor pulley that give the ratio."""
    pairs = []
    for one in profile.pulleys:
        for other in profile.pulleys:
            small, large = min(one, other), max(one, other)
            if small < profile.least_teeth or abs(other / one / duty.ratio - 1.0) > RATIO_TOLERANCE:
                continue
            if pitch_diameter(large, profile.pitch) <= duty.largest_pulley:
                pairs.append((one, other))
    return pairs


def _belt(profile: BeltProfile, width: float, motor_teeth: int, rotor_teeth: int, duty: Duty) -> BeltDrive | None:
    small_teeth, large_teeth = min(motor_teeth, rotor_teeth), max(motor_teeth, rotor_teeth)
    small, large = pitch_diameter(small_teeth, profile.pitch), pitch_diameter(large_teeth, profile.pitch)
    nearest = 0.5 * (small + large) + CLEARANCE
    wanted = nearest if duty.centre is None else duty.centre
    if wanted < 0.5 * (small + large) + 0.5 * CLEARANCE:
        return None
    whole = belt_geometry(profile=profile.name, small_teeth=small_teeth, large_teeth=large_teeth, centre=wanted)
    teeth = math.ceil(whole["belt_teeth"]) if duty.centre is None else round(whole["belt_teeth"])
    made = belt_geometry(profile=profile.name, small_teeth=small_teeth, large_teeth=large_teeth, belt_teeth=teeth)
    if not made["centre"] > 0.5 * (small + large) + 0.25 * CLEARANCE or made["wrap"] < LEAST_WRAP:
        return None
    if made["mesh"] < LEAST_MESH:
        return None
    turns = duty.rotor_turns * rotor_teeth / small_teeth
    speed = math.pi * small * turns
    if speed > MOST_SPEED:
        return None
    radius = 0.5 * pitch_diameter(rotor_teeth, profile.pitch)
    ramp, level = duty.ramp_torque / radius, duty.level_torque / radius
    # the largest force of a ramp comes anywhere on it: capacity at the full speed is the least
    used = SERVICE * max(ramp, level) / max(allowed_force(profile, width, made["mesh"], turns), 1e-9)
    working = belt_forces(profile, width, made["wrap"], level, speed)
    hauling = belt_forces(profile, width, made["wrap"], max(ramp, level), speed)
    mass_per_length = profile.areal_mass * width
    spans = [span_frequency(pull, mass_per_length, made["span"]) for pull in (working.tight, working.slack)]
    shaken = tuple(
        name
        for name, frequency in duty.shaking
        if frequency > 0.0 and any(abs(span / frequency - 1.0) < KEEP_OFF for span in spans)
    )
    idle = idle_power(profile, width, turns)
    passed = 2.0 * math.pi * duty.rotor_turns * duty.level_torque
    mass = mass_per_length * teeth * profile.pitch
    mass += pulley_mass(profile, motor_teeth, width) + pulley_mass(profile, rotor_teeth, width)
    support = "inside data" if profile.measured else "beyond data"
    return BeltDrive(
        profile=profile.name,
        standard=profile.standard,
        width=width,
        motor_teeth=motor_teeth,
        rotor_teeth=rotor_teeth,
        belt_teeth=int(teeth),
        ratio=rotor_teeth / motor_teeth,
        centre=made["centre"],
        centre_one_less=centre_distance((teeth - 1) * profile.pitch, small, large),
        centre_one_more=centre_distance((teeth + 1) * profile.pitch, small, large),
        mesh=made["mesh"],
        wrap=made["wrap"],
        belt_speed=speed,
        motor_pulley=outside_diameter(profile.name, motor_teeth),
        rotor_pulley=outside_diameter(profile.name, rotor_teeth),
        used=within(used, 1.25 if profile.measured else 1.6, "1", support, BELT_SOURCES),
        tension=hauling.installed,
        frequency_at_rest=span_frequency(hauling.installed, mass_per_length, made["span"]),
        side_load=within(hauling.side_load, 1.15, "N", support, BELT_SOURCES),
        loss=within(idle + (1.0 - PASSED_ON) * passed, 2.0, "W", "beyond data", BELT_SOURCES),
        mass=within(mass, 1.3, "kg", "beyond data", BELT_SOURCES),
        shaken=shaken,
    )


def gear_drive(duty: Duty) -> GearDrive | None:
    """Return the finest spur pair (8 mm wide, printed or moulded) that bears a duty; None if none does.

    Parameters
    ----------
    duty : Duty

    Notes
    -----
    Pinions of 17 to 30 teeth, wheel to the ratio, bending stress under 15 MPa with the service factor. A gear pair
    turns the other way round and gives no choice of distance.
    """
    if duty.ratio < 1.0:
        return None
    for module in MODULES:
        for pinion in (17, 19, 22, 26, 30):
            wheel = round(pinion * duty.ratio)
            pair = gear_geometry(module=module, pinion_teeth=pinion, wheel_teeth=wheel)
            if pair["wheel_diameter"] > duty.largest_pulley:
                continue
            force = SERVICE * max(duty.ramp_torque, duty.level_torque) / (0.5 * pair["wheel_diameter"])
            speed = math.pi * pair["wheel_diameter"] * duty.rotor_turns
            stress = tooth_stress(module, GEAR_WIDTH, pinion, force, speed)
            if stress <= GEAR_STRESS:
                passed = 2.0 * math.pi * duty.rotor_turns * duty.level_torque
                loss = Quantity(0.03 * passed, 0.02 * passed, 0.04 * passed, 0.03 * passed, "W", support="beyond data",
                                sources=("common-practice",))  # fmt: skip
                return GearDrive(
                    module, pinion, wheel, pair["ratio"], pair["centre"], pair["contact_ratio"], stress,
                    gear_side_load(force), loss,
                )  # fmt: skip
    return None
