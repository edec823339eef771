"""``--help`` is quick because it wakes nothing heavy."""

from __future__ import annotations

import resource
import subprocess
import sys

import pytest

HEAVY = (
    "numba",
    "numpy",
    "scipy",
    "tomlkit",
    "altair",
    "xarray",
    "rotorwright.design",
    "rotorwright.physics",
    "rotorwright.studies",
)
MOST_SECONDS = 0.5

WHAT_HELP_IMPORTS = f"""
import sys
from rotorwright.faces.cli.main import run
try:
    run(sys.argv[1:])
except SystemExit as end:
    assert not end.code, end.code
print("HEAVY", [name for name in {HEAVY!r} if name in sys.modules])
"""


@pytest.mark.parametrize("arguments", [["--help"], ["balance", "--help"], ["rotor", "--help"], ["--version"]])
def test_help_imports_nothing_heavy(arguments: list[str]) -> None:
    answer = subprocess.run(
        [sys.executable, "-c", WHAT_HELP_IMPORTS, *arguments], capture_output=True, text=True, check=True
    )
    assert answer.stdout.rstrip().endswith("HEAVY []")


def test_the_first_help_imports_no_validation_library() -> None:
    """The help of single commands may: the option parser itself leans on it there."""
    code = WHAT_HELP_IMPORTS.replace(repr(HEAVY), "('pydantic',)")
    answer = subprocess.run([sys.executable, "-c", code, "--help"], capture_output=True, text=True, check=True)
    assert answer.stdout.rstrip().endswith("HEAVY []")


def test_help_takes_less_than_half_a_second() -> None:
    """Processor time of the fastest of three runs, so that a busy machine does not fail it."""
    spent = []
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-m", "rotorwright", "--help"], capture_output=True, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    assert min(spent) < MOST_SECONDS
