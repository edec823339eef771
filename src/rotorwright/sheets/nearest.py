"""The names that a maker may have meant: those that hold a word of what was typed, then those spelled much like it."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import SequenceMatcher

SHOWN = 5


def nearest_names(typed: str, titles: Mapping[str, str]) -> list[str]:
    """Return the names nearest to what was typed, the nearest first.

    Parameters
    ----------
    typed : str
    titles : mapping
        Name → title of everything that can be asked for.

    Notes
    -----
    A name scores the likeness of its spelling, and more for every word typed that stands in it or in its title.
    """
    wanted = typed.strip().lower().replace("-", "_").replace(" ", "_")
    words = [word for word in wanted.split("_") if len(word) > 2]

    def score(name: str) -> float:
        like = max(SequenceMatcher(None, wanted, one).ratio() for one in (name, titles[name].lower()))
        parts = name.split("_")
        held = sum(2.0 if word in parts else 1.0 if word in titles[name].lower() else 0.0 for word in words)
        return held + like

    return sorted(titles, key=lambda name: (-score(name), name))[:SHOWN]
