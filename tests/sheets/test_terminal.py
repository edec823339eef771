"""A sheet drawn for the terminal fits the window, loses nothing, and is the same with and without colour."""

from __future__ import annotations

import io

import pytest

from rotorwright.base.quantity import Quantity, exact
from rotorwright.sheets.content import Line, Picture, Row, Section, Sentence, Share, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits
from rotorwright.sheets.strip_chart import strip_chart
from rotorwright.sheets.terminal import print_sheet, sheet_lines, sheet_text

SPEED = Quantity(11.23, 10.41, 12.34, 11.1, "m/s")
PICTURE = Picture(
    "What is to spare",
    "airspeed",
    "m/s",
    "force",
    "N",
    (
        Line("lift minus weight", (4.0, 8.0, 12.0), (-10.0, -3.0, 6.0)),
        Line("thrust minus drag", (4.0, 8.0, 12.0), (6.0, 3.0, -2.0)),
    ),
    "It flies where both are above zero.",
)
SHEET = Sheet(
    "Example",
    (
        Sentence(
            "Should fly (78 %), level at about 11 m/s with a good deal of words that must be wrapped somewhere.", "lead"
        ),
    ),
    (
        Section(
            "In flight",
            (
                Table(
                    (
                        Row(("level speed", SPEED, "between data")),
                        Row(("power for the spin", Share(Quantity(0.31, 0.25, 0.4, 0.3, "1"))), note="of the whole"),
                        Row(
                            (
                                "weight",
                                exact(1.5, "kg"),
                                "a long remark that has to go on over several lines to be read",
                            )
                        ),
                    ),
                    ("quantity", "value (80 % band)", "backing"),
                ),
                PICTURE,
            ),
        ),
        Section("Take care", (Sentence("Stand aside.", "caution"), Sentence("Nobody has measured this.", "doubt"))),
    ),
)


@pytest.mark.parametrize("width", [50, 80, 100])
def test_no_line_is_wider_than_the_window(width: int) -> None:
    assert max(len(text) for text, _ in sheet_lines(SHEET, width)) <= width


def test_everything_is_said() -> None:
    text = " ".join(sheet_text(SHEET, 100).split())
    said = (
        "11.2 m/s (10.4–12.3)",
        "31 % (25–40)",
        "1500 g",
        "of the whole",
        "Caution: Stand aside.",
        "Doubt: Nobody has measured this.",
        "must be wrapped somewhere",
        "It flies where both are above zero.",
        "value (80 % band)",
    )
    for words in said:
        assert words in text


def test_a_pipe_gets_the_plain_text() -> None:
    stream = io.StringIO()
    print_sheet(SHEET, stream)
    assert stream.getvalue() == sheet_text(SHEET, 80)
    assert "\x1b" not in stream.getvalue()


def test_chart_crosses_zero_where_the_line_does() -> None:
    lines = strip_chart(PICTURE, ShownUnits(), 60)
    (zero,) = [line for line in lines if line.strip().startswith("0 |")]
    middle_mark = zero.index("*")
    share = (middle_mark - zero.index("|") - 1) / (60 - zero.index("|") - 2)
    assert share == pytest.approx((8.0 + 4.0 / 3.0 - 4.0) / 8.0, abs=0.08)
    assert "m/s" in lines[-2]
    assert "[N]" in lines[-1]


def test_an_empty_picture_says_so() -> None:
    assert strip_chart(Picture("", "x", "m", "y", "N", ()), ShownUnits(), 40) == ["(nothing to draw)"]
