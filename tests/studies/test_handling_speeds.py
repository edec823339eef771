"""Trim over speed moves as it must: level is level, the usual speed has the usual elevator, a cut throttle sinks."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from rotorwright.design.aircraft_file import load
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.evaluate import fly
from rotorwright.studies.handling_speeds import SPEEDS, SpeedTrim, speed_trims
from rotorwright.studies.held_flight import level_or_held

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@lru_cache
def trims(name: str) -> tuple[tuple[SpeedTrim, ...], float, float]:
    flown = fly(load(EXAMPLES / f"{name}.toml"), samples=0)
    level = level_or_held(flown)
    found = speed_trims(flown, level, Reader(flown, design_support(flown)))
    return found, float(level["elevator"][0]), float(level["throttle"][0])


@pytest.mark.parametrize("name", ["plain-wing", "drum-major", "marsh-tumbler"])
def test_the_usual_speed_has_the_usual_trim(name: str) -> None:
    found, elevator, throttle = trims(name)
    usual = next(trim for trim in found if trim.asked == found[SPEEDS.index(1.0)].asked and trim.kind == "level")
    assert usual.elevator.nominal == pytest.approx(elevator, abs=1e-4)
    assert usual.throttle.nominal == pytest.approx(throttle, rel=1e-4)
    assert usual.left.nominal == pytest.approx(1.0 - abs(elevator), abs=1e-4)


@pytest.mark.parametrize("name", ["plain-wing", "drum-major", "marsh-tumbler"])
def test_a_cut_throttle_sinks_and_faster_wants_the_nose_held_down(name: str) -> None:
    found, _, _ = trims(name)
    off = next(trim for trim in found if trim.kind == "throttle" and trim.asked == 0.0)
    assert off.climb.nominal is not None
    assert off.climb.nominal < -0.5
    level = [trim.elevator.nominal for trim in found if trim.kind == "level" and trim.elevator.nominal is not None]
    assert len(level) >= 3
    if name != "drum-major":  # there the rotor's own command keeps the lift, and the nose stays as it is
        assert level == sorted(level)


def test_a_freewheeler_is_level_near_one_speed() -> None:
    found, _, _ = trims("marsh-tumbler")
    slow, fast = (trim for trim in found if trim.kind == "level" and trim.asked in (found[0].asked, found[4].asked))
    assert slow.elevator.value is None
    assert "no steady level flight" in slow.elevator.reason
    assert fast.elevator.value is None
