"""The span-wise method held against closed forms of wing theory, a series solved here, and the rotor room."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from rotorwright.base import records
from rotorwright.base.errors import InputError
from rotorwright.flight.alone import assemble_parts
from rotorwright.flight.numbers import case_of, physics_tables
from rotorwright.flight.span_wise import Motion, induced_drag_alone, set_up, solve_span_wise
from rotorwright.flight.span_wise_alone import mutual_drag_alone, plain_wing_alone, rotors_alone
from rotorwright.flight.span_wise_strips import end_loss_shape
from rotorwright.flight.span_wise_trim import first_motion, trim_span_wise
from rotorwright.physics.airframe.downwash import downwash_growth
from rotorwright.physics.rotor.loads import rotor_load_parts

DRUM = {"kind": records.DRUM, "span": 0.5, "diameter": 0.1, "stages": 1.0, "buckets": 2.0}
DISCS = {"disc_diameter": 0.2, "disc_thickness": 0.003, "end_discs": 2.0, "discs_turn": 1.0}


def series_wing(aspect_ratio: float, terms: int = 200) -> tuple[float, float]:
    """Lift slope and induced factor of a rectangle by a sine series of circulation (Glauert), section slope 2π."""
    theta = (np.arange(terms) + 0.5) * 0.5 * math.pi / terms
    order = 2 * np.arange(terms) + 1
    mu = 2.0 * math.pi / (4.0 * aspect_ratio)
    sine = np.sin(theta)[:, None]
    matrix = np.sin(theta[:, None] * order) * (mu * order + sine)
    found = np.linalg.solve(matrix, mu * np.sin(theta))
    return float(math.pi * aspect_ratio * found[0]), float((order * (found / found[0]) ** 2).sum())


@pytest.mark.parametrize("aspect_ratio", [3.0, 6.0, 12.0])
def test_elliptic_wing_is_that_of_the_closed_form(aspect_ratio: float) -> None:
    wing = plain_wing_alone(aspect_ratio=aspect_ratio, incidence=0.01, planform="elliptic", strips=41)
    assert wing["lift_coefficient"] == pytest.approx(0.01 * 2.0 * math.pi / (1.0 + 2.0 / aspect_ratio), rel=1e-3)
    assert wing["induced_factor"] == pytest.approx(1.0, rel=1e-4)
    assert wing["wake_drag_coefficient"] == pytest.approx(wing["induced_drag_coefficient"], rel=1e-4)
    far = 2.0 * wing["lift_coefficient"] / (math.pi * aspect_ratio)
    assert wing["downwash"] == pytest.approx(far, rel=0.02)  # the sheet is as thick as 3 % of the chord


@pytest.mark.parametrize("aspect_ratio", [3.0, 6.0, 10.0])
def test_rectangular_wing_is_that_of_a_series(aspect_ratio: float) -> None:
    slope, factor = series_wing(aspect_ratio)
    wing = plain_wing_alone(aspect_ratio=aspect_ratio, incidence=0.01)
    assert wing["lift_coefficient"] == pytest.approx(0.01 * slope, rel=1e-3)
    assert wing["induced_factor"] - 1.0 == pytest.approx(factor - 1.0, abs=1e-3)


def test_a_long_wing_comes_near_the_section() -> None:
    wing = plain_wing_alone(aspect_ratio=200.0, incidence=0.01, strips=80)
    assert wing["lift_coefficient"] == pytest.approx(0.02 * math.pi, rel=0.02)
    assert wing["induced_drag_coefficient"] < 0.02 * wing["lift_coefficient"] ** 2


@pytest.mark.parametrize("aspect_ratio", [4.0, 8.0])
def test_roll_damping_of_an_elliptic_wing(aspect_ratio: float) -> None:
    wing = plain_wing_alone(aspect_ratio=aspect_ratio, incidence=0.0, planform="elliptic", roll_helix=0.02)
    exact = -2.0 * math.pi / 8.0 / (1.0 + 4.0 / aspect_ratio)  # closed form: second term of the series alone
    assert wing["rolling_moment"] / 0.02 == pytest.approx(exact, rel=2e-3)


def test_twice_the_strips_give_the_same() -> None:
    coarse, fine = (plain_wing_alone(aspect_ratio=6.0, incidence=0.05, strips=count) for count in (12, 48))
    assert coarse["lift_coefficient"] == pytest.approx(fine["lift_coefficient"], rel=2e-3)
    drums = [rotors_alone(rotors=[DRUM], airspeed=10.0, spin_ratio=2.0, strips=count) for count in (8, 24)]
    assert drums[0]["induced_drag"] == pytest.approx(drums[1]["induced_drag"], rel=3e-3)


@pytest.mark.parametrize("spin_ratio", [0.0, 1.0, 2.0, 4.0])
@pytest.mark.parametrize("more", [{}, DISCS, {"inner_end": 1.0, "y": 0.3}], ids=["plain", "discs", "sealed"])
def test_a_rotor_alone_lifts_and_drags_as_its_room_says(spin_ratio: float, more: dict[str, float]) -> None:
    twin = [DRUM | more] if "y" not in more else [DRUM | more, DRUM | more | {"y": -more["y"]}]
    found = rotors_alone(rotors=twin, airspeed=9.0, spin_ratio=spin_ratio)
    case = case_of(assemble_parts({"rotors": twin}), 0)
    lift, profile, end, disc, _, _ = rotor_load_parts(
        case.rotors[0], physics_tables().rotor[0], 9.0, 180.0 * spin_ratio, 1.225, 1.789e-5, case.factors[0]
    )
    assert found["lift"][0] == pytest.approx(lift, rel=2e-3, abs=1e-9)
    if "y" not in more:
        assert found["drag"][0] == pytest.approx(profile + end + disc, rel=1e-9)
        assert found["end_drag"][0] == pytest.approx(end, rel=1e-9, abs=1e-12)


def test_induced_drag_of_a_rotor_is_less_than_its_end_drag_and_the_same_near_and_far() -> None:
    for more in ({}, DISCS):
        found = rotors_alone(rotors=[DRUM | more], airspeed=10.0, spin_ratio=2.0)
        ideal = found["lift"][0] ** 2 / (math.pi * 61.25 * 0.25)
        assert found["induced_drag"][0] == pytest.approx(found["wake_drag"][0], rel=1e-3)
        assert found["induced_drag"][0] < found["end_drag"][0]
        assert (ideal < found["induced_drag"][0]) == (not more), "discs carry the wake beyond the span"


def test_sealed_halves_are_one_wing() -> None:
    halves = [DRUM | {"inner_end": 1.0, "span": 0.25, "y": side * 0.125} for side in (-1.0, 1.0)]
    pair = rotors_alone(rotors=halves, airspeed=10.0, spin_ratio=2.0, strips=10)
    whole = rotors_alone(rotors=[DRUM], airspeed=10.0, spin_ratio=2.0, strips=20)
    assert sum(pair["lift"]) == pytest.approx(whole["lift"][0], rel=1e-6)
    assert sum(pair["induced_drag"]) == pytest.approx(whole["induced_drag"][0], rel=1e-3)
    assert sum(pair["drag"]) == pytest.approx(whole["drag"][0], rel=1e-3), "the other half's pull is in the room's drag"


def test_ground_slows_the_air_at_a_wall_to_wall_rotor_as_its_image_vortex_does() -> None:
    wide = DRUM | {"inner_end": 2.0}
    height = 0.4
    found = rotors_alone(rotors=[wide], airspeed=10.0, spin_ratio=2.0, height=height)
    assert found["local_speed"][0] == pytest.approx(10.0 - found["circulation"][0] / (4.0 * math.pi * height), rel=1e-3)


def test_near_the_ground_the_wake_drags_less() -> None:
    found = [rotors_alone(rotors=[DRUM], airspeed=10.0, spin_ratio=1.0, height=height) for height in (0.1, 1.0)]
    drags = [each["wake_drag"][0] / each["circulation"][0] ** 2 for each in found]  # slower air: more spin ratio
    assert drags[0] < 0.75 * drags[1]


def test_what_one_rotor_gains_from_another_is_what_the_wake_says() -> None:
    """Munk: drag of one above the other is that of the wake, whatever the stagger. Light load, so that it is linear."""
    rotors = [DRUM, DRUM | {"x": -0.3, "z": -0.4}]
    both = rotors_alone(rotors=rotors, airspeed=10.0, spin_ratio=0.3, strips=20)
    alone = rotors_alone(rotors=[DRUM], airspeed=10.0, spin_ratio=0.3, strips=20)
    near = (
        sum(both["drag"])
        - sum(profile for profile in _friction(rotors, both["local_speed"], 0.3))
        - sum(both["end_drag"])
        + sum(both["induced_drag"])
    )
    assert near == pytest.approx(both["wake_drag"][0], rel=0.05)
    assert both["wake_drag"][0] > 2.05 * alone["wake_drag"][0]


def _friction(rotors: list[dict[str, float]], speeds: list[float], spin_ratio: float) -> list[float]:
    case = case_of(assemble_parts({"rotors": rotors}), 0)
    spin = 2.0 * spin_ratio * 10.0 / 0.1
    found = []
    for rotor, speed in zip(case.rotors, speeds, strict=True):
        parts = rotor_load_parts(rotor, physics_tables().rotor[0], speed, spin, 1.225, 1.789e-5, case.factors[0])
        found.append(parts[1] + parts[3])
    return found


def test_a_rear_rotor_flies_in_the_downwash() -> None:
    found = rotors_alone(rotors=[DRUM, DRUM | {"x": -0.5}], airspeed=10.0, spin_ratio=2.0)
    assert found["drag"][1] > 1.4 * found["drag"][0]
    assert found["lift"][1] == pytest.approx(found["lift"][0], rel=0.1)


def test_downwash_on_the_centre_line_grows_as_the_fast_form_says() -> None:
    case, motion = _with_tail(DRUM)
    solution = solve_span_wise(set_up(case, physics_tables(), motion), motion)
    places = np.array([[-x, 0.013, -0.1] for x in (0.25, 0.5, 1.0, 2.0)])
    down = solution.induced_at(places, besides=1)[:, 2]
    share = down / down[-1]
    fast = [downwash_growth(-place[0], 0.1, 0.5) for place in places]
    assert share == pytest.approx(np.array(fast) / fast[-1], abs=0.16)  # the fast form peaks close by


def _with_tail(rotor: dict[str, float], **more: float) -> tuple[Any, Motion]:
    tail = {
        "kind": records.TAIL, "area": 0.05, "span": 0.4, "chord": 0.125, "x": -0.8, "z": -0.12, "max_lift": 0.9,
        "section_drag": 0.02, "control": records.ELEVATOR, "control_share": 0.35, "control_travel": 0.4,
        "control_sign": 1.0,
    }  # fmt: skip
    mass = {"mass": 0.9, "x": 0.06, "ixx": 0.03, "iyy": 0.05, "izz": 0.07}
    propeller = {"kind": records.PROPELLER, "x": 0.3, "diameter": 0.2, "pitch": 0.1, "blades": 2.0}
    parts = {
        "rotors": [rotor | {"drive": 0.0}], "surfaces": [tail | more], "masses": [mass], "thrusters": [propeller],
        "bodies": [{"length": 0.8, "width": 0.08, "height": 0.1, "x": -0.3, "drag_area": 0.003}],
    }  # fmt: skip
    return case_of(assemble_parts(parts), 0), Motion((10.0, 0.0, 0.5), rotor_speeds=(400.0,), thrusts=(0.0,))


def test_level_flight_balances() -> None:
    case, guess = _with_tail(DRUM)
    start = first_motion(case, physics_tables(), guess)
    trim = trim_span_wise(set_up(case, physics_tables(), start), start)
    assert trim.found
    assert abs(trim.elevator) < 1.0
    again = trim_span_wise(set_up(case, physics_tables(), trim.solution.motion), trim.solution.motion)
    assert again.airspeed == pytest.approx(trim.airspeed, rel=0.02)  # end losses of the new speed
    weight = 0.9 * 9.80665
    force = trim.solution.force
    up = np.array([0.5, 0.0, -10.0]) / math.hypot(10.0, 0.5)
    lifted = float(force @ up) + trim.thrust * 0.5 / math.hypot(10.0, 0.5)
    assert lifted == pytest.approx(weight, rel=5e-3)  # the body's own cross flow is the rest


def test_up_elevator_lifts_the_nose_and_slipstream_lifts_more() -> None:
    case, motion = _with_tail(DRUM)
    problem = set_up(case, physics_tables(), motion)
    level = solve_span_wise(problem, motion)
    up = solve_span_wise(problem, replace(motion, controls=(-0.5, 0.0, 0.0, 0.0)))
    assert up.moment[1] > level.moment[1]
    blown = solve_span_wise(problem, replace(motion, thrusts=(5.0,)))
    assert blown.loads[:, 0].sum() > 1.01 * level.loads[:, 0].sum()


def test_sideslip_on_dihedral_rolls_away_and_left_and_right_are_alike() -> None:
    half = {"kind": records.WING, "area": 0.1, "span": 0.5 * math.sqrt(2.0), "chord": 0.2, "max_lift": 1.0}
    left, right = half | {"y": -0.25, "tilt": 0.1}, half | {"y": 0.25, "tilt": -0.1}
    case = case_of(assemble_parts({"surfaces": [left, right], "masses": [{"mass": 1.0, "ixx": 1.0}]}), 0)

    def rolling(side: float) -> float:
        motion = Motion((10.0, side, 0.5))
        return float(solve_span_wise(set_up(case, physics_tables(), motion), motion).moment[0])

    assert abs(rolling(0.0)) < 1e-6
    assert rolling(1.0) < -1e-3, "wind from the right lifts the right half of a wing with dihedral"
    assert rolling(-1.0) == pytest.approx(-rolling(1.0), rel=1e-5)


def test_bare_rotors_hardly_damp_roll_but_couple_it() -> None:
    """A rotor's lift knows no angle of attack: rolling only tilts it, so drag alone damps and lift yaws."""
    rolled = rotors_alone(rotors=[DRUM], airspeed=10.0, spin_ratio=2.0, roll_rate=1.0)
    lift = rolled["lift"][0]
    assert -0.05 * lift * 0.25**2 * 2.0 < rolled["roll_moment"][0] < 0.0
    assert rolled["yaw_moment"][0] < 0.0


