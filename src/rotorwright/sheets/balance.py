"""The sheet of a balance: the verdict first, then what to change, speeds, margins, power, rotors, doubts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from rotorwright.base.quantity import Quantity
from rotorwright.base.unknown import unknowns
from rotorwright.sheets.balance_words import DRAG, IN_PER_CENT, LEDGER, SECTIONS
from rotorwright.sheets.content import Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, units_of
from rotorwright.studies.balance import BalanceResult
from rotorwright.studies.known_machines import KnownMachine
from rotorwright.studies.rules_of_thumb import RuleOfThumb
from rotorwright.studies.verdict import Verdict

FIRST_FLIGHT = (
    "An estimate is not a permission: local rules and your club's safety officer come first. First flights in calm "
    "air, over long grass, nobody in front, a spotter, and room to land straight ahead: losing the spin is losing the "
    "wing."
)
MACHINE_HEADS = {"mass": "kg", "span": "m", "speed": "m/s", "spin_ratio": "1", "power_per_mass": "W/kg"}


def balance_sheet(answer: BalanceResult, *, short: bool = False) -> Sheet:
    """Return the sheet of a balance; ``short`` keeps the verdict and what to change first."""
    units = units_of(answer.aeroplane.told)
    lead = _lead(answer, units)
    sections = [Section("Change first", tuple(_changes(answer.verdict)))] if answer.verdict.changes else []
    if short:
        return Sheet(answer.aeroplane.name, tuple(lead), tuple(sections), units)
    for heading, names in SECTIONS.items():
        items = _quantities(answer.quantities, names)
        if heading == "Speeds":
            items.append(Sentence(_ended(answer.speed_range)))
        if items:
            sections.append(Section(heading, tuple(items)))
    sections += _parts(answer.quantities, "Where the drag comes from, level", DRAG)
    sections += _parts(answer.quantities, "Where the power goes, level", LEDGER)
    picture = force_picture(answer)
    if picture is not None:
        sections.append(Section("Lift and thrust to spare over airspeed", (picture,)))
    if answer.rules:
        sections.append(Section("Rules of thumb of the hobby, beside the physics", tuple(_rules(answer.rules))))
    sections.append(Section("Known machines", tuple(_machines(answer.machines))))
    sections.append(Section("How far to trust it", tuple(_trust(answer))))
    sections.append(Section("Before you fly it", (Sentence(FIRST_FLIGHT, "caution"),)))
    sections.append(Section("Once more", (Sentence(_verdict(answer, units), "lead"),)))
    return Sheet(answer.aeroplane.name, tuple(lead), tuple(sections), units)


def _lead(answer: BalanceResult, units: ShownUnits) -> list[Sentence]:
    verdict = answer.verdict
    lead = [Sentence(_verdict(answer, units), "lead"), Sentence(verdict.shortage)]
    known = {unknown.name: unknown for unknown in unknowns()}
    unknown = known.get(verdict.dominant_unknown or "")
    if unknown is not None:
        share = "" if verdict.dominant_share is None else f", {percent_text(verdict.dominant_share)} of the spread"
        lead.append(Sentence(f"Least known: {unknown.scales} ({unknown.name}{share})."))
    return lead


def _verdict(answer: BalanceResult, units: ShownUnits) -> str:
    verdict, reserve = answer.verdict, answer.aeroplane.reserve
    climb, bank = number_text(reserve.climb, "m/s", units), number_text(reserve.bank, "rad", units)
    in_hand = f"{climb} of climb or a {bank} bank in hand"
    word = f"{verdict.word[:1].upper()}{verdict.word[1:]}"
    if verdict.probability is None:
        return f"{word}, with {in_hand} (every Unknown at its median, no bands)."
    return f"{word}: {percent_text(verdict.probability)} chance of level flight with {in_hand}."


def _changes(verdict: Verdict) -> list[Sentence]:
    return [Sentence(f"{number}. {change.sentence}.") for number, change in enumerate(verdict.changes, 1)]


def _cell(name: str, quantity: Quantity) -> Quantity | Share:
    return Share(quantity) if name in IN_PER_CENT else quantity


def _quantities(quantities: Mapping[str, Quantity], names: Mapping[str, str]) -> list[Item]:
    """Return the rows that exist, and one sentence for each reason why others do not."""
    rows: list[Row] = []
    missing: dict[str, list[str]] = {}
    for name, words in names.items():
        quantity = quantities.get(name)
        if quantity is None:
            continue
        if quantity.value is None:
            missing.setdefault(quantity.reason or "it does not exist", []).append(words)
        else:
            often = "" if quantity.share > 0.995 else f"{percent_text(quantity.share)} of samples"
            rows.append(Row((words, _cell(name, quantity), often)))
    items: list[Item] = [Table(tuple(rows))] if rows else []
    items += [Sentence(f"Not there: {'; '.join(words)} ({reason}).") for reason, words in missing.items()]
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
    said = "Full throttle, rotors and motors settled at each speed. Level flight needs both above zero at one airspeed."
    return Picture("", "airspeed", "m/s", "force", "N", lines, said)


def _rules(rules: Iterable[RuleOfThumb]) -> list[Item]:
    rows = []
    for rule in rules:
        mark = "" if rule.applies else "not for rotors: "
        here = number_text(rule.value, rule.unit, ShownUnits({rule.unit: rule.unit if rule.unit != "1" else ""}))
        rows.append(Row((rule.name, here, rule.usual), note=f"{mark}{rule.note}"))
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


def _trust(answer: BalanceResult) -> list[Item]:
    items: list[Item] = [Sentence(f"• {_ended(text)}") for text in answer.warnings]
    if answer.samples:
        items.append(
            Sentence(
                f"Bands hold the middle 80 % of {answer.samples} samples of everything that is not well known (seed "
                f"{answer.seed}). rotorwright explain NAME tells what a number stands on.",
                "quiet",
            )
        )
    return items


def _ended(text: str) -> str:
    return text.rstrip(". ") + "."
