"""Every symbol once: its name in code, its unit, its sign, its meaning.

The table in ``nomenclature.toml`` feeds docs/nomenclature.md (``tools/nomenclature_page.py``) and a test that
compares its units with those in the docstrings of the kernels.
"""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple


class Term(NamedTuple):
    """One row: names in code (several may share it), symbol, SI unit, unit in files, sign and zero, meaning, source."""

    group: str
    names: tuple[str, ...]
    symbol: str
    unit: str
    file_unit: str
    sign: str
    meaning: str
    source: str


@lru_cache(maxsize=1)
def terms() -> tuple[Term, ...]:
    """Return the whole table, group by group."""
    text = (Path(__file__).parent / "nomenclature.toml").read_text(encoding="utf-8")
    return tuple(Term(**(row | {"names": tuple(row["names"])})) for row in tomllib.loads(text)["term"])


def unit_of(name: str) -> str | None:
    """Return the SI unit of a name in code, or None if the table does not hold it."""
    for term in terms():
        if name in term.names:
            return term.unit
    return None
