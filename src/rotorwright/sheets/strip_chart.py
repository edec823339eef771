"""A small chart in plain characters, for terminals and plain-text mail."""

from __future__ import annotations

import itertools
import math
import textwrap

from rotorwright.sheets.content import Picture
from rotorwright.sheets.numbers import ShownUnits, convert, decimals_for, shown_unit, spelled, written

HEIGHT = 11
MARKS = "*o+x"


def strip_chart(picture: Picture, units: ShownUnits, width: int) -> list[str]:
    """Return a picture as lines of characters: one mark per line of it, a zero rule, axis ends with units."""
    points = [
        (x, y)
        for line in picture.lines
        for x, y in zip(line.x, line.y, strict=True)
        if math.isfinite(x) and math.isfinite(y)
    ]
    if not points:
        return ["(nothing to draw)"]
    x_low, x_high = min(x for x, _ in points), max(x for x, _ in points)
    y_low, y_high = min(*(y for _, y in points), 0.0), max(*(y for _, y in points), 0.0)
    x_span, y_span = (x_high - x_low) or 1.0, (y_high - y_low) or 1.0
    x_unit = shown_unit(max(abs(x_low), abs(x_high)), picture.x_unit, units)
    y_unit = shown_unit(max(abs(y_low), abs(y_high)), picture.y_unit, units)
    labels = {0: _axis(y_high, picture.y_unit, y_unit), HEIGHT - 1: _axis(y_low, picture.y_unit, y_unit)}
    zero_row = round((y_high / y_span) * (HEIGHT - 1))
    labels.setdefault(zero_row, "0")
    margin = max(len(label) for label in labels.values())
    room = max(width - margin - 2, 20)
    grid = [[" "] * room for _ in range(HEIGHT)]
    grid[zero_row] = ["-"] * room
    for mark, line in zip(MARKS, picture.lines, strict=False):
        for column, value in _columns(line.x, line.y, x_low, x_span, room):
            grid[round((y_high - value) / y_span * (HEIGHT - 1))][column] = mark
    chart = [f"{labels.get(row, ''):>{margin}} |{''.join(cells).rstrip()}" for row, cells in enumerate(grid)]
    left, right = _axis(x_low, picture.x_unit, x_unit), f"{_axis(x_high, picture.x_unit, x_unit)} {spelled(x_unit)}"
    chart.append(" " * (margin + 2) + left + right.rjust(room - len(left)))
    named = [f"{mark} {line.name}" for mark, line in zip(MARKS, picture.lines, strict=False)]
    unit = f" [{spelled(y_unit)}]" if spelled(y_unit) else ""
    return chart + textwrap.wrap(f"{', '.join(named)}{unit} over {picture.x_name}", width)


def _axis(number: float, si_unit: str, unit: str) -> str:
    value = convert(number, si_unit, unit)
    return written(value, min(decimals_for(value, 0.0), 2))


def _columns(
    xs: tuple[float, ...], ys: tuple[float, ...], x_low: float, x_span: float, room: int
) -> list[tuple[int, float]]:
    """Read the line at each character column between its ends (straight between points)."""
    pairs = sorted((x, y) for x, y in zip(xs, ys, strict=True) if math.isfinite(x) and math.isfinite(y))
    if len(pairs) == 1:
        return [(round((pairs[0][0] - x_low) / x_span * (room - 1)), pairs[0][1])]
    columns = []
    for column in range(room):
        x = x_low + x_span * column / (room - 1)
        for (xa, ya), (xb, yb) in itertools.pairwise(pairs):
            if xa - 1e-12 * x_span <= x <= xb + 1e-12 * x_span and xb > xa:
                columns.append((column, ya + (yb - ya) * (x - xa) / (xb - xa)))
                break
    return columns
