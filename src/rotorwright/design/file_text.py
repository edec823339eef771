"""The text of an aircraft file: reading it from disk and taking TOML apart, with words for whatever is in the way."""

from __future__ import annotations

import re
import tomllib
from difflib import get_close_matches
from pathlib import Path as FilePath
from typing import Any

from rotorwright.base.errors import InputError

LARGEST_FILE = 1_000_000
"""Largest aircraft file read [bytes]; a real one has a few thousand."""
ALLOWED = "an aircraft file (TOML text)"


def read_text(path: str | FilePath) -> str:
    """Return the text of an aircraft file; raises InputError if it is not a readable text of bearable size."""
    place = str(path)
    file = FilePath(path)
    allowed = ALLOWED
    try:
        if file.is_dir():
            raise InputError("is a folder, not a file", place=place, allowed=allowed, hint=_files_in(file))
        size = file.stat().st_size
        if size > LARGEST_FILE:
            raise too_large(place, size)
        raw = file.read_bytes()
    except FileNotFoundError:
        raise InputError("does not exist", place=place, allowed=allowed, hint=_nearest_file(file)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(f"cannot be read: {reason}", place=place, allowed=allowed) from None
    return text_of(raw, place)


def too_large(place: str, size: int) -> InputError:
    """Return what to say of a file of too many bytes."""
    limit = f"at most {LARGEST_FILE // 1000} kB"
    return InputError("is too large for an aircraft file", place=place, found=f"{size // 1000} kB", allowed=limit)


def text_of(raw: bytes, place: str) -> str:
    """Return the text in the bytes of an aircraft file; raises InputError if they are too many or no text."""
    if len(raw) > LARGEST_FILE:
        raise too_large(place, len(raw))
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        message = "is not UTF-8 text"
        hint = "Save it again as UTF-8 from your editor"
        raise InputError(
            message, place=place, line=line, found=f"byte 0x{raw[error.start]:02x}", allowed=ALLOWED, hint=hint
        ) from None


def _files_in(folder: FilePath) -> str:
    files = sorted(entry.name for entry in folder.glob("*.toml"))[:3]
    return f"Did you mean {folder / files[0]}?" if files else ""


def _nearest_file(file: FilePath) -> str:
    try:
        names = [entry.name for entry in file.parent.iterdir() if entry.suffix == ".toml"][:500]
    except OSError:
        return ""
    near = get_close_matches(file.name, names, n=1, cutoff=0.6)
    return f"Did you mean {file.parent / near[0]}?" if near else ""


_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")


def parse(text: str, place: str) -> dict[str, Any]:
    """Return the tables of a TOML text; raises InputError where it is not TOML."""
    if "\x00" in text:
        raise InputError(
            "is not text", place=place, line=text.count("\n", 0, text.index("\x00")) + 1, found="a zero byte"
        )
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InputError("is nested too deeply", place=place, allowed="plain tables and fields") from None
    except (tomllib.TOMLDecodeError, ValueError) as error:
        message = str(error)
        at = _AT.search(message)
        line = int(at.group(1)) if at and at.group(1) else len(text.splitlines()) or 1
        lines = text.splitlines()
        found = lines[line - 1].strip() if 0 < line <= len(lines) else ""
        said = _AT.sub("", message)
        words, hint = _toml_words(said)
        raise InputError(
            words, place=place, line=line, found=found[:80], allowed='lines such as span = "620 mm"', hint=hint
        ) from None


def _toml_words(said: str) -> tuple[str, str]:
    if "twice" in said or "overwrite" in said or "already" in said or "immutable" in said:
        return "tells the same table or field twice", "Give every part a name of its own, or delete one of the two"
    if "Invalid value" in said:
        return "has a value that is not TOML", "Texts, and numbers with units, stand in quotes"
    if "Unclosed" in said or "Unterminated" in said or "Expected" in said:
        return f"is not written in TOML ({said})", "Look for a missing quote, bracket or equals sign here or just above"
    return f"is not written in TOML ({said})", ""
