"""The sheet of blown rotors: what a propeller's slipstream does to them, here and with the propeller elsewhere."""

from __future__ import annotations

from typing import Any

from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.sheets.content import Cell, Item, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.document import document
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text, units_of
from rotorwright.studies.blown import Blown

BLOWN = {
    "slipstream_pressure": "dynamic pressure inside, times",
    "wash_share": "share of the rotors inside",
    "rotor_speed": "rotor speed",
    "rotor_speed_gained": "of it from the wash",
    "lift_gained": "lift gained by the rotors",
    "rotor_drag_added": "drag added on the rotors",
    "thrust_lost": "thrust lost, bodies and tail too",
    "wake_deficit": "airspeed missing at the propeller",
    "thrust_in_wake": "thrust gained by that",
}
IN_PER_CENT = ("wash_share", "wake_deficit")
NEXT_TO_NOTHING = 0.05
"""Forces below this are told as none [N]: the method is not that good."""


def blown_sheet(wash: Blown, aeroplane: Aeroplane) -> Sheet:
    """Return the sheet of a slipstream: the answer in a sentence, places side by side, a map, what it rests on."""
    units = units_of(aeroplane.told)
    here = wash.places[0].quantities
    lead = (
        f"The wash of {wash.thruster} adds {quantity_text(here['lift_gained'], units)} of rotor lift and costs "
        f"{quantity_text(here['thrust_lost'], units)} of thrust."
    )
    best = max(wash.places, key=lambda place: _net(place.quantities))
    advice = (
        "No other place tried gives more lift for the thrust it costs."
        if best is wash.places[0] or _net(best.quantities) < _net(here) + 2.0 * NEXT_TO_NOTHING
        else f"With the propeller {best.name} {'of ' if best.name == 'ahead' else ''}the rotors it does better: lift "
        f"gained less thrust lost is {_plain(_net(best.quantities))} N there and {_plain(_net(here))} N here."
    )
    sections = (
        Section("Places side by side", tuple(_places(wash, units))),
        Section("Lift gained / thrust lost [N], nominal, over the place of the propeller", (_map(wash, units),)),
        Section("How far to trust it", tuple(Sentence(f"• {note[:1].upper()}{note[1:]}.") for note in wash.notes)),
    )
    return Sheet(f"{aeroplane.name}: rotors in the wash", (Sentence(lead, "lead"), Sentence(advice)), sections, units)


def blown_document(wash: Blown, aeroplane: Aeroplane, samples: int, seed: int) -> dict[str, Any]:
    """Return the same as a JSON document; its quantities are those of the thruster where the file puts it."""
    return document(
        quantities=wash.places[0].quantities,
        aircraft={"name": aeroplane.name, "file": aeroplane.source, "revision": aeroplane.revision},
        conditions={"throttle": wash.throttle, "samples": samples, "seed": seed},
        warnings=wash.notes,
        blown=wash.as_dict(),
    )


def _net(quantities: dict[str, Quantity]) -> float:
    return (quantities["lift_gained"].nominal or 0.0) - (quantities["thrust_lost"].nominal or 0.0)


def _cell(name: str, quantity: Quantity | None) -> Cell:
    if quantity is None or quantity.value is None:
        return "—"
    edges = (quantity.value, quantity.low or 0.0, quantity.high or 0.0)
    if quantity.unit == "N" and max(abs(edge) for edge in edges) < NEXT_TO_NOTHING:
        return "none"
    return Share(quantity) if name in IN_PER_CENT else quantity


def _places(wash: Blown, units: ShownUnits) -> list[Item]:
    throttle = percent_text(wash.throttle) if wash.throttle < 0.995 else "full"
    items: list[Item] = [
        Sentence(
            f"Differences to the same flight without wash, at {throttle} throttle and "
            f"{quantity_text(wash.airspeed, units)}; the thruster is put at other places, the balance point stays."
        )
    ]
    heads = ("", *(place.name for place in wash.places))
    rows = [
        Row(("ahead of the axis", *(number_text(place.ahead, "m", units) for place in wash.places))),
        Row(("above the axis", *(number_text(place.above, "m", units) for place in wash.places))),
    ]
    for name, words in BLOWN.items():
        cells = [_cell(name, place.quantities.get(name)) for place in wash.places]
        if any(cell != "—" for cell in cells):
            rows.append(Row((words, *cells)))
    items.append(Table(tuple(rows), heads))
    return items


def _map(wash: Blown, units: ShownUnits) -> Table:
    heads = ("above the axis", *(_ahead(ahead, units) for ahead in wash.map_ahead))
    rows = []
    for above, lift, lost in zip(wash.map_above, wash.map_lift, wash.map_thrust_lost, strict=True):
        pairs = (f"{_plain(gain)} / {_plain(cost)}" for gain, cost in zip(lift, lost, strict=True))
        rows.append(Row((number_text(above, "m", units), *pairs)))
    return Table(tuple(rows), heads)


def _ahead(ahead: float, units: ShownUnits) -> str:
    return f"{number_text(abs(ahead), 'm', units)} {'ahead' if ahead > 0.0 else 'behind'}"


def _plain(number: float) -> str:
    text = f"{number:.1f}"
    return "0" if text in ("0.0", "-0.0") else text
