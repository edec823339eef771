"""Checks shared by the bench calls: plain numbers in plain ranges, words from a list, mappings with known keys."""

from __future__ import annotations

import math
from collections.abc import Mapping
from difflib import get_close_matches
from numbers import Real
from typing import Any

from rotorwright.base.errors import InputError


def number(
    field: str, given: Any, *, low: float, high: float, unit: str, open_low: bool = False, place: str = ""
) -> float:
    """Return ``given`` as a float inside low…high (``open_low``: not at the low end itself).

    Raises
    ------
    InputError
        If it is no number, not finite or outside.
    """
    allowed = f"{'above ' if open_low else ''}{low:g} to {high:g} {unit}".strip()
    if isinstance(given, bool) or not isinstance(given, Real):
        raise InputError("a number is needed", place=place, field=field, found=repr(given)[:60], allowed=allowed)
    value = float(given)
    if not math.isfinite(value):
        raise InputError("a finite number is needed", place=place, field=field, found=repr(value), allowed=allowed)
    if value < low or value > high or (open_low and value == low):
        raise InputError(
            "the number is out of range", place=place, field=field, found=f"{value:g} {unit}".strip(), allowed=allowed
        )
    return value


def whole(field: str, given: Any, *, low: int, high: int, place: str = "") -> int:
    """Return ``given`` as a whole number inside low…high.

    Raises
    ------
    InputError
        If it is not one.
    """
    value = number(field, given, low=low, high=high, unit="", place=place)
    if value != int(value):
        raise InputError("a whole number is needed", place=place, field=field, found=f"{value:g}")
    return int(value)


def word(field: str, given: Any, choices: Mapping[str, float], *, place: str = "") -> float:
    """Return the code that a word stands for.

    Raises
    ------
    InputError
        If it is not in the list, with the nearest right word.
    """
    if isinstance(given, str) and given in choices:
        return choices[given]
    raise InputError(
        "not a known word",
        place=place,
        field=field,
        found=repr(given)[:60],
        allowed=", ".join(choices),
        hint=nearest(str(given), tuple(choices)),
    )


def nearest(given: str, choices: tuple[str, ...]) -> str:
    """Return "Did you mean …?" with the nearest of the choices, or nothing."""
    close = get_close_matches(given, choices, n=1, cutoff=0.5)
    return f"Did you mean {close[0]}?" if close else ""


def mapping(field: str, given: Any, *, needed: tuple[str, ...], optional: tuple[str, ...] = ()) -> dict[str, Any]:
    """Return ``given`` as a dictionary that has the needed keys and no unknown ones.

    Raises
    ------
    InputError
        If it is no mapping, lacks a key or has one too many, with the nearest right key.
    """
    known = needed + optional
    if not isinstance(given, Mapping):
        raise InputError(
            "a mapping of names to numbers is needed",
            field=field,
            found=type(given).__name__,
            allowed=", ".join(known),
        )
    for key in given:
        if key not in known:
            raise InputError(
                "not a known key",
                field=f"{field}.{key}",
                allowed=", ".join(known),
                hint=nearest(str(key), known),
            )
    for key in needed:
        if key not in given:
            raise InputError("this key is missing", field=f"{field}.{key}", allowed=", ".join(known))
    return dict(given)
