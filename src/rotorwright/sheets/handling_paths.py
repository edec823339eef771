"""Sketches of the path of each natural motion: from the side where the nose moves, from above where the wings do."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import Any

import altair as alt
import numpy as np
import numpy.typing as npt

from rotorwright.sheets.handling_map import PLAIN
from rotorwright.sheets.picture import ACCENT, FAINT, INK, axis, listed, themed
from rotorwright.studies.bench_modes import Mode
from rotorwright.studies.handling import Handling

LARGEST = math.radians(10.0)
"""Every motion is drawn so large that its largest angle, or a tenth of its airspeed, reaches this [rad]."""
LATERAL = ("Dutch roll", "coupled roll-spiral", "roll", "spiral")
POINTS, MARKS = 160, 9
WIDTH, HEIGHT = 300, 130
BAR = 0.045
"""Half of a little aeroplane over the width of the picture."""
LEANS = 2.0
"""Little aeroplanes lean this much more than they would, or nobody sees it."""
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Path:
    """What one motion draws into the air."""

    along: Floats
    """[m]"""
    aside: Floats
    """Height gained, or drift to the right [m]."""
    lean: Floats
    """Nose-up angle against level, or bank to the right [rad]."""
    seconds: float


def motion_path(mode: Mode, airspeed: float) -> Path:
    """Return the path of one motion by itself, hands off, as far as it is worth drawing.

    Parameters
    ----------
    mode : Mode
        Of a model with the body states.
    airspeed : float
        Of level flight [m/s].

    Notes
    -----
    Small motions: climb = V θ − w, drift rate = V ψ + v with ψ = r/λ; both integrated as shape × e^(λt)/λ from the
    level path. Two swings, or three time constants.
    """
    rate = mode.eigenvalue if abs(mode.eigenvalue) > 1e-6 else 1e-6
    until = 2.0 * mode.period if mode.period is not None else 3.0 / max(abs(mode.real), 1e-2)
    for limit, count in ((mode.time_to_half, 5.0), (mode.time_to_double, 4.0)):
        if limit is not None:
            until = min(until, count * limit) if mode.period is None else min(until, 2.0 * count * limit)
    times = np.linspace(0.0, until, POINTS)
    shape = mode.shape
    if mode.name in LATERAL:
        lean, speed = shape["phi"], 0.0 * shape["u"]
        drift = airspeed * shape["r"] / rate + shape["v"]
        angles = (shape["phi"], shape["r"] / rate, shape["v"] / airspeed)
    else:
        lean, speed = shape["theta"], shape["u"]
        drift = airspeed * shape["theta"] - shape["w"]
        angles = (shape["theta"], shape["w"] / airspeed, shape["u"] / airspeed)
    first = max(angles, key=abs)
    turned = cmath.exp(-1j * cmath.phase(first)) if abs(first) > 0.0 else 1.0
    growth = np.exp(rate * times)
    largest = max(float(np.abs(np.real(angle * turned * growth)).max()) for angle in angles)
    scale = LARGEST / largest if largest > 0.0 else 1.0

    def told(state: complex) -> Floats:
        return np.asarray(scale * np.real(state * turned * growth), dtype=np.float64)

    aside, ahead = told(drift / rate), told(speed / rate)
    return Path(airspeed * times + ahead - ahead[0], aside - aside[0], told(lean), until)


def paths_picture(answer: Handling) -> Any:
    """Return a sketch of the path of every natural motion, one small chart each.

    Parameters
    ----------
    answer : Handling
    """
    charts = [_chart(mode, answer.airspeed) for name in PLAIN for mode in answer.modes if mode.name == name]
    title = f"{answer.aeroplane.name}: the path of each motion by itself, hands off, drawn for 10°"
    return themed(alt.concat(*charts, columns=2).properties(title=title))


def _chart(mode: Mode, airspeed: float) -> Any:
    path = motion_path(mode, airspeed)
    lateral = mode.name in LATERAL
    left, right = float(path.along.min()), float(path.along.max())
    width = max(right - left, 1e-6)
    bottom, top = float(path.aside.min()), float(path.aside.max())
    height = max(top - bottom, 0.02 * width)
    middle = 0.5 * (bottom + top)
    domain = [middle - 0.85 * height, middle + 0.85 * height]
    tall = domain[1] - domain[0]
    marks = []
    for place in np.linspace(0, POINTS - 1, MARKS).astype(int):
        lean = LEANS * float(path.lean[place])
        dx = BAR * width * math.cos(lean)
        # The axis of drift points down: seen from above, right lies there.
        dy = BAR * WIDTH / HEIGHT * tall * math.sin(lean)
        ahead, away = float(path.along[place]), float(path.aside[place])
        marks.append({"x": ahead - dx, "y": away - dy, "x2": ahead + dx, "y2": away + dy})
    line: list[dict[str, Any]] = [
        {"x": float(x), "y": float(y), "order": k} for k, (x, y) in enumerate(zip(path.along, path.aside, strict=True))
    ]
    across = alt.Scale(domain=[left - 1.2 * BAR * width, right + 1.2 * BAR * width], nice=False)
    seen = "drift to the right [m]" if lateral else "height [m]"
    x = alt.X("x:Q", scale=across, axis=axis("along the way [m]", tickCount=5))
    down = axis(seen, tickCount=4, minExtent=44, maxExtent=44)
    y = alt.Y("y:Q", scale=alt.Scale(domain=domain, nice=False, reverse=lateral), axis=down)
    level = alt.Chart(listed([{"y": 0.0}])).mark_rule(color=FAINT, strokeDash=[4, 4]).encode(y=y)
    flown = alt.Chart(listed(line)).mark_line(color=INK, strokeWidth=1.6).encode(x=x, y=y, order="order:Q")
    bars = alt.Chart(listed(marks)).mark_rule(color=ACCENT, strokeWidth=2.6).encode(x=x, y=y, x2="x2:Q", y2="y2:Q")
    view = "from above, bars: bank" if lateral else "from the side, bars: nose"
    title = [f"{mode.name}: {PLAIN[mode.name]}", f"{path.seconds:.2g} s, {view}"]
    words = alt.TitleParams(text=title, fontSize=13)
    return alt.layer(level, flown, bars).properties(width=WIDTH, height=HEIGHT, title=words)
