"""Kernels without reference counting must not let arrays in or out that somebody would have to count."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import Any

import pytest

from rotorwright.base import jit as room
from rotorwright.base.jit import jit

PACKAGE = Path(room.__file__).parents[1]


def decorated() -> dict[str, set[str]]:
    """Names of all kernels in the package by decorator, with ``callers:`` sets of the functions each one calls."""
    found: dict[str, set[str]] = {}
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef):
                for decorator in node.decorator_list:
                    if isinstance(decorator, ast.Name) and decorator.id.startswith("jit"):
                        found.setdefault(decorator.id, set()).add(node.name)
                        calls = {
                            call.func.id
                            for call in ast.walk(node)
                            if isinstance(call, ast.Call) and isinstance(call.func, ast.Name)
                        }
                        found[f"{decorator.id}:{node.name}"] = calls
    return found


def test_a_kernel_that_returns_an_array_is_refused() -> None:
    def leak(x: Any) -> Any:
        return x

    with pytest.raises(TypeError, match="only numbers"):
        jit(leak)


def test_uncounted_kernels_call_none_that_hands_out_arrays() -> None:
    found = decorated()
    counted = found["jit_with_arrays"]
    assert {"work_space", "case_of"} <= counted
    for name, calls in found.items():
        if name.startswith(("jit:", "jit_into_caller:")):
            assert not calls & counted, name


def test_a_changed_callee_elsewhere_compiles_its_callers_afresh_and_nothing_else(monkeypatch: Any) -> None:
    shared, modules = room._sources()
    drum = "rotorwright.physics.rotor.drum"
    changed = {**modules, drum: (b"other text", modules[drum][1])}
    callers = ("rotorwright.flight.batch", "rotorwright.physics.rotor.loads", drum)
    strangers = ("rotorwright.physics.power.motor", "rotorwright.physics.air.atmosphere")
    before = {name: room.kernel_digest.__wrapped__(name) for name in (*callers, *strangers)}
    monkeypatch.setattr(room, "_sources", lambda: (shared, changed))
    for name in callers:
        assert room.kernel_digest.__wrapped__(name) != before[name], name
    for name in strangers:
        assert room.kernel_digest.__wrapped__(name) == before[name], name


def test_the_cache_sees_every_import_of_ours_that_python_sees() -> None:
    _, modules = room._sources()
    for name, (_, imported) in modules.items():
        path = PACKAGE.parent / (name.replace(".", "/") + ".py")
        if not path.exists():
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("rotorwright"):
                assert node.module in imported, (name, node.module)
                assert {f"{node.module}.{alias.name}" for alias in node.names} <= imported, (name, node.module)
            assert not (isinstance(node, ast.ImportFrom) and node.level), f"{name}: write imports in full"
