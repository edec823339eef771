"""Draw the pictures of the power pages into ``docs/pictures``: an aeroplane's thrust, heat, packs and choice of parts.

Run ``python tools/power_pictures.py``; ``--png FOLDER`` also
writes PNG to look at.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

import altair as alt
import numpy as np
from drawing import ROOT, draw

from rotorwright import load
from rotorwright.sheets.picture import ACCENT, FAINT, HEIGHT, INK, PAPER, WIDTH, Rows, axis, lines, themed
from rotorwright.studies.choose_parts import choose_parts
from rotorwright.studies.heat_plan import STOP
from rotorwright.studies.power import PowerStory, power

EXAMPLES = ROOT / "examples"


@lru_cache(maxsize=4)
def story(name: str) -> PowerStory:
    """Return the power story of an example."""
    return power(load(EXAMPLES / f"{name}.toml"), samples=128)


def rows_of(name: str, x: Any, nominal: Any, low: Any, high: Any) -> Rows:
    """Return the rows of one line with its band; what does not exist is left out."""
    found: Rows = []
    for a, middle, bottom, top in zip(x, nominal, low, high, strict=True):
        if not math.isfinite(middle):
            continue
        bottom, top = (middle if not math.isfinite(each) else each for each in (bottom, top))
        found.append({"x": float(a), "nominal": float(middle), "low": float(bottom), "high": float(top), "name": name})
    return found


def thrust() -> Any:
    """Return available and required thrust over airspeed."""
    found = story("drum-major").match
    curves = {curve.name: curve for curve in found.curves}
    names = {
        "thrust_available": "available, full throttle",
        "thrust_required": "required, level (rotor command trims)",
        "drag_held": "drag, attitude held",
    }
    rows = [
        row
        for key, name in names.items()
        for row in rows_of(name, found.airspeed, curves[key].nominal, curves[key].low, curves[key].high)
    ]
    chart = lines(rows, "airspeed [m/s]", "thrust, drag [N]", list(names.values()))
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title="Driven drums of 2 kg: thrust in the air"))


def heat() -> Any:
    """Return temperatures over a flight plan."""
    warmed = story("marsh-tumbler").heat.warmed
    low, high = (np.nanquantile(warmed.history, share, axis=0) for share in (0.1, 0.9))
    rows: Rows = []
    names = []
    for k, node in enumerate(warmed.nodes):
        names.append(node.words.replace(" of nose", ""))
        part = (warmed.history[0, :, 1 + k], low[:, 1 + k], high[:, 1 + k])
        rows += rows_of(names[-1], warmed.history[0, :, 0] / 60.0, *(each - 273.15 for each in part))
    chart = lines(rows, "time [min]", "temperature [°C]", names)
    stops = [{"y": STOP["winding"], "words": "winding, stop"}, {"y": STOP["case"], "words": "case and magnets, stop"}]
    base = alt.Chart(alt.Data(values=stops)).encode(y="y:Q")
    rule = base.mark_rule(color=INK, strokeDash=[2, 4], strokeWidth=1.2)
    words = base.mark_text(align="right", dy=-7, dx=WIDTH / 2 - 4, color=INK, fontSize=12, font="sans-serif").encode(
        text="words:N"
    )
    whole = alt.layer(chart, rule, words).properties(
        width=WIDTH, height=HEIGHT, title="Free bucket rotors of 1.5 kg: an ordinary flight, then five minutes of rest"
    )
    return themed(whole)


def packs() -> Any:
    """Return level endurance over the mass of the packs."""
    names = {"drum-major": "driven drums, 2 kg", "marsh-tumbler": "free buckets, 1.5 kg"}
    rows: Rows = []
    for key, name in names.items():
        sizes = story(key).packs
        there = [(mass, each) for mass, each in zip(sizes.mass, sizes.endurance, strict=True) if each.value is not None]
        rows += [
            {"x": 1000.0 * mass, "nominal": each.value / 60.0, "low": (each.low or 0.0) / 60.0,
             "high": (each.high or 0.0) / 60.0, "name": name}
            for mass, each in there if each.value is not None
        ]  # fmt: skip
    chart = lines(rows, "mass of the packs [g]", "level flight [min]", list(names.values()))
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title="What a heavier pack buys"))


def front() -> Any:
    """Return mass of the sets against level power."""
    found = choose_parts(load(EXAMPLES / "marsh-tumbler.toml"), samples=0)

    def points(pairs: Any) -> Rows:
        return [{"x": 1000.0 * mass, "y": watts} for mass, watts in pairs]

    near = [(mass, watts) for mass, watts in found.cloud if mass < 0.5 and watts < 420.0][::2]
    right, top = alt.Scale(domain=[100.0, 500.0]), alt.Scale(domain=[190.0, 420.0])
    x = alt.X("x:Q", axis=axis("mass of motor, controller, propeller [g]"), scale=right)
    y = alt.Y("y:Q", axis=axis("power from the pack, level [W]"), scale=top)
    cloud = alt.Chart(alt.Data(values=points(near))).mark_circle(size=14, color=FAINT, opacity=0.45)
    line = alt.Chart(alt.Data(values=points(sorted(found.front)))).mark_line(
        color=INK, strokeWidth=2.4, point=alt.OverlayMarkDef(color=INK, size=44), order=None
    )
    layers = [cloud.encode(x=x, y=y), line.encode(x=x, y=y)]
    chosen = points((each.mass, each.level_power) for each in found.choices)
    layers.append(
        alt.Chart(alt.Data(values=chosen))
        .mark_point(shape="square", size=90, stroke=ACCENT, strokeWidth=2.0, fill=PAPER)
        .encode(x=x, y=y)
    )
    for each, up in ((found.choices[0], 20), (found.choices[-1], -18)):
        named = [{"x": 1000.0 * each.mass, "y": each.level_power, "words": each.words}]
        layers.append(
            alt.Chart(alt.Data(values=named))
            .mark_text(align="left", dx=-6, dy=up, fontSize=12, font="sans-serif", color=INK)
            .encode(x=x, y=y, text="words:N")
        )
    if found.now is not None:
        layers.append(
            alt.Chart(alt.Data(values=[{**points([found.now])[0], "words": "as it is"}]))
            .mark_text(fontSize=13, font="sans-serif", color=INK, dx=30)
            .encode(x=x, y=y, text="words:N")
        )
        layers.append(
            alt.Chart(alt.Data(values=points([found.now])))
            .mark_point(shape="cross", size=140, stroke=INK, fill=INK)
            .encode(x=x, y=y)
        )
    title = "Parts that fit: dots; lightest for its power: line; told in the list: squares"
    return themed(alt.layer(*layers).properties(width=WIDTH, height=HEIGHT + 40, title=title))


PICTURES: Mapping[str, Callable[[], Any]] = {
    "power-match": thrust,
    "power-heat": heat,
    "power-packs": packs,
    "power-front": front,
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
