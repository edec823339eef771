"""From a brief to several different first designs: what fits, what does not, and what to ask for instead."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import rotorwright
from rotorwright.base.errors import InputError, InputProblems
from rotorwright.base.quantity import Quantity
from rotorwright.design.edit import edit_text
from rotorwright.studies.balance_quantities import read_quantities
from rotorwright.studies.brief_paper import OnPaper, sized_on_paper
from rotorwright.studies.brief_words import LAUNCHES
from rotorwright.studies.quick_start import QuickStart, quick_start
from rotorwright.studies.verdict import word_for

Progress = Callable[[int, int], None]

SCHEMA = 1

THROWN = 9.0
"""Airspeed at which a model still leaves a hand well [m/s] (common practice, no source)."""
HEAVIEST_THROWN = 2.0
"""[kg] (common practice, no source)."""
PAYLOAD_SHARE = 0.15
"""Payload over the whole mass, if only the payload is told (judgement)."""
REPORTED = ("level_speed", "reserve_thrust", "lift_to_drag", "endurance")


@dataclass(frozen=True)
class Concept:
    """A way to build a rotor aeroplane."""

    key: str
    title: str
    rotor_kind: str
    thrust: str
    rotor_count: int
    discs: bool
    speaks_for: str
    speaks_against: str


CONCEPTS = (
    Concept("two-free", "two free vaned rotors", "free vaned", "propeller", 2, True,
            "no drive to build; spins up by itself; nothing to fail but the bearings",
            "hardly any choice of speed; needs the most thrust; turns cost height"),
    Concept("one-free", "one free vaned rotor across", "free vaned", "propeller", 1, True,
            "two bearings, one shaft, balanced once; a longer rotor wastes less at its ends",
            "sits above the body, so thrust line and balance must be right; the whole span travels in one piece"),
    Concept("two-driven", "two driven vaned rotors", "driven vaned", "propeller", 2, True,
            "spin is yours: shorter start, slower flight; still turns when the motor quits",
            "two motors and belts to build; vanes shake when driven fast"),
    Concept("two-drums", "two driven drums", "driven drum", "propeller", 2, True,
            "most lift for the size; smooth, round, easy to balance",
            "when the drums stop the lift stops; drag and power of the discs; gyroscope felt in every turn"),
    Concept("one-drum", "one driven drum across", "driven drum", "propeller", 1, True,
            "one motor and one belt; no difference between left and right",
            "one motor carries the whole lift; the whole span travels in one piece"),
    Concept("drums-no-discs", "two driven drums without discs", "driven drum", "propeller", 2, False,
            "no large discs to hit the ground; little power to turn",
            "much of the lift is lost at the open ends"),
    Concept("fan-free", "two free vaned rotors, ducted fan", "free vaned", "fan", 2, True,
            "no open propeller", "a small disc: much power and noise for its thrust"),
)  # fmt: skip
FIRST = ("two-free", "one-free", "two-driven")
"""What a newcomer may build first, in this order: no lift that hangs on a motor."""


@dataclass(frozen=True)
class Proposal:
    """One concept sized for the brief, or what it lacks."""

    concept: Concept
    answer: QuickStart | None
    text: str
    """The aircraft file; empty if nothing could be laid out."""
    quantities: dict[str, Quantity]
    paper: OnPaper | None
    lacks: tuple[str, ...]
    """What is missing; empty if it meets the brief."""
    remarks: tuple[str, ...]

    @property
    def meets(self) -> bool:
        """Tell whether it meets the brief and should fly."""
        return not self.lacks

    @property
    def probability(self) -> float:
        """Return the chance of flying with the reserve."""
        return 0.0 if self.answer is None else self.answer.probability

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data."""
        asks = () if self.answer is None else self.answer.asks
        return {
            "key": self.concept.key,
            "concept": self.concept.title,
            "meets_the_brief": self.meets,
            "word": word_for(self.probability) if self.answer else None,
            "probability": self.probability if self.answer else None,
            "shortage": "" if self.answer is None else self.answer.shortage,
            "for": self.concept.speaks_for,
            "against": self.concept.speaks_against,
            "lacks": list(self.lacks),
            "nearest_asks": [vars(ask) for ask in asks],
            "remarks": list(self.remarks),
            "quantities": {name: quantity.as_dict() for name, quantity in self.quantities.items()},
            "on_paper": None if self.paper is None else self.paper._asdict(),
        }


