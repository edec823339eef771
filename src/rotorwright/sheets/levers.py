"""The sheets and pictures of levers and of what drives a band."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import altair as alt

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, convert, percent_text, quantity_text, spelled, units_of, value_text
from rotorwright.sheets.picture import FAINT, INK, Rows, axis, listed, themed
from rotorwright.studies.band_shares import BandShares
from rotorwright.studies.lever_table import LeverEffect, LeverTable, Pair
from rotorwright.studies.outcomes import CHANCE, OUTCOMES
from rotorwright.studies.verdict import word_for

SHOWN = 10
SIDE = ("weight_limit", "slowest_level_speed", "best_climb", "keep_out_margin")
HEADS = {
    "weight_limit": "weight limit", "slowest_level_speed": "lowest speed", "best_climb": "climb",
    "keep_out_margin": "keep-out",
}  # fmt: skip
IN_PER_CENT = ("keep_out_margin", CHANCE)
BAR = 26
MIND = (
    "A step is looked at on paper and by itself: whether the part stays strong enough, and whether it can be built, is "
    "yours to judge. After any change: check the balance point, and run the rotor up behind a shield first."
)


def _per_cent(name: str) -> bool:
    return name in IN_PER_CENT


def signed(quantity: Quantity, units: ShownUnits, *, as_percent: bool = False, band: bool = True) -> str:
    """Return a difference with its sign: ``+0.4 N (0.3–0.5)``."""
    shown = quantity if band else replace(quantity, low=None, high=None)
    text = quantity_text(shown, units, as_percent=as_percent)
    return f"+{text}" if quantity.value is not None and quantity.value > 0.0 and not text.startswith("0 ") else text


def levers_sheet(answer: LeverTable) -> Sheet:
    """Return the sheet of a lever table: what to change first, the ranking, what else the steps do, pairs."""
    units = units_of(answer.aeroplane.told)
    effects = (answer.ranked or answer.others)[:SHOWN]
    sections = [
        Section(f"Ranked by {_by(answer)}", (_ranking(answer, effects, units),)),
        Section("What else they do", (_side_effects(effects, units),)),
    ]
    if answer.pairs:
        sections.append(Section("Two at once", tuple(_pairs(answer.pairs, units))))
    sections.append(
        Section("Before you change it", (Sentence(MIND, "caution"), Sentence(_small_print(answer), "quiet")))
    )
    lead = (Sentence(what_first(answer, units), "lead"), Sentence(_as_it_is(answer, units)))
    return Sheet(f"{answer.aeroplane.name}: what should I change first?", lead, tuple(sections), units)


def _by(answer: LeverTable) -> str:
    said = "chance of flight, then thrust left" if answer.target == "chance" else answer.outcome.said
    return said if answer.per == "step" else f"{said}, per {answer.per}"


def what_first(answer: LeverTable, units: ShownUnits) -> str:
    """Return the answer to "What should I change first?" in one sentence."""
    best = next(iter(answer.ranked), None)
    chance = answer.base[CHANCE].value
    name = "reserve_thrust" if answer.target == "chance" else answer.outcome.name
    gain = best.effects[name] if best else None
    if best is None or gain is None or gain.value is None or gain.value * answer.outcome.better <= 0.0:
        return "No single step tried helps: it takes another layout, much less mass or much more thrust."
    what = "thrust left after the reserve" if answer.target == "chance" else answer.outcome.said
    text = f"{best.lever.label}: {signed(gain, units)} of {what}"
    if answer.target != "chance":
        text = f"{best.lever.label}: {what} {signed(gain, units, as_percent=_per_cent(answer.outcome.name))}"
    after = best.effects[CHANCE].value
    if chance is not None and after is not None:
        text += f", chance of flight {percent_text(chance)} → {percent_text(min(max(chance + after, 0.0), 1.0))}"
    if chance is not None and chance >= 0.9 and answer.target == "chance":
        return f"Nothing must change; most margin comes from {text}."
    return f"First: {text}."


def _as_it_is(answer: LeverTable, units: ShownUnits) -> str:
    base = answer.base
    chance = base[CHANCE].value
    head = f"As it is: {word_for(chance)}, {percent_text(chance)}; " if chance is not None else "As it is: "
    parts = [
        f"{outcome.said} {quantity_text(base[outcome.name], units, as_percent=_per_cent(outcome.name))}"
        for outcome in OUTCOMES
        if outcome.name in ("reserve_thrust", *SIDE) and base[outcome.name].value is not None
    ]
    return f"{head}{'; '.join(parts)}."


def _ranking(answer: LeverTable, effects: tuple[LeverEffect, ...], units: ShownUnits) -> Table:
    name = "reserve_thrust" if answer.target == "chance" else answer.outcome.name
    heads = ["step", "thrust left" if name == "reserve_thrust" else answer.outcome.said]
    chances = answer.base[CHANCE].value
    if chances is not None:
        heads.append("chance")
    heads.append("mass")
    if answer.per == "hour":
        heads.append("hours")
    rows = []
    for place, effect in enumerate(effects, 1):
        cells = [f"{place}. {effect.lever.label}", signed(effect.effects[name], units, as_percent=_per_cent(name))]
        if chances is not None:
            after = effect.effects[CHANCE].value
            cells.append(percent_text(min(max(chances + after, 0.0), 1.0)) if after is not None else "—")
        cells.append(signed(effect.effects["mass"], units, band=False))
        if answer.per == "hour":
            cells.append(f"{effect.hours:g}" if effect.hours else "—")
        rows.append(Row(tuple(cells)))
    return Table(tuple(rows), tuple(heads))


def _side_effects(effects: tuple[LeverEffect, ...], units: ShownUnits) -> Table:
    rows = []
    for place, effect in enumerate(effects, 1):
        cells = [signed(effect.effects[name], units, as_percent=_per_cent(name), band=False) for name in SIDE]
        rows.append(Row((f"{place}.", *cells)))
    return Table(tuple(rows), ("step", *(HEADS[name] for name in SIDE)))


def _pairs(pairs: tuple[Pair, ...], units: ShownUnits) -> list[Item]:
    odd = [pair for pair in pairs if not pair.adds_up]
    if not odd:
        return [Sentence(f"The best steps add up: in {len(pairs)} pairs tried, two together buy what they buy alone.")]
    items: list[Item] = []
    for pair in odd[:3]:
        beyond = pair.beyond_sum.value or 0.0
        size = value_text(replace(pair.beyond_sum, value=abs(beyond), low=None, high=None), units)
        way = f"{size} more" if beyond > 0.0 else f"{size} less"
        together = signed(pair.together, units)
        items.append(
            Sentence(f"• {pair.first.label} with {pair.second.label}: {together} together, {way} than the sum of both.")
        )
    if len(pairs) > len(odd):
        items.append(Sentence(f"{len(pairs) - len(odd)} of {len(pairs)} pairs tried add up."))
    return items


def _small_print(answer: LeverTable) -> str:
    tried = len(answer.ranked) + len(answer.others)
    if not answer.ranked:
        return f"{tried} steps tried with every Unknown at its median: no bands and no chances."
    return (
        f"{tried} steps tried, {len(answer.ranked)} of them with {answer.samples} draws, the same for all, so that a "
        f"band is that of the difference. Keep-out: how far the rotor speeds of flight stay from the first critical. "
        f"Seed {answer.seed}. Rank by something else: --for; all steps: --json."
    )


def levers_picture(answer: LeverTable) -> Any:
    """Return the ranked steps as bars with their bands."""
    units = units_of(answer.aeroplane.told)
    name = "reserve_thrust" if answer.target == "chance" else answer.outcome.name
    outcome = next(each for each in OUTCOMES if each.name == name)
    unit = "%" if _per_cent(name) else units.unit_for(outcome.unit)
    rows: Rows = []
    for place, effect in enumerate((answer.ranked or answer.others)[:SHOWN], 1):
        gain = effect.effects[name]
        if gain.value is None:
            continue
        low, high = (gain.value if number is None else number for number in (gain.low, gain.high))
        zero = convert(0.0, outcome.unit, unit)
        rows.append(
            {
                "step": f"{place}. {effect.lever.label}",
                **{
                    key: convert(number, outcome.unit, unit) - zero
                    for key, number in (("value", gain.value), ("low", low), ("high", high))
                },
            }
        )
    title = f"{outcome.said}, gained or lost [{spelled(unit)}]"
    return themed(_bars(rows, "step", title).properties(width=430, height=alt.Step(BAR), title=_headline(answer)))


def _headline(answer: LeverTable) -> str:
    return f"{answer.aeroplane.name}: what each step buys"


def _bars(rows: Rows, label: str, title: str) -> Any:
    """Return horizontal bars in the order given, each with its band as a thin line with ends."""
    base = alt.Chart(listed(rows))
    names = [row[label] for row in rows]
    y = alt.Y(f"{label}:N", sort=names, axis=axis("", labelLimit=420, domain=False, ticks=False))
    bars = base.mark_bar(height=13, color=FAINT, stroke=INK, strokeWidth=0.8).encode(
        x=alt.X("value:Q", axis=axis(title, tickCount=7)), y=y
    )
    bands = base.mark_rule(color=INK, strokeWidth=1.6).encode(x="low:Q", x2="high:Q", y=y)
    ends = [base.mark_tick(color=INK, thickness=1.6, size=9).encode(x=f"{end}:Q", y=y) for end in ("low", "high")]
    zero = alt.Chart(listed([{"zero": 0.0}])).mark_rule(color=INK, strokeWidth=1.0).encode(x="zero:Q")
    return alt.layer(bars, bands, *ends, zero)


def band_sheet(answer: BandShares) -> Sheet:
    """Return the sheet of what drives the band of a number."""
    units = units_of(answer.aeroplane.told)
    outcome = next(each for each in OUTCOMES if each.name == answer.name)
    lead = [Sentence(f"{outcome.said[:1].upper()}{outcome.said[1:]}: {quantity_text(answer.quantity, units)}.")]
    title = f"{answer.aeroplane.name}: what drives the band"
    if not answer.drivers:
        lead.append(Sentence(f"Nothing to rank: {answer.reason}.", "doubt"))
        return Sheet(title, tuple(lead), (), units)
    best = answer.drivers[0]
    assert best.unknown is not None
    share = best.share
    lead.insert(
        0,
        Sentence(
            f"Most of the band comes from {best.unknown.words}: {_share(share.first)} of the spread by itself, "
            f"{_share(share.total)} with all it does together with others. Measure that first.",
            "lead",
        ),
    )
    rows = []
    for driver in answer.drivers:
        share = driver.share
        words = driver.unknown.words if driver.unknown is not None else "all others together"
        way = "" if driver.rises is None else "rises with it" if driver.rises else "falls with it"
        alone = f"{_share(share.first)} ({_share(share.first_low)}–{_share(share.first_high)})"
        whole = f"{_share(share.total)} ({_share(share.total_low)}–{_share(share.total_high)})"
        rows.append(Row((words, alone, whole, way)))
    together = sum(max(driver.share.first, 0.0) for driver in answer.drivers)
    said = [
        Sentence(
            f"Alone they make {_share(min(together, 1.0))} of the spread; the rest is two or more of them together, so "
            "the shares with others count some of it twice."
        )
    ]
    if answer.kept < 1.0:
        said.append(
            Sentence(
                f"The number exists in {percent_text(answer.kept)} of the draws; the others are left out.", "doubt"
            )
        )
    said.append(
        Sentence(
            f"Spread means variance. {answer.runs} flights, seed {answer.seed}; the bands are those of so many draws. "
            "rotorwright explain NAME tells what is known of one of them.",
            "quiet",
        )
    )
    table = Table(tuple(rows), ("not known well", "by itself", "with others", ""))
    return Sheet(title, tuple(lead), (Section("Share of the spread", (table, *said)),), units)


def _share(number: float) -> str:
    return percent_text(min(max(number, 0.0), 1.0))


def band_picture(answer: BandShares) -> Any:
    """Return the shares of the spread as bars with their bands."""
    rows: Rows = [
        {
            "step": driver.unknown.words if driver.unknown is not None else "all others together",
            "value": 100.0 * max(driver.share.total, 0.0),
            "low": 100.0 * max(driver.share.total_low, 0.0),
            "high": 100.0 * max(driver.share.total_high, 0.0),
        }
        for driver in answer.drivers
    ]
    outcome = next(each for each in OUTCOMES if each.name == answer.name)
    title = "share of the spread, with all it does together with others [%]"
    head = f"{answer.aeroplane.name}: what drives the {outcome.said}"
    return themed(_bars(rows, "step", title).properties(width=430, height=alt.Step(BAR), title=head))
