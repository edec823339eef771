"""What else shakes at its own speed: motor, propeller, its blades, a belt span, the test rig."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorwright.base.quantity import Quantity
from rotorwright.design.aeroplane import Aeroplane
from rotorwright.design.catalogue.reader import rule
from rotorwright.physics.structure.rules import belt_frequency
from rotorwright.physics.structure.shaft import case_of
from rotorwright.physics.structure.whirl import reduced, speed_map
from rotorwright.studies.shake_model import RotorShaft
from rotorwright.studies.shake_speeds import RotorSpeeds

NEAR = 0.10
"""Within this share two frequencies count as met (judgement)."""
MODES = 6


@dataclass(frozen=True)
class OtherShaker:
    """Something that shakes at its own frequency, and the rotor's bending frequency nearest to it."""

    name: str
    frequency: Quantity
    """Nominal, level flight [rad/s]."""
    nearest: float
    """Bending frequency of a rotor at its level speed nearest to it [rad/s]; 0: none reckoned."""
    meets: bool
    words: str

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        return {
            "name": self.name, "frequency": self.frequency.as_dict(), "nearest": self.nearest, "meets": self.meets,
            "words": self.words,
        }  # fmt: skip


def other_shakers(
    aeroplane: Aeroplane, shafts: list[RotorShaft], speeds: RotorSpeeds, rig: float | None
) -> tuple[OtherShaker, ...]:
    """Return what else shakes, in level flight, every Unknown at its median.

    Parameters
    ----------
    aeroplane : Aeroplane
        For its drives.
    shafts : list of RotorShaft
        Its rotors.
    speeds : RotorSpeeds
        Of the flown aeroplane.
    rig : float, optional
        The test rig's own resonance [rad/s].
    """
    level = float(speeds.level[0])
    whirls: list[float] = []
    if math.isfinite(level):
        for shaft in shafts:
            found, _ = speed_map(reduced(case_of(shaft.model, 0)), np.array([level]), many=MODES)
            whirls += [float(each) for each in found[0] if math.isfinite(each)]
    shakers = []

    def add(name: str, frequency: float, words: str) -> None:
        nearest = min(whirls, key=lambda each: abs(each - frequency)) if whirls else 0.0
        meets = bool(whirls) and abs(nearest / frequency - 1.0) < NEAR
        number = Quantity(frequency, None, None, frequency, "rad/s", 1.0, "between data", ("mechanics",))
        shakers.append(OtherShaker(name, number, nearest, meets, words))

    if speeds.ratio > 0.0 and math.isfinite(level):
        add("drive motor, once per turn", speeds.ratio * level, "balance the bell, or change the ratio a little")
    if speeds.propeller > 0.0:
        add("propeller, once per turn", speeds.propeller, "balance the propeller; softer motor mount")
        add(f"{speeds.blades} blades passing", speeds.blades * speeds.propeller, "another blade number or diameter")
    for name, drive in aeroplane.tables.drive.items():
        if drive.belt_span is not None:
            tension = drive.belt_tension or rule("belt", "tension").value
            note = belt_frequency(drive.belt_span, tension, rule("belt", "mass").value)
            add(f"belt span of {name}", note, "pluck it and hear its note; tighten it or shift an idler")
    if rig is not None:
        add(
            "your test rig", rig,
            "a peak near this speed on the rig is the rig's own: stiffen or load it until the peak moves",
        )  # fmt: skip
    return tuple(shakers)
