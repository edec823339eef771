"""Map of an aeroplane's natural motions: how quickly each one fades or grows, and how often it swings."""

from __future__ import annotations

import math
from typing import Any

import altair as alt

from rotorwright.sheets.picture import ACCENT, FAINT, FONT, INK, PAPER, SHAPES, Rows, axis, listed, themed
from rotorwright.studies.bench_modes import Mode, Modes
from rotorwright.studies.handling import Handling

WIDTH, HEIGHT = 520, 320
AS_BUILT, CANCELLED = "as it is", "spin cancelled by a flywheel"
PLAIN = {
    "short period": "nose bobs",
    "phugoid": "speed and height swing",
    "Dutch roll": "tail wags, wings rock",
    "coupled roll-spiral": "bank swings slowly",
    "roll": "a roll comes to its rate",
    "spiral": "a bank grows or fades",
}
"""What is seen of each motion; others are of turning parts or of no name and stay off the map."""
QUICKEST = 12.0
"""Motions that fade faster than this lie on the left edge: nobody feels the difference [1/s]."""


def _place(mode: Mode, kind: str) -> dict[str, Any]:
    swings = abs(mode.imaginary) / (2.0 * math.pi)
    return {"x": max(mode.real, -QUICKEST), "y": swings, "kind": kind, "name": f"{mode.name}: {PLAIN[mode.name]}"}


def _places(modes: Modes, kind: str) -> Rows:
    return [_place(mode, kind) for mode in modes if mode.name in PLAIN]


def map_picture(answer: Handling) -> Any:
    """Return the map of the natural motions, with the spin and with the spin cancelled.

    Parameters
    ----------
    answer : Handling

    Notes
    -----
    Across: the real part of the eigenvalue [1/s], left of zero it fades; up: swings per second. One point for each
    motion; faint dots are the same motion with the physics that is not known drawn afresh.
    """
    rows = _places(answer.modes, AS_BUILT)
    plain = _places(answer.modes_without_spin, CANCELLED)
    cloud = [place for modes in answer.modes_drawn for place in _places(modes, AS_BUILT)]
    everything = [*rows, *plain, *cloud]
    left = min([row["x"] for row in everything], default=-1.0)
    right = max([row["x"] for row in everything], default=0.5)
    left, right = min(1.08 * left, -0.5), max(1.2 * right, 0.25 * abs(left), 0.3)
    top = max([1.25 * row["y"] for row in everything], default=1.0)
    across = alt.Scale(domain=[left, right], nice=False)
    up = alt.Scale(domain=[-0.04 * top, max(top, 0.2)], nice=False)
    growing = alt.Chart(listed([{"from": 0.0, "to": right}])).mark_rect(color=ACCENT, opacity=0.1)
    edge = alt.Chart(listed([{"x": 0.0}])).mark_rule(color=ACCENT, strokeWidth=1.4).encode(x="x:Q")
    sides = [{"x": 0.0, "y": max(top, 0.2), "text": "grows ›"}]
    told = alt.Chart(listed(sides)).mark_text(align="left", dx=6, dy=10, fontSize=13, font=FONT, color=ACCENT)
    faint = alt.Chart(listed(cloud)).mark_point(size=14, filled=True, color=FAINT, opacity=0.45)
    names = list(dict.fromkeys(row["name"] for row in [*rows, *plain]))
    shape = alt.Shape(
        "name:N", title=None, scale=alt.Scale(domain=names, range=[*SHAPES, "triangle-down"][: len(names)])
    )
    fill = alt.Fill("kind:N", title=None, scale=alt.Scale(domain=[AS_BUILT, CANCELLED], range=[INK, PAPER]))
    marks = alt.Chart(listed([*plain, *rows])).mark_point(size=130, stroke=INK, strokeWidth=1.5, opacity=1.0)
    x = alt.X("x:Q", scale=across, axis=axis("how fast it fades (left) or grows (right) [1/s]", tickCount=8))
    y = alt.Y("y:Q", scale=up, axis=axis("swings a second [1/s]", tickCount=6))
    layers = alt.layer(
        growing.encode(x=alt.X("from:Q", scale=across), x2="to:Q"),
        edge,
        faint.encode(x=x, y=y),
        marks.encode(x=x, y=y, shape=shape, fill=fill),
        told.encode(x=x, y=y, text="text:N"),
    )
    title = f"{answer.aeroplane.name}: the natural motions, level flight, hands off"
    return themed(layers.properties(width=WIDTH, height=HEIGHT, title=title))
