"""Why the range of level speeds is narrow or wide, in words."""

from __future__ import annotations

from rotorwright.base.quantity import Quantity
from rotorwright.base.records import WING
from rotorwright.studies.evaluate import Flown

NEARLY_A_POINT = 0.12
"""A range below this share of the level speed is called nearly a point."""


def speed_range_sentence(flown: Flown, quantities: dict[str, Quantity]) -> str:
    """Return one or two sentences on the range of level speeds and what sets it."""
    slow, fast = quantities["slowest_level_speed"], quantities["fastest_level_speed"]
    low, high = slow.value, fast.value
    if low is None or high is None or quantities["level_speed"].value is None:
        return "It has no range of level speeds: " + (quantities["level_speed"].reason or "it cannot hold its height")
    rows = flown.rows
    driven = bool((rows.rotors["drive"] >= 0).any()) if len(rows.rotors) else False
    winged = bool((rows.surfaces["kind"] == WING).any())
    narrow = (high - low) / high < NEARLY_A_POINT
    head = f"Level from {low:.1f} to {high:.1f} m/s"
    if narrow:
        head += ", nearly a single speed"
    if not len(rows.rotors):
        return f"{head}: the elevator sets the wing's angle of attack, and with it the speed."
    if driven:
        return (
            f"{head}: lift follows rotor speed times airspeed, so the rotor command sets the speed, not the elevator."
        )
    tail = (
        "a freewheeling rotor keeps its spin ratio, so lift goes with the square of the airspeed and hardly with "
        "attitude; throttle sets climb, not speed"
    )
    if winged:
        tail += "; the fixed wing gives the elevator some say"
    if not narrow:
        tail += ". What range there is comes from the tail's own lift and the tilt of the thrust"
    return f"{head}: {tail}."
