"""Faults of the program, interruptions, closed pipes and old code pages."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import Result

Run = Callable[..., Result]


def program(*arguments: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run the real program in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "rotorwright", *arguments], capture_output=True, env=os.environ | environment
    )


def break_explain(monkeypatch: pytest.MonkeyPatch, problem: BaseException) -> None:
    from rotorwright.sheets import explanation

    def fail(name: str) -> None:
        raise problem

    monkeypatch.setattr(explanation, "find", fail)


def test_a_fault_of_the_program_is_one_line_to_report(rotorwright: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("ROTORWRIGHT_DEBUG", raising=False)
    break_explain(monkeypatch, ZeroDivisionError("float division by zero"))
    result = rotorwright("explain", "lift")
    assert result.exit_code == 3
    assert "has a fault: ZeroDivisionError: float division by zero" in result.stderr
    assert "report" in result.stderr
    assert "Traceback" not in result.output
    monkeypatch.setenv("ROTORWRIGHT_DEBUG", "1")
    assert "Traceback" in rotorwright("explain", "lift").stderr


def test_an_interruption_has_its_own_code(rotorwright: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    break_explain(monkeypatch, KeyboardInterrupt())
    result = rotorwright("explain", "lift")
    assert result.exit_code == 130
    assert "Interrupted" in result.stderr


def test_debug_is_welcome_anywhere() -> None:
    assert program("explain", "lift", "--debug").returncode == 0
    assert program("--debug", "explain", "lift").returncode == 0


def test_old_code_pages_get_plain_spellings() -> None:
    answer = program("explain", "lift", PYTHONIOENCODING="ascii")
    assert answer.returncode == 0
    assert b"L = CL . 1/2 rho V2 . span . diameter" in answer.stdout
    assert program("explain", "lift", PYTHONIOENCODING="cp1252").returncode == 0


def test_a_reader_that_leaves_early_ends_the_program_quietly() -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "rotorwright", "explain"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    assert process.stderr.read() == b""
    process.stderr.close()
    assert process.wait() == 0


def test_an_answer_goes_to_standard_output_only(rotorwright: Run, small: Path) -> None:
    result = rotorwright("check", small)
    assert result.exit_code == 0
    assert "Ready to fly it weighs" in result.stdout
    assert "\x1b" not in result.stdout
