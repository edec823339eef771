"""Two revisions: what changed, what moved, and shares that add up exactly."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

import rotorwright
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.differences import between, differences
from rotorwright.studies.attribution import Subset, in_order, joined, order_free, subsets
from rotorwright.studies.compare import Step, compare

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
CHANGES = {"rotor.left.span": "400 mm", "thruster.nose.propeller": "9x4.3 sf", "item.rotor-mounts.mass": "45 g"}


@lru_cache(maxsize=1)
def old() -> Aeroplane:
    return rotorwright.load(EXAMPLES / "thistledown.toml")


@lru_cache(maxsize=1)
def step() -> Step:
    return compare(old(), old().changed(CHANGES), samples=16).steps[0]


def test_the_same_file_twice_changes_and_moves_nothing() -> None:
    found = compare(old(), old(), samples=16).steps[0]
    assert found.differences == ()
    assert found.moved == ()
    assert found.attributions == ()


def test_changes_are_told_in_the_makers_words() -> None:
    told = {each.field: (each.before, each.after, each.moves) for each in step().differences}
    assert told == {
        "rotor.left.span": ("380 mm", "400 mm", True),
        "thruster.nose.propeller": ("8x4.3 sf", "9x4.3 sf", True),
        "item.rotor-mounts.mass": ("60 g", "45 g", True),
    }


def test_other_words_for_the_same_measure_and_another_name_move_nothing() -> None:
    other = old().changed({"rotor.left.span": "38 cm", "name": "Thistledown II"})
    found = {each.field: each for each in differences(old(), other)}
    assert found.keys() == {"rotor.left.span", "name"}
    assert found["rotor.left.span"].how == "written otherwise"
    assert not any(each.moves for each in found.values())


def test_parts_added_and_removed_and_axes_of_positions(tmp_path: Path) -> None:
    text = (EXAMPLES / "thistledown.toml").read_text(encoding="utf-8")
    added = tmp_path / "added.toml"
    added.write_text(text + '\n[item.camera]\nmass = "20 g"\nposition = ["10 mm", "0 mm", "0 mm"]\n', encoding="utf-8")
    new = rotorwright.load(added)
    (one,) = differences(old(), new)
    assert (one.field, one.how) == ("item.camera", "added")
    (one,) = differences(new, old())
    assert (one.field, one.how) == ("item.camera", "removed")
    moved = new.changed({"item.camera.position.x": "30 mm"})
    (one,) = differences(new, moved)
    assert (one.field, one.before) == ("item.camera.position.x", "10 mm")


def test_all_changes_made_give_the_new_aeroplane_and_none_the_old() -> None:
    new = old().changed(CHANGES)
    every = frozenset(each.field for each in differences(old(), new))
    assert between(old(), new, every).revision == new.revision
    assert between(old(), new, frozenset()).revision == old().revision
    some = between(old(), new, frozenset({"rotor.left.span"}))
    assert some.value("rotor.left.span") == pytest.approx(0.4)
    assert some.value("item.rotor-mounts.mass") == pytest.approx(0.06)


def test_shares_add_up_exactly_both_ways() -> None:
    found = {each.outcome: each for each in step().attributions}
    assert {"reserve_thrust", "mass", "chance_of_flight"} <= found.keys()
    for each in found.values():
        for parts in (each.ordered, each.order_free):
            assert len(parts) == 3
            assert sum(part.value for part in parts) == pytest.approx(each.total, abs=1e-12)
    mass = found["mass"]
    assert mass.order_free[2].value == pytest.approx(-0.015, abs=1e-9)  # what the item lost, whatever the order


def test_differences_have_bands_of_their_own() -> None:
    moved = {each.name: each for each in step().moved}
    mass = moved["mass"]
    assert mass.before.low is not None
    assert mass.before.high is not None
    assert mass.difference.low is not None
    assert mass.difference.high is not None
    assert mass.difference.high - mass.difference.low < 0.5 * (mass.before.high - mass.before.low)


def values_of(function: object, count: int) -> dict[Subset, np.ndarray[tuple[int, ...], np.dtype[np.float64]]]:
    return {chosen: np.array([float(function(chosen))]) for chosen in subsets(count)}  # type: ignore[operator]


def test_order_free_shares_of_a_known_game() -> None:
    """Gloves: one left (0) and two right (1, 2) make a pair worth 1; shares 2/3, 1/6, 1/6 (closed form)."""
    values = values_of(lambda chosen: 0 in chosen and bool({1, 2} & chosen), 3)
    assert [float(each[0]) for each in order_free(values, 3)] == pytest.approx([2.0 / 3.0, 1.0 / 6.0, 1.0 / 6.0])
    assert [float(each[0]) for each in in_order(values, 3)] == [0.0, 1.0, 0.0]


def test_changes_that_need_each_other_are_joined() -> None:
    def possible(groups: Sequence[Sequence[int]], chosen: Subset) -> bool:
        taken = {change for group in chosen for change in groups[group]}
        return (1 in taken) <= (3 in taken)  # 1 cannot be made without 3

    assert joined(4, possible, 6) == [[0], [1, 3], [2]]
    assert joined(4, lambda groups, chosen: True, 2) == [[0], [1, 2, 3]]


def test_three_revisions_are_compared_one_after_the_other() -> None:
    chain = [old(), old().changed({"item.servos.mass": "30 g"}), old()]
    found = compare(*chain, samples=0)
    assert len(found.steps) == 2
    first, second = (next(m for m in each.moved if m.name == "mass").difference.value for each in found.steps)
    assert first == pytest.approx(-0.006, abs=1e-9)
    assert second == pytest.approx(0.006, abs=1e-9)
