"""Draw the pictures of the hardware pages of the power room into ``docs/pictures``.

Run ``python tools/hardware_pictures.py``; ``--png FOLDER`` also writes PNG.
"""

from __future__ import annotations

import math
import sys
import tomllib
from collections.abc import Callable
from typing import Any

import altair as alt
from drawing import ROOT, draw

from rotorwright.physics.power.belt import belt_geometry
from rotorwright.sheets.picture import ACCENT, FAINT, HEIGHT, INK, WIDTH, Rows, axis, themed
from rotorwright.studies.bench_motor import motor_and_propeller_alone
from rotorwright.studies.custom_blade import blade_alone


def belt() -> alt.LayerChart:
    """Return a drawing of a 3 mm belt round 16 and 60 teeth, with what the words mean."""
    shape = belt_geometry(profile="HTD 3M", small_teeth=16, large_teeth=60, belt_teeth=90)
    small, large, apart = (1000.0 * shape[name] for name in ("small_diameter", "large_diameter", "centre"))
    lean = math.asin((large - small) / (2.0 * apart))
    rows: Rows = []

    def arc(name: str, x: float, radius: float, start: float, end: float, shade: str) -> None:
        for k in range(61):
            angle = start + (end - start) * k / 60.0
            point = {"x": x + radius * math.cos(angle), "y": radius * math.sin(angle)}
            rows.append({**point, "name": name, "shade": shade, "k": k})

    arc("rotor pulley", 0.0, 0.5 * large, 0.0, 2.0 * math.pi, FAINT)
    arc("motor pulley", apart, 0.5 * small, 0.0, 2.0 * math.pi, FAINT)
    up = 0.5 * math.pi - lean
    arc("belt on the rotor pulley", 0.0, 0.5 * large, up, 2.0 * math.pi - up, ACCENT)
    arc("belt on the motor pulley", apart, 0.5 * small, -up, up, ACCENT)
    for side, name in ((1.0, "tight span"), (-1.0, "slack span")):
        for k, (x, radius) in enumerate(((0.0, 0.5 * large), (apart, 0.5 * small))):
            point = {"x": x + radius * math.cos(up), "y": side * radius * math.sin(up)}
            rows.append({**point, "name": name, "shade": ACCENT, "k": k})
    for k, x in enumerate((0.0, apart)):
        rows.append({"x": x, "y": 0.0, "name": "centre distance", "shade": INK, "k": k})
    words = [
        {"x": 0.5 * apart, "y": 3.0, "t": f"centre distance {apart:.1f} mm"},
        {"x": 0.55 * apart, "y": 0.5 * large * 0.98, "t": "tight span"},
        {"x": 0.0, "y": 0.62 * 0.5 * large, "t": "60 teeth"},
        {"x": apart + 0.5 * small + 2.0, "y": -0.8 * small, "t": f"16 teeth, {shape['mesh']:.1f} in mesh"},
        {"x": 0.5 * apart, "y": -0.5 * large * 1.12, "t": "3 mm belt of 90 teeth: 270 mm along its pitch line"},
    ]
    reach = [-0.62 * large, apart + 0.62 * large]
    half = 0.5 * (reach[1] - reach[0]) * HEIGHT / WIDTH
    middle = 0.0
    x = alt.X("x:Q", axis=None, scale=alt.Scale(domain=reach, nice=False))
    y = alt.Y("y:Q", axis=None, scale=alt.Scale(domain=[middle - half, middle + half], nice=False))
    line = alt.Chart(alt.Data(values=rows)).mark_line(strokeWidth=2.4).encode(
        x=x, y=y, detail="name:N", order="k:Q", color=alt.Color("shade:N", scale=None)
    )  # fmt: skip
    text = alt.Chart(alt.Data(values=words)).mark_text(fontSize=14, color=INK).encode(x=x, y=y, text="t:N")
    return (line + text).properties(width=WIDTH, height=HEIGHT)