@dataclass(frozen=True)
class Brief:
    """What was asked for, and the first designs that answer it, best first."""

    wishes: dict[str, Any]
    proposals: tuple[Proposal, ...]

    @property
    def feasible(self) -> tuple[Proposal, ...]:
        """Return those that meet the brief, the surest first."""
        return tuple(each for each in self.proposals if each.meets)

    @property
    def first(self) -> Proposal | None:
        """Return what a newcomer may build first; None if nothing suits."""
        suited = [each for key in FIRST for each in self.feasible if each.concept.key == key]
        return suited[0] if suited else None

    def as_dict(self) -> dict[str, Any]:
        """Return plain JSON-ready data; SI throughout."""
        best = self.feasible[0] if self.feasible else None
        return {
            "schema": SCHEMA,
            "rotorwright": rotorwright.__version__,
            "aircraft": None,
            "conditions": dict(self.wishes),
            "quantities": {} if best is None else {name: one.as_dict() for name, one in best.quantities.items()},
            "verdict": None,
            "first": None if self.first is None else self.first.concept.key,
            "proposals": [each.as_dict() for each in self.proposals],
            "warnings": [],
        }


def brief(
    *,
    mass: float | None = None,
    payload: float = 0.0,
    span: float = 1.4,
    length: float | None = None,
    piece: float | None = None,
    elevation: float = 100.0,
    temperature: float = 298.15,
    surface: str = "short grass",
    runway: float | None = None,
    sheet: str = "foam sheet",
    launch: str = "wheels",
    cells: int = 3,
    open_propeller: bool = True,
    first: bool = False,
    concepts: tuple[str, ...] | None = None,
    progress: Progress | None = None,
) -> Brief:
    """Find first designs for a brief.

    Parameters
    ----------
    mass : float, optional
        Ready to fly [kg]; from the payload, or 1.2 kg, unless told.
    payload : float
        What it is to carry [kg].
    span, length, piece : float
        Largest span over everything, length, and length of one piece for the way to the field [m].
    elevation, temperature : float
        Of the field [m], [K].
    surface : str
        What it rolls on, as in the aircraft file.
    runway : float, optional
        Length of the strip [m].
    sheet : str
        Material of skins, vanes and discs.
    launch : str
        ``hand``, ``wheels`` or ``bungee``.
    cells : int
        Cells in series at hand.
    open_propeller : bool
        False asks for ducted fans.
    first : bool
        Only what a newcomer may build first.
    concepts : tuple of str, optional
        Keys of `CONCEPTS` to try; all that the other wishes allow unless told.
    progress : callable, optional
        Called with (steps done, steps in all).

    Returns
    -------
    Brief

    Raises
    ------
    InputError
        If a word is unknown or the payload is most of the mass.
    """
    if launch not in LAUNCHES:
        raise InputError("is not a launch known here", field="launch", found=f'"{launch}"', allowed=", ".join(LAUNCHES))
    whole = mass if mass is not None else max(payload / PAYLOAD_SHARE, 0.4) if payload > 0.0 else 1.2
    if payload > 0.6 * whole:
        raise InputError("is most of the mass, and nothing is left to fly with", field="payload",
                         found=f"{payload * 1000:.0f} g of {whole * 1000:.0f} g")  # fmt: skip
    wishes = {
        "mass": whole, "payload": payload, "span": span, "length": length, "piece": piece, "elevation": elevation,
        "temperature": temperature, "surface": surface, "runway": runway, "sheet": sheet, "launch": launch,
        "cells": cells, "open_propeller": open_propeller,
    }  # fmt: skip
    chosen = [each for each in CONCEPTS if (concepts is None or each.key in concepts)]
    chosen = [each for each in chosen if (each.thrust == "propeller") == open_propeller or concepts is not None]
    if not open_propeller and concepts is None:
        chosen += [replace(each, key=f"{each.key}-fan", title=f"{each.title}, ducted fan", thrust="fan")
                   for each in CONCEPTS if each.key in ("two-driven", "two-drums")]  # fmt: skip
    if first:
        chosen = [each for each in chosen if each.key.removesuffix("-fan") in FIRST or each.key == "fan-free"]
    found = []
    for place, concept in enumerate(chosen):
        found.append(_proposal(concept, wishes, _part(progress, place, len(chosen))))
        if first and found[-1].meets:
            break
    found.sort(key=lambda each: (not each.meets, -each.probability))
    return Brief(wishes, tuple(found))


