"""Freeze the nominal answers on the examples: ``tests/golden/examples.json``.

These figures prove nothing about the world: they only show when a change moves an answer, so that the mover looks at
it. Run it after a change that is meant to move answers, read the difference line by line, and say in the commit why.
"""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path

import rotorwright

ROOT = Path(__file__).resolve().parents[1]
GOLDEN = ROOT / "tests" / "golden" / "examples.json"


def answers() -> dict[str, dict[str, float | str | None]]:
    """Return every nominal quantity of every example, to nine digits, and its verdict sentence."""
    found: dict[str, dict[str, float | str | None]] = {}
    for path in sorted((ROOT / "examples").glob("*.toml")):
        result = rotorwright.balance(rotorwright.load(path), nominal_only=True)
        numbers: dict[str, float | str | None] = {"verdict": result.verdict.word}
        for name, quantity in sorted(result.quantities.items()):
            value = quantity.nominal
            numbers[name] = None if value is None or not math.isfinite(value) else float(f"{value:.9g}")
        found[path.stem] = numbers
    return found


def main() -> int:
    """Write the file."""
    GOLDEN.write_text(json.dumps(answers(), indent=1, sort_keys=True) + "\n", encoding="utf-8")
    print(f"wrote {GOLDEN.relative_to(ROOT)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
