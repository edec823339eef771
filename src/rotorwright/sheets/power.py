"""The sheet of the power story: is it strong enough in the air, what bites first, what gets hot, how long, what if."""

from __future__ import annotations

import math

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Cell, Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, negated, number_text, percent_text, quantity_text, units_of
from rotorwright.sheets.power_words import ENERGY, IN_PER_CENT, PEAKS, THRUST
from rotorwright.studies.balance import Curve
from rotorwright.studies.fail_safe import HEIGHT, RAIL_ALARM
from rotorwright.studies.power import PowerStory
from rotorwright.studies.power_match import Match

SOFTENING_SHOWN = 4
FIXES_SHOWN = 3
CAUTIONS = (
    "Treat the plugged-in pack as a motor that may start at full power: model restrained, nobody in the plane of "
    "propeller or rotor, throttle lock on until the flight line. Charge watched, on what cannot burn; a puffed or "
    "crashed pack is done. Test the fail-safe with the model tied down. Local rules and your club's safety officer "
    "come first."
)


def power_sheet(answer: PowerStory, *, everything: bool = False) -> Sheet:
    """Return the sheet of a power story; ``everything`` adds the picture, all materials, alarms and classes."""
    units = units_of(answer.aeroplane.told)
    sections = [
        Section("Thrust in the air", tuple(_thrust(answer, units, everything))),
        Section("What bites first at full throttle", tuple(_limits(answer.match, units))),
        Section("Heat over the plan", tuple(_heat(answer, units, everything))),
        Section("What softens first", tuple(_softening(answer, units, None if everything else SOFTENING_SHOWN))),
        Section("Energy", tuple(_energy(answer, units))),
        Section("If the signal fails", tuple(_fail_safe(answer, units))),
    ]
    if everything:
        sections += [
            Section("Alarms for this aeroplane", tuple(_alarms(answer, units))),
            Section("Classes", tuple(_classes(answer))),
        ]
    last: list[Item] = [Sentence(CAUTIONS, "caution")]
    if not everything:
        last.append(Sentence("--all adds thrust over airspeed, all materials, alarm thresholds and classes.", "quiet"))
    sections.append(Section("Before you plug in", tuple(last)))
    return Sheet(f"{answer.aeroplane.name}: power", tuple(_lead(answer, units)), tuple(sections), units)


def _lead(answer: PowerStory, units: ShownUnits) -> list[Sentence]:
    quantities = answer.quantities
    spare = quantities["thrust_to_spare"]
    if spare.value is None:
        lead = [Sentence(f"No verdict on its thrust: {spare.reason}.", "lead")]
    elif spare.value >= 0.0:
        lead = [Sentence(f"Strong enough: {quantity_text(spare, units)} of thrust to spare at level speed.", "lead")]
    else:
        short = quantity_text(negated(spare), units)
        lead = [Sentence(f"Too weak: thrust is short by {short} at the speed that carries it.", "lead")]
    lead.append(Sentence(full_throttle_words(answer, units), "lead"))
    level = quantities["endurance"]
    if level.value is not None:
        lead.append(Sentence(f"Level flight lasts {quantity_text(level, units)} on one charge.", "lead"))
    return lead


def full_throttle_words(answer: PowerStory, units: ShownUnits) -> str:
    """Return how long full throttle may be held and why."""
    full, limit = answer.quantities["full_throttle_time"], answer.heat.full_limit
    if limit is None or full.value is None:
        doubt = "" if full.share < 0.05 else f" (in {percent_text(full.share)} of the draws something gets too hot)"
        return f"Full throttle may be held as long as the pack lasts{doubt}."
    if full.value < 5.0:
        return (
            f"No full throttle once it is warm from level flight: the {limit.words} is at its limit "
            f"({quantity_text(full, units)})."
        )
    rest = answer.quantities["rest_time"]
    after = "" if rest.value is None else f" for {quantity_text(rest, units)}, level"
    return (
        f"Full throttle for {quantity_text(full, units)}, then rest{after}: the {limit.words} is the first to suffer."
    )


def cell(name: str, quantity: Quantity | None) -> Cell:
    """Return a table cell of a quantity, in per cent where that reads better; a dash where it does not exist."""
    if quantity is None or quantity.value is None:
        return "—"
    return Share(quantity) if name in IN_PER_CENT else quantity


def _rows(answer: PowerStory, names: dict[str, str]) -> Table:
    """Return the quantities there are; of those there are not, each reason once."""
    rows = []
    missing: dict[str, list[str]] = {}
    for name, words in names.items():
        quantity = answer.quantities.get(name)
        if quantity is None:
            continue
        if quantity.value is None:
            missing.setdefault(quantity.reason, []).append(words)
        else:
            rows.append(Row((words, cell(name, quantity))))
    rows += [Row((", ".join(words), "—"), reason) for reason, words in missing.items()]
    return Table(tuple(rows))


