"""Print, per published table of the power room, how often the printed figure lies inside our 80 % band.

Run from the top folder: ``python tools/power_coverage.py``. A share near 0.8 is right; far below, the bands promise too
much; far above, they are wider than the evidence asks for. Calibrated and label-only benches are told apart.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

import check_value_files as checks


def coverage() -> dict[str, tuple[int, int, float]]:
    """Return rows inside the band, all rows and the mean half-width over the printed figure, per table."""
    inside: dict[str, list[bool]] = defaultdict(list)
    width: dict[str, list[float]] = defaultdict(list)
    for row in checks.rows():
        if row.room != "power" or row.kind != "experiment" or row.status == "skip":
            continue
        found = checks.outcome(row)
        if found.low is None or found.high is None:
            continue
        name = row.key
        if row.function.endswith("motor_and_propeller_alone"):
            name += ", calibrated on one row" if "fit" in row.inputs else ", labels only"
        name += f", {row.quantity}"
        inside[name].append(found.low <= row.expected <= found.high)
        width[name].append(0.5 * (found.high - found.low) / max(abs(row.expected), 1e-12))
    return {name: (sum(hits), len(hits), sorted(width[name])[len(hits) // 2]) for name, hits in inside.items()}


def main() -> None:
    """Print the table."""
    rows = coverage()
    for name, (hits, count, width) in rows.items():
        print(f"{name:75s} {hits:4d} of {count:4d} = {hits / count:.2f}   median half-width {100 * width:.0f} %")
    hits, count = sum(row[0] for row in rows.values()), sum(row[1] for row in rows.values())
    print(f"{'all':75s} {hits:4d} of {count:4d} = {hits / count:.2f}")


if __name__ == "__main__":
    main()
