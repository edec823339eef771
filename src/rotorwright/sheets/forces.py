"""The four forces at one airspeed: lift against weight, thrust against drag, with their bands."""

from __future__ import annotations

from typing import Any

import altair as alt
import numpy as np

from rotorwright.sheets.picture import PAPER_LOOK, Look, axis, listed, themed
from rotorwright.studies.balance import BalanceResult

FORCES = ("lift", "weight", "thrust", "drag")


def forces_at(answer: BalanceResult, airspeed: float) -> dict[str, tuple[float, float, float]] | None:
    """Return nominal, low and high of the four forces [N] at an airspeed within the curves of a balance.

    Parameters
    ----------
    answer : BalanceResult
    airspeed : float
        [m/s]; outside the curves their nearest end counts.

    Returns
    -------
    forces : dict or None
        By name; None if the balance has no curves (nothing flies, not even nearly).
    """
    if answer.curves is None:
        return None
    over = answer.curves.airspeed
    found = {
        curve.name: tuple(float(np.interp(airspeed, over, each)) for each in (curve.nominal, curve.low, curve.high))
        for curve in answer.curves.curves
    }
    less = found["lift_minus_weight"]
    lift = found["lift"]
    weight = answer.quantities["weight"]
    middle = weight.nominal if weight.nominal is not None else lift[0] - less[0]
    found["weight"] = (middle, _or(weight.low, middle), _or(weight.high, middle))
    return {name: (found[name][0], found[name][1], found[name][2]) for name in FORCES}


def pull_upwards_at(answer: BalanceResult, airspeed: float) -> float:
    """Return how much of the full thrust pulls square to the path, upwards, at an airspeed [N]; NaN without curves."""
    if answer.curves is None:
        return float("nan")
    nominal = {curve.name: curve.nominal for curve in answer.curves.curves}
    over, weight = answer.curves.airspeed, answer.quantities["weight"].nominal
    whole = float(np.interp(airspeed, over, nominal["lift_minus_weight"]))
    air = float(np.interp(airspeed, over, nominal["lift"]))
    return whole - (air - weight) if weight is not None else float("nan")


def forces_chart(
    forces: dict[str, tuple[float, float, float]], most: float, look: Look = PAPER_LOOK, width: int | str = "container"
) -> Any:
    """Return the four forces as bars with soft ends for their bands, on an axis that does not jump.

    Parameters
    ----------
    forces : dict
        From `forces_at`.
    most : float
        Where the axis ends [N].
    look : Look
    width : int or "container"
        Points of the drawing area; the width of what holds it on a page.
    """
    rows = [
        {"force": name, "nominal": middle, "low": low, "high": high, "shade": look.accent if place % 2 else look.ink}
        for place, (name, (middle, low, high)) in enumerate(forces.items())
    ]
    scale = alt.Scale(domain=[0.0, most], nice=True)
    base = alt.Chart(listed(rows)).encode(
        y=alt.Y("force:N", sort=list(FORCES), axis=axis("", labelFontSize=15, ticks=False, domain=False))
    )
    bars = base.mark_bar(height=18, opacity=0.85).encode(
        x=alt.X("nominal:Q", axis=axis("force [N]"), scale=scale), color=alt.Color("shade:N", scale=None)
    )
    bands = base.mark_bar(height=32, opacity=0.22).encode(
        x=alt.X("low:Q", scale=scale), x2="high:Q", color=alt.Color("shade:N", scale=None)
    )
    return themed(alt.layer(bands, bars).properties(width=width, height=190), look)


def _or(number: float | None, instead: float) -> float:
    return instead if number is None else number
