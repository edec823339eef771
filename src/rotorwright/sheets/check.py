"""The sheet of a checked aircraft file: mass, balance point, spin, clearances, and everything filled in."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.design.clearances import Clearance
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.document import document
from rotorwright.sheets.numbers import (
    ShownUnits,
    negated,
    number_text,
    percent_text,
    quantity_text,
    units_of,
    value_text,
)
from rotorwright.studies.check import CheckResult

WORDS = {
    "mass": "ready to fly",
    "centre_of_gravity_aft": "balance point, aft of the nose point",
    "centre_of_gravity_ahead_of_rotors": "balance point, ahead of the rotor axis",
    "centre_of_gravity_right": "balance point, right of the middle",
    "centre_of_gravity_up": "balance point, above the nose point",
    "area_loading": "loading on the lifting area",
    "rotor_mass": "turning mass of the rotors",
    "rotor_inertia": "inertia of the rotors about their axes",
    "inertia_roll": "inertia in roll",
    "inertia_pitch": "inertia in pitch",
    "inertia_yaw": "inertia in yaw",
    "inertia_roll_yaw": "product of inertia, roll with yaw",
}
OTHER_WAY = {
    "centre_of_gravity_ahead_of_rotors": "balance point, behind the rotor axis",
    "centre_of_gravity_right": "balance point, left of the middle",
    "centre_of_gravity_up": "balance point, below the nose point",
}
ON_THE_AXIS = 0.001
"""Nearer to the rotor axis than this nobody can measure where it balances [m]."""
HEAVIEST_SHOWN = 12
CLEARANCES_SHOWN = 5
LEAST_BANK = math.radians(8.0)
"""Bank on the wheels below which a gust or a rut puts a tip on the ground (common practice, no source)."""


def check_document(answer: CheckResult) -> dict[str, Any]:
    """Return the answer as the JSON document (design of `sheets.document`)."""
    aeroplane = answer.aeroplane
    return document(
        quantities=answer.quantities,
        aircraft={"name": aeroplane.name, "file": aeroplane.source or None, "revision": aeroplane.revision},
        warnings=warnings_of(answer),
        clearances=[
            {"one": gap.one, "other": gap.other, "distance": gap.distance, "wanted": gap.wanted, "tight": gap.tight}
            for gap in answer.clearances
        ],
        spins=[{"rotor": name, "direction": words} for name, words in answer.spins],
        masses=[{"part": line.name, "mass": line.mass, "weighed": line.weighed} for line in answer.masses],
        filled_in=[
            {"field": note.field, "value": note.value, "why": note.why, "source": note.source}
            for note in aeroplane.filled_in
        ],
    )


def warnings_of(answer: CheckResult) -> tuple[str, ...]:
    """Return what the maker should look at."""
    units = units_of(answer.aeroplane.told)
    tight = (_tight(gap, units) for gap in _gaps(answer) if gap.tight)
    return (
        *tight,
        *_low_bank(answer, units),
        *_wheel_trouble(answer),
        *(_sentence(remark) for remark in answer.aeroplane.remarks),
    )


def check_sheet(answer: CheckResult) -> Sheet:
    """Return the sheet of a checked aircraft file."""
    aeroplane = answer.aeroplane
    units = units_of(aeroplane.told)
    lead = [Sentence(_verdict(answer, units), "lead")]
    sections = [
        Section("Mass and balance", (_quantities(answer),)),
        Section("What weighs most", tuple(_masses(answer, units))),
    ]
    if answer.spins:
        sections.append(Section("Which way the rotors turn", tuple(_spins(answer))))
    if answer.clearances:
        sections.append(Section("Clearances", tuple(_clearances(answer, units))))
    doubts = tuple(_sentence(remark) for remark in aeroplane.remarks)
    if doubts:
        sections.append(Section("Look at this", tuple(Sentence(text, "doubt") for text in doubts)))
    if aeroplane.filled_in:
        rows = tuple(Row((note.field, note.value, note.why)) for note in aeroplane.filled_in)
        sections.append(
            Section(
                "Filled in, because the file does not tell",
                (
                    Table(rows),
                    Sentence("Tell these in the file to make the bands honest: generic parts are guesses.", "quiet"),
                ),
            )
        )
    return Sheet(f"{aeroplane.name}: the file is right", tuple(lead), tuple(sections), units)


def _verdict(answer: CheckResult, units: ShownUnits) -> str:
    mass = answer.quantities["mass"]
    text = f"Ready to fly it weighs {quantity_text(mass, units)}"
    ahead = answer.quantities.get("centre_of_gravity_ahead_of_rotors")
    if ahead is not None and ahead.value is not None:
        if abs(ahead.value) < ON_THE_AXIS:
            return f"{text} and balances on the rotor axis."
        where = "ahead of" if ahead.value >= 0.0 else "behind"
        distance = value_text(ahead if ahead.value >= 0.0 else negated(ahead), units)
        return f"{text} and balances {distance} {where} the rotor axis."
    aft = answer.quantities["centre_of_gravity_aft"]
    return f"{text} and balances {number_text(aft.value, 'm', units)} aft of the nose point."


def _quantities(answer: CheckResult) -> Table:
    rows = []
    for name, words in WORDS.items():
        quantity = answer.quantities.get(name)
        if (
            quantity is None
            or quantity.value is None
            or (name == "centre_of_gravity_right" and abs(quantity.value) < 1e-6)
        ):
            continue
        if quantity.value < 0.0 and name in OTHER_WAY:
            words, quantity = OTHER_WAY[name], negated(quantity)
        rows.append(Row((words, quantity)))
    return Table(tuple(rows))


def _masses(answer: CheckResult, units: ShownUnits) -> list[Item]:
    total = sum(line.mass for line in answer.masses)
    shown, rest = answer.masses[:HEAVIEST_SHOWN], answer.masses[HEAVIEST_SHOWN:]
    rows = [
        Row(
            (
                line.name,
                number_text(line.mass, "kg", units),
                percent_text(line.mass / total),
                "stated" if line.weighed else "computed",
            )
        )
        for line in shown
    ]
    if rest:
        left = sum(line.mass for line in rest)
        rows.append(Row((f"{len(rest)} lighter parts", number_text(left, "kg", units), percent_text(left / total))))
    stated = sum(line.mass for line in answer.masses if line.weighed) / total
    return [
        Table(tuple(rows)),
        Sentence(
            f"{percent_text(stated)} of the mass is stated or weighed, the rest computed from materials.", "quiet"
        ),
    ]


def _spins(answer: CheckResult) -> list[Sentence]:
    said: dict[str, list[str]] = {}
    for name, words in answer.spins:
        said.setdefault(words, []).append(name)
    return [Sentence(f"{', '.join(names)}: {words}.") for words, names in said.items()]


def _clearances(answer: CheckResult, units: ShownUnits) -> list[Item]:
    gaps = _gaps(answer)
    items: list[Item] = [Sentence(_tight(gap, units), "caution") for gap in gaps if gap.tight]
    items += [Sentence(text, "caution") for text in _low_bank(answer, units)]
    wide = [gap for gap in gaps if not gap.tight]
    shown = wide[:CLEARANCES_SHOWN]
    shown += [gap for gap in wide[CLEARANCES_SHOWN:] if gap.other == "the ground" and gap.one.startswith("propeller")]
    if shown:
        items.append(
            Table(tuple(Row((f"{gap.one} to {gap.other}", number_text(gap.distance, "m", units))) for gap in shown))
        )
    bank = answer.quantities.get("tip_bank")
    if bank is not None and bank.value is not None and bank.value >= LEAST_BANK:
        items.append(
            Sentence(f"On its wheels it can bank {quantity_text(bank, units)} before a tip touches the ground.")
        )
    return items + _standing(answer, units)


def _low_bank(answer: CheckResult, units: ShownUnits) -> tuple[str, ...]:
    bank = answer.quantities.get("tip_bank")
    if bank is None or bank.value is None or bank.value >= LEAST_BANK:
        return ()
    return (
        f"On its wheels it can bank {quantity_text(bank, units)} only before a tip touches the ground: wheels further "
        "apart or longer legs should give 8° to 10°.",
    )


def _wheel_trouble(answer: CheckResult) -> tuple[str, ...]:
    trouble = answer.stance.trouble() if answer.stance is not None else ""
    return (_sentence(trouble),) if trouble else ()


def _standing(answer: CheckResult, units: ShownUnits) -> list[Item]:
    """Return how it stands on its wheels, in words."""
    standing = answer.stance
    if standing is None:
        return []
    items: list[Item] = [Sentence(text, "caution") for text in _wheel_trouble(answer)]
    where = "ahead of" if standing.wheels_ahead >= 0.0 else "behind"
    text = (
        f"The main wheels touch {number_text(abs(standing.wheels_ahead), 'm', units)} "
        f"({number_text(abs(standing.wheel_angle), 'rad', units)}) {where} the balance point"
    )
    if not standing.third_wheel:
        text += ", with no third wheel"
    ends = (
        (standing.first_ahead, "down", -standing.nose_down_limit),
        (standing.first_behind, "up", standing.nose_up_limit),
    )
    for what, way, angle in ends:
        if what != "nothing":
            text += f"; {number_text(angle, 'rad', units)} nose {way} of level {what} touches"
    return [*items, Sentence(f"{text}.")]


def _gaps(answer: CheckResult) -> list[Clearance]:
    """Return the tightest gap of each pair of parts."""
    pairs: dict[tuple[str, str], Clearance] = {}
    for gap in answer.clearances:
        pairs.setdefault((gap.one, gap.other), gap)
    return list(pairs.values())


def _tight(gap: Clearance, units: ShownUnits) -> str:
    distance, wanted = number_text(abs(gap.distance), "m", units), number_text(gap.wanted, "m", units)
    if gap.distance < 0.0:
        return _sentence(f"{gap.one} runs {distance} into {gap.other}")
    return _sentence(f"{gap.one} clears {gap.other} by {distance} only, at least {wanted} is wanted")


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}".rstrip(".") + "."
