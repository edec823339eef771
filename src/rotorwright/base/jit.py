"""The one jit decorator.

Kernels are plain scalar functions compiled by numba. numba's own cache watches only the file that holds the
compiled function, so a changed callee in another file would silently return old answers; the cache folder is
therefore named by a hash of every file that holds compiled code (see docs/decisions). Kernels are serial
and release the interpreter lock: batches run them on ordinary threads, so none of numba's threading layers (one of
which aborts the process on concurrent calls, another hangs after a fork) is ever loaded.
"""

from __future__ import annotations

import hashlib
import os
import re
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

_PACKAGE = Path(__file__).resolve().parents[1]
_ROOMS_WITH_KERNELS = ("base", "physics", "flight", "studies")

numba_config: Any = numba.config
"""numba's settings (its type stubs do not list them)."""

Function = TypeVar("Function", bound=Callable[..., Any])


def kernel_digest() -> str:
    """Return a short hash of every file that holds compiled code or shapes its records, plus numba's version."""
    digest = hashlib.sha256(numba.__version__.encode())
    for room in _ROOMS_WITH_KERNELS:
        for path in sorted((_PACKAGE / room).rglob("*")):
            if path.suffix in {".py", ".toml"}:
                digest.update(path.name.encode())
                digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def _user_cache() -> Path:
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA")
        return Path(base) if base else Path.home() / "AppData" / "Local"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Caches"
    base = os.environ.get("XDG_CACHE_HOME")
    return Path(base) if base else Path.home() / ".cache"


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def cache_folder() -> Path:
    """Return the folder compiled kernels are kept in, creating it; a temporary one if the user's is read-only."""
    name = f"rotorwright/kernels-{kernel_digest()}"
    try:
        candidate = _user_cache() / name
    except RuntimeError:  # no home folder at all
        candidate = Path(tempfile.gettempdir()) / name
    if _writable(candidate):
        return candidate
    fallback = Path(tempfile.gettempdir()) / name
    return fallback if _writable(fallback) else Path(tempfile.mkdtemp(prefix="rotorwright-"))


if not os.environ.get("NUMBA_CACHE_DIR"):
    numba_config.CACHE_DIR = str(cache_folder())


def kernels_are_cached() -> bool:
    """Return whether an earlier run left compiled kernels behind (else the first call compiles for a while)."""
    folder = Path(str(numba_config.CACHE_DIR))
    return any(folder.rglob("*.nbc"))


_UNCOUNTED: dict[str, Any] = {"error_model": "numpy", "nogil": True, "_nrt": False}
_PLAIN_ANSWER = re.compile(r"(float|int|bool|None|tuple\[(float|int|bool)(, (float|int|bool))*\])$")


def _check_answer(function: Callable[..., Any]) -> None:
    """Refuse a kernel that might hand out an array nobody counts: the process would crash much later."""
    stated = function.__annotations__.get("return", "nothing stated")
    answer = stated.__name__ if isinstance(stated, type) else str(stated)
    if not _PLAIN_ANSWER.match(answer):
        raise TypeError(
            f"{function.__qualname__} returns {answer}: only numbers may leave a kernel under this decorator"
        )


def jit(function: Function) -> Function:
    """Compile a scalar kernel: cached, numpy error model, GIL released, no fastmath, no reference counting.

    Such a kernel reads and writes arrays and takes views of them, but must neither allocate nor return one, nor call
    one that does (`jit_with_arrays` may). Counting references to the dozen arrays of a case took a third of the
    time of a steady solve.
    """
    _check_answer(function)
    return cast(Function, numba.njit(cache=True, **_UNCOUNTED)(function))


def jit_with_arrays(function: Function) -> Function:
    """Compile a kernel that allocates arrays, returns them or views of them, or calls one that does; else as `jit`."""
    return cast(Function, numba.njit(cache=True, error_model="numpy", nogil=True)(function))


def jit_into_caller(function: Function) -> Function:
    """Compile a kernel as part of the kernel that calls it.

    For the large steps of a calculation that are called in one place: each level of ordinary calls compiles all that
    is below it once more, which is most of the time of a cold start.
    """
    _check_answer(function)
    return cast(Function, numba.njit(inline="always", **_UNCOUNTED)(function))
