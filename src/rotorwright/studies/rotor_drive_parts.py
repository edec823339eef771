"""The hardware between motor and driven rotor: belts and gears, ramp and sync, what a chop or a brake does in pitch."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import numpy.typing as npt

from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import BUCKET, DRUM
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.places import drive_places, rotor_places
from rotorwright.physics.power.motor import effective_speed_constant, motor_torque
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.drive_choice_spin_up import SpinUp, elevator_moment, spin_up_plan
from rotorwright.studies.evaluate import Flown, fly
from rotorwright.studies.held_flight import level_or_held
from rotorwright.studies.rotor_drive_belts import BeltDrive, Duty, GearDrive, belt_drives, gear_drive
from rotorwright.studies.sources import MOTORS, torque_sources

Floats = npt.NDArray[np.float64]

HEAVY, VERY_HEAVY = 5.0, 20.0
"""Rotor inertia at the motor over the motor's own above which starts are gentle, or need a motor with sensors (common
practice, no source)."""
SPIN_LOST = 0.1
"""Share of the spin whose loss after a chop is timed: lift goes in proportion."""


@dataclass(frozen=True)
class DriveParts:
    """One drive: its duty, the belts and gears that would do it, and what it does to the aeroplane."""

    name: str
    duty: Duty
    quantities: dict[str, Quantity]
    belts: tuple[BeltDrive, ...]
    gear: GearDrive | None
    spin_up: SpinUp
    notes: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "name": self.name,
            "ratio": self.duty.ratio,
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "spin_up": {name: quantity.as_dict() for name, quantity in self.spin_up.quantities().items()},
            "belts": [belt.as_dict() for belt in self.belts],
            "gear": None if self.gear is None else self.gear.as_dict(),
            "notes": list(self.notes),
        }


def rotor_drive_parts(
    aeroplane: Aeroplane,
    *,
    samples: int = 64,
    seed: int = 0,
    centre: float | None = None,
    ramp_time: float | None = None,
) -> tuple[DriveParts, ...]:
    """Return belts, gears and consequences for every kind of drive of an aeroplane.

    Parameters
    ----------
    aeroplane : Aeroplane
        With at least one driven rotor.
    samples, seed : int
        Samples of the Unknowns behind the bands and the seed that shifts them.
    centre : float, optional
        Wanted distance between motor and rotor shaft [m]; else as the file places them, else as near as they go.
    ramp_time : float, optional
        Time in which a drive shall bring its rotor up [s].

    Raises
    ------
    InputError
        If no rotor is driven, or the aeroplane has no balance at any speed.
    """
    drives = drive_places(aeroplane.tables)
    if not drives:
        raise InputError("drives no rotor", place=aeroplane.source, hint='Give a rotor drive = "…" and a [drive.…]')
    flown = fly(aeroplane, samples=samples, seed=seed)
    level = level_or_held(flown)
    if level is None:
        raise InputError("has no balance at any speed, so there is no duty for its drives", place=aeroplane.source)
    reader = Reader(flown, design_support(flown))
    plan = spin_up_plan(flown, reader, level, ramp_time=ramp_time)
    seen: set[str] = set()
    found = []
    for row, (_, table, _, _) in enumerate(drives):
        if table not in seen:
            seen.add(table)
            found.append(_parts(flown, reader, level, plan, row, table, centre))
    return tuple(found)


def _parts(
    flown: Flown, reader: Reader, level: Any, plan: SpinUp, row: int, table: str, centre: float | None
) -> DriveParts:
    numbers = flown.numbers
    drive = numbers.drives[:, row]
    served = [place for place, rotor in enumerate(numbers.rotors[0]) if int(rotor["drive"]) == row]
    rotor = numbers.rotors[:, served[0]]
    rotors = np.array([[float(each["drive"]) >= 0.0 for each in case] for case in numbers.rotors]).sum(axis=1)
    turning = np.asarray(level["rotor_speed"], dtype=np.float64)
    torque = _rotor_torque(numbers, row, np.asarray(level["drive_current"], dtype=np.float64), turning)
    ramp = _rotor_torque(
        numbers, row, np.full(len(turning), plan.peak_current.nominal or 0.0), 0.5 * turning, whole=True
    )
    reflected = rotor["polar_inertia"] * drive["rotors"] / drive["ratio"] ** 2
    share = reflected / np.maximum(drive["motor_inertia"], 1e-9)
    each = torque / drive["rotors"]
    kick = each * rotors
    elevator = elevator_moment(numbers, level)
    lost = SPIN_LOST * turning * rotor["polar_inertia"] / np.maximum(each, 1e-9)
    pitching = kick / numbers.vehicle["iyy"]
    sources = (*MOTORS, *torque_sources(flown), "mechanics")
    quantities = {
        "drive_torque": reader.quantity(torque, "N m", sources),
        "drive_ramp_torque": reader.quantity(ramp, "N m", sources),
        "drive_inertia_share": reader.quantity(share, "1", ("mechanics",), "the motor's own inertia is not known"),
        "chop_moment": reader.quantity(kick, "N m", sources),
        "chop_elevator_share": reader.quantity(kick / elevator, "1", sources, "no elevator"),
        "chop_pitch_acceleration": reader.quantity(pitching, "rad/s2", sources),
        "spin_lost_time": reader.quantity(lost, "s", sources),
    }
    duty = Duty(
        ratio=float(drive["ratio"][0]),
        rotor_turns=float(turning[0]) / (2.0 * math.pi),
        level_torque=max(float(torque[0]), 0.0),
        ramp_torque=max(float(ramp[0]), 0.0),
        largest_pulley=0.9 * max(float(rotor["diameter"][0]), float(rotor["disc_diameter"][0])),
        centre=_placed(flown.aeroplane, table) if centre is None else centre,
        shaking=_shaking(rotor[0], float(turning[0]) / (2.0 * math.pi), float(drive["ratio"][0])),
    )
    belts, gear = belt_drives(duty), gear_drive(duty)
    notes = _notes(duty, belts, float(share[0]), plan)
    if not belts and duty.centre is not None:
        nearest = belt_drives(replace(duty, centre=None))
        if nearest:
            belts = nearest
            asked = f"no belt fits shafts {1000.0 * duty.centre:.0f} mm apart: the belts shown go as near as they can"
            notes = (asked, *_notes(duty, belts, float(share[0]), plan))
    return DriveParts(table, duty, quantities, belts, gear, plan, notes)


def _rotor_torque(numbers: Any, row: int, current: Floats, rotor_speed: Floats, *, whole: bool = False) -> Floats:
    """Return the torque a drive gives at its rotor shafts together [N m], losses taken off unless ``whole``."""
    torque = np.empty(len(current))
    for case in range(len(current)):
        drive, factors = numbers.drives[case, row], numbers.factors[case]
        constant = effective_speed_constant(float(drive["motor_speed_constant"]), factors)
        at_motor = motor_torque(
            constant, float(drive["motor_no_load_current"]), float(drive["motor_no_load_voltage"]),
            float(current[case]), float(rotor_speed[case] * drive["ratio"]),
        )  # fmt: skip
        passed = 1.0 if whole else float(drive["efficiency"])
        torque[case] = float(drive["ratio"]) * at_motor * passed
    return torque


def _placed(aeroplane: Aeroplane, table: str) -> float | None:
    """Return the distance between motor and rotor shaft where the file places both apart."""
    drive = aeroplane.tables.drive[table]
    if drive.position is None:
        return None
    for _, wanted, place in rotor_places(aeroplane.tables):
        if wanted == table:
            apart = math.hypot(place[0] - drive.position[0], place[2] - drive.position[2])
            return apart if apart > 0.005 else None
    return None


def _shaking(rotor: Any, turns: float, ratio: float) -> tuple[tuple[str, float], ...]:
    """Return what may shake a belt's span: rotor, twice rotor, motor, and vanes passing."""
    found = [("rotor", turns), ("twice rotor", 2.0 * turns), ("motor", turns * ratio)]
    if rotor["kind"] != DRUM:
        vanes = float(rotor["buckets"]) if rotor["section"] == BUCKET else 2.0
        found.append(("vanes passing", vanes * max(float(rotor["stages"]), 1.0) * turns))
    return tuple(found)


