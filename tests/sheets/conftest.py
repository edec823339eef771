"""A small aeroplane in a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from house.small_aeroplane import SMALL


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """An aircraft file."""
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path
