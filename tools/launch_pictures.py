"""Draw the pictures of the pages on launch, landing and wind into ``docs/pictures``.

Run ``python tools/launch_pictures.py``; ``--png FOLDER`` also writes PNG.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import altair as alt
from drawing import ROOT, draw

from rotorwright import load
from rotorwright.physics.air.wind import wind_at_height
from rotorwright.sheets.launch_pictures import cut_chart, run_chart, wind_chart
from rotorwright.sheets.picture import ACCENT, HEIGHT, INK, WIDTH, axis, lines, listed, themed
from rotorwright.studies.launch import Launch, launch
from rotorwright.studies.launch_ready import ROUGHNESS


@lru_cache(maxsize=4)
def asked(name: str, strip: float) -> Launch:
    """Return the launch of an example."""
    return launch(load(ROOT / "examples" / f"{name}.toml"), strip=strip, samples=32)


def profile() -> Any:
    """Return how the wind grows with height over three kinds of country."""
    heights = [0.3 * 1.12**k for k in range(48)]
    words = {"open": "open grass", "hedges": "hedges and low crops", "trees": "scattered trees"}
    rows = [
        {"x": float(wind_at_height(1.0, height, rough)), "y": height, "name": words[name]}
        for name, rough in ROUGHNESS.items()
        for height in heights
        if height > 2.0 * rough and height < 60.0
    ]
    dash = alt.Scale(domain=list(words.values()), range=[[1, 0], [7, 3], [2, 2]])
    shade = alt.Scale(domain=list(words.values()), range=[INK, ACCENT, "#3c6e8f"])
    line = (
        alt.Chart(listed(rows))
        .mark_line(strokeWidth=2.4)
        .encode(
            x=alt.X("x:Q", axis=axis("wind over wind at 10 m"), scale=alt.Scale(zero=True)),
            y=alt.Y("y:Q", axis=axis("height [m]")),
            order="y:Q",
            color=alt.Color("name:N", scale=shade, title=None),
            strokeDash=alt.StrokeDash("name:N", scale=dash, title=None),
        )
    )
    return themed(line.properties(width=WIDTH, height=HEIGHT))


def lull() -> Any:
    """Return the height that a lull costs, by airspeed."""
    rows = []
    names = [f"flying at {speed} m/s" for speed in (6, 9, 12)]
    for speed, name in zip((6.0, 9.0, 12.0), names, strict=True):
        for k in range(31):
            gust = 0.1 * k
            lost = (speed**2 - (speed - gust) ** 2) / (2.0 * 9.80665)
            rows.append({"x": gust, "nominal": lost, "low": lost, "high": lost, "name": name})
    chart = lines(rows, "wind lost along the path [m/s]", "height to fall back to speed [m]", names, ribbon=False)
    return themed(chart.properties(width=WIDTH, height=HEIGHT))


PICTURES: dict[str, Callable[[], Any]] = {
    "launch-run": lambda: run_chart(asked("great-roller", 16.0)),
    "launch-cut": lambda: cut_chart(asked("drum-major", 40.0)),
    "wind-limits": lambda: wind_chart(asked("drum-major", 40.0)),
    "wind-profile": profile,
    "wind-lull": lull,
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
