"""The sheet of one rotor asked alone, as on a rig or in a tunnel."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorwright.base.quantity import Quantity
from rotorwright.design.clearances import spin_direction_words
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import NOTHING, ShownUnits, long_units, negated, number_text, quantity_text
from rotorwright.sheets.rotor_rig import rig_sections
from rotorwright.sheets.rotor_start import start_sections

FORCES = {
    "lift": "lift",
    "drag": "drag",
    "power": "power to keep the spin",
    "torque": "torque of the air",
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
TORQUES = ("torque", "disc_torque", "torque_coefficient")
DISTANCES = ("throw_distance",)
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
    spin = quantities["rotor_speed"].value or 0.0
    turning = abs(spin) > NOTHING
    there = {name: each for name, each in quantities.items() if _worth_a_line(name, each, question, turning)}
    groups = {head: {name: words for name, words in names.items() if name in there} for head, names in GROUPS.items()}
    sections = [Section(head, (_table(there, names, units, spin),)) for head, names in groups.items() if names]
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
        return f"{text} the plane of rotation."
    far = number_text(reach.high, "m", long_units(units))
    return f"{text} the plane of rotation within {far}, as far as a piece could fly."


def _worth_a_line(name: str, quantity: Quantity, question: Mapping[str, Any], turning: bool) -> bool:
    """Tell whether a quantity says anything here: not the drag of discs that are not there, nor the spin of a rest."""
    if quantity.value is None:
        return False
    if name == "lift":
        return True
    there = max(abs(number or 0.0) for number in (quantity.value, quantity.low, quantity.high)) > NOTHING
    if name in ("drag", *DRAG_BY_CAUSE, "disc_torque", "reynolds_number") or (question.get("free") and name == "power"):
        return there
    return turning or there


def _title(question: Mapping[str, Any], units: ShownUnits) -> str:
    size = f"{number_text(question['diameter'], 'm', units)} × {number_text(question['span'], 'm', units)}"
    kind = question["kind"] if question["kind"] == "drum" else f"{question.get('section', 'bucket')} rotor"
    speed = question["airspeed"]
    where = f"in {number_text(speed, 'm/s', units)} of wind" if speed > 0.0 else "in still air"
    disc, count = question.get("disc_diameter"), question.get("disc_count")
    count = 2 if count is None else count
    discs = f"{count} discs of {number_text(disc, 'm', units)}" if disc and count else "no discs"
    if question.get("two_dimensional"):
        discs = "between walls"
    return f"One {kind} alone, {size}, {discs}, {where}"


def _lead(question: Mapping[str, Any], quantities: Mapping[str, Quantity], units: ShownUnits) -> Sentence:
    lift, speed, drag = quantities["lift"], quantities["rotor_speed"], quantities["drag"]
    still = question["airspeed"] == 0.0
    if question.get("free"):
        drum = question["kind"] == "drum"
        if drum or speed.value is None or abs(speed.value) < 1e-9:
            why = "a smooth drum gives the wind nothing to hold on to, it needs a drive"
            if not drum:
                why = "without wind nothing turns it" if still else "the friction is too much for this wind"
            rest = (
                "" if still else f" Standing still it drags {quantity_text(drag, units)} and lifts nothing to speak of."
            )
            return Sentence(f"It does not turn: {why}.{rest}", "lead")
        return Sentence(
            f"It freewheels at {quantity_text(speed, units)} and lifts {quantity_text(lift, units)}.", "lead"
        )
    power = quantities["power"]
    if still:
        turning = f"turning at {quantity_text(speed, units)} takes {quantity_text(power, units)} at the shaft"
        return Sentence(f"In still air it lifts nothing; {turning}.", "lead")
    if power.value is not None and power.value < 0.0:
        drive = f"the wind gives the shaft {quantity_text(negated(power), units)}"
    else:
        drive = f"it takes {quantity_text(power, units)} at the shaft"
    pull = f"lifts {quantity_text(lift, units)}"
    if lift.value is not None and lift.value < 0.0:
        pull = f"pushes down with {quantity_text(negated(lift), units)}"
    return Sentence(f"At {quantity_text(speed, units)} it {pull}; {drive}.", "lead")


def _table(quantities: Mapping[str, Quantity], names: Mapping[str, str], units: ShownUnits, spin: float) -> Table:
    rows = []
    for name, words in names.items():
        if name in quantities:
            quantity = quantities[name]
            backing = "" if quantity.support == "inside data" else quantity.support
            if name in TORQUES:
                words, quantity = told_torque(words, quantity, spin)
            cell = quantity_text(quantity, long_units(units)) if name in DISTANCES else quantity
            rows.append(Row((words, cell, backing)))
    return Table(tuple(rows))


def told_torque(words: str, torque: Quantity, spin: float) -> tuple[str, Quantity]:
    """Return a torque with its sign in words: one that works against this spin [rad/s] is told positive and brakes."""
    low, high = torque.low or 0.0, torque.high or 0.0
    if max(abs(low), abs(high)) < NOTHING:
        return words, torque
    if low < 0.0 < high:
        return f"{words}, + the lifting way", torque
    forward = low >= 0.0
    told = torque if forward else negated(torque)
    if abs(spin) <= NOTHING:
        return f"{words}, {'the lifting way' if forward else 'the other way'}", told
    return f"{words}, {'helps' if forward == (spin > 0.0) else 'brakes'} the spin", told
