"""Writing files for a maker: nothing is ever overwritten, nothing half-written is left behind."""

from __future__ import annotations

from pathlib import Path


def refuse_to_overwrite(place: Path) -> None:
    """Raise if the file is there already, or if its folder is not."""
    from rotorwright.base.errors import InputError

    if place.is_dir():
        raise InputError("is a folder", place=str(place), hint=f"Give a file name, such as {place / 'my.toml'}")
    if place.exists():
        raise InputError("is there already and is left as it is", place=str(place), hint="Choose another name")
    if not place.parent.is_dir():
        raise InputError("the folder does not exist", place=str(place.parent), hint="Make it first")


def write_new_file(place: Path, text: str) -> None:
    """Write a file that must not exist yet; nothing is left behind when that fails."""
    from rotorwright.base.errors import InputError

    try:
        with place.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
    except FileExistsError:
        raise InputError(
            "is there already and is left as it is", place=str(place), hint="Choose another name"
        ) from None
    except OSError as trouble:
        reason = trouble.strerror or type(trouble).__name__
        raise InputError(
            f"cannot be written: {reason.lower()}", place=str(place), hint="Choose a folder of your own"
        ) from None
