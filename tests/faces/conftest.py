"""A small aeroplane and a way to run the program in this process."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from house.small_aeroplane import SMALL
from rotorwright.faces.cli.main import app


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """An aircraft file."""
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture
def rotorwright() -> Callable[..., Result]:
    """Runs the program with some arguments in this process."""

    def run(*arguments: object) -> Result:
        return CliRunner().invoke(app, [str(argument) for argument in arguments])

    return run
