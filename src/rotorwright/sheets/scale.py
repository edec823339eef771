"""The sheet of an aeroplane at another size: what really happens, beside what the closed form says."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import altair as alt

from rotorwright.base.quantity import Quantity
from rotorwright.design.grown import grown_text
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text, units_of
from rotorwright.sheets.picture import ACCENT, DASHES, FAINT, INK, SHADES, WIDTH, Rows, axis, listed, themed
from rotorwright.studies.scale import Scale, Scaled
from rotorwright.studies.verdict import word_for

BUILT = ("area", "mass", "loading", "first_critical", "weakest_margin")
FLOWN = ("airspeed", "lift_at_old_speed", "reynolds_number", "rotor_speed", "rim_speed", "critical_share", "power",
         "kinetic_energy", "spin_energy", "spin_momentum")  # fmt: skip
FELT = ("spans_per_second", "sight_rate", "phugoid_period", "roll_time_constant", "dutch_roll_period")
HEADS = ("", "now", "then", "times", "power", "ideal")
RULES = {
    "same": "sheets as thick as they are, tubes wider with the same wall",
    "grown": "sheets and tubes thicker with size",
    "stock": "sheets as thick as they are, each tube the next in the table that is stiff enough",
}
MOTORS = {
    "grown": "propellers, motors and packs follow size",
    "same": "the same propellers, motors and packs, gears changed to suit",
    "chosen": "motor, propeller and cells chosen anew",
}
SPEEDS = {
    "same": "rotors and propellers made for the same airspeed",
    "froude": "rotors and propellers made for airspeed that grows with the root of size",
}
POWERS = "power: then/now = size to this power, as flown. ideal: the same in closed form, everything grown alike."
ALIKE = (
    "Level flight held the same way at both sizes: nose in the same place, rotors at full command. What the pilot will "
    "really choose, and the whole verdict: rotorwright balance."
)
CAUTION = (
    "A larger model is no larger toy: energy grows much faster than length, so do stand-off and what breaks. "
    "Spin-test each new size behind cover, restrained; your local rules and the club's safety officer come first."
)


def scale_sheet(answer: Scale, saved: str = "") -> Sheet:
    """Return the sheet; ``saved`` is the file the other size was written to."""
    units = units_of(answer.aeroplane.told)
    size = f"{answer.size:.3g}"
    before, after = answer.before.probability, answer.after.probability
    word = word_for(after)
    lead = [
        Sentence(
            f"{size} times the size: {word}, {percent_text(after)} (now {word_for(before)}, {percent_text(before)}).",
            "lead",
        ),
        Sentence(story(answer, units)),
        Sentence(answer.after.shortage),
        Sentence(f"Built so: {RULES[answer.rules.build]}; {MOTORS[answer.rules.power]}; {SPEEDS[answer.rules.suits]}.",
                 "quiet"),
    ]  # fmt: skip
    if answer.chosen:
        lead.append(Sentence(f"Chosen: {answer.chosen}."))
    sections = [
        Section("What is built", (_table(answer, BUILT, units),)),
        Section("How it flies", (_table(answer, FLOWN, units), Sentence(POWERS, "quiet"), Sentence(ALIKE, "quiet"))),
        Section("What you see and feel", (_table(answer, FELT, units),)),
        Section("Easily mistaken", tuple(Sentence(text) for text in mistakes(answer))),
        Section("Where it ends", tuple(_ends(answer))),
    ]
    last: list[Item] = [Sentence(CAUTION, "caution")]
    if saved:
        last.append(Sentence(f"Written to {saved}: rotorwright check {saved}, then rotorwright balance {saved}."))
    sections.append(Section("Before you build it", tuple(last)))
    title = f"{answer.aeroplane.name}, {size} times the size"
    remarks = tuple(Sentence(f"{text[:1].upper()}{text[1:]}.", "doubt") for text in answer.remarks)
    return Sheet(title, (*lead, *remarks), tuple(sections), units)


def story(answer: Scale, units: ShownUnits) -> str:
    """Return what happens in one paragraph."""
    area, mass, speed, power = (answer.row(name) for name in ("area", "mass", "airspeed", "power"))
    parts = [f"Area goes up {_ratio(area)} times and mass {_ratio(mass)} times"]
    if answer.size < 1.0:
        parts = [f"Area falls to {_ratio(area)} and mass to {_ratio(mass)} of what they are"]
    if speed.after.nominal is not None:
        parts.append(
            f"so it flies level at {number_text(speed.after.nominal, 'm/s', units)} "
            f"instead of {number_text(speed.before.nominal, 'm/s', units)} and takes "
            f"{number_text(power.after.nominal, 'W', units)} at the shafts instead of "
            f"{number_text(power.before.nominal, 'W', units)}"
        )
    else:
        parts.append("and no speed was found at which it balances")
    text = ", ".join(parts)
    share = next((row for row in answer.rows if row.name == "critical_share"), None)
    if share is not None and share.after.nominal is not None:
        per_cent = f"{100.0 * share.after.nominal:.0f} %", f"{100.0 * (share.before.nominal or 0.0):.0f} %"
        text += f". The rotors turn at {per_cent[0]} of their first shake (now {per_cent[1]})"
    weak = next((row.after.nominal for row in answer.rows if row.name == "weakest_margin"), None)
    if weak is not None and weak < 1.0:
        text += (
            f". Built so, the rotors do not hold: their weakest part bears {weak:.2g} of its worst load; it needs "
            "thicker sheets or stronger bearings first (rotorwright shake --strength)"
        )
    return text + "."


def _ratio(row: Scaled) -> str:
    return "—" if row.ratio.nominal is None else f"{row.ratio.nominal:.2g}"


def _table(answer: Scale, names: tuple[str, ...], units: ShownUnits) -> Table:
    rows = []
    for row in answer.rows:
        if row.name not in names:
            continue
        told = row.ratio
        ratio = "—" if told.value is None else f"{told.value:.2f}"
        if told.low is not None and told.high is not None and told.high - told.low > 0.005 * abs(told.value or 1.0):
            ratio += f" ({told.low:.2f}–{told.high:.2f})"
        before, after = (_plain(row.name, quantity, units) for quantity in (row.before, row.after))
        exponent = "—" if row.exponent is None else f"{row.exponent:.2f}"
        rows.append(Row((row.words, before, after, ratio, exponent, _power(row.expected))))
    return Table(tuple(rows), HEADS)


def _plain(name: str, quantity: Quantity, units: ShownUnits) -> str:
    if name == "sight_rate" and quantity.value is not None:
        return f"{math.degrees(quantity.value):.2g} °/s"
    return quantity_text(replace(quantity, low=None, high=None), units)


def _power(number: float | None) -> str:
    return "" if number is None else f"{number:g}"


def mistakes(answer: Scale) -> list[str]:
    """Return the common mistakes of scaling, with this aeroplane's numbers."""
    size = answer.size
    said = [
        f"{size:.3g} times the length is {size**2:.3g} times the area, and {size**2:.3g} times the lift at the same "
        f"airspeed and spin ratio. Twice the area is only {math.sqrt(2.0):.2f} times the length, and only twice the "
        "lift: say which of the two you mean."
    ]
    mass = answer.row("mass")
    if mass.exponent is not None:
        said.append(
            f"Mass went with the power {mass.exponent:.2f} of size, not 1 and not 2: what is asked of lift grows "
            + ("faster than the area that gives it." if mass.exponent > 2.02 else "about as the area that gives it.")
        )
    sight = answer.row("spans_per_second")
    if sight.ratio.nominal is not None:
        slow = size > 1.0
        said.append(
            f"Its right speed looks {'slow' if slow else 'fast'}: {_number(sight.after.nominal)} spans in a second, "
            f"now {_number(sight.before.nominal)}. "
            + ("Large models get flown too fast by eye." if slow else "Small models get flown too slow by eye.")
        )
    share = next((row for row in answer.rows if row.name == "critical_share"), None)
    if share is not None and share.exponent is not None:
        said.append(
            "The first shake of a rotor falls as 1/size. If the rotor speed falls less (at airspeed that grows with "
            "the root of size, it does), a larger copy works nearer to its shake."
        )
    return said


