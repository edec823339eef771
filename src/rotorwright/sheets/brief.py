"""The sheet of a brief: the first designs that answer it, side by side, and what the others lack."""

from __future__ import annotations

from collections.abc import Mapping

from rotorwright.design.quick_start import propeller_size
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text, quantity_text
from rotorwright.studies.brief import Brief, Proposal
from rotorwright.studies.verdict import word_for

CAUTION = (
    "These are sizes on paper. A turning rotor cuts and a pack burns: cover the rotors for the first spin, restrain "
    "the model, take the propeller off until the controls are right. First flights at a club field, with the club's "
    "safety officer; your local rules come first."
)
STEPS = (
    "Write the file and ask rotorwright check and rotorwright balance: replace every line marked generic by what "
    "you have.",
    "Build one rotor. Spin it by hand, then in the wind from a car or a hilltop, behind cover: does it start, does it "
    "shake? (rotorwright rotor, rotorwright shake)",
    "Motor and propeller on a scale, held down: thrust, current, heat (rotorwright power --test-plan).",
    "The whole model weighed and balanced; controls the right way round, checked by a second person.",
    "Taxi and short hops in a straight line in a light wind, before any turn (rotorwright handling first).",
)


def brief_sheet(answer: Brief, files: Mapping[str, str], units: ShownUnits, *, first: bool = False) -> Sheet:
    """Return the sheet; ``files`` holds the file written for a concept by its key."""
    good = answer.feasible
    if first and answer.first is not None:
        return _first_sheet(answer.first, files, units)
    if good:
        names = ", ".join(each.concept.title for each in good)
        lead = Sentence(f"{len(good)} of {len(answer.proposals)} ways to build it should fly: {names}.", "lead")
    else:
        lead = Sentence("No way was found that meets this brief. What each lacks stands below.", "lead")
    sections = []
    if good:
        rows = tuple(_row(each, units) for each in good)
        heads = ("", "chance", "level", "rotors", "thrust", "L/D")
        sections.append(Section("Side by side", (Table(rows, heads),)))
        sections.append(Section("For and against", tuple(_reasons(each, files) for each in good)))
    rest = [each for each in answer.proposals if not each.meets]
    if rest:
        sections.append(Section("What the others lack", tuple(Sentence(_lack(each)) for each in rest)))
    if good and good[0].paper is not None:
        sections.append(Section("The first of them on paper", (Sentence(_paper(good[0], units)),)))
    after = [Sentence(CAUTION, "caution")]
    if files:
        after.append(Sentence(f"Next: rotorwright balance {next(iter(files.values()))}."))
    sections.append(Section("Before you build", tuple(after)))
    return Sheet("First designs for your brief", (lead,), tuple(sections), units)


def _first_sheet(best: Proposal, files: Mapping[str, str], units: ShownUnits) -> Sheet:
    word = f"{word_for(best.probability)}, {percent_text(best.probability)}"
    lead = Sentence(f"Build {best.concept.title} first: {word}.", "lead")
    why = Sentence(f"Why: {best.concept.speaks_for}. Mind: {best.concept.speaks_against}.")
    remarks = tuple(Sentence(f"{text[:1].upper()}{text[1:]}.", "doubt") for text in best.remarks)
    steps: list[Item] = [Table(tuple(Row((f"{k}.", text)) for k, text in enumerate(STEPS, 1)))]
    table = Table((_row(best, units),), ("", "chance", "level", "rotors", "thrust", "L/D"))
    after = [Sentence(CAUTION, "caution")]
    after += [Sentence(f"Written to {file}: rotorwright balance {file}.") for file in files.values()]
    sections = (
        Section("What it is", (table,)),
        Section("First steps", tuple(steps)),
        Section("Before you build", tuple(after)),
    )
    return Sheet("What to build first", (lead, why, *remarks), sections, units)


def _row(proposal: Proposal, units: ShownUnits) -> Row:
    assert proposal.answer is not None
    sizes = proposal.answer.sizes
    rotors = f"{sizes.rotor_count} × {number_text(sizes.rotor_span, 'm', units)} × " + number_text(
        sizes.rotor_diameter, "m", units
    )
    fan = sizes.thrust_source == "fan"
    thrust = f"fan {number_text(sizes.thruster_diameter, 'm', units)}" if fan else propeller_size(sizes)
    speed, ratio = (
        quantity_text(proposal.quantities[name], units) if name in proposal.quantities else "—"
        for name in ("level_speed", "lift_to_drag")
    )
    return Row((proposal.concept.title, percent_text(proposal.probability), speed, rotors, thrust, ratio))


def _reasons(proposal: Proposal, files: Mapping[str, str]) -> Sentence:
    concept = proposal.concept
    written = f" → {files[concept.key]}" if concept.key in files else ""
    more = "".join(f" {text[:1].upper()}{text[1:]}." for text in proposal.remarks)
    title = f"{concept.title[:1].upper()}{concept.title[1:]}"
    return Sentence(f"{title}{written}. For: {concept.speaks_for}. Against: {concept.speaks_against}.{more}")


def _lack(proposal: Proposal) -> str:
    title = f"{proposal.concept.title[:1].upper()}{proposal.concept.title[1:]}"
    return f"{title}: {'; '.join(proposal.lacks)}"


def _paper(proposal: Proposal, units: ShownUnits) -> str:
    paper = proposal.paper
    assert paper is not None
    area, thrust, power, ideal = (
        number_text(value, unit, units)
        for value, unit in (
            (paper.area, "m2"), (paper.thrust, "N"), (paper.flight_power, "W"), (paper.ideal_power, "W")
        )
    )  # fmt: skip
    return (
        f"With its level speed, lift coefficient and lift-to-drag, 2 m g / (ρ V² C_L) gives {area} of rotor, "
        f"m g / (L/D) {thrust} of thrust and {power} of thrust times speed; momentum theory allows that thrust "
        f"standing still for no less than {ideal} (worked by hand in docs/brief.md)."
    )
