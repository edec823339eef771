"""The sheet of an aeroplane cut into strips: lift along the span, who blows on whom, downwash and damping."""

from __future__ import annotations

from collections.abc import Mapping

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Cell, Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, quantity_text, units_of
from rotorwright.studies.span_wise import SpanWiseAnswer, Strip

ROTORS = {
    "lift": "lift",
    "lift_from_others": "of it from what the others do",
    "induced_drag": "drag of its own wake",
    "end_loss_drag": "drag of flow round its ends",
    "drag_from_others": "drag from what the others do",
}
TOGETHER = {
    "span_lift_from_others": "rotor lift gained from each other",
    "span_drag_from_others": "rotor drag gained from each other",
    "span_induced_drag": "drag of the rotors' own wakes",
    "span_end_loss_drag": "drag of flow round their ends",
    "span_wake_drag": "drag read from the wake far behind",
    "tail_pressure_share": "dynamic pressure at the tail, share",
}
ONLY_SURFACES = {name: TOGETHER[name] for name in ("span_wake_drag", "tail_pressure_share")}
COMPARED = {
    "tail_downwash": "downwash at the tail",
    "roll_damping": "roll damping",
    "yaw_damping": "yaw damping",
}
COUPLED = {
    "yaw_from_roll": "yawing moment from rolling right",
    "roll_from_yaw": "rolling moment from yawing right",
}
MOST_IN_A_PICTURE = 4
NEXT_TO_NOTHING = 0.05
"""Forces below this are told as none [N]: the method is not that good."""


def span_wise_sheet(answer: SpanWiseAnswer) -> Sheet:
    """Return the sheet of a span-wise solution."""
    units = units_of(answer.aeroplane.told)
    sections = []
    if answer.rotors:
        sections.append(Section("Each rotor", (_each(answer.rotors),)))
        sections.append(Section("Together", (_rows(answer.quantities, TOGETHER),)))
    else:
        sections.append(Section("Together", (_rows(answer.quantities, ONLY_SURFACES),)))
    sections.append(Section("Lift along the span", _pictures(answer.strips)))
    sections.append(Section("Tail and damping", tuple(_compared(answer.quantities))))
    sections.append(Section("How far to trust it", tuple(Sentence(f"• {_upper(note)}.") for note in answer.notes)))
    return Sheet(f"{answer.aeroplane.name}: along the span", tuple(_lead(answer, units)), tuple(sections), units)


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _lead(answer: SpanWiseAnswer, units: ShownUnits) -> list[Sentence]:
    told = answer.quantities
    where = "far from the ground" if answer.height is None else f"{number_text(answer.height, 'm', units)} above ground"
    slip = "" if answer.sideslip == 0.0 else f", {number_text(answer.sideslip, 'rad', units)} of sideslip"
    said = [f"At {quantity_text(answer.airspeed, units)}, {where}{slip}:"]
    if answer.rotors:
        own, loss = (quantity_text(told[name], units) for name in ("span_induced_drag", "span_end_loss_drag"))
        said.append(f"the rotors' own wakes drag {own}, flow round their ends {loss};")
        lift, drag = told["span_lift_from_others"], told["span_drag_from_others"]
        said.append(f"from each other they get {_some(lift, units)} lift and {_some(drag, units)} drag;")
    if "tail_downwash" in told:
        said.append(f"the air at the tail goes down by {quantity_text(told['tail_downwash'], units)}.")
    text = " ".join(said)
    return [Sentence(text if text.endswith(".") else f"{text.rstrip(';:')}.", "lead")]


def _some(force: Quantity, units: ShownUnits) -> str:
    """Return a force in words; next to none where it is below what the method can tell."""
    edges = [number for number in (force.nominal, force.low, force.high) if number is not None]
    if all(abs(number) < NEXT_TO_NOTHING for number in edges):
        return "next to no"
    return f"{quantity_text(force, units)} of"


def _each(rotors: Mapping[str, Mapping[str, Quantity]]) -> Table:
    heads = ("", *rotors)
    rows = []
    for name, words in ROTORS.items():
        cells: list[Cell] = [told[name] for told in rotors.values()]
        rows.append(Row((words, *cells)))
    return Table(tuple(rows), heads)


def _rows(told: Mapping[str, Quantity], names: Mapping[str, str]) -> Table:
    rows = []
    for name, words in names.items():
        quantity = told.get(name)
        if quantity is not None:
            cell: Cell = Share(quantity) if name == "tail_pressure_share" else quantity
            rows.append(Row((words, cell), quantity.reason if quantity.value is None else ""))
    return Table(tuple(rows))


def _pictures(strips: tuple[Strip, ...]) -> tuple[Item, ...]:
    flat = [each for each in strips if not each.upright]
    rotors = [each for each in flat if each.is_rotor]
    shown = (rotors or flat)[:MOST_IN_A_PICTURE]
    if not shown:
        return (Sentence("Nothing lifts along y."),)
    lines = tuple(Line(each.name, each.place, each.lift) for each in shown)
    said = "Lift per metre of span, every Unknown at its median; to the right of the middle plane is positive."
    return (Picture("Lift along the span", "place", "m", "lift per metre", "N/m", lines, said),)


def _compared(told: Mapping[str, Quantity]) -> list[Item]:
    rows = []
    for name, words in COMPARED.items():
        if name in told:
            rows.append(Row((words, told[name], told[f"{name}_quick"])))
    coupled = [Row((words, told[name], "")) for name, words in COUPLED.items() if name in told]
    items: list[Item] = [Table((*rows, *coupled), ("", "by strips", "in the flight verdict"))]
    quick = told["roll_damping_quick"].nominal
    mine = told["roll_damping"].nominal
    if quick and mine is not None:
        items.append(
            Sentence(
                f"Rotors, wings and tail only; roll damping by strips is {mine / quick:.2f} times what the "
                "flight verdict has. Positive damping works against the turning."
            )
        )
    return items
