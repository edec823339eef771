"""What may be made to happen in a simulated flight, read from a maker's words: ``rotor left stops at 20 s``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from rotorwright.base.errors import InputError, InputProblems, Problem
from rotorwright.design.fill import Names

EVERY = ""
"""Stands for every part of its kind."""


@dataclass(frozen=True)
class Event:
    """One thing that happens: when, what, to which part."""

    time: float
    """[s]"""
    what: str
    part: str = EVERY
    """Name in the aircraft file, `EVERY` for all of the kind; a stick for servo events."""

    @property
    def words(self) -> str:
        """Return it as it is told: ``rotor left stops``."""
        kind, _, verb = self.what.partition(" ")
        return " ".join(part for part in (kind, self.part, verb) if part)


STICKS = ("elevator", "rudder", "aileron", "flap")
VERBS: dict[str, tuple[str, ...]] = {
    "rotor": ("stops", "slows"),
    "motor": ("stops",),
    "drive": ("stops",),
    "pack": ("sags",),
    "servo": ("sticks", "reverses"),
    "kill-switch": ("cuts",),
}
"""Kind of part → what may happen to it.

A rotor that stops is held; one that slows has lost its drive or turns against a stiff bearing. A motor is a thruster's,
a drive's motor coasts when it stops. A pack that sags loses a cell's worth of voltage.
"""
EXAMPLES = (
    '"rotor left stops at 20 s", "motor nose stops at 15 s", "rotor right slows at 12 s", "pack sags at 30 s", '
    '"servo elevator sticks at 10 s", "servo rudder reverses at 0 s", "kill-switch cuts at 25 s"'
)
_SHAPE = re.compile(r"\s*(?P<kind>[\w-]+)\s+(?:(?P<part>[\w -]+?)\s+)?(?P<verb>\w+)\s+at\s+(?P<time>.+?)\s*$")
_OTHER_WORDS = {
    "rotors": "rotor", "motors": "motor", "thruster": "motor", "thrusters": "motor", "propeller": "motor",
    "battery": "pack", "batteries": "pack", "packs": "pack", "drives": "drive", "servos": "servo",
    "stop": "stops", "slow": "slows", "sag": "sags", "stick": "sticks", "reverse": "reverses", "reversed": "reverses",
    "stuck": "sticks", "cut": "cuts", "fails": "stops", "fail": "stops",
}  # fmt: skip


def read_event(text: str, names: Names) -> Event:
    """Return the event that a sentence tells.

    Parameters
    ----------
    text : str
        As in `EXAMPLES`; the part may be left out for all of its kind.
    names : Names
        Of the aeroplane's rows.

    Returns
    -------
    Event

    Raises
    ------
    InputError
        If the sentence cannot be read, or the aeroplane has no such part.
    """
    found = _SHAPE.match(text.strip().lower().replace("kill switch", "kill-switch"))
    if found is None:
        raise _unread(text)
    kind = _OTHER_WORDS.get(found["kind"], found["kind"])
    verb = _OTHER_WORDS.get(found["verb"], found["verb"])
    if kind not in VERBS:
        near = get_close_matches(kind, [*VERBS, *_OTHER_WORDS], n=1)
        raise _unread(text, f'Did you mean "{_OTHER_WORDS.get(near[0], near[0])}"?' if near else "")
    if verb not in VERBS[kind]:
        raise _unread(text, f"What a {kind} may do: {', '.join(VERBS[kind])}")
    return Event(_time(found["time"], text), f"{kind} {verb}", _part(kind, found["part"] or EVERY, names))


def read_events(texts: Sequence[str], names: Names) -> tuple[Event, ...]:
    """Return the events of several sentences in order of time; every mistake is told at once."""
    events: list[Event] = []
    problems: list[Problem] = []
    for text in texts:
        try:
            events.append(read_event(text, names))
        except InputProblems as trouble:
            problems += trouble.problems
    if problems:
        raise InputProblems(problems)
    return tuple(sorted(events, key=lambda event: event.time))


def _unread(text: str, hint: str = "") -> InputError:
    return InputError("cannot be read", place="--event", found=f'"{text}"', allowed=EXAMPLES, hint=hint)


def _time(words: str, text: str) -> float:
    from rotorwright.design.units import UnitProblem, reading

    try:
        time = float(reading(words, "time").value)
    except UnitProblem as trouble:
        raise InputError(trouble.message, place="--event", found=f'"{text}"', allowed=trouble.allowed) from None
    if time < 0.0:
        raise InputError("must not be before the start", place="--event", found=f'"{text}"')
    return time


def parts_of(kind: str, names: Names) -> tuple[str, ...]:
    """Return the parts of a kind that an aeroplane has; none where the kind needs no part."""
    return {
        "rotor": names.rotors,
        "motor": names.thrusters,
        "drive": names.drives,
        "pack": names.batteries,
        "servo": STICKS,
    }.get(kind, ())


def _part(kind: str, part: str, names: Names) -> str:
    there = parts_of(kind, names)
    if kind == "kill-switch":
        return EVERY
    if not there:
        raise InputError(f"names a {kind}, and this aeroplane has none", place="--event", found=f'"{part or kind}"')
    if part == EVERY:
        if kind == "servo":
            raise InputError("needs to say which servo", place="--event", allowed=", ".join(STICKS))
        return EVERY
    low = {name.lower(): name for name in there}
    if part not in low:
        near = get_close_matches(part, low, n=1)
        hint = f'Did you mean "{low[near[0]]}"?' if near else ""
        raise InputError(
            f"names no {kind} of this aeroplane",
            place="--event",
            found=f'"{part}"',
            allowed=", ".join(there),
            hint=hint,
        )
    return low[part]
