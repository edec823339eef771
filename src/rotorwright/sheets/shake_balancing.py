"""The balance card: what to set where, what it should leave, and what the runs tell of themselves."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rotorwright.base.quantity import Quantity
from rotorwright.sheets.content import Item, Row, Section, Sentence, Sheet, Table
from rotorwright.sheets.numbers import ShownUnits, percent_text
from rotorwright.studies.balancing import BalancePlanes, BalanceWithoutPhase, Correction

CAUTION = (
    "Fix every mass so that it cannot fly off: epoxy or a bolted washer, and a turn of tape over it, on the inside of "
    "the rim where it can be. Stand out of the plane of the discs at the first run after each change, face shield on. "
    "Local rules and your club's safety officer come first."
)


def balancing_sheet(
    answer: BalancePlanes | BalanceWithoutPhase,
    *,
    radius: float | None = None,
    trial_left_on: bool = False,
    holes: Sequence[float] | None = None,
    permissible: float | None = None,
) -> Sheet:
    """Return the balance card.

    Parameters
    ----------
    answer : BalancePlanes or BalanceWithoutPhase
    radius : float, optional
        At which masses are set [m]; amounts are then told as masses too.
    trial_left_on : bool
        Whether the trial masses are still on the rotor.
    holes : sequence of float, optional
        Angles of the available places [rad].
    permissible : float, optional
        Unbalance that may remain on each plane [kg m].
    """
    if isinstance(answer, BalanceWithoutPhase):
        cuts: tuple[Correction, ...] = (answer.correction,)
        reduction = None
    else:
        cuts = answer.still_to_add if trial_left_on else answer.corrections
        reduction = answer.reduction
    sections = [Section("Set these masses", tuple(_cuts(cuts, radius, holes)))]
    rows = []
    if reduction is not None:
        rows.append(Row(("vibration left, over that as found", _share(reduction))))
    if permissible is not None:
        rows.append(Row(("unbalance that may remain on each plane", f"{1e6 * permissible:.3g} g mm")))
    if rows:
        sections.append(Section("What it should leave", (Table(tuple(rows)),)))
    if answer.notes:
        sections.append(Section("Doubts", tuple(Sentence(f"{text}.", "doubt") for text in answer.notes)))
    sections.append(Section("Before the next run", (Sentence(CAUTION, "caution"),)))
    first = "Leave the trial masses on, and add:" if trial_left_on else "Take every trial mass off, then set:"
    lead = [Sentence(f"{first} {'; '.join(_said(cut, radius) for cut in cuts)}.", "lead")]
    lead.append(Sentence("Angles count from your mark in the sense in which you counted the trial and the phases."))
    return Sheet("Balance card", tuple(lead), tuple(sections), ShownUnits())


def _said(cut: Correction, radius: float | None) -> str:
    angle = math.degrees(cut.angle.nominal or 0.0)
    return f"plane {cut.plane + 1}: {_amount(cut.amount.nominal or 0.0, radius)} at {angle:.0f}°"


def _amount(unbalance: float, radius: float | None) -> str:
    return f"{1e6 * unbalance:.3g} g mm" if radius is None else f"{1000.0 * unbalance / radius:.3g} g"


def _share(quantity: Quantity) -> str:
    return f"{percent_text(quantity.value or 0.0)} (up to {percent_text(quantity.high or 0.0)})"


def _band(quantity: Quantity, factor: float, unit: str) -> str:
    value, low, high = (factor * (part or 0.0) for part in (quantity.value, quantity.low, quantity.high))
    return f"{value:.3g} {unit} ({low:.3g}–{high:.3g})"


def _cuts(cuts: Sequence[Correction], radius: float | None, holes: Sequence[float] | None) -> list[Item]:
    items: list[Item] = []
    rows = []
    for cut in cuts:
        cells = [f"plane {cut.plane + 1}", _band(cut.amount, 1e6, "g mm")]
        cells.append("" if radius is None else _band(cut.amount, 1000.0 / radius, "g"))
        cells.append(_band(cut.angle, 180.0 / math.pi, "°").replace(" °", "°"))
        rows.append(Row(tuple(cells)))
    items.append(Table(tuple(rows), ("", "unbalance", "" if radius is None else "mass", "angle")))
    for cut in cuts:
        if cut.holes:
            parts = ", ".join(
                f"{_amount(amount, radius)} at place {place + 1}"
                + ("" if holes is None else f" ({math.degrees(holes[place]):.0f}°)")
                for place, amount in cut.holes
            )
            items.append(Sentence(f"Split for plane {cut.plane + 1}: {parts}."))
    return items
