"""Draw the pictures of the shaft pages into ``docs/pictures``: speed map, shapes, keep-out bands.

Run ``python tools/structure_pictures.py``.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

import altair as alt
import numpy as np
from drawing import ROOT, draw

import rotorwright
from rotorwright.base.constants import RPM
from rotorwright.base.unknown import nominal_factors
from rotorwright.design.fill import fill
from rotorwright.physics.structure.critical import critical_shapes
from rotorwright.physics.structure.shaft import ShaftModel, case_of
from rotorwright.physics.structure.whirl import reduced, speed_map
from rotorwright.sheets.picture import ACCENT, HEIGHT, INK, WIDTH, axis, lines, themed
from rotorwright.studies.shake_model import rotor_shaft


def drum() -> ShaftModel:
    """Return the left drum of the example Great Roller, every Unknown at its median."""
    aeroplane = rotorwright.load(ROOT / "examples" / "great-roller.toml")
    return case_of(rotor_shaft(aeroplane, fill(aeroplane), "left", nominal_factors(1)).model, 0)


def speed_map_picture() -> alt.LayerChart:
    """Return whirl frequencies over the speed with the once-per-turn line."""
    model = drum()
    speeds = np.linspace(0.0, 4000.0, 41)
    found, _ = speed_map(reduced(model), speeds * RPM, many=4)
    names = ("bouncing and first bending", "rocking and second bending", "once per turn")
    rows = [
        {"x": float(x), "nominal": float(row[k] / RPM), "name": names[k // 2], "pair": str(k)}
        for x, row in zip(speeds, found, strict=True)
        for k in range(4)
    ]
    scale = alt.Scale(domain=list(names), range=[INK, "#3c6e8f", ACCENT])
    dash = alt.Scale(domain=list(names), range=[[1, 0], [7, 3], [2, 2]])
    once = [{"x": x, "nominal": x, "name": names[2], "pair": "once"} for x in (0.0, 4000.0)]
    chart = (
        alt.Chart(alt.Data(values=rows + once))
        .mark_line(strokeWidth=2.4)
        .encode(
            x=alt.X("x:Q", axis=axis("rotor speed [rpm]")),
            y=alt.Y("nominal:Q", axis=axis("whirl [turns a minute]")),
            color=alt.Color("name:N", scale=scale, title=None),
            strokeDash=alt.StrokeDash("name:N", scale=dash, title=None),
            detail="pair:N",
        )
    )
    return alt.layer(chart)


def shapes_picture() -> alt.LayerChart:
    """Return the shapes of the first two forward critical speeds."""
    model = drum()
    found = [shape for shape in critical_shapes(model, many=8) if shape.forward][:2]
    names = [f"{shape.speed / RPM:.0f} rpm" for shape in found]
    rows = [
        {"x": 1000.0 * float(place), "nominal": float(height), "name": name}
        for shape, name in zip(found, names, strict=True)
        for place, height in zip(model.places, shape.first, strict=True)
    ]
    return lines(rows, "along the rotor [mm]", "deflection, largest 1", names, ribbon=False)


def keep_out_picture() -> alt.LayerChart:
    """Return rotor speed over airspeed of a free rotor with the band of its first bending."""
    from rotorwright.studies.shake import shake

    answer = shake(rotorwright.load(ROOT / "examples" / "marsh-tumbler.toml"))
    band, speeds = answer.rotors[0].bands[0], answer.speeds
    names = ("rotor speed", "keep out")
    rows = []
    for air in np.linspace(0.0, 2.6 * float(speeds.airspeed[0]), 14):
        spin = speeds.per_airspeed * air / RPM
        rows.append({"x": float(air), "nominal": spin, "low": spin, "high": spin, "name": names[0]})
        edges = {"nominal": (band.critical.nominal or 0.0) / RPM, "low": band.low / RPM, "high": band.high / RPM}
        rows.append({"x": float(air), "name": names[1], **edges})
    return lines(rows, "airspeed [m/s]", "rotor speed [rpm]", names)


def titled(chart: alt.LayerChart, title: str) -> Any:
    """Return a chart of the usual size with its title."""
    return themed(chart.properties(width=WIDTH, height=HEIGHT, title=title))


PICTURES: dict[str, Callable[[], Any]] = {
    "structure-speed-map": lambda: titled(speed_map_picture(), "Great Roller: whirls of one drum on its rubber rings"),
    "structure-mode-shapes": lambda: titled(shapes_picture(), "Great Roller: shapes at the first two critical speeds"),
    "structure-keep-out": lambda: titled(
        keep_out_picture(), "Marsh Tumbler: speed of the rotor, first bending to keep out of"
    ),
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
