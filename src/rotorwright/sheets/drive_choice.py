"""The sheet that sets driven drums, free vaned and driven vaned rotors side by side, with spin-up and slipstream."""

from __future__ import annotations

from collections.abc import Mapping

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Cell, Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text, units_of
from rotorwright.studies.blown import Blown
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
IN_PER_CENT = ("spin_share", "lift_lost_one_rotor_stopped", "elevator_share_up", "elevator_share_braking", "wash_share",
               "wake_deficit")  # fmt: skip
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
BLOWN = {
    "slipstream_pressure": "dynamic pressure inside, times",
    "wash_share": "share of the rotors inside",
    "rotor_speed": "rotor speed",
    "rotor_speed_gained": "of it from the wash",
    "lift_gained": "lift gained by the rotors",
    "rotor_drag_added": "drag added on the rotors",
    "thrust_lost": "thrust lost, bodies and tail too",
    "wake_deficit": "airspeed missing at the propeller",
    "thrust_in_wake": "thrust gained by that",
}
CAUTION = (
    "Spin up behind a shield or with everybody out of the plane of the discs, aeroplane tied down, propeller off for "
    "the first runs. A driven drum that loses its drive loses the lift at once: decide with your club's safety officer "
    "what the fail-safe does with the drive."
)


def drive_choice_sheet(answer: DriveChoice, wash: Blown | None = None) -> Sheet:
    """Return the sheet of a drive choice, with what a propeller's slipstream does to the rotors if it was asked."""
    units = units_of(answer.aeroplane.told)
    sections = [Section("Side by side", (_side_by_side(answer, units),))]
    sections.append(Section("What was changed", tuple(_changes(answer))))
    for each in answer.variants:
        if each.spin_up is not None:
            heading = f"Spinning up, {each.variant.kind}"
            sections.append(Section(heading, tuple(_spin_up(each.spin_up))))
    if wash is not None:
        sections.append(Section(f"In the slipstream of {wash.thruster}", tuple(_blown(wash, units))))
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


def _blown(wash: Blown, units: ShownUnits) -> list[Item]:
    throttle = percent_text(wash.throttle) if wash.throttle < 0.995 else "full"
    items: list[Item] = [
        Sentence(
            f"Differences to the same flight without wash, at {throttle} throttle and "
            f"{quantity_text(wash.airspeed, units)}; the thruster is put at other places, the balance point stays."
        )
    ]
    heads = ("", *(place.name for place in wash.places))
    rows = [
        Row(("ahead of the axis", *(number_text(place.ahead, "m", units) for place in wash.places))),
        Row(("above the axis", *(number_text(place.above, "m", units) for place in wash.places))),
    ]
    for name, words in BLOWN.items():
        cells = [_cell(name, place.quantities.get(name)) for place in wash.places]
        if any(cell != "—" for cell in cells):
            rows.append(Row((words, *cells)))
    items.append(Table(tuple(rows), heads))
    items.append(Sentence("Lift gained / thrust lost in N, nominal, over the place of the propeller:"))
    heads = ("above the axis", *(_ahead(ahead, units) for ahead in wash.map_ahead))
    rows = []
    for above, lift, lost in zip(wash.map_above, wash.map_lift, wash.map_thrust_lost, strict=True):
        pairs = (f"{_plain(gain)} / {_plain(cost)}" for gain, cost in zip(lift, lost, strict=True))
        rows.append(Row((number_text(above, "m", units), *pairs)))
    items.append(Table(tuple(rows), heads))
    items += [Sentence(f"• {note[:1].upper()}{note[1:]}.") for note in wash.notes]
    return items


def _ahead(ahead: float, units: ShownUnits) -> str:
    return f"{number_text(abs(ahead), 'm', units)} {'ahead' if ahead > 0.0 else 'behind'}"


def _plain(number: float) -> str:
    text = f"{number:.1f}"
    return "0" if text in ("0.0", "-0.0") else text
