"""The sheet of a stopped thruster: thrust left, climb, yaw, and what holds it."""

from __future__ import annotations

from collections.abc import Sequence

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.sheets.content import Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import quantity_text, units_of
from rotorwright.studies.thruster_stopped import Stopped

WORDS = {
    "stopped_thrust": "thrust left, full throttle",
    "stopped_thrust_share": "share of it",
    "stopped_climb": "climb, level speed kept",
    "stopped_yaw": "yawing moment, nose right +",
    "stopped_rudder_share": "share of full rudder",
    "stopped_sideslip": "or sideslip that balances it",
}
IN_PER_CENT = ("stopped_thrust_share", "stopped_rudder_share")
CAUTION = (
    "Practise it high, throttle closed first: the running thruster turns the aeroplane towards the dead one. Your "
    "club's safety officer and local rules come first."
)


def stopped_sheet(aeroplane: Aeroplane, stopped: Sequence[Stopped]) -> Sheet:
    """Return the sheet of every thruster stopped in turn."""
    units = units_of(aeroplane.told)
    lead = []
    for each in stopped:
        climb = each.quantities["stopped_climb"]
        sinks = climb.high is not None and climb.high < 0.0
        word = (
            "it sinks" if sinks else "it still climbs" if (climb.low or 0.0) > 0.0 else "it may hold its height or not"
        )
        lead.append(Sentence(f"{each.thruster} stopped: {word}, {quantity_text(climb, units)}.", "lead"))
    rows = []
    for name, words in WORDS.items():
        cells = [each.quantities[name] for each in stopped]
        shown = ["—" if cell.value is None else Share(cell) if name in IN_PER_CENT else cell for cell in cells]
        note = next((cell.reason for cell in cells if cell.value is None), "")
        rows.append(Row((words, *shown), note))
    heads = ("", *(each.thruster for each in stopped))
    doubts = [
        Sentence("No bank and no sideslip are flown here: the drag of holding it straight comes on top.", "doubt"),
        Sentence("A stopped propeller coasts by its own law, known to half or twice.", "doubt"),
    ]
    if any((each.quantities["stopped_rudder_share"].high or 0.0) > 0.7 for each in stopped):
        text = "The rudder is short: bring the thrusters nearer to the middle, toe them out, or throttle back at once."
        doubts.insert(0, Sentence(text, "doubt"))
    sections = (
        Section("One thruster stopped, the others full", (Table(tuple(rows), heads),)),
        Section("How far to trust it", tuple(doubts)),
        Section("Before you try it", (Sentence(CAUTION, "caution"),)),
    )
    return Sheet(f"{aeroplane.name}: one thruster stopped", tuple(lead), sections, units)
