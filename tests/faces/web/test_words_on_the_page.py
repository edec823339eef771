"""Sentences on the page name pages, not commands and options; numbers in them stay."""

import pytest

from rotorwright.faces.web.sheet_view import on_the_page


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("128 samples; middle and 80 % band. More: --more", "128 samples; middle and 80 % band."),
        ("Every number: --more. Pictures: --picture FILE.svg", ""),
        ("26 numbers are guesses; `check` lists them.", "26 numbers are guesses; the page Aeroplane lists them."),
        ("Sink 4.3 m/s. Keep power on, -0.3 to 1.9 N.", "Sink 4.3 m/s. Keep power on, -0.3 to 1.9 N."),
        ("A mount called `bracket` is soft.", "A mount called `bracket` is soft."),
    ],
)  # fmt: skip
def test_only_what_helps_on_a_page_is_said(said: str, shown: str) -> None:
    assert on_the_page(said) == shown
