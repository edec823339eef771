"""The sheet of an exploration: the answer in a sentence, the best designs beside the aeroplane as it is, cautions."""

from __future__ import annotations

import math

from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, units_of
from rotorwright.studies.explore import MAP, SOUGHT, SWEEP, Explored, Found
from rotorwright.studies.explore_designs import OWN, QUICK, SCORE

AS_KIND = {SWEEP: "step by step", MAP: "over a map", SOUGHT: "in a search"}
IN_PER_CENT = ("chance_of_flying", "level_throttle")
CAUTION = (
    "These are sums over a description, not flights. Judge a design with balance, shake and handling before you build "
    "it, and fly it first as you would any new aeroplane: empty ground, your club's safety officer asked."
)


def plain_name(name: str) -> str:
    """Return the name of a quantity in words."""
    return {SCORE: "reserve of thrust"}.get(name, name.replace("_", " "))


def told(name: str, number: float, explored: Explored, units: ShownUnits) -> str:
    """Return one number of a design as text."""
    if not math.isfinite(number):
        return "—"
    if name in IN_PER_CENT:
        return f"{100.0 * number:.0f} %"
    unit = OWN[name][0] if name in OWN else explored.kept.units[explored.kept.names.index(name)]
    return number_text(number, unit, units)


def explore_sheet(explored: Explored) -> Sheet:
    """Return the sheet of an exploration."""
    units = units_of(explored.aeroplane.told)
    lead = [Sentence(_answer(explored, units), "lead")]
    if not explored.finished:
        done = f"Interrupted after {explored.flown + explored.impossible} of the designs; what is done stands here"
        kept = f" and in {explored.kept.path} (go on with --resume)" if explored.kept.path else ""
        lead.append(Sentence(f"{done}{kept}.", "doubt"))
    sections = []
    if explored.best:
        items: list[Item] = [_beside(explored, units)]
        if explored.look == QUICK:
            items.append(
                Sentence("A first look: nobody has asked yet whether the elevator can hold the nose.", "doubt")
            )
        sections.append(Section("The best beside yours", tuple(items)))
    sections.append(Section("What was looked at", tuple(_looked_at(explored))))
    sections.append(Section("Before you build", (Sentence(CAUTION, "caution"),)))
    return Sheet(f"{explored.aeroplane.name}: explored", tuple(lead), tuple(sections), units)


def _answer(explored: Explored, units: ShownUnits) -> str:
    good, flown = int(explored.good.sum()), explored.flown
    limits = " and keep your limits" if explored.limits else ""
    if not flown:
        return "Not one of these designs is a possible aeroplane: see why below."
    if not good:
        if explored.limits:
            alone = int((explored.kept.column(SCORE) >= 0.0).sum())
            each = ", ".join(
                f"{int((limit.short(explored.kept.column(limit.name)) <= 0.0).sum())} have {limit.words}"
                for limit in explored.limits
            )
            return f"None of {flown} designs does it all: {alone} fly level with the reserve, {each}."
        best = float(max(explored.kept.column(SCORE)))
        short = number_text(-best, "N", units)
        return f"None of {flown} designs flies level with the reserve; the nearest is short by {short}."
    share = f"{good} of {flown} designs fly level with the reserve{limits}"
    if not explored.best:
        return f"{share}."
    first = explored.best[0]
    goal = explored.goals[0]
    number = told(goal.name, first.quantities[goal.name], explored, units)
    return (
        f"{share}; the {goal.words.replace('reserve score', 'reserve of thrust')} is {number}, with "
        f"{', '.join(_short(each) for each in first.told)}. It {first.word} ({100.0 * first.chance:.0f} %)."
    )


def _short(text: str) -> str:
    """Return ``rotor.left.span 520 mm`` as ``left rotor span 520 mm``."""
    path, _, value = text.partition(" ")
    parts = path.split(".")
    words = [parts[1], parts[0], *parts[2:]] if len(parts) > 2 else parts
    return " ".join([*(word.replace("_", " ") for word in words), value])


def _beside(explored: Explored, units: ShownUnits) -> Table:
    heads = ("", "yours", *(f"design {number}" for number in range(1, len(explored.best) + 1)))
    rows = []
    for field, *_ in ((name,) for name in explored.best[0].changes):
        here = explored.aeroplane.value(field)
        rows.append(
            Row((_short(f"{field} ").strip(), _echo(explored, field, here, as_told=True),
                 *(_echo(explored, field, each.changes[field]) for each in explored.best)))
        )  # fmt: skip
    for name in explored.kept.names:
        if name == SCORE or (name == "thrust_to_spare" and not _wanted(explored, name)):
            continue
        numbers = (explored.base[name], *(each.quantities[name] for each in explored.best))
        rows.append(Row((plain_name(name), *(told(name, number, explored, units) for number in numbers))))
    rows.append(Row(("it", "", *(f"{each.word}, {100.0 * each.chance:.0f} %" for each in explored.best))))
    return Table(tuple(rows), heads)


def _wanted(explored: Explored, name: str) -> bool:
    return name in {*(each.name for each in explored.limits), *(each.name for each in explored.goals)}


def _echo(explored: Explored, field: str, value: object, *, as_told: bool = False) -> str:
    if isinstance(value, float):
        return explored.aeroplane.echo(field, value)
    if as_told:
        where: object = explored.aeroplane.told
        for part in field.split("."):
            where = where.get(part) if isinstance(where, dict) else None
        if isinstance(where, str | int):
            return str(where)
    return str(value)


def _looked_at(explored: Explored) -> list[Sentence]:
    ways = []
    for each in explored.vary:
        if each.choices:
            span = " or ".join(_echo(explored, each.field, choice) for choice in each.choices)
        else:
            low, high = (explored.aeroplane.echo(each.field, end) for end in (each.low, each.high))
            span = f"{low} to {high}"
        along = f" ({', '.join(name for name, _ in each.along)} in proportion)" if each.along else ""
        ways.append(f"{each.field} from {span}{along}" if not each.choices else f"{each.field}: {span}{along}")
    kind = AS_KIND.get(explored.kind, "scattered evenly")
    close = {"quick": "a first look", "reserve": "up to the reserve", "full": "the whole envelope"}[explored.look]
    draws = f", {explored.draws} draws of what is not known" if explored.draws else ""
    found = [Sentence(f"{explored.flown} designs, {kind}, {close}{draws}: {'; '.join(ways)}.")]
    if explored.impossible:
        why = sorted(explored.kept.refused.items(), key=lambda each: -each[1])[:2]
        reasons = "; ".join(f"{count}: {text}" for text, count in why)
        found.append(Sentence(f"{explored.impossible} more cannot be built as described ({reasons}).", "doubt"))
    if explored.limits:
        found.append(Sentence(f"Limits: {', '.join(each.words for each in explored.limits)}.", "plain"))
    if len(explored.goals) > 1:
        words = " against ".join(each.words for each in explored.goals)
        found.append(
            Sentence(f"The designs above trade {words}: none of the others beats one of them in all.", "plain")
        )
    found.append(Sentence("Chances come from draws of what is not known, flown again for each design above.", "quiet"))
    return found


def head_of(found: Found) -> str:
    """Return the comment at the head of a saved design."""
    chance = f"{found.word} ({100.0 * found.chance:.0f} %)"
    return f"Explored design {found.design}: {chance}. Judge it with: rotorwright balance"
