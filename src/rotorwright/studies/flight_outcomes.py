"""What becomes of a flight: the figures it leaves, and the one outcome they add up to, in a pilot's words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Codes = npt.NDArray[np.int64]

FIGURES: dict[str, tuple[str, str]] = {
    "time": ("s", "how long it was followed"),
    "ground_strike": ("1", "1 if a propeller, disc, rotor or tip touched the ground too hard"),
    "nose_over": ("1", "1 if it tipped over on the ground"),
    "at_rest": ("1", "1 if it stood still at the end"),
    "spin_share": ("1", "greatest speed the slowest rotor had, over its speed in level flight"),
    "spin_share_aloft": ("1", "least speed a rotor had in the air, over its speed in level flight"),
    "lift_off_time": ("s", "when it left the ground or the hand"),
    "lift_off_distance": ("m", "way over the ground till then"),
    "lift_off_speed": ("m/s", "airspeed then"),
    "greatest_height": ("m", "above where it started"),
    "quarters": ("1", "quarter turns, one after the other"),
    "slowest_airspeed": ("m/s", "in the air"),
    "steepest_bank": ("rad", "in the air"),
    "touch_sink": ("m/s", "rate of sink at the last touch-down"),
    "touch_bank": ("rad", "bank then, either way"),
    "touch_pitch": ("rad", "nose above level then"),
    "farthest": ("m", "from where it started"),
    "heat_share": ("1", "hottest winding's rise over the rise it may have"),
    "charge_left": ("1", "in the emptiest pack at the end"),
}
"""What every simulated flight leaves: unit and meaning. A figure that does not exist (never lifted) is NaN."""

CIRCUIT_QUARTERS = 4.0
SPUN_UP = 0.6
"""Share of the spin in level flight below which rotors count as never spun up."""
SPIN_LOST = 0.4
"""Share of the spin in level flight below which a rotor in the air has lost it."""
STEEP = 1.05
"""Bank at the ground beyond which a flight ended in a spiral, not a landing [rad], 60°."""
HARD_SINK = 2.13
"""Sink that light landing gear is made for [m/s]: 7 ft/s, the least that 14 CFR 23.473 asked of light aeroplanes (from
memory)."""
LANDING_BANK = 0.35
"""Bank at touch-down beyond which a tip goes first [rad], 20°."""
EMPTY = 0.03
TOO_HOT = 1.0


@dataclass(frozen=True)
class Outcome:
    """One way in which a flight may end."""

    name: str
    words: str
    """Completes "it …"."""
    took_off: bool
    circuit: bool
    good: bool


OUTCOMES: tuple[Outcome, ...] = (
    Outcome("landed", "flew a circuit and landed", True, True, True),
    Outcome("still_flying", "was flying well when time was up", True, True, True),
    Outcome("landed_early", "landed before the circuit was flown", True, False, True),
    Outcome("hard_landing", "flew a circuit and landed hard", True, True, False),
    Outcome("not_done", "was in the air when time was up, the circuit not flown", True, False, False),
    Outcome("never_spun_up", "stayed on the ground: the rotors never came up to speed", False, False, False),
    Outcome("never_lifted", "stayed on the ground: lift or thrust too short", False, False, False),
    Outcome("strip_too_short", "ran past the end of the strip", False, False, False),
    Outcome("nose_over", "tipped over on the ground", False, False, False),
    Outcome("struck_ground", "struck propeller, disc or tip on the ground before it flew", False, False, False),
    Outcome("never_clear", "left the ground but never climbed clear of it", True, False, False),
    Outcome("lost_spin", "lost its spin in the air", True, False, False),
    Outcome("overheated", "cooked a motor", True, False, False),
    Outcome("empty_pack", "ran its pack empty in the air", True, False, False),
    Outcome("carried_off", "was carried off by the wind", True, False, False),
    Outcome("spiral", "spiralled into the ground", True, False, False),
    Outcome("sank", "sank back into the ground", True, False, False),
)
CODE = {outcome.name: code for code, outcome in enumerate(OUTCOMES)}


@dataclass(frozen=True)
class Bounds:
    """What a flight is measured against."""

    span: float
    """Over the tips [m]: so high it is clear of ground effect."""
    strip: float
    """Length of the strip [m]."""
    out_of_reach: float
    """Beyond this distance from the start it is lost to the pilot [m]."""
    hand_launched: bool


def judge_flights(figures: Mapping[str, Floats], bounds: Bounds) -> Codes:
    """Return the code of the outcome of each flight (`OUTCOMES`).

    Parameters
    ----------
    figures : mapping of name → array, shape (flights,)
        As `FIGURES` lists them.
    bounds : Bounds

    Returns
    -------
    codes : array of int, shape (flights,)

    Notes
    -----
    The first cause that applies counts: what failed on the ground, then what failed in the air in the order in which a
    pilot would name it, then how the landing went.
    """
    f = figures
    lifted = np.isfinite(f["lift_off_time"])
    low = f["greatest_height"] < bounds.span
    touched = np.isfinite(f["touch_sink"])
    circuit = f["quarters"] >= CIRCUIT_QUARTERS
    steep = f["touch_bank"] > STEEP
    hard = (f["touch_sink"] > HARD_SINK) | (f["touch_bank"] > LANDING_BANK) | (f["ground_strike"] > 0.5)
    wrecked = touched & (hard | (f["nose_over"] > 0.5))
    down = touched & ((f["at_rest"] > 0.5) | wrecked)
    rules = (
        (~lifted & (f["nose_over"] > 0.5), "nose_over"),
        (~lifted & (f["ground_strike"] > 0.5), "struck_ground"),
        (~lifted & (f["spin_share"] < SPUN_UP), "never_spun_up"),
        (~lifted & (f["farthest"] > bounds.strip), "strip_too_short"),
        (~lifted, "never_lifted"),
        (f["heat_share"] > TOO_HOT, "overheated"),
        (f["spin_share_aloft"] < SPIN_LOST, "lost_spin"),
        ((f["lift_off_distance"] > bounds.strip) & (not bounds.hand_launched), "strip_too_short"),
        (low & ~circuit, "never_clear"),
        (f["charge_left"] < EMPTY, "empty_pack"),
        (touched & steep, "spiral"),
        (f["farthest"] > bounds.out_of_reach, "carried_off"),
        (circuit & wrecked, "hard_landing"),
        (wrecked, "sank"),
        (circuit & down, "landed"),
        (down, "landed_early"),
        (circuit, "still_flying"),
    )
    codes = np.full(len(f["time"]), CODE["not_done"], dtype=np.int64)
    for applies, name in reversed(rules):
        codes[applies] = CODE[name]
    return codes
