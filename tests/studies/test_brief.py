"""First designs from a brief: different, feasible, saved as files that can be read; what the others lack."""

from __future__ import annotations

import math

import pytest

from rotorwright.base.errors import InputError
from rotorwright.design.aircraft_file import loads
from rotorwright.sheets.brief import brief_sheet
from rotorwright.sheets.document import as_json
from rotorwright.sheets.explanation import explanations
from rotorwright.sheets.numbers import ShownUnits
from rotorwright.studies.brief import CONCEPTS, FIRST, Brief, brief
from rotorwright.studies.brief_paper import sized_on_paper


@pytest.fixture(scope="module")
def answer() -> Brief:
    return brief(
        mass=1.2, payload=0.05, runway=60.0, launch="hand", concepts=("two-free", "one-free", "drums-no-discs")
    )


def test_proposals_are_different_aeroplanes_that_can_be_read_and_carry_the_payload(answer: Brief) -> None:
    texts = [each.text for each in answer.proposals if each.answer is not None]
    assert len(texts) >= 2
    assert len(set(texts)) == len(texts)
    for each in answer.proposals:
        if each.answer is None:
            assert each.lacks
            continue
        aeroplane = loads(each.text, each.concept.key)
        assert aeroplane.value("item.payload.mass") == pytest.approx(0.05)
        assert aeroplane.field.length == pytest.approx(60.0)
        rotors = sum(2 if rotor.mirror else 1 for rotor in aeroplane.tables.rotor.values())
        assert rotors == each.concept.rotor_count
        assert all((rotor.discs is not None) is each.concept.discs for rotor in aeroplane.tables.rotor.values())
        assert each.meets is not bool(each.lacks)


def test_those_that_meet_it_come_first_and_should_fly(answer: Brief) -> None:
    meets = [each.meets for each in answer.proposals]
    assert meets == sorted(meets, reverse=True)
    assert answer.feasible
    assert all(each.probability >= 0.7 for each in answer.feasible)
    assert answer.first is None or answer.first.concept.key in FIRST


def test_everything_reported_is_explained_and_said(answer: Brief) -> None:
    for each in answer.proposals:
        for name, quantity in each.quantities.items():
            assert explanations()[name].unit == quantity.unit
            assert "brief" in explanations()[name].commands
    assert '"proposals"' in as_json(answer.as_dict())
    for first in (False, True):
        sheet = brief_sheet(answer, {}, ShownUnits(), first=first)
        assert any("cover the rotors" in item.text for part in sheet.sections for item in part.items
                   if hasattr(item, "text"))  # fmt: skip


def test_paper_agrees_with_the_level_flight_it_was_taken_from(answer: Brief) -> None:
    best = answer.feasible[0]
    assert best.paper is not None
    assert best.answer is not None
    sizes = best.answer.sizes
    area = sizes.rotor_count * sizes.rotor_span * sizes.rotor_diameter
    # the thrust carries a part of the weight, so the rotors need less area than paper asks for
    assert 0.8 * area < best.paper.area < 1.5 * area


def test_words_and_payload_are_checked() -> None:
    with pytest.raises(InputError, match="launch"):
        brief(launch="catapult")
    with pytest.raises(InputError, match="payload"):
        brief(mass=1.0, payload=0.9)
    assert math.isnan(
        sized_on_paper(mass=1.0, airspeed=0.0, lift_coefficient=1.0, lift_to_drag=2.0, disc_diameter=0.2).area
    )
    assert len({each.key for each in CONCEPTS}) == len(CONCEPTS)