def _thrust(answer: PowerStory, units: ShownUnits, everything: bool) -> list[Item]:
    items: list[Item] = [_rows(answer, THRUST)]
    if everything:
        items.append(thrust_picture(answer.match))
    left, static = answer.quantities["thrust_left_in_flight"], answer.quantities["static_thrust"]
    if left.value is not None:
        items.append(
            Sentence(
                f"Standing still it would pull {quantity_text(static, units)}; in level flight full throttle keeps "
                f"{percent_text(left.value)} of that: judge by the air, not by the bench.",
                "quiet",
            )
        )
    return items


def thrust_picture(found: Match) -> Picture:
    """Return thrust available and required over airspeed on the same axes."""
    curves = {curve.name: curve for curve in found.curves}
    lines = [_line("available, full throttle", found, curves["thrust_available"])]
    required = _line(f"required, level (by {found.trimmed_by})", found, curves["thrust_required"])
    if len(required.x) > 1:
        lines.append(required)
    lines.append(_line("drag, attitude held", found, curves["drag_held"]))
    return Picture("", "airspeed", "m/s", "thrust", "N", tuple(lines))


def _line(name: str, found: Match, curve: Curve) -> Line:
    there = [k for k, number in enumerate(curve.nominal) if math.isfinite(number)]
    banded = [k for k in there if math.isfinite(curve.low[k])]

    def pick(numbers: tuple[float, ...], places: list[int]) -> tuple[float, ...]:
        return tuple(numbers[k] for k in places)

    x, y = pick(found.airspeed, there), pick(curve.nominal, there)
    if len(banded) == len(there):
        return Line(name, x, y, pick(curve.low, there), pick(curve.high, there))
    return Line(name, x, y)


def _limits(found: Match, units: ShownUnits) -> list[Item]:
    """Return which limit is used most, speed range by speed range."""
    spans: list[tuple[float, float, str, float]] = []
    for speed, limit, used in found.nominal_limits:
        what = f"{limit.what}, {limit.part}"
        if spans and spans[-1][2] == what:
            spans[-1] = (spans[-1][0], speed, what, max(spans[-1][3], used))
        else:
            spans.append((speed, speed, what, used))
    rows = []
    for first, last, what, used in spans:
        end = number_text(last, "m/s", units)
        where = end if first == last else f"{number_text(first, 'm/s', units).split()[0]} to {end}"
        rows.append(Row((where, what, f"{100.0 * used:.0f} % of its limit")))
    items: list[Item] = [Table(tuple(rows))]
    passed = sorted({f"{limit.what}, {limit.part}" for _, limit, used in found.nominal_limits if used > 1.0})
    if passed:
        items.append(Sentence(f"Passed at full throttle: {'; '.join(passed)}.", "caution"))
    return items


def _heat(answer: PowerStory, units: ShownUnits, everything: bool) -> list[Item]:
    heat = answer.heat
    told = ", ".join(f"{phase.words} {number_text(phase.duration, 's', units)}" for phase in heat.warmed.phases)
    inside = {"open": "in the open", "vented": "behind inlet and outlet", "closed": "shut in"}[heat.cooling]
    if not everything:
        flown = sum(phase.duration for phase in heat.warmed.phases if phase.flown)
        told = f"{number_text(flown, 's', units)} in the air (--plan tells another, --all shows it)"
    items: list[Item] = [Sentence(f"Plan: {told}. Controller and pack {inside}.", "quiet"), _rows(answer, PEAKS)]
    if heat.margin < 0.0:
        when = answer.quantities["time_to_too_hot"]
        after = "" if when.value is None else f", after {quantity_text(when, units)} of the plan"
        items.append(
            Sentence(
                f"Hottest against its limit: the {heat.hottest.words}, {-heat.margin:.0f} K beyond{after}.", "caution"
            )
        )
    else:
        items.append(Sentence(f"Hottest against its limit: the {heat.hottest.words}, {heat.margin:.0f} K short of it."))
    if heat.warmed.weak:
        weak = "; ".join(heat.warmed.weak)
        items.append(Sentence(f"not to be flown as meant: {weak}. Full throttle stands in for it.", "doubt"))
    helpful = [fix for fix in answer.fixes if fix.removes][:FIXES_SHOWN]
    for number, fix in enumerate(helpful, 1):
        full = "as long as the pack lasts" if fix.full_time is None else number_text(fix.full_time, "s", units)
        left = number_text(float(f"{fix.reserve:.2g}"), "N", units)
        items.append(Sentence(f"{number}. {fix.words}: cool enough; full throttle {full}, reserve {left}."))
    if answer.fixes and not helpful:
        items.append(Sentence("No single change tried takes the heat away: throttle back, or choose parts (--choose)."))
    return items


