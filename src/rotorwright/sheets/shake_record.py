"""The sheet of a recording: speed, vibration per multiple of the spin, suspected cause, unbalance."""

from __future__ import annotations

import math

from rotorwright.base.quantity import Quantity
from rotorwright.physics.structure.balance_grade import MACHINE_ZONES
from rotorwright.sheets.content import Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, quantity_text
from rotorwright.studies.vibration_orders import RecordAnswer

STOP = 0.010
"""Vibration at which to stop [m/s rms] (from memory)."""
WORDS = ("quiet", "good", "passable", "too much")
CAUTION = (
    "Strap the phone flat and tight to the stiffest place near a rotor bearing, never to a turning part; it is a mass "
    "of its own and can come loose. Nobody in the plane of the discs while it turns, face shield on. Local rules and "
    "your club's safety officer come first."
)


def record_sheet(answer: RecordAnswer) -> Sheet:
    """Return the sheet of a recording."""
    units = ShownUnits()
    once = next((line for line in answer.orders if line.order == 1 and line.clear), None)
    lead = [Sentence(f"{answer.causes[0][0].upper()}{answer.causes[0][1:]}.", "lead")]
    found = "found in the recording" if answer.found else "near the one told"
    lead.append(Sentence(f"Rotor speed {quantity_text(answer.rotor_speed, units)}, {found}."))
    if once is not None:
        lead.append(Sentence(f"Once per turn it shakes {_mm(once.velocity)}: {zone(once.velocity.nominal or 0.0)}."))
    rows = tuple(
        Row((_order(line.order), _mm(line.velocity), f"{line.acceleration.nominal or 0.0:.3g} m/s²",
             "" if line.clear else "lost in the noise"))
        for line in answer.orders
    )  # fmt: skip
    sections = [Section("Vibration with the spin", (Table(rows, ("", "speed, rms", "swing", "")),))]
    if answer.peaks:
        told = tuple(Sentence(_peak(peak.rotor_speed, peak.predicted)) for peak in answer.peaks)
        sections.append(Section("Speeds at which it peaks", told))
    if answer.unbalance is not None:
        sections.append(Section("Unbalance", tuple(_unbalance(answer))))
    if len(answer.causes) > 1:
        sections.append(Section("Also", tuple(Sentence(f"• {text}.") for text in answer.causes[1:])))
    heard = f"• {answer.duration:.3g} s at {answer.rate:.0f} samples a second."
    notes = (Sentence(heard), *(Sentence(f"• {text}.") for text in answer.notes))
    sections.append(Section("The recording", notes))
    sections.append(Section("Before the next run", (Sentence(CAUTION, "caution"),)))
    return Sheet("What the recording tells", tuple(lead), tuple(sections), units)


def zone(velocity: float) -> str:
    """Return what a vibration speed [m/s rms] means, in a word."""
    if velocity >= STOP:
        return "stop, something will shake loose"
    return WORDS[sum(velocity > limit for limit in MACHINE_ZONES)]


def _order(order: int) -> str:
    return ("once", "twice")[order - 1] + " per turn" if order <= 2 else f"{order} per turn"


def _mm(quantity: Quantity) -> str:
    value, low, high = (1000.0 * (part or 0.0) for part in (quantity.value, quantity.low, quantity.high))
    return f"{value:.2g} mm/s ({low:.2g}–{high:.2g})"


def _peak(speed: float, predicted: float | None) -> str:
    rpm = 30.0 / math.pi
    if predicted is None:
        return f"• {speed * rpm:.0f} rpm: not among the predicted ones."
    off = 100.0 * (speed / predicted - 1.0)
    return f"• {speed * rpm:.0f} rpm: predicted {predicted * rpm:.0f} rpm ({off:+.0f} %)."


def _unbalance(answer: RecordAnswer) -> list[Sentence]:
    size = answer.unbalance
    assert size is not None
    low, high = 1e6 * (size.low or 0.0), 1e6 * (size.high or 0.0)
    lines = [Sentence(f"{1e6 * (size.value or 0.0):.3g} g mm ({low:.3g}–{high:.3g}), if what was shaken hung freely.")]
    if answer.heavy_angle is not None:
        angle = math.degrees(answer.heavy_angle.nominal or 0.0)
        add = (angle + 180.0) % 360.0
        lines.append(
            Sentence(
                f"The heavy place follows the mark by {angle:.0f}° (against the spin): set the same unbalance "
                f"{add:.0f}° behind the mark. Above a resonance of the mounting the angle turns: check with a trial."
            )
        )
    else:
        lines.append(Sentence("Where it sits needs a mark column, or trial masses: rotorwright shake --run."))
    return lines
