"""Gusts have the variance and the spectrum that are printed, whatever the step."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy import integrate, signal

from rotorwright import InputError
from rotorwright.physics.air.wind import spectrum_across, spectrum_along
from rotorwright.studies.turbulence import second_order_step, turbulence


@pytest.mark.parametrize("step", [0.02, 0.2])
def test_variance_is_the_stated_one(step: float) -> None:
    gusts = turbulence(height=10.0, wind=5.0, airspeed=10.0, duration=20000.0, step=step, seed=3)
    along, up = gusts.intensities
    assert np.std(gusts.along) == pytest.approx(along, rel=0.06)
    assert np.std(gusts.across) == pytest.approx(along, rel=0.06)
    assert np.std(gusts.up) == pytest.approx(up, rel=0.03)


def test_spectrum_is_the_printed_one() -> None:
    """Welch's estimate (scipy) of a long series against MIL-F-8785C, in bands of frequency."""
    gusts = turbulence(height=20.0, wind=6.0, airspeed=12.0, duration=40000.0, step=0.05, seed=11)
    for series, law, length, size in (
        (gusts.along, spectrum_along, gusts.lengths[0], gusts.intensities[0]),
        (gusts.across, spectrum_across, gusts.lengths[0], gusts.intensities[0]),
        (gusts.up, spectrum_across, gusts.lengths[1], gusts.intensities[1]),
    ):
        cycles, found = signal.welch(series, fs=20.0, nperseg=8192)
        omega, density = 2.0 * math.pi * cycles, found / (2.0 * math.pi)
        for low, high in pairwise((0.02, 0.1, 0.5, 2.0, 8.0)):
            inside = (omega > low) & (omega < high)
            expected = np.mean([law(float(w), 12.0, length, size) for w in omega[inside]])
            assert np.mean(density[inside]) == pytest.approx(expected, rel=0.1)


@pytest.mark.parametrize("law", [spectrum_along, spectrum_across])
def test_spectra_hold_the_whole_variance(law: object) -> None:
    assert callable(law)
    whole, _ = integrate.quad(lambda w: law(w, 9.0, 60.0, 1.3), 0.0, np.inf, limit=200)
    assert whole == pytest.approx(1.3**2, rel=1e-6)


def test_many_small_steps_are_one_large_one() -> None:
    """Two half steps of the second-order filter carry and scatter what one whole step does."""
    kept, carried, a, b, c, *_ = second_order_step(0.3)
    half_kept, half_carried, d, e, f, *_ = second_order_step(0.15)
    move = np.array([[half_kept, 0.0], [half_carried, half_kept]])
    scatter = np.array([[d, 0.0], [e, f]]) @ np.array([[d, 0.0], [e, f]]).T
    assert move @ move == pytest.approx(np.array([[kept, 0.0], [carried, kept]]))
    root = np.array([[a, 0.0], [b, c]])
    assert move @ scatter @ move.T + scatter == pytest.approx(root @ root.T)


def test_same_seed_same_gusts() -> None:
    asked = {"height": 10.0, "wind": 4.0, "airspeed": 8.0, "duration": 5.0, "step": 0.01}
    first, again, other = (turbulence(**asked, seed=seed) for seed in (1, 1, 2))
    assert np.array_equal(first.up, again.up)
    assert not np.array_equal(first.up, other.up)
    assert not turbulence(**{**asked, "wind": 0.0}).along.any()


@pytest.mark.parametrize("wrong", [{"airspeed": 0.0}, {"step": -1.0}, {"wind": math.nan}])
def test_mistakes_are_named(wrong: dict[str, float]) -> None:
    asked = {"height": 10.0, "wind": 4.0, "airspeed": 8.0, "duration": 5.0, "step": 0.01}
    with pytest.raises(InputError, match=next(iter(wrong))):
        turbulence(**{**asked, **wrong})
