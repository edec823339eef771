"""The sheet of a choice of parts: what fits, how much margin it keeps, what it does to the whole aeroplane."""

from __future__ import annotations

from rotorwright.sheets.content import Item, Line, Picture, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, quantity_text, units_of
from rotorwright.studies.choose_parts import Choice, Choices

EXPLAINED = 3


def choice_sheet(answer: Choices, *, everything: bool = False) -> Sheet:
    """Return the sheet of a choice of parts; ``everything`` adds the picture of mass against power."""
    units = units_of(answer.aeroplane.told)
    sections = [Section("What fits, thriftiest first", tuple(_list(answer, units)))]
    if answer.choices:
        sections.append(Section("Why these", tuple(_why(answer, units))))
        if everything:
            sections.append(Section("Mass against power", (_picture(answer),)))
    sections.append(Section("What falls out", tuple(_counts(answer))))
    sections.append(Section("How far to trust it", tuple(Sentence(f"• {_capital(text)}.") for text in answer.notes)))
    return Sheet(f"{answer.aeroplane.name}: choosing parts", tuple(_lead(answer, units)), tuple(sections), units)


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _lead(answer: Choices, units: ShownUnits) -> list[Sentence]:
    need = answer.need
    count = "" if need.thrusters == 1 else f" from each of {need.thrusters} thrusters"
    asked = (
        f"Needed{count}: {number_text(need.level_thrust, 'N', units)} for level flight at "
        f"{number_text(need.airspeed, 'm/s', units)}, {number_text(need.reserve_thrust, 'N', units)} with the reserve."
    )
    fits = answer.counts["fits"]
    lead = [Sentence(f"{fits} of {answer.combinations} combinations fit. {asked}", "lead")]
    if answer.choices:
        best = answer.choices[0]
        power = number_text(float(f"{best.level_power:.3g}"), "W", units)
        now = "" if answer.now is None else f" (now {number_text(float(f'{answer.now[1]:.3g}'), 'W', units)})"
        lead.append(Sentence(f"Thriftiest: {best.words}: {power} in level flight{now}.", "lead"))
    return lead


def _list(answer: Choices, units: ShownUnits) -> list[Item]:
    rows = []
    for number, each in enumerate(answer.choices, 1):
        left = "—" if each.flown is None or each.flown.value is None else quantity_text(each.flown, units)
        rows.append(
            Row(
                (
                    f"{number}. {each.words}",
                    number_text(float(f"{each.mass:.3g}"), "kg", units),
                    number_text(float(f"{each.level_power:.3g}"), "W", units),
                    left,
                )
            )
        )
    if not rows:
        return [Sentence("Nothing fits.")]
    return [Table(tuple(rows), ("", "set", "level", "left after the reserve"))]


def _why(answer: Choices, units: ShownUnits) -> list[Item]:
    items: list[Item] = []
    for number, each in enumerate(answer.choices[:EXPLAINED], 1):
        items.append(Sentence(f"{number}. {_margins(each, units)}"))
    return items


def _margins(each: Choice, units: ShownUnits) -> str:
    """Return the margins of a choice in one sentence."""
    front = "nothing that fits is both lighter and thriftier" if each.on_front else "told apart from its neighbours"
    return (
        f"{100.0 * each.thrust_margin:.0f} % more thrust than level flight with the reserve asks; at full throttle "
        f"{100.0 * each.motor_use:.0f} % of the motor's current, {100.0 * each.pack_use:.0f} % of the cells', "
        f"{100.0 * each.speed_use:.0f} % of the propeller's speed; winding "
        f"{number_text(each.level_warmth, 'K', units)} level, {number_text(each.full_warmth, 'K', units)} after half "
        f"a minute of full throttle; "
        f"{100.0 * each.level_duty:.0f} % duty level; {front}."
    )


def _picture(answer: Choices) -> Picture:
    """Return the front of mass against level power, with what was chosen."""
    front = sorted(answer.front)
    lines = [Line("lightest for its power", tuple(a for a, _ in front), tuple(b for _, b in front))]
    chosen = sorted((each.mass, each.level_power) for each in answer.choices)
    lines.append(Line("listed above", tuple(a for a, _ in chosen), tuple(b for _, b in chosen)))
    if answer.now is not None:
        lines.append(Line("as it is", (answer.now[0],), (answer.now[1],)))
    said = "Down and left is better; between the points of the front, what is saved in mass is paid in power."
    return Picture("", "mass of the sets", "kg", "power, level", "W", tuple(lines), said)


def _counts(answer: Choices) -> list[Item]:
    return [Table(tuple(Row((_capital(words), str(number))) for words, number in answer.counts.items()))]
