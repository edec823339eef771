"""Pictures of an exploration: a sweep as lines, a map with what does not fly hatched, designs as points."""

from __future__ import annotations

from typing import Any

import altair as alt
import numpy as np

from rotorwright.design.fields import dimension_of
from rotorwright.design.unit_table import DIMENSIONS
from rotorwright.design.units import UnitProblem, reading
from rotorwright.sheets.explore import IN_PER_CENT, plain_name
from rotorwright.sheets.numbers import ShownUnits, convert, shown_unit, spelled, units_of
from rotorwright.sheets.picture import ACCENT, FAINT, INK, PAPER, Rows, axis, listed, themed
from rotorwright.studies.explore import MAP, SWEEP, Explored
from rotorwright.studies.explore_asked import Vary
from rotorwright.studies.explore_designs import FLOWN, LOW_RESERVE, OWN, SCORE

WIDE, TALL = 460, 380
HATCH = "M-1,1L1,-1"
SHADE = ["#f3ead2", "#c9b98c", "#8b7f5e", "#4b463c"]


def explore_picture(explored: Explored) -> Any:
    """Return the picture of an exploration.

    A sweep draws the first goal over the field; a map shades it and hatches where the aeroplane does not fly level with
    the reserve or misses a limit; scattered and sought designs are points over the first two goals.
    """
    if explored.kind == SWEEP:
        return themed(_sweep(explored))
    if explored.kind == MAP:
        return themed(_map(explored))
    return themed(_points(explored))


def _field_axis(explored: Explored, vary: Vary) -> tuple[list[Any], str]:
    """Return the values of a field of all designs in the maker's unit, and the title of its axis."""
    place = [each.field for each in explored.vary].index(vary.field)
    values = [vary.at(float(share)) for share in explored.kept.shares[:, place]]
    parts = vary.field.split(".")
    title = " ".join([parts[1], parts[0], *parts[2:]] if len(parts) > 2 else parts).replace("_", " ")
    if vary.choices:
        return [str(value) for value in values], title
    dimension = dimension_of(vary.field) or "number"
    try:
        unit = reading(explored.aeroplane.echo(vary.field, vary.high), dimension).unit
    except UnitProblem:
        unit = ""
    factor, offset = DIMENSIONS[dimension].units.get(unit, (1.0, 0.0))
    return [(value - offset) / factor for value in values], f"{title} [{unit}]" if unit else title


def _goal(explored: Explored, name: str, units: ShownUnits) -> tuple[np.ndarray[Any, Any], str]:
    """Return a quantity of all designs in the maker's unit, and what it is called."""
    numbers = explored.kept.column(name)
    if name in IN_PER_CENT:
        return 100.0 * numbers, f"{plain_name(name)} [%]"
    unit = OWN[name][0] if name in OWN else explored.kept.units[explored.kept.names.index(name)]
    if unit == "1":
        return numbers, plain_name(name)
    there = numbers[np.isfinite(numbers)]
    shown = shown_unit(float(np.median(np.abs(there))) if len(there) else 1.0, unit, units)
    return np.array([convert(float(each), unit, shown) for each in numbers]), f"{plain_name(name)} [{spelled(shown)}]"


def _sweep(explored: Explored) -> Any:
    units = units_of(explored.aeroplane.told)
    x, x_title = _field_axis(explored, explored.vary[0])
    goal = explored.goals[0].name
    y, y_title = _goal(explored, "reserve_thrust" if goal == SCORE else goal, units)
    rows: Rows = [
        {"x": x[place], "y": float(y[place]), "good": bool(explored.good[place]), "order": place}
        for place in range(len(x))
        if np.isfinite(y[place])
    ]
    kind = "O" if explored.vary[0].choices else "Q"
    data = listed(rows)
    scale = alt.Undefined if kind == "O" else alt.Scale(zero=False, nice=False)
    base = alt.Chart(data).encode(
        x=alt.X(f"x:{kind}", axis=axis(x_title), scale=scale),
        y=alt.Y("y:Q", axis=axis(y_title), scale=alt.Scale(zero=False)),
    )
    line = base.mark_line(stroke=INK, strokeWidth=2.2)
    spots = base.mark_point(size=60, strokeWidth=1.8).encode(
        shape=alt.Shape("good:N", scale=_good_scale(["circle", "cross"]), title=None, legend=_good_legend()),
        stroke=alt.Stroke("good:N", scale=_good_scale([INK, ACCENT]), legend=None),
        fill=alt.Fill("good:N", scale=_good_scale([INK, PAPER]), legend=None),
    )
    return alt.layer(line, spots).properties(width=WIDE, height=TALL * 0.75, title=_title(explored))


def _good_scale(marks: list[str]) -> alt.Scale:
    return alt.Scale(domain=[True, False], range=marks)


