"""``--picture FILE``: an ending that cannot be drawn is refused before the work is done, the picture saved after it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from typing import Any

Draw = Callable[[Any], None]
"""Saves one chart, or several by name beside each other."""


def drawing(file: str | None) -> Draw | None:
    """Return what saves a picture into a file, or None if none is wanted.

    Raises
    ------
    InputError
        If the ending of the file is no kind of picture.
    """
    if file is None:
        return None
    from rotorwright.sheets.picture import picture_kind, save_picture, save_pictures

    picture_kind(file)

    def draw(charts: Any) -> None:
        if not isinstance(charts, Mapping):
            save_picture(charts, file)
            return
        for place in save_pictures(charts, file):
            print(f"Drawn: {place}", file=sys.stderr)

    return draw
