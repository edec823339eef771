"""Answers: reckoned once however many ask at once, begun anew if that work is given up, the oldest forgotten."""

import threading
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

from rotorwright.faces.web.latest import Progress, Superseded
from rotorwright.faces.web.questions import KEPT, Answer, Answers


def aeroplane(revision: str) -> Any:
    return SimpleNamespace(revision=revision)


def idle(done: int, of: int) -> None:
    """Take no notice."""


def counting(begun: list[str], wait: Callable[[], object] = lambda: None) -> Any:
    def question(asked: Any, progress: Progress) -> Answer:
        begun.append(asked.revision)
        wait()
        progress(1, 2)
        return Answer(asked, {}, lambda found: SimpleNamespace(title=found.revision))  # type: ignore[arg-type, return-value]

    return question


def test_who_asks_meanwhile_waits_for_the_answer_under_way() -> None:
    begun: list[str] = []
    gate, answers, got = threading.Event(), Answers(), []
    question = counting(begun, lambda: gate.wait(5.0))
    asking = [
        threading.Thread(target=lambda: got.append(answers.ask(question, aeroplane("a"), idle))) for _ in range(3)
    ]
    for thread in asking:
        thread.start()
    gate.set()
    for thread in asking:
        thread.join(5.0)
    assert begun == ["a"]
    assert len(got) == 3
    assert got[0] is got[1] is got[2]


def test_work_that_is_given_up_leaves_no_answer() -> None:
    begun: list[str] = []
    answers, question = Answers(), counting(begun)

    def gone(done: int, of: int) -> None:
        raise Superseded

    with pytest.raises(Superseded):
        answers.ask(question, aeroplane("a"), gone)
    assert answers.ask(question, aeroplane("a"), idle).result.revision == "a"
    assert begun == ["a", "a"]


def test_the_oldest_answers_are_forgotten_and_a_sheet_is_made_once_when_shown() -> None:
    begun: list[str] = []
    answers, question = Answers(), counting(begun)
    first = answers.ask(question, aeroplane("0"), idle)
    assert first.sheet is first.sheet
    for number in range(1, KEPT + 1):
        answers.ask(question, aeroplane(str(number)), idle)
    answers.ask(question, aeroplane("0"), idle)
    assert begun.count("0") == 2