def _notes(duty: Duty, belts: tuple[BeltDrive, ...], share: float, plan: SpinUp) -> tuple[str, ...]:
    notes = []
    if not belts:
        notes.append(
            "no belt with shelf pulleys fits ratio, room and torque: give the shafts more room, split the ratio in two "
            "stages, or take another motor"
        )
    elif belts[0].shaken:
        notes.append(
            f"the first belt's span is near {' and '.join(belts[0].shaken)}: another tension or length, or an idler"
        )
    if math.isfinite(share) and share > VERY_HEAVY:
        notes.append(
            f"the rotor weighs {share:.0f} times the motor's own inertia at its shaft: a controller without sensors "
            "may lose step; take a motor with sensors, or start by hand, and ramp slowly"
        )
    elif math.isfinite(share) and share > HEAVY:
        notes.append(f"the rotor weighs {share:.0f} times the motor's own inertia at its shaft: set a soft start")
    if plan.ramp_time.nominal is not None and duty.ramp_torque > 0.0:
        notes.append(
            f"no quicker than {plan.ramp_time.nominal:.2g} s from rest to speed, in the transmitter or controller"
        )
    notes.append(
        "tooth counts and widths are those usually on the shelf: ask your supplier; any belt length was allowed"
    )
    return tuple(notes)
