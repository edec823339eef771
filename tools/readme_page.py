"""Puts what the program really says about the demo aeroplane into README.md, between the two marks."""

from __future__ import annotations

import re
from pathlib import Path

from rotorwright.design.aircraft_file import load
from rotorwright.sheets.balance import balance_sheet
from rotorwright.sheets.terminal import sheet_text
from rotorwright.studies.balance import balance

ROOT = Path(__file__).resolve().parents[1]
BEGIN, END = "<!-- output -->", "<!-- end of output -->"


def demo() -> str:
    """Return the demo aeroplane's file, as the Makefile names it."""
    (path,) = re.findall(r"^DEMO := (\S+)$", (ROOT / "Makefile").read_text(encoding="utf-8"), re.M)
    return str(path)


def output() -> str:
    """Return the demo aeroplane's balance, as the command prints it."""
    return sheet_text(balance_sheet(balance(load(ROOT / demo())))).rstrip()


def main() -> None:
    """Write the page."""
    page = ROOT / "README.md"
    text = page.read_text(encoding="utf-8")
    head, _, rest = text.partition(BEGIN)
    _, mark, tail = rest.partition(END)
    if not mark:
        raise SystemExit(f"README.md has lost its marks {BEGIN} … {END}")
    block = f"{BEGIN}\n\n```text\n$ rotorwright balance {demo()}\n{output()}\n```\n\n{END}"
    page.write_text(f"{head}{block}{tail}", encoding="utf-8")


if __name__ == "__main__":
    main()
