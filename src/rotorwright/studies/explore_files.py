"""A maker's aircraft file with some fields changed and every change marked by what stood there before."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.aircraft_file import loads
from rotorwright.design.edit import edit_text
from rotorwright.design.file_text import read_text
from rotorwright.design.positions import line_table


def marked_text(aeroplane: Aeroplane, changes: Mapping[str, Any], head: str = "") -> str:
    """Return the text of the aeroplane's file with changes made, each with ``# explored, was …`` behind it.

    Parameters
    ----------
    aeroplane : Aeroplane
        As read from a file; one changed on the way is written as it is now.
    changes : mapping
        Dotted field to SI number or text.
    head : str
        Comment for the top of the file.

    Raises
    ------
    InputProblems
        If the file cannot be read again.
    """
    text = read_text(aeroplane.source)
    asked = loads(text, aeroplane.source)
    other = _differing(asked.told, aeroplane.told)
    fresh = edit_text(text, {**other, **changes}, aeroplane.source)
    lines = fresh.split("\n")
    places, changed = line_table(fresh), loads(fresh, aeroplane.source)
    for field in {**other, **changes}:
        path = tuple(field.split("."))
        line = next((places[path[:end]] for end in range(len(path), 0, -1) if path[:end] in places), None)
        if line is None:
            continue
        before = _was(asked, field)
        if isinstance(changed.value(field), float) and changed.echo(field) == before:
            continue
        mark = f"explored, {field.rsplit('.', 1)[-1]} was {before}"
        row = lines[line - 1]
        if row.rstrip().endswith(("[", "{", '"""', "'''")) or '"""' in row:
            continue  # the value goes on below: no room for a comment
        lines[line - 1] = f"{row}; {mark}" if "# explored," in row else f"{row}  # {mark}"
    whole = "\n".join(lines)
    if head:
        whole = "".join(f"# {each}\n" for each in head.splitlines()) + whole
    loads(whole, aeroplane.source)  # nothing that cannot be read again is handed out
    return whole


def _was(aeroplane: Aeroplane, field: str) -> str:
    told: Any = aeroplane.told
    for part in field.split("."):
        if isinstance(told, list):
            told = told[{"x": 0, "y": 1, "z": 2}[part] if part in "xyz" else int(part)]
        elif isinstance(told, Mapping) and part in told:
            told = told[part]
        else:
            return "not told"
    return str(told)


def _differing(one: Mapping[str, Any], other: Mapping[str, Any], path: str = "") -> dict[str, Any]:
    """Return the fields that were told differently on the way, such as by ``--set``."""
    found: dict[str, Any] = {}
    for name, value in other.items():
        here = f"{path}.{name}" if path else name
        before = one.get(name)
        if value == before:
            continue
        if isinstance(value, Mapping):
            found |= _differing(before if isinstance(before, Mapping) else {}, value, here)
        else:
            found[here] = list(value) if isinstance(value, list) else value
    return found
