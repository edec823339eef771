"""Write the pages that are lists: ``docs/index.md``, ``docs/unknowns.md`` and ``docs/references.md``."""

from __future__ import annotations

from pathlib import Path

from rotorwright.base.citations import citations
from rotorwright.base.unknown import unknowns

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"
MADE = "by `tools/reference_pages.py`; do not edit it."
USING = ("command-line", "aircraft-file", "nomenclature")
KNOWING = ("published", "unknowns", "references")


def title_of(page: Path) -> str:
    """Return the heading of a page."""
    return page.read_text(encoding="utf-8").splitlines()[0].removeprefix("# ").strip()


def _links(names: list[str]) -> list[str]:
    return [f"- [{title_of(DOCS / f'{name}.md')}]({name}.md)" for name in names if (DOCS / f"{name}.md").exists()]


def index() -> str:
    """Return the list of all pages."""
    loose = sorted(page.stem for page in DOCS.glob("*.md") if page.stem not in {*USING, *KNOWING, "index"})
    physics = sorted(f"physics/{page.stem}" for page in (DOCS / "physics").glob("*.md"))
    parts = [
        "# Rotorwright: documents",
        "",
        f"Made {MADE}",
        "",
        "## Using it",
        "",
        "- [README](../README.md): what it is for, the two commands, cautions",
        *_links([*USING, *loose]),
        "",
        "## How it knows",
        "",
        *_links(list(KNOWING)),
        *_links(physics),
        "",
        "## Why it is as it is",
        "",
        "- [Decisions](decisions/README.md)",
    ]
    return "\n".join(parts) + "\n"


def unknowns_page() -> str:
    """Return the table of Unknowns, room by room."""
    lines = [
        "# What we are not sure of",
        "",
        f"Made from `src/rotorwright/base/unknowns` {MADE}",
        "",
        "Every row is a factor that nobody knows well. Each sample draws all of them within their bands; the bands of",
        "the answers follow. The band is the middle 80 %: one time in ten the truth lies below it, one in ten above.",
        "",
    ]
    room = ""
    for row in unknowns():
        if row.room != room:
            room = row.room
            lines += [
                *([""] if lines[-1] else []),
                f"## Room {room}",
                "",
                "| name | median | 80 % band | unit | shape | scales | applies | source |",
                "|---|---|---|---|---|---|---|---|",
            ]
        cells = (
            f"`{row.name}`", f"{row.median:g}", f"{row.low:g} … {row.high:g}", row.unit, row.shape,
            row.scales, row.applies, row.source,
        )  # fmt: skip
        lines.append(f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |")
    return "\n".join(lines) + "\n"


def references_page() -> str:
    """Return the list of cited works."""
    lines = [
        "# Works we lean on",
        "",
        f"Made from `src/rotorwright/base/citations.toml` {MADE}",
        "",
        "*Held* says how a work was at hand: read (the work itself), read in part (abstract, extract), secondary",
        "(another author's account), digitised (off its figures), memory. What is held from memory is no evidence.",
        "",
        "| key | work | held | used for |",
        "|---|---|---|---|",
    ]
    for work in citations().values():
        date = f" ({work.year})" if work.year else ""
        where = f"{work.authors}{date}, *{work.title}*. {work.where}"
        lines.append(f"| `{work.key}` | {where} | {work.held} | {work.used_for} |")
    return "\n".join(lines) + "\n"


PAGES = {"unknowns": unknowns_page, "references": references_page, "index": index}

if __name__ == "__main__":
    for name, make in PAGES.items():
        (DOCS / f"{name}.md").write_text(make(), encoding="utf-8")
        print(f"wrote docs/{name}.md")
