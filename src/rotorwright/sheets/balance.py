"""The sheet of a balance: the verdict first, what a maker asks first, what to change; the rest if asked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rotorwright.base.quantity import Quantity
from rotorwright.base.unknown import unknowns
from rotorwright.sheets.balance_words import (
    CONDITIONAL,
    DRAG,
    FIRST,
    FIRST_CONDITIONAL,
    IN_PER_CENT,
    LEDGER,
    SECTIONS,
    words_for,
)
from rotorwright.sheets.content import Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text, units_of
from rotorwright.studies.balance import BalanceResult, samples_for_changes
from rotorwright.studies.known_machines import KnownMachine
from rotorwright.studies.rules_of_thumb import RuleOfThumb
from rotorwright.studies.warnings import DATA, ENERGY, LAWS

FIRST_FLIGHT = (
    "An estimate is no permission: local rules and your club's safety officer come first. First flights in calm air, "
    "over long grass, nobody in front, a spotter, room to land straight ahead: losing the spin is losing the wing."
)
EXPLAIN = "rotorwright explain NAME tells what a number stands on."
MACHINE_HEADS = {"mass": "kg", "span": "m", "speed": "m/s", "spin_ratio": "1", "power_per_mass": "W/kg"}
OFTEN = 0.9
"""If fewer samples than this have a number, the sheet says why the others lack it."""


def balance_sheet(answer: BalanceResult, *, short: bool = False, more: bool = False) -> Sheet:
    """Return the sheet of a balance.

    ``short`` keeps the verdict and what to change first; ``more`` tells every number, the picture, rules of thumb and
    known machines.
    """
    units = units_of(answer.aeroplane.told)
    changes = _changes(answer, units)
    heading = "Change first (thrust left after the reserve, chance of flight)"
    sections = [Section(heading, tuple(changes))] if changes else []
    if short:
        pass
    elif more:
        sections += _everything(answer, units)
    else:
        sections += _first_numbers(answer)
    return Sheet(answer.aeroplane.name, tuple(_lead(answer, units)), tuple(sections), units)


def _first_numbers(answer: BalanceResult) -> list[Section]:
    """Return the numbers a maker asks first, what to know about them, and the cautions."""
    items = _quantities(answer.quantities, FIRST if flies(answer) else FIRST_CONDITIONAL)
    said: list[Item] = [
        Sentence(f"• {_ended(remark.text)}") for remark in answer.remarks if remark.kind not in (DATA, LAWS, ENERGY)
    ]
    energy = [remark.text for remark in answer.remarks if remark.kind == ENERGY]
    more = "More: --more"
    said.append(Sentence(" ".join([*energy, FIRST_FLIGHT]), "caution"))
    return [
        Section("In flight" if flies(answer) else "Nearest to flight", tuple(items)),
        Section("Before you fly it", (*said, Sentence(f"{_sampled(answer)} {more}", "quiet"))),
    ]


def _everything(answer: BalanceResult, units: ShownUnits) -> list[Section]:
    sections: list[Section] = []
    for heading, names in SECTIONS.items():
        items = _quantities(answer.quantities, names)
        if heading == "Speeds":
            items.append(Sentence(_ended(answer.speed_range)))
        if items:
            sections.append(Section(heading if flies(answer) else CONDITIONAL.get(heading, heading), tuple(items)))
    sections += _parts(answer.quantities, "Where the drag comes from, level", DRAG)
    sections += _parts(answer.quantities, "Where the power goes, level", LEDGER)
    picture = force_picture(answer)
    if picture is not None:
        sections.append(Section("Lift and thrust to spare over airspeed", (picture,)))
    if answer.rules:
        sections.append(Section("Rules of thumb of the hobby, beside the physics", tuple(_rules(answer.rules, units))))
    sections.append(Section("Known machines", tuple(_machines(answer.machines))))
    trust: list[Item] = [Sentence(f"• {_ended(text)}") for text in answer.warnings]
    small_print = Sentence(f"{_sampled(answer)} Seed {answer.seed}. {EXPLAIN}", "quiet")
    sections.append(Section("How far to trust it", (*trust, small_print)))
    sections.append(Section("Before you fly it", (Sentence(FIRST_FLIGHT, "caution"),)))
    sections.append(Section("Once more", (Sentence(_verdict(answer, units), "lead"),)))
    return sections


def flies(answer: BalanceResult) -> bool:
    """Return whether level flight exists in the middle of the samples; else everything about it is conditional."""
    return answer.quantities["level_speed"].value is not None


def _lead(answer: BalanceResult, units: ShownUnits) -> list[Sentence]:
    verdict = answer.verdict
    lead = [
        Sentence(_verdict(answer, units), "lead"),
        Sentence(verdict.shortfall.sentence(lambda quantity: quantity_text(quantity, units))),
    ]
    lead += [Sentence(_ended(remark.text), "doubt") for remark in answer.remarks if remark.kind == DATA]
    known = {unknown.name: unknown for unknown in unknowns()}
    unknown = known.get(verdict.dominant_unknown or "")
    if unknown is not None:
        share = "" if verdict.dominant_share is None else f", {percent_text(verdict.dominant_share)} of the spread"
        lead.append(Sentence(f"Least known: {unknown.words} ({unknown.name}{share})."))
    return lead


def _verdict(answer: BalanceResult, units: ShownUnits) -> str:
    verdict, reserve = answer.verdict, answer.aeroplane.reserve
    climb, bank = number_text(reserve.climb, "m/s", units), number_text(reserve.bank, "rad", units)
    in_hand = f"{climb} of climb or a {bank} bank in hand"
    word = f"{verdict.word[:1].upper()}{verdict.word[1:]}"
    if verdict.probability is None:
        return f"{word}, with {in_hand} (every Unknown at its median, no bands)."
    return f"{word}: {percent_text(verdict.probability)} chance of level flight with {in_hand}."


def _changes(answer: BalanceResult, units: ShownUnits) -> list[Sentence]:
    verdict = answer.verdict
    said = [Sentence(verdict.advice)] if verdict.advice else []
    for number, change in enumerate(verdict.changes, 1):
        sentence = change.sentence(lambda force: number_text(float(f"{force:.2g}"), "N", units))
        said.append(Sentence(f"{number}. {sentence}."))
    return said


def _cell(name: str, quantity: Quantity) -> Quantity | Share:
    return Share(quantity) if name in IN_PER_CENT else quantity


def _quantities(quantities: Mapping[str, Quantity], names: Mapping[str, str]) -> list[Item]:
    """Return the rows that exist, and one sentence for each reason why others do not, or not in many samples."""
    rows: list[Row] = []
    missing: dict[str, list[str]] = {}
    seldom: dict[str, list[str]] = {}
    for name, words in names.items():
        quantity = quantities.get(name)
        if quantity is None:
            continue
        words = words_for(name, words, quantity)
        if quantity.value is None:
            missing.setdefault(quantity.reason or "it does not exist", []).append(words)
            continue
        often = "" if quantity.share > 0.995 else f"{percent_text(quantity.share)} of samples"
        rows.append(Row((words, _cell(name, quantity), often)))
        if quantity.share < OFTEN and quantity.reason:
            seldom.setdefault(quantity.reason, []).append(words)
    items: list[Item] = [Table(tuple(rows))] if rows else []
    for place, (reason, lacking) in enumerate(sorted(seldom.items(), key=lambda each: -len(each[1]))):
        head = "In the other samples" if place == 0 else f"For {', '.join(lacking)}"
        items.append(Sentence(_ended(f"{head}: {reason}")))
    items += [Sentence(_ended(f"Not there: {'; '.join(words)} ({reason})")) for reason, words in missing.items()]
    return items


def _parts(quantities: Mapping[str, Quantity], heading: str, names: Mapping[str, str]) -> list[Section]:
    """Return a table of parts with their shares of the whole, the largest first."""
    there = {name: quantity for name in names if (quantity := quantities.get(name)) and quantity.value is not None}
    total = sum(quantity.value or 0.0 for quantity in there.values())
    if total <= 0.0:
        return []
    ordered = sorted(there, key=lambda name: -(there[name].value or 0.0))
    rows = [
        Row((names[name], there[name], percent_text((there[name].value or 0.0) / total)))
        for name in ordered
        if (there[name].value or 0.0) > 0.001 * total
    ]
    return [Section(heading, (Table(tuple(rows)),))]


def force_picture(answer: BalanceResult) -> Picture | None:
    """Return lift minus weight and thrust minus drag over airspeed as a picture, or None."""
    if answer.curves is None:
        return None
    speeds = answer.curves.airspeed
    wanted = {"lift_minus_weight": "lift minus weight", "thrust_minus_drag": "thrust minus drag"}
    lines = tuple(
        Line(wanted[curve.name], speeds, curve.nominal, curve.low, curve.high)
        for curve in answer.curves.curves
        if curve.name in wanted
    )
    said = (
        "Full throttle, every Unknown at its median, rotors and motors settled at each speed. Level flight needs both "
        "above zero at one airspeed."
    )
    return Picture("", "airspeed", "m/s", "force", "N", lines, said)


def _rules(rules: Iterable[RuleOfThumb], units: ShownUnits) -> list[Item]:
    rows = []
    for rule in rules:
        mark = "" if rule.applies else "not for rotors: "
        if rule.usual_range is None:
            shown = ShownUnits({rule.unit: rule.unit if rule.unit != "1" else ""})
            usual = rule.usual
        else:
            shown = units
            low, high = (number_text(number, rule.unit, units) for number in rule.usual_range)
            usual = f"{low.split()[0]}–{high} {rule.usual}"
        rows.append(Row((rule.name, number_text(rule.value, rule.unit, shown), usual), note=f"{mark}{rule.note}"))
    return [Table(tuple(rows), ("rule", "here", "usual"))]


def _machines(machines: Iterable[KnownMachine]) -> list[Item]:
    rows = []
    for machine in machines:
        figures = tuple(_figure(machine.figures.get(name), unit) for name, unit in MACHINE_HEADS.items())
        note = "; ".join(part for part in (machine.flew and f"flew: {machine.flew}", machine.lesson) if part)
        rows.append(Row((machine.name, *figures), note=note))
    heads = ("", "mass", "span", "speed", "spin ratio", "full power")
    return [Table(tuple(rows), heads), Sentence("Blanks were never published.", "quiet")]


def _figure(number: float | None, unit: str) -> str:
    if number is None:
        return ""
    return f"{number:.3g}" + (f" {unit}" if unit != "1" else "")


def _sampled(answer: BalanceResult) -> str:
    """Return how many samples stand behind the numbers."""
    if not answer.samples:
        return "Every Unknown at its median: no bands."
    few = samples_for_changes(answer.samples)
    changes = f", changes on {few}" if few < answer.samples else ""
    return f"{answer.samples} samples of the Unknowns{changes}; middle and 80 % band."


def _ended(text: str) -> str:
    return text.rstrip(". ") + "."