def _good_legend() -> alt.Legend:
    words = "datum.value ? 'flies with the reserve, limits kept' : 'does not'"
    return alt.Legend(labelExpr=words, title=None)


def _title(explored: Explored) -> str:
    limits = f", with {' and '.join(each.words for each in explored.limits)}" if explored.limits else ""
    return f"{explored.aeroplane.name}{limits}"


def _map(explored: Explored) -> Any:
    units = units_of(explored.aeroplane.told)
    (x, x_title), (y, y_title) = (_field_axis(explored, each) for each in explored.vary)
    goal = explored.goals[0].name
    z, z_title = _goal(explored, "reserve_thrust" if goal == SCORE else goal, units)
    rows: Rows = []
    for place in range(len(x)):
        rows.append(
            {"x": _label(x[place]), "y": _label(y[place]), "z": float(z[place]) if np.isfinite(z[place]) else None,
             "good": bool(explored.good[place])}
        )  # fmt: skip
    ways = [list(dict.fromkeys(_label(each) for each in values)) for values in (x, y)]
    shown = [_few(each) for each in ways]
    at = {
        "x": alt.X("x:O", sort=ways[0], scale=alt.Scale(paddingInner=0.0, paddingOuter=0.0),
                   axis=axis(x_title, values=shown[0], labelAngle=0)),
        "y": alt.Y("y:O", sort=ways[1][::-1], scale=alt.Scale(paddingInner=0.0, paddingOuter=0.0),
                   axis=axis(y_title, values=shown[1])),
    }  # fmt: skip
    there = [row for row in rows if row["z"] is not None]
    shade = (
        alt.Chart(listed(there))
        .mark_rect()
        .encode(
            **at,
            color=alt.Color(
                "z:Q", scale=alt.Scale(range=SHADE), title=z_title,
                legend=alt.Legend(orient="right", gradientLength=TALL * 0.8, titleLimit=200, title=z_title),
            ),
        )
    )  # fmt: skip
    size = 0.55 * min(WIDE / len(ways[0]), TALL / len(ways[1]))
    bad = (
        alt.Chart(listed([row for row in rows if not row["good"]]))
        .mark_point(shape=HATCH, size=2.2 * size**2, stroke=ACCENT, strokeWidth=1.4, opacity=1.0)
        .encode(**at)
    )
    said = "Hatched: does not fly level with the reserve" + (", or a limit is missed" if explored.limits else "")
    title = alt.Title(_title(explored), subtitle=said, subtitleColor=INK, subtitleFontSize=13)
    return alt.layer(shade, bad).properties(width=WIDE, height=TALL, title=title)


def _label(value: Any) -> str:
    return value if isinstance(value, str) else f"{value:.4g}"


def _few(labels: list[str]) -> list[str]:
    step = max(1, -(-len(labels) // 7))
    return labels[::step]


def _points(explored: Explored) -> Any:
    units = units_of(explored.aeroplane.told)
    names = [goal.name for goal in explored.goals]
    names = ["reserve_thrust" if name == SCORE else name for name in names]
    for other in ("mass", "level_speed", LOW_RESERVE):
        if len(names) < 2 and other in explored.kept.names and other not in names:
            names.append(other)
    (x, x_title), (y, y_title) = (_goal(explored, name, units) for name in names[:2])
    rows: Rows = [
        {"x": float(x[place]), "y": float(y[place]), "good": bool(explored.good[place])}
        for place in np.flatnonzero(explored.kept.state == FLOWN)
        if np.isfinite(x[place]) and np.isfinite(y[place])
    ]
    scale = alt.Scale(zero=False)
    at = {"x": alt.X("x:Q", axis=axis(x_title), scale=scale), "y": alt.Y("y:Q", axis=axis(y_title), scale=scale)}
    spots = (
        alt.Chart(listed(rows))
        .mark_point(size=34, strokeWidth=1.3)
        .encode(
            **at,
            shape=alt.Shape("good:N", scale=_good_scale(["circle", "cross"]), title=None, legend=_good_legend()),
            stroke=alt.Stroke("good:N", scale=_good_scale([INK, FAINT]), legend=None),
        )
    )
    best: Rows = [
        {"x": float(x[each.design]), "y": float(y[each.design]), "name": str(number)}
        for number, each in enumerate(explored.best, 1)
    ]
    ring = (
        alt.Chart(listed(best))
        .mark_point(size=330, stroke=ACCENT, strokeWidth=2.2, fill=PAPER, opacity=1.0)
        .encode(**at)
    )
    number = alt.Chart(listed(best)).mark_text(fontSize=13, color=ACCENT, fontWeight="bold").encode(**at, text="name:N")
    return alt.layer(spots, ring, number).properties(width=WIDE, height=TALL, title=_title(explored))
