"""The sheet of the power story: is it strong enough in the air, what bites first, what gets hot, how long."""

from __future__ import annotations

import math

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Cell, Item, Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text, units_of
from rotorwright.studies.balance import Curve
from rotorwright.studies.power import PowerStory
from rotorwright.studies.power_match import Match

IN_PER_CENT = ("level_throttle", "climb_throttle", "thrust_left_in_flight")
THRUST = {
    "level_speed": "level speed",
    "level_thrust": "thrust needed, level",
    "full_throttle_thrust": "thrust there, full throttle",
    "thrust_to_spare": "to spare",
    "level_throttle": "throttle, level",
    "climb_throttle": "throttle, climb asked for",
    "level_current": "current, level",
    "climb_current": "current, climb asked for",
    "full_throttle_current": "current, full throttle",
    "full_throttle_voltage": "pack voltage, full throttle",
}


def power_sheet(answer: PowerStory) -> Sheet:
    """Return the sheet of a power story."""
    units = units_of(answer.aeroplane.told)
    sections = [
        Section("Thrust in the air", tuple(_thrust(answer, units))),
        Section("What bites first at full throttle", tuple(_limits(answer.match, units))),
    ]
    return Sheet(f"{answer.aeroplane.name}: power", tuple(_lead(answer, units)), tuple(sections), units)


def _lead(answer: PowerStory, units: ShownUnits) -> list[Sentence]:
    quantities = answer.quantities
    spare = quantities["thrust_to_spare"]
    if spare.value is None:
        return [Sentence(f"No verdict on its thrust: {spare.reason}.", "lead")]
    enough = "Strong enough to fly level" if spare.value >= 0.0 else "Too weak to fly level"
    return [Sentence(f"{enough}: {quantity_text(spare, units)} of thrust to spare at level speed.", "lead")]


def cell(name: str, quantity: Quantity | None) -> Cell:
    """Return a table cell of a quantity, in per cent where that reads better; a dash where it does not exist."""
    if quantity is None or quantity.value is None:
        return "—"
    return Share(quantity) if name in IN_PER_CENT else quantity


def _thrust(answer: PowerStory, units: ShownUnits) -> list[Item]:
    rows = []
    for name, words in THRUST.items():
        quantity = answer.quantities.get(name)
        if quantity is not None:
            rows.append(Row((words, cell(name, quantity)), quantity.reason if quantity.value is None else ""))
    items: list[Item] = [Table(tuple(rows)), thrust_picture(answer.match)]
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
    said = "Where required lies below available it flies level at that speed; drag alone says nothing about lift."
    return Picture("Thrust over airspeed", "airspeed", "m/s", "thrust", "N", tuple(lines), said)


def _line(name: str, found: Match, curve: Curve) -> Line:
    there = [k for k, number in enumerate(curve.nominal) if math.isfinite(number)]
    banded = [k for k in there if math.isfinite(curve.low[k])]

    def pick(numbers: tuple[float, ...], places: list[int]) -> tuple[float, ...]:
        return tuple(numbers[k] for k in places)

    if len(banded) == len(there):
        return Line(name, pick(found.airspeed, there), pick(curve.nominal, there), pick(curve.low, there),
                    pick(curve.high, there))  # fmt: skip
    return Line(name, pick(found.airspeed, there), pick(curve.nominal, there))


def _limits(found: Match, units: ShownUnits) -> list[Item]:
    """Return which limit is used most, speed range by speed range."""
    rows: list[Row] = []
    spans: list[tuple[float, float, str, float]] = []
    for speed, limit, used in found.nominal_limits:
        what = f"{limit.what}, {limit.part}"
        if spans and spans[-1][2] == what:
            spans[-1] = (spans[-1][0], speed, what, max(spans[-1][3], used))
        else:
            spans.append((speed, speed, what, used))
    for first, last, what, used in spans:
        where = (
            number_text(first, "m/s", units) if first == last else f"{first:.0f} to {number_text(last, 'm/s', units)}"
        )
        rows.append(Row((where, what, f"{100.0 * used:.0f} % of its limit")))
    items: list[Item] = [Table(tuple(rows), ("airspeed", "used most", ""))]
    passed = sorted({f"{limit.what} of {limit.part}" for _, limit, used in found.nominal_limits if used > 1.0})
    if passed:
        items.append(Sentence(f"Passed: {'; '.join(passed)}. Do not hold full throttle.", "caution"))
    return items
