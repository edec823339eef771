"""Every work cited by key is in the table, and the table says how each was held."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from house.walk import PACKAGE, modules
from rotorwright.base.citations import HELD, Citation, citations, reference

WORKS = citations()


@pytest.mark.parametrize("work", WORKS.values(), ids=list(WORKS))
def test_entry_is_complete(work: Citation) -> None:
    assert re.fullmatch(r"[a-z][a-z0-9-]+", work.key)
    assert work.held in HELD
    assert all((work.authors, work.title, work.where, work.used_for))
    dated = re.search(r"(?<=[a-z-])\d{4}$", work.key)
    assert dated is None or int(dated[0]) == work.year


def test_reference_is_one_line_and_says_how_it_was_held() -> None:
    line = reference("us76")
    assert "\n" not in line
    assert "1976" in line
    assert line.endswith("[secondary].")


def test_a_wrong_key_names_the_nearest() -> None:
    with pytest.raises(KeyError, match="swanson1961"):
        reference("swanson1962")


def keys_in(path: Path) -> set[str]:
    """The string constants given to a ``sources`` argument or a name ending in SOURCES."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    values: list[ast.expr] = []
    for node in ast.walk(tree):
        if isinstance(node, ast.keyword) and node.arg == "sources":
            values.append(node.value)
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            if any(isinstance(target, ast.Name) and target.id.endswith("SOURCES") for target in targets):
                values.append(node.value)
    return {
        part.value
        for value in values
        for part in ast.walk(value)
        if isinstance(part, ast.Constant) and isinstance(part.value, str)
    }


def test_every_key_the_code_cites_is_in_the_table() -> None:
    # a source written out as a sentence needs no key; a single word is one
    physics = [path for path in modules() if path.relative_to(PACKAGE).parts[0] in ("physics", "flight", "studies")]
    missing = {key: path.name for path in physics for key in keys_in(path) if " " not in key and key not in WORKS}
    assert not missing


def test_the_key_finder_finds(tmp_path: Path) -> None:
    path = tmp_path / "made.py"
    path.write_text('A_SOURCES = ("one",)\ncall(sources=("two", "three"))\nother = ("four",)\n', encoding="utf-8")
    assert keys_in(path) == {"one", "two", "three"}
