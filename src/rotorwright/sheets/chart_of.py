"""The pictures of a sheet as charts, in the maker's units: what page and paper draw."""

from __future__ import annotations

import math
from typing import Any

from rotorwright.sheets.content import Picture
from rotorwright.sheets.numbers import ShownUnits, convert, shown_unit, spelled
from rotorwright.sheets.picture import HEIGHT, PAPER_LOOK, WIDTH, Look, Rows, lines, themed


def chart_of(picture: Picture, units: ShownUnits, look: Look = PAPER_LOOK, width: int | str = WIDTH) -> Any:
    """Return a picture as a chart: bands as soft ribbons, lines firm, every axis with its unit.

    Parameters
    ----------
    picture : Picture
    units : ShownUnits
        The maker's.
    look : Look
    width : int or "container"
        Points of the drawing area; the width of what holds it on a page.
    """
    rows, x_title, y_title = rows_of(picture, units)
    names = [line.name for line in picture.lines]
    banded = [
        {**row, "nominal": row["y"], **({} if row["low"] is not None else {"low": row["y"], "high": row["y"]})}
        for row in rows
    ]
    ribbon = any(each.low for each in picture.lines)
    chart = lines(banded, x_title, y_title, names, ribbon=ribbon, look=look, legend=len(names) > 1, from_zero=False)
    return themed(chart.properties(width=width, height=HEIGHT, title=picture.title), look)


def rows_of(picture: Picture, units: ShownUnits) -> tuple[Rows, str, str]:
    """Return what a picture shows as rows (x, y, low, high, name) in the maker's units, and the titles of its axes.

    Points that do not exist are left out.
    """
    x_unit = shown_unit(_most(each for line in picture.lines for each in line.x), picture.x_unit, units)
    y_unit = shown_unit(_most(each for line in picture.lines for each in line.y), picture.y_unit, units)
    rows: Rows = []
    for line in picture.lines:
        for place, (x, y) in enumerate(zip(line.x, line.y, strict=True)):
            if not (math.isfinite(x) and math.isfinite(y)):
                continue
            low = line.low[place] if line.low else math.nan
            high = line.high[place] if line.high else math.nan
            banded = math.isfinite(low) and math.isfinite(high)
            rows.append(
                {
                    "x": convert(x, picture.x_unit, x_unit),
                    "y": convert(y, picture.y_unit, y_unit),
                    "low": convert(low, picture.y_unit, y_unit) if banded else None,
                    "high": convert(high, picture.y_unit, y_unit) if banded else None,
                    "name": line.name,
                }
            )
    return rows, _titled(picture.x_name, x_unit), _titled(picture.y_name, y_unit)


def _most(numbers: Any) -> float:
    return max((abs(number) for number in numbers if math.isfinite(number)), default=0.0)


def _titled(name: str, unit: str) -> str:
    return f"{name} [{spelled(unit)}]" if spelled(unit) else name
