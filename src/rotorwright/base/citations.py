"""The works this project leans on: a short key for each, its full reference, and how it was held.

Keys are the first author's name and the year in one word (``swanson1961``), for standards and data sites a name. The
table stands in ``citations.toml``; quantities, explanations and documents cite by key only.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path

HELD = ("read", "read in part", "secondary", "digitised", "memory")
"""How a work was held: the work itself, a part or abstract, another author's account, its figures, memory alone."""


@dataclass(frozen=True)
class Citation:
    """One work: who, when, what, where it appeared, how it was held, what it is used for."""

    key: str
    authors: str
    year: int
    title: str
    where: str
    held: str
    used_for: str

    def sentence(self) -> str:
        """Return the reference as one line."""
        date = f" ({self.year})" if self.year else ""
        return f"{self.authors}{date}, {self.title}. {self.where} [{self.held}]."


@lru_cache(maxsize=1)
def citations() -> dict[str, Citation]:
    """Return every work by its key, in the order of the keys."""
    text = (Path(__file__).parent / "citations.toml").read_text(encoding="utf-8")
    return {key: Citation(key=key, **entry) for key, entry in sorted(tomllib.loads(text).items())}


def reference(key: str) -> str:
    """Return the full reference of a key as one line.

    Parameters
    ----------
    key : str
        Such as ``"swanson1961"``.

    Raises
    ------
    KeyError
        If no work has that key; the message names the nearest ones.
    """
    found = citations().get(key)
    if found is None:
        near = get_close_matches(key, citations(), n=3, cutoff=0.5)
        raise KeyError(f"no work is cited as {key!r}" + (f"; nearest: {', '.join(near)}" if near else ""))
    return found.sentence()
