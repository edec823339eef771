"""Changes an aircraft file without losing anything: comments, order, spacing and the maker's units stay."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rotorwright.base.errors import InputError, InternalError
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
    target = Path(os.path.realpath(path))
    place = str(path)
    if replaces is None:
        if target.exists():
            hint = "Choose another name, or move the old file away"
            raise InputError("exists already and is not overwritten", place=place, hint=hint)
    elif read_text(target) != replaces:
        hint = "Load it again and repeat the change"
        raise InputError("was changed by another program meanwhile; nothing was written", place=place, hint=hint)
    if not target.parent.is_dir():
        raise InputError("cannot be written: its folder does not exist", place=place, found=f'"{target.parent}"')
    temporary = ""
    try:
        if target.exists() and not os.access(target, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
            raise PermissionError(13, "the file is read-only")
        handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part")
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask())
        if replaces is None:
            _claim(target)
        os.replace(temporary, target)
        temporary = ""
    except OSError as error:
        reason = error.strerror or str(error)
        hint = "Nothing was changed; choose a folder you may write in"
        raise InputError(f"cannot be written: {reason[:1].lower()}{reason[1:]}", place=place, hint=hint) from None
    finally:
        if temporary:
            Path(temporary).unlink(missing_ok=True)


def _claim(target: Path) -> None:
    """Create the file if, and only if, it is still not there, so that no two writers take the same name."""
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    if not 0 <= mask <= 0o777:
        raise InternalError(f"the system gave a strange file mask: {mask}")
    return mask