def bench() -> alt.LayerChart:
    """Return speed, current and thrust of a published bench: readings, from labels, and after a fit of two rows."""
    path = ROOT / "tests" / "check_values" / "power" / "ctu-prague-motor-tests.toml"
    table = tomllib.loads(path.read_text(encoding="utf-8"))["row"]
    chosen = [row for row in table if row["id"].startswith("ctu-2312") and "-label-" in row["id"]]
    chosen += [row for row in table if row["id"].startswith("ctu-2312") and "-fit-" in row["id"]]
    readings: dict[float, dict[str, float]] = {}
    asked: dict[float, dict[str, Any]] = {}
    for row in chosen:
        inputs = {name: value for name, value in row["inputs"].items() if name != "fit"}
        readings.setdefault(inputs["throttle"], {})[row["quantity"]] = row["expected"]
        asked[inputs["throttle"]] = inputs
    throttles = sorted(readings)
    told = [{"throttle": at, "voltage": asked[at]["voltage"], **readings[at]} for at in (throttles[0], throttles[-1])]
    rows: Rows = []
    points: Rows = []
    for at in throttles:
        points.append({"x": 100.0 * at, "y": readings[at]["current"]})
        for name, fit in (("from the labels", None), ("after two readings", told)):
            found = motor_and_propeller_alone(**asked[at], fit=fit).current
            rows.append({"x": 100.0 * at, "y": found.nominal, "low": found.low, "high": found.high, "name": name})
    names = ["from the labels", "after two readings"]
    scale = alt.Scale(domain=names, range=[FAINT, ACCENT])
    x = alt.X("x:Q", axis=axis("throttle [%]"), scale=alt.Scale(domain=[45, 105], nice=False))
    base = alt.Chart(alt.Data(values=rows))
    ribbon = base.mark_area(opacity=0.22).encode(
        x=x, y=alt.Y("low:Q", axis=axis("current from the battery [A]")), y2="high:Q",
        color=alt.Color("name:N", scale=scale, title=None),
    )  # fmt: skip
    line = base.mark_line(strokeWidth=2.4).encode(
        x=x, y="y:Q", color=alt.Color("name:N", scale=scale, title=None),
        strokeDash=alt.StrokeDash("name:N", scale=alt.Scale(domain=names, range=[[7, 3], [1, 0]]), title=None),
    )  # fmt: skip
    dots = alt.Chart(alt.Data(values=points)).mark_point(size=80, filled=True, color=INK).encode(x=x, y="y:Q")
    title = "A copied 2312 motor on a published bench: readings (dots) and our answers with bands"
    return (ribbon + line + dots).properties(width=WIDTH, height=HEIGHT, title=title)


def blade() -> alt.HConcatChart:
    """Return thrust and power coefficients of two drawn propellers: tunnel points and blade elements."""
    path = ROOT / "tests" / "check_values" / "power" / "uiuc-blade-plans.toml"
    table = tomllib.loads(path.read_text(encoding="utf-8"))["row"]
    titles = {"te10x5": "narrow 10×5", "sf9x47": "broad slow 9×4.7"}
    names = {"thrust_coefficient": "thrust coefficient", "power_coefficient": "power coefficient"}
    scale = alt.Scale(domain=list(names.values()), range=[ACCENT, INK])
    panels = []
    for key, title in titles.items():
        rows = [row for row in table if f"-{key}-" in row["id"]]
        points: Rows = []
        for row in rows:
            inputs = row["inputs"]
            turns, across = inputs["rotor_speed"] / (2.0 * math.pi), 2.0 * inputs["stations"][-1][0]
            place = inputs["airspeed"] / (turns * across)
            points.append({"x": place, "y": row["expected"], "name": names[row["quantity"]]})
        told = next(row["inputs"] for row in rows if row["inputs"]["airspeed"] > 0.0)
        lines: Rows = []
        for k in range(25):
            place = 0.025 * k
            turns, across = told["rotor_speed"] / (2.0 * math.pi), 2.0 * told["stations"][-1][0]
            found = blade_alone(**{**told, "airspeed": place * turns * across})
            for name, words in names.items():
                one = getattr(found, name)
                lines.append({"x": place, "y": one.nominal, "low": one.low, "high": one.high, "name": words})
        x = alt.X("x:Q", axis=axis("advance ratio V/(n D)"), scale=alt.Scale(domain=[0.0, 0.6], nice=False))
        colour = alt.Color("name:N", scale=scale, title=None)
        base = alt.Chart(alt.Data(values=lines))
        ribbon = base.mark_area(opacity=0.16).encode(
            x=x, y=alt.Y("low:Q", axis=axis("coefficient")), y2="high:Q", color=colour
        )
        line = base.mark_line(strokeWidth=2.4).encode(x=x, y="y:Q", color=colour)
        dots = alt.Chart(alt.Data(values=points)).mark_point(size=70, filled=True).encode(x=x, y="y:Q", color=colour)
        panels.append((ribbon + line + dots).properties(width=WIDTH // 2 - 10, height=HEIGHT, title=title))
    return alt.hconcat(*panels)


PICTURES: dict[str, Callable[[], Any]] = {
    "power-belt": lambda: themed(belt()),
    "power-bench": lambda: themed(bench()),
    "power-blade": lambda: themed(blade()),
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
