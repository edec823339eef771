"""The sheet that tells whether the rotors hold: margins worst first, each with its fix, loads, and cautions."""

from __future__ import annotations

import math

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Cell, Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text, units_of
from rotorwright.studies.strength import GONE, Margin, Strength
from rotorwright.studies.strength_fixes import ENOUGH

LOADS = {
    "rotor_load_level": "load on one rotor, level flight",
    "rotor_load_gust": "in a gust",
    "rotor_load_turn": "in a turn",
    "rotor_load_landing": "in a landing",
    "gyroscopic_couple_in_turn": "gyroscopic couple in the turn",
    "fastest_rotor_speed": "fastest spin reckoned with",
    "rim_energy": "energy stored then",
    "hub_torque": "torque through the hub",
}
MANY = 1000.0
SHOWN = 10
CAUTION = (
    "A spin test can throw pieces: {energy} is stored in one rotor. Bench or strap the aeroplane down, nobody in "
    "the plane of the discs, {distance} away or behind a shield, face shield on, hands off until it stands "
    "still. Raise the speed in steps and listen. Local rules and your club's safety officer come first."
)
BARE_HAND = 1.0
"""Stored energy [J] up to which arm's length is enough (judgement)."""


def strength_sheet(answer: Strength, everything: bool = False) -> Sheet:
    """Return the sheet of a strength answer.

    Parameters
    ----------
    answer : Strength
    everything : bool
        Show every margin, not only the ten worst.
    """
    units = units_of(answer.aeroplane.told)
    in_place = [each for each in answer.margins if each.case != GONE]
    shown = in_place if everything else in_place[:SHOWN]
    sections = [Section("Margins, worst first (1: just at the rule)", (_table(shown, answer),))]
    fixes = [each for each in in_place if each.fix is not None]
    if fixes:
        told = tuple(_fix(each, units) for each in fixes)
        sections.append(Section("What would mend it, tried on this rotor", told))
    gone = tuple(_gone(each, answer) for each in answer.margins if each.case == GONE)
    sections.append(Section("If one bearing fails in flight", gone))
    sections.append(Section("What it has to carry", (_loads(answer),)))
    trust: tuple[Item, ...] = tuple(Sentence(f"• {text}.") for text in answer.notes)
    sections.append(Section("How far to trust it", trust))
    sections.append(Section("Before you spin it", (Sentence(_caution(answer, units), "caution"),)))
    return Sheet(f"{answer.aeroplane.name}: do the rotors hold?", tuple(_lead(answer)), tuple(sections), units)


def _lead(answer: Strength) -> list[Sentence]:
    worst = next((each for each in answer.margins if each.breaks_it), None)
    chance = "" if answer.probability is None else f", {percent_text(answer.probability)} chance that nothing breaks"
    words = {"holds": "They hold", "a gamble": "A gamble", "breaks": "They break"}[answer.word]
    lead = [Sentence(f"{words}{chance}.", "lead")]
    if worst is not None:
        lead.append(Sentence(f"Weakest: {_where(worst, answer)}{worst.check}, {worst.case}: {_times(worst)}."))
    worn = [
        each for each in answer.margins if each.case != GONE and not each.breaks_it and (each.margin.value or 0) < 1
    ]
    if worn:
        first = worn[0]
        lead.append(Sentence(f"It wears: {first.breaks} ({_times(first)} of the rule, {first.case})."))
    return lead


def _where(each: Margin, answer: Strength) -> str:
    return f"{each.rotor}, " if len(answer.aeroplane.tables.rotor) > 1 else ""


def _times(each: Margin) -> str:
    if each.margin.value is not None and each.margin.value >= MANY:
        return "over 1000 times"
    text = quantity_text(each.margin)
    return f"{text} times" if " (" not in text else text.replace(" (", " times (", 1)


def _cell(quantity: Quantity) -> Cell:
    if quantity.value is not None and quantity.value >= MANY:
        return "over 1000"
    return quantity


def _table(margins: list[Margin], answer: Strength) -> Table:
    rows = []
    for each in margins:
        chance = "" if each.chance is None else percent_text(each.chance)
        note = f"below 1: {each.breaks}" if each.margin.value is not None and each.margin.value < ENOUGH else ""
        rows.append(Row((f"{_where(each, answer)}{each.check}", each.case, _cell(each.margin), chance), note))
    return Table(tuple(rows), ("", "worst in", "holds … times", "chance it holds"))


def _fix(each: Margin, units: ShownUnits) -> Sentence:
    fix = each.fix
    assert fix is not None
    added = number_text(abs(fix.mass), "kg", units)
    sign = "adds" if fix.mass >= 0.0 else "saves"
    margin = "over 1000" if fix.margin >= MANY else f"{fix.margin:.2g}" if fix.margin < 100.0 else f"{fix.margin:.0f}"
    return Sentence(f"• {each.check}: {fix.words}: {margin} times; {sign} {added} a rotor.")


def _gone(each: Margin, answer: Strength) -> Sentence:
    where = f"{each.rotor}: " if len(answer.aeroplane.tables.rotor) > 1 else ""
    if each.check == "bearings left":
        fix = each.fix
        cure = (
            ""
            if fix is None
            else f" {fix.words[0].upper()}{fix.words[1:]} would catch it (shaft {fix.margin:.2g} times)."
        )
        return Sentence(f"{where}With one of its two bearings gone {each.breaks}.{cure}", "doubt")
    return Sentence(f"{where}The others hold it: {each.check} {_times(each)}.")


def _loads(answer: Strength) -> Table:
    rows = []
    for name, quantity in answer.quantities.items():
        key = next((each for each in LOADS if name == each or name.startswith(f"{each}_")), None)
        if key is not None:
            end = name.removeprefix(key).lstrip("_")
            rows.append(Row((f"{end}: {LOADS[key]}" if end else LOADS[key], quantity)))
    return Table(tuple(rows))


def _caution(answer: Strength, units: ShownUnits) -> str:
    energies = [quantity.high or quantity.value or 0.0 for name, quantity in answer.quantities.items()
                if name.startswith("rim_energy")]  # fmt: skip
    speeds = [quantity.high or quantity.value or 0.0 for name, quantity in answer.quantities.items()
              if name.startswith("fastest_rotor_speed")]  # fmt: skip
    energy = max(energies, default=0.0)
    diameters = [each.discs.diameter if each.discs is not None else each.diameter
                 for each in answer.aeroplane.tables.rotor.values()]  # fmt: skip
    rim = max(speeds, default=0.0) * 0.5 * max(diameters)
    flight = rim * math.sqrt(2.0 * 1.5 / 9.80665)  # thrown level from breast height, no air drag
    distance = "an arm's length" if energy < BARE_HAND else f"at least {max(math.ceil(flight), 3)} m"
    return CAUTION.format(energy=number_text(energy, "J", units), distance=distance)
