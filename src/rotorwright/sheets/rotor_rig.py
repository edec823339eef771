"""The part of a rotor's sheet about own rig data: what the fit found, which reading sticks out, how to measure."""

from __future__ import annotations

from typing import Any

from rotorwright.base.unknown import unknowns
from rotorwright.sheets.content import Item, Row, Section, Sentence, Table
from rotorwright.sheets.numbers import ShownUnits, number_text

UNITS = {"lift": "N", "drag": "N", "torque": "N m", "rotor_speed": "rad/s"}
MOST_TOLD = 5
ADVICE = (
    "Stiffness: the rig's own lowest frequency belongs above twice the fastest turn times the pulses per turn, else it "
    "rings along.",
    "Range: two airspeeds that differ by half or more, five spin ratios each, up and down, both ways of the wind.",
    "Calibration: hang known weights in the direction of lift and of drag, with the rotor still, before and after.",
)


def rig_sections(fit: Any, units: ShownUnits) -> tuple[Section, ...]:
    """Return the sections that tell what own rig data did to the Unknowns."""
    prior = {unknown.name: unknown for unknown in unknowns()}
    rows = tuple(
        Row(
            (name.replace("_", " "), quantity, f"was {prior[name].median:g} ({prior[name].low:g}–{prior[name].high:g})")
        )
        for name, quantity in fit.posterior.items()
    )
    count = len({residual.line for residual in fit.residuals})
    scatter = ", ".join(f"{name.replace('_', ' ')} {100.0 * share:.1f} %" for name, share in fit.scatter.items())
    items: list[Item] = [Sentence(f"{count} readings; scatter about the fit: {scatter}."), Table(rows)]
    out = [residual for residual in fit.residuals if residual.sticks_out]
    for residual in sorted(out, key=lambda each: -abs(each.misfit))[:MOST_TOLD]:
        unit = UNITS[residual.quantity]
        items.append(
            Sentence(
                f"The {residual.quantity.replace('_', ' ')} in line {residual.line} sticks out: measured "
                f"{number_text(residual.measured, unit, units)}, the rest says "
                f"{number_text(residual.fitted, unit, units)}. Look at that reading again; it counts little here.",
                "doubt",
            )
        )
    for name in fit.disagreements:
        items.append(
            Sentence(
                f"Your rig wants {name.replace('_', ' ')} outside what is published. Check rig, airspeed and size "
                "before you believe it: neither is proved wrong.",
                "doubt",
            )
        )
    items += [Sentence(f"{note[:1].upper()}{note[1:]}.", "doubt") for note in fit.notes]
    return (
        Section("What your rig says", tuple(items)),
        Section("For the next run on the rig", tuple(Sentence(text, "quiet") for text in ADVICE)),
    )
