"""Reads an aircraft file: TOML in the maker's units in, a completed aeroplane or a list of everything wrong out."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path as FilePath
from typing import Any

from rotorwright.design.aeroplane import Aeroplane, build, build_changed
from rotorwright.design.changes import with_changes
from rotorwright.design.file_text import parse, read_text
from rotorwright.design.parts.measure import SI


def load(path: str | FilePath, changes: Mapping[str, Any] | None = None) -> Aeroplane:
    """Return the aeroplane described in a file.

    Parameters
    ----------
    path : str or Path
        The aircraft file (TOML).
    changes : mapping, optional
        Dotted field to a text as in the file, or to an SI number; see `Aeroplane.changed`.

    Raises
    ------
    InputProblems
        With every mistake found: file, line, field, found, allowed, nearest right name.
    """
    return loads(read_text(path), str(path), changes)


def loads(text: str, place: str = "the text", changes: Mapping[str, Any] | None = None) -> Aeroplane:
    """Return the aeroplane described in a text; ``place`` names it in messages (see `load`)."""
    told = parse(text, place)
    return build_changed(told, place, text, changes) if changes else build(told, place, text)


__all__ = ["SI", "build", "load", "loads", "parse", "read_text", "with_changes"]
