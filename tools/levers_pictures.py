"""Draws the pictures of levers and of a comparison: one example, one change of it."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from drawing import ROOT, draw

from rotorwright import load
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.sheets.compare import compare_picture
from rotorwright.sheets.levers import band_picture, levers_picture
from rotorwright.studies.band_shares import band_shares
from rotorwright.studies.compare import compare
from rotorwright.studies.lever_table import levers

CHANGES = {
    "rotor.left.span": "400 mm",
    "thruster.nose.propeller": "9x4.3 sf",
    "battery.main.mass": "75 g",
    "item.rotor-mounts.mass": "45 g",
}


@lru_cache(maxsize=1)
def example() -> Aeroplane:
    """Return the example that the pages speak of."""
    return load(ROOT / "examples" / "thistledown.toml")


PICTURES: dict[str, Callable[[], Any]] = {
    "levers-steps": lambda: levers_picture(levers(example())),
    "levers-band": lambda: band_picture(band_shares(example())),
    "compare-waterfall": lambda: compare_picture(compare(example(), example().changed(CHANGES))),
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
