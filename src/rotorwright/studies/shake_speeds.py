"""The speeds at which an aeroplane's rotors really turn: from its flown envelope, case by case."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rotorwright.base.records import PROPELLER
from rotorwright.base.status import OK, OVER_THROTTLE
from rotorwright.flight.envelope import APPROACH, BANKED, FULL, GLIDE, LEVEL, TURN
from rotorwright.studies.balance_quantities import Reader, design_support
from rotorwright.studies.evaluate import Flown
from rotorwright.studies.held_flight import level_or_held

Floats = npt.NDArray[np.float64]

CONDITIONS = {
    "level": LEVEL,
    "climb": FULL,
    "turn": TURN,
    "bank": BANKED,
    "glide": GLIDE,
    "approach": APPROACH,
}
"""Conditions of the envelope that count as flight."""


@dataclass(frozen=True)
class RotorSpeeds:
    """Speeds of the rotors of one aeroplane, nominal case first [rad/s]."""

    flown: Flown
    reader: Reader
    level: Floats
    """In level flight, or with the nose held from outside where the elevator cannot; NaN without."""
    slowest: Floats
    """Over level flight at all trims, climb, turns, glide and approach."""
    fastest: Floats
    airspeed: Floats
    """Of level flight [m/s]."""
    per_airspeed: float
    """Rotor speed over airspeed on the nominal line of a free rotor [rad/m]; 0: held by a drive."""
    governed: float
    """Speed the drive holds at full command [rad/s]; 0: free."""
    ratio: float
    """Motor turns per rotor turn; 0: free."""
    propeller: float
    """Propeller speed in nominal level flight [rad/s]; 0: none."""
    blades: int


def rotor_speeds(flown: Flown) -> RotorSpeeds:
    """Return how fast the rotors of a flown aeroplane turn.

    Parameters
    ----------
    flown : Flown
        Nominal and sampled; must have rotors.
    """
    steady, figures = flown.envelope.steady, flown.envelope.figures
    held = level_or_held(flown)
    cases = len(figures)
    level = held["rotor_speed"].astype(np.float64) if held is not None else np.full(cases, np.nan)
    airspeed = held["airspeed"].astype(np.float64) if held is not None else np.full(cases, np.nan)
    level = np.where(level > 0.0, level, np.nan)
    found = [level]
    for which in CONDITIONS.values():
        speed = steady["rotor_speed"][:, which]
        found.append(
            np.where(np.isfinite(speed) & np.isin(steady["status"][:, which], (OK, OVER_THROTTLE)), speed, np.nan)
        )
    rotors = flown.numbers.rotors
    driven = bool((rotors["drive"][0] >= 0).any())
    if driven:  # the command is the pilot's: every node that flies level counts
        speeds = flown.numbers.drives["speed"][:, 0]
        found.append(speeds)
        found.append(np.where(np.isfinite(level), np.minimum(level, speeds), np.nan))
    else:  # spin goes with the airspeed
        for name in ("slowest_level", "fastest_level"):
            found.append(level * figures[name] / airspeed)
    stack = np.array(found)
    with np.errstate(all="ignore"):
        slowest = np.nanmin(np.where(np.isfinite(stack), stack, np.nan), axis=0) if stack.size else level
        fastest = np.nanmax(np.where(np.isfinite(stack), stack, np.nan), axis=0) if stack.size else level
    reader = Reader(flown, design_support(flown))
    thrusters = flown.rows.thrusters
    spin, blades = 0.0, 0
    if len(thrusters) and (thrusters["kind"] == PROPELLER).any():
        spin = float(held["thruster_speed"][0]) if held is not None else 0.0
        blades = int(thrusters["blades"][int(np.argmax(thrusters["kind"] == PROPELLER))])
    return RotorSpeeds(
        flown, reader, level, slowest, fastest, airspeed,
        0.0 if driven else float(level[0] / airspeed[0]),
        float(flown.numbers.drives["speed"][0, 0]) if driven else 0.0,
        float(flown.numbers.drives["ratio"][0, 0]) if driven else 0.0,
        spin if np.isfinite(spin) else 0.0, blades,
    )  # fmt: skip
