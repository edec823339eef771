"""Every explanation is whole: its sources and Unknowns exist, its page is there, its neighbours are explained too."""

from __future__ import annotations

import pytest

from house.walk import ROOT
from rotorwright.base.citations import citations
from rotorwright.base.errors import InputError
from rotorwright.base.unknown import Unknown, unknowns
from rotorwright.sheets.explanation import (
    Explanation,
    explanation_sheet,
    explanations,
    find,
    list_sheet,
    unknown_sheet,
)
from rotorwright.sheets.numbers import METRIC
from rotorwright.sheets.terminal import sheet_text

ENTRIES = list(explanations().values())
FACTORS = {unknown.name for unknown in unknowns()}


@pytest.mark.parametrize("entry", ENTRIES, ids=[entry.key for entry in ENTRIES])
def test_explanation_is_whole(entry: Explanation) -> None:
    assert entry.unit in METRIC
    assert entry.means.rstrip().endswith((".", "?"))
    assert entry.formula.strip()
    assert [key for key in entry.sources if key not in citations()] == []
    assert [name for name in entry.unknowns if name not in FACTORS] == []
    assert [name for name in entry.see if name not in explanations()] == []
    assert entry.commands
    text = sheet_text(explanation_sheet(entry))
    assert max(len(line) for line in text.splitlines()) <= 80
    assert "What the band is made of" in text


def test_every_page_an_explanation_points_to_is_there() -> None:
    pages = {entry.page for entry in ENTRIES if entry.page}
    assert [page for page in sorted(pages) if not (ROOT / "docs" / page).is_file()] == []


def test_every_unknown_can_be_explained() -> None:
    for unknown in unknowns():
        text = " ".join(sheet_text(unknown_sheet(unknown)).split())
        assert f"{unknown.median:g}" in text
        assert " ".join(unknown.source.split())[:40] in text


def test_names_are_found_as_people_write_them() -> None:
    for written in ("rotor_speed", "Rotor speed", "rotor-speed", " ROTOR SPEED "):
        found = find(written)
        assert isinstance(found, Explanation)
        assert found.key == "rotor_speed"
    assert isinstance(find("downwash"), Unknown)


def test_an_unknown_name_gets_the_nearest() -> None:
    with pytest.raises(InputError, match="The nearest names: rotor_speed"):
        find("rotr_sped")
    with pytest.raises(InputError, match="lists them all"):
        find("zzzz")


def test_the_list_names_everything() -> None:
    text = sheet_text(list_sheet())
    for name in [*explanations(), *FACTORS]:
        assert name in text
