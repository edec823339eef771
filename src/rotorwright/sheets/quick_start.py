"""The sheet of a quick start: what was written, whether it should fly, and what to do next."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorwright.sheets.content import Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.document import document
from rotorwright.sheets.numbers import ShownUnits, number_text, percent_text
from rotorwright.studies.quick_start import QuickStart


def quick_start_document(answer: QuickStart, file: str, wishes: Mapping[str, Any]) -> dict[str, Any]:
    """Return the answer as the JSON document (see `sheets.document`)."""
    return document(
        quantities={},
        aircraft={"name": answer.sizes.name, "file": file},
        conditions={**wishes, "sizes_flown": answer.tried},
        verdict={
            "word": answer.word,
            "probability": answer.probability,
            "shortage": answer.shortage,
            "dominant_unknown": None,
            "changes": [],
        },
    )


def quick_start_sheet(answer: QuickStart, file: str, units: ShownUnits) -> Sheet:
    """Return the sheet of a quick start."""
    word = f"{answer.word[:1].upper()}{answer.word[1:]}, {percent_text(answer.probability)}"
    if answer.good:
        lead = Sentence(f"{word}: the sizes below hold height with 0.5 m/s of climb or a 20° bank in hand.", "lead")
    else:
        lead = Sentence(
            f"{word}: no sizes were found that should fly within these numbers. The nearest ones were written.", "lead"
        )
    s = answer.sizes
    rows = [
        ("mass, as you asked", number_text(s.mass, "kg", units)),
        ("span of one rotor", number_text(s.rotor_span, "m", units)),
        ("rotor diameter", number_text(s.rotor_diameter, "m", units)),
        ("discs", f"{s.disc_count} of {number_text(s.disc_diameter, 'm', units)}"),
        ("propeller" if s.thrust_source == "propeller" else "fan", number_text(s.thruster_diameter, "m", units)),
        ("motor speed constant", number_text(s.motor_speed_constant, "rad/s/V", units)),
        ("battery", f"{s.cells}S, {number_text(s.battery_capacity, 'A s', units)}"),
        ("left for radio, glue and paint", number_text(s.rest_mass, "kg", units)),
    ]
    if s.rotor_kind != "free vaned":
        rows.insert(4, ("rotor speed held", number_text(s.drive_speed, "rad/s", units)))
    generic = answer.text.count("# generic")
    following = (
        Sentence(f'{generic} lines of the file end in "# generic": they are guesses. Replace them by what you have.'),
        Sentence(f"rotorwright balance {file}"),
    )
    return Sheet(
        f"{s.name}: written to {file}",
        (lead, Sentence(answer.shortage)),
        (Section("Sizes", (Table(tuple(Row(row) for row in rows)),)), Section("Next", following)),
        units,
    )
