"""What the walk-the-package tests share: where things are and how to list them."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from functools import cache, lru_cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "src" / "rotorwright"


def modules() -> list[Path]:
    """Every module of the package."""
    return sorted(PACKAGE.rglob("*.py"))


def name_of(path: Path) -> str:
    """The path as it is written in this repository."""
    return path.relative_to(ROOT).as_posix()


@lru_cache(maxsize=1)
def tracked_files() -> tuple[Path, ...]:
    """Every file that git keeps, and new ones that it would keep (all files below the root where git is missing)."""
    answer = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    names = (name for name in answer.stdout.split("\0") if name)
    return tuple(path for path in (ROOT / name for name in names) if path.is_file())


@cache
def tree_of(path: Path) -> ast.Module:
    """The module's syntax tree."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def public_functions(path: Path) -> Iterator[ast.FunctionDef]:
    """Functions at the top of a module whose name does not begin with an underscore."""
    for node in tree_of(path).body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield node
