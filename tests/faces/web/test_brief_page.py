"""The brief: wishes in words read with the messages of the command line, kept over a restart, designs saved."""

from __future__ import annotations

import asyncio
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from faces.web.browser import EXAMPLES
from rotorwright.base.errors import InputProblems
from rotorwright.faces.web.brief_page import Briefs, read_wishes, starting_wishes
from rotorwright.faces.web.desk import Desk
from rotorwright.studies import brief as study


def test_wishes_in_words_become_numbers() -> None:
    found = read_wishes(starting_wishes() | {"mass": "2 lb", "runway": "", "propellers": "ducted fans only"})
    assert found["mass"] == pytest.approx(2 * 0.45359237)  # pound: international yard and pound agreement, 1959
    assert found["span"] == pytest.approx(1.4)
    assert found["temperature"] == pytest.approx(298.15)
    assert found["cells"] == 3
    assert found["open_propeller"] is False
    assert "runway" not in found


def test_everything_wrong_is_said_at_once_with_label_and_cure() -> None:
    with pytest.raises(InputProblems) as trouble:
        read_wishes(starting_wishes() | {"mass": "1200", "span": "wide", "cells": "many"})
    said = [problem.sentence() for problem in trouble.value.problems]
    assert len(said) == 3
    assert said[0].startswith("Ready to fly it may weigh")
    assert 'Write "1200 g"' in said[0]
    assert said[1].startswith("It may span")
    assert said[2].startswith("Battery")


def test_a_brief_is_kept_and_a_design_of_it_saved_beside_the_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = (EXAMPLES / "thistledown.toml").read_text(encoding="utf-8")
    asked: dict[str, Any] = {}

    def answering(**wishes: Any) -> Any:
        asked.update(wishes)
        wishes["progress"](1, 2)
        return SimpleNamespace(proposals=[SimpleNamespace(concept=SimpleNamespace(key="two-free"), text=text)])

    monkeypatch.setattr(study, "brief", answering)
    briefs = Briefs(Desk(tmp_path))
    told: list[bool] = []
    briefs.listeners.append(lambda: told.append(briefs.wanted))
    briefs.typed["mass"] = "900 g"

    async def story() -> None:
        briefs.ask()
        while briefs.wanted:
            await asyncio.sleep(0.01)

    from nicegui import background_tasks

    monkeypatch.setattr(background_tasks, "create", lambda work: asyncio.ensure_future(work))
    asyncio.run(story())
    assert asked["mass"] == pytest.approx(0.9)
    assert told == [True, False]
    assert briefs.save("two-free") == "two-free"
    assert briefs.save("two-free") == "two-free-2", "nothing is written over"
    assert (tmp_path / "two-free-2.toml").read_text(encoding="utf-8") == text
    assert Briefs(Desk(tmp_path)).typed["mass"] == "900 g", "the wishes are there after a restart"


def test_a_brief_that_cannot_be_read_is_not_looked_for(tmp_path: Path) -> None:
    briefs = Briefs(Desk(tmp_path))
    briefs.typed["span"] = "wide"
    briefs.ask()
    assert isinstance(briefs.problem, InputProblems)
    assert not briefs.wanted
    assert briefs.answer is None
