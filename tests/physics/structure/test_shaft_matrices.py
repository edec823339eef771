"""Shaft matrices against exact facts: bounds, scaling, symmetry, the reduced model against the full one."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import rotorwright
from rotorwright.base.errors import InputProblems
from rotorwright.physics.structure.rules import (
    EVEN_ROTOR_SAG_FACTOR,
    crossing_peak,
    lower_bound,
    orbit_ratio,
    sag_critical,
    upper_bound,
)

TUBE = {"outer": 0.010, "inner": 0.008, "modulus": 125e9, "shear_modulus": 4.3e9, "density": 1550.0}
PINS = [{"position": 0.0, "kx": 1e7}, {"position": 1.0, "kx": 1e7}]


def shaft(length=1.0, count=10, **more):
    return [{**TUBE, "length": length / count, **more} for _ in range(count)]


def first_critical(**told):
    return rotorwright.shaft_alone(**told).forward_critical_speeds[0].nominal


def test_twice_the_modulus_is_root_two_the_speed():
    rigid = [{"position": 0.0, "kx": math.inf}, {"position": 1.0, "kx": math.inf}]
    slim = {"shear_modulus": 1e12}
    one = first_critical(elements=shaft(**slim), supports=rigid)
    two = first_critical(elements=shaft(**slim, modulus=250e9), supports=rigid)
    assert two / one == pytest.approx(math.sqrt(2.0), rel=1e-3)


def test_half_the_length_is_four_times_the_speed():
    rigid = [{"position": 0.0, "kx": math.inf}, {"position": 0.5, "kx": math.inf}]
    slim = {"shear_modulus": 1e12}
    whole = [{"position": 0.0, "kx": math.inf}, {"position": 1.0, "kx": math.inf}]
    one = first_critical(elements=shaft(**slim), supports=whole)
    half = first_critical(elements=shaft(0.5, **slim), supports=rigid)
    assert half / one == pytest.approx(4.0, rel=2e-3)


@settings(max_examples=6, deadline=None)
@given(
    places=st.lists(st.sampled_from([0.2, 0.35, 0.5, 0.65, 0.8]), min_size=1, max_size=4, unique=True),
    mass=st.floats(0.005, 0.2),
)
def test_the_answer_lies_between_the_two_classical_bounds(places, mass):
    light = shaft(density=1e-6)
    pins = [{"position": 0.0, "kx": math.inf}, {"position": 1.0, "kx": math.inf}]
    singles = [
        first_critical(elements=light, discs=[{"position": place, "mass": mass}], supports=pins) for place in places
    ]
    discs = [{"position": place, "mass": mass} for place in places]
    whole = first_critical(elements=light, discs=discs, supports=pins)
    stiffness = 125e9 * math.pi * (0.010**4 - 0.008**4) / 64.0

    def bend(load, at):  # slender beam between pins
        a, b = min(load, at), max(load, at)
        return a * (1.0 - b) * (1.0 - a * a - (1.0 - b) ** 2) / (6.0 * stiffness)

    sags = [sum(mass * 9.80665 * bend(load, at) for load in places) for at in places]
    assert lower_bound(singles) <= whole * (1.0 + 1e-9)
    assert whole <= upper_bound([mass] * len(places), sags) * (1.0 + 1e-9)  # shear only lowers ours


@settings(max_examples=8, deadline=None)
@given(polar=st.floats(0.0, 5e-3), speed=st.floats(0.0, 500.0))
def test_forward_whirls_are_faster_than_backward_ones(polar, speed):
    disc = [{"position": 0.3, "mass": 0.1, "polar_inertia": polar, "diametral_inertia": 0.6 * polar}]
    found = rotorwright.shaft_alone(elements=shaft(), discs=disc, supports=PINS, rotor_speed=speed)
    still = rotorwright.shaft_alone(elements=shaft(), discs=disc, supports=PINS)
    pair = [quantity.nominal for quantity in found.frequencies[:2]]
    assert pair[0] <= still.frequencies[0].nominal * (1 + 1e-7)
    assert pair[1] >= still.frequencies[0].nominal * (1 - 1e-7)


def test_frequencies_at_rest_do_not_know_the_polar_inertia():
    def still(polar):
        disc = [{"position": 0.3, "mass": 0.1, "polar_inertia": polar, "diametral_inertia": 1e-4}]
        answer = rotorwright.shaft_alone(elements=shaft(), discs=disc, supports=PINS)
        return [quantity.nominal for quantity in answer.frequencies]

    assert still(0.0) == pytest.approx(still(1e-3), rel=1e-9)


def test_an_overhung_flat_disc_has_one_forward_critical_only():
    """A disc wider than long (I_p > I_d) outruns its own tilting whirl: closed form of two freedoms."""
    clamped = [{"position": 0.0, "kx": math.inf, "tilt_stiffness": math.inf}]
    mass, polar, diametral, length = 0.05, 4e-3, 2e-3, 0.3
    flat = [{"position": length, "mass": mass, "polar_inertia": polar, "diametral_inertia": diametral}]
    answer = rotorwright.shaft_alone(
        elements=shaft(length, 12, density=1e-3, shear_modulus=1e12), discs=flat, supports=clamped
    )
    bending = 125e9 * math.pi * (0.010**4 - 0.008**4) / 64.0 / length**3
    stiffness = bending * np.array([[12.0, -6.0 * length], [-6.0 * length, 4.0 * length**2]])
    squares = np.linalg.eigvals(np.linalg.solve(np.diag([mass, diametral - polar]), stiffness))
    forward = [quantity.nominal for quantity in answer.forward_critical_speeds]
    assert (squares > 0.0).sum() == 1
    assert forward[0] == pytest.approx(math.sqrt(squares.max()), rel=1e-3)
    assert forward[1] > 20.0 * forward[0]


def test_critical_speed_is_where_the_whirl_keeps_step():
    disc = [{"position": 0.3, "mass": 0.1, "polar_inertia": 1e-3, "diametral_inertia": 5e-4}]
    answer = rotorwright.shaft_alone(elements=shaft(), discs=disc, supports=PINS)
    for critical in answer.critical_speeds[:4]:
        there = rotorwright.shaft_alone(elements=shaft(), discs=disc, supports=PINS, rotor_speed=critical.nominal)
        nearest = min(abs(quantity.nominal - critical.nominal) for quantity in there.frequencies)
        assert nearest < 1e-6 * critical.nominal


def test_dividing_further_changes_little():
    disc = [{"position": 0.4, "mass": 0.05, "polar_inertia": 1e-4, "diametral_inertia": 5e-5}]
    coarse = rotorwright.shaft_alone(elements=shaft(), discs=disc, supports=PINS)
    fine = rotorwright.shaft_alone(elements=shaft(), discs=disc, supports=PINS, solver_elements=40)
    assert fine.solver_elements == 40
    for one, two in zip(coarse.critical_speeds[:4], fine.critical_speeds[:4], strict=True):
        assert one.nominal == pytest.approx(two.nominal, rel=1e-3)


def test_far_above_the_critical_the_disc_turns_about_its_heavy_spot():
    light = shaft(density=1e-6)
    disc = [{"position": 0.5, "mass": 0.1}]
    critical = first_critical(elements=light, discs=disc, supports=PINS)
    answer = rotorwright.shaft_alone(
        elements=light, discs=disc, supports=PINS, rotor_speed=10.0 * critical,
        unbalance=[{"position": 0.5, "moment": 1e-4}],
    )  # fmt: skip
    assert answer.disc_amplitudes[0].nominal == pytest.approx(1e-3 * orbit_ratio(10.0, 0.0), rel=1e-3)


def test_support_forces_carry_the_unbalance_at_low_speed():
    slow = 5.0
    answer = rotorwright.shaft_alone(
        elements=shaft(), supports=PINS, rotor_speed=slow, unbalance=[{"position": 0.25, "moment": 1e-3}]
    )
    forces = [force.nominal for force in answer.support_forces]
    assert forces == pytest.approx([0.75 * 1e-3 * slow**2, 0.25 * 1e-3 * slow**2], rel=0.01)


def test_sag_rule_of_an_even_rotor_is_1065_rpm_at_a_millimetre():
    """Closed form; 946 rpm for a single mass is the printed 0.4985/√δ Hz."""
    rpm = math.pi / 30.0
    assert sag_critical(1e-3, EVEN_ROTOR_SAG_FACTOR) / rpm == pytest.approx(1065.0, rel=1e-3)
    assert sag_critical(1e-3) / rpm == pytest.approx(60.0 * 0.4985 / math.sqrt(1e-3), rel=1e-3)


@pytest.mark.parametrize(
    ("damping", "sweep", "peak"),
    [(0.005, 3e-4, 54.7), (0.005, 1e-2, 14.1), (0.02, 1e-3, 20.3), (0.02, 1e-2, 11.3), (0.05, 3e-3, 9.2)],
)
def test_peak_while_running_through(damping, sweep, peak):
    """Against the equation of one disc, integrated here: m z̈ + c ż + k z = m e (θ̇² − iθ̈) e^{iθ}."""
    from scipy.integrate import solve_ivp

    def rate(time, state):
        spin = 0.3 + sweep * time
        angle = 0.3 * time + 0.5 * sweep * time * time
        place, speed = complex(state[0], state[1]), complex(state[2], state[3])
        push = (spin * spin - 1j * sweep) * np.exp(1j * angle)
        turn = push - 2.0 * damping * speed - place
        return [speed.real, speed.imag, turn.real, turn.imag]

    end = 1.2 / sweep
    found = solve_ivp(rate, (0.0, end), [0.0] * 4, max_step=2.0, rtol=1e-5, atol=1e-6)
    largest = np.hypot(found.y[0], found.y[1]).max()
    assert largest == pytest.approx(peak, rel=0.03)
    assert crossing_peak(sweep, damping) == pytest.approx(largest, rel=0.05)


@pytest.mark.parametrize(
    "told",
    [
        {"elements": []},
        {"elements": [{**TUBE, "length": -1.0}]},
        {"elements": [{**TUBE, "length": 1.0, "inner": 0.02}]},
        {"elements": [{"length": 1.0, "outer": 0.01}]},
        {"supports": [{"position": 3.0, "kx": 1e6}]},
        {"supports": [{"position": 0.0, "kz": 1e6}]},
        {"discs": [{"position": 0.5, "mass": -1.0}]},
        {"rotor_speed": math.nan},
        {"solver_elements": 0},
    ],
)
def test_bad_input_is_told(told):
    from rotorwright.base.errors import InputError

    asked = {"elements": shaft(), "supports": PINS} | told
    with pytest.raises((InputError, InputProblems)):
        rotorwright.shaft_alone(**asked)


def test_a_floating_shaft_is_answered_without_critical_speeds():
    answer = rotorwright.shaft_alone(elements=shaft(), supports=[])
    assert answer.critical_speeds == ()
    assert "float" in answer.notes[0]
    assert answer.frequencies[0].nominal > 100.0