def test_shape_of_lift_has_mean_one_and_falls_to_the_open_end() -> None:
    places = (np.arange(4000) + 0.5) / 4000
    for share, reach, fall in ((0.1, 1.0, 0.2), (0.9, 1.0, 0.1), (0.6, 1.4, 0.2)):
        shape, end = end_loss_shape(places, share, reach, fall)
        assert np.all(np.diff(shape) <= 1e-12)
        assert (end == 0.0) == (reach == 1.0)
    nearly_full, _ = end_loss_shape(places, 0.999, 1.0, 0.1)
    ellipse = 4.0 / math.pi * np.sqrt(1.0 - places**2)
    assert np.abs(nearly_full / nearly_full.mean() - ellipse).max() < 0.09


def test_two_wings_one_above_the_other_pull_on_each_other_alike() -> None:
    assert mutual_drag_alone(gap_over_span=0.2, span_ratio=0.8) < mutual_drag_alone(gap_over_span=0.1, span_ratio=0.8)
    assert mutual_drag_alone(gap_over_span=5.0) < 0.01


def test_nothing_that_lifts_is_said() -> None:
    case = case_of(assemble_parts({"masses": [{"mass": 1.0, "ixx": 1.0}]}), 0)
    with pytest.raises(InputError, match="nothing that lifts"):
        set_up(case, physics_tables(), Motion((10.0, 0.0, 0.0)))


def test_own_drag_of_every_rotor_is_told_apart() -> None:
    case = case_of(assemble_parts({"rotors": [DRUM, DRUM | {"z": -5.0}]}), 0)
    motion = Motion((10.0, 0.0, 0.0), rotor_speeds=(400.0, 200.0))
    drags = induced_drag_alone(solve_span_wise(set_up(case, physics_tables(), motion), motion))
    assert drags[0] > 3.0 * drags[1] > 0.0
