"""Pictures of a launch: the run over its way, what is left of the lift after a cut, and the wind it stands."""

from __future__ import annotations

from typing import Any

import altair as alt

from rotorwright.sheets.picture import ACCENT, FAINT, HEIGHT, INK, WIDTH, axis, lines, listed, themed
from rotorwright.studies.launch import Launch
from rotorwright.studies.wind_limits import Limit


def launch_charts(answer: Launch) -> dict[str, Any]:
    """Return the charts by name; ``run`` only with wheels."""
    charts = {}
    if answer.run is not None:
        charts["run"] = run_chart(answer)
    charts["cut"] = cut_chart(answer)
    charts["wind"] = wind_chart(answer)
    return charts


def run_chart(answer: Launch) -> Any:
    """Return airspeed over the way of the run, and of stopping from lift-off speed (every Unknown at its median)."""
    assert answer.run is not None
    run, stop = answer.run.history, answer.run.stopping
    rows = [_point("rolling to lift-off", way, speed) for way, speed in zip(run.way, run.airspeed, strict=True)]
    names = ["rolling to lift-off"]
    if stop is not None:
        names.append("stopping again, throttle shut after 1 s")
        start = float(run.way[-1])
        speed = float(stop.airspeed[0])
        after = start + max(speed - answer.field.wind_at(0.5), 0.0)
        rows += [_point(names[1], start, speed)]
        rows += [_point(names[1], after + float(w), float(v)) for w, v in zip(stop.way, stop.airspeed, strict=True)]
    chart = lines(rows, "way along the strip [m]", "airspeed [m/s]", names, ribbon=False)
    marks = []
    if answer.field.strip is not None:
        marks.append({"x": answer.field.strip, "words": "end of the strip"})
        if answer.run.abort[0] < float(run.way[-1]) - 0.1:
            marks.append({"x": float(answer.run.abort[0]), "words": "abort point"})
    if marks:
        rule = alt.Chart(listed(marks)).mark_rule(strokeDash=[4, 3], stroke=INK).encode(x="x:Q")
        text = (
            alt.Chart(listed(marks))
            .mark_text(align="left", dx=4, dy=10, fontSize=12, color=INK)
            .encode(x="x:Q", y=alt.value(0), text="words:N")
        )
        chart = alt.layer(chart, rule, text)
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title=f"{answer.aeroplane.name}: take-off run"))


def _point(name: str, x: float, y: float) -> dict[str, Any]:
    return {"name": name, "x": float(x), "nominal": float(y), "low": float(y), "high": float(y)}


def cut_chart(answer: Launch) -> Any:
    """Return share of the weight carried and height lost after a cut of everything (every Unknown at its median)."""
    cut = answer.landing.cut
    carried = [
        {"time": float(t), "y": 100.0 * float(lift) / answer.weight} for t, lift in zip(cut.time, cut.lift, strict=True)
    ]
    lost = [{"time": float(t), "y": float(cut.height[0] - h)} for t, h in zip(cut.time, cut.height, strict=True)]
    time = alt.X("time:Q", axis=axis("time after the cut [s]"), scale=alt.Scale(nice=False))
    upper = (
        alt.Chart(listed(carried))
        .mark_line(strokeWidth=2.4, color=INK)
        .encode(x=time, y=alt.Y("y:Q", axis=axis("weight carried [%]"), scale=alt.Scale(zero=True)))
        .properties(width=WIDTH, height=0.5 * HEIGHT)
    )
    lower = (
        alt.Chart(listed(lost))
        .mark_line(strokeWidth=2.4, color=ACCENT, strokeDash=[7, 3])
        .encode(x=time, y=alt.Y("y:Q", axis=axis("height lost [m]"), scale=alt.Scale(zero=True)))
        .properties(width=WIDTH, height=0.5 * HEIGHT)
    )
    return themed(alt.vconcat(upper, lower, title=f"{answer.aeroplane.name}: all motors cut in level flight"))


def wind_chart(answer: Launch) -> Any:
    """Return every wind limit as a bar with its band, and the rule of thumb for first flights as a mark."""
    rows = [_bar(limit) for limit in answer.limits if limit.wind.value is not None and limit.wind.value < 20.0]
    order = [row["name"] for row in rows]
    names = alt.Y("name:N", sort=order, axis=axis("", labelLimit=330, grid=False))
    wind = alt.X("x:Q", axis=axis("wind [m/s]"), scale=alt.Scale(zero=True))
    base = alt.Chart(listed(rows))
    bar = base.mark_bar(color=FAINT, height=11).encode(y=names, x=wind)
    band = base.mark_rule(strokeWidth=2.4, color=INK).encode(y=names, x="low:Q", x2="high:Q")
    rule = base.mark_tick(color=ACCENT, thickness=3, size=17).encode(y=names, x="rule:Q")
    title = alt.TitleParams(
        f"{answer.aeroplane.name}: the wind it stands",
        subtitle="bar: limit, line: band, upright mark: rule of thumb for first flights",
        subtitleColor=INK,
    )
    return themed(alt.layer(bar, band, rule).properties(width=WIDTH - 60, height=26 * len(rows), title=title))


def _bar(limit: Limit) -> dict[str, Any]:
    return {
        "name": f"{limit.phase}: {limit.kind}", "x": limit.wind.value, "low": limit.wind.low, "high": limit.wind.high,
        "rule": limit.first_flight,
    }  # fmt: skip
