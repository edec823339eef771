"""Exploring: the same numbers as a balance, however they are chunked, interrupted, resumed or sent to a cluster."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import qmc

from rotorwright.base.errors import InputError, InputProblems
from rotorwright.design.aircraft_file import load
from rotorwright.studies import explore_study as module
from rotorwright.studies.balance_quantities import read_quantities
from rotorwright.studies.evaluate import fly
from rotorwright.studies.explore import explore, save_best, scattered
from rotorwright.studies.explore_asked import read_limit, read_vary
from rotorwright.studies.explore_designs import (
    FLOWN,
    FULL,
    QUICK,
    REFUSED,
    Chunk,
    answer,
    known_quantities,
    question_of,
)
from rotorwright.studies.explore_search import search
from rotorwright.studies.labelled import load_netcdf

EXAMPLES = Path(__file__).parents[2] / "examples"
FILE = EXAMPLES / "marsh-tumbler.toml"


@pytest.fixture(scope="module")
def aeroplane():
    return load(FILE)


@pytest.fixture(scope="module")
def span(aeroplane):
    rotor = next(iter(aeroplane.tables.rotor))
    return f"rotor.{rotor}.span", float(aeroplane.value(f"rotor.{rotor}.span"))


def _range(span, low=0.9, high=1.1):
    name, middle = span
    return f"{name}={1000.0 * low * middle:.1f}..{1000.0 * high * middle:.1f} mm"


def test_every_design_gets_what_a_balance_of_its_file_says(aeroplane, span):
    name, middle = span
    names = ("mass", "level_speed", "reserve_thrust", "endurance", "area_loading", "glide_sink", "lift_to_drag")
    spans = [0.93 * middle, middle, 1.08 * middle]
    found = answer(question_of(aeroplane, [name], names, look=FULL), Chunk(0, (tuple(spans),)))
    assert (found.state == FLOWN).all()
    for row, value in zip(found.columns, spans, strict=True):
        own = read_quantities(fly(aeroplane.changed({name: value}), samples=0))
        for number, quantity in zip(row, names, strict=True):
            nominal = own[quantity].nominal
            assert (math.isnan(number) and nominal is None) or number == pytest.approx(nominal, rel=1e-9)


def test_a_varied_field_of_air_changes_the_air(aeroplane):
    question = question_of(aeroplane, ["field.elevation"], ["air_density"])
    found = answer(question, Chunk(0, ((0.0, 2000.0),)))
    assert found.columns[1, 0] / found.columns[0, 0] == pytest.approx(0.7846, abs=0.003)
    # pressure ratio of ISO 2533 at 2000 m (the file's temperature stands)


def test_a_sweep_stepped_in_other_chunks_gives_the_same_bits(aeroplane, span, monkeypatch):
    one = explore(aeroplane, [_range(span)], grid=5, best=0)
    monkeypatch.setitem(module.AT_ONCE, "reserve", 2)
    other = explore(aeroplane, [_range(span)], grid=5, best=0)
    assert one.kept.columns.tobytes() == other.kept.columns.tobytes()


def test_interrupted_and_resumed_equals_one_run(aeroplane, span, tmp_path, monkeypatch):
    monkeypatch.setitem(module.AT_ONCE, "reserve", 4)
    asked = {
        "vary": [_range(span), "field.elevation=0..500 m"],
        "least": ["mass"],
        "most": ["reserve_thrust"],
        "seek": 24,
    }
    whole = explore(aeroplane, **asked, seed=3, best=0)
    path = tmp_path / "kept.nc"

    def interrupt(done, total):
        if done >= 8:
            raise KeyboardInterrupt

    first = explore(aeroplane, **asked, seed=3, path=path, progress=interrupt, best=0)
    assert not first.finished
    assert 8 <= first.flown < 16
    again = explore(aeroplane, **asked, seed=3, path=path, resume=True, best=0)
    assert again.finished
    assert again.kept.columns.tobytes() == whole.kept.columns.tobytes()
    assert again.good.tolist() == whole.good.tolist()
    kept = load_netcdf(path)
    assert kept["mass"].attrs["units"] == "kg"
    assert kept[span[0]].attrs["units"] == "m"
    np.testing.assert_array_equal(kept["mass"].values, whole.kept.column("mass"))
    with pytest.raises(InputError, match="is there already"):
        explore(aeroplane, **asked, seed=3, path=path)
    with pytest.raises(InputError, match="rest on something else"):
        explore(aeroplane, **asked, seed=4, path=path, resume=True)


def test_two_workers_give_the_same_bits(aeroplane, span, two_workers, monkeypatch):
    monkeypatch.setitem(module.AT_ONCE, "reserve", 2)
    alone = explore(aeroplane, [_range(span)], grid=6, best=0)
    spread = explore(aeroplane, [_range(span)], grid=6, best=0, scheduler=two_workers.scheduler_address)
    assert alone.kept.columns.tobytes() == spread.kept.columns.tobytes()


def test_the_best_are_saved_as_files_that_load_and_mark_what_changed(aeroplane, span, tmp_path):
    found = explore(aeroplane, [_range(span)], most=["reserve_thrust"], grid=3, best=2)
    paths = save_best(found, tmp_path / "best")
    assert len(paths) == len(found.best) == 2
    before = FILE.read_text(encoding="utf-8").splitlines()
    for path, best in zip(paths, found.best, strict=True):
        again = load(path)
        assert again.value(span[0]) == pytest.approx(best.changes[span[0]], rel=1e-6)
        fresh = path.read_text(encoding="utf-8").splitlines()
        assert len(fresh) == len(before)
        differ = [one for one, other in zip(fresh, before, strict=True) if one != other]
        assert all("# explored, span was" in line for line in differ)
        assert len(differ) <= 1
    with pytest.raises(InputProblems):
        save_best(found, tmp_path / "best")  # nothing is overwritten


def test_draws_are_common_to_all_designs_and_give_a_chance(aeroplane, span):
    found = explore(aeroplane, [_range(span)], grid=2, draws=16, best=0)
    chance = found.kept.column("chance_of_flying")
    assert ((chance >= 0.0) & (chance <= 1.0)).all()
    np.testing.assert_array_equal(chance * 16, np.round(chance * 16))
    assert (found.kept.column("reserve_thrust_low") <= found.kept.column("reserve_score") + 1e-9).all()
    with pytest.raises(InputError, match="draws"):
        explore(aeroplane, [_range(span)], most=["chance_of_flying"], grid=2)


def test_a_quick_look_agrees_with_the_close_one_about_mass_and_leans_on_fewer_solutions(aeroplane, span):
    values = (tuple(span[1] * share for share in (0.95, 1.0, 1.05)),)
    names = ("mass", "thrust_to_spare")
    quick = answer(question_of(aeroplane, [span[0]], names, look=QUICK), Chunk(0, values))
    close = answer(question_of(aeroplane, [span[0]], names), Chunk(0, values))
    np.testing.assert_allclose(quick.columns[:, 0], close.columns[:, 0], rtol=1e-12)
    assert np.isfinite(quick.columns[:, 1]).all()


def test_designs_that_cannot_be_are_told_apart(aeroplane):
    rotor, part = next(iter(aeroplane.tables.rotor.items()))
    if part.discs is None:
        pytest.fail("the example lost its discs")
    text = f"rotor.{rotor}.discs.diameter={300.0 * part.diameter:.1f}..{1500.0 * part.diameter:.1f} mm"
    found = explore(aeroplane, [text], grid=4, best=0)
    assert found.impossible >= 1
    assert found.flown + found.impossible == 4
    assert (found.kept.state == REFUSED).sum() == sum(found.kept.refused.values())


def test_what_is_asked_is_read_or_refused_in_words(aeroplane, span):
    known = known_quantities(aeroplane, FULL)
    limit = read_limit("level speed < 43.2 km/h", known)
    assert (limit.name, limit.below) == ("level_speed", True)
    assert limit.number == pytest.approx(12.0)
    assert read_limit("endurance > 5 min", known).number == pytest.approx(300.0)
    with pytest.raises(InputError, match="names no quantity"):
        read_limit("speediness<3", known)
    with pytest.raises(InputProblems):
        read_limit("level_speed<12 kg", known)
    counts = read_vary(aeroplane, f"{span[0].rsplit('.', 1)[0]}.discs.count=2..4")
    assert counts.choices == (2, 3, 4)
    for wrong in (
        "nothing",
        f"{span[0]}=600 mm",
        f"{span[0]}=5..6",
        "rotor.nowhere.span=1..2 m",
        "reserve.climb=0..1 m/s",
    ):
        with pytest.raises(InputProblems):
            read_vary(aeroplane, wrong)


def test_scattered_designs_fill_the_cube_better_than_chance():
    # centred discrepancy by scipy.stats.qmc: an even scatter has far less than points thrown at random
    even = qmc.discrepancy(scattered(128, 4, seed=1))
    thrown = qmc.discrepancy(np.random.default_rng(1).random((128, 4)))
    assert even < 0.5 * thrown
    assert len(scattered(100, 3)) == 100
    np.testing.assert_array_equal(scattered(64, 3, seed=5), scattered(64, 3, seed=5))


def test_the_search_finds_the_known_front_of_a_constrained_problem():
    """T. T. Binh and U. Korn (1997), constrained: the front is x = y up to 3, then y = 3 (closed form)."""

    def judge(points):
        x, y = 5.0 * points[:, 0], 3.0 * points[:, 1]
        aims = np.stack([4.0 * x**2 + 4.0 * y**2, (x - 5.0) ** 2 + (y - 5.0) ** 2], axis=1)
        over = np.stack([(x - 5.0) ** 2 + y**2 - 25.0, 7.7 - (x - 8.0) ** 2 - (y + 3.0) ** 2], axis=1)
        return aims, over

    found = search(judge, 2, 2, 2, evaluations=2400, seed=1)
    assert len(found.points) >= 20
    first, second = found.goals.T
    both = 2.0 * (np.sqrt(first / 8.0) - 5.0) ** 2
    edge = (np.sqrt(np.maximum(first - 36.0, 0.0) / 4.0) - 5.0) ** 2 + 4.0
    front = np.where(first <= 72.0, both, edge)
    assert (second >= front - 1e-9).all()  # nothing beats the closed form
    assert np.median(second - front) < 0.25  # of a range of 46
    assert first.min() < 1.0
    assert first.max() > 110.0
    again = search(judge, 2, 2, 2, evaluations=2400, seed=1)
    np.testing.assert_array_equal(found.points, again.points)


def test_a_search_with_one_goal_ends_on_the_limit():
    """One goal under limits: least 4 x² + y² where x + y ≥ 3 is 7.2 at x = 0.6, y = 2.4 (closed form)."""

    def judge(points):
        x, y = 4.0 * points.T
        return (4.0 * x**2 + y**2)[:, None], (3.0 - x - y)[:, None]

    found = search(judge, 2, 1, 1, evaluations=1600, seed=2)
    assert found.goals[0, 0] == pytest.approx(7.2, rel=0.01)
    assert found.goals[0, 0] >= 7.2 - 1e-9
