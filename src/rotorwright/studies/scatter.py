"""Runs the chunks of a long study: here, or on the machines of a Dask cluster, with the same numbers either way.

A chunk is a piece of work that stands for itself; what it gives does not hang on where, when or beside what it is run.
Results come back one by one as they are done, so that whoever asked may keep them at once: an interrupt loses the
chunks under way and nothing else. A worker that dies loses nothing: its chunks are run again by the others.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from itertools import islice
from typing import Any, TypeVar

from rotorwright.base.errors import InputError

Chunk = TypeVar("Chunk")
Result = TypeVar("Result")

AHEAD = 4
"""Chunks that wait at the cluster for every worker thread: enough to keep it busy, few enough to call back."""
LIVES = 10
"""A chunk is given up only after so many workers have died with it."""
PATIENCE = 15.0
"""How long to wait for the scheduler, and for its first worker [s]."""


def run(
    task: Callable[[Chunk], Result], chunks: Sequence[Chunk], *, scheduler: str | None = None
) -> Iterator[tuple[int, Result]]:
    """Run a task on every chunk and yield (place of the chunk, result) as they are done.

    Parameters
    ----------
    task : callable
        A function of a module, or a `functools.partial` of one: workers import it by name.
    chunks : sequence
        Plain data that can be sent to another process.
    scheduler : str, optional
        Address of a Dask scheduler, such as ``tcp://192.168.1.20:8786``; without it chunks run in this process, one
        after the other (each is free to use all cores).

    Raises
    ------
    InputError
        If there is no scheduler at the address, no worker, or a worker cannot run the task.

    Notes
    -----
    The first chunk always runs in this process: whatever has to be compiled is then on the disk before the workers of
    this machine ask for it.
    """
    if not len(chunks):
        return
    yield 0, task(chunks[0])
    if scheduler is None:
        for place in range(1, len(chunks)):
            yield place, task(chunks[place])
    elif len(chunks) > 1:
        yield from _on_cluster(task, chunks, scheduler)


def _on_cluster(
    task: Callable[[Chunk], Result], chunks: Sequence[Chunk], scheduler: str
) -> Iterator[tuple[int, Result]]:
    client = _client(scheduler)
    try:
        from distributed import as_completed

        waiting = iter(range(1, len(chunks)))
        room = AHEAD * max(sum(client.nthreads().values()), 1)
        places: dict[str, int] = {}

        def send(place: int) -> Any:
            future = client.submit(task, chunks[place], pure=False, key=f"rotorwright-{id(chunks)}-{place}")
            places[future.key] = place
            return future

        with client.as_current():
            running = as_completed([send(place) for place in islice(waiting, room)])
        for future in running:
            place = places.pop(future.key)
            try:
                found = future.result()
            except Exception as trouble:
                raise _as_told(trouble, scheduler) from trouble
            future.release()
            following = next(waiting, None)
            if following is not None:
                running.add(send(following))
            yield place, found
    finally:
        client.close()


def _client(scheduler: str) -> Any:
    """Return a client of a scheduler that has workers."""
    try:
        import dask
        from distributed import Client
    except ImportError:
        hint = "Install the extra that brings it: pip install 'rotorwright[cluster]'"
        raise InputError("needs the package distributed, which is not there", place="--scheduler", hint=hint) from None
    try:
        with dask.config.set({"distributed.scheduler.allowed-failures": LIVES}):
            client = Client(scheduler, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as trouble:
        reason = str(trouble).splitlines()[0] if str(trouble) else type(trouble).__name__
        hint = "Start one with: dask scheduler, and on every machine: dask worker ADDRESS"
        raise InputError(
            f"cannot be reached: {reason}", place="--scheduler", found=f'"{scheduler}"', hint=hint
        ) from None
    try:
        until = time.monotonic() + PATIENCE
        while not client.nthreads() and time.monotonic() < until:
            time.sleep(0.1)
        if not client.nthreads():
            hint = f"Start workers with: dask worker {scheduler}"
            raise InputError("has no workers", place="--scheduler", found=f'"{scheduler}"', hint=hint)
    except BaseException:
        client.close()
        raise
    return client


def _as_told(trouble: Exception, scheduler: str) -> Exception:
    """Return what went wrong on a worker: its own error, or that workers cannot run the task at all."""
    if isinstance(trouble, ModuleNotFoundError):
        hint = "Install the same version of Rotorwright on every machine of the cluster"
        return InputError(f"has workers that cannot run this: {trouble}", place="--scheduler", hint=hint)
    if type(trouble).__name__ == "KilledWorker":
        hint = "Look at the workers' memory and their log"
        return InputError("lost worker after worker over the same chunk", place="--scheduler", hint=hint)
    return trouble
