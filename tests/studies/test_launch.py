"""Launch, landing, wind and forecasts: the answers hang together as a pilot would expect."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from rotorwright import InputError, InputProblems, load
from rotorwright.physics.air.beaufort import wind_components
from rotorwright.physics.air.wind_from_legs import wind_from_legs
from rotorwright.studies.bench_ground_run import ground_run_alone
from rotorwright.studies.forecast import GO, NO, WAIT, Hour, judge_hours
from rotorwright.studies.forecast_table import forecast_from, typed_hour
from rotorwright.studies.launch import Launch, _run_advice, launch
from rotorwright.studies.launch_ready import Field, make_ready
from rotorwright.studies.launch_run import drag_kept, run, run_quantities
from rotorwright.studies.launch_throw import bungee_speed, throw_speed
from rotorwright.studies.wind_limits import CROSS, GUST, lull_limit, rolling_gust

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.fixture(scope="module")
def drum() -> Launch:
    return launch(load(EXAMPLES / "drum-major.toml"), strip=12.0, obstacle=(8.0, 60.0), samples=16)


def test_the_run_hangs_together(drum: Launch) -> None:
    told = {name: quantity.value for name, quantity in drum.quantities.items()}
    assert told["strip_needed"] == pytest.approx(told["take_off_distance"] + told["stop_distance"], rel=0.2)
    assert told["lift_off_speed"] < 1.3 * told["launch_level_speed"]
    assert 0.0 <= told["abort_point"] <= told["take_off_distance"] + 0.5
    assert told["cut_height_lost"] < told["cut_height_lost_later"]
    assert told["power_off_sink"] > told["landing_sink"]
    for quantity in drum.quantities.values():
        if quantity.value is not None:
            assert quantity.low <= quantity.value <= quantity.high


def test_a_strip_too_short_is_said(drum: Launch) -> None:
    assert drum.quantities["strip_is_enough"].value < 0.9
    assert any("strip is too short" in text for text in drum.advice)


def test_wind_shortens_the_run_and_grass_lengthens_it() -> None:
    aeroplane = load(EXAMPLES / "thistledown.toml")

    def distance(**field: object) -> float:
        found = launch(aeroplane, samples=16, **field).quantities["take_off_distance"].value  # type: ignore[arg-type]
        assert found is not None
        return found

    still = distance(surface="hard")
    assert distance(surface="hard", wind=Hour("now", 2.0)) < still < distance(surface="long grass")
    assert distance(surface="hard", slope=math.radians(5.0)) > still


def test_what_cannot_fly_does_not_take_off_and_says_why() -> None:
    answer = launch(load(EXAMPLES / "lead-duck.toml"), samples=16)
    assert answer.quantities["lifts_off"].value == 0.0
    assert "the run ends at" in answer.quantities["take_off_distance"].reason
    assert "no launch makes it fly" in answer.advice[0]
    hours = judge_hours([Hour("noon", 0.0)], answer.limits, runway=None, around="open", flown=True, flies=False)
    assert hours[0].word == NO


def test_without_wheels_it_is_thrown() -> None:
    text = (EXAMPLES / "thistledown.toml").read_text(encoding="utf-8")
    head, _, rest = text.partition("[wheel.main]")
    _, _, tail = rest.partition("[item.receiver]")
    from rotorwright.design.aircraft_file import loads

    answer = launch(loads(f"{head}[item.receiver]{tail}"), samples=16)
    assert answer.run is None
    assert "take_off_distance" not in answer.quantities
    assert any("no wheels" in text for text in answer.advice)
    assert {limit.phase for limit in answer.limits} & {"take-off", "taxi"} == set()


def test_the_trap_of_the_ground_is_counted_and_told() -> None:
    """It leaves the ground, but there is no thrust to spare out of the ground's help."""
    ready = make_ready(load(EXAMPLES / "lead-duck.toml"), samples=16, seed=0)
    field = Field("hard")
    stays = run(ready, field)
    assert run_quantities(ready, field, stays)["ground_effect_trap"].value == 0.0
    lifts = replace(stays, distance=np.full(ready.cases, 20.0))
    trapped = run_quantities(ready, field, lifts)
    assert trapped["ground_effect_trap"].value == 1.0
    assert trapped["climb_angle"].value is None
    assert any(text.startswith("Trap") for text in _run_advice(field, trapped))


def test_the_ground_takes_drag_away() -> None:
    ready = make_ready(load(EXAMPLES / "great-roller.toml"), samples=16, seed=0)
    kept = drag_kept(ready, 0.5)
    assert (kept > 0.5).all()
    assert (kept < 1.0).all()
    assert (drag_kept(ready, 0.3) < kept).all()


def test_hours_go_wait_no(drum: Launch) -> None:
    hours = [Hour("calm", 0.2, 0.3), Hour("breeze", 2.0, 3.3), Hour("gale", 18.0, 25.0)]
    judged = judge_hours(hours, drum.limits, runway=None, around="open", flown=False, flies=True)
    assert [each.word for each in judged] == [GO, WAIT, NO]
    assert judged[0].reasons == ()
    assert all(each.reasons for each in judged[1:])
    assert judged[2].force == 8
    across = judge_hours(
        [Hour("x", 4.0, 4.5, math.radians(180.0))], drum.limits, runway=math.radians(90.0), around="open",
        flown=True, flies=True,
    )  # fmt: skip
    assert across[0].crosswind == pytest.approx(4.0)
    assert across[0].word == NO
    assert CROSS in across[0].reasons[0]


