"""Write ``docs/nomenclature.md`` from ``rotorwright.base.nomenclature``."""

from __future__ import annotations

from pathlib import Path

from rotorwright.base.nomenclature import terms

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "nomenclature.md"
HEAD = """# Symbols, names, units and signs

Made from `src/rotorwright/base/nomenclature.toml` by `tools/nomenclature_page.py`; do not edit it.

SI everywhere inside and in JSON; the file and the screen may use the units of the workshop. Revolutions per minute live
in files and on screens only. `x` runs aft in files and forward in the numbers: the loader turns it round.
"""


def page() -> str:
    """Return the whole page."""
    lines = [HEAD]
    table = terms()
    group = ""
    for row, term in enumerate(table):
        if term.group != group:
            group = term.group
            lines += [
                f"## {group}",
                "",
                "| name | symbol | SI unit | in files | sign, zero | meaning | source |",
                "|---|---|---|---|---|---|---|",
            ]
        names = ", ".join(f"`{name}`" for name in term.names)
        cells = (names, term.symbol, term.unit, term.file_unit, term.sign, term.meaning, term.source)
        lines.append(f"| {' | '.join(cells)} |")
        if row + 1 == len(table) or table[row + 1].group != group:
            lines.append("")
    return "\n".join(lines).rstrip() + "\n"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
    print(f"wrote {PAGE.relative_to(ROOT)}: {len(terms())} rows")