def _softening(answer: PowerStory, units: ShownUnits, shown: int | None) -> list[Item]:
    rows = []
    for each in answer.softening[:shown]:
        full = each.at_full
        if full.value is None:
            until = "not in 10 min"
        elif full.value < 1.0:
            until = "warm already"
        else:
            until = quantity_text(full, units)
        rows.append(Row((each.material.name, number_text(each.material.limit, "K", units), each.peak, until)))
    heads = ("if you have it", "bears", "warmest in the plan", "full throttle until then")
    return [Table(tuple(rows), heads)]


def _energy(answer: PowerStory, units: ShownUnits) -> list[Item]:
    taken = _in_watt_hours(answer.quantities["plan_energy"])
    table = _rows(answer, ENERGY)
    items: list[Item] = [Table((Row(("taken by the plan", taken)), *table.rows))]
    best, longest = answer.quantities["best_pack_mass"], answer.quantities["best_pack_endurance"]
    gain = answer.quantities["doubled_pack_gain"]
    if best.value is not None and gain.value is not None:
        verb = "buys" if gain.value >= 0.0 else "costs"
        band = quantity_text(gain if gain.value >= 0.0 else negated(gain), units)
        items.append(
            Sentence(
                f"A pack twice as heavy {verb} {band} of level flight; the longest flight, "
                f"{quantity_text(longest, units)}, comes with packs of {quantity_text(best, units)}."
            )
        )
    return items


def _in_watt_hours(energy: Quantity) -> Cell:
    """Return an energy as a pack's label tells it."""
    if energy.value is None:
        return "—"
    hours = [None if number is None else number / 3600.0 for number in (energy.value, energy.low, energy.high)]
    return quantity_text(Quantity(hours[0], hours[1], hours[2], None, "Wh"))


def _fail_safe(answer: PowerStory, units: ShownUnits) -> list[Item]:
    found = answer.quantities
    time, distance, energy = (found[f"cut_{name}"] for name in ("glide_time", "glide_distance", "arrival_energy"))
    height = number_text(HEIGHT, "m", units)
    if time.value is None:
        cut = f"Thrusters cut: {time.reason}."
    else:
        cut = (
            f"Thrusters cut: from {height} down in {quantity_text(time, units)}, {quantity_text(distance, units)} "
            f"further on, arriving with {quantity_text(energy, units)}."
        )
    hold = found["hold_distance"]
    flies = "" if hold.value is None else f" for up to {quantity_text(hold, units)}, where the wind takes it"
    items: list[Item] = [Sentence(cut), Sentence(f"Thrusters held at the last throttle: it flies on{flies}.")]
    if answer.fail_safe.driven:
        slow, sink = found["cut_drive_slow_time"], found["cut_drive_sink"]
        lost = "" if slow.value is None else f" in {quantity_text(slow, units)} three tenths of the spin are gone"
        then = f", then {sink.reason}" if sink.value is None else f", then it sinks at {quantity_text(sink, units)}"
        items.append(Sentence(f"Rotor drive cut:{lost}{then}."))
        items.append(Sentence("Rotor drive held: the lift stays, and live rotors come down with it. The club decides."))
    elif "alarm_rotor_speed" in found:
        items.append(Sentence("No drive to cut: free rotors keep turning in the wind, on the ground too."))
    return items


def _alarms(answer: PowerStory, units: ShownUnits) -> list[Item]:
    found = answer.quantities
    rows = [
        Row(("pack, level flight: land at", _per_cell(found["alarm_cell_voltage"]))),
        Row(("pack, full throttle: least", _per_cell(found["alarm_full_voltage"]))),
        Row(("receiver rail: land below", f"{RAIL_ALARM:.1f} V", "of a 5 V rail")),
    ]
    if "alarm_rotor_speed" in found:
        rows.append(Row(("rotor, at level speed: below", cell("alarm_rotor_speed", found["alarm_rotor_speed"]))))
    limits = answer.fail_safe.temperatures
    words = ", ".join(
        f"{what} {number_text(low, 'K', units)} / {number_text(high, 'K', units)}"
        for what, (low, high) in limits.items()
    )
    rows.append(Row(("temperatures, caution / stop", words.replace(" °C /", " /"))))
    items: list[Item] = [Table(tuple(rows))]
    if answer.fail_safe.rail_in_danger:
        items.append(
            Sentence(
                "Full throttle on a nearly empty pack pulls it below the 6 V that a plain 5 V regulator needs: feed "
                "the receiver from its own pack or a better regulator.",
                "caution",
            )
        )
    return items


def _per_cell(quantity: Quantity) -> Cell:
    if quantity.value is None:
        return "—"
    return f"{quantity_text(quantity)} per cell"


def _classes(answer: PowerStory) -> list[Item]:
    rows = [Row((each.kind, each.name, each.asks)) for each in answer.classes]
    return [Table(tuple(rows)), Sentence(f"{answer.classes_note[:1].upper()}{answer.classes_note[1:]}.", "quiet")]
