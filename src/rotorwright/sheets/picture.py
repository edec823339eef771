"""Pictures drawn on paper and page from one specification: the look, lines with bands, points, and the saved file.

A chart is an Altair chart; nothing here knows what it shows. The look is that of a workshop drawing: warm paper, ink
lines, one accent, soft ribbons for bands. Lines are told apart by dashes and points by shapes as well as by shade, so
that a picture reads in black and white and to the colour-blind.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import altair as alt
import vl_convert

from rotorwright.base.errors import InputError
from rotorwright.base.whole_file import write_whole


@dataclass(frozen=True)
class Look:
    """Colours of one kind of sheet."""

    paper: str
    ink: str
    grid: str
    faint: str
    accent: str


PAPER_LOOK = Look("#f6f1e4", "#22252b", "#e2dac6", "#a39c8a", "#b5402a")
BLUEPRINT_LOOK = Look("#16273a", "#e9e4d4", "#2b4158", "#8296a8", "#f0946a")
"""For dark rooms and dark pages."""

PAPER, INK, FAINT, ACCENT = PAPER_LOOK.paper, PAPER_LOOK.ink, PAPER_LOOK.faint, PAPER_LOOK.accent
DASHES = ([1, 0], [7, 3], [2, 2], [9, 3, 2, 3], [4, 4])
SHAPES = ("circle", "square", "triangle-up", "diamond", "cross")
WIDTH, HEIGHT = 520, 300
KINDS = (".svg", ".png", ".json")
FONT = "Cantarell"
"""Ships with the package in `FONTS`, so that a picture looks the same everywhere."""
FONTS = Path(__file__).parent / "fonts"
Rows = list[dict[str, Any]]


def shades_of(look: Look) -> tuple[str, ...]:
    """Return the shades of lines, in order, readable on the paper of a look."""
    return (look.ink, look.accent, "#3c6e8f", "#c08a1e", "#6d6a62") if look is PAPER_LOOK else (
        look.ink, look.accent, "#7fb4d6", "#e0b452", "#a8a497",
    )  # fmt: skip


def themed(chart: alt.TopLevelMixin, look: Look = PAPER_LOOK) -> Any:
    """Return a chart in the look of the workshop drawing."""
    words = {"labelFont": FONT, "titleFont": FONT, "labelColor": look.ink, "titleColor": look.ink}
    return (
        chart.configure(background=look.paper, padding=14)
        .configure_axis(
            **words, labelFontSize=13, titleFontSize=14, titleFontWeight="normal", gridColor=look.grid, gridWidth=0.7,
            domainColor=look.ink, tickColor=look.ink, titlePadding=8,
        )
        .configure_legend(
            **words, labelFontSize=13, titleFontSize=13, titleFontWeight="normal", symbolSize=150, labelLimit=420,
            symbolStrokeWidth=2.4, orient="bottom", columns=2, offset=6, rowPadding=4, columnPadding=26,
        )
        .configure_view(stroke=None)
        .configure_title(font=FONT, fontSize=15, fontWeight="normal", color=look.ink, anchor="start", offset=12)
        .configure_header(**words, labelFontSize=13, titleFontSize=13)
    )  # fmt: skip


def listed(rows: Rows) -> alt.Data:
    """Return rows as the data of a chart."""
    return alt.Data(values=rows)  # type: ignore[no-untyped-call]


SHADES = shades_of(PAPER_LOOK)


def axis(title: str, **more: Any) -> alt.Axis:
    """Return an axis with its title; the unit stands in brackets in it."""
    return alt.Axis(title=title, **more)


def lines(
    rows: Rows,
    x: str,
    y: str,
    names: Sequence[str],
    *,
    ribbon: bool = True,
    right: float | None = None,
    look: Look = PAPER_LOOK,
    legend: bool = True,
    from_zero: bool = True,
) -> Any:
    """Return firm lines with soft ribbons.

    Parameters
    ----------
    rows : list of dict
        Each with ``x``, ``nominal``, ``low``, ``high`` and ``name``.
    x, y : str
        Titles of the axes, with unit.
    names : sequence of str
        The lines in order of the legend, at most five.
    ribbon : bool
        Whether bands are drawn.
    right : float, optional
        Where the axis ends; it then starts at zero.
    look : Look
    legend : bool
        Whether the lines are named under the picture.
    from_zero : bool
        Whether an axis without a told end shows the zero.
    """
    shades = shades_of(look)
    data = listed([{**row, "shade": shades[list(names).index(row["name"])]} for row in rows])
    scale = alt.Scale(domain=list(names), range=list(shades[: len(names)]))
    dash = alt.Scale(domain=list(names), range=list(DASHES[: len(names)]))
    y_scale = alt.Scale(zero=True)
    x_scale = alt.Scale(nice=False) if right is None else alt.Scale(domain=[0.0, right], nice=False)
    if not from_zero:
        x_scale = alt.Scale(nice=False, zero=False)
    named: dict[str, Any] = {"title": None} if legend else {"legend": None}
    base = alt.Chart(data)
    line = base.mark_line(strokeWidth=2.4).encode(
        x=alt.X("x:Q", axis=axis(x, tickCount=9), scale=x_scale),
        y=alt.Y("nominal:Q", axis=axis(y), scale=y_scale),
        color=alt.Color("name:N", scale=scale, **named),
        strokeDash=alt.StrokeDash("name:N", scale=dash, **named),
    )
    if not ribbon:
        return alt.layer(line)
    band = base.mark_area(opacity=0.16).encode(
        x="x:Q",
        y=alt.Y("low:Q", scale=y_scale),
        y2="high:Q",
        fill=alt.Fill("shade:N", scale=None, legend=None),
        detail="name:N",
    )  # a channel of its own: the legend then shows the lines
    return alt.layer(band, line)


def points(rows: Rows, names: Sequence[str], *, title: str | None = None) -> Any:
    """Return points told apart by shape; rows hold x, y and source, ``names`` are the sources in order."""
    shapes = alt.Scale(domain=list(names), range=list(SHAPES[: len(names)]))
    return (
        alt.Chart(listed(rows))
        .mark_point(size=46, stroke=INK, strokeWidth=1.3, fill=PAPER, opacity=1.0)
        .encode(x="x:Q", y="y:Q", shape=alt.Shape("source:N", scale=shapes, title=title))
    )


def specification(chart: Any) -> dict[str, Any]:
    """Return the chart as a Vega-Lite specification, legend left-aligned under it."""
    found: dict[str, Any] = chart.to_dict()
    legend = found.setdefault("config", {}).setdefault("legend", {})
    legend["layout"] = {"bottom": {"anchor": "start", "direction": "vertical", "margin": 4}}
    return found


def in_look(spec: Any, look: Look) -> Any:
    """Return a specification made for paper in the colours of another look."""
    if look is PAPER_LOOK:
        return spec
    shades = dict(zip(shades_of(PAPER_LOOK), shades_of(look), strict=True))
    return _recoloured(spec, {**shades, **{getattr(PAPER_LOOK, each): getattr(look, each) for each in vars(look)}})


def _recoloured(part: Any, colours: Mapping[str, str]) -> Any:
    if isinstance(part, dict):
        return {name: _recoloured(each, colours) for name, each in part.items()}
    if isinstance(part, list):
        return [_recoloured(each, colours) for each in part]
    return colours.get(part, part) if isinstance(part, str) else part


def rows_in(spec: Any) -> Rows:
    """Return every row that a specification draws; ``drawn`` numbers the sets they come from."""
    sets: list[Rows] = []
    waiting = [spec]
    while waiting:
        part = waiting.pop(0)
        if isinstance(part, dict):
            values = part.get("data", {}).get("values") if isinstance(part.get("data"), dict) else None
            if values and values not in sets:
                sets.append(values)
            waiting += [each for each in part.values() if isinstance(each, dict | list)]
        elif isinstance(part, list):
            waiting += [each for each in part if isinstance(each, dict | list)]
    return [{"drawn": number, **row} for number, values in enumerate(sets, 1) for row in values]


def drawn(chart: Any, kind: str, *, scale: float = 2.0) -> bytes:
    """Return a chart drawn.

    Parameters
    ----------
    chart : Altair chart
    kind : str
        One of `KINDS`: ``.svg``, ``.png`` or ``.json`` (the specification itself).
    scale : float
        Pixels of a PNG for each point of the drawing.
    """
    found = specification(chart)
    _load_fonts()
    if kind == ".svg":
        return vl_convert.vegalite_to_svg(found).encode("utf-8")
    if kind == ".png":
        return bytes(vl_convert.vegalite_to_png(found, scale=scale))
    return json.dumps(found, indent=1).encode("utf-8")


@cache
def _load_fonts() -> None:
    vl_convert.register_font_directory(str(FONTS))


def picture_kind(path: str | Path) -> str:
    """Return the kind of picture that a file name asks for.

    Raises
    ------
    InputError
        If the ending is none of `KINDS`.
    """
    kind = Path(path).suffix.lower()
    if kind not in KINDS:
        raise InputError(
            "is no picture this program can draw", place=str(path), found=f'"{kind}"' if kind else "no ending",
            allowed="a file name that ends in .svg, .png or .json",
        )  # fmt: skip
    return kind


def save_picture(chart: Any, path: str | Path) -> Path:
    """Draw a chart into a file; the ending chooses the kind, an older picture of that name is replaced.

    Raises
    ------
    InputError
        If the ending is unknown or the file cannot be written; what stood there stays.
    """
    return write_whole(path, drawn(chart, picture_kind(path)))


def save_pictures(charts: Mapping[str, Any], path: str | Path) -> list[Path]:
    """Save several charts beside each other: ``flight.png`` becomes ``flight-NAME.png`` for each."""
    picture_kind(path)
    whole = Path(path)
    return [save_picture(chart, whole.with_stem(f"{whole.stem}-{name}")) for name, chart in charts.items()]
