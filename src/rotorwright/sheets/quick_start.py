"""The sheet of a quick start: what was written, whether it should fly, and what to do next."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorwright.design.quick_start import propeller_size
from rotorwright.design.units import plain_number
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
    fan = s.thrust_source == "fan"
    rows = [
        ("mass, as you asked", _grams(s.mass)),
        ("span of one rotor", _mm(s.rotor_span)),
        ("rotor diameter", _mm(s.rotor_diameter)),
        ("discs", f"{s.disc_count} of {_mm(s.disc_diameter)}"),
        ("fan" if fan else "propeller", _mm(s.thruster_diameter) if fan else propeller_size(s)),
        ("motor speed constant", number_text(s.motor_speed_constant, "rad/s/V", units)),
        ("battery", f"{s.cells}S, {number_text(s.battery_capacity, 'A s', units)}"),
        ("left for radio, glue and paint", _grams(s.rest_mass)),
    ]
    if s.rotor_kind != "free vaned":
        rows.insert(4, ("rotor speed held", number_text(s.drive_speed, "rad/s", units)))
    generic = answer.text.count("# generic")
    remarks = tuple(Sentence(f"{text[:1].upper()}{text[1:]}.", "doubt") for text in answer.aeroplane.remarks)
    remarks += tuple(Sentence(f"{text[:1].upper()}{text[1:]}.", "doubt") for text in answer.cautions)
    if answer.asks:
        asks = " or ".join(ask.words for ask in answer.asks)
        remarks += (Sentence(f"The nearest ask that would fly, each alone: {asks}."),)
    following = (
        Sentence(f'{generic} lines of the file end in "# generic": they are guesses. Replace them by what you have.'),
        Sentence(f"rotorwright balance {file}"),
    )
    return Sheet(
        f"{s.name}: written to {file}",
        (lead, Sentence(answer.shortage), *remarks),
        (Section("Sizes", (Table(tuple(Row(row) for row in rows)),)), Section("Next", following)),
        units,
    )


def _mm(metres: float) -> str:
    """Return a length in the unit the file is written in."""
    return f"{plain_number(round(metres * 1000.0, 1))} mm"


def _grams(kilograms: float) -> str:
    return f"{plain_number(round(kilograms * 1000.0), 5)} g"
