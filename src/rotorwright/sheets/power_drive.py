"""The sheet of a rotor drive: duty, belts and gears that would do it, starting, and what a chop or a brake does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.sheets.content import Item, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, quantity_text, units_of
from rotorwright.studies.rotor_drive_belts import BeltDrive
from rotorwright.studies.rotor_drive_parts import DriveParts

DUTY = {
    "drive_torque": "torque at the rotors, level",
    "drive_ramp_torque": "torque while spinning up",
    "drive_inertia_share": "rotor inertia over the motor's own, at the motor",
}
STARTING = {
    "ramp_time": "planned ramp, rest to full speed",
    "peak_current": "peak current of one motor on it",
    "current_without_ramp": "full voltage at rest would draw",
    "voltage_step": "motor voltage at the first turn",
    "voltage_rate": "rise of motor voltage",
}
CHOP = {
    "chop_moment": "moment set free, nose-up",
    "chop_elevator_share": "share of full elevator",
    "chop_pitch_acceleration": "pitching acceleration",
    "spin_lost_time": "a tenth of the spin is gone after",
}
BRAKE = {
    "moment_braking": "moment while braking, nose-up +",
    "elevator_share_braking": "share of full elevator, braking",
}
IN_PER_CENT = ("chop_elevator_share", "elevator_share_braking")
CAUTION = (
    "Belts and gears take fingers, and a rotor that spins up shakes loose what is loose: guard the drive, tie the "
    "aeroplane down, propeller off, nobody in the plane of the discs. What the fail-safe does with the drive is for "
    "you and your club's safety officer to decide: cut, the lift goes with the spin; held, a live rotor stays."
)


def drive_parts_sheet(aeroplane: Aeroplane, drives: Sequence[DriveParts]) -> Sheet:
    """Return the sheet of all drives of an aeroplane."""
    units = units_of(aeroplane.told)
    lead: list[Sentence] = []
    sections: list[Section] = []
    for parts in drives:
        lead.append(Sentence(_first(parts, units), "lead"))
        plural = len(drives) > 1
        sections.append(Section(f"Duty of {parts.name}" if plural else "Duty", (_table(parts.quantities, DUTY),)))
        if parts.belts:
            sections.append(Section("Belts with shelf pulleys, best first", (_belts(parts.belts, units),)))
            sections.append(Section("The first, to build", tuple(_build(parts.belts[0], units))))
        if parts.gear is not None:
            gear = parts.gear
            text = (
                f"Spur pair instead: module {1000.0 * gear.module:g} mm, {gear.pinion_teeth} and {gear.wheel_teeth} "
                f"teeth, 8 mm wide, shafts {number_text(gear.centre, 'm', units)} apart, contact ratio "
                f"{gear.contact_ratio:.2f}, {number_text(gear.side_load, 'N', units)} on the bearings, loses "
                f"{quantity_text(gear.loss, units)}; the motor then turns the other way."
            )
            sections.append(Section("A gear instead", (Sentence(text),)))
        spin = parts.spin_up.quantities()
        sections.append(Section("Starting", (_table(spin, STARTING),)))
        items: list[Item] = [_table(parts.quantities, CHOP), _table(spin, BRAKE)]
        items.append(
            Sentence(
                "Cut, the drive lets go of the torque it braced against the aeroplane, and the lift follows the spin "
                "down."
            )
        )
        sections.append(Section("Chopped or braked in flight", tuple(items)))
        notes = (*parts.notes, *parts.spin_up.notes)
        sections.append(Section("Mind", tuple(Sentence(f"{text[:1].upper()}{text[1:]}.", "doubt") for text in notes)))
    sections.append(Section("Before you spin it", (Sentence(CAUTION, "caution"),)))
    return Sheet(f"{aeroplane.name}: the rotor drive", tuple(lead), tuple(sections), units)


def _first(parts: DriveParts, units: ShownUnits) -> str:
    torque = quantity_text(parts.quantities["drive_torque"], units)
    if not parts.belts:
        return f"{parts.name}: {torque} at the rotors, ratio {parts.duty.ratio:.3g}; no belt on the shelf does it."
    belt = parts.belts[0]
    return (
        f"{parts.name}: {torque} at the rotors, ratio {parts.duty.ratio:.3g}: {belt.profile} {1000.0 * belt.width:g} "
        f"mm wide, {belt.motor_teeth} teeth at the motor, {belt.rotor_teeth} at the rotor, belt of {belt.belt_teeth} "
        f"teeth, shafts {number_text(belt.centre, 'm', units)} apart."
    )


def _table(quantities: Mapping[str, Quantity], names: Mapping[str, str]) -> Table:
    rows = []
    for name, words in names.items():
        quantity = quantities.get(name)
        if quantity is not None:
            told = quantity.value is not None
            cell = Share(quantity) if name in IN_PER_CENT and told else quantity
            rows.append(Row((words, cell), "" if told else quantity.reason))
    return Table(tuple(rows))


def _belts(belts: Sequence[BeltDrive], units: ShownUnits) -> Table:
    heads = ("belt", "teeth", "belt teeth", "shafts", "in mesh", "used", "loss", "mass")
    rows = tuple(
        Row(
            (
                f"{belt.profile}, {1000.0 * belt.width:g} mm",
                f"{belt.motor_teeth}:{belt.rotor_teeth}",
                str(belt.belt_teeth),
                number_text(belt.centre, "m", units),
                f"{belt.mesh:.1f}",
                quantity_text(belt.used, units, as_percent=True),
                quantity_text(belt.loss, units),
                quantity_text(belt.mass, units),
            )
        )
        for belt in belts
    )
    return Table(rows, heads)


def _build(belt: BeltDrive, units: ShownUnits) -> list[Item]:
    over = f"{_mm(belt.motor_pulley)} and {_mm(belt.rotor_pulley)} ({belt.standard})"
    tuned = f"{number_text(belt.tension, 'N', units)}: plucked, it sounds at {belt.frequency_at_rest:.0f} Hz"
    rows = (
        Row(("pulleys over the teeth", over)),
        Row(("shafts, a belt one tooth shorter, longer", f"{_mm(belt.centre_one_less)}, {_mm(belt.centre_one_more)}")),
        Row(("tension of a span at rest", tuned)),
        Row(("on the bearings of either shaft", belt.side_load)),
        Row(("belt speed", number_text(belt.belt_speed, "m/s", units))),
        Row(("wrap on the small pulley", number_text(belt.wrap, "rad", units))),
    )
    items: list[Item] = [Table(rows)]
    words = "nothing near" if not belt.shaken else f"near {' and '.join(belt.shaken)}: change tension or length"
    items.append(Sentence(f"Span resonance: {words}."))
    return items


def _mm(length: float) -> str:
    return "—" if length != length else f"{1000.0 * length:.2f} mm"
