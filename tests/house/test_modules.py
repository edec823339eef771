"""Every module is short, says what it is for, and its docstrings tell the truth about the arguments."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from house.walk import PACKAGE, modules, name_of, public_functions, tree_of

LONGEST = 500
LONGER_WITH_A_REASON: dict[str, str] = {}
"""Modules that may be longer than 500 lines, each with the reason."""

PATHS = modules()
NAMES = [name_of(path) for path in PATHS]


@pytest.mark.parametrize("path", PATHS, ids=NAMES)
def test_module_is_short(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines <= LONGEST or name_of(path) in LONGER_WITH_A_REASON, f"{lines} lines: split it by idea"


def test_no_exception_is_stale() -> None:
    stale = [
        name
        for name in LONGER_WITH_A_REASON
        if name not in NAMES or len((PACKAGE.parents[1] / name).read_text(encoding="utf-8").splitlines()) <= LONGEST
    ]
    assert not stale


@pytest.mark.parametrize("path", PATHS, ids=NAMES)
def test_module_and_public_names_have_docstrings(path: Path) -> None:
    tree = tree_of(path)
    assert ast.get_docstring(tree), "say in a docstring what the module is for"
    silent = [
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and not ast.get_docstring(node)
    ]
    assert not silent


def documented_parameters(docstring: str) -> list[tuple[str, str]] | None:
    """The (name, entry text) pairs of a numpydoc Parameters section, or None without such a section."""
    found = re.search(r"^Parameters\n-{3,}\n(.*?)(?=^\S[^\n]*\n-{3,}\n|\Z)", docstring, re.M | re.S)
    if not found:
        return None
    pairs: list[tuple[str, str]] = []
    for entry in re.split(r"\n(?=\S)", found[1].strip("\n")):
        head, _, _ = entry.partition("\n")
        names, _, _ = head.partition(" : ")
        pairs.extend((name.strip().lstrip("*"), entry) for name in names.split(","))
    return pairs


def signature_names(function: ast.FunctionDef) -> list[str]:
    """Every argument of a function, in order."""
    given = function.args
    names = [argument.arg for argument in (*given.posonlyargs, *given.args, *given.kwonlyargs)]
    names += [argument.arg for argument in (given.vararg, given.kwarg) if argument]
    return names


@pytest.mark.parametrize("path", PATHS, ids=NAMES)
def test_documented_parameters_are_the_signature(path: Path) -> None:
    wrong: list[str] = []
    for function in public_functions(path):
        pairs = documented_parameters(ast.get_docstring(function) or "")
        if pairs is not None and [name for name, _ in pairs] != signature_names(function):
            wrong.append(f"{function.name}: docs {[name for name, _ in pairs]}, code {signature_names(function)}")
    assert not wrong, "\n".join(wrong)


def handed_out(path: Path) -> set[str]:
    """Names of a physics module that other rooms import."""
    module = ".".join(("rotorwright", *path.relative_to(PACKAGE).with_suffix("").parts))
    names: set[str] = set()
    for other in PATHS:
        if other.parent == path.parent:
            continue
        for node in ast.walk(tree_of(other)):
            if isinstance(node, ast.ImportFrom) and node.module == module:
                names.update(alias.name for alias in node.names)
    return names


PHYSICS = [path for path in PATHS if "physics" in path.relative_to(PACKAGE).parts and handed_out(path)]


@pytest.mark.parametrize("path", PHYSICS, ids=[name_of(path) for path in PHYSICS])
def test_physics_handed_to_other_rooms_documents_every_argument(path: Path) -> None:
    names = handed_out(path)
    silent = [
        function.name
        for function in public_functions(path)
        if function.name in names
        and signature_names(function)
        and documented_parameters(ast.get_docstring(function) or "") is None
    ]
    assert not silent, f"without a Parameters section: {silent}"


def test_the_parameter_reader_sees_a_lie() -> None:
    docstring = (
        "Do.\n\nParameters\n----------\nfirst, second : float\n    Two [m].\nthird : float\n    One [s].\n\n"
        "Returns\n-------\nfloat\n    Sum."
    )
    pairs = documented_parameters(docstring)
    assert pairs is not None
    assert [name for name, _ in pairs] == ["first", "second", "third"]
    assert "[s]" in pairs[2][1]
    assert "Sum" not in pairs[2][1]
