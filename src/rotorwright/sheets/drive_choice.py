"""The sheet that sets driven drums, free vaned and driven vaned rotors side by side, with the spin-up."""

from __future__ import annotations

from collections.abc import Mapping

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Cell, Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text, units_of
from rotorwright.studies.drive_choice import DriveChoice, FlownVariant
from rotorwright.studies.drive_choice_spin_up import SpinUp

SIDE_BY_SIDE = {
    "level_speed": "level speed",
    "reserve_thrust": "thrust left after the reserve",
    "lift_to_drag": "lift to drag",
    "mass": "mass",
    "drive_mass": "of it drives",
    "level_current": "current, level",
    "drive_current": "current of one drive",
    "drive_loss": "heat of the drives",
    "spin_share": "share of power for the spin",
    "endurance": "endurance",
    "rotor_speed": "rotor speed, level",
    "rotor_speed_ceiling": "rotor speed at most",
    "spin_ratio": "spin ratio",
    "glide_sink": "sink, thrusters off",
    "lift_lost_one_rotor_stopped": "lift lost, one rotor stopped",
}
IN_PER_CENT = ("spin_share", "lift_lost_one_rotor_stopped", "elevator_share_up", "elevator_share_braking")
SPIN_UP = {
    "ramp_time": "planned ramp, rest to full speed",
    "shortest_ramp": "shortest even ramp",
    "full_current_time": "with the current limit used up",
    "peak_current": "peak current of one motor, planned ramp",
    "current_limit": "weakest current limit",
    "current_without_ramp": "full voltage at rest would draw",
    "voltage_step": "motor voltage at the first turn",
    "voltage_rate": "rise of motor voltage",
    "pack_energy": "energy from the pack",
    "stored_energy": "energy stored in the rotors",
    "moment_spinning_up": "moment while spinning up, nose-up +",
    "elevator_share_up": "share of full elevator",
    "moment_braking": "moment while braking, nose-up +",
    "elevator_share_braking": "share of full elevator, braking",
}
CAUTION = (
    "Spin up behind a shield or with everybody out of the plane of the discs, aeroplane tied down, propeller off for "
    "the first runs. A driven drum that loses its drive loses the lift at once: decide with your club's safety officer "
    "what the fail-safe does with the drive."
)


def drive_choice_sheet(answer: DriveChoice) -> Sheet:
    """Return the sheet of a drive choice; the spin-up of the aeroplane as described, or of both ways to drive it."""
    units = units_of(answer.aeroplane.told)
    sections = [Section("Side by side", (_side_by_side(answer, units),))]
    sections.append(Section("What was changed", tuple(_changes(answer))))
    driven = [each for each in answer.variants if each.spin_up is not None]
    for each in [each for each in driven if each.variant.described] or driven:
        if each.spin_up is not None:
            heading = f"Spinning up, {each.variant.kind}"
            sections.append(Section(heading, tuple(_spin_up(each.spin_up))))
    sections.append(Section("How far to trust it", tuple(Sentence(f"• {text}.") for text in answer.notes)))
    sections.append(Section("Before you spin it", (Sentence(CAUTION, "caution"),)))
    title = f"{answer.aeroplane.name}: driven or free"
    return Sheet(title, tuple(_lead(answer, units)), tuple(sections), units)


def _lead(answer: DriveChoice, units: ShownUnits) -> list[Sentence]:
    lead = []
    for each in answer.variants:
        chance = "" if each.probability is None else f", {percent_text(each.probability)} chance with the reserve"
        as_told = " (as described)" if each.variant.described else ""
        left = each.quantities["reserve_thrust"]
        thrust = left if left.value is not None else None
        spare = "" if thrust is None else f", {quantity_text(thrust, units)} of thrust left after it"
        name = f"{each.variant.kind[:1].upper()}{each.variant.kind[1:]}{as_told}"
        lead.append(Sentence(f"{name}: {each.word}{chance}{spare}.", "lead"))
    lead += [Sentence(_pays(each, units)) for each in answer.variants if each.break_even is not None]
    return lead


def _pays(each: FlownVariant, units: ShownUnits) -> str:
    even, mass = each.break_even, each.quantities["drive_mass"]
    assert even is not None
    middle = even.value if even.value is not None else even.nominal
    weighs = mass.nominal if mass.nominal is not None else 0.0
    if middle is None:
        return f"{each.variant.kind}: no break-even drive mass was found."
    even_text = quantity_text(even, units) if even.value is not None else number_text(middle, "kg", units)
    verdict = "it pays" if middle > weighs else "it does not pay"
    return (
        f"Against vaned free, {each.variant.kind}: {verdict} with drives of {number_text(weighs, 'kg', units)}; "
        f"break-even drive mass {even_text}."
    )


def _side_by_side(answer: DriveChoice, units: ShownUnits) -> Table:
    heads = ("", *(each.variant.kind for each in answer.variants))
    rows = [Row(("chance with the reserve", *(_chance(each) for each in answer.variants)))]
    rows.append(Row(("nose can be held", *(percent_text(each.nose_held) for each in answer.variants))))
    for name, words in SIDE_BY_SIDE.items():
        cells = [_cell(name, each.quantities.get(name)) for each in answer.variants]
        if any(cell != "—" for cell in cells):
            rows.append(Row((words, *cells)))
        if name == "rotor_speed_ceiling":
            rows.append(Row(("what limits it", *(each.ceiling_limit for each in answer.variants))))
    rows.append(Row(("break-even drive mass", *(_cell("break_even", each.break_even) for each in answer.variants))))
    return Table(tuple(rows), heads)


def _chance(each: FlownVariant) -> str:
    return each.word if each.probability is None else f"{percent_text(each.probability)}, {each.word}"


def _cell(name: str, quantity: Quantity | None) -> Cell:
    if quantity is None:
        return "—"
    if quantity.value is None:
        return "—"
    return Share(quantity) if name in IN_PER_CENT else quantity


def _changes(answer: DriveChoice) -> list[Item]:
    items: list[Item] = []
    for each in answer.variants:
        text = "as the file describes it" if each.variant.described else "; ".join(each.variant.changes)
        items.append(Sentence(f"{each.variant.kind}: {text or 'as the file describes it, without its drive'}."))
    return items


def _rows(quantities: Mapping[str, Quantity], names: Mapping[str, str]) -> Table:
    rows = []
    for name, words in names.items():
        quantity = quantities.get(name)
        if quantity is not None:
            rows.append(Row((words, _cell(name, quantity)), quantity.reason if quantity.value is None else ""))
    return Table(tuple(rows))


def _spin_up(plan: SpinUp) -> list[Item]:
    items: list[Item] = [_rows(plan.quantities(), SPIN_UP)]
    line = Line("current", plan.curve["time"], plan.curve["current"])
    said = "Current of one motor on the planned ramp, still air, from rest to full speed."
    items.append(Picture("Current on the ramp", "time", "s", "current", "A", (line,), said))
    items += [Sentence(f"{note[:1].upper()}{note[1:]}.") for note in plan.notes]
    return items
