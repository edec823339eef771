"""A handful of numbers becomes an aeroplane that should fly, or an honest no; the maker's numbers are kept."""

from __future__ import annotations

import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.design.aircraft_file import loads
from rotorwright.design.fill import fill
from rotorwright.design.quick_start import QuickStartSizes
from rotorwright.studies.balance import balance
from rotorwright.studies.quick_start import moves, quick_start

WISHES = {"mass": 2.0, "span_limit": 1.6, "elevation": 300.0, "temperature": 293.15}


@pytest.mark.parametrize("rotor_kind", ["free vaned", "driven drum"])
def test_a_quick_start_should_fly_and_keeps_what_was_asked(rotor_kind: str) -> None:
    steps: list[tuple[int, int]] = []
    answer = quick_start(
        **WISHES, rotor_kind=rotor_kind, cells=4, name="Test piece", progress=lambda *step: steps.append(step)
    )
    assert answer.good
    assert answer.word in ("should fly", "will fly")
    assert steps
    assert all(done <= total for done, total in steps)
    aeroplane = loads(answer.text)
    rows = fill(aeroplane)
    assert aeroplane.name == "Test piece"
    assert float(rows.masses["mass"].sum()) == pytest.approx(2.0, rel=0.01)
    assert float((abs(rows.rotors["y"]) + rows.rotors["span"] / 2.0).max()) * 2.0 <= 1.6
    assert aeroplane.field.elevation == 300.0
    assert rows.batteries["cells"][0] == 4
    assert (rows.rotors["drive"] >= 0).any() == (rotor_kind == "driven drum")
    assert answer.text.count("# generic") > 20
    checked = balance(aeroplane, samples=128)
    assert checked.verdict.probability == pytest.approx(answer.probability, abs=0.01)


def test_a_quick_start_that_cannot_be_says_so() -> None:
    with pytest.raises(InputProblems, match="span limit"):
        quick_start(mass=8.0, span_limit=0.4, elevation=0.0, temperature=288.15, rotor_kind="free vaned")
    with pytest.raises(InputProblems, match="rotor kind"):
        quick_start(**WISHES, rotor_kind="feathered")


def test_moves_change_sizes_but_never_what_was_asked() -> None:
    first = QuickStartSizes.guess(1.2, 1.4, 100.0, 298.15, "driven drum")
    tried = list(moves(first, 1.0))
    assert len(tried) == len(set(tried)) == 22
    for sizes in tried:
        assert (sizes.mass, sizes.span_limit, sizes.cells, sizes.elevation) == (1.2, 1.4, 3, 100.0)
        assert sizes.disc_diameter >= sizes.rotor_diameter
        assert sizes.rotor_span == first.rotor_span
