"""The part of a rotor's sheet about starting, coming up to speed, swinging within a turn and losing spin."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Item, Line, Picture, Row, Section, Sentence, Share, Table
from rotorwright.sheets.numbers import ShownUnits, long_units, number_text, quantity_text

START = {
    "start_airspeed": "wind to start from any angle",
    "start_airspeed_best": "wind to start from its best angle",
    "dead_angle": "dead zone in every half turn, here",
    "parked_torque_least": "least torque over the angle",
    "parked_torque_most": "largest torque over the angle",
    "breakout_torque": "friction at rest",
    "kick_speed": "spin by hand that carries it over",
}
SPIN_UP = {
    "spin_up_time": "to 90 % of freewheel, steady wind",
    "spin_up_distance": "air that passes meanwhile",
    "hand_spin_gain": "saved by the spin given by hand",
    "run_time": "to 90 % of freewheel on the run",
    "run_distance": "way of that run",
    "run_spin_share": "share of freewheel when at speed",
    "drive_spin_up_time": "to 90 % of the drive's speed",
    "time_constant": "time constant near freewheel",
}
FRICTION = {"friction_limit": "friction that stops it", "spin_lost": "spin lost to one more mN m"}
LOSING = {"lift_left_at_once": "lift left right after", "lift_time": "until the lift falls to the share asked"}
DISTANCES = ("spin_up_distance", "run_distance")
RIPPLE = {
    "lift_ripple": "lift, up and down",
    "drag_ripple": "drag, up and down",
    "torque_ripple": "torque, up and down",
    "speed_ripple": "spin, up and down",
}
GROUPS = {
    "How it starts": START,
    "Coming up to speed": SPIN_UP,
    "What friction does": FRICTION,
    "Losing spin": LOSING,
    "Swing within a turn": RIPPLE,
}
IN_PER_CENT = ("run_spin_share", "lift_left_at_once", "speed_ripple")


def start_sections(answer: Any, units: ShownUnits) -> tuple[Section, ...]:
    """Return the sections that tell what `rotor_start` found."""
    quantities: Mapping[str, Quantity] = answer.quantities()
    sections = []
    for heading, names in GROUPS.items():
        there = {name: words for name, words in names.items() if name in quantities}
        if not there:
            continue
        if "lift_time" in there and answer.event is not None:
            there["lift_time"] = f"until {100.0 * answer.event[2]:.0f} % of the lift is left"
        items: list[Item] = [Table(tuple(_row(words, name, quantities[name], units) for name, words in there.items()))]
        if heading == "How it starts":
            items.insert(0, Sentence(_starts(quantities, units)))
        if heading == "What friction does" and "freewheel" in answer.curves:
            items.append(_freewheel(answer.curves["freewheel"]))
        if heading == "Losing spin":
            items.insert(0, Sentence(_event(answer.event, units)))
            items.append(_losing(answer.curves["losing"]))
        sections.append(Section(heading, tuple(items)))
    return tuple(sections)


def _row(words: str, name: str, quantity: Quantity, units: ShownUnits) -> Row:
    backing = "" if quantity.support == "inside data" else quantity.support
    cell = Share(quantity) if name in IN_PER_CENT and quantity.value is not None else quantity
    if name in DISTANCES:
        return Row((words, quantity_text(quantity, long_units(units)), backing))
    return Row((words, cell, backing), quantity.reason if quantity.value is None else "")


def _event(event: tuple[float, float, float], units: ShownUnits) -> str:
    before, after, _ = event
    if after < before:
        return (
            f"The moment counted from: the wind on it drops at once from {number_text(before, 'm/s', units)} to "
            f"{number_text(after, 'm/s', units)}, and the rotor runs down."
        )
    return f"The moment counted from: the drive stops, in a steady {number_text(before, 'm/s', units)} of wind."


def _starts(quantities: Mapping[str, Quantity], units: ShownUnits) -> str:
    anywhere, best = quantities["start_airspeed"], quantities["start_airspeed_best"]
    if anywhere.value is None:
        return f"It does not start by itself from every angle: {anywhere.reason}. Spin it by hand."
    held = quantities["breakout_torque"].value
    if not held:
        return "No friction is told, so any wind starts it: tell the friction of its bearings (--bearing-torque)."
    return (
        f"It starts by itself from any angle in {quantity_text(anywhere, units)} of wind, from its best angle in "
        f"{quantity_text(best, units)}."
    )


def _freewheel(curve: Mapping[str, tuple[float, ...]]) -> Picture:
    line = Line("freewheel", curve["airspeed"], curve["value"], curve["low"], curve["high"])
    said = "Constant friction brakes it most in slow air; below the foot of the line it stands still."
    return Picture("Freewheel speed", "airspeed", "m/s", "rotor speed", "rad/s", (line,), said)


def _losing(curve: Mapping[str, tuple[float, ...]]) -> Picture:
    line = Line("lift left", curve["time"], curve["value"], curve["low"], curve["high"])
    said = "Share of the lift before that moment."
    return Picture("Lift left", "time after it", "s", "share of the lift before", "%", (line,), said)
