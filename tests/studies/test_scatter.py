"""Chunks run here and on a real cluster of two processes, one of which is killed on the way."""

import functools
import os
import signal

import numpy as np
import pytest

from rotorwright.base.errors import InputError
from rotorwright.studies import scatter
from studies.chunk_tasks import slow_sines

CHUNKS = [(20 * each, 20 * each + 20) for each in range(40)]


def test_chunks_run_here_in_order_and_can_be_stopped_between_two():
    found = []
    for place, (_, values) in scatter.run(functools.partial(slow_sines, 0.0), CHUNKS):
        found.append(place)
        assert values[0] == np.sin(CHUNKS[place][0] * 0.7)
        if len(found) == 5:
            break
    assert found == [0, 1, 2, 3, 4]
    assert list(scatter.run(functools.partial(slow_sines, 0.0), [])) == []


def test_no_scheduler_there_is_told_in_words(monkeypatch):
    monkeypatch.setattr(scatter, "PATIENCE", 0.5)
    running = scatter.run(functools.partial(slow_sines, 0.0), CHUNKS[:3], scheduler="tcp://127.0.0.1:9")
    next(running)  # the first chunk runs here
    with pytest.raises(InputError, match="cannot be reached"):
        next(running)


def test_an_error_of_the_task_comes_back_as_it_is(two_workers):
    running = scatter.run(
        functools.partial(slow_sines, 0.0), [*CHUNKS[:2], ("a", "b")], scheduler=two_workers.scheduler_address
    )
    with pytest.raises(TypeError):
        list(running)


def test_a_killed_worker_loses_nothing(two_workers):
    alone = dict(scatter.run(functools.partial(slow_sines, 0.0), CHUNKS))
    pids = {worker.process.pid for worker in two_workers.workers.values()}
    killed = None
    found = {}
    for place, result in scatter.run(
        functools.partial(slow_sines, 0.03), CHUNKS, scheduler=two_workers.scheduler_address
    ):
        assert place not in found
        found[place] = result
        if killed is None and result[0] in pids:
            killed = result[0]
            os.kill(killed, signal.SIGKILL)
    assert killed is not None
    assert sorted(found) == list(range(len(CHUNKS)))
    others = {pid for pid, _ in found.values()} - {os.getpid(), killed}
    assert others  # somebody else went on
    for place, (_, values) in found.items():
        assert values.tobytes() == alone[place][1].tobytes()
