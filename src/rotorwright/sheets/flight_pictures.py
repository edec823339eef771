"""Pictures of a simulated flight: its path from above and from the side, its histories; and of many first flights."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import altair as alt
import numpy as np

from rotorwright.sheets.numbers import ShownUnits, convert, long_units, spelled, units_of
from rotorwright.sheets.picture import ACCENT, FAINT, INK, PAPER, SHADES, WIDTH, Rows, axis, listed, themed
from rotorwright.studies.first_flights import FirstFlights
from rotorwright.studies.flight_history import History
from rotorwright.studies.flight_story import Story
from rotorwright.studies.fly import Flight

POINTS = 700
"""A line is drawn through at most so many points."""
ROOM = 0.06
"""Margin round a path, share of its size."""
NUMBERS_APART = 0.05
"""Nearer to another one, share of the picture, a number is left out."""
PANEL = 92
"""Height of one panel of the histories."""


def pictures_of(flight: Flight) -> dict[str, Any]:
    """Return the pictures of a flight by name: ``above``, ``side``, ``history``."""
    units = units_of(flight.aeroplane.told)
    wind_from = flight.conditions.wind_from if flight.conditions.wind else None
    return {
        "above": path_from_above(flight.history, flight.story, units, wind_from=wind_from),
        "side": path_from_the_side(flight.history, flight.story, units),
        "history": histories(flight.history, flight.story, units, level_speed=flight.level_speed),
    }


def outcomes_of(answer: FirstFlights) -> Any:
    """Return the picture of what became of many first flights."""
    shares = [
        (each.outcome.words, each.chance.value or 0.0, each.chance.low or 0.0, each.chance.high or 0.0,
         each.outcome.good)
        for each in answer.outcomes
    ]  # fmt: skip
    return outcomes_picture(shares, answer.flights)


def numbered(story: Story) -> list[tuple[int, float, str]]:
    """Return the moments that stand with a number in the pictures: number, time, what."""
    return [(place, moment.time, moment.what) for place, moment in enumerate(story.moments, 1)]


def _thin(history: History) -> np.ndarray[Any, np.dtype[np.intp]]:
    rows = len(history)
    return np.unique(np.linspace(0, rows - 1, min(rows, POINTS)).round().astype(np.intp))


def _unit(si_unit: str, units: ShownUnits) -> str:
    return units.unit_for(si_unit)


def path_from_above(history: History, story: Story, units: ShownUnits, *, wind_from: float | None = None) -> Any:
    """Return the path over the ground, to scale, the strip's direction to the right.

    Parameters
    ----------
    history : History
    story : Story
        Its moments stand as numbers along the path.
    units : ShownUnits
    wind_from : float, optional
        Direction the wind comes from, to the right of the strip [rad]; drawn as an arrow.
    """
    unit = _unit("m", long_units(units))
    left, ahead = convert(-1.0, "m", unit) * history["east"], convert(1.0, "m", unit) * history["north"]
    layers, (x, y) = _path(history, story, ahead, left, f"along the strip [{unit}]", f"to the left of it [{unit}]")
    if wind_from is not None:
        layers.append(_wind_arrow(x, y, wind_from))
    wide, tall = _size(x, y)
    return themed(alt.layer(*layers).properties(width=wide, height=tall, title="The path from above"))


def path_from_the_side(history: History, story: Story, units: ShownUnits) -> Any:
    """Return the height over the way flown over the ground; heights are drawn larger than ways where they must be."""
    unit = _unit("m", long_units(units))
    steps = np.hypot(np.diff(history["north"]), np.diff(history["east"]))
    way = convert(1.0, "m", unit) * np.concatenate([[0.0], np.cumsum(steps)])
    height = convert(1.0, "m", unit) * history["height"]
    layers, _ = _path(history, story, way, height, f"way over the ground [{unit}]", f"height [{unit}]", square=False)
    return themed(alt.layer(*layers).properties(width=WIDTH, height=190, title="The path from the side"))


def _path(
    history: History, story: Story, x: Any, y: Any, x_title: str, y_title: str, *, square: bool = True
) -> tuple[list[Any], tuple[list[float], list[float]]]:
    """Return a line through a path, its numbered moments, and the domains of both axes."""
    domains = [_domain(x), _domain(y)]
    if square:  # a thin path keeps some width, so that the picture is neither a line nor a tower
        size = max(domains[0][1] - domains[0][0], domains[1][1] - domains[1][0])
        domains = [_widened(domain, 0.35 * size) for domain in domains]
    scales = [alt.Scale(domain=domain, nice=False, zero=False) for domain in domains]
    rows = _thin(history)
    aloft = history["on_ground"] < 0.5
    data = listed(
        [{"x": float(x[row]), "y": float(y[row]), "order": int(row), "ground": not bool(aloft[row])} for row in rows]
    )
    encoded = {
        "x": alt.X("x:Q", axis=axis(x_title), scale=scales[0]),
        "y": alt.Y("y:Q", axis=axis(y_title), scale=scales[1]),
    }
    line = alt.Chart(data).mark_line(color=INK, strokeWidth=2.0).encode(order="order:Q", **encoded)
    places = [
        (number, float(x[row]), float(y[row])) for number, time, _ in numbered(story) for row in [history.at(time)]
    ]
    marks = listed([{"x": across, "y": up, "number": str(k)} for k, across, up in _spread_out(places, domains)])
    dots = alt.Chart(marks).mark_point(size=240, filled=True, fill=PAPER, stroke=ACCENT, strokeWidth=1.6, opacity=1.0)
    texts = alt.Chart(marks).mark_text(fontSize=11, color=INK, baseline="middle").encode(text="number:N", **encoded)
    return [line, dots.encode(**encoded), texts], (domains[0], domains[1])


def _spread_out(places: list[tuple[int, float, float]], domains: list[list[float]]) -> list[tuple[int, float, float]]:
    """Return the numbered places without those that would lie on top of an earlier one."""
    sizes = [domain[1] - domain[0] for domain in domains]
    kept: list[tuple[int, float, float]] = []
    for place in places:
        apart = [math.hypot((place[1] - one[1]) / sizes[0], (place[2] - one[2]) / sizes[1]) for one in kept]
        if not apart or min(apart) > NUMBERS_APART:
            kept.append(place)
    return kept


def _domain(values: Any) -> list[float]:
    low, high = float(np.min(values)), float(np.max(values))
    room = max(ROOM * (high - low), 0.5)
    return [low - room, high + room]


def _widened(domain: list[float], least: float) -> list[float]:
    missing = max(least - (domain[1] - domain[0]), 0.0)
    return [domain[0] - 0.5 * missing, domain[1] + 0.5 * missing]


def _size(x: list[float], y: list[float]) -> tuple[float, float]:
    """Return width and height of a picture to scale that is neither wider nor taller than the page."""
    scale = min(WIDTH / (x[1] - x[0]), WIDTH / (y[1] - y[0]))
    return scale * (x[1] - x[0]), scale * (y[1] - y[0])


def _wind_arrow(x: list[float], y: list[float], wind_from: float) -> Any:
    """Return an arrow in the upper right corner that flies with the wind."""
    size = 0.09 * max(x[1] - x[0], y[1] - y[0])
    ahead, left = -math.cos(wind_from), math.sin(wind_from)
    middle = (x[1] - 0.9 * size, y[1] - 0.9 * size)
    ends = [(middle[0] + k * 0.5 * size * ahead, middle[1] + k * 0.5 * size * left) for k in (-1.0, 1.0)]
    rows = [{"x": end[0], "y": end[1], "k": k} for k, end in enumerate(ends)]
    shaft = alt.Chart(listed(rows)).mark_line(color=FAINT, strokeWidth=3).encode(x="x:Q", y="y:Q", order="k:Q")
    head = (
        alt.Chart(listed([{"x": ends[1][0], "y": ends[1][1]}]))
        .mark_point(
            shape="triangle-up", filled=True, size=150, color=FAINT, angle=(math.degrees(wind_from) - 90.0) % 360.0
        )
        .encode(x="x:Q", y="y:Q")
    )
    word = (
        alt.Chart(listed([{"x": middle[0], "y": middle[1]}]))
        .mark_text(text="wind", dy=-16, color=FAINT, fontSize=12)
        .encode(x="x:Q", y="y:Q")
    )
    return alt.layer(shaft, head, word)


Panel = tuple[str, str, tuple[str, ...]]
"""Title, SI unit, columns."""


def panels_of(history: History) -> list[Panel]:
    """Return the panels a flight's histories are drawn in."""
    motors = history.names("winding_temperature")
    found: list[Panel] = [
        ("height", "m", ("height",)),
        ("speed", "m/s", ("airspeed", "ground_speed")),
        ("rotors", "rad/s", history.names("rotor_speed")),
        ("throttle", "1", history.names("throttle")),
        ("stick", "1", tuple(name for name in ("elevator", "rudder", "aileron") if name in history)),
        ("bank", "rad", ("bank",)),
        ("motor heat", "K", motors),
        ("charge", "1", history.names("charge")),
    ]
    return [(title, unit, names) for title, unit, names in found if names]


