"""The modules that describe the aeroplane lean on each other in one direction only."""

from __future__ import annotations

import ast
from graphlib import TopologicalSorter
from pathlib import Path

import rotorwright.design

FOLDER = Path(rotorwright.design.__file__).parent
PACKAGE = "rotorwright.design"


def imports_of(path: Path) -> set[str]:
    """Return every module of the room that a file imports when it runs, also inside functions."""
    found = set()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING":
            node.body = []  # read by the type checker only: nothing is imported
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith(f"{PACKAGE}."):
            found.add(node.module)
    return found


def test_no_module_of_the_room_leans_on_itself_by_way_of_another():
    graph = {}
    for path in FOLDER.rglob("*.py"):
        name = ".".join((PACKAGE, *path.relative_to(FOLDER).with_suffix("").parts))
        graph[name] = imports_of(path)
    assert len(graph) > 20
    order = list(TopologicalSorter(graph).static_order())
    assert order.index(f"{PACKAGE}.aeroplane") < order.index(f"{PACKAGE}.aircraft_file")
