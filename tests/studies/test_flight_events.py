"""Events in a maker's words are read, and what cannot be read is told with what can."""

from __future__ import annotations

import pytest

from rotorwright.base.errors import InputProblems
from rotorwright.design.fill import Names
from rotorwright.studies.flight_events import EVERY, EXAMPLES, VERBS, Event, read_event, read_events

NAMES = Names(
    rotors=("left", "right"), surfaces=(), bodies=(), thrusters=("nose",), drives=("belt of left", "belt of right"),
    batteries=("main",), wheels=(), masses=(),
)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "event"),
    [
        ("rotor left stops at 20 s", Event(20.0, "rotor stops", "left")),
        ("Rotors stop at 1.5 min", Event(90.0, "rotor stops", EVERY)),
        ("motor nose fails at 3s", Event(3.0, "motor stops", "nose")),
        ("drive belt of left stops at 4 s", Event(4.0, "drive stops", "belt of left")),
        ("battery sags at 30 s", Event(30.0, "pack sags", EVERY)),
        ("servo elevator stuck at 10 s", Event(10.0, "servo sticks", "elevator")),
        ("kill switch cuts at 25 s", Event(25.0, "kill-switch cuts", EVERY)),
    ],
)
def test_sentences_are_read(text: str, event: Event) -> None:
    assert read_event(text, NAMES) == event


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("rotor port stops at 20 s", "names no rotor.*left, right"),
        ("rotor lft stops at 20 s", 'Did you mean "left"'),
        ("rotr left stops at 20 s", 'Did you mean "rotor"'),
        ("rotor left explodes at 20 s", "may do: stops, slows"),
        ("rotor left stops", "cannot be read"),
        ("rotor left stops at noon", "number"),
        ("rotor left stops at 20", "unit"),
        ("rotor left stops at -2 s", "before the start"),
        ("servo sticks at 2 s", "which servo"),
    ],
)
def test_what_cannot_be_read_is_told(text: str, told: str) -> None:
    with pytest.raises(InputProblems, match=told):
        read_event(text, NAMES)


def test_a_part_that_is_not_there_is_told() -> None:
    with pytest.raises(InputProblems, match="has none"):
        read_event("drive stops at 2 s", NAMES._replace(drives=()))


def test_every_example_of_the_message_is_read_and_every_verb_is_in_reach() -> None:
    events = read_events([text.strip() for text in EXAMPLES.replace('"', "").split(",")], NAMES)
    assert [event.time for event in events] == sorted(event.time for event in events)
    for kind, verbs in VERBS.items():
        for verb in verbs:
            part = {"servo": "rudder ", "kill-switch": ""}.get(kind, "")
            assert read_event(f"{kind} {part}{verb} at 1 s", NAMES).what == f"{kind} {verb}"


def test_all_mistakes_come_at_once() -> None:
    with pytest.raises(InputProblems) as trouble:
        read_events(["rotor port stops at 1 s", "cow moos at 2 s"], NAMES)
    assert len(trouble.value.problems) == 2


def test_words_tell_the_event() -> None:
    assert Event(2.0, "rotor stops", "left").words == "rotor left stops"
    assert Event(2.0, "rotor stops").words == "rotor stops"
