"""The pictures of the pages: each is shown somewhere, is the one its tool would name, and is plain drawing."""

from __future__ import annotations

import ast
import re
import xml.etree.ElementTree as tree
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PICTURES = sorted((ROOT / "docs" / "pictures").glob("*.svg"))
TOOLS = sorted((ROOT / "tools").glob("*_pictures.py"))


def names_in_tool() -> set[str]:
    """Names that the drawing tools write, read without their libraries."""
    names: set[str] = set()
    for tool in TOOLS:
        for node in ast.parse(tool.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) and node.target.id == "PICTURES":
                assert isinstance(node.value, ast.Dict)
                names |= {key.value for key in node.value.keys if isinstance(key, ast.Constant)}
    return names


def test_the_tools_and_the_folder_agree() -> None:
    assert {path.stem for path in PICTURES} == names_in_tool()


def test_every_picture_is_shown_with_words_for_those_who_cannot_see_it() -> None:
    shown: dict[str, str] = {}
    for page in (ROOT / "docs").rglob("*.md"):
        for words, name in re.findall(
            r"!\[([^\]]*)\]\((?:\.\./)?pictures/([\w-]+)\.svg\)", page.read_text(encoding="utf-8")
        ):
            shown[name] = words
    assert set(shown) == {path.stem for path in PICTURES}
    assert all(len(words) > 20 for words in shown.values())


@pytest.mark.parametrize("path", PICTURES, ids=[path.stem for path in PICTURES])
def test_picture_is_plain_drawing_of_bearable_size(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert len(text) < 250_000
    root = tree.fromstring(text)
    kinds = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert "text" in kinds
    assert not kinds & {"script", "image", "foreignObject", "style"}
    assert not re.search(r"(?<!xmlns=\")(?<!xlink=\")https?://(?!www\.w3\.org)", text)
