"""The repository itself: arrows between rooms, dependencies, nothing of anybody's machine in it."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

from house.walk import PACKAGE, ROOT, modules, name_of, tracked_files, tree_of

PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
RUNTIME = [re.split(r"[<>=!~ \[;]", line)[0] for line in PYPROJECT["project"]["dependencies"]]
DEVELOPMENT = [re.split(r"[<>=!~ \[;]", line)[0] for line in PYPROJECT["project"]["optional-dependencies"]["dev"]]
CLUSTER = [re.split(r"[<>=!~ \[;]", line)[0] for line in PYPROJECT["project"]["optional-dependencies"]["cluster"]]
"""What only a study on several machines needs."""
PART_OF = {
    "dask": "distributed", "pydantic_core": "pydantic", "vl_convert": "vl-convert-python", "fastapi": "nicegui",
    "uvicorn": "nicegui",
}  # fmt: skip
"""Imported under another name than they are installed by."""
ENGINES = {"h5netcdf", "h5py"}
"""What xarray writes files with: named to it in words, never imported by us."""
COMMAND_OF = {"import-linter": "lint-imports"}


def imported(path: Path) -> set[str]:
    """Top names of everything a module imports, at any depth of its code."""
    names: set[str] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            names.update(alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names.add(node.module.split(".")[0])
    return names - set(sys.stdlib_module_names)


def test_import_arrows_hold() -> None:
    linter = Path(sys.executable).parent / "lint-imports"
    answer = subprocess.run([str(linter), "--no-cache"], cwd=ROOT, capture_output=True, text=True)
    assert answer.returncode == 0, answer.stdout


def test_every_runtime_dependency_is_used_and_every_import_declared() -> None:
    used = set().union(*(imported(path) for path in modules())) - {"rotorwright"}
    assert {PART_OF.get(name, name) for name in used} == set(RUNTIME + CLUSTER) - ENGINES
    text = "".join(path.read_text(encoding="utf-8") for path in modules())
    assert 'engine="h5netcdf"' in text


def test_every_development_dependency_is_used() -> None:
    tests = set().union(*(imported(path) for path in (ROOT / "tests").rglob("*.py")))
    chores = "".join(
        (ROOT / name).read_text(encoding="utf-8") for name in ("Makefile", ".pre-commit-config.yaml", "CONTRIBUTING.md")
    )
    idle = [
        name for name in DEVELOPMENT if name.replace("-", "_") not in tests and COMMAND_OF.get(name, name) not in chores
    ]
    assert not idle


def test_constraints_pin_every_dependency_and_name_no_address() -> None:
    text = (ROOT / "constraints.txt").read_text(encoding="utf-8")
    pinned = {line.split("==")[0] for line in text.splitlines()}
    assert set(RUNTIME + CLUSTER + DEVELOPMENT) <= pinned
    assert "://" not in text
    assert "@" not in text


PRIVATE = {
    "a path of somebody's machine": re.compile(r"(?<![\w.~>}/])/(?:home|root|work|opt|Users|tmp)/\w"),
    "a package registry's address": re.compile(
        r"\b(?:pypi|npmjs|pythonhosted|jfrog|artifactory|debian)\.(?:org|com|net|io)\b"
    ),
    "an address with a user in it": re.compile(r"https?://[^/\s]+@"),
}
BINARY = {".otf", ".npy", ".npz", ".png", ".ttf", ".woff2", ".pdf"}


def test_no_file_tells_of_a_machine_or_a_registry() -> None:
    told: list[str] = []
    for path in tracked_files():
        if path.suffix in BINARY or path == Path(__file__):
            continue
        text = path.read_text(encoding="utf-8")
        told += [f"{name_of(path)}: {what}: {hit[0]}" for what, form in PRIVATE.items() for hit in form.finditer(text)]
    assert not told


def test_private_forms_are_recognised() -> None:
    assert PRIVATE["a path of somebody's machine"].search("see /home/ada/model.toml")
    assert not PRIVATE["a path of somebody's machine"].search("examples/home/file")
    assert PRIVATE["a package registry's address"].search("index at " + ".".join(("pypi", "org")))


def test_version_is_said_once() -> None:
    import rotorwright

    assert PYPROJECT["project"]["version"] == rotorwright.__version__


def test_every_page_named_in_a_page_exists() -> None:
    broken: list[str] = []
    for path in tracked_files():
        if path.suffix != ".md":
            continue
        for target in re.findall(r"\]\(([^)\s#]+)", path.read_text(encoding="utf-8")):
            if "://" not in target and not target.startswith("mailto:") and not (path.parent / target).exists():
                broken.append(f"{name_of(path)} → {target}")
    assert not broken


def test_no_vague_module_names() -> None:
    vague = {"utils", "util", "tools", "misc", "common", "helpers"}
    assert not [name_of(path) for path in PACKAGE.rglob("*") if path.stem in vague]