def _number(value: float | None) -> str:
    return "—" if value is None else f"{value:.2g}"


def _ends(answer: Scale) -> list[Item]:
    items: list[Item] = []
    for larger, word in ((False, "smaller"), (True, "larger")):
        rows = [Row((word if k == 0 else "", end.words)) for k, end in
                enumerate(end for end in answer.ends if end.larger is larger)]  # fmt: skip
        if rows:
            items.append(Table(tuple(rows)))
    before, after = answer.classes
    if before is not None and after is not None:
        moved = f'stays in the mass class "{after.name}"' if before == after else (
            f'goes from the mass class "{before.name}" to "{after.name}"'
        )  # fmt: skip
        items.append(Sentence(f"It {moved}: {after.asks} (check your local rules).", "quiet"))
    return items or [Sentence("Not looked for.")]


def scaled_text(answer: Scale, text: str, place: str) -> str:
    """Return the aircraft file of the other size.

    Parameters
    ----------
    answer : Scale
    text, place : str
        The present file and what it is called.
    """
    named = {**answer.changes, "name": f"{answer.aeroplane.name} x{answer.size:.3g}"[:120]}
    said = f"When it was written: {answer.word}, {percent_text(answer.after.probability)}."
    return grown_text(text, place, named, answer.size, answer.rules, said)


