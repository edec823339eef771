"""The sheet of take-off, throw, landing, wind limits and a judged forecast."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from rotorwright.base.quantity import Quantity
from rotorwright.physics.air.beaufort import NAMES, SIGNS
from rotorwright.sheets.content import Cell, Far, Item, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.document import document
from rotorwright.sheets.launch_words import FAR, IN_PER_CENT, LANDING, TAKE_OFF, THROW
from rotorwright.sheets.numbers import ShownUnits, long_units, number_text, quantity_text, units_of
from rotorwright.studies.forecast import GO, NO, WAIT, Judged
from rotorwright.studies.launch import Launch
from rotorwright.studies.wind_limits import Limit

ON = {"hard": "a hard runway", "short grass": "short grass", "long grass": "long grass", "sand": "sand", "snow": "snow"}
DRY = 20.0
"""Winds above this are no limit worth telling [m/s]."""
REASONS_SHOWN = 2
BRIEF_THROW = ("throw_speed", "throw_speed_needed", "bungee_stretch", "bungee_pull")
BRIEF_LANDING = ("landing_speed", "landing_sink", "gear_load", "power_off_sink", "power_off_drop_height", "roll_out",
                 "cut_lift_left", "cut_height_lost")  # fmt: skip
BRIEF_RUN = ("lift_off_speed", "take_off_distance", "lift_off_spin", "stop_distance", "strip_needed", "abort_point",
             "climb_angle", "height_at_obstacle")  # fmt: skip


def launch_document(answer: Launch, **more: Any) -> dict[str, Any]:
    """Return the answer as the JSON document."""
    aeroplane, field = answer.aeroplane, answer.field
    return document(
        quantities=answer.quantities,
        aircraft={"name": aeroplane.name, "file": aeroplane.source or None, "revision": aeroplane.revision},
        conditions={
            "samples": answer.samples, "seed": answer.seed, "surface": field.surface, "wind": field.wind,
            "gust_excess": field.gust, "slope": field.slope, "strip": field.strip,
            "obstacle": list(field.obstacle) if field.obstacle else None, "around": field.around,
            "runway": answer.runway,
        },
        warnings=(*answer.advice, *answer.cautions),
        turning=[each.as_dict() for each in answer.turners],
        wind_limits=[each.as_dict() for each in answer.limits],
        hours=[each.as_dict() for each in answer.hours],
        **more,
    )  # fmt: skip


def launch_sheet(answer: Launch, *, whole: bool = False) -> Sheet:
    """Return the sheet; ``whole`` shows every number instead of those a pilot asks first."""
    units = units_of(answer.aeroplane.told)
    far = long_units(units)
    quantities = answer.quantities
    lead = [Sentence(_first(answer, far), "lead")]
    lead += [Sentence(f"{text.rstrip('.')}.") for text in answer.advice]
    sections = []
    if answer.hours:
        sections.append(Section(_hours_title(answer), tuple(_hours(answer.hours, units))))
    if answer.run is not None:
        names = TAKE_OFF if whole else {name: TAKE_OFF[name] for name in BRIEF_RUN}
        sections.append(Section(_run_title(answer, units), (_rows(quantities, names),)))
    names = THROW if whole else {name: THROW[name] for name in BRIEF_THROW}
    sections.append(Section("By hand or bungee", (_rows(quantities, names),)))
    names = LANDING if whole else {name: LANDING[name] for name in BRIEF_LANDING}
    sections.append(Section("Landing without a flare", (_rows(quantities, names),)))
    sections.append(Section("What banks it, put over fully", tuple(_turners(answer, units))))
    sections.append(Section("Wind it stands", tuple(_limits(answer, units))))
    sections.append(Section("Before you launch it", tuple(Sentence(f"{text}.", "caution") for text in answer.cautions)))
    return Sheet(f"{answer.aeroplane.name}: launch, landing and wind", tuple(lead), tuple(sections), units)


def _first(answer: Launch, far: ShownUnits) -> str:
    """Return the answer in one sentence."""
    quantities = answer.quantities
    if answer.run is not None:
        way, speed = quantities["take_off_distance"], quantities["lift_off_speed"]
        if way.value is None or speed.value is None:
            return f"From {ON[answer.field.surface]} it does not take off."
        lifts = f"it lifts off at {quantity_text(speed, far)} after {quantity_text(way, far)}"
        return f"From {ON[answer.field.surface]} {lifts}."
    return f"It needs a throw of {quantity_text(quantities['throw_speed_needed'], far)}."


def _run_title(answer: Launch, units: ShownUnits) -> str:
    field = answer.field
    told = [field.surface]
    told.append(f"headwind {number_text(field.wind, 'm/s', units)} at 10 m" if field.wind > 0.0 else "no wind")
    if field.slope:
        told.append(f"{number_text(abs(field.slope), 'rad', units)} {'up' if field.slope > 0.0 else 'down'}hill")
    if field.strip is not None:
        told.append(f"strip {number_text(field.strip, 'm', long_units(units))}")
    return f"Take-off run: {', '.join(told)}"


def _cell(name: str, quantity: Quantity) -> Cell:
    if quantity.value is None:
        return "—"
    if name in IN_PER_CENT:
        return Share(quantity)
    return Far(quantity) if name in FAR else quantity


def _rows(quantities: dict[str, Quantity], names: dict[str, str]) -> Table:
    rows = []
    told: set[str] = set()
    for name, words in names.items():
        quantity = quantities.get(name)
        if quantity is None:
            continue
        why = quantity.reason if quantity.value is None and quantity.reason not in told else ""
        told.add(why)
        rows.append(Row((words, _cell(name, quantity)), why))
    return Table(tuple(rows))


def _turners(answer: Launch, units: ShownUnits) -> Iterable[Item]:
    if not answer.turners:
        yield Sentence("Nothing rolls or yaws it: it goes where it was pointed.", "caution")
        return
    rows = [
        Row(
            (
                each.control,
                each.bank_time if each.bank_time.value is not None else "—",
                _rate(each.roll_rate, units),
                "rolls it directly" if each.directly else "yaws it, and the faster side then lifts more",
            ),
            "at first it rolls the other way" if each.other_way else "",
        )
        for each in answer.turners
    ]
    yield Table(tuple(rows), ("control", "to 30° of bank", "roll rate", "how"))


def _rate(rate: Quantity, units: ShownUnits) -> str:
    shown = Quantity(rate.value, rate.low, rate.high, rate.nominal, "rad", rate.share, rate.support, rate.sources)
    return f"{quantity_text(shown, units)} a second"


def _limits(answer: Launch, units: ShownUnits) -> Iterable[Item]:
    groups: dict[tuple[str, str], list[Limit]] = {}
    for limit in answer.limits:
        if limit.wind.value is not None and limit.wind.value < DRY:
            groups.setdefault((limit.kind, limit.reason), []).append(limit)
    rows = []
    for (kind, reason), limits in groups.items():
        one = limits[0]
        rule = number_text(one.first_flight, "m/s", units)
        phases = ", ".join(each.phase for each in limits)
        rows.append(Row((f"{kind}: {phases}", one.wind, rule), reason))
    heads = ("", "limit", "first flights")
    yield Table(tuple(rows), heads)
    yield Sentence(
        "Headwind and mean wind as a forecast tells them, at 10 m; the others where the aeroplane is. First flights: "
        "rules of thumb, common practice without a source.",
        "quiet",
    )


def _hours_title(answer: Launch) -> str:
    words = [judged.word for judged in answer.hours]
    return f"Hour by hour: {words.count(GO)} go, {words.count(WAIT)} wait, {words.count(NO)} no"


def _hours(hours: Sequence[Judged], units: ShownUnits) -> Iterable[Item]:
    rows = []
    for judged in hours:
        hour = judged.hour
        wind = number_text(hour.wind, "m/s", units)
        gust = number_text(hour.gust, "m/s", units) if hour.gust is not None else "gusts not told"
        reasons = "; ".join(judged.reasons[:REASONS_SHOWN])
        rows.append(Row((hour.time, judged.word.upper(), f"{wind}, {gust}", NAMES[judged.force]), reasons))
    yield Table(tuple(rows), ("time", "", "wind, gusts", "Beaufort's word"))
    forces = sorted({judged.force for judged in hours})
    signs = "; ".join(f"{NAMES[force]}: {SIGNS[force]}" for force in forces)
    yield Sentence(f"What you see: {signs}.", "quiet")
