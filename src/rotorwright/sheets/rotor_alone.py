"""The sheet of one rotor asked alone, as on a rig or in a tunnel."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorwright.base.quantity import Quantity
from rotorwright.design.clearances import spin_direction_words
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, negated, number_text, quantity_text
from rotorwright.sheets.rotor_rig import rig_sections
from rotorwright.sheets.rotor_start import start_sections

FORCES = {
    "lift": "lift",
    "drag": "drag",
    "power": "power to keep the spin",
    "torque": "air's torque on the spin",
}
DRAG_BY_CAUSE = {"profile_drag": "body of the rotor", "end_drag": "ends", "disc_drag": "discs"}
SPIN = {
    "rotor_speed": "rotor speed",
    "spin_ratio": "spin ratio",
    "rim_speed": "rim speed",
    "stored_energy": "stored energy",
    "throw_distance": "how far a piece of the rim can fly",
    "disc_torque": "torque on the discs",
    "reynolds_number": "Reynolds number",
}
COEFFICIENTS = {"lift_coefficient": "lift", "drag_coefficient": "drag", "torque_coefficient": "torque"}
GROUPS = {
    "Forces and power": FORCES,
    "Where the drag comes from": DRAG_BY_CAUSE,
    "Spin": SPIN,
    "Coefficients on span × diameter": COEFFICIENTS,
}


def rotor_quantities(answer: Any) -> dict[str, Quantity]:
    """Return every quantity of a bench answer by name, in reading order."""
    names = [name for group in GROUPS.values() for name in group]
    names += [name for name in vars(answer) if name not in names]
    return {name: value for name in names if isinstance(value := getattr(answer, name, None), Quantity)}


def rotor_warnings(answer: Any) -> tuple[str, ...]:
    """Return what the maker should know about how far the answer can be trusted."""
    said = tuple(f"{note[:1].upper()}{note[1:]}." for note in answer.notes)
    asked = {name: quantity for name, quantity in rotor_quantities(answer).items() if name in {**FORCES, **SPIN}}
    uncertain = {name: quantity for name, quantity in asked.items() if quantity.low != quantity.high}
    beyond = [name.replace("_", " ") for name, quantity in uncertain.items() if quantity.support == "beyond data"]
    if beyond and len(beyond) == len(uncertain):
        said += ("Nobody has measured a rotor like this in this state: everything here is carried beyond the data.",)
    elif beyond:
        said += (f"Carried beyond what has been measured: {', '.join(beyond)}.",)
    return said


def rotor_sheet(
    question: Mapping[str, Any], answer: Any, units: ShownUnits, start: Any = None, fit: Any = None
) -> Sheet:
    """Return the sheet of one rotor alone, with what `rotor_start` and a `RotorFit` add to it."""
    quantities = rotor_quantities(answer)
    there = {name: quantity for name, quantity in quantities.items() if quantity.value is not None}
    groups = {head: {name: words for name, words in names.items() if name in there} for head, names in GROUPS.items()}
    sections = [Section(head, (_table(there, names),)) for head, names in groups.items() if names]
    if fit is not None:
        sections = [*rig_sections(fit, units), *sections]
    if start is not None:
        sections += start_sections(start, units)
    turns = spin_direction_words(question["kind"], question.get("section", "bucket"))
    sections.append(Section("Which way it must turn", (Sentence(f"{turns[:1].upper()}{turns[1:]}."),)))
    doubts: list[Item] = [Sentence(text, "doubt") for text in rotor_warnings(answer)]
    if doubts:
        sections.append(Section("How far to trust it", tuple(doubts)))
    sections.append(Section("Before you spin it", (Sentence(_caution(quantities, units), "caution"),)))
    return Sheet(_title(question, units), (_lead(question, quantities, units),), tuple(sections), units)


def _caution(quantities: Mapping[str, Quantity], units: ShownUnits) -> str:
    text = (
        "A spinning rotor stores energy and can throw its parts. First runs behind a shield, in small steps, nobody in"
    )
    reach = quantities.get("throw_distance")
    if reach is None or not reach.high:
        return f"{text} the plane of the discs."
    return f"{text} the plane of the discs within {number_text(reach.high, 'm', units)}, as far as a piece could fly."


def _title(question: Mapping[str, Any], units: ShownUnits) -> str:
    size = f"{number_text(question['diameter'], 'm', units)} × {number_text(question['span'], 'm', units)}"
    kind = question["kind"] if question["kind"] == "drum" else f"{question.get('section', 'vaned')} rotor"
    return f"One {kind} alone, {size}, in {number_text(question['airspeed'], 'm/s', units)}"


def _lead(question: Mapping[str, Any], quantities: Mapping[str, Quantity], units: ShownUnits) -> Sentence:
    lift, speed = quantities["lift"], quantities["rotor_speed"]
    if question.get("free"):
        if speed.value is None or abs(speed.value) < 1e-9:
            why = speed.reason or "a smooth drum has nothing for the wind to hold on to"
            return Sentence(f"It does not turn itself: {why}.", "lead")
        return Sentence(
            f"It freewheels at {quantity_text(speed, units)} and lifts {quantity_text(lift, units)}.", "lead"
        )
    power = quantities["power"]
    if question["airspeed"] == 0.0:
        turning = f"turning at {quantity_text(speed, units)} takes {quantity_text(power, units)}"
        return Sentence(f"In still air it lifts nothing; {turning}.", "lead")
    if power.value is not None and power.value < 0.0:
        drive = f"the wind gives the shaft {quantity_text(negated(power), units)}"
    else:
        drive = f"it takes {quantity_text(power, units)} at the shaft"
    return Sentence(f"At {quantity_text(speed, units)} it lifts {quantity_text(lift, units)}; {drive}.", "lead")


def _table(quantities: Mapping[str, Quantity], names: Mapping[str, str]) -> Table:
    rows = []
    for name, words in names.items():
        if name in quantities:
            quantity = quantities[name]
            backing = "" if quantity.support == "inside data" else quantity.support
            rows.append(Row((words, quantity, backing)))
    return Table(tuple(rows))
