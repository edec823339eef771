"""Golden file: freezes the nominal answers on the examples. It shows change, not truth (tools/golden.py)."""

from __future__ import annotations

import importlib.util
import json
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
GOLDEN = json.loads((ROOT / "tests" / "golden" / "examples.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def answers():
    spec = importlib.util.spec_from_file_location("golden_tool", ROOT / "tools" / "golden.py")
    assert spec is not None
    assert spec.loader is not None
    tool = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(tool)
    return tool.answers()


def test_every_example_is_frozen(answers):
    assert set(answers) == set(GOLDEN)


@pytest.mark.parametrize("example", sorted(GOLDEN))
def test_nominal_answers_have_not_moved(answers, example):
    moved = {
        name: (frozen, answers[example].get(name))
        for name, frozen in GOLDEN[example].items()
        if not _same(frozen, answers[example].get(name))
    }
    assert not moved, f"{example}: frozen and now {moved}; if meant, run tools/golden.py and say why in the commit"
    assert set(answers[example]) == set(GOLDEN[example])


def _same(frozen, now):
    if isinstance(frozen, float) and isinstance(now, float):
        return now == pytest.approx(frozen, rel=2e-5, abs=1e-6)
    return frozen == now
