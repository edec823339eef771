"""What every tool that draws pictures of the docs shares: where they go and how they are written."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from rotorwright.sheets.picture import save_picture

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / "docs" / "pictures"


def draw(pictures: Mapping[str, Callable[[], Any]], given: Sequence[str]) -> None:
    """Draw every picture, or those named; ``--png FOLDER`` also writes PNG to look at."""
    png = Path(given[given.index("--png") + 1]) if "--png" in given else None
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name in [each for each in given if each in pictures] or list(pictures):
        chart = pictures[name]()
        save_picture(chart, FOLDER / f"{name}.svg")
        if png is not None:
            save_picture(chart, png / f"{name}.png")
        print(f"wrote docs/pictures/{name}.svg")
