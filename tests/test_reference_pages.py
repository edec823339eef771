"""The pages that are lists say what the tables say now, and the index leads to every page."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[1]


def tool() -> ModuleType:
    """Load the page maker, which is no part of the package."""
    specification = importlib.util.spec_from_file_location("reference_pages", ROOT / "tools" / "reference_pages.py")
    assert specification is not None
    assert specification.loader is not None
    module = importlib.util.module_from_spec(specification)
    specification.loader.exec_module(module)
    return module


MAKER = tool()


@pytest.mark.parametrize("name", MAKER.PAGES)
def test_page_is_fresh(name: str) -> None:
    kept = (ROOT / "docs" / f"{name}.md").read_text(encoding="utf-8")
    assert kept == MAKER.PAGES[name](), "run python tools/reference_pages.py"


def test_index_leads_to_every_page() -> None:
    text = (ROOT / "docs" / "index.md").read_text(encoding="utf-8")
    pages = [*(ROOT / "docs").glob("*.md"), *(ROOT / "docs" / "physics").glob("*.md")]
    missing = [page.name for page in pages if page.stem != "index" and f"{page.stem}.md)" not in text]
    assert len(pages) > 5
    assert not missing


def test_links_between_pages_lead_somewhere() -> None:
    broken = []
    for page in (ROOT / "docs").rglob("*.md"):
        for target in re.findall(r"\]\(([^)#]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
            if "://" not in target and not (page.parent / target).exists():
                broken.append(f"{page.name} → {target}")
    assert not broken
