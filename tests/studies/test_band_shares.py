"""What drives the band: the verdict's dominant Unknown against variance shares, and the draws that mislead."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import rotorwright
from rotorwright.base.errors import InputProblems
from rotorwright.base.unknown import unknowns
from rotorwright.studies.band_shares import band_shares
from rotorwright.studies.evaluate import fly
from rotorwright.studies.leading import leading_shares
from rotorwright.studies.sampling import normal_scores
from rotorwright.studies.verdict import dominant, rank_correlation

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def correlated_pair() -> tuple[int, int]:
    """The two Unknowns whose shipped 128 draws happen to be correlated most."""
    scores = normal_scores(128, len(unknowns()))
    correlation = np.abs(np.corrcoef(scores.T)) - np.eye(scores.shape[1])
    one, two = np.unravel_index(int(np.argmax(correlation)), correlation.shape)
    assert correlation[one, two] > 0.3
    return int(one), int(two)


def test_an_unknown_is_not_blamed_for_another_whose_draws_are_like_its_own() -> None:
    scores = normal_scores(128, len(unknowns()))
    cause, bystander = correlated_pair()
    others = [place for place in range(scores.shape[1]) if place not in (cause, bystander)]
    outcome = scores[:, cause] + 0.3 * scores[:, others[0]]
    blamed = np.abs(rank_correlation(scores, outcome)) ** 2
    shares = leading_shares(scores, outcome)
    assert blamed[bystander] > 0.1
    assert abs(shares[bystander]) < 0.02
    assert shares[cause] > 0.75


def test_shares_of_a_linear_model_are_those_of_its_closed_form_and_carry_the_sign() -> None:
    draws = np.random.default_rng(4).standard_normal((2000, 6))
    outcome = 3.0 * draws[:, 0] - 2.0 * draws[:, 1] + 1.0 * draws[:, 2]
    shares = leading_shares(draws, outcome)
    assert shares[:3] == pytest.approx(np.array([9.0, -4.0, 1.0]) / 14.0, abs=0.04)
    assert shares[3:] == pytest.approx(0.0, abs=0.01)
    assert np.all(leading_shares(draws, np.full(2000, np.nan)) == 0.0)
    assert np.all(leading_shares(draws, np.ones(2000)) == 0.0)


@pytest.mark.parametrize(("name", "rows"), [("marsh-tumbler", 256), ("plain-wing", 64)])
def test_the_dominant_unknown_of_a_verdict_leads_the_variance_too(name: str, rows: int) -> None:
    aeroplane = rotorwright.load(EXAMPLES / f"{name}.toml")
    unknown, share = dominant(fly(aeroplane, samples=128))
    found = band_shares(aeroplane, rows=rows)
    assert unknown is not None
    assert share is not None
    leaders = [driver.unknown.name for driver in found.drivers[:2] if driver.unknown is not None]
    assert unknown.name in leaders
    assert found.drivers[-1].unknown is None
    assert found.kept == 1.0


def test_wrong_questions_are_told() -> None:
    aeroplane = rotorwright.load(EXAMPLES / "plain-wing.toml")
    with pytest.raises(InputProblems, match="no number whose band"):
        band_shares(aeroplane, "beauty")
    with pytest.raises(InputProblems, match="power of two"):
        band_shares(aeroplane, rows=100)
