"""The one jit decorator.

Kernels are plain scalar functions compiled by numba. numba's own cache watches only the file that holds the
compiled function, so a changed callee in another file would silently return old answers; each module's kernels are
therefore kept in a folder named by a hash of that module and of all it imports (see docs/decisions). Kernels are serial
and release the interpreter lock: batches run them on ordinary threads, so none of numba's threading layers (one of
which aborts the process on concurrent calls, another hangs after a fork) is ever loaded.
"""

from __future__ import annotations

import functools
import hashlib
import os
import re
import sys
import tempfile
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast, get_type_hints

import numba
from numba.core import caching
from numba.core.runtime.nrt import rtsys

_PACKAGE = Path(__file__).resolve().parents[1]
_ROOMS_WITH_KERNELS = ("base", "physics", "flight", "studies")
_IMPORT = re.compile(r"^[ \t]*from (rotorwright[\w.]*) import (\([^)]*\)|[^\n]*)", re.MULTILINE)

numba_config: Any = numba.config
"""numba's settings (its type stubs do not list them)."""

Function = TypeVar("Function", bound=Callable[..., Any])


def _dotted(path: Path) -> str:
    parts = path.relative_to(_PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@functools.cache
def _sources() -> tuple[bytes, dict[str, tuple[bytes, frozenset[str]]]]:
    """Return a digest of the tables that shape records, and by module its digest and what it imports of us."""
    shared = hashlib.sha256(numba.__version__.encode())
    modules: dict[str, tuple[bytes, frozenset[str]]] = {}
    for room in _ROOMS_WITH_KERNELS:
        for path in sorted((_PACKAGE / room).rglob("*")):
            if path.suffix == ".toml" and path.parent.name == "unknowns":
                shared.update(path.name.encode() + path.read_bytes())
            elif path.suffix == ".py":
                text = path.read_bytes()
                imported = frozenset(
                    name
                    for package, names in _IMPORT.findall(text.decode())
                    for name in (package, *(f"{package}.{word}" for word in re.findall(r"\w+", names)))
                )
                modules[_dotted(path)] = (hashlib.sha256(text).digest(), imported)
    return shared.digest(), modules


@functools.cache
def kernel_digest(module: str) -> str:
    """Return a short hash of a module, of every module of ours it leads to, of the tables and of numba's version."""
    shared, modules = _sources()
    waiting, seen = [module], {module}
    while waiting:
        for name in modules.get(waiting.pop(), (b"", frozenset()))[1]:
            if name in modules and name not in seen:
                seen.add(name)
                waiting.append(name)
    digest = hashlib.sha256(shared + module.encode())
    for name in sorted(seen):
        digest.update(modules[name][0] if name in modules else b"")
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


@functools.cache
def cache_folder() -> Path:
    """Return the folder compiled kernels are kept in, creating it; a temporary one if the user's is read-only."""
    if os.environ.get("NUMBA_CACHE_DIR"):
        return Path(os.environ["NUMBA_CACHE_DIR"])
    name = "rotorwright/kernels"
    try:
        candidate = _user_cache() / name
    except RuntimeError:  # no home folder at all
        candidate = Path(tempfile.gettempdir()) / name
    if _writable(candidate):
        return candidate
    fallback = Path(tempfile.gettempdir()) / name
    return fallback if _writable(fallback) else Path(tempfile.mkdtemp(prefix="rotorwright-"))


def _module_folder(module: str) -> Path:
    return cache_folder() / f"{module.removeprefix('rotorwright.')}-{kernel_digest(module)}"


def kernels_are_cached() -> bool:
    """Return whether an earlier run left the compiled steady flight behind (else the first call compiles a while)."""
    return any(_module_folder("rotorwright.flight.solver").rglob("*.nbc"))


class _KernelCache:
    """numba's own cache of one kernel, opened when the kernel is first called, in the folder of its module.

    Two things numba does each time are left out until they are needed, because they take longer than a whole verdict:
    making and probing a folder for each of some hundred kernels of which a command calls a few, and preparing the
    compiler before a kernel is read back (a kernel that has to be compiled after all prepares it then).
    """

    _opening = threading.Lock()

    def __init__(self, function: Callable[..., Any], allocates: bool) -> None:
        self._function = function
        self._allocates = allocates
        self._opened: Any = None

    def _open(self) -> Any:
        with self._opening:
            if self._opened is None:
                numba_config.CACHE_DIR = str(_module_folder(self._function.__module__))
                self._opened = cast(Any, caching).FunctionCache(self._function)
        return self._opened

    def load_overload(self, signature: Any, target_context: Any) -> Any:
        cache = self._open()
        if self._allocates:
            rtsys.initialize(target_context)  # the functions such kernels call at run time
        with cache._guard_against_spurious_io_errors():
            return cache._load_overload(signature, target_context)
        return None  # it swallowed an error

    def __getattr__(self, name: str) -> Any:
        return getattr(self._open(), name)


def _compiled(function: Function, *, cache: bool = False, **options: Any) -> Function:
    kernel = numba.njit(**options)(function)
    if cache and not numba_config.DISABLE_JIT:
        kernel._cache = _KernelCache(function, allocates=options.get("_nrt", True))
    return cast(Function, kernel)


_UNCOUNTED: dict[str, Any] = {"error_model": "numpy", "nogil": True, "_nrt": False}
_PLAIN_ANSWER = re.compile(r"(float|int|bool|None|tuple\[(float|int|bool)(, (float|int|bool))*\])$")


def _check_answer(function: Callable[..., Any]) -> None:
    """Refuse a kernel that might hand out an array nobody counts: the process would crash much later."""
    stated = function.__annotations__.get("return", "nothing stated")
    answer = stated.__name__ if isinstance(stated, type) else str(stated)
    named = getattr(function, "__globals__", {}).get(answer)
    if isinstance(named, type) and issubclass(named, tuple):  # a tuple whose numbers have names
        answer = f"tuple[{', '.join(kind.__name__ for kind in get_type_hints(named).values())}]"
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
    return _compiled(function, cache=True, **_UNCOUNTED)


def jit_with_arrays(function: Function) -> Function:
    """Compile a kernel that allocates arrays, returns them or views of them, or calls one that does; else as `jit`."""
    return _compiled(function, cache=True, error_model="numpy", nogil=True)


def jit_into_caller(function: Function) -> Function:
    """Compile a kernel as part of the kernel that calls it.

    For the large steps of a calculation that are called in one place: each level of ordinary calls compiles all that
    is below it once more, which is most of the time of a cold start.
    """
    _check_answer(function)
    return _compiled(function, inline="always", **_UNCOUNTED)
