"""The line finder agrees with the parser, and no damage to a file does anything but give problems in words."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from rotorwright.base.errors import InputProblems
from rotorwright.design.aircraft_file import loads
from rotorwright.design.positions import line_of, line_table

GOOD = (Path(__file__).parent / "format_example.toml").read_text(encoding="utf-8")

AWKWARD = '''# comment with [brackets] and = signs
top = 1
"quoted key" = "a # b" # c
dotted.inner.key = 3
text = """
[not.a.table]
x = 1 \\""" still
"""
raw = \'\'\'
[neither]
\'\'\'
list = [ "a,]", # comment ]
  { x = 1, y = [1, 2] },
  \'b}\',
]
[table . "sub table"]   # spaced
a = { b = { c = 1 }, d = "}" }
[[rows]]
n = 1
[[rows]]
n = 2
[rows.more]
m = 3
'''


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    if isinstance(value, dict):
        return [leaf for key, part in value.items() for leaf in leaves(part, (*path, key))]
    if isinstance(value, list):
        return [leaf for index, part in enumerate(value) for leaf in leaves(part, (*path, index))]
    return [path]


def test_every_field_of_an_awkward_file_is_found():
    lines = line_table(AWKWARD)
    for path in leaves(tomllib.loads(AWKWARD)):
        assert path in lines, path
    assert lines[("text",)] == 5
    assert lines[("list", 1, "y", 1)] == 13
    assert lines[("table", "sub table", "a", "b", "c")] == 17
    assert lines[("rows", 1, "n")] == 21
    assert lines[("rows", 1, "more", "m")] == 23
    assert line_of(lines, ("rows", 1, "absent")) == 20
    assert line_of(lines, ("absent",)) is None


def test_windows_line_ends_count_once():
    lines = line_table(GOOD.replace("\n", "\r\n"))
    assert lines == line_table(GOOD)


def load_or_problems(text: str) -> None:
    try:
        loads(text, "damaged.toml")
    except InputProblems as caught:
        problems = caught.problems
    else:
        return
    if not problems or not all(problem.sentence().startswith("damaged.toml") for problem in problems):
        raise AssertionError(problems)


@settings(max_examples=200, deadline=None)
@given(
    st.integers(0, len(GOOD)),
    st.integers(0, 30),
    st.text(alphabet="abc0123456789.,\"[]{}=#\n -+em'\\", max_size=12) | st.text(max_size=5),
)
def test_no_damage_gives_anything_but_problems_in_words(start: int, length: int, patch: str):
    load_or_problems(GOOD[:start] + patch + GOOD[start + length :])


VALUES: Any = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=6,
)
FIELDS = [".".join(str(part) for part in path) for path in leaves(tomllib.loads(GOOD))]


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(FIELDS), VALUES)
def test_no_change_gives_anything_but_an_aeroplane_or_problems(field: str, value: Any):
    try:
        loads(GOOD, changes={field: value})
    except InputProblems as caught:
        assert all(problem.message for problem in caught.problems)  # noqa: PT017
