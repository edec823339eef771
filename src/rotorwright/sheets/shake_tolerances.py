"""The sheet of tolerances: what the grade asks of the builder, what hand building reaches, how straight is enough."""

from __future__ import annotations

from rotorwright.physics.structure.balance_grade import grade_word
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import percent_text, units_of
from rotorwright.studies.tolerances import TARGETS, Reached, RotorTolerances, Tolerances

ASKED = {
    "balancing_speed": "at this spin",
    "permissible_unbalance": "unbalance that may remain, whole rotor",
    "permissible_unbalance_per_plane": "on each end plane",
    "permissible_mass_at_rim": "that is, on the rim of an end disc",
    "permissible_eccentricity": "centre of mass off the axis at most",
    "permissible_bow": "bow of the tube that uses up half of it",
    "permissible_run_out": "seen on a dial as a run-out of",
    "trial_unbalance": "a good trial mass for balancing",
    "unseen_eccentricity": "what its own bearings hide in a static balance",
}
SOURCE_WORDS = {
    "centring": "skin or vanes off the axis",
    "discs": "disc bores off centre",
    "skin": "thick and thin places, or uneven vanes",
    "bow": "bow of the tube",
    "seam": "lap seam",
}
STATE_WORDS = {"as built": "as built", "static": "after a static balance", "two planes": "after two planes"}


def tolerances_sheet(answer: Tolerances) -> Sheet:
    """Return the sheet of tolerances."""
    units = units_of(answer.aeroplane.told)
    sections: list[Section] = []
    several = len(answer.rotors) > 1
    for rotor in answer.rotors:
        end = f", {rotor.rotor}" if several else ""
        sections.append(Section(f"What {grade_word(TARGETS['flight'])} asks{end}", (_asked(rotor),)))
        sections.append(Section(f"Grade reached by hand{end}", (_reached(rotor),)))
        sections.append(Section(f"Where the unbalance comes from{end}", tuple(_shares(rotor))))
        sections.append(Section(f"How straight is straight enough{end}", (_straight(rotor),)))
    sections.append(Section("How far to trust it", tuple(Sentence(f"• {text}.") for text in answer.notes)))
    lead = tuple(Sentence(_lead(rotor, several), "lead") for rotor in answer.rotors)
    return Sheet(f"{answer.aeroplane.name}: how true must it be built?", lead, tuple(sections), units)


def _of(rotor: RotorTolerances, build: str, state: str) -> Reached:
    return next(each for each in rotor.reached if each.build == build and each.state == state)


def _lead(rotor: RotorTolerances, several: bool) -> str:
    chances = {state: _of(rotor, "typical", state).chances["flight"] for state in STATE_WORDS}
    where = f"{rotor.rotor}: " if several else ""
    return (
        f"{where}Built with ordinary care it is within {grade_word(TARGETS['flight'])} with a chance of "
        f"{percent_text(chances['as built'])} as built, {percent_text(chances['static'])} after a static balance, "
        f"{percent_text(chances['two planes'])} after two planes."
    )


def _asked(rotor: RotorTolerances) -> Table:
    return Table(tuple(Row((words, rotor.quantities[name])) for name, words in ASKED.items()))


def _reached(rotor: RotorTolerances) -> Table:
    rows = []
    for each in rotor.reached:
        low, high = each.grade.low or 0.0, each.grade.high or 0.0
        grade = f"{grade_word(round(each.grade.value or 0.0, 4))} ({1000 * low:.3g}–{1000 * high:.3g})"
        cells = tuple(percent_text(each.chances[target]) for target in TARGETS)
        rows.append(Row((each.build, STATE_WORDS[each.state], grade, *cells)))
    heads = tuple(grade_word(limit) for limit in TARGETS.values())
    return Table(tuple(rows), ("building", "", "grade", *heads))


def _shares(rotor: RotorTolerances) -> list[Item]:
    shares = sorted(rotor.shares["typical"].items(), key=lambda pair: -pair[1])
    told = ", ".join(f"{SOURCE_WORDS[name]} {percent_text(share)}" for name, share in shares if share > 0.01)
    return [Sentence(f"Ordinary care: {told}. Mend the first one first.")]


def _straight(rotor: RotorTolerances) -> Table:
    rows = tuple(
        Row((f"{1000.0 * bow:.2g} mm", *(percent_text(chance) for chance in chances)))
        for bow, *chances in rotor.straightness[::2]
    )
    return Table(rows, ("bow at mid-span", *(grade_word(limit) for limit in TARGETS.values())))
