"""Latest wins: in a burst the last question is answered, what nobody waits for is dropped, faults are shown."""

import asyncio
import threading

from rotorwright.faces.web.latest import Latest, Progress


def run_burst(count: int) -> tuple[list[int], list[str], int]:
    shown: list[int] = []
    failed: list[str] = []
    begun = 0

    async def burst() -> None:
        nonlocal begun
        latest = Latest(shown.append, lambda problem: failed.append(str(problem)))
        gate = threading.Event()

        def work(number: int, progress: Progress) -> int:
            nonlocal begun
            begun += 1
            if number == 0:
                gate.wait(5.0)
            for step in range(10):
                progress(step, 10)
            return number

        asked = [asyncio.create_task(latest.ask(lambda progress, n=n: work(n, progress))) for n in range(count)]
        await asyncio.sleep(0.05)
        gate.set()
        await asyncio.gather(*asked)
        assert not latest.busy

    asyncio.run(burst())
    return shown, failed, begun


def test_only_the_newest_answer_of_a_burst_is_shown() -> None:
    shown, failed, begun = run_burst(40)
    assert shown == [39]
    assert not failed
    assert begun == 2


def test_a_fault_is_shown_and_the_next_question_is_answered() -> None:
    shown: list[str] = []
    failed: list[str] = []

    def bad(progress: Progress) -> str:
        raise ValueError("no such rotor")

    async def ask() -> None:
        latest = Latest(shown.append, lambda problem: failed.append(str(problem)))
        await latest.ask(bad)
        await latest.ask(lambda progress: "good")

    asyncio.run(ask())
    assert failed == ["no such rotor"]
    assert shown == ["good"]


def test_stopped_work_ends_at_its_next_step_and_shows_nothing() -> None:
    shown: list[int] = []
    steps = 0

    async def ask() -> None:
        nonlocal steps
        latest = Latest(shown.append, lambda problem: None)
        begun = threading.Event()

        def work(progress: Progress) -> int:
            nonlocal steps
            for step in range(1000):
                steps = step
                progress(step, 1000)
                begun.set()
                threading.Event().wait(0.005)
            return 1

        task = asyncio.create_task(latest.ask(work))
        await asyncio.get_running_loop().run_in_executor(None, begun.wait, 5.0)
        latest.stop()
        await task

    asyncio.run(ask())
    assert not shown
    assert steps < 900
