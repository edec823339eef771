"""Flies thousands of designs of one aeroplane and returns the quantities of a balance of each, as columns."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from rotorwright.base.constants import GRAVITY
from rotorwright.base.errors import InputError
from rotorwright.base.quantity import Quantity
from rotorwright.base.records import AIR
from rotorwright.design.aeroplane import Aeroplane, build_changed
from rotorwright.design.fill import FilledRows
from rotorwright.design.vary import SITE, Recorder, Variants
from rotorwright.flight.batch import fly_batch, look_at_batch
from rotorwright.flight.envelope import Envelope, nodes_for
from rotorwright.flight.numbers import AeroplaneNumbers, assemble
from rotorwright.physics.air.atmosphere import air_state
from rotorwright.studies.balance_quantities import read_samples
from rotorwright.studies.custom_blade import filled
from rotorwright.studies.drive_choice_variants import thrust_after_reserve
from rotorwright.studies.evaluate import Flown, factors_for

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

QUICK, RESERVE, FULL = "quick", "reserve", "full"
"""How closely a design is looked at: level flight, its nose held from outside; the reserve; the whole envelope."""
CHANCE, LOW_RESERVE, SCORE = "chance_of_flying", "reserve_thrust_low", "reserve_score"
UNKNOWN_STATE, FLOWN, REFUSED = 0, 1, 2
OWN = {
    CHANCE: ("1", "share of the draws that fly level with the reserve"),
    LOW_RESERVE: ("N", "thrust left once the reserve is paid for, of which nine draws in ten have more"),
    SCORE: ("N", "reserve less the price of flying off neutral; there for every design"),
}


@dataclass(frozen=True)
class Question:
    """What is asked of every design; plain data, so that it can be sent to another machine."""

    told: str
    """The aeroplane's tables as JSON."""
    source: str
    fields: tuple[str, ...]
    names: tuple[str, ...]
    """Quantities wanted, in the order of the columns."""
    look: str = RESERVE
    draws: int = 0
    """Draws of the Unknowns, the same ones for every design; 0: every Unknown at its median."""
    seed: int = 0


class Chunk(NamedTuple):
    """Some designs: the first one's number, and the values of every field."""

    first: int
    values: tuple[tuple[Any, ...], ...]
    """For each field one value for each design."""


class Answers(NamedTuple):
    """What designs do: their state (`FLOWN`, `REFUSED`), the columns wanted, and why designs were refused."""

    state: npt.NDArray[np.int8]
    columns: Floats
    """Shape (designs, names); NaN where a design has none."""
    refused: dict[str, int]
    """Why → how many."""


def question_of(aeroplane: Aeroplane, fields: Sequence[str], names: Sequence[str], **more: Any) -> Question:
    """Return a question about an aeroplane; see `Question`."""
    return Question(json.dumps(dict(aeroplane.told)), aeroplane.source, tuple(fields), tuple(names), **more)


@lru_cache(maxsize=4)
def _recorder(told: str, source: str, fields: tuple[str, ...]) -> Recorder:
    return Recorder(build_changed(json.loads(told), source, "", {}), fields)


def answer(question: Question, chunk: Chunk) -> Answers:
    """Fly some designs; a task for `rotorwright.studies.scatter.run`.

    Raises
    ------
    InputProblems
        If a field is none of the aeroplane.
    """
    recorder = _recorder(question.told, question.source, question.fields)
    values = dict(zip(question.fields, chunk.values, strict=True))
    varied = recorder.vary(values)
    count = len(chunk.values[0]) if chunk.values else 1
    state = np.full(count, UNKNOWN_STATE, dtype=np.int8)
    columns = np.full((count, len(question.names)), np.nan)
    refused: dict[str, int] = {}
    for group in varied.refused:
        state[group.designs] = REFUSED
        refused[group.why] = refused.get(group.why, 0) + len(group.designs)
    for there in varied.there:
        found = _fly(question, recorder, there, values)
        state[there.designs] = FLOWN
        for column, name in enumerate(question.names):
            if name in found:
                columns[there.designs, column] = found[name]
    return Answers(state, columns, refused)


def numbers_of(variants: Variants, draws: int = 0, seed: int = 0) -> AeroplaneNumbers:
    """Return variants as a batch of aeroplane numbers: each variant's cases (median first, then draws) in a row."""
    count = len(variants.designs)
    factors = factors_for(draws, seed)[0]
    each = len(factors)
    rows = variants.rows
    if each > 1:
        rows = FilledRows._make((*(np.repeat(part, each, axis=0) for part in rows[:-1]), rows.names))
    return assemble(rows, np.repeat(_air(variants), each), np.tile(factors, count))