def _part(progress: Progress | None, place: int, of: int) -> Progress | None:
    """Return what tells the progress of one concept as part of the whole, in hundredths of a concept."""
    if progress is None:
        return None
    progress(100 * place, 100 * of)
    return lambda done, steps: progress(100 * place + 100 * done // max(steps, 1), 100 * of)


def _proposal(concept: Concept, wishes: dict[str, Any], progress: Progress | None) -> Proposal:
    layout = {
        "rotor_count": concept.rotor_count, "discs": concept.discs, "payload": wishes["payload"],
        "sheet": wishes["sheet"], "length_limit": wishes["length"] or 0.0,
    }  # fmt: skip
    name = f"{concept.title[:1].upper()}{concept.title[1:]}"
    try:
        answer = quick_start(
            wishes["mass"], wishes["span"], wishes["elevation"], wishes["temperature"], concept.rotor_kind,
            concept.thrust, wishes["cells"], name=name, layout=layout, progress=progress,
        )  # fmt: skip
    except InputProblems as trouble:
        said = [f"{each.field or each.place} {each.message}".strip() + (f"; {each.hint[:1].lower()}{each.hint[1:]}" if
                each.hint else "") for each in trouble.problems]  # fmt: skip
        return Proposal(concept, None, "", {}, None, tuple(said), ())
    quantities = {name: one for name, one in read_quantities(answer.flown).items() if name in REPORTED}
    lacks, remarks = _held_against(answer, quantities, wishes, concept)
    text = _told_field(answer.text, wishes)
    return Proposal(concept, answer, text, quantities, _paper(answer), tuple(lacks), tuple(remarks))


def _told_field(text: str, wishes: dict[str, Any]) -> str:
    changes: dict[str, Any] = {}
    if wishes["surface"] != "short grass":
        changes["field.surface"] = wishes["surface"]
    if wishes["runway"]:
        changes["field.length"] = float(wishes["runway"])
    return edit_text(text, changes, "brief") if changes else text


def _held_against(
    answer: QuickStart, quantities: dict[str, Quantity], wishes: dict[str, Any], concept: Concept
) -> tuple[list[str], list[str]]:
    """Return what a sized concept lacks, and what else to say of it."""
    sizes, lacks, remarks = answer.sizes, [], list(answer.cautions)
    if not answer.good:
        asks = " or ".join(ask.words for ask in answer.asks[:2])
        lacks.append(answer.shortage + (f" The nearest ask that would fly: {asks}." if asks else ""))
    length = sizes.tail_aft + 0.75 * sizes.tail_chord
    if wishes["length"] and length > wishes["length"] * 1.005:
        lacks.append(f"it needs {math.ceil(length * 20.0) / 20.0:g} m of length")
    longest = max(sizes.rotor_span, sizes.tail_span, sizes.body_length)
    if wishes["piece"] and longest > wishes["piece"]:
        lacks.append(f"its longest piece is {math.ceil(longest * 100.0) / 100.0:g} m: ask for that much room in the "
                     "car, or for a smaller mass")  # fmt: skip
    speed = quantities["level_speed"].value if "level_speed" in quantities else None
    if wishes["launch"] == "hand":
        if sizes.mass > HEAVIEST_THROWN:
            lacks.append(f"{sizes.mass:g} kg is too heavy to throw: ask for wheels, or at most {HEAVIEST_THROWN:g} kg")
        if speed is not None and speed > THROWN:
            lacks.append(f"it flies level at {speed:.1f} m/s, faster than a throw: ask for wheels or a bungee")
        remarks.append("for a throw the rotors must turn first: hold it into the wind, or let the drive bring them up; "
                       "a second person throws, fingers clear of propeller and rotors")  # fmt: skip
    if concept.rotor_kind == "driven drum":
        remarks.append("decide with your club what the fail-safe does with the drums: cut, the lift goes; held, they "
                       "stay live")  # fmt: skip
    return lacks, remarks


def _paper(answer: QuickStart) -> OnPaper | None:
    """Return the same aeroplane sized on paper, from its own level flight."""
    from rotorwright.flight.envelope import LEVEL
    from rotorwright.studies.scale_state import lifting_area

    row = answer.flown.envelope.steady[0, LEVEL]
    speed = float(row["airspeed"])
    if not math.isfinite(speed) or speed <= 0.0:
        return None
    density = float(answer.flown.numbers.air["density"][0])
    coefficient = float(row["air_lift"]) / (0.5 * density * speed**2 * lifting_area(answer.flown))
    return sized_on_paper(
        mass=answer.sizes.mass, airspeed=speed, lift_coefficient=coefficient,
        lift_to_drag=float(row["air_lift"] / row["drag"]), disc_diameter=answer.sizes.thruster_diameter,
        air_density=density,
    )  # fmt: skip