def histories(history: History, story: Story, units: ShownUnits, *, level_speed: float | None = None) -> Any:
    """Return the histories of a flight under each other over one time axis; level speed is a faint line."""
    rows = _thin(history)
    end = float(history["time"][-1])
    charts = []
    panels = panels_of(history)
    for place, (title, si_unit, names) in enumerate(panels):
        shown = long_units(units) if si_unit == "m" else units
        unit = _unit(si_unit, shown)
        bottom = place == len(panels) - 1
        charts.append(_panel(history, rows, names, (title, si_unit, unit), end, bottom, level_speed, story))
    return themed(alt.vconcat(*charts, spacing=6).resolve_scale(color="independent", strokeDash="independent"))


def _panel(
    history: History, rows: Any, names: Sequence[str], told: tuple[str, str, str], end: float, bottom: bool,
    level_speed: float | None, story: Story,
) -> Any:  # fmt: skip
    title, si_unit, unit = told
    data: Rows = []
    for name in names:
        values = convert(1.0, si_unit, unit) * history[name] if si_unit != "K" else history[name] - 273.15
        words = name.split("_of_", 1)[1] if "_of_" in name else name
        data += [
            {"time": float(history["time"][row]), "value": float(values[row]), "name": words.replace("_", " ")}
            for row in rows
            if math.isfinite(values[row])
        ]
    series = list(dict.fromkeys(str(row["name"]) for row in data))
    scale = alt.Scale(domain=series, range=list(SHADES[: len(series)]))
    dashes = alt.Scale(domain=series, range=[[1, 0], [6, 3], [2, 2], [8, 3, 2, 3], [4, 4]][: len(series)])
    several = len(series) > 1
    legend = alt.Legend(orient="right", title=None, columns=1) if several else None
    x = alt.X(
        "time:Q", scale=alt.Scale(domain=[0.0, end], nice=False),
        axis=axis("time [s]") if bottom else alt.Axis(title=None, labels=False, ticks=False),
    )  # fmt: skip
    label = f"{title} [{spelled(unit)}]" if unit else title
    y = alt.Y("value:Q", axis=axis(label, tickCount=4), scale=alt.Scale(zero=False))
    line = (
        alt.Chart(listed(data))
        .mark_line(strokeWidth=1.8, clip=True)
        .encode(
            x=x, y=y,
            color=alt.Color("name:N", scale=scale, legend=legend),
            strokeDash=alt.StrokeDash("name:N", scale=dashes, legend=legend),
        )
    )  # fmt: skip
    layers = [line]
    if title == "speed" and level_speed is not None:
        rule = alt.Chart(listed([{"value": convert(level_speed, si_unit, unit)}]))
        layers.append(rule.mark_rule(color=FAINT, strokeDash=[3, 3], strokeWidth=1.4).encode(y="value:Q"))
    marks = [{"time": time} for _, time, what in numbered(story) if what in ("event", "lift-off", "touch-down")]
    if marks:
        rule = alt.Chart(listed(marks)).mark_rule(color=ACCENT, strokeWidth=0.9, opacity=0.7)
        layers.append(rule.encode(x="time:Q"))
    return alt.layer(*layers).properties(width=WIDTH - 40, height=PANEL)


