"""The line of a simulated bungee launch: from what is told, or as `launch` sizes one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rotorwright.base.errors import InputError
from rotorwright.studies.launch_throw import BUNGEE_PULL, BUNGEE_SHARE, bungee_leave, bungee_stretch

SLACK = 3.0
"""Slack length of rubber and towline over the stretch (common practice, no source)."""
HOOK = (0.05, 0.03)
"""The hook lies so far ahead of and below the balance point, over the span (common practice, no source)."""
HARDEST_PULL = 12.0
"""Pull over weight beyond which nothing of foam and balsa holds (judgement)."""


@dataclass(frozen=True)
class Line:
    """A rubber line, pegged ahead."""

    stiffness: float
    """[N/m]"""
    stretch: float
    """[m]"""

    @property
    def pull(self) -> float:
        """Return the first pull [N]."""
        return self.stiffness * self.stretch


def line_for(
    mass: float, gravity: float, airspeed: float, stiffness: float | None, stretch: float | None, place: str
) -> Line:
    """Return the line of a launch; what is not told is sized as `rotorwright.studies.launch_throw` does.

    Parameters
    ----------
    mass, gravity, airspeed : float
        Airspeed of level flight [m/s].
    stiffness, stretch : float, optional
        [N/m], [m]
    place : str
        Named in messages.

    Raises
    ------
    InputError
        If it pulls more than twelve times the weight.
    """
    weight = mass * gravity
    sized = bungee_stretch(mass, weight, bungee_leave(airspeed, 0.0), BUNGEE_PULL * weight)
    if stretch is None:
        stretch = sized if stiffness is None else BUNGEE_PULL * weight / stiffness
    line = Line(BUNGEE_PULL * weight / stretch if stiffness is None else stiffness, stretch)
    if line.pull > HARDEST_PULL * weight:
        raise InputError(
            "pulls harder than an airframe bears",
            place=place,
            found=f"{line.pull:.0f} N on {weight:.0f} N of weight",
            allowed=f"up to {HARDEST_PULL:g} times the weight",
        )
    return line


def fill_line(scripts: Any, line: Line, span: float, height: float) -> None:
    """Fill the line's fields of SCRIPT records: stretched from a hook ``height`` over the ground to a peg ahead."""
    slack = SLACK * line.stretch
    scripts["line_stiffness"], scripts["line_length"], scripts["line_share"] = line.stiffness, slack, BUNGEE_SHARE
    scripts["hook_x"], scripts["hook_z"] = HOOK[0] * span, HOOK[1] * span
    low = height - HOOK[1] * span
    scripts["stake"] = HOOK[0] * span + ((slack + line.stretch) ** 2 - low * low) ** 0.5
