"""Draw the pictures of the pages on balancing, strength and tolerances into ``docs/pictures``.

Run ``python tools/strength_pictures.py``; ``--png FOLDER`` also writes PNG.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

import altair as alt
import numpy as np
from drawing import ROOT, draw

import rotorwright
from rotorwright.physics.structure.balance_grade import grade_word, permissible_eccentricity
from rotorwright.sheets.picture import ACCENT, DASHES, FAINT, HEIGHT, INK, SHADES, WIDTH, axis, themed
from rotorwright.studies.strength import GONE, strength
from rotorwright.studies.tolerances import TARGETS, tolerances

GRADES = (0.040, 0.016, 0.0063, 0.0025)
EXAMPLE = "drum-major.toml"


def grades() -> Any:
    """How far the centre of mass may lie off the axis, over rotor speed."""
    rows = [
        {"x": float(rpm), "y": 1000.0 * permissible_eccentricity(grade=grade, rotor_speed=rpm * np.pi / 30.0),
         "name": grade_word(grade)}
        for grade in GRADES
        for rpm in np.geomspace(300.0, 5000.0, 40)
    ]  # fmt: skip
    names = [grade_word(grade) for grade in GRADES]
    chart = (
        alt.Chart(alt.Data(values=rows))
        .mark_line(strokeWidth=2.4)
        .encode(
            x=alt.X("x:Q", axis=axis("rotor speed, rpm", values=[300, 500, 1000, 2000, 3000, 5000]),
                    scale=alt.Scale(type="log", nice=False)),
            y=alt.Y("y:Q", axis=axis("centre of mass off the axis, mm",
                                   values=[0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1]),
                    scale=alt.Scale(type="log", nice=False)),
            color=alt.Color("name:N", scale=alt.Scale(domain=names, range=list(SHADES[:4])), title=None),
            strokeDash=alt.StrokeDash("name:N", scale=alt.Scale(domain=names, range=list(DASHES[:4])), title=None),
        )
        .properties(width=WIDTH, height=HEIGHT, title="What a balance grade allows")
    )  # fmt: skip
    return themed(chart)


def margins() -> Any:
    """Margins of the example with the drums, worst first."""
    answer = strength(rotorwright.load(ROOT / "examples" / EXAMPLE), samples=128)
    rows = [
        {
            "name": f"{each.check} ({each.case})",
            "low": each.margin.low,
            "high": each.margin.high,
            "value": each.margin.value,
        }
        for each in answer.margins
        if each.case != GONE and (each.margin.value or 0.0) < 100.0
    ][:9]
    order = [row["name"] for row in rows]
    base = alt.Chart(alt.Data(values=rows))
    y = alt.Y("name:N", sort=order, axis=axis("", labelLimit=300, ticks=False))
    x = alt.X("low:Q", scale=alt.Scale(type="log", domain=[0.1, 50.0], nice=False),
              axis=axis("holds … times (1: just at the rule)",
                        values=[0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50]))  # fmt: skip
    band = base.mark_bar(height=12, opacity=0.25, color=INK, clip=True).encode(x=x, x2="high:Q", y=y)
    dot = base.mark_point(filled=True, size=70, color=INK, opacity=1.0, clip=True).encode(x="value:Q", y=y)
    rule = (
        alt.Chart(alt.Data(values=[{"x": 1.0}]))
        .mark_rule(color=ACCENT, strokeWidth=2, strokeDash=[6, 3])
        .encode(x="x:Q")
    )
    chart = alt.layer(band, rule, dot).properties(
        width=WIDTH - 60, height=HEIGHT, title="Drum Major: margins, worst first"
    )
    return themed(chart)


def hands() -> Any:
    """Grade that three ways of building reach, as built and balanced."""
    rotor = tolerances(rotorwright.load(ROOT / "examples" / EXAMPLE)).rotors[0]
    words = {"as built": "as built", "static": "static balance", "two planes": "two planes"}
    rows = [
        {"name": f"{each.build}, {words[each.state]}", "low": 1000.0 * (each.grade.low or 0.0),
         "high": 1000.0 * (each.grade.high or 0.0), "value": 1000.0 * (each.grade.value or 0.0)}
        for each in rotor.reached
    ]  # fmt: skip
    order = [row["name"] for row in rows]
    base = alt.Chart(alt.Data(values=rows))
    y = alt.Y("name:N", sort=order, axis=axis("", labelLimit=300, ticks=False))
    x = alt.X("low:Q", scale=alt.Scale(type="log", domain=[2.0, 500.0], nice=False),
              axis=axis("balance grade, mm/s", values=[2, 5, 10, 20, 50, 100, 200, 500]))  # fmt: skip
    band = base.mark_bar(height=12, opacity=0.25, color=INK, clip=True).encode(x=x, x2="high:Q", y=y)
    dot = base.mark_point(filled=True, size=70, color=INK, opacity=1.0, clip=True).encode(x="value:Q", y=y)
    marks = alt.Data(values=[{"x": 1000.0 * limit, "name": grade_word(limit)} for limit in TARGETS.values()])
    rule = alt.Chart(marks).mark_rule(color=ACCENT, strokeWidth=1.6, strokeDash=[6, 3]).encode(x="x:Q")
    label = (
        alt.Chart(marks)
        .mark_text(dy=-8, color=FAINT, fontSize=13, baseline="bottom")
        .encode(x="x:Q", y=alt.value(0), text="name:N")
    )
    chart = alt.layer(band, rule, dot, label).properties(
        width=WIDTH - 60, height=HEIGHT, title="Drum Major: what hand building reaches"
    )
    return themed(chart)


PICTURES: dict[str, Callable[[], Any]] = {
    "structure-grades": grades,
    "structure-margins": margins,
    "structure-hands": hands,
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
