"""Write ``docs/published.md``: how well we match what is published, misses included.

Run ``python tools/published_page.py`` after changing a law, an Unknown or a check-value file.
"""

from __future__ import annotations

import math
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

import check_value_files as checks  # noqa: E402

PAGE = ROOT / "docs" / "published.md"
HEAD = """# How well we match what is published

This page is made from the check-value files in `tests/check_values` by `tools/published_page.py`; do not edit it.

- **expected ± tol**: the printed figure and how far ours may lie from it; the file says why that far.
- **ours**: our nominal number. **band**: our 80 % band, where the answer carries one; *in* tells whether the printed
  figure lies inside it. A single figure should lie inside about 8 times in 10.
- **held**: read (in the source itself), secondary (in another author's account), digitised (off a printed figure),
  memory. What is held from memory is shown but proves nothing and gates nothing.
- **kind**: experiment, calculation, standard: figures from outside. *Closed form* checks arithmetic; *common practice*
  is a trade figure without a source. Only the first three count as evidence.
- **result**: *met* and *missed* are as they come out; a known miss has its reason below the table. *left out* is an
  outlier or misprint, with its reason.
"""


def number(value: float | None, step: float = 0.0) -> str:
    """Return a number with the decimals that a tolerance of ``step`` asks for, at least four figures."""
    if value is None:
        return "–"
    if value == 0.0:
        return "0"
    figures = 4
    if step > 0.0:
        figures = min(max(figures, math.ceil(math.log10(abs(value) / step)) + 2), 10)
    text = f"{value:.{figures}g}"
    if "e" in text and 1e-4 < abs(value) < 1e7:
        text = f"{float(text):.0f}" if abs(value) >= 1.0 else f"{float(text):.{figures + 3}f}"
    return text


def tolerance(value: float) -> str:
    """Return a tolerance with two figures."""
    return f"{value:.2g}"


def cell(text: str) -> str:
    """Return text that cannot break a table."""
    return text.replace("|", "/").replace("\n", " ")


def inputs(row: checks.Row) -> str:
    """Return the inputs of a row as one short line."""
    parts = []
    for name, value in row.inputs.items():
        if isinstance(value, (dict, list)):
            value = repr(value)
        parts.append(f"{name} {value:g}" if isinstance(value, float) else f"{name} {value}")
    return cell(", ".join(parts))


def row_line(row: checks.Row) -> tuple[str, dict[str, bool | None]]:
    """Return a row as a table line, and what it came to."""
    if row.status == "skip":
        ours, band, inside, result, verdict = "–", "–", "–", "left out", {"met": None, "inside": None}
    else:
        outcome = checks.outcome(row)
        met = outcome.meets(row)
        within: bool | None = None
        band, inside = "–", "–"
        if outcome.low is not None and outcome.high is not None and outcome.high > outcome.low:
            low, high = min(outcome.low, outcome.high), max(outcome.low, outcome.high)
            within = low <= row.expected <= high
            band = f"{number(low)} … {number(high)}"
            inside = "in" if within else "out"
        ours, result = number(outcome.ours, row.tolerance), "met" if met else "missed"
        verdict = {"met": met, "inside": within}
    held = row.held_as.replace("read-primary", "read").replace("read-secondary", "secondary")
    what = row.function.rsplit(".", 1)[-1]
    if row.quantity:
        what = f"{what}[{row.quantity}]" if row.quantity.isdigit() else row.quantity
    cells = (
        f"`{row.id}`", cell(row.locator), inputs(row), f"{cell(what)} ({row.unit})",
        f"{number(row.expected, row.tolerance)} ± {tolerance(row.tolerance)}",
        ours, band, inside, held, row.kind, result,
    )  # fmt: skip
    return f"| {' | '.join(cells)} |", verdict


def file_part(rows: list[checks.Row]) -> tuple[list[str], list[dict[str, bool | None]]]:
    """Return one source as a heading, a table and its reasons."""
    lines = [f"### {rows[0].source}", "", rows[0].note, ""]
    lines += [
        "| id | where | inputs | quantity | expected ± tol | ours | band | in | held | kind | result |",
        "|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    verdicts = []
    for row in rows:
        line, verdict = row_line(row)
        lines.append(line)
        verdicts.append(verdict)
    reasons = [row for row in rows if row.status != "use"]
    if reasons:
        lines.append("")
        lines += [
            f"- `{row.id}`: {'known miss' if row.status == 'miss' else 'left out'}: {row.reason}" for row in reasons
        ]
    mapped = sorted({row.mapping for row in rows if row.mapping})
    if mapped:
        lines += ["", "How their terms map to ours: " + "; ".join(mapped) + "."]
    return [*lines, ""], verdicts


def summary_line(room: str, rows: Iterable[checks.Row], verdicts: Iterable[dict[str, bool | None]]) -> str:
    """Return one line of the summary."""
    rows, verdicts = list(rows), list(verdicts)
    count = Counter(row.status for row in rows)
    outside = sum(row.is_outside_evidence for row in rows)
    compared = [verdict for row, verdict in zip(rows, verdicts, strict=True) if row.status != "skip"]
    met = sum(bool(verdict["met"]) for verdict in compared)
    banded = [
        bool(verdict["inside"])
        for row, verdict in zip(rows, verdicts, strict=True)
        if verdict["inside"] is not None and row.kind in ("experiment", "calculation")
    ]
    inside = f"{sum(banded)} of {len(banded)}" if banded else "–"
    cells = (room, len(rows), outside, f"{met} of {len(compared)}", inside, count["miss"], count["skip"])
    return f"| {' | '.join(map(str, cells))} |"


def page() -> str:
    """Return the whole page."""
    rows = checks.rows()
    body: list[str] = []
    table: list[str] = []
    every: list[dict[str, bool | None]] = []
    for room in sorted({row.room for row in rows}):
        body += [f"## Room {room}", ""]
        of_room: list[dict[str, bool | None]] = []
        room_rows = [row for row in rows if row.room == room]
        for key in dict.fromkeys(row.key for row in room_rows):
            lines, verdicts = file_part([row for row in room_rows if row.key == key])
            body += lines
            of_room += verdicts
        table.append(summary_line(room, room_rows, of_room))
        every += of_room
    ordered = [row for room in sorted({row.room for row in rows}) for row in rows if row.room == room]
    table.append(summary_line("**all**", ordered, every))
    summary = [
        "## Summary",
        "",
        "| room | rows | from outside | met | experiments and calculations inside our band | known misses | left out |",
        "|---|---|---|---|---|---|---|",
        *table,
        "",
    ]
    return "\n".join([HEAD, *summary, *body]).rstrip() + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"wrote {PAGE.relative_to(ROOT)}: {len(checks.rows())} rows")
