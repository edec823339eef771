"""Flights by a made flier: the same whatever the sittings, gone on after a kill, counted right, the cause named."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rotorwright.studies import counted_flights
from rotorwright.studies.counted_flights import INPUT, column_words, count, fly_many
from rotorwright.studies.first_flights_draws import Draws
from rotorwright.studies.flight_outcomes import FIGURES, judge_flights
from rotorwright.studies.kept_flights import keep_in
from studies.chunk_tasks import cluster_flier
from studies.test_flight_outcomes import AIRBORNE, BOUNDS, GOOD, GROUND

RESTS = {"aircraft": "made", "seed": 4}


def made(draws: Draws) -> dict[str, np.ndarray]:
    """Return figures of flights that spiral above 2.5 m/s of wind and never lift with a tired pack."""
    wind, charge = draws.values["wind"], draws.values["pack_charge"]
    spiral = {"touch_bank": 1.3, "quarters": 1.0, "touch_sink": 6.0}
    figures = {}
    for name in FIGURES:
        usual = np.full(len(wind), GOOD[name]) + 1e-3 * (draws.seeds % 97 if name == "lift_off_speed" else 0.0)
        figures[name] = np.where(wind > 2.5, spiral.get(name, usual), usual)
        figures[name] = np.where(charge < 0.93, GROUND.get(name, AIRBORNE.get(name, usual)), figures[name])
    return figures


def judge(figures: Mapping[str, Any]) -> Any:
    return judge_flights(figures, BOUNDS)


def test_sittings_and_a_second_run_change_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = keep_in(None, RESTS, column_words())
    assert not fly_many(made, judge, whole, 300, 4)
    monkeypatch.setattr(counted_flights, "SITTING", 37)
    pieces = keep_in(tmp_path / "pieces.nc", RESTS, column_words())
    fly_many(made, judge, pieces, 111, 4)
    again = keep_in(tmp_path / "pieces.nc", RESTS, column_words())
    fly_many(made, judge, again, 300, 4)
    for name, values in whole.columns.items():
        assert again.columns[name].tobytes() == values.tobytes(), name


def test_a_stop_from_the_keyboard_keeps_what_was_flown_and_the_rest_follows(tmp_path: Path) -> None:
    def interrupted(draws: Draws) -> dict[str, np.ndarray]:
        if draws.flights[0] >= 256:
            raise KeyboardInterrupt
        return made(draws)

    kept = keep_in(tmp_path / "kept.nc", RESTS, column_words())
    assert fly_many(interrupted, judge, kept, 600, 4)
    again = keep_in(tmp_path / "kept.nc", RESTS, column_words())
    assert len(again) == 256
    assert not fly_many(made, judge, again, 600, 4)
    whole = keep_in(None, RESTS, column_words())
    fly_many(made, judge, whole, 600, 4)
    assert count(again.columns) == count(whole.columns)


def test_a_crash_leaves_what_was_flown_in_the_file(tmp_path: Path) -> None:
    def crashing(draws: Draws) -> dict[str, np.ndarray]:
        if draws.flights[0] >= 128:
            raise RuntimeError("power cut")
        return made(draws)

    with pytest.raises(RuntimeError):
        fly_many(crashing, judge, keep_in(tmp_path / "kept.nc", RESTS, column_words()), 600, 4)
    assert len(keep_in(tmp_path / "kept.nc", RESTS, column_words())) == 128


def test_counts_and_causes_are_those_that_were_made() -> None:
    kept = keep_in(None, RESTS, column_words())
    fly_many(made, judge, kept, 1500, 4)
    answer = count(kept.columns)
    wind, charge = kept.columns[f"{INPUT}wind"], kept.columns[f"{INPUT}pack_charge"]
    by = {each.outcome.name: each for each in answer.outcomes}
    assert set(by) == {"landed", "spiral", "never_lifted"}
    assert by["never_lifted"].flights == int((charge < 0.93).sum())
    assert by["spiral"].flights == int(((wind > 2.5) & (charge >= 0.93)).sum())
    assert sum(each.flights for each in answer.outcomes) == 1500
    assert (by["spiral"].drivers[0].name, by["spiral"].drivers[0].side) == ("wind", "above")
    assert by["spiral"].drivers[0].attributable > 0.7
    assert (by["never_lifted"].drivers[0].name, by["never_lifted"].drivers[0].side) == ("pack_charge", "below")
    assert {driver.name for driver in answer.drivers} == {"wind", "pack_charge"}
    assert by["landed"].drivers == ()
    assert answer.quantities["chance_of_circuit"].value == pytest.approx(by["landed"].flights / 1500)
    assert answer.quantities["chance_of_take_off"].value == pytest.approx(1 - by["never_lifted"].flights / 1500)


def test_progress_is_told_and_unwatched_inputs_are_not_blamed() -> None:
    seen: list[tuple[int, int]] = []
    kept = keep_in(None, RESTS, column_words())
    fly_many(made, judge, kept, 300, 4, progress=lambda done, total: seen.append((done, total)))
    assert seen == [(128, 300), (256, 300), (300, 300)]
    answer = count(kept.columns, watched=frozenset({"pack_charge", "drum_lift"}))
    assert {driver.name for each in answer.outcomes for driver in each.drivers} <= {"pack_charge", "drum_lift"}


def test_flights_of_a_cluster_are_those_of_one_process_in_their_order(two_workers: Any) -> None:
    alone = keep_in(None, RESTS, column_words())
    fly_many(cluster_flier, judge, alone, 900, 4)
    spread = keep_in(None, RESTS, column_words())
    seen: list[int] = []
    assert not fly_many(
        cluster_flier, judge, spread, 900, 4, lambda done, _: seen.append(done), two_workers.scheduler_address
    )
    assert seen == sorted(seen)
    assert seen[-1] == 900
    for name, values in alone.columns.items():
        assert spread.columns[name].tobytes() == values.tobytes(), name
