"""A flight plan in phases: what the throttle does and for how long, written in a few words."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rotorwright.base.errors import InputError, InputProblems, Problem
from rotorwright.design.units import UnitProblem, reading

STANDING, FULL, THROTTLE, LEVEL, CLIMB, GLIDE, REST = (
    "standing", "full", "throttle", "level", "climb", "glide", "rest",
)  # fmt: skip
WORDS = {
    STANDING: "full throttle standing still",
    FULL: "full throttle at level speed",
    LEVEL: "level",
    GLIDE: "thrusters off at level speed",
    REST: "everything off, on the ground",
}
ALLOWED = '"full 25 s", "60 % 2 min", "level 3 min", "climb 1 m/s 20 s", "glide 30 s", "standing 5 s", "rest 5 min"'
LONGEST = 4.0 * 3600.0


@dataclass(frozen=True)
class Phase:
    """One phase of a flight: ``setting`` is the throttle (kind "throttle") or the climb [m/s] (kind "climb")."""

    kind: str
    duration: float
    setting: float = 0.0

    @property
    def words(self) -> str:
        """Return the phase in words, without its duration."""
        if self.kind == THROTTLE:
            return f"{100.0 * self.setting:.0f} % throttle at level speed"
        if self.kind == CLIMB:
            return f"climb of {self.setting:g} m/s"
        return WORDS[self.kind]

    @property
    def flown(self) -> bool:
        """Return whether the aeroplane is in the air."""
        return self.kind not in (STANDING, REST)


def read_plan(text: str, place: str = "--plan") -> tuple[Phase, ...]:
    """Return the phases of a plan in words, separated by commas or semicolons.

    Parameters
    ----------
    text : str
        Such as ``"full 25 s, level 3 min, climb 1 m/s 20 s, 60 % 2 min, glide 30 s, rest 5 min"``.
    place : str
        Named in messages.

    Raises
    ------
    InputProblems
        For every phase that cannot be read.
    """
    parts = [part.strip() for part in re.split(r"\s*(?:;|,(?=\s*[A-Za-z])|,(?=\s+\d))\s*", text) if part.strip()]
    problems: list[Problem] = []
    phases: list[Phase] = []
    for part in parts:
        try:
            phases.append(_phase(part))
        except (UnitProblem, ValueError) as trouble:
            problems.append(Problem(f"is not a phase: {trouble}", place, found=f'"{part}"', allowed=ALLOWED))
    if problems:
        raise InputProblems(problems)
    if not phases:
        raise InputError("holds no phase", place=place, allowed=ALLOWED)
    if sum(phase.duration for phase in phases) > LONGEST:
        raise InputError("is too long", place=place, allowed="up to 4 h in all")
    return tuple(phases)


_DURATION = re.compile(r"^(.*?)\s*(\d[\d.,]*\s*(?:s|min|h))$", re.IGNORECASE)


def _phase(text: str) -> Phase:
    found = _DURATION.match(text)
    if not found:
        raise ValueError("a phase ends in its duration, such as 30 s or 3 min")
    what, duration = found[1].strip().lower(), reading(found[2].lower(), "time").value
    if duration <= 0.0:
        raise ValueError("a phase lasts longer than nothing")
    kinds = {"full throttle": FULL, "thrusters off": GLIDE, "off": GLIDE, "landed": REST, "ground": REST}
    kind = kinds.get(what, what)
    if kind in (STANDING, FULL, LEVEL, GLIDE, REST):
        return Phase(kind, duration)
    if what.startswith("climb"):
        climb = reading(what.removeprefix("climb").strip(), "speed").value
        if not 0.0 < climb <= 30.0:
            raise ValueError("a climb lies between 0 and 30 m/s")
        return Phase(CLIMB, duration, climb)
    share = reading(what.replace("throttle", "").strip(), "share").value
    if not 0.0 <= share <= 1.0:
        raise ValueError("a throttle lies between 0 and 100 %")
    return Phase(THROTTLE, duration, share)


def default_plan(endurance: float | None, climb: float) -> tuple[Phase, ...]:
    """Return the plan of an ordinary flight on one charge.

    Parameters
    ----------
    endurance : float or None
        Level flight on one charge down to the planned reserve [s].
    climb : float
        Climb asked for as reserve [m/s].

    Notes
    -----
    Full throttle a tenth to a fifth of the time, cruise six to eight tenths, the rest descent, on four fifths of the
    level endurance. Source: common practice, no source (from memory).
    """
    total = min(max(0.75 * (endurance or 240.0), 60.0), 900.0)
    first = _round(0.08 * total)
    again = _round(0.05 * total)
    gentle = max(climb, 0.3)
    return (
        Phase(STANDING, 4.0),
        Phase(FULL, first),
        Phase(LEVEL, _round(0.35 * total)),
        Phase(FULL, again),
        Phase(LEVEL, _round(0.27 * total)),
        Phase(CLIMB, _round(0.12 * total), gentle),
        Phase(GLIDE, _round(0.06 * total)),
        Phase(LEVEL, _round(0.07 * total)),
        Phase(REST, 300.0),
    )


def _round(seconds: float) -> float:
    step = 5.0 if seconds < 120.0 else 30.0
    return max(step * round(seconds / step), 5.0)
