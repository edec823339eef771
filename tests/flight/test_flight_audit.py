"""The books of a simulated flight add up: energy against work, momentum against push, a seized rotor's spin kept."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from house.walk import ROOT
from rotorwright.design.aircraft_file import load
from rotorwright.flight.flight_audit import AUDIT_NAMES, GAINED, MOMENTUM, MOVED, PUSH, WEIGHT_TIME, WORKS
from rotorwright.flight.layout import ROTOR_SPEEDS
from rotorwright.flight.numbers import physics_tables
from rotorwright.flight.simulate import Simulated, simulate_with
from rotorwright.studies.custom_blade import filled
from rotorwright.studies.first_flights_draws import draw
from rotorwright.studies.flight_events import read_event
from rotorwright.studies.flight_setup import Conditions, flights_for, numbers_for, set_up

FLIGHTS = 6


@pytest.fixture(scope="module")
def aeroplane() -> Any:
    return load(ROOT / "examples" / "drum-major.toml")


def flown(aeroplane: Any, rate: int, keep: int = 0, **told: Any) -> Simulated:
    setup = set_up(aeroplane, Conditions(**told))
    draws = draw(0, FLIGHTS, seed=1)
    numbers = numbers_for(setup, draws)
    return simulate_with(numbers, physics_tables(), flights_for(setup, numbers, draws), rate=rate, keep=keep)


def energy_unexplained(done: Simulated) -> Any:
    return np.abs(done.audits[:, GAINED] - done.audits[:, :WORKS].sum(axis=1)) / done.audits[:, MOVED]


@pytest.fixture(scope="module")
def whole(aeroplane: Any) -> tuple[Simulated, Simulated]:
    told = {"wind": 2.0, "turbulent": True, "launch": "ground", "plans": True, "duration": 40.0}
    return flown(aeroplane, 200, **told), flown(aeroplane, 400, **told)


def test_energy_gained_is_work_done(whole: tuple[Simulated, Simulated]) -> None:
    assert energy_unexplained(whole[0]).max() < 2e-3


def test_what_is_unexplained_is_the_step(whole: tuple[Simulated, Simulated]) -> None:
    assert np.median(energy_unexplained(whole[1])) < 0.7 * np.median(energy_unexplained(whole[0]))


def test_momentum_gained_is_push_given(whole: tuple[Simulated, Simulated]) -> None:
    audits = whole[0].audits
    off = np.abs(audits[:, MOMENTUM : MOMENTUM + 3] - audits[:, PUSH : PUSH + 3])
    assert (off.max(axis=1) / audits[:, WEIGHT_TIME]).max() < 2e-3


def test_every_force_has_the_sign_of_what_it_does(whole: tuple[Simulated, Simulated]) -> None:
    works = dict(zip(AUDIT_NAMES, whole[0].audits.T, strict=True))
    assert (works["work_of_thrust"] > 0.0).all()
    assert (works["work_of_drives"] > 0.0).all()
    assert (works["work_of_air_on_rotors"] < 0.0).all()
    assert (works["work_of_bearings"] < 0.0).all()
    assert (works["work_of_ground"] < 0.0).all()
    assert (works["work_of_air"] < 0.0).all()


def test_a_seized_rotor_hands_its_spin_to_the_airframe(aeroplane: Any) -> None:
    rows = filled(aeroplane)
    event = read_event("rotors stop at 1 s", rows.names)
    told = {"wind": 0.0, "turbulent": False, "launch": "air", "plans": False, "duration": 1.005}
    without, seized = flown(aeroplane, 200, **told), flown(aeroplane, 200, events=(event,), **told)
    numbers = numbers_for(set_up(aeroplane, Conditions(**told)), draw(0, FLIGHTS, seed=1))
    inertia = numbers.rotors["polar_inertia"].sum(axis=1) / numbers.vehicle["iyy"]
    spins = slice(ROTOR_SPEEDS, ROTOR_SPEEDS + len(rows.rotors))
    assert (seized.ends[:, spins] == 0.0).all()
    kicked = seized.ends[:, 4] - without.ends[:, 4]
    spin = without.ends[:, spins].mean(axis=1)
    assert (spin > 0.0).all()  # top of the rotor went aft, so the nose goes up
    assert kicked == pytest.approx(inertia * spin, rel=0.3)  # the geared motors and a step of air come on top
