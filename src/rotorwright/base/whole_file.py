"""Files written whole or not at all: a crash, a full disk or a pulled plug leaves what stood there before."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from rotorwright.base.errors import InputError


def write_whole(path: str | Path, data: bytes, *, replace: bool = True) -> Path:
    """Write bytes to a file, all or nothing.

    Parameters
    ----------
    path : str or Path
        The file; its folder must exist.
    data : bytes
    replace : bool
        False claims a name that must still be free.

    Returns
    -------
    target : Path
        Where it was written, links followed.

    Raises
    ------
    InputError
        If the folder does not exist, the file cannot be written, or the name is taken; nothing is then changed.
    """
    target = Path(os.path.realpath(path))
    place = str(path)
    if not replace and target.exists():
        hint = "Choose another name, or move the old file away"
        raise InputError("exists already and is not overwritten", place=place, hint=hint)
    if not target.parent.is_dir():
        raise InputError("cannot be written: its folder does not exist", place=place, found=f'"{target.parent}"')
    temporary = ""
    try:
        if target.exists() and not os.access(target, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
            raise PermissionError(13, "the file is read-only")
        handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:40]}.", suffix=".part")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask())
        if not replace:
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
    return target


def _claim(target: Path) -> None:
    """Create the file if, and only if, it is still not there, so that no two writers take the same name."""
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))


def _umask() -> int:
    """Return the mask of the process: it can only be read by setting it."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