def test_rain_is_no(drum: Launch) -> None:
    judged = judge_hours(
        [Hour("wet", 0.2, 0.3, rain=1e-3)], drum.limits, runway=None, around="open", flown=False, flies=True
    )
    assert judged[0].word == NO
    assert "rain" in judged[0].reasons[0]


def test_every_limit_has_a_band_and_a_reason(drum: Launch) -> None:
    for limit in drum.limits:
        assert limit.reason
        assert limit.first_flight < limit.flown
        if limit.wind.value is not None:
            assert 0.0 <= limit.wind.low <= limit.wind.value <= limit.wind.high
    near = min(limit.wind.value for limit in drum.limits if limit.kind == GUST and limit.phase == "landing")
    high = min(limit.wind.value for limit in drum.limits if limit.kind == GUST and limit.phase == "circuit")
    assert near <= high


def test_a_table_with_units_in_its_heads() -> None:
    hours = forecast_from(
        "Time;Wind speed [km/h];Gusts (km/h);Direction;Temp [degC];Clouds\n"
        "09:00;7,2;14,4;NW;11,5;3\n10:00;10;18;230;12;4",
        "f.csv",
    )
    assert hours[0].wind == pytest.approx(2.0)
    assert hours[0].gust == pytest.approx(4.0)
    assert hours[0].wind_from == pytest.approx(math.radians(315.0))
    assert hours[0].temperature == pytest.approx(284.65)
    assert hours[1].wind_from == pytest.approx(math.radians(230.0))
    assert forecast_from("time,wind_bft\n1,3\n", "f.csv")[0].wind == pytest.approx(4.4)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("time,wind\n1,2", ('column "wind"', "unit", "none")),
        ("time,wind [m/s]\n1,two", ("f.csv:2", "column wind", '"two"', "a number")),
        ("time,wind [m/s],gust [m/s]\n1,5,2", ("f.csv:2", "column gust", "2.0 m/s")),
        ("time,wind [m/s],direction\n1,5,400", ("f.csv:2", "column direction", "0 to 360")),
        ("time,temp [degC]\n1,5", ("no column for the wind",)),
        ("time,wnd [m/s]\n1,5", ("Did you mean wind?",)),
        ("", ("is empty",)),
        ("time,wind [m/s]\n", ("holds no hour",)),
    ],
)
def test_a_bad_table_says_where_and_what_may_stand_there(text: str, words: tuple[str, ...]) -> None:
    with pytest.raises(InputProblems) as caught:
        forecast_from(text, "f.csv")
    said = "\n".join(problem.sentence() for problem in caught.value.problems)
    assert [word for word in words if word not in said] == []


def test_an_hour_typed_in() -> None:
    hour = typed_hour("14:00 4 m/s gust 7 m/s 230 deg 12 degC")
    assert hour == Hour("14:00", 4.0, 7.0, pytest.approx(math.radians(230.0)), pytest.approx(285.15))
    assert typed_hour("8 kt NW", clock=False).wind_from == pytest.approx(math.radians(315.0))
    for wrong in ("14:00", "14:00 fast", "14:00 4 m/s gust 2 m/s", "14:00 4 m/s 400 deg"):
        with pytest.raises(InputError):
            typed_hour(wrong)


def test_four_legs_give_the_published_mean() -> None:
    speeds, tracks = np.array([178.0, 185.0, 188.0, 184.0]), np.radians([178.0, 82.0, 355.0, 265.0])
    each = [
        wind_from_legs(np.delete(speeds, k), np.delete(tracks, k)).airspeed for k in range(4)
    ]  # D. Gray 1998, sample of a test-pilot school (secondary)
    assert np.mean(each) == pytest.approx(183.72669557, abs=1e-7)
    assert np.std(each, ddof=1) == pytest.approx(0.82709635, abs=1e-7)
    with pytest.raises(ValueError, match="alike"):
        wind_from_legs([10.0, 10.0, 10.0], [0.0, 0.0, 0.0])
    with pytest.raises(ValueError, match="three legs"):
        wind_from_legs([10.0, 10.0], [0.0, 1.0])


def test_small_laws() -> None:
    assert wind_components(5.0, math.radians(30.0), 0.0) == pytest.approx((4.330, 2.5), abs=1e-3)
    assert throw_speed(1.0) > throw_speed(2.0)
    assert math.isnan(bungee_speed(stiffness=1.0, stretch=1.0, mass=5.0))
    assert lull_limit(8.0, 1.0, 9.80665, 1.0) < lull_limit(8.0, 3.0, 9.80665, 1.0) <= 4.0
    assert rolling_gust(2.0, 1.0, 10.0) == pytest.approx(2.0 * rolling_gust(1.0, 1.0, 10.0))
    assert math.isnan(ground_run_alone(mass=1.2, thrust=0.1, friction=0.1, lift_off_speed=7.0).distance)
    with pytest.raises(InputError):
        ground_run_alone(mass=0.0, thrust=1.0, lift_off_speed=7.0)


def test_words_that_are_not_known_are_told() -> None:
    aeroplane = load(EXAMPLES / "thistledown.toml")
    with pytest.raises(InputError, match="surface"):
        launch(aeroplane, surface="mud")
    with pytest.raises(InputError, match="around"):
        launch(aeroplane, around="sea")