def outcomes_picture(shares: Sequence[tuple[str, float, float, float, bool]], flights: int) -> Any:
    """Return what became of many first flights as bars with the band that counting allows.

    Parameters
    ----------
    shares : sequence of (words, share, low, high, good)
        In the order to be drawn; shares 0…1. Good ends are ink, failures accent.
    flights : int
    """
    data = [
        {"what": words, "share": 100.0 * share, "low": 100.0 * low, "high": 100.0 * high, "good": good}
        for words, share, low, high, good in shares
    ]
    names = [words for words, *_ in shares]
    y = alt.Y("what:N", sort=names, axis=axis("", labelLimit=320, ticks=False, domain=False))
    base = alt.Chart(listed(data))
    bars = base.mark_bar(height=15, opacity=0.85).encode(
        x=alt.X("share:Q", axis=axis("share of the flights [%]"), scale=alt.Scale(domainMin=0.0)),
        y=y,
        color=alt.condition("datum.good", alt.value(INK), alt.value(ACCENT)),
    )
    whiskers = base.mark_rule(strokeWidth=1.6, color=FAINT).encode(x="low:Q", x2="high:Q", y=y)
    ends = [base.mark_tick(thickness=1.6, size=9, color=FAINT).encode(x=f"{edge}:Q", y=y) for edge in ("low", "high")]
    title = f"What became of {flights} first flights"
    return themed(alt.layer(bars, whiskers, *ends).properties(width=WIDTH - 120, height=27 * len(data), title=title))
