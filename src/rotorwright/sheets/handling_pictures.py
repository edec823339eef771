"""Pictures of an aeroplane's natural motions: what bank, heading, nose and speed do over time, hands off."""

from __future__ import annotations

import cmath
import math
from typing import Any

import altair as alt
import numpy as np

from rotorwright.sheets.handling_map import map_picture
from rotorwright.sheets.handling_paths import paths_picture
from rotorwright.sheets.picture import ACCENT, DASHES, SHADES, Rows, axis, lines, listed, themed
from rotorwright.studies.bench_modes import Mode
from rotorwright.studies.handling import Handling

SHOWN = ("short period", "phugoid", "Dutch roll", "coupled roll-spiral", "roll", "spiral")
LARGEST = 10.0
"""Every motion is drawn so large that its largest line reaches this [degrees or % of airspeed]."""
LATERAL, LONGITUDINAL = ("bank", "heading", "sideslip"), ("nose", "flight path", "airspeed, %")
POINTS = 120
WIDTH, HEIGHT = 300, 150


def motion_lines(mode: Mode, airspeed: float) -> dict[str, tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]]:
    """Return what one motion does over time, by name: times [s] and angles [deg] or airspeed [%].

    Parameters
    ----------
    mode : Mode
        Of a model with the body states.
    airspeed : float
        [m/s]

    Notes
    -----
    Real part of shape × e^(λt); heading is yaw rate over λ, path is nose minus w/V. Two swings or three time constants.
    """
    rate = mode.eigenvalue
    until = 2.0 * mode.period if mode.period is not None else 3.0 / max(abs(mode.real), 1e-3)
    if mode.time_to_half is not None:
        until = min(until, 6.0 * mode.time_to_half)
    if mode.time_to_double is not None:
        until = min(until, 4.0 * mode.time_to_double)
    times = np.linspace(0.0, until, POINTS)
    degrees, shape = math.degrees(1.0), mode.shape
    if _is_lateral(mode):
        states = {
            "bank": degrees * shape["phi"],
            "heading": degrees * shape["r"] / (rate if abs(rate) > 1e-9 else 1.0),
            "sideslip": degrees * shape["v"] / airspeed,
        }
    else:
        states = {
            "nose": degrees * shape["theta"],
            "flight path": degrees * (shape["theta"] - shape["w"] / airspeed),
            "airspeed, %": 100.0 * shape["u"] / airspeed,
        }
    first = max(states.values(), key=abs)
    turned = cmath.exp(-1j * cmath.phase(first)) if abs(first) > 0.0 else 1.0
    found = {name: np.real(state * turned * np.exp(rate * times)) for name, state in states.items()}
    largest = max(float(np.abs(values).max()) for values in found.values())
    scale = LARGEST / largest if largest > 0.0 else 1.0
    return {name: (times, scale * values) for name, values in found.items()}


def _is_lateral(mode: Mode) -> bool:
    return mode.name in ("Dutch roll", "coupled roll-spiral", "roll", "spiral")


def pictures_of(answer: Handling) -> dict[str, Any]:
    """Return every picture of an aeroplane's handling by name."""
    found = {"motions": motions_picture(answer), "map": map_picture(answer), "paths": paths_picture(answer)}
    if sum(trim.kind == "level" and trim.elevator.value is not None for trim in answer.speeds) > 1:
        found["speeds"] = speeds_picture(answer)
    return found


def speeds_picture(answer: Handling) -> Any:
    """Return the share of elevator travel that level flight takes over airspeed, with its band.

    Parameters
    ----------
    answer : Handling
    """
    rows: Rows = []
    for trim in answer.speeds:
        if trim.kind == "level" and trim.elevator.value is not None:
            middle = 100.0 * trim.elevator.value
            ends = (trim.elevator.low, trim.elevator.high)
            low, high = (middle if end is None else 100.0 * end for end in ends)
            rows.append({"x": trim.asked, "nominal": middle, "low": low, "high": high, "name": "level flight"})
    chart = lines(rows, "airspeed [m/s]", "elevator, trailing edge down + [% of travel]", ["level flight"],
                  legend=False, from_zero=False)  # fmt: skip
    stops = alt.Chart(listed([{"nominal": stop} for stop in (-100.0, 0.0, 100.0)])).mark_rule(
        color=ACCENT, strokeDash=[5, 4]
    )
    title = f"{answer.aeroplane.name}: elevator that trims level flight, stops at ±100 %"
    whole = alt.layer(chart, stops.encode(y="nominal:Q")).properties(width=520, height=260, title=title)
    return themed(whole)


def motions_picture(answer: Handling) -> Any:
    """Return every natural motion over time, hands off, one small chart each.

    Parameters
    ----------
    answer : Handling
    """
    charts = [_chart(mode, answer.airspeed) for name in SHOWN for mode in answer.modes if mode.name == name]
    whole = alt.concat(*charts, columns=2).properties(
        title=f"{answer.aeroplane.name}: left alone, each motion by itself, drawn to the same height"
    )
    return themed(whole.resolve_scale(color="independent", strokeDash="independent"))


def _chart(mode: Mode, airspeed: float) -> Any:
    names = list(LATERAL if _is_lateral(mode) else LONGITUDINAL)
    rows: Rows = [
        {"time": float(time), "value": float(value), "name": name}
        for name, (times, values) in motion_lines(mode, airspeed).items()
        for time, value in zip(times, values, strict=True)
    ]
    unit = "angle [deg]" if _is_lateral(mode) else "[deg] or [%]"
    shades = alt.Scale(domain=names, range=list(SHADES[: len(names)]))
    dashes = alt.Scale(domain=names, range=list(DASHES[: len(names)]))
    return (
        alt.Chart(listed(rows))
        .mark_line(strokeWidth=2.2)
        .encode(
            x=alt.X("time:Q", axis=axis("time [s]", tickCount=5), scale=alt.Scale(nice=False)),
            y=alt.Y("value:Q", axis=axis(unit, tickCount=5), scale=alt.Scale(domain=[-LARGEST, LARGEST])),
            color=alt.Color("name:N", scale=shades, title=None),
            strokeDash=alt.StrokeDash("name:N", scale=dashes, title=None),
        )
        .properties(width=WIDTH, height=HEIGHT, title=mode.words().rstrip("."))
    )
