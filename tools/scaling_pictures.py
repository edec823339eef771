"""Draw the picture of the page on scaling into ``docs/pictures``.

Run ``python tools/scaling_pictures.py``; ``--png FOLDER`` also writes PNG.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

from drawing import ROOT, draw

from rotorwright.design.aircraft_file import load
from rotorwright.sheets.scale import scale_picture
from rotorwright.studies.scale import scale


def sizes() -> Any:
    """Return the picture of an example at other sizes."""
    return scale_picture(scale(load(ROOT / "examples" / "thistledown.toml"), size=2.0))


PICTURES: dict[str, Callable[[], Any]] = {"scaling-sizes": sizes}

if __name__ == "__main__":
    draw(PICTURES, sys.argv[1:])