def scale_picture(answer: Scale) -> Any:
    """Return the picture of all sizes: chance of flying above, what grows how fast below."""
    rungs = answer.ladder
    x = alt.X("size:Q", scale=alt.Scale(type="log", domain=[rungs[0].size, rungs[-1].size], nice=False),
              axis=axis("", values=[0.25, 0.35, 0.5, 0.7, 1, 1.4, 2, 2.8, 4], format="~g"))  # fmt: skip
    chance: Rows = [{"size": rung.size, "chance": 100.0 * rung.probability} for rung in rungs]
    line = alt.Chart(listed(chance)).mark_line(strokeWidth=2.4, stroke=INK, point=alt.OverlayMarkDef(fill=INK))
    marks: Rows = [{"size": 1.0, "word": "now"}, {"size": answer.size, "word": f"{answer.size:.2g} times"}]
    upright = alt.Chart(listed(marks)).mark_rule(stroke=ACCENT, strokeWidth=1.2).encode(x=x)
    words = alt.Chart(listed(marks)).mark_text(align="left", dx=5, fill=ACCENT, fontSize=13, y=12)
    even = alt.Chart(listed([{"y": 50.0}])).mark_rule(stroke=FAINT, strokeDash=[2, 3]).encode(y="y:Q")
    y = alt.Y("chance:Q", axis=axis("chance of flying with reserve [%]"), scale=alt.Scale(domain=[0, 100]))
    top = alt.layer(even, upright, line.encode(x=x, y=y), words.encode(x=x, text="word:N"))
    ones = next((rung for rung in rungs if abs(rung.size - 1.0) < 1e-6), rungs[0])
    names = {"mass": "mass", "airspeed": "level speed", "power": "power of level flight",
             "critical_share": "rotor speed over first shake"}  # fmt: skip
    grows: Rows = []
    for field, name in names.items():
        here = getattr(ones, field)
        for rung in rungs:
            number = getattr(rung, field)
            if here and number:
                grows.append({"size": rung.size, "times": number / here, "name": name})
    told = [name for name in names.values() if any(row["name"] == name for row in grows)]
    grows += [{"size": size, "times": size**2, "name": "area"} for size in (rungs[0].size, rungs[-1].size)]
    told.append("area")
    x_below = alt.X("size:Q", scale=alt.Scale(type="log", domain=[rungs[0].size, rungs[-1].size], nice=False),
                    axis=axis("size over the present one, length by length", values=[0.25, 0.35, 0.5, 0.7, 1, 1.4, 2,
                                                                                     2.8, 4], format="~g"))  # fmt: skip
    below = alt.Chart(listed(grows)).mark_line(strokeWidth=2.4).encode(
        x=x_below,
        y=alt.Y("times:Q", axis=axis("times what it is now", format="~g", tickCount=6), scale=alt.Scale(type="log")),
        color=alt.Color("name:N", scale=alt.Scale(domain=told, range=list(SHADES[: len(told)])), title=None),
        strokeDash=alt.StrokeDash("name:N", scale=alt.Scale(domain=told, range=list(DASHES[: len(told)])), title=None),
    )  # fmt: skip
    return themed(
        alt.vconcat(
            top.properties(width=WIDTH, height=170, title=f"{answer.aeroplane.name} at other sizes"),
            below.properties(width=WIDTH, height=230),
        )
    )
