"""The sheet and the picture of a comparison: what changed, what moved, which change did it."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import altair as alt

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.balance_words import IN_PER_CENT, SECTIONS
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.levers import signed
from rotorwright.sheets.numbers import ShownUnits, convert, percent_text, quantity_text, spelled, units_of
from rotorwright.sheets.picture import ACCENT, FAINT, INK, axis, listed, themed
from rotorwright.studies.compare import Attribution, Comparison, Moved, Part, Step
from rotorwright.studies.outcomes import CHANCE, OUTCOMES

WORDS = {name: words for section in SECTIONS.values() for name, words in section.items()}
FIRST = (
    "reserve_thrust", "mass", "weight_limit", "level_speed", "slowest_level_speed", "best_climb", "endurance",
    "lift_to_drag", "rotor_speed", "level_current", "centre_of_gravity_aft", "glide_sink",
)  # fmt: skip
MOST_CHANGES = 14
SHARED = ("reserve_thrust", CHANCE, "slowest_level_speed", "best_climb")
LONGEST = 46


def compare_sheet(answer: Comparison, *, more: bool = False) -> Sheet:
    """Return the sheet of a comparison; ``more`` tells every result that moved and every result shared out."""
    units = units_of(answer.steps[-1].new.told)
    lead: list[Sentence] = []
    sections: list[Section] = []
    for number, step in enumerate(answer.steps, 1):
        head = f"{number}. " if len(answer.steps) > 1 else ""
        lead.append(Sentence(f"{head}{_answer(step, units)}", "lead"))
        sections += _step(step, head, units, more)
    names = [step.old.source or step.old.name for step in answer.steps]
    names.append(answer.steps[-1].new.source or answer.steps[-1].new.name)
    draws = (
        f"{answer.samples} draws, the same for all, so that a band is that of the difference. "
        if answer.samples
        else ""
    )
    small = f"{draws}Seed {answer.seed}. " + ("" if more else "Every result that moved: --more")
    sections.append(Section("Small print", (Sentence(small.strip(), "quiet"),)))
    return Sheet(f"{' → '.join(names)}", tuple(lead), tuple(sections), units)


def _answer(step: Step, units: ShownUnits) -> str:
    if not step.differences:
        return "Nothing changed: both files tell the same."
    if not step.groups:
        return "Nothing changed that can move a result."
    before, after = step.chances
    text = ""
    if before is not None and after is not None:
        words = f"{step.words[0]} → {step.words[1]}" if step.words[0] != step.words[1] else f"still {step.words[0]}"
        text = f"{words[:1].upper()}{words[1:]}, chance {percent_text(before)} → {percent_text(after)}"
    moved = next((each for each in step.moved if each.name == "reserve_thrust"), None)
    if moved is not None and moved.difference.value is not None:
        text += f"{'; ' if text else ''}thrust left after the reserve {signed(moved.difference, units)}"
    found = next((each for each in step.attributions if each.outcome == "reserve_thrust"), None)
    if found is not None and len(step.groups) > 1:
        place = max(range(len(step.groups)), key=lambda index: abs(found.order_free[index].value))
        text += f"; most of it from {_group(step, place)}"
    return f"{text or 'The results hardly move'}."


def _group(step: Step, place: int) -> str:
    group = step.groups[place]
    if len(group) == 1:
        return group[0].sentence()
    parts = sorted({".".join(each.field.split(".")[:2]) for each in group})
    return f"{', '.join(parts)} ({len(group)} changes)"


def _step(step: Step, head: str, units: ShownUnits, more: bool) -> list[Section]:
    changes: list[Item] = [
        Sentence(f"• {each.sentence()}{'' if each.moves else f' ({_harmless(each.how)})'}")
        for each in (step.differences if more else step.differences[:MOST_CHANGES])
    ]
    if len(step.differences) > MOST_CHANGES and not more:
        changes.append(Sentence(f"… and {len(step.differences) - MOST_CHANGES} more: --more"))
    sections = [Section(f"{head}What changed in the file", tuple(changes))] if changes else []
    moved = {each.name: each for each in step.moved}
    names = [*(name for name in FIRST if name in moved)]
    if more:
        names += [name for name in moved if name not in names]
    if names:
        rows = tuple(_moved(moved[name], units) for name in names)
        sections.append(Section(f"{head}What moved", (Table(rows, ("", "before", "after", "difference")),)))
    if len(step.groups) > 1:
        items: list[Item] = []
        for found in step.attributions:
            if (more or found.outcome in SHARED[:2]) and abs(found.total) > 1e-9:
                items += _shared(step, found, units)
        if items:
            items.append(Sentence(_how(step), "quiet"))
            sections.append(Section(f"{head}Which change did it", tuple(items)))
    return sections


def _harmless(how: str) -> str:
    return "the same in other words" if how == "written otherwise" else "moves nothing"


def _how(step: Step) -> str:
    bands = f", bands from {step.draws} draws" if step.draws else ""
    return (
        "In file order each change comes on top of those above it; in any order is its average over all orders. Both "
        f"add up to the whole. With every Unknown at its median{bands}."
    )


def _moved(moved: Moved, units: ShownUnits) -> Row:
    share = moved.name in IN_PER_CENT
    cells = (
        WORDS.get(moved.name, moved.name.replace("_", " ")),
        quantity_text(moved.before, units, as_percent=share),
        quantity_text(moved.after, units, as_percent=share),
        signed(moved.difference, units, as_percent=share),
    )
    reason = (
        moved.after.reason if moved.after.value is None else moved.before.reason if moved.before.value is None else ""
    )
    return Row(cells, reason)


def _shared(step: Step, found: Attribution, units: ShownUnits) -> list[Item]:
    outcome = next(each for each in OUTCOMES if each.name == found.outcome)
    share = found.unit == "1"

    def text(part: Part) -> str:
        if found.outcome == CHANCE:
            return f"{round(100.0 * part.value):+d} %"
        return signed(Quantity(part.value, part.low, part.high, part.value, found.unit), units, as_percent=share)

    rows = [
        Row((_group(step, place), text(found.ordered[place]), text(found.order_free[place])))
        for place in range(len(step.groups))
    ]
    total = text(Part(found.total, None, None))
    rows.append(Row(("together", total, total)))
    return [Table(tuple(rows), (outcome.said, "in file order", "in any order"))]


def compare_picture(answer: Comparison) -> Any:
    """Return the waterfall of the last step: from before to after, one change at a time, in file order."""
    step = answer.steps[-1]
    units = units_of(step.new.told)
    found = next((each for each in step.attributions if each.outcome == "reserve_thrust"), None)
    found = found or next(iter(step.attributions), None)
    title = f"{step.old.name} → {step.new.name}"
    if found is None:
        return themed(_waterfall([("nothing to share out", 0.0, 0.0, "as it was")], "").properties(title=title))
    outcome = next(each for each in OUTCOMES if each.name == found.outcome)
    unit = "%" if found.unit == "1" else units.unit_for(found.unit)

    def shown(number: float) -> float:
        return convert(number, found.unit, unit)

    steps = [("before", shown(0.0), shown(found.before), "as it was and is")]
    there = found.before
    for place, part in enumerate(found.ordered):
        name = _group(step, place)
        name = name if len(name) <= LONGEST else f"{name[: LONGEST - 1]}…"
        sense = "gains" if part.value * outcome.better >= 0.0 else "costs"
        steps.append((f"{place + 1}. {name}", shown(there), shown(there + part.value), sense))
        there += part.value
    steps.append(("after", shown(0.0), shown(found.after), "as it was and is"))
    said = f"{outcome.said} [{spelled(unit)}]"
    return themed(_waterfall(steps, said).properties(width=430, height=alt.Step(28), title=title))


def _waterfall(steps: list[tuple[str, float, float, str]], said: str) -> Any:
    rows = [{"step": name, "low": low, "high": high, "sense": sense} for name, low, high, sense in steps]
    links = [{"step": one[0], "next": two[0], "at": one[2]} for one, two in pairwise(steps)]
    names = [name for name, *_ in steps]
    base = alt.Chart(listed(rows))
    y = alt.Y("step:N", sort=names, axis=axis("", labelLimit=420, domain=False, ticks=False))
    scale = alt.Scale(domain=["as it was and is", "gains", "costs"], range=[FAINT, INK, ACCENT])
    bars = base.mark_bar(height=15, stroke=INK, strokeWidth=0.8).encode(
        x=alt.X("low:Q", axis=axis(said, tickCount=7)),
        x2="high:Q",
        y=y,
        fill=alt.Fill("sense:N", scale=scale, title=None),
    )
    joins = (
        alt.Chart(listed(links))
        .mark_rule(color=INK, strokeWidth=0.8, strokeDash=[2, 2])
        .encode(x="at:Q", y=alt.Y("step:N", sort=names), y2="next:N")
    )
    zero = alt.Chart(listed([{"zero": 0.0}])).mark_rule(color=INK, strokeWidth=1.0).encode(x="zero:Q")
    return alt.layer(joins, bars, zero)
