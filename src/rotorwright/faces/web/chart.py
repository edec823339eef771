"""A chart on a page: the same specification as on paper, drawn by a library served from here."""

from __future__ import annotations

import csv
import io
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from nicegui import app, ui

from rotorwright.base.jit import cache_folder
from rotorwright.base.whole_file import write_whole
from rotorwright.sheets.chart_of import chart_of, rows_of
from rotorwright.sheets.content import Picture
from rotorwright.sheets.numbers import ShownUnits
from rotorwright.sheets.picture import BLUEPRINT_LOOK, PAPER_LOOK, in_look, rows_in, specification

LIBRARY = "/rotorwright/drawing.js"
_MAKE = "import sys, vl_convert; sys.stdout.write(vl_convert.javascript_bundle())"


def drawing_library() -> Path:
    """Return the file of the drawing library, made once for each version of it in a process of its own.

    (Making it takes a hundred megabytes that a server need not keep.)
    """
    from importlib.metadata import version

    path = cache_folder() / f"drawing-{version('vl-convert-python')}.js"
    if not path.is_file():
        made = subprocess.run([sys.executable, "-c", _MAKE], capture_output=True, check=True).stdout
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, made)
    return path


def serve_drawing_library() -> None:
    """Serve the drawing library from here."""
    app.add_static_file(local_file=drawing_library(), url_path=LIBRARY)


class Chart(ui.element, component="static/chart.js"):
    """One chart; a new specification is drawn in its place."""

    def __init__(self, spec: dict[str, Any], said: str) -> None:
        super().__init__()
        self._props["library"] = LIBRARY
        self.show(spec, said)

    def show(self, spec: dict[str, Any], said: str = "") -> None:
        """Draw another specification, told in a sentence for those who cannot see it."""
        self._props["spec"] = spec
        self._props["said"] = said or self._props.get("said", "")
        self.update()


def picture_spec(picture: Picture, units: ShownUnits, dark: bool) -> dict[str, Any]:
    """Return the specification of a picture as wide as what holds it."""
    spec = specification(chart_of(picture, units, BLUEPRINT_LOOK if dark else PAPER_LOOK, "container"))
    spec["autosize"] = {"type": "fit", "contains": "padding"}
    return spec


@dataclass(frozen=True)
class Drawing:
    """A chart that a sheet made, as a specification: made where the sums are done, not where pages are drawn."""

    spec: dict[str, Any]
    said: str
    """What it shows, in a sentence."""
    title: str
    """Names the saved files."""

    def in_look(self, dark: bool) -> dict[str, Any]:
        """Return the specification in the look of the page."""
        found: dict[str, Any] = in_look(self.spec, BLUEPRINT_LOOK if dark else PAPER_LOOK)
        return found


def drawing_of(chart: Any, said: str, title: str) -> Drawing:
    """Return a chart as a drawing."""
    return Drawing(specification(chart), said, title)


def drawing_table(spec: dict[str, Any]) -> str:
    """Return what a drawing shows as CSV; the columns are those of all its sets of points."""
    rows = rows_in(spec)
    names = list(dict.fromkeys(name for row in rows for name in row))
    written = io.StringIO()
    table = csv.DictWriter(written, names, lineterminator="\n")
    table.writeheader()
    table.writerows(rows)
    return written.getvalue()


def picture_table(picture: Picture, units: ShownUnits) -> str:
    """Return what a picture shows as CSV, in the units it is shown in."""
    rows, x_title, y_title = rows_of(picture, units)
    head = f"line,{x_title},{y_title},low,high"
    told = (
        ",".join(
            [
                f'"{row["name"]}"',
                *("" if row[name] is None else f"{row[name]:.9g}" for name in ("x", "y", "low", "high")),
            ]
        )
        for row in rows
    )
    return "\n".join([head, *told, ""])
