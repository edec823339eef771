"""Draw the pictures of the page on exploring into ``docs/pictures``.

Run ``python tools/explore_pictures.py``; ``--png FOLDER`` also writes PNG.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

from drawing import ROOT, draw

import rotorwright
from rotorwright.sheets.explore_pictures import explore_picture

EXAMPLE = "drum-major.toml"
DIAMETER = "rotor.left.diameter=80..160 mm"
SPAN = "rotor.left.span=400..760 mm"
DISCS = "rotor.left.discs.diameter"


def chart_of_sizes() -> Any:
    """Reserve of thrust over diameter and span of the drums."""
    aeroplane = rotorwright.load(ROOT / "examples" / EXAMPLE)
    found = rotorwright.explore(
        aeroplane, [DIAMETER, SPAN], along=[DISCS], keep=["slowest_level_speed<5 m/s"], grid=17, best=0
    )
    return explore_picture(found)


def trade() -> Any:
    """Endurance against level speed, searched over drums and cells."""
    aeroplane = rotorwright.load(ROOT / "examples" / EXAMPLE)
    cells = "battery.main.cells=3S or 4S"
    vary = [DIAMETER, SPAN, cells, "drive.belt.speed=1200..2400 rpm"]
    found = rotorwright.explore(aeroplane, vary, along=[DISCS], most=["endurance"], least=["level_speed"], seek=320)
    return explore_picture(found)


PICTURES: dict[str, Callable[[], Any]] = {
    "explore-map": chart_of_sizes,
    "explore-trade": trade,
}


if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
