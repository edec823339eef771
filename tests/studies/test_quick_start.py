"""A handful of numbers becomes an aeroplane that should fly, or an honest no; the maker's numbers are kept."""

from __future__ import annotations

import math
import re

import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.design.aircraft_file import loads
from rotorwright.design.clearances import clearances
from rotorwright.design.fill import fill
from rotorwright.design.quick_start import QuickStartSizes
from rotorwright.flight.envelope import LEVEL
from rotorwright.studies.balance import balance
from rotorwright.studies.quick_start import quick_start
from rotorwright.studies.quick_start_search import judge_shape, light_enough, neighbours, parts_mass
from rotorwright.studies.quick_start_shape import SPARE_LEAST, SPARE_SHARE, first_shape, lay_out, widest

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


def test_it_flies_level_near_neutral_with_nothing_in_the_way() -> None:
    answer = quick_start(**WISHES, rotor_kind="free vaned", cells=4)
    level = answer.flown.envelope.steady[0, LEVEL]
    assert abs(float(level["incidence"])) < math.radians(12.0)
    assert abs(float(level["elevator"])) <= 0.5
    assert float(level["throttle"]) < 1.0
    assert [gap.sentence() for gap in clearances(answer.aeroplane) if gap.distance < 0.0] == []
    assert answer.sizes.rest_mass >= 0.9 * (SPARE_SHARE * 2.0 + SPARE_LEAST)


def test_the_same_numbers_give_the_same_file() -> None:
    first, second = (quick_start(**WISHES, rotor_kind="free vaned", cells=4).text for _ in range(2))
    assert first == second


def test_what_cannot_fly_is_said_with_newtons() -> None:
    answer = quick_start(
        mass=0.25, span_limit=0.8, elevation=1500.0, temperature=298.15, rotor_kind="driven drum", cells=2
    )
    assert not answer.good
    assert answer.probability < 0.3
    assert re.search(r"[0-9] N", answer.shortage)
    assert "0.80 m of span and 250 g" in answer.shortage
    assert "should fly" not in answer.text
    loads(answer.text)


def test_neighbours_keep_what_was_asked_and_stay_within_the_span() -> None:
    guess = QuickStartSizes.guess(1.2, 1.4, 100.0, 298.15, "driven drum")
    shape = first_shape(guess)
    found = neighbours(guess, shape, 0.16)
    assert len(found) == len(set(found)) >= 20
    for other in found:
        sizes = lay_out(guess, other)
        assert (sizes.mass, sizes.span_limit, sizes.cells, sizes.elevation) == (1.2, 1.4, 3, 100.0)
        assert 2.0 * (sizes.rotor_side + sizes.rotor_span / 2.0) <= 1.4
        assert other.span <= widest(guess, other) + 1.0e-9
        assert sizes.disc_diameter >= sizes.rotor_diameter


def test_the_thrust_line_meets_the_rotor_axis() -> None:
    guess = QuickStartSizes.guess(1.2, 1.4, 100.0, 298.15, "free vaned")
    sizes = lay_out(guess, first_shape(guess))
    assert sizes.thrust_tilt > 0.0
    slope = (sizes.thrust_line_up - sizes.rotor_up) / sizes.rotor_aft
    assert slope == pytest.approx(math.tan(sizes.thrust_tilt))


def test_a_shape_too_heavy_is_lightened_before_it_is_flown() -> None:
    guess = QuickStartSizes.guess(0.3, 0.8, 0.0, 298.15, "driven drum")
    heavy = first_shape(guess)
    spare = SPARE_SHARE * 0.3 + SPARE_LEAST
    assert parts_mass(lay_out(guess, heavy)) + spare > 0.3
    assert judge_shape(guess, heavy).score < -5.0
    assert parts_mass(lay_out(guess, light_enough(guess, heavy))) + spare <= 0.3
