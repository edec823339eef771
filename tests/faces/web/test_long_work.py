"""Long work: it goes on by itself, tells how far it is, stops with what is done, and keeps its files in bounds."""

import os
import threading
import time
from collections.abc import Callable
from pathlib import Path

from rotorwright.faces.web.latest import Progress
from rotorwright.faces.web.long_work import MOST_KEPT, LongWork, LongWorks, kept_file


def wait_for(sure: Callable[[], bool]) -> None:
    until = time.monotonic() + 10.0
    while not sure():
        assert time.monotonic() < until, "it never came"
        time.sleep(0.005)


def stepping(work: Progress, steps: int, gate: threading.Event) -> str:
    """Do so many steps; when stopped, answer with what is done, as studies do."""
    done = 0
    try:
        for step in range(steps):
            gate.wait(5.0)
            done = step + 1
            work(done, steps)
    except KeyboardInterrupt:
        return f"stopped after {done}"
    return f"all {done}"


def test_work_is_found_again_and_answers() -> None:
    works, gate = LongWorks(), threading.Event()
    begun = works.start("a", "count", "Counting", "r1", lambda progress: stepping(progress, 3, gate))
    assert works.find("a", "count") is begun
    assert begun.running
    assert works.find("a", "other") is None
    assert works.find("b", "count") is None
    gate.set()
    wait_for(lambda: not begun.running)
    assert (begun.answer, begun.done, begun.of, begun.about) == ("all 3", 3, 3, "r1")


def test_stopped_work_keeps_what_is_done() -> None:
    works, gate = LongWorks(), threading.Event()
    begun = works.start("a", "count", "Counting", "r1", lambda progress: stepping(progress, 1000, gate))
    begun.stop()
    gate.set()
    wait_for(lambda: not begun.running)
    assert begun.stopping
    assert begun.answer in (None, "stopped after 1")
    assert begun.problem is None


def test_new_work_of_a_kind_takes_the_place_of_the_old() -> None:
    works, gate = LongWorks(), threading.Event()
    first = works.start("a", "count", "Counting", "r1", lambda progress: stepping(progress, 1000, gate))
    second = works.start("a", "count", "Counting", "r2", lambda progress: stepping(progress, 2, gate))
    gate.set()
    wait_for(lambda: not second.running)
    assert first.stopping
    assert not first.running
    assert works.find("a", "count") is second
    assert second.answer == "all 2"


def test_a_fault_is_kept_to_be_shown() -> None:
    def broken(progress: Progress) -> None:
        raise ValueError("no such rotor")

    begun: LongWork = LongWorks().start("a", "count", "Counting", "r1", broken)
    wait_for(lambda: not begun.running)
    assert isinstance(begun.problem, ValueError)


def test_the_file_is_the_same_for_the_same_question_only(tmp_path: Path) -> None:
    one = kept_file(tmp_path, "count", "r1", {"wind": 3.0})
    assert one == kept_file(tmp_path, "count", "r1", {"wind": 3.0})
    others = {
        kept_file(tmp_path, "count", "r2", {"wind": 3.0}), kept_file(tmp_path, "count", "r1", {"wind": 4.0}),
        kept_file(tmp_path, "search", "r1", {"wind": 3.0}),
    }  # fmt: skip
    assert len(others) == 3
    assert one not in others


def test_the_oldest_files_go_first(tmp_path: Path) -> None:
    wanted = kept_file(tmp_path, "count", "r1", {})
    wanted.write_bytes(b"")
    os.utime(wanted, (0, 0))
    for number in range(MOST_KEPT + 3):
        other = kept_file(tmp_path, "count", f"other {number}", {})
        other.write_bytes(b"")
        os.utime(other, (1000 + number, 1000 + number))
    assert not kept_file(tmp_path, "count", "r1", {}).exists(), "the oldest went"
    left = sorted(wanted.parent.glob("*.nc"))
    assert len(left) <= MOST_KEPT + 1
    assert kept_file(tmp_path, "count", f"other {MOST_KEPT + 2}", {}).exists(), "the newest stays"
