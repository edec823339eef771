"""Changes an aircraft file without losing anything: comments, order, spacing and the maker's units stay."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rotorwright.base.errors import InputError
from rotorwright.base.whole_file import write_whole
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.aircraft_file import loads
from rotorwright.design.changes import from_text, with_changes
from rotorwright.design.fields import AXES, dimension_of
from rotorwright.design.file_text import parse, read_text
from rotorwright.design.units import show

if TYPE_CHECKING:
    from tomlkit import TOMLDocument


def edit_text(text: str, changes: Mapping[str, Any], place: str = "the text") -> str:
    """Return an aircraft file's text with some fields told differently and everything else as it was.

    Parameters
    ----------
    text : str
        The file's text.
    changes : mapping
        Dotted field to a text as in the file, an SI number (written in the unit that stood there), or None to strike
        the field out.
    place : str
        What to call the file in messages.

    Raises
    ------
    InputProblems
        If the text is no aircraft file, a field does not exist or a value cannot be used.
    """
    import tomlkit

    told = parse(text, place)
    with_changes(told, changes)  # complains about parts that are not there
    document = tomlkit.parse(text)
    for field, value in changes.items():
        _change(document, field, value)
    fresh = tomlkit.dumps(document)
    loads(fresh, place)  # nothing that cannot be read again is handed out
    return fresh


def _change(document: TOMLDocument, field: str, value: Any) -> None:
    import tomlkit

    path = field.split(".")
    where: Any = document
    for part in path[:-1]:
        if isinstance(where, list):
            where = where[int(AXES.get(part, part))]
            continue
        if part not in where:
            where[part] = tomlkit.inline_table() if where is not document else tomlkit.table()
        where = where[part]
    last: Any = path[-1]
    if isinstance(where, list):
        last = int(AXES.get(last, last))
        where[last] = _written(field, value, where[last])
    elif value is None:
        where.pop(last, None)
    else:
        where[last] = _written(field, value, where.get(last))


def _written(field: str, value: Any, before: Any) -> Any:
    """Return a value as it should stand in the file, in the unit that stood there."""
    if isinstance(value, str):
        return from_text(value)
    dimension = dimension_of(field)
    if isinstance(value, list | tuple):
        olds = before if isinstance(before, list) and len(before) == len(value) else [""] * len(value)
        return [_written(f"{field}.{index}", part, olds[index]) for index, part in enumerate(value)]
    if isinstance(value, float) and dimension is not None:
        if dimension in {"share", "number"} and not isinstance(before, str):
            return float(f"{value:.6g}")
        return show(value, str(before) if isinstance(before, str) else "", dimension, figures=6)
    return value


def edit_file(path: str | Path, changes: Mapping[str, Any]) -> Aeroplane:
    """Change an aircraft file on disk and return the aeroplane it now describes.

    Parameters
    ----------
    path : str or Path
        The file.
    changes : mapping
        As for `edit_text`.

    Raises
    ------
    InputProblems
        If the file cannot be read, changed or written; it is then exactly as it was.
    """
    before = read_text(path)
    after = edit_text(before, changes, str(path))
    save_text(path, after, replaces=before)
    return loads(after, str(path))


def save_text(path: str | Path, text: str, *, replaces: str | None = None) -> None:
    """Write a text to a file, all or nothing.

    Parameters
    ----------
    path : str or Path
        The file. It must not exist yet unless ``replaces`` is given.
    text : str
        What to write (UTF-8).
    replaces : str, optional
        The text that stands there now; if something else does, nothing is written.

    Raises
    ------
    InputError
        If the file exists, has changed, or cannot be written; nothing is then overwritten.
    """
    if replaces is not None and read_text(Path(os.path.realpath(path))) != replaces:
        hint = "Load it again and repeat the change"
        raise InputError("was changed by another program meanwhile; nothing was written", place=str(path), hint=hint)
    write_whole(path, text.encode("utf-8"), replace=replaces is not None)
