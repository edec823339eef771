"""Names of mirrored twins."""

from __future__ import annotations


def twin_name(name: str) -> str:
    """Return the name of the mirrored twin: left ↔ right where the name says so, else the name with -mirror."""
    for one, other in (("left", "right"), ("right", "left"), ("Left", "Right"), ("Right", "Left")):
        if one in name:
            return name.replace(one, other)
    return f"{name}-mirror"