def _air(variants: Variants) -> npt.NDArray[Any]:
    """Return the air of every variant's field."""
    columns = [variants.site[name] for name in SITE]
    air = np.zeros(len(variants.designs), dtype=AIR)
    air["gravity"] = GRAVITY
    if all((column == column[0]).all() for column in columns):
        air["density"], air["viscosity"] = air_state(*(float(column[0]) for column in columns))
        return air
    for case, told in enumerate(zip(*columns, strict=True)):
        air["density"][case], air["viscosity"][case] = air_state(*(float(each) for each in told))
    return air


def _fly(
    question: Question, recorder: Recorder, variants: Variants, values: Mapping[str, Sequence[Any]]
) -> dict[str, Floats]:
    """Return the columns that can be told of variants with the same parts."""
    aeroplane = recorder.aeroplane
    variants = _with_drawn_blades(aeroplane, variants, values)
    numbers = numbers_of(variants, question.draws, question.seed)
    each = question.draws + 1
    nominal = np.arange(0, len(numbers.vehicle), each)
    if question.look == QUICK:
        return _quick(AeroplaneNumbers(*(part[nominal] for part in numbers)))
    reserve = aeroplane.reserve
    found: dict[str, Floats] = {}
    plain = numbers if each == 1 else AeroplaneNumbers(*(np.ascontiguousarray(part[nominal]) for part in numbers))
    envelope: Envelope | None = None
    if question.draws:
        many = fly_batch(numbers, nodes_for(numbers), reserve.climb, reserve.bank, thorough=False, as_balanced=True)
        left = many.figures["reserve_surplus"].reshape(-1, each)[:, 1:]
        found[CHANCE] = np.mean(left >= 0.0, axis=1)
        weight = numbers.vehicle["mass"] * numbers.air["gravity"]
        found[LOW_RESERVE] = np.quantile(
            thrust_after_reserve(many.figures, weight).reshape(-1, each)[:, 1:], 0.1, axis=1
        )
        if question.look == RESERVE:
            envelope = Envelope(many.figures[nominal], many.steady[nominal])
    if envelope is None:
        nodes = nodes_for(plain)
        envelope = fly_batch(
            plain, nodes, reserve.climb, reserve.bank, thorough=question.look == FULL, as_balanced=True
        )
    weight = plain.vehicle["mass"] * plain.air["gravity"]
    found[SCORE] = thrust_after_reserve(envelope.figures, weight)
    first = FilledRows._make((*(part[0] for part in variants.rows[:-1]), variants.rows.names))
    flown = Flown(aeroplane, first, plain, nodes_for(plain), envelope, np.zeros((0, 0)))
    return {**read_samples(flown)[1], **found}


def _quick(numbers: AeroplaneNumbers) -> dict[str, Floats]:
    seen = look_at_batch(numbers)
    weight = numbers.vehicle["mass"] * numbers.air["gravity"]
    spare = seen.spare
    return {
        "mass": numbers.vehicle["mass"],
        "weight": weight,
        "centre_of_gravity_aft": -numbers.vehicle["x"],
        "level_speed": np.where(spare >= 0.0, seen.steady["airspeed"], np.nan),
        "balance_speed": seen.steady["airspeed"],
        "level_throttle": seen.steady["throttle"],
        "thrust_to_spare": spare,
        SCORE: np.where(np.isfinite(spare), spare, -weight),
    }


def _with_drawn_blades(aeroplane: Aeroplane, variants: Variants, values: Mapping[str, Sequence[Any]]) -> Variants:
    """Return variants that fly with the blades drawn in files beside the aircraft file, if it names any."""
    if any(thruster.bench for thruster in aeroplane.tables.thruster.values()):
        hint = "Take the line bench = … out of the file to explore round it, then judge the result with it"
        raise InputError(
            "flies with bench readings, which explore cannot carry over", place=aeroplane.source, hint=hint
        )
    if not any(thruster.blade for thruster in aeroplane.tables.thruster.values()):
        return variants
    thrusters = variants.rows.thrusters.copy()
    for place, design in enumerate(variants.designs):  # one by one: blades are few and their aerodynamics costly
        thrusters[place] = filled(aeroplane.changed({name: each[design] for name, each in values.items()})).thrusters
    return variants._replace(rows=variants.rows._replace(thrusters=thrusters))


def known_quantities(aeroplane: Aeroplane, look: str) -> dict[str, Quantity | None]:
    """Return every quantity that explore can tell of an aeroplane, by name; None for its own columns."""
    question = question_of(aeroplane, (), ())
    recorder = _recorder(question.told, question.source, ())
    varied = recorder.vary({})
    plain = numbers_of(varied.there[0])
    reserve = aeroplane.reserve
    nodes = nodes_for(plain)
    envelope = fly_batch(plain, nodes, reserve.climb, reserve.bank, thorough=look == FULL, as_balanced=True)
    flown = Flown(aeroplane, filled(aeroplane), plain, nodes, envelope, np.zeros((0, 0)))
    return {**read_samples(flown)[0], **dict.fromkeys(OWN)}
